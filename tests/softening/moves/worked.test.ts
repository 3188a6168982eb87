/** Plans small enough to work out by hand. Default costs: failed visit and sore ear 80 together, move 10, a day 2. */
import { describe, expect, test } from 'vitest'
import type { MovesInput } from '../../../src/softening/moves/input.ts'
import { planMoves } from '../../../src/softening/moves/plan.ts'

type Visit = MovesInput['visits'][number]
type Slot = NonNullable<MovesInput['openSlots']>[number]

const visit = (id: string, start: string, more: Partial<Visit> = {}): Visit => ({
  id,
  start: `2026-03-${start}:00Z`,
  minutes: 30,
  practitioner: 'anna',
  readiness: 0.9,
  ...more,
})
const slot = (id: string, start: string, more: Partial<Slot> = {}): Slot => ({
  id,
  start: `2026-03-${start}:00Z`,
  minutes: 30,
  practitioner: 'anna',
  ...more,
})
/** Only moves, so that each case shows one thing. */
const MOVES_ONLY = { assessmentMinutes: 0, lengthenMinutes: 0 }
function plan(visits: Visit[], openSlots: Slot[], more: Partial<MovesInput> = {}) {
  const made = planMoves({ now: '2026-03-09T08:00:00Z', visits, openSlots, rules: MOVES_ONLY, ...more })
  const of = (id: string) => made.visits.find((one) => one.id === id)
  return { ...made, of, action: (id: string) => of(id)?.action }
}
const lateReady = { readiness: { '2026-03-10': 0.15, '2026-03-12': 0.9 } }

describe('one answer at a time', () => {
  test('a ready visit stays, and the plan says that no action helps', () => {
    const made = plan([visit('a', '10T09:00')], [slot('s', '12T09:00')])
    expect(made).toMatchObject({ cost: 8, bound: 8, baseline: 8, saving: 0, groups: [] })
    expect(made.summary).toMatch(/^No action helps/)
  })

  test('an unready visit moves to an open slot: 0.1 × 80 + 10 + 2 days × 2 = 22 instead of 68', () => {
    const made = plan([visit('a', '10T09:00', lateReady)], [slot('s', '12T09:00')])
    expect(made).toMatchObject({ cost: 22, bound: 22, baseline: 68, saving: 46 })
    expect(made.of('a')).toMatchObject({
      action: 'move',
      slot: 's',
      cost: 22,
      costIfKept: 68,
      readiness: 0.9,
    })
    expect(made.of('a')?.reason).toBe(
      'Moves from Tue 10 Mar 09:00 to Thu 12 Mar 09:00, open slot s: the ear is 90 % likely to be soft enough then, instead of 15 %, and its expected cost falls from 68 to 22.',
    )
  })

  test('waiting weighs more where it is urgent: soon counts a day twice', () => {
    const made = plan([visit('a', '10T09:00', { ...lateReady, urgency: 'soon' })], [slot('s', '12T09:00')])
    expect(made.cost).toBe(8 + 10 + 2 * 2 * 2)
  })

  test('swaps with a patient who will be ready: 22 + 18 instead of 68 + 8', () => {
    const made = plan([visit('a', '10T09:00', lateReady), visit('b', '12T09:00')], [])
    expect(made).toMatchObject({ cost: 40, baseline: 76 })
    expect(made.of('a')).toMatchObject({ action: 'swap', swapWith: 'b', after: ['b'], group: 1 })
    expect(made.of('b')).toMatchObject({ action: 'swap', swapWith: 'a', after: ['a'], group: 1, cost: 18 })
    expect(made.of('b')?.reason).toContain('to make room for a')
  })

  test('takes freed slots in a chain: a takes the time of b, who takes an open slot', () => {
    const made = plan(
      [
        visit('a', '10T09:00', { ...lateReady, possible: ['2026-03-12'] }),
        visit('b', '12T09:00', { possible: ['2026-03-11', '2026-03-12'] }),
      ],
      [slot('s', '11T15:00')],
    )
    expect(made.action('a')).toBe('take-freed')
    expect(made.of('a')).toMatchObject({ after: ['b'], group: 1 })
    expect(made.of('b')).toMatchObject({ action: 'move', slot: 's', group: 1 })
    expect(made.groups).toEqual([{ group: 1, visits: ['a', 'b'], saving: 76 - 40 }])
  })

  test('three visits change places in a ring when no two of them could', () => {
    const only = (...days: string[]) => ({ possible: days.map((day) => `2026-03-${day}`) })
    const made = plan(
      [
        visit('a', '10T09:00', { ...only('10', '11'), readiness: { '2026-03-10': 0, '2026-03-11': 1 } }),
        visit('b', '11T09:00', { ...only('11', '12'), readiness: { '2026-03-11': 0, '2026-03-12': 1 } }),
        visit('c', '12T09:00', { ...only('10', '12'), readiness: 1 }),
      ],
      [],
    )
    expect(made.visits.map((one) => one.action)).toEqual(['take-freed', 'take-freed', 'take-freed'])
    // a and b wait a day each: 12 + 12, c comes earlier: 10.
    expect(made).toMatchObject({ cost: 34, bound: 34, baseline: 160 })
    expect(made.groups).toHaveLength(1)
  })

  test('lengthens into the open slot behind it: 0.7 × 80 × 0.5 + 15 = 43 instead of 56', () => {
    const rules = { assessmentMinutes: 0 }
    const made = plan([visit('a', '10T09:00', { readiness: 0.3 })], [slot('s', '10T09:30')], { rules })
    expect(made.of('a')).toMatchObject({ action: 'lengthen', minutes: 45, cost: 43 })
    const none = plan([visit('a', '10T09:00', { readiness: 0.3 })], [slot('s', '10T09:45')], { rules })
    expect(none.action('a')).toBe('stay')
    const gap = { readiness: 0.3, freeAfterMinutes: 15 }
    expect(plan([visit('a', '10T09:00', gap)], [], { rules }).action('a')).toBe('lengthen')
  })

  test('turns into an assessment when another visit costs less than trying', () => {
    const made = plan([visit('a', '10T09:00', { readiness: 0.1 })], [], { rules: {} })
    expect(made.of('a')).toMatchObject({ action: 'assessment', minutes: 15, cost: 40, costIfKept: 72 })
  })
})

describe('what binds', () => {
  test('a slot behind a visit serves either its lengthening or another visit, whichever saves more', () => {
    const rules = { assessmentMinutes: 0 }
    const a = visit('a', '10T09:00', { readiness: 0.3, pain: true })
    const b = visit('b', '11T09:00', { readiness: { '2026-03-10': 0.95, '2026-03-11': 0.2 } })
    const made = plan([a, b], [slot('s', '10T09:30')], { rules })
    expect(made.action('a')).toBe('stay')
    expect(made.of('b')).toMatchObject({ action: 'move', slot: 's' })
    expect(made.cost).toBeCloseTo(56 + 14, 9)
  })

  test('a long visit takes two adjacent slots, and only adjacent ones', () => {
    const long = { ...lateReady, minutes: 60 }
    const made = plan([visit('a', '10T09:00', long)], [slot('s1', '12T09:00'), slot('s2', '12T09:30')])
    expect(made.of('a')).toMatchObject({ action: 'move', slot: 's1', minutes: 60 })
    const apart = plan([visit('a', '10T09:00', long)], [slot('s1', '12T09:00'), slot('s2', '12T10:00')])
    expect(apart.action('a')).toBe('stay')
  })

  test('two visits do not share a slot, unless starts inside it are allowed', () => {
    const visits = [visit('a', '10T09:00', lateReady), visit('b', '10T10:00', lateReady)]
    const hour = [slot('s', '12T09:00', { minutes: 60 })]
    const moved = (made: { visits: { action: string }[] }) =>
      made.visits.filter((one) => one.action === 'move').length
    expect(moved(plan(visits, hour))).toBe(1)
    expect(moved(plan(visits, hour, { rules: { ...MOVES_ONLY, startEveryMinutes: 30 } }))).toBe(2)
  })

  test('rooms: one room for two practitioners lets only one of two moves through', () => {
    const visits = [
      visit('a', '10T09:00', lateReady),
      visit('b', '10T10:00', { ...lateReady, practitioner: 'ben' }),
    ]
    const slots = [slot('s1', '12T09:00'), slot('s2', '12T09:00', { practitioner: 'ben' })]
    expect(plan(visits, slots, { rooms: 2 }).cost).toBe(44)
    expect(plan(visits, slots, { rooms: 1 }).cost).toBe(22 + 68)
  })

  test('rooms by name and what is in them', () => {
    const rooms = [{ id: 'r1', has: ['hoist'] }, 'r2']
    const a = visit('a', '10T09:00', { ...lateReady, room: 'r1', roomNeeds: ['hoist'] })
    expect(plan([a], [slot('s', '12T09:00', { room: 'r2' })], { rooms }).action('a')).toBe('stay')
    expect(plan([a], [slot('s', '12T09:00', { room: 'r1' })], { rooms }).action('a')).toBe('move')
  })

  test('practitioner: skills, whom the patient accepts, visits a day', () => {
    const practitioners = [
      { id: 'anna', skills: ['suction'] },
      { id: 'ben', maxVisitsPerDay: 0 },
    ]
    const slots = [slot('s', '12T09:00', { practitioner: 'ben' })]
    const ben = (maxVisitsPerDay: number, skills: string[]) => [
      { id: 'anna', skills: ['suction'] },
      { id: 'ben', skills, maxVisitsPerDay },
    ]
    const a = (more: Partial<Visit>) => [visit('a', '10T09:00', { ...lateReady, ...more })]
    expect(plan(a({}), slots, { practitioners }).action('a')).toBe('stay')
    expect(plan(a({}), slots, { practitioners: ben(1, []) }).action('a')).toBe('move')
    expect(plan(a({ needs: ['suction'] }), slots, { practitioners: ben(1, []) }).action('a')).toBe('stay')
    expect(plan(a({ practitioners: ['anna'] }), slots, { practitioners: ben(1, []) }).action('a')).toBe(
      'stay',
    )
  })

  test('a patient in pain moves earlier but never later, and an urgent one neither', () => {
    const pain = { pain: true, readiness: { '2026-03-10': 0.2, '2026-03-12': 0.9 } }
    expect(plan([visit('a', '11T09:00', pain)], [slot('s', '12T09:00')]).action('a')).toBe('stay')
    expect(plan([visit('a', '11T09:00', pain)], [slot('s', '11T09:30')]).of('a')?.reason).toContain(
      'Kept because it is urgent or in pain',
    )
    const earlier = { pain: true, readiness: { '2026-03-10': 0.9, '2026-03-11': 0.1 } }
    expect(plan([visit('a', '11T09:00', earlier)], [slot('s', '10T09:00')]).action('a')).toBe('move')
    const urgent = { urgency: 'urgent' as const, readiness: pain.readiness }
    expect(plan([visit('a', '11T09:00', urgent)], [slot('s', '12T09:00')]).action('a')).toBe('stay')
  })

  test('notice, to the minute, on both sides of a move', () => {
    const at = (now: string) => plan([visit('a', '10T09:00', lateReady)], [slot('s', '12T09:00')], { now })
    expect(at('2026-03-09T09:00:00Z').action('a')).toBe('move')
    expect(at('2026-03-09T09:01:00Z').action('a')).toBe('stay')
    expect(at('2026-03-09T09:01:00Z').of('a')?.reason).toContain('within the 24 hours of notice')
    const soon = { readiness: { '2026-03-09': 0.9, '2026-03-12': 0.1 } }
    const to = (start: string) => plan([visit('a', '12T09:00', soon)], [slot('s', start)]).action('a')
    expect(to('10T07:59')).toBe('stay')
    expect(to('10T08:00')).toBe('move')
  })

  test('moved once is enough, unless the rules say twice', () => {
    const made = (maxMoves: number) =>
      plan([visit('a', '10T09:00', { ...lateReady, moved: 1 })], [slot('s', '12T09:00')], {
        rules: { ...MOVES_ONLY, maxMoves },
      })
    expect(made(1).of('a')).toMatchObject({ action: 'stay' })
    expect(made(1).of('a')?.reason).toContain('it was moved once already')
    expect(made(2).action('a')).toBe('move')
  })

  test('two visits of one patient: at most one moves, and never on top of the other', () => {
    const both = [
      visit('a', '10T09:00', { ...lateReady, patient: 'p' }),
      visit('b', '10T14:00', { ...lateReady, patient: 'p' }),
    ]
    const slots = [slot('s1', '12T09:00'), slot('s2', '12T14:00')]
    expect(plan(both, slots).cost).toBe(22 + 68)
    const other = [
      visit('a', '10T09:00', { ...lateReady, patient: 'p' }),
      visit('b', '12T09:00', { patient: 'p', practitioner: 'ben', moved: 0 }),
    ]
    expect(plan(other, [slot('s1', '12T09:15')]).action('a')).toBe('stay')
  })

  test('a visit that has begun, or is marked fixed, is left alone', () => {
    const begun = plan([visit('a', '09T07:50', { readiness: 0 })], [slot('s', '12T09:00')], { rules: {} })
    expect(begun.action('a')).toBe('stay')
    const fixed = { readiness: 0, fixed: true }
    expect(plan([visit('a', '10T09:00', fixed)], [slot('s', '12T09:00')], { rules: {} }).action('a')).toBe(
      'stay',
    )
  })

  test('days before the first one known are not offered', () => {
    const a = visit('a', '12T09:00', { readiness: { '2026-03-12': 0.1 } })
    expect(plan([a], [slot('s', '11T09:00')]).action('a')).toBe('stay')
  })
})

describe('among plans of equal cost', () => {
  test('nobody moves for nothing, and the earliest place is taken', () => {
    const free = { rules: { ...MOVES_ONLY, costs: { move: 0, waitPerDay: 0 } } }
    expect(plan([visit('a', '10T09:00')], [slot('s', '12T09:00')], free).action('a')).toBe('stay')
    const slots = [slot('s1', '13T09:00'), slot('s2', '12T15:00'), slot('s3', '12T09:00')]
    expect(plan([visit('a', '10T09:00', lateReady)], slots, free).of('a')).toMatchObject({ slot: 's3' })
  })

  test('an open slot is preferred to a time that somebody must first leave', () => {
    const visits = [visit('a', '10T09:00', lateReady), visit('b', '12T09:00', lateReady)]
    const made = plan(visits, [slot('s', '12T10:00')])
    expect(made.of('a')).toMatchObject({ action: 'move', slot: 's', after: [] })
    expect(made.action('b')).toBe('stay')
  })
})

describe("the clinic's clock", () => {
  test('days are days in London: the night of 28 to 29 March 2026 is an hour short', () => {
    const a = visit('a', '28T09:00', {
      readiness: { '2026-03-28': 0.1, '2026-03-29': 0.9 },
      possible: [{ day: '2026-03-29', from: '09:00', to: '10:00' }],
    })
    // 09:00 on the 29th is 08:00 in UTC.
    const made = plan([a], [slot('s1', '29T08:00'), slot('s2', '29T09:00')], { zone: 'Europe/London' })
    expect(made.of('a')).toMatchObject({ slot: 's1', start: '2026-03-29T09:00:00+01:00', cost: 8 + 10 + 2 })
    expect(made.of('a')?.reason).toContain('to Sun 29 Mar 09:00')
  })

  test('a visit at 23:30 UTC in summer belongs to the next day in London', () => {
    const a = visit('a', '30T23:30', { readiness: { '2026-03-31': 0.9 } })
    expect(plan([a], []).cost).toBe(8)
  })
})

test('one plan with a swap, a move and a lengthening, worked out by hand: 24 + 14 + 28 + 43', () => {
  const made = planMoves({
    now: '2026-03-09T08:00:00Z',
    practitioners: [{ id: 'anna', skills: ['microsuction'] }, 'ben'],
    visits: [
      visit('v1', '10T09:00', {
        needs: ['microsuction'],
        readiness: { '2026-03-10': 0.15, '2026-03-12': 0.7, '2026-03-13': 0.9 },
      }),
      visit('v2', '13T09:00', { readiness: 0.95, possible: ['2026-03-10', '2026-03-13'] }),
      visit('v3', '10T09:30', { pain: true, readiness: { '2026-03-10': 0.3, '2026-03-13': 0.9 } }),
      visit('v4', '11T10:00', {
        practitioner: 'ben',
        readiness: { '2026-03-11': 0.35, '2026-03-12': 0.8 },
        possible: ['2026-03-11', { day: '2026-03-12', from: '09:00', to: '12:00' }],
      }),
    ],
    openSlots: [slot('s1', '12T10:00', { practitioner: 'ben' }), slot('s2', '10T10:00')],
  })
  expect(made).toMatchObject({ cost: 109, bound: 109, baseline: 180, saving: 71, proved: true })
  expect(made.visits.map(({ id, action }) => [id, action])).toEqual([
    ['v1', 'swap'],
    ['v3', 'lengthen'],
    ['v4', 'move'],
    ['v2', 'swap'],
  ])
})

test('no visits: nothing to plan', () => {
  expect(plan([], [slot('s', '12T09:00')])).toMatchObject({ cost: 0, bound: 0, visits: [] })
})
