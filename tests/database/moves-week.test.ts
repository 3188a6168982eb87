/** The week's best plan on the real database: accepted, offered, chained, let lapse, and never double-booked. */
import { sql } from 'drizzle-orm'
import { Temporal } from 'temporal-polyfill'
import { beforeEach, expect, test } from 'vitest'
import { lapse } from '../../jobs/lapse.ts'
import { inClinic } from '../../src/database/service.ts'
import { deskItems } from '../../src/desk/store.ts'
import { continueChain, endIdleWaits, moveTogether, waitForPlace } from '../../src/flow/chains.ts'
import { inFlow } from '../../src/flow/context.ts'
import { answerMove, moveNow, proposeMove } from '../../src/flow/moves.ts'
import { noteDoses } from '../../src/flow/plans.ts'
import { takeAnswers } from '../../src/flow/screening.ts'
import { bestPlan, loadWeek } from '../../src/flow/week.ts'
import {
  acceptAction,
  acceptAll,
  acceptTogether,
  groupStamp,
  stampOf,
  wayOf,
} from '../../src/flow/week-acts.ts'
import { addSlot, movesOf } from '../../src/softening/moves/store.ts'
import { noToAll } from '../../src/softening/screening.ts'
import { currentPlan } from '../../src/softening/store.ts'
import { putPractitioner, setStopped } from '../../src/visits/store.ts'
import { importRows, messagesOf, openSlot, runJobs, staffClinic, visitAndPatient } from '../support/clinic.ts'
import { testDatabase } from '../support/database.ts'
import { webTest } from '../support/web.ts'

// Monday.
const START = Temporal.Instant.from('2026-03-02T09:00:00Z')
const { service, clock, clinicId: unused, addClinic } = await testDatabase(START.toString())
await staffClinic(service, unused)
const web = webTest(service)

let clinicId = ''
let desk = ''
let number = 0
// A clinic a test: each plan sees only its own visits.
beforeEach(async () => {
  number += 1
  clinicId = await addClinic(`week-${number}`)
  desk = (await staffClinic(service, clinicId)).desk
})

const row = (ref: string, start: string, more: Record<string, string> = {}) =>
  [
    ref,
    `Patient ${ref}`,
    `07700 900${ref.charCodeAt(0)}${ref.charCodeAt(1) % 10}`,
    '',
    '1940-01-01',
    start,
    more.minutes ?? 30,
    more.practitioner ?? 'Ottoline Marsh',
    more.purpose ?? 'removal',
    'left',
    '',
  ].join(',')

/** `doses`: what was done on the plan's days that are over by now. */
async function book(ref: string, start: string, doses: Record<string, number> = {}, more = {}) {
  const report = await importRows(service, clinicId, [row(ref, start, more)])
  expect(report.problems).toEqual([])
  const { visit, patient } = await visitAndPatient(service, clinicId, ref)
  await inFlow(service, clinicId, (flow) =>
    takeAnswers(flow, visit, patient, noToAll(flow.rules.softening), { byText: true }),
  )
  const plan = await inFlow(service, clinicId, (flow) => currentPlan(flow, visit.visitId))
  for (const [day, done] of Object.entries(doses))
    await inFlow(service, clinicId, (flow) =>
      noteDoses(flow, plan?.planId as string, day, { ears: null, done, replyId: null }),
    )
  return visit.visitId
}

const look = () =>
  inFlow(service, clinicId, async (flow) => {
    const week = await loadWeek(flow)
    const plan = bestPlan(week)
    if (!plan) throw new Error(week.problem ?? 'no plan')
    return {
      week,
      plan,
      of: (ref: string) => plan.visits.find(({ id }) => id === ref) as (typeof plan.visits)[number],
    }
  })
const startOf = async (ref: string) =>
  (await visitAndPatient(service, clinicId, ref)).visit.startAt.toString()
const moves = async (visitId: string) => await inFlow(service, clinicId, (flow) => movesOf(flow, [visitId]))
const slots = () => inFlow(service, clinicId, (flow) => flow.tx.query.slot.findMany())

/** Pairs of booked visits of one practitioner that overlap. */
const overlaps = () =>
  inClinic(service, clinicId, (scope) =>
    scope.tx.execute(sql`select a.reference, b.reference as other from visit a join visit b
      on a.practitioner_id = b.practitioner_id and a.visit_id < b.visit_id and a.status = 'booked' and b.status = 'booked'
      and tstzrange(a.start_at, a.start_at + a.minutes * interval '1 minute')
       && tstzrange(b.start_at, b.start_at + b.minutes * interval '1 minute')`),
  )

test('an ear that needs more days is offered up to three later times, which are held; the first answer takes one', async () => {
  const visitId = await book('AA', '2026-03-04T10:00', { '2026-03-02': 2 })
  for (const day of [9, 10, 11, 12])
    await openSlot(service, clinicId, `2026-03-${String(day).padStart(2, '0')}T10:00:00Z`)
  const { week, plan, of } = await look()
  const planned = of('AA')
  expect(planned.action).toBe('move')
  expect(plan.saving).toBeGreaterThan(0)
  expect(wayOf(week, plan, planned)).toMatchObject({ way: 'propose', slotIds: { length: 3 } })
  await expect(
    inFlow(service, clinicId, (flow) => acceptAction(flow, visitId, 'move elsewhere', desk)),
  ).rejects.toThrow('The best plan has changed')
  expect(await inFlow(service, clinicId, (flow) => acceptAction(flow, visitId, stampOf(planned), desk))).toBe(
    'propose',
  )
  expect((await slots()).filter(({ status }) => status === 'held')).toHaveLength(3)
  // A visit that has been asked stays in the next plan.
  expect((await look()).of('AA').action).toBe('stay')
  const [move] = await moves(visitId)
  expect(move).toMatchObject({ status: 'proposed', choices: { length: 3 }, proposedBy: desk })
  expect(await inFlow(service, clinicId, (flow) => answerMove(flow, move?.moveId as string, 1))).toBe(
    'accepted',
  )
  expect(await startOf('AA')).toBe(move?.choices[1]?.startAt)
  const after = await slots()
  expect(after.filter(({ status }) => status === 'held')).toEqual([])
  expect(after.find(({ startAt }) => startAt.toString() === '2026-03-04T10:00:00Z')?.status).toBe('open')
})

test('nothing is held for a patient who cannot be asked', async () => {
  const visitId = await book('IA', '2026-03-10T10:00')
  const slotId = await openSlot(service, clinicId, '2026-03-12T10:00:00Z')
  const { patient } = await visitAndPatient(service, clinicId, 'IA')
  await inFlow(service, clinicId, (flow) => setStopped(flow, patient.patientId, flow.now))
  const offer = () =>
    inFlow(service, clinicId, (flow) =>
      proposeMove(flow, {
        visitId,
        slotIds: [slotId],
        reason: 'It helps us to fit each visit in.',
        proposedBy: desk,
        deadlineAt: flow.now.add({ hours: 24 }),
      }),
    )
  await expect(offer()).rejects.toThrow('has stopped our messages')
  expect(await moves(visitId)).toEqual([])
  expect((await slots()).find((one) => one.slotId === slotId)?.status).toBe('open')
  await inFlow(service, clinicId, (flow) => setStopped(flow, patient.patientId, null))
  await offer()
  expect((await slots()).find((one) => one.slotId === slotId)?.status).toBe('held')
})

test('what a visit does not need of a long open time stays open', async () => {
  const visitId = await book('KA', '2026-03-10T10:00')
  const long = await openSlot(service, clinicId, '2026-03-12T09:00:00Z', 75)
  const short = await openSlot(service, clinicId, '2026-03-13T09:00:00Z', 35)
  await inFlow(service, clinicId, (flow) => moveNow(flow, visitId, long, desk))
  const open = async () =>
    (await slots())
      .filter(({ status }) => status === 'open')
      .map(({ startAt, minutes }) => `${startAt} ${minutes}`)
      .sort()
  expect(await open()).toEqual([
    '2026-03-10T10:00:00Z 30',
    '2026-03-12T09:30:00Z 45',
    '2026-03-13T09:00:00Z 35',
  ])
  // Five minutes serve nobody; the time left behind is open for as long as the visit was.
  await inFlow(service, clinicId, (flow) => moveNow(flow, visitId, short, desk))
  expect(await open()).toEqual([
    '2026-03-10T10:00:00Z 30',
    '2026-03-12T09:00:00Z 30',
    '2026-03-12T09:30:00Z 45',
  ])
  expect(await overlaps()).toEqual([])
})

test('a chain: who waits for a place is asked when it is free, and not before', async () => {
  const first = await book('CA', '2026-03-10T10:00')
  const second = await book('CB', '2026-03-04T10:00', { '2026-03-02': 2 })
  const third = await book('CC', '2026-03-04T11:00', { '2026-03-02': 2 })
  const open = await openSlot(service, clinicId, '2026-03-12T10:00:00Z')
  const place = async (ref: string) => (await visitAndPatient(service, clinicId, ref)).visit
  await inFlow(service, clinicId, (flow) =>
    proposeMove(flow, {
      visitId: first,
      slotIds: [open],
      reason: 'It helps us to fit each visit in.',
      proposedBy: desk,
      deadlineAt: flow.now.add({ hours: 24 }),
    }),
  )
  const to = { reason: 'The drops need more days to work.', staffId: desk }
  const [ca, cb] = [await place('CA'), await place('CB')]
  await inFlow(service, clinicId, (flow) => waitForPlace(flow, second, ca, to))
  await inFlow(service, clinicId, (flow) => waitForPlace(flow, third, cb, to))
  await expect(inFlow(service, clinicId, (flow) => waitForPlace(flow, third, cb, to))).rejects.toThrow(
    'waits already',
  )
  const asked = async () =>
    (await messagesOf(service, clinicId)).filter(({ kind }) => kind === 'move-proposal').length
  expect(await asked()).toBe(1)
  const answer = async (visitId: string) => {
    const move = (await moves(visitId)).find(({ status }) => status === 'proposed')
    return await inFlow(service, clinicId, (flow) => answerMove(flow, move?.moveId as string, 0))
  }
  expect(await answer(first)).toBe('accepted')
  expect(await asked()).toBe(2)
  expect((await moves(third)).map(({ status }) => status)).toEqual(['waiting'])
  expect(await answer(second)).toBe('accepted')
  expect(await startOf('CB')).toBe('2026-03-10T10:00:00Z')
  expect(await asked()).toBe(3)
  expect(await answer(third)).toBe('accepted')
  expect(await startOf('CC')).toBe('2026-03-04T10:00:00Z')
  expect(await overlaps()).toEqual([])
})

test('a chain ends where somebody keeps their time: nobody behind them is asked, and reception hears of it', async () => {
  const first = await book('DA', '2026-03-10T10:00')
  const second = await book('DB', '2026-03-04T10:00', { '2026-03-02': 2 })
  const third = await book('DC', '2026-03-04T11:00', { '2026-03-02': 2 })
  const open = await openSlot(service, clinicId, '2026-03-12T10:00:00Z')
  const at = async (ref: string) => (await visitAndPatient(service, clinicId, ref)).visit
  const [da, db] = [await at('DA'), await at('DB')]
  const to = { reason: 'The drops need more days to work.', staffId: desk }
  const moveId = await inFlow(service, clinicId, (flow) =>
    proposeMove(flow, {
      visitId: first,
      slotIds: [open],
      reason: 'It helps us to fit each visit in.',
      proposedBy: desk,
      deadlineAt: flow.now.add({ hours: 24 }),
    }),
  )
  await inFlow(service, clinicId, (flow) => waitForPlace(flow, second, da, to))
  await inFlow(service, clinicId, (flow) => waitForPlace(flow, third, db, to))
  await inFlow(service, clinicId, endIdleWaits)
  expect((await moves(second))[0]?.status).toBe('waiting')
  expect(await inFlow(service, clinicId, (flow) => answerMove(flow, moveId, null))).toBe('declined')
  expect((await moves(second))[0]?.status).toBe('withdrawn')
  expect((await moves(third))[0]?.status).toBe('withdrawn')
  const items = (await inFlow(service, clinicId, (flow) => deskItems(flow))).filter(({ note }) =>
    note.includes('was not asked'),
  )
  expect(items.map(({ visitId }) => visitId).sort()).toEqual([second, third].sort())
  expect(await inFlow(service, clinicId, (flow) => continueChain(flow, da))).toBe(false)
})

test('two patients change places in one step, with all messages, or not at all', async () => {
  const first = await book('EA', '2026-03-04T10:00', { '2026-03-02': 2 })
  const second = await book('EB', '2026-03-13T10:00')
  const third = await book('EC', '2026-03-13T11:00')
  const visit = async (ref: string) => (await visitAndPatient(service, clinicId, ref)).visit
  const [a, b, c] = [await visit('EA'), await visit('EB'), await visit('EC')]
  const to = (from: string, place: typeof a) => ({
    visitId: from,
    startAt: place.startAt,
    practitionerId: place.practitionerId,
    room: place.room,
    slotId: null,
  })
  // One of them to a place that a third one keeps.
  await expect(
    inFlow(service, clinicId, (flow) => moveTogether(flow, [to(first, c), to(second, a)], desk)),
  ).rejects.toThrow('no longer free')
  await expect(
    inFlow(service, clinicId, (flow) => moveTogether(flow, [to(first, b), to(second, b)], desk)),
  ).rejects.toThrow('no longer free')
  expect(await startOf('EA')).toBe('2026-03-04T10:00:00Z')
  await inFlow(service, clinicId, (flow) => moveTogether(flow, [to(first, b), to(second, a)], desk))
  expect([await startOf('EA'), await startOf('EB'), await startOf('EC')]).toEqual([
    '2026-03-13T10:00:00Z',
    '2026-03-04T10:00:00Z',
    '2026-03-13T11:00:00Z',
  ])
  const told = (await messagesOf(service, clinicId)).filter(({ kind }) => kind === 'visit-moved')
  expect(told).toHaveLength(2)
  expect((await slots()).filter(({ status }) => status === 'open')).toEqual([])
  expect(await overlaps()).toEqual([])
  expect((await inFlow(service, clinicId, (flow) => currentPlan(flow, first)))?.plan.visitDay).toBe(
    '2026-03-13',
  )
  expect(third).toBe(c.visitId)
})

test('the page shows the plan with its reasons and costs; all of it is accepted at once, and a swap asks for a call', async () => {
  // Late and not ready, and an assessment whose place it could have; no time is open.
  await book('FA', '2026-03-04T10:00', { '2026-03-02': 2 })
  await book('FB', '2026-03-12T10:00', {}, { purpose: 'assessment' })
  // No room to lengthen it either.
  await book('FC', '2026-03-04T10:30', {}, { purpose: 'assessment' })
  const person = await web.staff('reception', clinicId)
  const page = await (await person.get('/reception/week')).text()
  const { plan, week } = await look()
  const swap = plan.visits.find(({ id }) => id === 'FA')
  if (swap?.action !== 'swap') throw new Error(`expected a swap, not ${swap?.action}`)
  expect(page).toContain('Ring each patient.')
  expect(wayOf(week, plan, swap)).toMatchObject({ way: 'together', visits: { length: 2 } })
  const all = await (await person.post('/reception/week/all')).text()
  expect(all).toContain('0 of 2 accepted')
  const members = plan.visits.filter(({ group }) => group === swap.group)
  const unsure = await person.post('/reception/week/together', {
    group: String(swap.group),
    seen: groupStamp(members),
  })
  expect(unsure.status).toBe(409)
  await expect(
    inFlow(service, clinicId, (flow) => acceptTogether(flow, swap.group as number, 'something else', desk)),
  ).rejects.toThrow('The best plan has changed')
  const done = await person.post('/reception/week/together', {
    group: String(swap.group),
    seen: groupStamp(members),
    agreed: 'yes',
  })
  expect(done.headers.get('location')).toBe('/reception/week?done=together')
  expect(await startOf('FA')).toBe('2026-03-12T10:00:00Z')
  expect(await startOf('FB')).toBe('2026-03-04T10:00:00Z')
  expect(await overlaps()).toEqual([])
})

test('a chain of the plan: one is asked now, the next waits for the place and is asked when it is free', async () => {
  // JB could come sooner; only then has JA, who needs more days, a later place.
  const late = await book('JA', '2026-03-04T10:00', { '2026-03-02': 2 })
  await book('JC', '2026-03-04T10:30', {}, { purpose: 'assessment' })
  const sooner = await book('JB', '2026-03-10T10:00', {}, { purpose: 'assessment' })
  await openSlot(service, clinicId, '2026-03-04T12:00:00Z')
  const { week, plan, of } = await look()
  expect([of('JA').action, of('JB').action]).toEqual(['take-freed', 'move'])
  expect(wayOf(week, plan, of('JA'))).toMatchObject({ way: 'wait', for: { reference: 'JB' } })
  const person = await web.staff('reception', clinicId)
  const page = await (await person.get('/reception/week')).text()
  expect(page).toContain('This place is still taken (JB). The patient is asked only when it is free')
  const all = await (await person.post('/reception/week/all')).text()
  expect(all).toContain('2 of 2 accepted')
  expect((await moves(late)).map(({ status }) => status)).toEqual(['waiting'])
  expect(await (await person.get('/reception/week')).text()).toContain('waits for the place of another visit')
  const asked = (await moves(sooner)).at(-1)
  expect(await inFlow(service, clinicId, (flow) => answerMove(flow, asked?.moveId as string, 0))).toBe(
    'accepted',
  )
  const next = (await moves(late)).at(-1)
  expect(next?.status).toBe('proposed')
  expect(next?.choices[0]?.startAt).toBe('2026-03-10T10:00:00Z')
  expect(
    (await messagesOf(service, clinicId)).filter(({ kind }) => kind === 'move-proposal').at(-1)?.body,
  ).toContain('The drops need more days to work.')
})

test('accept all offers what can go by itself', async () => {
  const ids = [
    await book('GA', '2026-03-04T10:00', { '2026-03-02': 2 }),
    await book('GB', '2026-03-04T11:00', { '2026-03-02': 2 }),
  ]
  for (const day of ['09', '10']) await openSlot(service, clinicId, `2026-03-${day}T10:00:00Z`)
  const person = await web.staff('reception', clinicId)
  const page = await (await person.get('/reception/week')).text()
  expect(page).toContain('Patient GA')
  expect(page).toMatch(/expected cost falls from/)
  expect(page).not.toMatch(/open slot [0-9a-f]{8}-/)
  const { done, left } = await inFlow(service, clinicId, (flow) => acceptAll(flow, desk))
  expect(left).toEqual([])
  expect(done.map(({ way }) => way)).toEqual(['propose', 'propose'])
  const offered = (await Promise.all(ids.map(moves)))
    .flat()
    .flatMap(({ choices }) => choices.map(({ slotId }) => slotId))
  expect(new Set(offered).size).toBe(offered.length)
  const audit = await inFlow(service, clinicId, (flow) => flow.tx.query.audit.findMany())
  expect(audit.filter(({ action }) => action === 'propose move')).toHaveLength(2)
})

test('bookings that overlap are said in plain words instead of a plan', async () => {
  await book('HA', '2026-03-10T10:00')
  await book('HB', '2026-03-10T10:15')
  const person = await web.staff('reception', clinicId)
  const page = await (await person.get('/reception/week')).text()
  expect(page).toContain('cannot be planned until this is mended')
  expect(page).toContain('visit HB overlaps visit HA')
  expect((await person.get('/reception')).status).toBe(200)
})

test('twenty races of two patients and a receptionist for overlapping time: one has it, nobody is double-booked', async () => {
  await book('XA', '2026-04-20T10:00')
  await book('XB', '2026-04-20T11:00')
  await book('XC', '2026-04-20T12:00')
  for (let round = 0; round < 20; round += 1) {
    const day = Temporal.PlainDate.from('2026-03-09').add({ days: round })
    const at = (time: string) => Temporal.Instant.from(`${day}T${time}Z`)
    // Three overlapping open times, as two diaries that were put together may hold.
    const ids = await inClinic(service, clinicId, async (scope) => {
      const practitionerId = await putPractitioner(scope, 'Ottoline Marsh')
      for (const time of ['10:00', '10:10', '10:20'])
        await addSlot(scope, { practitionerId, startAt: at(time), minutes: 30, room: null })
      const all = await scope.tx.query.slot.findMany()
      return ['10:00', '10:10', '10:20'].map(
        (time) => all.find(({ startAt }) => startAt.equals(at(time)))?.slotId as string,
      )
    })
    const visits = await Promise.all(
      ['XA', 'XB', 'XC'].map(async (ref) => (await visitAndPatient(service, clinicId, ref)).visit),
    )
    const propose = (i: number) =>
      inFlow(service, clinicId, (flow) =>
        proposeMove(flow, {
          visitId: visits[i]?.visitId as string,
          slotIds: [ids[i] as string],
          reason: 'It helps us to fit each visit in.',
          proposedBy: desk,
          deadlineAt: flow.now.add({ hours: 24 }),
        }),
      )
    const [a, b] = [await propose(0), await propose(1)]
    const tries = [
      () => inFlow(service, clinicId, (flow) => answerMove(flow, a, 0)),
      () => inFlow(service, clinicId, (flow) => answerMove(flow, b, 0)),
      async () => {
        await inFlow(service, clinicId, (flow) =>
          moveNow(flow, visits[2]?.visitId as string, ids[2] as string, desk),
        )
        return 'accepted'
      },
    ]
    const order = [round % 3, (round + 1) % 3, (round + 2) % 3]
    const results = await Promise.allSettled(order.map((i) => tries[i]?.()))
    const won = results.filter((one) => one.status === 'fulfilled' && one.value === 'accepted')
    expect(won, `round ${round}`).toHaveLength(1)
    expect(await overlaps(), `round ${round}`).toEqual([])
    // The losers stay booked where they were, and nothing stays held.
    expect((await slots()).filter(({ status }) => status === 'held')).toEqual([])
  }
}, 120_000)

// Last: its clock goes on.
test('no answer: the next best times once, then the call list', async () => {
  const visitId = await book('BA', '2026-03-05T10:00', { '2026-03-02': 2 })
  for (const day of [9, 10, 11, 12, 13])
    await openSlot(service, clinicId, `2026-03-${String(day).padStart(2, '0')}T10:00:00Z`)
  const { of } = await look()
  await inFlow(service, clinicId, (flow) => acceptAction(flow, visitId, stampOf(of('BA')), desk))
  const [first] = await moves(visitId)
  clock.set(Temporal.Instant.from('2026-03-03T09:30:00Z'))
  await runJobs(service, [lapse])
  const [lapsed, second] = await moves(visitId)
  expect(lapsed?.status).toBe('expired')
  expect(second?.status).toBe('proposed')
  const offered = new Set(first?.choices.map(({ slotId }) => slotId))
  for (const { slotId } of second?.choices ?? []) expect(offered).not.toContain(slotId)
  expect((await inFlow(service, clinicId, (flow) => deskItems(flow))).map(({ kind }) => kind)).not.toContain(
    'no-move-answer',
  )
  clock.set(Temporal.Instant.from('2026-03-04T10:00:00Z'))
  await runJobs(service, [lapse])
  expect((await moves(visitId)).map(({ status }) => status)).toEqual(['expired', 'expired'])
  expect((await inFlow(service, clinicId, (flow) => deskItems(flow))).map(({ kind }) => kind)).toContain(
    'no-move-answer',
  )
  expect((await slots()).filter(({ status }) => status === 'held')).toEqual([])
  await runJobs(service, [lapse])
  expect(await moves(visitId)).toHaveLength(2)
})
