/** Fills an empty database with the demo clinic by playing its last fortnight through the real service. */
import { Readable } from 'node:stream'
import type { Sql } from 'postgres'
import { Temporal } from 'temporal-polyfill'
import { addStaff, listStaff } from '../access/staff.ts'
import type { EarRecord } from '../aftercare/record.ts'
import { createClinic } from '../clinic.ts'
import { type DrivenClock, drivenClock } from '../clock.ts'
import { claim, close, queue, seeNotices } from '../concerns/store.ts'
import { inClinic, type Service } from '../database/service.ts'
import { recordProcedure } from '../flow/aftercare.ts'
import { earsOf, inFlow } from '../flow/context.ts'
import { handleReply } from '../flow/replies.ts'
import { importVisits } from '../flow/visits.ts'
import { type Job, type JobDeps, runJob } from '../jobs.ts'
import { receive } from '../messages/inbound.ts'
import { openQuestions } from '../messages/store.ts'
import { startProtocol } from '../protocol/store.ts'
import { addSlot } from '../softening/moves/store.ts'
import { putPractitioner, visitByReference } from '../visits/store.ts'
import {
  DEMO_NAME,
  DEMO_SLUG,
  DEMO_ZONE,
  type DemoPatient,
  demoPatients,
  demoSettings,
  demoSlots,
  demoStaff,
} from './people.ts'

const DAYS_BACK = 10

export interface SeedOptions {
  owner: Sql
  /** The service on the same database, under its real clock. */
  service: Service
  /** Those that the past needs: sending, silences, deadlines. */
  jobs: readonly Job[]
  deps: JobDeps
}

/** @returns the new clinic's id */
export async function seedDemo({ owner, service, jobs, deps }: SeedOptions): Promise<string> {
  const end = service.clock.now()
  const today = end.toZonedDateTimeISO(DEMO_ZONE).toPlainDate()
  const start = localTime(today.subtract({ days: DAYS_BACK }), '08:00')
  const clock = drivenClock(start)
  const past: Service = { ...service, clock, vaults: new Map() }
  const clinicId = await createClinic(owner, service.masters, start, {
    slug: DEMO_SLUG,
    name: DEMO_NAME,
    zone: DEMO_ZONE,
    demo: true,
    settings: demoSettings,
  })
  await inClinic(past, clinicId, async (scope) => {
    await startProtocol(scope)
    for (const person of demoStaff) await addStaff(scope, { ...person })
    for (const [inDays, at, minutes, name] of demoSlots) {
      const practitionerId = await putPractitioner(scope, name)
      const startAt = localTime(visitDay(today, inDays), at)
      await addSlot(scope, { practitionerId, startAt, minutes, room: null })
    }
  })
  await importVisits(past, clinicId, Readable.from([demoCsv(today)]))
  await playUntil(past, clinicId, clock, end, { jobs, deps })
  return clinicId
}

const localTime = (day: Temporal.PlainDate, at: string): Temporal.Instant =>
  day.toZonedDateTime({ timeZone: DEMO_ZONE, plainTime: Temporal.PlainTime.from(at) }).toInstant()

/** The demo's visits fall on days from Monday to Friday: a weekend's go to the Monday, or the Friday before. */
function visitDay(today: Temporal.PlainDate, inDays: number): Temporal.PlainDate {
  const day = today.add({ days: inDays })
  const over = day.dayOfWeek - 5
  if (over <= 0 || inDays === 0) return day
  return inDays > 0 ? day.add({ days: 3 - over }) : day.subtract({ days: over })
}

const reference = (index: number): string => `BW-${1001 + index}`

function demoCsv(today: Temporal.PlainDate): string {
  const header = 'reference,name,mobile,birth_date,start,minutes,practitioner,purpose,ears,in_pain,recurrent'
  const rows = demoPatients.map((one, i) =>
    [
      reference(i),
      one.name,
      one.mobile,
      one.birthDate,
      `${visitDay(today, one.inDays)}T${one.at}`,
      one.minutes,
      one.practitioner,
      one.purpose ?? 'removal',
      one.ears,
      one.inPain ? 'yes' : 'no',
      one.recurrent ? 'yes' : 'no',
    ].join(','),
  )
  return [header, ...rows].join('\r\n')
}

/** Local times at which the past is played: after the texts of the morning, the day and the evening. */
const TIMES = ['08:35', '10:35', '14:45', '18:35', '19:45']

/** Time by time: jobs run, due texts arrive, visits are held, and each patient answers as they are. */
async function playUntil(
  service: Service,
  clinicId: string,
  clock: DrivenClock,
  end: Temporal.Instant,
  { jobs, deps }: Pick<SeedOptions, 'jobs' | 'deps'>,
): Promise<void> {
  const answered = new Map<string, number>()
  const first = clock.now().toZonedDateTimeISO(DEMO_ZONE).toPlainDate()
  for (let day = 0; day <= DAYS_BACK; day += 1) {
    for (const at of TIMES) {
      const next = localTime(first.add({ days: day }), at)
      if (Temporal.Instant.compare(next, clock.now()) < 0) continue
      if (Temporal.Instant.compare(next, end) >= 0) return
      clock.set(next)
      for (const job of jobs) await runJob(service, job, deps, { clinics: [{ clinicId, slug: DEMO_SLUG }] })
      await triage(service, clinicId, end.subtract({ hours: 36 }))
      for (const [index, person] of demoPatients.entries()) {
        await holdVisit(service, clinicId, index, person)
        await answer(service, clinicId, index, person, answered)
      }
    }
  }
}

async function answer(
  service: Service,
  clinicId: string,
  index: number,
  person: DemoPatient,
  answered: Map<string, number>,
): Promise<void> {
  const question = await inFlow(service, clinicId, async (flow) => {
    const visit = await visitByReference(flow, reference(index))
    return visit ? (await openQuestions(flow, visit.patientId, flow.now))[0] : undefined
  })
  if (!question || answered.has(question.questionId)) return
  const list = { dose: person.doses, check: person.checks ?? [], screening: [person.history] }[
    question.kind as 'dose'
  ]
  if (!list) return
  const counter = `${index}/${question.kind}`
  const turn = answered.get(counter) ?? 0
  answered.set(question.questionId, 1)
  answered.set(counter, turn + 1)
  const more = question.kind === 'screening' && turn > 0 && person.history
  const words = more ? (person.historyMore?.[turn - 1] ?? 'none') : (list[turn] ?? null)
  if (!words) return
  const { replyId } = await receive(service, clinicId, {
    transport: 'handset',
    providerId: `demo-${index}-${question.questionId}`,
    from: person.mobile,
    body: words,
  })
  await handleReply(service, clinicId, replyId)
}

/** The demo's clinicians have dealt with what came in before yesterday; the last two days are left to you. */
async function triage(service: Service, clinicId: string, before: Temporal.Instant): Promise<void> {
  await inFlow(service, clinicId, async (flow) => {
    const staff = await listStaff(flow)
    const clinician = staff.find((one) => one.role === 'clinician')
    if (!clinician) return
    for (const { concernId, openedAt } of await queue(flow)) {
      if (Temporal.Instant.compare(openedAt, before) >= 0) continue
      await claim(flow, concernId, clinician.staffId)
      await close(flow, concernId, clinician.staffId, { outcome: 'advised', note: 'Read and answered.' })
    }
    for (const { staffId } of staff) await seeNotices(flow, staffId, null)
  })
}

/** Visits whose time has come are held and recorded. */
async function holdVisit(
  service: Service,
  clinicId: string,
  index: number,
  person: DemoPatient,
): Promise<void> {
  if (person.inDays >= 0) return
  await inFlow(service, clinicId, async (flow) => {
    const visit = await visitByReference(flow, reference(index))
    if (visit?.status !== 'booked' || Temporal.Instant.compare(visit.startAt, flow.now) > 0) return
    const staff = await flow.tx.query.staff.findFirst({
      where: (table, { eq }) => eq(table.role, 'clinician'),
    })
    const ears = earsOf(visit).map((ear) => demoEar(ear, person.hard ?? false))
    await recordProcedure(flow, visit.visitId, { ears }, staff?.staffId as string)
  })
}

const demoEar = (ear: 'left' | 'right', hard: boolean): EarRecord => ({
  ear,
  found: [hard ? 'skin-plug' : 'soft-wax'],
  softness: hard ? 'hard-and-dry' : 'soft',
  methods: hard ? ['suction', 'instrument'] : ['suction'],
  result: hard && ear === 'left' ? 'part-cleared' : 'cleared',
  canal: hard ? ['sore', 'grazed'] : ['normal'],
  drum: hard ? 'inflamed' : 'normal',
  felt: hard ? ['pain'] : ['nothing'],
  advice: 'Keep it dry. Text us if anything worries you.',
})
