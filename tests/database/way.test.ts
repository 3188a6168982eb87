/** The way from a booked visit to a plan, a move and aftercare, on the real database. */
import { Temporal } from 'temporal-polyfill'
import { expect, test } from 'vitest'
import { deliver } from '../../jobs/deliver.ts'
import { lapse } from '../../jobs/lapse.ts'
import { queue } from '../../src/concerns/store.ts'
import { deskItems } from '../../src/desk/store.ts'
import { recordProcedure } from '../../src/flow/aftercare.ts'
import { inFlow } from '../../src/flow/context.ts'
import { answerMove, moveNow, proposeMove } from '../../src/flow/moves.ts'
import { noteDoses } from '../../src/flow/plans.ts'
import { takeAnswers } from '../../src/flow/screening.ts'
import { noToAll } from '../../src/softening/screening.ts'
import { currentPlan, getScreening } from '../../src/softening/store.ts'
import { importRows, messagesOf, openSlot, runJobs, staffClinic, visitAndPatient } from '../support/clinic.ts'
import { testDatabase } from '../support/database.ts'

// Monday.
const { service, clock, clinicId } = await testDatabase('2026-03-02T09:00:00Z')
const staff = await staffClinic(service, clinicId)

const row = (
  ref: string,
  start: string,
  more: Partial<Record<'mobile' | 'ears' | 'status' | 'purpose', string>> = {},
) =>
  [
    ref,
    `Patient ${ref}`,
    more.mobile ?? '07700 900321',
    '',
    '1940-01-01',
    start,
    30,
    'Ottoline Marsh',
    more.purpose ?? 'removal',
    more.ears ?? 'both',
    more.status ?? '',
  ].join(',')

const answerNo = async (ref: string) => {
  const { visit, patient } = await visitAndPatient(service, clinicId, ref)
  await inFlow(service, clinicId, (flow) =>
    takeAnswers(flow, visit, patient, noToAll(flow.rules.softening), { byText: true }),
  )
  return { visit, patient }
}

test('a booked removal asks the history and advises no drops until it is answered', async () => {
  const report = await importRows(service, clinicId, [
    row('A1', '2026-03-12T10:00', { mobile: '07700 900001' }),
  ])
  expect(report).toMatchObject({ rows: 1, booked: 1, problems: [] })
  const { patient } = await visitAndPatient(service, clinicId, 'A1')
  const before = (await messagesOf(service, clinicId)).filter((one) => one.patientId === patient.patientId)
  expect(before.map((one) => one.kind).sort()).toEqual([
    'screening-all',
    'screening-invitation',
    'screening-reminder',
    'visit-reminder',
  ])
  await answerNo('A1')
  const after = (await messagesOf(service, clinicId)).filter((one) => one.patientId === patient.patientId)
  const questions = after.filter((one) => one.kind === 'dose-question')
  expect(questions.map((one) => one.day)).toEqual([
    '2026-03-07',
    '2026-03-08',
    '2026-03-09',
    '2026-03-10',
    '2026-03-11',
  ])
  expect(after.some((one) => one.kind === 'plan-start')).toBe(true)
})

test('importing the same file again changes nothing', async () => {
  const before = (await messagesOf(service, clinicId)).length
  const report = await importRows(service, clinicId, [
    row('A1', '2026-03-12T10:00', { mobile: '07700 900001' }),
  ])
  expect(report).toMatchObject({ same: 1, changed: 0, booked: 0 })
  expect((await messagesOf(service, clinicId)).length).toBe(before)
})

test('a moved visit moves its plan, and a cancelled one ends it', async () => {
  await importRows(service, clinicId, [row('A2', '2026-03-12T11:00', { mobile: '07700 900002' })])
  const { visit, patient } = await answerNo('A2')
  const moved = await importRows(service, clinicId, [
    row('A2', '2026-03-17T11:00', { mobile: '07700 900002' }),
  ])
  expect(moved.changed).toBe(1)
  const own = (await messagesOf(service, clinicId)).filter(
    (one) => one.patientId === patient.patientId && one.status === 'queued',
  )
  expect(own.filter((one) => one.kind === 'dose-question').map((one) => one.day)).toEqual([
    '2026-03-12',
    '2026-03-13',
    '2026-03-14',
    '2026-03-15',
    '2026-03-16',
  ])
  expect(own.some((one) => one.kind === 'visit-moved')).toBe(true)
  const gone = await importRows(service, clinicId, [
    row('A2', '2026-03-17T11:00', { mobile: '07700 900002', status: 'cancelled' }),
  ])
  expect(gone.cancelled).toBe(1)
  const left = (await messagesOf(service, clinicId)).filter(
    (one) => one.patientId === patient.patientId && one.status === 'queued',
  )
  expect(left.map((one) => one.kind)).toEqual(['visit-cancelled'])
  expect(await inFlow(service, clinicId, (flow) => currentPlan(flow, visit.visitId))).toBeNull()
})

test('silence to the history ends in no drops and on the list of reception', async () => {
  await importRows(service, clinicId, [row('A3', '2026-03-20T11:00', { mobile: '07700 900003' })])
  const { visit } = await visitAndPatient(service, clinicId, 'A3')
  clock.advance({ hours: 24 * 4 })
  await runJobs(service, [lapse])
  const screening = await inFlow(service, clinicId, (flow) => getScreening(flow, visit.visitId))
  expect(screening?.status).toBe('overdue')
  const desk = await inFlow(service, clinicId, (flow) => deskItems(flow))
  expect(desk.filter((one) => one.visitId === visit.visitId).map((one) => one.kind)).toEqual(['no-history'])
  // A late answer still counts.
  await answerNo('A3')
  const plan = await inFlow(service, clinicId, (flow) => currentPlan(flow, visit.visitId))
  expect(plan?.status).toBe('active')
})

test('a contraindication withholds the drops, tells the clinician and cancels nothing else', async () => {
  await importRows(service, clinicId, [row('A4', '2026-03-25T11:00', { mobile: '07700 900004' })])
  const { visit, patient } = await visitAndPatient(service, clinicId, 'A4')
  await inFlow(service, clinicId, (flow) =>
    takeAnswers(
      flow,
      visit,
      patient,
      [
        ...noToAll(flow.rules.softening).filter((one) => one.question !== 'grommets'),
        { question: 'grommets', answer: 'yes', asked: 1 },
      ],
      { byText: false },
    ),
  )
  const plan = await inFlow(service, clinicId, (flow) => currentPlan(flow, visit.visitId))
  expect(plan?.status).toBe('withheld')
  const own = (await messagesOf(service, clinicId)).filter((one) => one.patientId === patient.patientId)
  expect(own.some((one) => one.kind === 'plan-withheld')).toBe(true)
  expect(own.some((one) => one.kind.startsWith('dose-'))).toBe(false)
  const concerns = await inFlow(service, clinicId, (flow) => queue(flow))
  expect(concerns.filter((one) => one.visitId === visit.visitId)).toMatchObject([
    { source: 'screening', urgency: 'soon' },
  ])
})

test('doses change the readiness', async () => {
  const { visit } = await visitAndPatient(service, clinicId, 'A1')
  const at = async () =>
    (await inFlow(service, clinicId, (flow) => currentPlan(flow, visit.visitId)))?.readiness?.p ?? -1
  const plan = await inFlow(service, clinicId, (flow) => currentPlan(flow, visit.visitId))
  await inFlow(service, clinicId, (flow) =>
    noteDoses(flow, plan?.planId as string, '2026-03-07', { ears: null, done: 0, replyId: null }),
  )
  const none = await at()
  await inFlow(service, clinicId, (flow) =>
    noteDoses(flow, plan?.planId as string, '2026-03-07', { ears: null, done: 3, replyId: null }),
  )
  expect(await at()).toBeGreaterThan(none)
})

test('one slot goes to one of two patients and a receptionist who race for it', async () => {
  await importRows(service, clinicId, [
    row('R1', '2026-04-01T09:00', { mobile: '07700 900005' }),
    row('R2', '2026-04-01T10:00', { mobile: '07700 900006' }),
    row('R3', '2026-04-01T11:00', { mobile: '07700 900007' }),
  ])
  const slotId = await openSlot(service, clinicId, '2026-04-03T09:00:00Z')
  const at = clock.now().add({ hours: 24 })
  const ids = await Promise.all(
    ['R1', 'R2', 'R3'].map(async (ref) => (await visitAndPatient(service, clinicId, ref)).visit.visitId),
  )
  const results = await Promise.allSettled([
    inFlow(service, clinicId, (flow) =>
      proposeMove(flow, {
        visitId: ids[0] as string,
        slotIds: [slotId],
        reason: 'Softer by then.',
        proposedBy: staff.desk,
        deadlineAt: at,
      }),
    ),
    inFlow(service, clinicId, (flow) =>
      proposeMove(flow, {
        visitId: ids[1] as string,
        slotIds: [slotId],
        reason: 'Softer by then.',
        proposedBy: staff.desk,
        deadlineAt: at,
      }),
    ),
    inFlow(service, clinicId, (flow) => moveNow(flow, ids[2] as string, slotId, staff.desk)),
  ])
  expect(results.filter((one) => one.status === 'fulfilled')).toHaveLength(1)
})

test('a patient takes a proposed time: visit, plan and messages move together; a second answer is too late', async () => {
  await importRows(service, clinicId, [row('M1', '2026-03-16T09:00', { mobile: '07700 900008' })])
  const { visit } = await answerNo('M1')
  const slots = [
    await openSlot(service, clinicId, '2026-03-18T09:00:00Z'),
    await openSlot(service, clinicId, '2026-03-19T09:00:00Z'),
  ]
  const moveId = await inFlow(service, clinicId, (flow) =>
    proposeMove(flow, {
      visitId: visit.visitId,
      slotIds: slots,
      reason: 'The drops need more days.',
      proposedBy: staff.desk,
      deadlineAt: clock.now().add({ hours: 24 }),
    }),
  )
  const [one, two] = await Promise.all([
    inFlow(service, clinicId, (flow) => answerMove(flow, moveId, 1)),
    inFlow(service, clinicId, (flow) => answerMove(flow, moveId, 0)),
  ])
  expect([one, two].sort()).toEqual(['accepted', 'too-late'])
  const { visit: after } = await visitAndPatient(service, clinicId, 'M1')
  expect(['2026-03-18T09:00:00Z', '2026-03-19T09:00:00Z']).toContain(after.startAt.toString())
  const plan = await inFlow(service, clinicId, (flow) => currentPlan(flow, visit.visitId))
  expect(plan?.plan.visitDay).toBe(after.startAt.toString().slice(0, 10))
  const freed = await inFlow(service, clinicId, (flow) => flow.tx.query.slot.findMany())
  expect(freed.filter((slot) => slot.heldBy === moveId)).toEqual([])
  expect(freed.find((slot) => slot.startAt.toString() === '2026-03-16T09:00:00Z')?.status).toBe('open')
})

test('a hard removal plans close checks, starts the next plan, and two silences open a concern', async () => {
  await importRows(service, clinicId, [
    row('P1', '2026-03-10T09:00', { mobile: '07700 900009', ears: 'left' }),
  ])
  const { visit, patient } = await answerNo('P1')
  clock.set(Temporal.Instant.from('2026-03-10T09:40:00Z'))
  await inFlow(service, clinicId, (flow) =>
    recordProcedure(
      flow,
      visit.visitId,
      {
        ears: [
          {
            ear: 'left',
            found: ['skin-plug'],
            softness: 'hard-and-dry',
            methods: ['suction', 'instrument'],
            result: 'part-cleared',
            canal: ['sore', 'grazed'],
            drum: 'inflamed',
            felt: ['pain'],
            advice: '',
          },
        ],
      },
      staff.first,
    ),
  )
  const own = (await messagesOf(service, clinicId)).filter(
    (one) => one.patientId === patient.patientId && one.status === 'queued',
  )
  expect(own.filter((one) => one.kind === 'aftercare-check').length).toBeGreaterThanOrEqual(3)
  const desk = await inFlow(service, clinicId, (flow) => deskItems(flow))
  expect(desk.some((one) => one.visitId === visit.visitId && one.kind === 'needs-visit')).toBe(true)
  for (let hour = 0; hour < 24 * 6; hour += 2) {
    clock.advance({ hours: 2 })
    await runJobs(service, [deliver, lapse])
  }
  const concerns = await inFlow(service, clinicId, (flow) => queue(flow))
  const silent = concerns.filter((one) => one.visitId === visit.visitId && one.source === 'silence')
  expect(silent).toHaveLength(1)
})
