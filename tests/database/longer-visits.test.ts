/** What a history asks of the length of a visit reaches the front desk; dead skin that keeps coming back lengthens the plan. */
import { Temporal } from 'temporal-polyfill'
import { expect, test } from 'vitest'
import type { EarRecord } from '../../src/aftercare/record.ts'
import { deskItems } from '../../src/desk/store.ts'
import { recordProcedure } from '../../src/flow/aftercare.ts'
import { inFlow } from '../../src/flow/context.ts'
import { takeAnswers } from '../../src/flow/screening.ts'
import { softeningDefaults, softeningSchema } from '../../src/protocol/sections/softening.ts'
import { noToAll } from '../../src/softening/screening.ts'
import { currentPlan } from '../../src/softening/store.ts'
import { importRows, openSlot, staffClinic, visitAndPatient } from '../support/clinic.ts'
import { testDatabase } from '../support/database.ts'
import { webTest } from '../support/web.ts'

// Monday.
const { service, clock, clinicId } = await testDatabase('2026-03-02T09:00:00Z')
const staff = await staffClinic(service, clinicId)
const web = webTest(service)
const desk = await web.staff('reception', clinicId, 'Wilf Orrin')

/** Books a removal of both ears and answers the history: no to all but `yes`. */
async function book(ref: string, mobile: string, start: string, yes: string[] = [], ears = 'both') {
  await importRows(service, clinicId, [
    `${ref},Patient ${mobile},07700 900${mobile},,1940-01-01,${start},30,Ottoline Marsh,removal,${ears},`,
  ])
  const { visit, patient } = await visitAndPatient(service, clinicId, ref)
  await inFlow(service, clinicId, (flow) =>
    takeAnswers(
      flow,
      visit,
      patient,
      noToAll(flow.rules.softening).map((one) =>
        yes.includes(one.question) ? { ...one, answer: 'yes' as const } : one,
      ),
      { byText: false },
    ),
  )
  return visit
}

const moreTime = (visitId: string) =>
  inFlow(service, clinicId, async (flow) =>
    (await deskItems(flow)).filter((one) => one.visitId === visitId && one.kind === 'more-time'),
  )
const pageOf = async (visitId: string) => (await desk.get(`/reception/visits/${visitId}`)).text()

test('a history that needs much more time is on the list of the desk until the visit is longer', async () => {
  const visit = await book('T1', '001', '2026-03-12T10:00', ['only-hearing-ear', 'blood-thinners'])
  const [item] = await moreTime(visit.visitId)
  expect(item?.note).toBe('15 minutes more than such a visit usually takes; 30 are booked.')
  // The number is the desk's business, its reason is not.
  expect(item?.note).not.toMatch(/thinner|hears/)
  const before = await pageOf(visit.visitId)
  expect(before).toContain('15 minutes more than such a visit usually takes')
  expect(before).toMatch(/name="minutes"[^>]*value="45"/)
  await openSlot(service, clinicId, '2026-03-12T10:30:00Z')
  const done = await desk.post(`/reception/visits/${visit.visitId}/lengthen`, { minutes: '45' })
  expect(done.status).toBe(303)
  expect(await moreTime(visit.visitId)).toEqual([])
  expect(await pageOf(visit.visitId)).not.toContain('more than such a visit usually takes')
})

test('a little more time is shown on the page and asked of nobody; none is not shown', async () => {
  const little = await book('T2', '002', '2026-03-12T11:00', ['blood-thinners'])
  expect(await moreTime(little.visitId)).toEqual([])
  expect(await pageOf(little.visitId)).toContain('5 minutes more than such a visit usually takes')
  const none = await book('T3', '003', '2026-03-12T12:00', ['diabetes'])
  expect(await moreTime(none.visitId)).toEqual([])
  expect(await pageOf(none.visitId)).not.toContain('more than such a visit usually takes')
})

test("a file that makes the visit longer settles it; one that leaves it as it was doesn't", async () => {
  const visit = await book('T4', '004', '2026-03-13T10:00', ['immune', 'only-hearing-ear'])
  const again = (minutes: number) =>
    importRows(service, clinicId, [
      `T4,Patient 004,07700 900004,,1940-01-01,2026-03-13T10:00,${minutes},Ottoline Marsh,removal,both,`,
    ])
  await again(30)
  expect(await moreTime(visit.visitId)).toHaveLength(1)
  await again(50)
  expect(await moreTime(visit.visitId)).toEqual([])
})

test('a protocol that was signed before the rule has it as shipped', () => {
  const { lengthenFromMinutes: _, ...older } = softeningDefaults.screening
  expect(softeningSchema.parse({ ...softeningDefaults, screening: older })).toEqual(softeningDefaults)
})

const plug = (ear: 'left' | 'right', found: EarRecord['found']): EarRecord => ({
  ear,
  found,
  softness: 'hard-and-dry',
  methods: ['suction'],
  result: 'cleared',
  canal: ['normal'],
  drum: 'normal',
  felt: ['nothing'],
  advice: '',
})
const daysOf = async (visitId: string) =>
  (await inFlow(service, clinicId, (flow) => currentPlan(flow, visitId)))?.plan.days.length

test('two visits that found dead skin in the same ear make the next plan longer, without a mark in the file', async () => {
  const visits: [ref: string, start: string, found: EarRecord['found']][] = [
    ['D1', '2026-04-20T10:00', ['skin-plug']],
    ['D2', '2026-06-22T10:00', ['soft-wax', 'skin-plug']],
  ]
  for (const [ref, start, found] of visits) {
    const at = Temporal.PlainDateTime.from(start).toZonedDateTime('Europe/London')
    clock.set(at.subtract({ days: 20 }).toInstant())
    const visit = await book(ref, '005', start)
    expect(await daysOf(visit.visitId)).toBe(5)
    clock.set(at.toInstant())
    const ears = [plug('left', found), plug('right', ['soft-wax'])]
    await inFlow(service, clinicId, (flow) => recordProcedure(flow, visit.visitId, { ears }, staff.first))
  }
  const left = await book('D3', '005', '2026-07-20T10:00', [], 'left')
  expect(await daysOf(left.visitId)).toBe(7)
  // The right ear never had any.
  const right = await book('D4', '005', '2026-07-21T10:00', [], 'right')
  expect(await daysOf(right.visitId)).toBe(5)
})
