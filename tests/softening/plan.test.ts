import fc from 'fast-check'
import { Temporal } from 'temporal-polyfill'
import { describe, expect, test } from 'vitest'
import { softeningDefaults as rules } from '../../src/protocol/sections/softening.ts'
import { beforeRemoval, type PlanRequest, planSoftening, replan } from '../../src/softening/plan.ts'
import { isQuiet, remindersFor } from '../../src/softening/reminders.ts'
import { noAnswerOutcome, noToAll, screen } from '../../src/softening/screening.ts'
import type { DoseDay, Drops, ScreeningOutcome } from '../../src/softening/types.ts'

const zone = 'Europe/London'
const asPlanned = screen(noToAll(rules), rules)
const withAgent = (agent: Drops): ScreeningOutcome => ({ ...asPlanned, agent, decision: 'other-agent' })
const local = (text: string): string => Temporal.ZonedDateTime.from(`${text}[${zone}]`).toInstant().toString()

const request = (change: Partial<PlanRequest> = {}): PlanRequest => ({
  outcome: asPlanned,
  visitStart: local('2026-11-20T10:00'),
  zone,
  now: local('2026-11-02T12:00'),
  purpose: 'removal',
  ears: ['left', 'right'],
  urgent: false,
  previousDoses: [],
  recurrentDeadSkin: false,
  ...change,
})
const plan = (change: Partial<PlanRequest> = {}) => planSoftening(request(change), rules)
const ruleIds = (p: { reasons: Array<{ rule: string }> }) => p.reasons.map((reason) => reason.rule)

describe('a plan booked in time', () => {
  test('holds the whole course, ending on the day before the visit', () => {
    const whole = plan()
    expect(whole).toMatchObject({
      agent: 'olive-oil',
      fit: 'full',
      visitDay: '2026-11-20',
      dropsADose: 3,
      dosesADay: 2,
    })
    expect(whole.days).toEqual(['2026-11-15', '2026-11-16', '2026-11-17', '2026-11-18', '2026-11-19'])
    expect(whole.ears).toEqual([
      { ear: 'left', keptDoses: 0, plannedDoses: 10 },
      { ear: 'right', keptDoses: 0, plannedDoses: 10 },
    ])
  })
  test('says how to lie, how long, warm to body heat, how many drops, and when to stop', () => {
    const words = plan().instructions.join(' ')
    expect(words).toMatch(/as warm as your body/)
    expect(words).toMatch(/on your side/)
    expect(words).toMatch(/5 to 10 minutes/)
    expect(words).toMatch(/3 drops/)
    expect(words).not.toMatch(/[{}]/)
    expect(plan().stopRules.join(' ')).toMatch(/hurts more/)
  })
  test('can include the day of the visit where the clinic says so', () => {
    const own = structuredClone(rules)
    own.plan.includeVisitDay.value = true
    expect(planSoftening(request(), own).days.at(-1)).toBe('2026-11-20')
  })
})

describe('late bookings get what still fits', () => {
  const cases: Array<[string, string[], string]> = [
    ['2026-11-16T09:00', ['2026-11-16', '2026-11-17', '2026-11-18', '2026-11-19'], 'short'],
    ['2026-11-17T09:00', ['2026-11-17', '2026-11-18', '2026-11-19'], 'short'],
    ['2026-11-18T09:00', ['2026-11-18', '2026-11-19'], 'short'],
    ['2026-11-18T18:00', ['2026-11-18', '2026-11-19'], 'short'],
    ['2026-11-18T18:01', ['2026-11-19'], 'short'],
    ['2026-11-19T09:00', ['2026-11-19'], 'short'],
    ['2026-11-19T21:00', [], 'nothing-fits'],
    ['2026-11-20T08:00', [], 'nothing-fits'],
    ['2026-11-25T08:00', [], 'nothing-fits'],
  ]
  test.each(cases)('booked at %s: %j, %s', (now, days, fit) => {
    const late = plan({ now: local(now) })
    expect(late.days).toEqual(days)
    expect(late.fit).toBe(fit)
    expect(ruleIds(late)).toContain(days.length > 0 ? 'plan-short-notice' : 'plan-same-day')
    expect(late.instructions.length > 0).toBe(days.length > 0)
  })
})

describe('clock changes', () => {
  test('a plan over the autumn change has calendar days, not periods of 24 hours', () => {
    const autumn = plan({ visitStart: local('2026-10-27T09:00'), now: local('2026-10-01T09:00') })
    expect(autumn.days).toEqual(['2026-10-22', '2026-10-23', '2026-10-24', '2026-10-25', '2026-10-26'])
  })
  test('a visit just after local midnight belongs to the local day', () => {
    // 2026-06-30T23:30Z is 00:30 on 1 July in London.
    expect(plan({ visitStart: '2026-06-30T23:30:00Z', now: local('2026-06-01T09:00') }).visitDay).toBe(
      '2026-07-01',
    )
  })
  test('texts keep their local time on both sides of the change', () => {
    const autumn = plan({ visitStart: local('2026-10-27T09:00'), now: local('2026-10-01T09:00') })
    const at = remindersFor(
      autumn,
      { zone, quiet: { from: '21:00', to: '08:00' }, now: local('2026-10-01T09:00') },
      rules,
    )
    expect(at.filter((one) => one.kind === 'dose-reminder').map((one) => one.at)).toEqual([
      '2026-10-22T08:00:00Z',
      '2026-10-23T08:00:00Z',
      '2026-10-24T08:00:00Z',
      '2026-10-25T09:00:00Z',
      '2026-10-26T09:00:00Z',
    ])
  })
})

describe('agents and their limits', () => {
  test('sodium bicarbonate never runs longer than 5 days, nor on after 5 days before a move', () => {
    const bicarbonate = withAgent('sodium-bicarbonate')
    const whole = plan({ outcome: bicarbonate, recurrentDeadSkin: true })
    expect(whole.days).toHaveLength(5)
    expect(whole.fit).toBe('full')
    const previousDoses = [10, 11, 12, 13, 14].flatMap((n) =>
      (['left', 'right'] as const).map((ear) => ({ day: `2026-11-${n}`, ear, doses: 1 })),
    )
    const moved = plan({ outcome: bicarbonate, now: local('2026-11-15T09:00'), previousDoses })
    expect(moved.days).toEqual([])
    expect(moved.ears.map((ear) => ear.keptDoses)).toEqual([5, 5])
    expect(ruleIds(moved)).toContain('plan-course-gap')
    expect(ruleIds(moved)).not.toContain('plan-same-day')
  })
  test('after its pause a new course may start', () => {
    const previousDoses = [1, 2, 3, 4, 5].map((n) => ({
      day: `2026-11-0${n}`,
      ear: 'left' as const,
      doses: 2,
    }))
    const again = plan({
      outcome: withAgent('sodium-bicarbonate'),
      ears: ['left'],
      previousDoses,
      visitStart: local('2026-12-10T10:00'),
      now: local('2026-11-06T09:00'),
    })
    expect(again.days).toHaveLength(5)
    expect(again.ears[0]?.keptDoses).toBe(0)
  })
  test('a return visit for dead skin that keeps coming back gets the longer plan', () => {
    const longer = plan({ recurrentDeadSkin: true })
    expect(longer.days).toHaveLength(rules.plan.deadSkinDays.value)
    expect(ruleIds(longer)).toContain('plan-dead-skin')
    expect(plan({ outcome: { ...asPlanned, longerPlan: true } }).days).toEqual(longer.days)
  })
})

describe('moved visits', () => {
  const doseDays = (days: Array<[string, DoseDay['answer']]>) => [
    { ear: 'left' as const, days: days.map(([day, answer]) => ({ day, planned: 2, answer })) },
  ]
  const done = doseDays([
    ['2026-11-15', { kind: 'exact', doses: 2 }],
    ['2026-11-16', { kind: 'exact', doses: 1 }],
    ['2026-11-17', { kind: 'silent' }],
    ['2026-11-18', { kind: 'some' }],
  ])
  const moved = (visit: string) => {
    const { previousDoses: _, ...rest } = request({
      ears: ['left'],
      now: local('2026-11-19T09:00'),
      visitStart: local(visit),
    })
    const before = plan({ ears: ['left'] })
    return replan(rest, { plan: before, doseDays: done }, rules)
  }
  test('keep what was done and ask only for the rest', () => {
    const later = moved('2026-11-27T10:00')
    expect(later.ears).toEqual([{ ear: 'left', keptDoses: 4, plannedDoses: 6 }])
    expect(later.days).toEqual(['2026-11-24', '2026-11-25', '2026-11-26'])
    expect(later.fit).toBe('full')
    expect(ruleIds(later)).toContain('plan-keep-doses')
    // The silent day and today count towards the longest course, though for no dose.
    expect(later).toMatchObject({ courseDaysBefore: 5, lastDropDay: '2026-11-18' })
  })
  test('moved twice, a limited agent still stops at its limit, and no dose is lost', () => {
    const outcome = withAgent('sodium-bicarbonate')
    const rest = { ...request({ ears: ['left'], outcome }) }
    const first = planSoftening(rest, rules)
    const answers = (days: string[]) => [
      {
        ear: 'left' as const,
        days: days.map((day) => ({ day, planned: 2, answer: { kind: 'exact' as const, doses: 1 } })),
      },
    ]
    const move = (now: string, visit: string) => ({ ...rest, now: local(now), visitStart: local(visit) })
    const second = replan(
      move('2026-11-18T09:00', '2026-11-20T10:00'),
      { plan: first, doseDays: answers(['2026-11-15', '2026-11-16', '2026-11-17']) },
      rules,
    )
    expect(second).toMatchObject({ days: ['2026-11-18', '2026-11-19'], courseDaysBefore: 3 })
    expect(second.ears[0]?.keptDoses).toBe(3)
    const third = replan(
      move('2026-11-20T09:00', '2026-11-24T10:00'),
      { plan: second, doseDays: answers(['2026-11-18', '2026-11-19']) },
      rules,
    )
    expect(third).toMatchObject({ days: [], courseDaysBefore: 5, fit: 'short' })
    expect(third.ears[0]?.keptDoses).toBe(5)
  })
  test('days of the old plan that lie ahead were not used', () => {
    const outcome = withAgent('sodium-bicarbonate')
    const first = plan({ ears: ['left'], outcome })
    const rest = request({
      ears: ['left'],
      outcome,
      now: local('2026-11-16T09:00'),
      visitStart: local('2026-11-21T10:00'),
    })
    // 15 November is silent, 16 November may be under way: two days are used, three are left.
    const moved = replan(
      rest,
      {
        plan: first,
        doseDays: [{ ear: 'left', days: [{ day: '2026-11-15', planned: 2, answer: { kind: 'silent' } }] }],
      },
      rules,
    )
    expect(moved.days).toEqual(['2026-11-18', '2026-11-19', '2026-11-20'])
  })
  test('what was done before a removal counts for no dose, but for the longest course', () => {
    const outcome = withAgent('sodium-bicarbonate')
    const previousDoses = beforeRemoval(
      [16, 17, 18, 19].map((n) => ({ day: `2026-11-${n}`, ear: 'left' as const, doses: 2 })),
    )
    const next = plan({
      outcome,
      ears: ['left'],
      previousDoses,
      now: local('2026-11-21T09:00'),
      visitStart: local('2026-11-27T10:00'),
    })
    expect(next.ears[0]?.keptDoses).toBe(0)
    expect(next.days).toEqual(['2026-11-26'])
    const oil = plan({
      ears: ['left'],
      previousDoses,
      now: local('2026-11-21T09:00'),
      visitStart: local('2026-11-27T10:00'),
    })
    expect(oil.days).toHaveLength(5)
  })
  test('long afterwards, start anew', () => {
    const muchLater = moved('2026-12-20T10:00')
    expect(muchLater.ears[0]).toEqual({ ear: 'left', keptDoses: 0, plannedDoses: 10 })
    expect(muchLater.days).toHaveLength(5)
  })
  test('the window is the setting: its last day counts, the next does not', () => {
    const own = structuredClone(rules)
    const previousDoses = [{ day: '2026-11-10', ear: 'left' as const, doses: 2 }]
    const kept = (gap: number) => {
      own.plan.keepDoseDays.value = gap
      return planSoftening(
        request({
          ears: ['left'],
          previousDoses,
          visitStart: local('2026-11-20T10:00'),
          now: local('2026-11-11T09:00'),
        }),
        own,
      ).ears[0]?.keptDoses
    }
    // Four more days are needed, 16 to 19 November: five days without drops lie between.
    expect(kept(5)).toBe(2)
    expect(kept(4)).toBe(2) // a plan of five days starts one day earlier, and the gap is four
    expect(kept(3)).toBe(0)
  })
  test('an ear that did less sets the days for both', () => {
    const previousDoses = [
      { day: '2026-11-16', ear: 'left' as const, doses: 2 },
      { day: '2026-11-17', ear: 'left' as const, doses: 2 },
      { day: '2026-11-17', ear: 'right' as const, doses: 2 },
    ]
    const both = plan({
      previousDoses,
      now: local('2026-11-18T09:00'),
      visitStart: local('2026-11-28T09:00'),
    })
    expect(both.ears.map((ear) => ear.keptDoses)).toEqual([4, 2])
    expect(both.days).toHaveLength(4)
  })
})

describe('no drops', () => {
  test('withheld by the history: no day, no instruction, the reason', () => {
    const none = plan({ outcome: noAnswerOutcome(rules) })
    expect(none).toMatchObject({ agent: 'none', days: [], instructions: [], fit: 'withheld', dosesADay: 0 })
    expect(none.withheldReason).toMatch(/No answer/)
  })
  test('a history still open advises nothing, whatever its decision says', () => {
    expect(plan({ outcome: { ...asPlanned, settled: false } }).fit).toBe('withheld')
  })
  test('an assessment needs none', () => {
    expect(plan({ purpose: 'assessment' })).toMatchObject({
      fit: 'not-for-this-visit',
      days: [],
      withheldReason: null,
    })
  })
  test('an urgent visit is not put off', () => {
    expect(ruleIds(plan({ urgent: true, now: local('2026-11-19T09:00') }))).toContain('plan-urgent-visit')
  })
})

const anyInstant = fc
  .integer({ min: 0, max: 3 * 365 * 24 * 60 })
  .map((minutes) => Temporal.Instant.from('2026-01-01T00:00Z').add({ minutes }))
test('whatever the booking: days rise one by one, lie before the visit, not in the past, within the limit', () => {
  fc.assert(
    fc.property(
      anyInstant,
      fc.integer({ min: -3 * 24 * 60, max: 40 * 24 * 60 }),
      fc.constantFrom<Drops>('olive-oil', 'sodium-bicarbonate', 'saline'),
      fc.boolean(),
      fc.array(fc.record({ ago: fc.integer({ min: 0, max: 30 }), doses: fc.integer({ min: 0, max: 2 }) }), {
        maxLength: 8,
      }),
      fc.constantFrom('Europe/London', 'Australia/Lord_Howe', 'America/New_York', 'Pacific/Apia'),
      (now, ahead, agent, recurrentDeadSkin, before, where) => {
        const today = now.toZonedDateTimeISO(where).toPlainDate()
        const previousDoses = [...new Map(before.map((one) => [one.ago, one.doses]))].map(([ago, doses]) => ({
          day: today.subtract({ days: ago }).toString(),
          ear: 'left' as const,
          doses,
        }))
        const visitStart = now.add({ minutes: ahead })
        const made = planSoftening(
          request({
            now,
            visitStart,
            zone: where,
            ears: ['left'],
            outcome: withAgent(agent),
            recurrentDeadSkin,
            previousDoses,
          }),
          rules,
        )
        const limit = rules.agents.find((row) => row.id === agent)?.maxDays ?? 0
        expect(made.days.length + made.courseDaysBefore <= limit || made.days.length === 0).toBe(true)
        made.days.forEach((day, i) => {
          expect(day < made.visitDay).toBe(true)
          expect(day >= today.toString()).toBe(true)
          if (i > 0)
            expect(
              Temporal.PlainDate.from(made.days[i - 1] as string)
                .add({ days: 1 })
                .toString(),
            ).toBe(day)
        })
        if (made.days.length > 0)
          expect(
            Temporal.PlainDate.from(made.days.at(-1) as string)
              .add({ days: 1 })
              .toString(),
          ).toBe(made.visitDay)
      },
    ),
    { numRuns: 500 },
  )
})

describe('the texts of the days', () => {
  const quietTimes = fc.tuple(fc.integer({ min: 0, max: 1439 }), fc.integer({ min: 0, max: 1439 }))
  const clock = (minutes: number) =>
    `${String(Math.floor(minutes / 60)).padStart(2, '0')}:${String(minutes % 60).padStart(2, '0')}`
  test('never in quiet hours, always on their own day, never in the past, reminder before question', () => {
    fc.assert(
      fc.property(
        quietTimes,
        anyInstant,
        fc.constantFrom('Europe/London', 'America/New_York', 'Australia/Lord_Howe'),
        ([from, to], now, where) => {
          const quiet = { from: clock(from), to: clock(to) }
          const made = planSoftening(
            request({ now, visitStart: now.add({ hours: 24 * 4 }), zone: where }),
            rules,
          )
          for (const one of remindersFor(made, { zone: where, quiet, now }, rules)) {
            const at = Temporal.Instant.from(one.at).toZonedDateTimeISO(where)
            expect(isQuiet(at.toPlainTime(), quiet)).toBe(false)
            expect(at.toPlainDate().toString()).toBe(one.day)
            expect(Temporal.Instant.compare(at.toInstant(), now)).toBeGreaterThan(0)
          }
        },
      ),
      { numRuns: 500 },
    )
  })
  test('move out of the quiet hours within the day', () => {
    const made = plan({ now: local('2026-11-10T09:00') })
    const times = (from: string, to: string) =>
      remindersFor(made, { zone, quiet: { from, to }, now: local('2026-11-10T09:00') }, rules)
        .slice(0, 2)
        .map((one) => Temporal.Instant.from(one.at).toZonedDateTimeISO(zone).toPlainTime().toString())
    expect(times('20:00', '10:30')).toEqual(['10:30:00', '18:30:00'])
    expect(times('17:00', '08:00')).toEqual(['09:00:00', '16:59:00'])
    expect(times('12:00', '12:00')).toEqual(['09:00:00', '18:30:00'])
  })
  test('a plan without days has none', () => {
    expect(
      remindersFor(
        plan({ purpose: 'assessment' }),
        { zone, quiet: { from: '21:00', to: '08:00' }, now: local('2026-11-02T12:00') },
        rules,
      ),
    ).toEqual([])
  })
})
