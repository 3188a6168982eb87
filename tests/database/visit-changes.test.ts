/** What becomes of the history, the plan and the texts when a visit's kind or day changes under them. */
import { Temporal } from 'temporal-polyfill'
import { expect, test } from 'vitest'
import { lapse } from '../../jobs/lapse.ts'
import { deskItems } from '../../src/desk/store.ts'
import { inFlow } from '../../src/flow/context.ts'
import { takeAnswers } from '../../src/flow/screening.ts'
import { noToAll } from '../../src/softening/screening.ts'
import { currentPlan, getScreening } from '../../src/softening/store.ts'
import { importRows, messagesOf, runJobs, staffClinic, visitAndPatient } from '../support/clinic.ts'
import { testDatabase } from '../support/database.ts'

// Monday.
const { service, clock, clinicId } = await testDatabase('2026-03-02T09:00:00Z')
await staffClinic(service, clinicId)

const load = (ref: string, start: string, purpose = 'removal') =>
  importRows(service, clinicId, [
    `${ref},Patient ${ref},07700 9005${ref.slice(1)},,,${start},30,Ottoline Marsh,${purpose},both,`,
  ])
const answerNo = async (ref: string) => {
  const { visit, patient } = await visitAndPatient(service, clinicId, ref)
  await inFlow(service, clinicId, (flow) =>
    takeAnswers(flow, visit, patient, noToAll(flow.rules.softening), { byText: true }),
  )
}
async function stateOf(ref: string) {
  const { visit, patient } = await visitAndPatient(service, clinicId, ref)
  const messages = (await messagesOf(service, clinicId)).filter((one) => one.patientId === patient.patientId)
  return await inFlow(service, clinicId, async (flow) => ({
    screening: (await getScreening(flow, visit.visitId))?.status,
    plan: await currentPlan(flow, visit.visitId),
    desk: (await deskItems(flow))
      .filter(({ patientId }) => patientId === patient.patientId)
      .map(({ kind }) => kind),
    queued: messages.filter(({ status }) => status === 'queued'),
    kinds: messages.filter(({ status }) => status === 'queued').map(({ kind }) => kind),
  }))
}

test('a removal that becomes a recheck asks no history, and nobody hears that an answer is missing', async () => {
  await load('V01', '2026-03-20T10:00')
  await load('V01', '2026-03-20T10:00', 'recheck')
  expect(await stateOf('V01')).toMatchObject({ screening: 'cancelled', kinds: ['visit-reminder'] })
  clock.advance({ hours: 24 * 3 })
  await runJobs(service, [lapse])
  expect((await stateOf('V01')).desk).toEqual([])
  await load('V01', '2026-03-20T10:00', 'removal')
  expect(await stateOf('V01')).toMatchObject({ screening: 'asked' })
})

test('a visit whose day is put right to one in the past gets no text about it and keeps no plan', async () => {
  await load('V02', '2026-03-20T11:00')
  await answerNo('V02')
  await load('V02', '2026-02-20T11:00')
  expect(await stateOf('V02')).toMatchObject({ plan: null, kinds: [] })
  await load('V03', '2026-03-20T11:30')
  await load('V03', '2026-02-20T11:30')
  expect(await stateOf('V03')).toMatchObject({ plan: null, screening: 'cancelled', kinds: [] })
})

test('a history that stayed without an answer is asked again for the new time, not called an answer', async () => {
  await load('V04', '2026-03-18T10:00')
  clock.advance({ hours: 24 * 3 })
  await runJobs(service, [lapse])
  expect(await stateOf('V04')).toMatchObject({ screening: 'overdue' })
  await load('V04', '2026-03-30T10:00')
  const { screening, kinds } = await stateOf('V04')
  expect(screening).toBe('asked')
  expect(kinds).toContain('screening-invitation')
  expect(kinds).not.toContain('plan-withheld')
})

test('a visit booked in the quiet hours gets its reminder of the history later than its first question', async () => {
  clock.set(Temporal.Instant.from('2026-04-01T20:30:00Z'))
  await load('V05', '2026-04-02T15:00')
  await load('V06', '2026-04-03T15:00')
  expect((await stateOf('V05')).kinds).not.toContain('screening-reminder')
  const { queued } = await stateOf('V06')
  const due = (kind: string) =>
    Temporal.Instant.from(queued.find((one) => one.kind === kind)?.dueAt as string)
  expect(due('screening-invitation').until(due('screening-reminder')).total('hours')).toBeGreaterThan(6)
})

test('where nothing fits before the visit, the text claims no more than to use no drops', async () => {
  await load('V07', '2026-04-01T23:30')
  await answerNo('V07')
  const { patient } = await visitAndPatient(service, clinicId, 'V07')
  const bodies = (await messagesOf(service, clinicId))
    .filter((one) => one.patientId === patient.patientId && one.kind === 'plan-none-needed')
    .map(({ body }) => body)
  for (const body of bodies) expect(body).not.toMatch(/do not need/)
})
