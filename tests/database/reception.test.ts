/** The front desk's pages on the real database: the list, offering times, open times, the import. */
import { Temporal } from 'temporal-polyfill'
import { expect, test } from 'vitest'
import { lapse } from '../../jobs/lapse.ts'
import { deskItems, putOnDesk } from '../../src/desk/store.ts'
import { inFlow } from '../../src/flow/context.ts'
import { answerMove } from '../../src/flow/moves.ts'
import { noteDoses } from '../../src/flow/plans.ts'
import { takeAnswers } from '../../src/flow/screening.ts'
import { movesOf } from '../../src/softening/moves/store.ts'
import { noToAll } from '../../src/softening/screening.ts'
import { currentPlan } from '../../src/softening/store.ts'
import { importRows, messagesOf, openSlot, runJobs, staffClinic, visitAndPatient } from '../support/clinic.ts'
import { testDatabase } from '../support/database.ts'
import { fileForm, webTest } from '../support/web.ts'

// Monday.
const { service, clock, clinicId } = await testDatabase('2026-03-02T09:00:00Z')
await staffClinic(service, clinicId)
const web = webTest(service)
const desk = () => web.staff('reception', clinicId)

const row = (ref: string, start: string, more: Record<string, string> = {}) =>
  [
    ref,
    more.name ?? `Patient ${ref}`,
    more.mobile ?? `07700 9001${String(Number(ref.slice(1))).padStart(2, '0')}`,
    '',
    '1940-01-01',
    start,
    more.minutes ?? 30,
    more.practitioner ?? 'Ottoline Marsh',
    more.purpose ?? 'removal',
    more.ears ?? 'both',
    '',
  ].join(',')

/** Books it, settles the history, and tells of so many doses on each of these days. */
async function visitWith(ref: string, start: string, doses: Record<string, number>, more = {}) {
  await importRows(service, clinicId, [row(ref, start, more)])
  const { visit, patient } = await visitAndPatient(service, clinicId, ref)
  await inFlow(service, clinicId, (flow) =>
    takeAnswers(flow, visit, patient, noToAll(flow.rules.softening), { byText: true }),
  )
  const plan = await inFlow(service, clinicId, (flow) => currentPlan(flow, visit.visitId))
  for (const [day, done] of Object.entries(doses)) {
    await inFlow(service, clinicId, (flow) =>
      noteDoses(flow, plan?.planId as string, day, { ears: null, done, replyId: null }),
    )
  }
  return visit
}

test('a visit that will not be soft enough stands on the first page with its grounds and its answers', async () => {
  // Booked late: two days of drops are too few, a week is enough.
  const visit = await visitWith('V1', '2026-03-04T10:00', { '2026-03-02': 2 })
  const slotId = await openSlot(service, clinicId, '2026-03-10T10:00:00Z')
  const person = await desk()
  const text = await (await person.get('/reception')).text()
  expect(text).toContain('Patient V1')
  expect(text).toMatch(
    /Left ear: 2 of 2 doses so far\. Right ear: 2 of 2 doses so far\. From the patient&#39;s answers on 1 day\./,
  )
  expect(text).toContain('The rest of the plan')
  expect(text).toContain('First day on which it should be ready')
  expect(text).toContain(`value="${slotId}"`)
  expect(text).toContain('Turn into an assessment')
  const page = await (await person.get(`/reception/visits/${visit.visitId}`)).text()
  expect(page).toContain('07700900101'.slice(1))
  const asked = await person.post(`/reception/visits/${visit.visitId}/propose`, { 'slot[]': slotId })
  expect(asked.status).toBe(303)
  expect(asked.headers.get('location')).toBe(`/reception/visits/${visit.visitId}?done=proposed`)
  const texts = (await messagesOf(service, clinicId)).filter(({ kind }) => kind === 'move-proposal')
  expect(texts.at(-1)?.body).toContain('The drops need more days to work.')
  const again = await person.post(`/reception/visits/${visit.visitId}/propose`, { 'slot[]': slotId })
  expect(again.status).toBe(409)
  expect(await again.text()).toContain('waits for its answer')
  expect(await (await person.get('/reception')).text()).toContain('asked; no answer yet')
})
