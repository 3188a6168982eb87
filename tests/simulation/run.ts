/** A seeded run of the real code on a real scratch database under the driven clock. */
import { Readable } from 'node:stream'
import { inArray, sql } from 'drizzle-orm'
import { Temporal } from 'temporal-polyfill'
import { jobs, pastJobs } from '../../jobs/index.ts'
import { readReplies } from '../../jobs/read-replies.ts'
import { message } from '../../src/database/schema.ts'
import { inClinic } from '../../src/database/service.ts'
import { handleReply } from '../../src/flow/replies.ts'
import { importVisits } from '../../src/flow/visits.ts'
import type { Job } from '../../src/jobs.ts'
import { receive } from '../../src/messages/inbound.ts'
import { type Arrival, effectTable } from './effect.ts'
import { type Count, checkInvariants, INVARIANTS, type WrittenReply } from './invariants.ts'
import {
  DAYS_MOVED,
  FILE_HEADER,
  makePatients,
  type PatientReply,
  replyTo,
  type SimulatedPatient,
  stopWords,
  visitRow,
} from './patients.ts'
import { holdVisits, moveUnready, triage } from './staff.ts'
import { loseWorker, makeWorld, openSlots, type World, ZONE } from './world.ts'

export interface SimulationResult {
  seed: number
  patients: number
  days: number
  counts: Record<string, number>
  invariants: Record<string, Count>
}

const QUICK: readonly Job[] = [...pastJobs, readReplies]

interface Planned {
  at: Temporal.Instant
  order: number
  run(): Promise<void>
}

export async function simulate({
  patients: count,
  days,
  seed,
}: {
  patients: number
  days: number
  seed: number
}): Promise<{ result: SimulationResult; details: string[]; effect: string }> {
  const world = await makeWorld(seed)
  try {
    const run = new Run(world, seed, count, days)
    return await run.play()
  } finally {
    await world.close()
  }
}

/** The state of one run; only this file uses it. */
class Run {
  readonly world: World
  readonly seed: number
  readonly days: number
  readonly people: SimulatedPatient[]
  readonly byReference: Map<string, SimulatedPatient>
  readonly byMobile: Map<string, SimulatedPatient>
  readonly agenda: Planned[] = []
  readonly written: WrittenReply[] = []
  readonly arrivals: Arrival[] = []
  readonly seen = new Set<string>()
  order = 0
  slowDue: Temporal.Instant
  proposals = 0
  closed = 0
  stops = 0
  duplicates = 0

  constructor(world: World, seed: number, count: number, days: number) {
    this.world = world
    this.seed = seed
    this.days = days
    this.slowDue = world.clock.now()
    this.people = makePatients(count, days, world.random)
    this.byReference = new Map(this.people.map((one) => [one.reference, one]))
    this.byMobile = new Map(this.people.map((one) => [one.mobile, one]))
  }

  async play() {
    const { world, days } = this
    const end = this.local(days, '20:00')
    await openSlots(world, days)
    await this.importRows(this.people.map((one) => visitRow(one, world.start)))
    this.planChanges()
    for (let day = 0; day <= days; day += 1) {
      for (const hour of [8, 10, 12, 14, 16])
        this.plan(this.local(day, `${String(hour).padStart(2, '0')}:37`), () => this.staffWork(hour))
      if (day % 3 === 1) this.plan(this.local(day, '10:05'), () => loseWorker(world))
    }
    while (Temporal.Instant.compare(world.clock.now(), end) < 0) {
      await this.advance(end)
      await this.doDue()
      await this.runJobs()
      await this.readTexts()
    }
    return await this.close()
  }

  private plan(at: Temporal.Instant, run: () => Promise<void>): void {
    this.agenda.push({ at, order: this.order++, run })
  }

  private local(day: number, time: string): Temporal.Instant {
    return this.world.start
      .add({ days: day })
      .toZonedDateTime({ timeZone: ZONE, plainTime: Temporal.PlainTime.from(time) })
      .toInstant()
  }

  /** To the next thing that happens: a due message or deadline, somebody's act, or an hour later. */
  private async advance(end: Temporal.Instant): Promise<void> {
    const { clock } = this.world
    const next = [
      clock.now().add({ minutes: 60 }),
      end,
      ...this.agenda.map((one) => one.at),
      ...(await this.nextDue()),
    ]
      .filter((at) => Temporal.Instant.compare(at, clock.now()) > 0)
      .reduce((a, b) => (Temporal.Instant.compare(a, b) <= 0 ? a : b))
    clock.set(next)
  }

  private nextDue(): Promise<Temporal.Instant[]> {
    const { service, clinicId, clock } = this.world
    const now = clock.now().toString()
    return inClinic(service, clinicId, async ({ tx }) => {
      const rows = await tx.execute<{ at: string | null }>(sql`select min(at)::text as at from (
        select due_at as at from message where status = 'queued'
        union all select lease_until from message where status = 'sending'
        union all select warn_at from concern where status = 'open' and warned_at is null
        union all select deadline_at from concern where status <> 'closed'
        union all select deadline_at from screening where status in ('asked', 'asked-again')
        union all select deadline_at from move where status = 'proposed') due where at > ${now}`)
      return rows.flatMap((row) => (row.at ? [Temporal.Instant.from(row.at)] : []))
    })
  }

  /** What runs every few seconds in service runs at every step here; the rest every few hours. */
  private async runJobs(): Promise<void> {
    await this.world.run(QUICK)
    if (Temporal.Instant.compare(this.world.clock.now(), this.slowDue) < 0) return
    this.slowDue = this.world.clock.now().add({ hours: 6 })
    await this.world.run(jobs.filter((job) => !QUICK.includes(job)))
  }

  private async doDue(): Promise<void> {
    const now = this.world.clock.now()
    const due = this.agenda.filter((one) => Temporal.Instant.compare(one.at, now) <= 0)
    for (const one of due) this.agenda.splice(this.agenda.indexOf(one), 1)
    due.sort((a, b) => Temporal.Instant.compare(a.at, b.at) || a.order - b.order)
    for (const one of due) await one.run()
  }

  private async importRows(rows: string[]): Promise<void> {
    const { service, clinicId } = this.world
    const report = await importVisits(service, clinicId, Readable.from([[FILE_HEADER, ...rows].join('\n')]))
    if (report.problems.length > 0)
      throw new Error(`the simulated file is wrong: ${JSON.stringify(report.problems[0])}`)
  }

  /** Visits that the clinic moves or cancels on the way, and patients who say STOP. */
  private planChanges(): void {
    for (const one of this.people) {
      const day = Math.max(1, Math.min(one.visitDay - 1, 4))
      if (one.movesVisit === 'moved')
        this.plan(this.local(day, '11:11'), () =>
          this.importRows([visitRow(one, this.world.start, DAYS_MOVED)]),
        )
      if (one.movesVisit === 'cancelled') {
        this.plan(this.local(day, '11:12'), () =>
          this.importRows([visitRow(one, this.world.start, 0, 'cancelled')]),
        )
      }
      if (one.stopsOnDay !== null) {
        this.plan(this.local(one.stopsOnDay, '12:03'), async () => {
          this.stops += 1
          await this.write(
            one,
            { words: stopWords(one), minutes: 0, urgent: false, forbidsDrops: false, stops: true },
            `stop/${one.reference}`,
          )
        })
      }
    }
  }

  private async staffWork(hour: number): Promise<void> {
    this.arrivals.push(...(await holdVisits(this.world, this.seed, this.byReference)))
    this.closed += await triage(this.world)
    if (hour === 8) this.proposals += await moveUnready(this.world)
  }

  /** Each patient reads the texts that came, in a fixed order, and plans an answer. */
  private async readTexts(): Promise<void> {
    const fresh = this.world.sent.filter((one) => !this.seen.has(one.id))
    if (fresh.length === 0) return
    for (const one of fresh) this.seen.add(one.id)
    const { service, clinicId } = this.world
    const rows = await inClinic(service, clinicId, ({ tx }) =>
      tx.query.message.findMany({
        where: inArray(
          message.messageId,
          fresh.map((one) => one.id),
        ),
      }),
    )
    const details = await this.questionDetails(rows.flatMap((row) => row.questionId ?? []))
    const arrived = fresh
      .flatMap((sent) => {
        const row = rows.find((one) => one.messageId === sent.id)
        const patient = this.byMobile.get(sent.to)
        return row && patient ? [{ row, patient, at: sent.at }] : []
      })
      .sort(
        (a, b) =>
          a.patient.index - b.patient.index ||
          a.row.kind.localeCompare(b.row.kind) ||
          (a.row.day ?? '').localeCompare(b.row.day ?? ''),
      )
    for (const { row, patient, at } of arrived) {
      const detail = details.get(row.questionId ?? '') ?? { doses: 0, choices: 1, number: 0 }
      const answer = replyTo(patient, {
        kind: row.kind,
        day: row.day,
        doses: detail.doses,
        choices: detail.choices,
        checkNumber: detail.number,
      })
      if (!answer) continue
      // Named by what repeats with the seed; the message's own ids do not.
      const providerId = `answer/${patient.reference}/${this.order}`
      this.plan(at.add({ minutes: answer.minutes }), () => this.write(patient, answer, providerId))
    }
  }

  private questionDetails(
    ids: string[],
  ): Promise<Map<string, { doses: number; choices: number; number: number }>> {
    const { service, clinicId } = this.world
    return inClinic(service, clinicId, async ({ tx }) => {
      if (ids.length === 0) return new Map()
      const rows = await tx.query.question.findMany({
        where: (table, { inArray: within }) => within(table.questionId, ids),
      })
      const checks = await tx.query.aftercareCheck.findMany()
      return new Map(
        rows.map((row) => {
          const detail = row.detail as { doses?: number; choices?: number }
          const check = checks.find((one) => one.checkId === row.checkId)
          return [
            row.questionId,
            { doses: detail.doses ?? 0, choices: detail.choices ?? 1, number: check?.number ?? 0 },
          ]
        }),
      )
    })
  }

  /** Now and then a text comes twice, or the service falls right after it has stored one. */
  private async write(one: SimulatedPatient, answer: PatientReply, providerId: string): Promise<void> {
    const { service, clinicId, clock } = this.world
    const inbound = { transport: 'handset', providerId, from: one.mobile, body: answer.words }
    const stored = await receive(service, clinicId, inbound)
    const fate = one.random.fork(`fate/${providerId}`)
    if (fate.chance(0.05)) {
      this.duplicates += 1
      await receive(service, clinicId, inbound)
    }
    this.written.push({ replyId: stored.replyId, mobile: one.mobile, urgent: answer.urgent, at: clock.now() })
    if (!fate.chance(0.05)) await handleReply(service, clinicId, stored.replyId)
    // Fallen: the job that looks for unread replies comes round within the minute.
    else this.plan(clock.now().add({ minutes: 1 }), async () => {})
    if (answer.forbidsDrops) one.toldAt ??= clock.now()
    if (answer.stops) one.stoppedAt ??= clock.now()
  }

  private async close() {
    const { world, people, written } = this
    const { invariants, details } = await checkInvariants(world, people, written)
    const counts = await this.counts()
    return {
      result: {
        seed: this.seed,
        patients: people.length,
        days: this.days,
        counts,
        invariants: Object.fromEntries(
          INVARIANTS.map((name) => [name, invariants[name] ?? { checked: 0, broken: 0 }]),
        ),
      },
      details,
      effect: effectTable(this.seed, this.arrivals),
    }
  }

  private counts(): Promise<Record<string, number>> {
    const { world } = this
    return inClinic(world.service, world.clinicId, async ({ tx }) => ({
      messages: (await tx.query.message.findMany({ columns: { messageId: true } })).length,
      sent: world.sent.length,
      replies: this.written.length,
      duplicates: this.duplicates,
      urgent: this.written.filter((one) => one.urgent).length,
      concerns: (await tx.query.concern.findMany({ columns: { concernId: true } })).length,
      closed: this.closed,
      visitsHeld: this.arrivals.length,
      proposals: this.proposals,
      moved: (await tx.query.move.findMany()).filter((one) => one.status === 'accepted').length,
      stops: this.stops,
    }))
  }
}
