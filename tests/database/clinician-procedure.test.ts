/** The day sheet, the procedure's form and one patient's page, on the real database. */
import { expect, test } from 'vitest'
import { deliver } from '../../jobs/deliver.ts'
import { checksOfVisit, recordsOfVisit } from '../../src/aftercare/store.ts'
import { deskItems } from '../../src/desk/store.ts'
import { inFlow } from '../../src/flow/context.ts'
import { noteDoses } from '../../src/flow/plans.ts'
import { currentPlan } from '../../src/softening/store.ts'
import { getPatient } from '../../src/visits/store.ts'
import { runJobs, staffClinic } from '../support/clinic.ts'
import { testDatabase } from '../support/database.ts'
import { webTest } from '../support/web.ts'
import { answerHistory, book, hidden, writes } from './clinician-fixtures.ts'

const { service, clock, clinicId } = await testDatabase('2026-03-02T09:00:00Z')
await staffClinic(service, clinicId)
const web = webTest(service)
const wyn = await book(service, clinicId, { name: 'Wyn Ashdown', start: '2026-03-10T10:00', ears: 'left' })
await answerHistory(service, clinicId, wyn.reference, [
  { question: 'perforation-ever', answer: 'yes', asked: 1 },
  { question: 'perforation-recent', answer: 'yes', asked: 1 },
  { question: 'perforation-healed', answer: 'yes', asked: 1 },
])
const una = await book(service, clinicId, { name: 'Una Kestle', start: '2026-03-10T11:00' })
await runJobs(service, [deliver])
await answerHistory(service, clinicId, una.reference)
const plan = await inFlow(service, clinicId, (flow) => currentPlan(flow, una.visit.visitId))
await inFlow(service, clinicId, (flow) =>
  noteDoses(flow, plan?.planId ?? '', plan?.plan.days[0] ?? '', { ears: null, done: 1, replyId: null }),
)
clock.advance({ hours: 24 * 8 + 1 })
const clinician = await web.staff('clinician', clinicId, 'Ada Thornbury')
const desk = await web.staff('reception', clinicId)

const form = (visitId: string) => `/clinician/visits/${visitId}/procedure`
const left = {
  'left-recorded': 'yes',
  'left-softness': 'hard-and-dry',
  'left-found[]': 'hard-wax',
  'left-methods[]': 'suction',
  'left-result': 'part-cleared',
  'left-canal[]': 'sore',
  'left-drum': 'not-seen',
  'left-felt[]': 'pain',
  'left-advice': 'Keep it dry for two days',
}
const recordsFor = (visitId: string) => inFlow(service, clinicId, (flow) => recordsOfVisit(flow, visitId))
const pageOf = async (path: string) => (await clinician.get(path)).text()

test("the day sheet has one line a patient with the screening's notes, and leads to the record", async () => {
  const page = await pageOf('/clinician/day')
  expect(page).toContain('10:00 Wyn Ashdown, removal, left ear, 30 min')
  expect(page).toMatch(/Wyn Ashdown[^<]*suction/i)
  expect(page).toMatch(/Una Kestle[^<]*soft enough: \d+ %/)
  expect(page).toContain(form(wyn.visit.visitId))
  expect(await pageOf('/clinician/day?day=2026-03-11')).toContain('No visits on this day.')
  expect((await clinician.get('/clinician/day?day=nonsense')).status).toBe(200)
  expect(await (await desk.get('/clinician/day')).text()).not.toContain('/procedure"')
  expect((await desk.get(form(wyn.visit.visitId))).status).toBe(403)
})

test('the form shows the warnings beside it, names each fault, and loses nothing', async () => {
  const page = await pageOf(form(wyn.visit.visitId))
  expect(page).toMatch(/Before you start[\s\S]*suction/i)
  const answer = await clinician.post(form(wyn.visit.visitId), {
    ...left,
    version: hidden(page, 'version'),
    'left-softness': '',
    'left-drum': '',
    'right-advice': 'typed for the wrong ear',
  })
  expect(answer.status).toBe(422)
  const again = await answer.text()
  expect(again).toContain('Left ear: Say how soft it was on arrival.')
  expect(again).toContain('Left ear: Say how the drum looked, or that it was not seen.')
  expect(again).toContain('Something is filled in for the right ear')
  for (const kept of ['Keep it dry for two days', 'typed for the wrong ear']) expect(again).toContain(kept)
  expect(again).toMatch(/name="left-canal\[\]" value="sore" checked/)
  expect(again).toMatch(/name="left-result" value="part-cleared" checked/)
  expect(await recordsFor(wyn.visit.visitId)).toEqual([])
})

test('a record is kept and what follows is shown: checks, drops, next visit, the front desk', async () => {
  const version = hidden(await pageOf(form(wyn.visit.visitId)), 'version')
  const answer = await clinician.post(form(wyn.visit.visitId), { ...left, version })
  expect(answer.headers.get('location')).toBe(`/clinician/visits/${wyn.visit.visitId}/recorded`)
  expect((await recordsFor(wyn.visit.visitId)).map(({ record }) => record)).toMatchObject([
    { ear: 'left', softness: 'hard-and-dry', canal: ['sore'], advice: 'Keep it dry for two days' },
  ])
  const checks = await inFlow(service, clinicId, (flow) => checksOfVisit(flow, wyn.visit.visitId))
  expect(checks.length).toBeGreaterThan(1)
  const page = await pageOf(`/clinician/visits/${wyn.visit.visitId}/recorded`)
  expect(page.match(/<li>[^<]*(today|tomorrow|March)[^<]*<\/li>/g)?.length).toBeGreaterThanOrEqual(
    checks.length,
  )
  expect(page).toContain('Needed: <strong>')
  const items = await inFlow(service, clinicId, (flow) => deskItems(flow))
  expect(items.some(({ kind, visitId }) => kind === 'needs-visit' && visitId === wyn.visit.visitId)).toBe(
    true,
  )
  expect(await pageOf('/clinician/day')).toMatch(/Wyn Ashdown[^<]*RECORDED/)
})

test('the same page twice changes nothing; mending takes back an ear recorded by mistake', async () => {
  const old = hidden(await pageOf(form(wyn.visit.visitId)), 'version')
  clock.advance({ minutes: 1 })
  const right = Object.fromEntries(
    Object.entries(left).map(([key, value]) => [key.replace('left', 'right'), value]),
  )
  expect((await clinician.post(form(wyn.visit.visitId), { ...right, version: old })).status).toBe(303)
  expect((await recordsFor(wyn.visit.visitId)).map(({ record }) => record.ear)).toEqual(['right'])
  const stale = await clinician.post(form(wyn.visit.visitId), { ...left, version: old })
  expect(stale.status).toBe(409)
  expect(await stale.text()).toContain('has changed since you opened the page')
  expect((await recordsFor(wyn.visit.visitId)).map(({ record }) => record.ear)).toEqual(['right'])
})

test('two clinicians who record one visit at once: one record stands, the other is told', async () => {
  const other = await web.staff('clinician', clinicId)
  const version = hidden(await pageOf(form(una.visit.visitId)), 'version')
  const answers = await Promise.all([
    clinician.post(form(una.visit.visitId), { ...left, version }),
    other.post(form(una.visit.visitId), { ...left, 'left-softness': 'soft', version }),
  ])
  expect(answers.map(({ status }) => status).sort()).toEqual([303, 409])
  expect(await recordsFor(una.visit.visitId)).toHaveLength(1)
})

test('nothing is recorded before its day or for a cancelled visit', async () => {
  const later = await book(service, clinicId, { name: 'Piran Lowe', start: '2026-03-20T10:00' })
  const version = hidden(await pageOf(form(later.visit.visitId)), 'version')
  const answer = await clinician.post(form(later.visit.visitId), { ...left, version })
  expect(answer.status).toBe(409)
  expect(await answer.text()).toContain('still to come')
  expect(await recordsFor(later.visit.visitId)).toEqual([])
})

test("one patient's page holds everything in the order of time; reception sees no readings", async () => {
  clock.advance({ minutes: 1 })
  await writes(service, clinicId, una.mobile, 'it is bleeding and wont stop')
  const page = await pageOf(`/clinician/patients/${una.patient.patientId}`)
  const order = [
    'Visit booked',
    'Plan of drops',
    'Text to the patient',
    'Procedure, left ear',
    'The patient wrote',
  ]
  const past = page.slice(page.indexOf('What has happened'))
  const places = order.map((what) => past.indexOf(what))
  expect(places.every((place) => place >= 0)).toBe(true)
  expect(places).toEqual(places.toSorted((a, b) => a - b))
  expect(page).toContain('9 times in 10 between')
  expect(page).toContain('Doses done, as the patient says')
  expect(page.slice(page.indexOf('What is to come'), page.indexOf('What has happened'))).toContain('Check 1')
  expect(page).not.toMatch(/http:\/\/127\.0\.0\.1:4180\/p\//)
  const forDesk = await (await desk.get(`/clinician/patients/${una.patient.patientId}`)).text()
  expect(forDesk).toContain('Una Kestle')
  expect(forDesk).not.toContain('bleeding and wont stop')
  expect(forDesk).not.toContain('Procedure, left ear')
  expect((await inFlow(service, clinicId, (flow) => getPatient(flow, una.patient.patientId)))?.name).toBe(
    'Una Kestle',
  )
})
