/** The scratch world of a simulation: a real database, the real service, a driven clock, faulty delivery. */
import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { sql } from 'drizzle-orm'
import { Temporal } from 'temporal-polyfill'
import { addStaff } from '../../src/access/staff.ts'
import { createClinic } from '../../src/clinic.ts'
import { type DrivenClock, drivenClock } from '../../src/clock.ts'
import { startEmbedded } from '../../src/database/embedded.ts'
import { migrate } from '../../src/database/migrate.ts'
import { inClinic, openOwner, openService, type Service } from '../../src/database/service.ts'
import { loadMasterKeys } from '../../src/database/vault.ts'
import { demoSettings, demoStaff } from '../../src/demo/people.ts'
import { handleReply } from '../../src/flow/replies.ts'
import { type Job, type JobDeps, runJob } from '../../src/jobs.ts'
import { Permanent, Retryable, type Transport } from '../../src/messages/transports/transport.ts'
import { startProtocol } from '../../src/protocol/store.ts'
import { type Random, seededRandom } from '../../src/random.ts'
import { addSlot } from '../../src/softening/moves/store.ts'
import { putPractitioner } from '../../src/visits/store.ts'

export const ZONE = 'Europe/London'
export const SLUG = 'scratch'

export interface SentMessage {
  id: string
  to: string
  at: Temporal.Instant
}

export interface World {
  service: Service
  clock: DrivenClock
  clinicId: string
  start: Temporal.PlainDate
  random: Random
  staffIds: string[]
  /** Everything that a transport accepted, in order. */
  sent: SentMessage[]
  run(jobs: readonly Job[]): Promise<void>
  close(): Promise<void>
}

/** A Monday before a clock change, so that the run crosses it. */
const START = '2026-03-23'

export async function makeWorld(seed: number): Promise<World> {
  const folder = mkdtempSync(join(tmpdir(), 'foreaft-simulate-'))
  const server = await startEmbedded({
    folder,
    settings: ['fsync=off', 'synchronous_commit=off', 'full_page_writes=off'],
  })
  const owner = openOwner(server.url())
  await migrate(owner)
  const start = Temporal.PlainDate.from(START)
  const clock = drivenClock(start.toZonedDateTime({ timeZone: ZONE, plainTime: '07:00' }).toInstant())
  const masters = loadMasterKeys(undefined, folder)
  const service = openService({
    url: server.url(),
    clock,
    masters,
    publicUrl: 'http://scratch.example',
    connections: 6,
  })
  const clinicId = await createClinic(owner, masters, clock.now(), {
    slug: SLUG,
    name: 'Scratch Ear Rooms',
    zone: ZONE,
    demo: true,
    settings: demoSettings,
  })
  const staffIds = await inClinic(service, clinicId, async (scope) => {
    await startProtocol(scope)
    const ids: string[] = []
    for (const person of demoStaff) ids.push(await addStaff(scope, { ...person }))
    return ids
  })
  const sent: SentMessage[] = []
  const transport = faultyHandset(seed, clock, sent)
  const deps: JobDeps = {
    transports: { handset: transport },
    spool: folder,
    random: () => 0.5,
    onReply: async (on, clinic, replyId) => void (await handleReply(on, clinic, replyId)),
    log: () => {},
  }
  return {
    service,
    clock,
    clinicId,
    start,
    random: seededRandom(seed),
    staffIds,
    sent,
    run: async (jobs) => {
      for (const job of jobs) {
        const results = await runJob(service, job, deps, { clinics: [{ clinicId, slug: SLUG }] })
        for (const { error } of results) if (error) throw error
      }
    },
    close: async () => {
      await service.close()
      await owner.end()
      await server.stop()
      rmSync(folder, { recursive: true, force: true })
    },
  }
}

const RETRYABLE = 0.03
const PERMANENT = 0.004

/** Now and then refuses for a while, seldom for good. The fate hangs on number and hour, so that a seed repeats. */
function faultyHandset(seed: number, clock: DrivenClock, sent: SentMessage[]): Transport {
  return {
    name: 'handset',
    requiresSignature: false,
    send: async ({ id, to }) => {
      const fate = seededRandom(`${seed}/${to}/${clock.now().epochMilliseconds}`).uniform()
      if (fate < PERMANENT) throw new Permanent('no such number (simulated)')
      if (fate < PERMANENT + RETRYABLE) throw new Retryable('network busy (simulated)')
      sent.push({ id, to, at: clock.now() })
      return { ref: id, delivered: true }
    },
  }
}

/** A worker that died after it had claimed: its messages hang until their lease ends. */
export function loseWorker({ service, clinicId, clock }: World): Promise<void> {
  return inClinic(service, clinicId, async ({ tx }) => {
    const now = clock.now()
    await tx.execute(sql`update message set status = 'sending', attempts = attempts + 1, transport = 'handset',
      lease_until = ${now.add({ seconds: 60 }).toString()}
      where message_id in (select message_id from message where status = 'queued' and due_at <= ${now.toString()}
        order by due_at, dedupe limit 3)`)
  })
}

/** Two open slots a working day for each practitioner, from the second day on. */
export function openSlots({ service, clinicId, start }: World, days: number): Promise<void> {
  return inClinic(service, clinicId, async (scope) => {
    for (let day = 2; day < days + 14; day += 1) {
      const date = start.add({ days: day })
      if (date.dayOfWeek > 5) continue
      for (const [name, at] of [
        ['Ottoline Marsh', '12:00'],
        ['Fenwick Adair', '16:40'],
      ] as const) {
        const practitionerId = await putPractitioner(scope, name)
        const startAt = date.toZonedDateTime({ timeZone: ZONE, plainTime: at }).toInstant()
        await addSlot(scope, { practitionerId, startAt, minutes: 40, room: null })
      }
    }
  })
}
