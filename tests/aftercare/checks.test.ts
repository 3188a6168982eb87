import fc from 'fast-check'
import { Temporal } from 'temporal-polyfill'
import { describe, expect, test } from 'vitest'
import { type CheckState, checkPlan, silenceRule } from '../../src/aftercare/checks.ts'
import { difficulty } from '../../src/aftercare/difficulty.ts'
import type { ProcedureRecord } from '../../src/aftercare/record.ts'
import { isQuiet } from '../../src/messages/quiet-hours.ts'
import { DIFFICULTY, type DifficultyLevel, defaultAftercare } from '../../src/protocol/sections/aftercare.ts'
import { anyRecord, record } from './records.ts'

const rules = defaultAftercare
const at = (text: string): Temporal.Instant => Temporal.Instant.from(text)
const when = (doneAt: string, quietHours = { from: '20:00', to: '08:00' }, zone = 'Europe/London') => ({
  doneAt: at(doneAt),
  zone,
  quietHours,
})
const dueOf = (given: ProcedureRecord, time: ReturnType<typeof when>): string[] =>
  checkPlan(given, time, rules).map(({ due }) => due.toString())

/** One record of each level. */
const OF_LEVEL: Record<DifficultyLevel, ProcedureRecord> = {
  easy: record(),
  ordinary: record({ softness: 'firm' }),
  hard: record({ softness: 'hard-and-dry' }),
  traumatic: record({ canal: ['bleeding'] }),
}

test('the records used here have the levels that they stand for', () => {
  for (const level of DIFFICULTY) expect(difficulty(OF_LEVEL[level], rules).level).toBe(level)
})

describe('the check plan', () => {
  test('after an easy removal: once, at ten in the morning two days later', () => {
    expect(dueOf(OF_LEVEL.easy, when('2026-01-12T11:00:00Z'))).toEqual(['2026-01-14T10:00:00Z'])
  })

  test('after a hard one: the same day, the next, the third and the seventh', () => {
    expect(dueOf(OF_LEVEL.hard, when('2026-01-12T11:00:00Z'))).toEqual([
      '2026-01-12T16:00:00Z',
      '2026-01-13T10:00:00Z',
      '2026-01-15T10:00:00Z',
      '2026-01-19T10:00:00Z',
    ])
  })

  test('a late procedure: what would fall in the night waits for the morning, and the check two hours on is left out', () => {
    expect(dueOf(OF_LEVEL.hard, when('2026-01-12T18:00:00Z'))).toEqual([
      '2026-01-13T08:00:00Z',
      '2026-01-15T10:00:00Z',
      '2026-01-19T10:00:00Z',
    ])
  })

  test('a gap of just the length of the rule is enough, and an hour less is not', () => {
    const times = (hours: number) => ({
      ...rules,
      schedule: rules.schedule.map((row) => ({ ...row, checks: [{ hours: 1 }, { hours }] })),
    })
    const count = (hours: number): number =>
      checkPlan(OF_LEVEL.easy, when('2026-01-12T09:00:00Z'), times(hours)).length
    expect(count(1 + rules.checkGap.hours)).toBe(2)
    expect(count(rules.checkGap.hours)).toBe(1)
  })

  test('a record written days later asks once at once, and goes on from there', () => {
    const late = { ...when('2026-01-12T11:00:00Z'), recordedAt: at('2026-01-15T14:00:00Z') }
    expect(dueOf(OF_LEVEL.traumatic, late)).toEqual([
      '2026-01-15T14:00:00Z',
      '2026-01-17T10:00:00Z',
      '2026-01-19T10:00:00Z',
      '2026-01-26T10:00:00Z',
    ])
    // Written in the night: the first check waits for the morning.
    const night = { ...late, recordedAt: at('2026-01-14T23:00:00Z') }
    expect(dueOf(OF_LEVEL.easy, night)).toEqual(['2026-01-15T08:00:00Z'])
  })

  test('ten in the morning stays ten in the morning on both sides of each clock change', () => {
    expect(dueOf(OF_LEVEL.ordinary, when('2026-03-28T12:00:00Z'))).toEqual([
      '2026-03-29T09:00:00Z',
      '2026-04-01T09:00:00Z',
    ])
    expect(dueOf(OF_LEVEL.ordinary, when('2026-10-24T11:00:00Z'))).toEqual([
      '2026-10-25T10:00:00Z',
      '2026-10-28T10:00:00Z',
    ])
  })

  test('the calendar day is the one at the clinic', () => {
    // 23:30 UTC on the 12th is already the 13th in Kolkata, and still the 12th in New York.
    const quiet = { from: '23:00', to: '04:00' }
    expect(dueOf(OF_LEVEL.easy, when('2026-01-12T23:30:00Z', quiet, 'Asia/Kolkata'))).toEqual([
      '2026-01-15T04:30:00Z',
    ])
    expect(dueOf(OF_LEVEL.easy, when('2026-01-12T23:30:00Z', quiet, 'America/New_York'))).toEqual([
      '2026-01-14T15:00:00Z',
    ])
  })

  test('every check asks all five questions, of each ear done', () => {
    const plan = checkPlan(record({}, { canal: ['sore'] }), when('2026-01-12T11:00:00Z'), rules)
    for (const { questions, ears } of plan) {
      expect(questions).toEqual(['pain', 'discharge', 'hearing', 'dizziness', 'other'])
      expect(ears).toEqual(['left', 'right'])
    }
  })
})

/** Any minute of two years. */
const doneAt = fc
  .integer({ min: 0, max: 2 * 366 * 1440 })
  .map((n) => at('2026-01-01T00:00:00Z').add({ minutes: n }))
const quietHours = fc.constantFrom(
  { from: '20:00', to: '08:00' },
  { from: '18:00', to: '09:30' },
  { from: '13:00', to: '14:00' },
  { from: '21:00', to: '12:00' },
)
const zone = fc.constantFrom('Europe/London', 'America/New_York', 'Asia/Kolkata', 'Australia/Lord_Howe')

test('checks come after the procedure, in order, apart, numbered, and never in quiet hours', () => {
  fc.assert(
    fc.property(
      anyRecord,
      doneAt,
      fc.constantFrom(0, 0, 3, 30, 500),
      quietHours,
      zone,
      (given, done, late, quiet, tz) => {
        const recordedAt = done.add({ hours: late })
        const plan = checkPlan(given, { doneAt: done, recordedAt, zone: tz, quietHours: quiet }, rules)
        expect(plan.length).toBeGreaterThan(0)
        let last = recordedAt
        for (const [i, { number, due, answerBy }] of plan.entries()) {
          expect(number).toBe(i + 1)
          expect(isQuiet(due, tz, quiet)).toBe(false)
          const gap = last.until(due).total('hours')
          expect(gap).toBeGreaterThanOrEqual(i === 0 ? 0 : rules.checkGap.hours)
          expect(Temporal.Instant.compare(done, due)).toBe(-1)
          expect(due.until(answerBy).total('hours')).toBe(rules.answerWithin.hours)
          last = due
        }
      },
    ),
    { numRuns: 300 },
  )
})

test('a harder procedure is asked no later and oftener, at any minute of the year', () => {
  fc.assert(
    fc.property(doneAt, quietHours, zone, (done, quiet, tz) => {
      const plans = DIFFICULTY.map((level) =>
        checkPlan(OF_LEVEL[level], { doneAt: done, zone: tz, quietHours: quiet }, rules),
      )
      for (let i = 1; i < plans.length; i++) {
        const [easier, harder] = [plans[i - 1] ?? [], plans[i] ?? []]
        expect(harder.length).toBeGreaterThan(easier.length)
        for (const [n, check] of easier.entries()) {
          const sooner = harder[n]
          expect(sooner && Temporal.Instant.compare(sooner.due, check.due)).toBeLessThanOrEqual(0)
        }
      }
    }),
    { numRuns: 300 },
  )
})

test('in the middle of the day a harder procedure is asked strictly sooner', () => {
  const first = DIFFICULTY.map((level) => dueOf(OF_LEVEL[level], when('2026-01-12T11:00:00Z'))[0] as string)
  expect(first.toReversed()).toEqual([...new Set(first)].sort())
})

describe('silence', () => {
  const now = at('2026-01-20T12:00:00Z')
  const check = (number: number, answered: boolean, overdue = true, cancelled = false): CheckState => ({
    number,
    answered,
    cancelled,
    answerBy: now.add({ minutes: overdue ? 0 : 1 }),
  })

  test.each([
    ['two unanswered after a hard removal', 'hard', [check(1, false), check(2, false)], 'clinician', [1, 2]],
    [
      'two with an answer between',
      'traumatic',
      [check(1, false), check(2, true), check(3, false)],
      'clinician',
      [1, 3],
    ],
    ['one after an easy removal', 'easy', [check(1, false)], 'reception', [1]],
    ['two after an ordinary removal', 'ordinary', [check(1, false), check(2, false)], 'reception', [1, 2]],
  ] as const)('%s', (_, level, checks, reaches, unanswered) => {
    expect(silenceRule(checks, level, now, rules)).toMatchObject({ reaches, unanswered, urgency: 'soon' })
  })

  test.each([
    ['one unanswered', 'hard', [check(1, false)]],
    ['a second that still has a minute', 'hard', [check(1, false), check(2, false, false)]],
    ['a late answer', 'hard', [check(1, true), check(2, false)]],
    ['a cancelled one', 'traumatic', [check(1, false), check(2, false, true, true)]],
    ['no check at all', 'traumatic', []],
  ] as const)('says nothing yet: %s', (_, level, checks) => {
    expect(silenceRule(checks, level, now, rules)).toBeNull()
  })

  test('more silence never calls for less', () => {
    const state = fc.record({ number: fc.nat(20), answered: fc.boolean(), overdue: fc.boolean() })
    fc.assert(
      fc.property(fc.array(state), fc.constantFrom(...DIFFICULTY), (states, level) => {
        const checks = states.map(({ number, answered, overdue }) => check(number, answered, overdue))
        const before = silenceRule(checks, level, now, rules)
        const after = silenceRule([...checks, check(99, false)], level, now, rules)
        if (before !== null) expect(after).toMatchObject({ reaches: before.reaches })
        if (after !== null) expect(after.unanswered).toContain(99)
      }),
    )
  })
})
