import fc from 'fast-check'
import { Temporal } from 'temporal-polyfill'
import { describe, expect, test } from 'vitest'
import {
  claimLapsesAt,
  concernDeadline,
  escalationStage,
  isOpen,
  type OpeningHours,
  openingHoursSchema,
  whomToTell,
} from '../../src/concerns/deadline.ts'
import {
  type AftercareRules,
  type DeadlineRule,
  defaultAftercare,
} from '../../src/protocol/sections/aftercare.ts'

const rules = defaultAftercare
const at = (text: string): Temporal.Instant => Temporal.Instant.from(text)
const nineToSix = [{ from: '09:00', to: '18:00' }]
const HOURS: OpeningHours = openingHoursSchema.parse({
  zone: 'Europe/London',
  week: {
    monday: nineToSix,
    tuesday: nineToSix,
    wednesday: [
      { from: '09:00', to: '12:30' },
      { from: '13:30', to: '18:00' },
    ],
    thursday: nineToSix,
    friday: nineToSix,
    saturday: [{ from: '09:00', to: '10:00' }],
    sunday: [],
  },
  closed: ['2026-12-25', '2026-12-28'],
})
const of = (
  urgency: DeadlineRule['urgency'],
  opened: string,
  hours = HOURS,
  given: AftercareRules = rules,
) => {
  const { deadline, warnAt, nextLookAt, inHours } = concernDeadline(urgency, at(opened), hours, given)
  return { deadline: `${deadline}`, warnAt: `${warnAt}`, nextLookAt: `${nextLookAt}`, inHours }
}

describe('in open hours', () => {
  test('what cannot wait: a quarter of an hour, and a warning half way', () => {
    // Tuesday 13 January 2026.
    expect(of('now', '2026-01-13T11:00:00Z')).toEqual({
      deadline: '2026-01-13T11:15:00Z',
      warnAt: '2026-01-13T11:07:30Z',
      nextLookAt: '2026-01-13T11:00:00Z',
      inHours: true,
    })
  })

  test('today: before the clinic closes, however late it came', () => {
    expect(of('today', '2026-01-13T11:00:00Z').deadline).toBe('2026-01-13T13:00:00Z')
    expect(of('today', '2026-01-13T17:00:00Z')).toMatchObject({
      deadline: '2026-01-13T18:00:00Z',
      warnAt: '2026-01-13T17:30:00Z',
    })
    expect(of('now', '2026-01-13T17:59:00Z').deadline).toBe('2026-01-13T18:00:00Z')
  })

  test('nobody is there over the midday break', () => {
    expect(of('today', '2026-01-14T12:00:00Z').deadline).toBe('2026-01-14T12:30:00Z')
    expect(of('today', '2026-01-14T12:30:00Z')).toMatchObject({
      deadline: '2026-01-14T15:30:00Z',
      nextLookAt: '2026-01-14T13:30:00Z',
      inHours: false,
    })
  })

  test('soon: eight open hours, over as many days as they take', () => {
    expect(of('soon', '2026-01-13T09:00:00Z').deadline).toBe('2026-01-13T17:00:00Z')
    expect(of('soon', '2026-01-13T17:00:00Z').deadline).toBe('2026-01-14T17:00:00Z')
    // Friday at five: an hour, then an hour on Saturday, then six on Monday.
    expect(of('soon', '2026-01-16T17:00:00Z').deadline).toBe('2026-01-19T15:00:00Z')
  })

  test('the first open moment is open and the closing moment is not', () => {
    expect(isOpen(at('2026-01-13T09:00:00Z'), HOURS)).toBe(true)
    expect(isOpen(at('2026-01-13T18:00:00Z'), HOURS)).toBe(false)
    expect(isOpen(at('2026-01-13T17:59:59.999Z'), HOURS)).toBe(true)
  })
})

describe('out of hours', () => {
  test('the deadline runs from the next opening, which is when a person next looks', () => {
    expect(of('now', '2026-01-13T22:00:00Z')).toEqual({
      deadline: '2026-01-14T09:15:00Z',
      warnAt: '2026-01-14T09:07:30Z',
      nextLookAt: '2026-01-14T09:00:00Z',
      inHours: false,
    })
  })

  test('a short day is cut at its end', () => {
    expect(of('today', '2026-01-16T20:00:00Z')).toMatchObject({
      nextLookAt: '2026-01-17T09:00:00Z',
      deadline: '2026-01-17T10:00:00Z',
      warnAt: '2026-01-17T09:30:00Z',
    })
  })

  test('Sundays and closed days are passed over', () => {
    // Christmas Eve 2026 is a Thursday; the 25th and the 28th are closed.
    expect(of('today', '2026-12-24T19:00:00Z').nextLookAt).toBe('2026-12-26T09:00:00Z')
    expect(of('today', '2026-12-26T10:00:00Z')).toMatchObject({
      nextLookAt: '2026-12-29T09:00:00Z',
      deadline: '2026-12-29T11:00:00Z',
    })
  })
})

describe('clock changes', () => {
  test('nine in the morning is nine by the clock on the wall', () => {
    expect(of('now', '2026-03-28T12:00:00Z').nextLookAt).toBe('2026-03-30T08:00:00Z')
    expect(of('now', '2026-10-24T12:00:00Z').nextLookAt).toBe('2026-10-26T09:00:00Z')
  })

  const always = openingHoursSchema.parse({
    ...HOURS,
    week: { ...HOURS.week, saturday: [], sunday: [{ from: '00:00', to: '04:00' }] },
    closed: [],
  })
  test('an open night has the hours that it really has', () => {
    const two = {
      ...rules,
      deadlines: rules.deadlines.map((row) => ({ ...row, minutes: 150, beforeClosing: false })),
    }
    // Forward: 00:00 to 01:00, then 02:00 to 04:00 by the wall: three hours.
    expect(of('soon', '2026-03-28T23:00:00Z', always, two).deadline).toBe('2026-03-29T02:30:00Z')
    // Back: 00:00 to 04:00 by the wall is five hours.
    expect(of('soon', '2026-10-24T22:00:00Z', always, two).deadline).toBe('2026-10-25T01:30:00Z')
  })

  test('opening hours that do not exist on a day are passed over', () => {
    const gap = openingHoursSchema.parse({
      ...HOURS,
      week: {
        monday: [],
        tuesday: [],
        wednesday: [],
        thursday: [],
        friday: [],
        saturday: [],
        sunday: [{ from: '01:15', to: '01:45' }],
      },
      closed: ['2026-04-05'],
    })
    // 29 March has no 01:15 to 01:45: the hours shift to 02:15 to 02:45 by the wall, as calendars do.
    expect(of('now', '2026-03-28T12:00:00Z', gap).nextLookAt).toBe('2026-03-29T01:15:00Z')
    expect(of('now', '2026-03-29T12:00:00Z', gap).nextLookAt).toBe('2026-04-12T00:15:00Z')
  })
})

test('a deadline by the wall clock does not wait for the clinic to open', () => {
  const wall: AftercareRules = {
    ...rules,
    deadlines: rules.deadlines.map((row) => ({ ...row, clock: 'wall', minutes: 60 })),
  }
  expect(of('now', '2026-01-13T22:00:00Z', HOURS, wall)).toEqual({
    deadline: '2026-01-13T23:00:00Z',
    warnAt: '2026-01-13T22:30:00Z',
    nextLookAt: '2026-01-14T09:00:00Z',
    inHours: false,
  })
  expect(of('now', '2026-01-13T17:30:00Z', HOURS, wall).deadline).toBe('2026-01-13T18:00:00Z')
})

const anyHours = fc
  .array(
    fc
      .uniqueArray(fc.integer({ min: 0, max: 95 }), { maxLength: 4 })
      .map((ticks) => ticks.toSorted((a, b) => a - b))
      .map((ticks) =>
        ticks.flatMap((tick, i) =>
          i % 2 === 1 ? [{ from: clock(ticks[i - 1] ?? 0), to: clock(tick) }] : [],
        ),
      ),
    { minLength: 7, maxLength: 7 },
  )
  .filter((days) => days.some((spans) => spans.length > 0))
  .chain((days) =>
    fc.record({
      zone: fc.constantFrom('Europe/London', 'Australia/Lord_Howe', 'America/New_York', 'UTC'),
      week: fc.constant(
        Object.fromEntries(
          ['monday', 'tuesday', 'wednesday', 'thursday', 'friday', 'saturday', 'sunday'].map((day, i) => [
            day,
            days[i],
          ]),
        ),
      ),
      closed: fc.array(
        fc
          .integer({ min: 0, max: 40 })
          .map((n) => Temporal.PlainDate.from('2026-03-20').add({ days: n }).toString()),
        { maxLength: 20 },
      ),
    }),
  )
  .map((hours) => openingHoursSchema.parse(hours))
function clock(quarter: number): string {
  return `${String(Math.floor(quarter / 4)).padStart(2, '0')}:${String((quarter % 4) * 15).padStart(2, '0')}`
}
const openedAt = fc.oneof(
  fc.integer({ min: 0, max: 20 * 1440 }).map((n) => at('2026-03-19T00:00:00Z').add({ minutes: n })),
  fc.integer({ min: 0, max: 20 * 1440 }).map((n) => at('2026-10-15T00:00:00Z').add({ minutes: n })),
)
const urgency = fc.constantFrom('now', 'today', 'soon', 'unclear') satisfies fc.Arbitrary<
  DeadlineRule['urgency']
>

/** Open minutes between two instants, counted one by one: slow, and sharing nothing with the code under test. */
function countOpen(from: Temporal.Instant, to: Temporal.Instant, hours: OpeningHours): number {
  let open = 0
  for (let t = from; Temporal.Instant.compare(t, to) < 0; t = t.add({ minutes: 1 })) {
    const local = t.toZonedDateTimeISO(hours.zone)
    const name = (['monday', 'tuesday', 'wednesday', 'thursday', 'friday', 'saturday', 'sunday'] as const)[
      local.dayOfWeek - 1
    ]
    const time = local.toPlainTime().toString().slice(0, 5)
    const spans = name && !hours.closed.includes(local.toPlainDate().toString()) ? hours.week[name] : []
    if (spans.some((span) => span.from <= time && time < span.to)) open++
  }
  return open
}

test('the deadline is after the opening, the warning before it, and both while somebody is there', () => {
  fc.assert(
    fc.property(urgency, openedAt, anyHours, (kind, opened, hours) => {
      const due = concernDeadline(kind, opened, hours, rules)
      const order = [opened, due.nextLookAt, due.warnAt, due.deadline]
      for (let i = 1; i < order.length; i++)
        expect(
          Temporal.Instant.compare(order[i - 1] as Temporal.Instant, order[i] as Temporal.Instant),
        ).toBeLessThanOrEqual(0)
      expect(Temporal.Instant.compare(due.nextLookAt, due.deadline)).toBe(-1)
      expect(due.inHours).toBe(due.nextLookAt.equals(opened))
      expect(isOpen(due.nextLookAt, hours)).toBe(true)
      // The moment just before the deadline is in open hours.
      expect(isOpen(due.deadline.subtract({ milliseconds: 1 }), hours)).toBe(true)
    }),
    { numRuns: 300 },
  )
})

test('open minutes up to the deadline are those of the rule, or end with the clinic closing', () => {
  fc.assert(
    fc.property(urgency, openedAt, anyHours, (kind, opened, hours) => {
      const rule = rules.deadlines.find((row) => row.urgency === kind) as DeadlineRule
      const { deadline, nextLookAt } = concernDeadline(kind, opened, hours, rules)
      fc.pre(opened.until(deadline).total('hours') < 14 * 24)
      // Counting by the wall goes wrong where opening hours lie in an hour that is skipped or doubled.
      fc.pre(nextLookAt.toZonedDateTimeISO(hours.zone).hoursInDay === 24)
      const minutes = countOpen(nextLookAt, deadline, hours)
      if (kind === 'soon') {
        const changed =
          opened.toZonedDateTimeISO(hours.zone).offset !== deadline.toZonedDateTimeISO(hours.zone).offset
        if (!changed) expect(minutes).toBe(rule.minutes)
      } else {
        expect(minutes).toBeLessThanOrEqual(rule.minutes)
        if (minutes < rule.minutes) expect(isOpen(deadline, hours)).toBe(false)
      }
    }),
    { numRuns: 60 },
  )
})

test('what is more urgent is never due later', () => {
  fc.assert(
    fc.property(openedAt, anyHours, (opened, hours) => {
      const due = (['now', 'today', 'soon'] as const).map(
        (kind) => concernDeadline(kind, opened, hours, rules).deadline,
      )
      expect(due.toSorted(Temporal.Instant.compare).map(String)).toEqual(due.map(String))
    }),
    { numRuns: 200 },
  )
})

test('what came earlier is never due later', () => {
  fc.assert(
    fc.property(
      urgency,
      openedAt,
      fc.integer({ min: 0, max: 3000 }),
      anyHours,
      (kind, opened, more, hours) => {
        const a = concernDeadline(kind, opened, hours, rules).deadline
        const b = concernDeadline(kind, opened.add({ minutes: more }), hours, rules).deadline
        expect(Temporal.Instant.compare(a, b)).toBeLessThanOrEqual(0)
      },
    ),
    { numRuns: 200 },
  )
})

test('hours that no schema has seen and that never open end in an error, not in an endless search', () => {
  const never = {
    ...HOURS,
    week: { ...HOURS.week, monday: [], tuesday: [], wednesday: [], thursday: [], friday: [], saturday: [] },
  }
  expect(() => of('now', '2026-01-13T11:00:00Z', never)).toThrow(RangeError)
})

test('a year of closed days still has an end', () => {
  const closed = Array.from({ length: 400 }, (_, n) =>
    Temporal.PlainDate.from('2026-01-01').add({ days: n }).toString(),
  )
  expect(of('now', '2026-01-01T12:00:00Z', { ...HOURS, closed }).nextLookAt).toBe('2027-02-05T09:00:00Z')
})

test.each([
  ['no hour open in the week', { week: Object.fromEntries(Object.keys(HOURS.week).map((day) => [day, []])) }],
  [
    'hours that overlap',
    {
      week: {
        ...HOURS.week,
        monday: [
          { from: '09:00', to: '12:00' },
          { from: '11:00', to: '13:00' },
        ],
      },
    },
  ],
  ['hours that end before they begin', { week: { ...HOURS.week, monday: [{ from: '18:00', to: '09:00' }] } }],
  [
    'hours that touch and should be one',
    {
      week: {
        ...HOURS.week,
        monday: [
          { from: '09:00', to: '12:00' },
          { from: '12:00', to: '17:00' },
        ],
      },
    },
  ],
  ['hours of no length', { week: { ...HOURS.week, monday: [{ from: '09:00', to: '09:00' }] } }],
  ['a day that is left out', { week: { monday: nineToSix } }],
  ['a zone that is none', { zone: 'Europe/Atlantis' }],
  ['a closed day that is none', { closed: ['2026-02-30'] }],
])('opening hours with %s are refused', (_, wrong) => {
  expect(openingHoursSchema.safeParse({ ...HOURS, ...wrong }).success).toBe(false)
})

describe('escalation', () => {
  const due = concernDeadline('now', at('2026-01-13T11:00:00Z'), HOURS, rules)
  test.each([
    ['2026-01-13T11:00:00Z', 'opened'],
    ['2026-01-13T11:07:29Z', 'opened'],
    ['2026-01-13T11:07:30Z', 'near'],
    ['2026-01-13T11:14:59Z', 'near'],
    ['2026-01-13T11:15:00Z', 'past'],
    ['2026-02-13T11:15:00Z', 'past'],
  ])('at %s it stands at %s', (now, stage) => {
    expect(escalationStage(at(now), due)).toBe(stage)
  })

  test('first the first, near the deadline the next, past it everyone and the owner', () => {
    const list = ['ann', 'ben', 'cat']
    expect(whomToTell('opened', list, [], rules)).toEqual({ people: ['ann'], markForOwner: false })
    expect(whomToTell('near', list, ['ann'], rules)).toEqual({ people: ['ben'], markForOwner: false })
    expect(whomToTell('near', list, ['ann', 'ben'], rules)).toEqual({ people: ['cat'], markForOwner: false })
    expect(whomToTell('past', list, ['ann', 'ben'], rules)).toEqual({ people: list, markForOwner: true })
  })

  test('a list that is used up is told again whole, and an empty one goes to the owner', () => {
    expect(whomToTell('near', ['ann'], ['ann'], rules)).toEqual({ people: ['ann'], markForOwner: false })
    for (const stage of ['opened', 'near', 'past'] as const)
      expect(whomToTell(stage, [], [], rules)).toEqual({ people: [], markForOwner: true })
  })

  test('somebody is always told, or the owner is', () => {
    const people = fc.uniqueArray(fc.nat(6))
    fc.assert(
      fc.property(
        fc.constantFrom('opened' as const, 'near' as const, 'past' as const),
        people,
        people,
        (stage, list, told) => {
          const { people: whom, markForOwner } = whomToTell(stage, list, told, rules)
          expect(whom.length > 0 || markForOwner).toBe(true)
          for (const person of whom) expect(list).toContain(person)
        },
      ),
    )
  })

  test('a claim lapses no sooner than the deadline, and later when it was made late', () => {
    const lapses = (claimed: string): string =>
      claimLapsesAt('now', at(claimed), due.deadline, HOURS, rules).toString()
    expect(lapses('2026-01-13T11:00:00Z')).toBe('2026-01-13T11:15:00Z')
    expect(lapses('2026-01-13T11:14:00Z')).toBe('2026-01-13T11:29:00Z')
  })
})
