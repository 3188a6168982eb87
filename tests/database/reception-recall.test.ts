/** Returners are invited at their own interval, once, and their answer reaches the front desk. */
import { Temporal } from 'temporal-polyfill'
import { expect, test } from 'vitest'
import { deliver } from '../../jobs/deliver.ts'
import { recall } from '../../jobs/recall.ts'
import { deskItems } from '../../src/desk/store.ts'
import { recordProcedure } from '../../src/flow/aftercare.ts'
import { inFlow } from '../../src/flow/context.ts'
import { sinceWords } from '../../src/flow/recall.ts'
import { handleReply } from '../../src/flow/replies.ts'
import { receive } from '../../src/messages/inbound.ts'
import { openQuestions } from '../../src/messages/store.ts'
import { setStopped } from '../../src/visits/store.ts'
import { importRows, messagesOf, openSlot, runJobs, staffClinic, visitAndPatient } from '../support/clinic.ts'
import { testDatabase } from '../support/database.ts'
import { webTest } from '../support/web.ts'

const { service, clock, clinicId } = await testDatabase('2025-01-06T09:00:00Z')
const staff = await staffClinic(service, clinicId)
const web = webTest(service)

const mobile = (n: number) => `07700 9005${String(n).padStart(2, '0')}`

async function removal(n: number, ref: string, day: string) {
  const text = `${ref},Patient ${n},${mobile(n)},,1940-01-01,${day}T10:00,30,Ottoline Marsh,removal,left,`
  expect((await importRows(service, clinicId, [text])).problems).toEqual([])
  const { visit, patient } = await visitAndPatient(service, clinicId, ref)
  const at = Temporal.PlainDateTime.from(`${day}T10:30`).toZonedDateTime('Europe/London').toInstant()
  if (Temporal.Instant.compare(at, clock.now()) > 0) clock.set(at)
  await inFlow(service, clinicId, (flow) =>
    recordProcedure(
      flow,
      visit.visitId,
      {
        ears: [
          {
            ear: 'left',
            found: ['soft-wax'],
            softness: 'soft',
            methods: ['suction'],
            result: 'cleared',
            canal: ['normal'],
            drum: 'normal',
            felt: ['nothing'],
            advice: '',
          },
        ],
      },
      staff.first,
    ),
  )
  return patient
}

const invitations = async () =>
  (await messagesOf(service, clinicId)).filter(({ kind }) => kind === 'recall-invitation')
const goTo = (day: string) =>
  clock.set(Temporal.PlainDateTime.from(`${day}T11:00`).toZonedDateTime('Europe/London').toInstant())

test('each at their own interval, once, and not those who have stopped or have a visit to come', async () => {
  // Twice half a year: about every 7 months with the clinic's usual year weighed in.
  await removal(1, 'A1', '2025-01-07')
  // Once only: the usual year. The second has stopped, the third has a visit to come.
  const once = await removal(2, 'B1', '2025-01-08')
  const stopped = await removal(3, 'C1', '2025-01-09')
  const booked = await removal(4, 'D1', '2025-01-10')
  const often = await removal(1, 'A2', '2025-07-07')
  await inFlow(service, clinicId, (flow) => setStopped(flow, stopped.patientId, flow.now))
  await importRows(service, clinicId, [
    `D2,Patient 4,${mobile(4)},,1940-01-01,2026-06-01T10:00,30,Ottoline Marsh,assessment,left,`,
  ])
  goTo('2025-12-10')
  await runJobs(service, [recall])
  expect(await invitations()).toHaveLength(0)
  // 365 days after 8 January 2025 less 21.
  goTo('2025-12-17')
  await runJobs(service, [recall])
  expect(await invitations()).toHaveLength(0)
  goTo('2025-12-18')
  await runJobs(service, [recall])
  await runJobs(service, [recall])
  const first = await invitations()
  expect(first.map(({ patientId }) => patientId)).toEqual([once.patientId])
  expect(first[0]?.body).toContain('It is 11 months since we saw your ears.')
  // The geometric mean of 181 and 365 days is 257: 21 March 2026, invited 28 February.
  goTo('2026-02-27')
  await runJobs(service, [recall])
  expect(await invitations()).toHaveLength(1)
  goTo('2026-02-28')
  await runJobs(service, [recall])
  expect((await invitations()).map(({ patientId }) => patientId)).toEqual([once.patientId, often.patientId])
  for (const { patientId } of [stopped, booked])
    expect((await invitations()).map((one) => one.patientId)).not.toContain(patientId)
  // A year later nobody is asked a second time for the same removal.
  await runJobs(service, [deliver])
})

test('a yes puts the patient on the list to be booked; the history is asked for the new visit', async () => {
  const { patient } = await visitAndPatient(service, clinicId, 'A2')
  const question = (
    await inFlow(service, clinicId, (flow) => openQuestions(flow, patient.patientId, flow.now))
  )[0]
  expect(question?.kind).toBe('recall')
  const { replyId } = await receive(service, clinicId, {
    transport: 'handset',
    providerId: 'recall-yes',
    from: '+447700900501',
    body: 'Yes please',
  })
  await handleReply(service, clinicId, replyId)
  const items = await inFlow(service, clinicId, (flow) => deskItems(flow))
  const own = items.filter(
    ({ patientId, kind }) => patientId === patient.patientId && kind !== 'delivery-failed',
  )
  expect(own.map(({ kind }) => kind)).toEqual(['recall-answered'])
  expect(own[0]?.note).toContain('learned from 1 interval')
  const slotId = await openSlot(service, clinicId, '2026-03-20T10:00:00Z')
  const desk = await web.staff('reception', clinicId)
  const at = `/reception/items/${own[0]?.itemId}/book`
  const page = await desk.get(at)
  expect(page.status).toBe(200)
  expect(await page.text()).toContain('Removal')
  expect((await desk.post(at, { slot: slotId })).status).toBe(303)
  const sent = (await messagesOf(service, clinicId)).filter(
    (one) => one.patientId === patient.patientId && one.status === 'queued',
  )
  expect(sent.map(({ kind }) => kind)).toEqual(
    expect.arrayContaining(['visit-booked', 'screening-invitation']),
  )
})

test('a no ends it, and other words reach a person', async () => {
  const { patient } = await visitAndPatient(service, clinicId, 'B1')
  goTo('2026-12-20')
  await runJobs(service, [recall])
  const ofPatient = async () =>
    (await invitations()).filter(({ patientId }) => patientId === patient.patientId).length
  // Not again for the same removal.
  expect(await ofPatient()).toBe(1)
  await removal(2, 'B2', '2026-12-21')
  // 712 days, and the usual year: 510 days, invited 21 days before.
  goTo('2028-04-23')
  await runJobs(service, [recall])
  expect(await ofPatient()).toBe(2)
  await runJobs(service, [deliver])
  const { replyId } = await receive(service, clinicId, {
    transport: 'handset',
    providerId: 'recall-no',
    from: '+447700900502',
    body: 'No thanks',
  })
  expect(await handleReply(service, clinicId, replyId)).toBe('none')
  const items = await inFlow(service, clinicId, (flow) => deskItems(flow))
  const own = items.filter(({ patientId }) => patientId === patient.patientId)
  expect(own.map(({ kind }) => kind)).not.toContain('recall-answered')
  expect(await inFlow(service, clinicId, (flow) => openQuestions(flow, patient.patientId, flow.now))).toEqual(
    [],
  )
})

test('the time since is said in whole weeks, months or years', () => {
  const since = (from: string, to: string) =>
    sinceWords(Temporal.PlainDate.from(from), Temporal.PlainDate.from(to))
  expect(since('2026-01-01', '2026-02-20')).toBe('7 weeks')
  expect(since('2026-01-01', '2026-03-01')).toBe('2 months')
  expect(since('2026-01-31', '2026-12-30')).toBe('10 months')
  expect(since('2024-01-01', '2025-12-31')).toBe('23 months')
  expect(since('2024-01-01', '2026-01-01')).toBe('2 years')
})
