import fc from 'fast-check'
import { Temporal } from 'temporal-polyfill'
import { describe, expect, test } from 'vitest'
import { softeningDefaults as rules } from '../../src/protocol/sections/softening.ts'
import { planSoftening } from '../../src/softening/plan.ts'
import { defaultModel } from '../../src/softening/prior.ts'
import { reachable, readiness, readinessByDay } from '../../src/softening/readiness.ts'
import { noAnswerOutcome, noToAll, screen } from '../../src/softening/screening.ts'
import { chanceSoft, defaultLink } from '../../src/softening/softness.ts'
import { lossIfHard, thresholdFor } from '../../src/softening/threshold.ts'
import type {
  AdherenceModel,
  DoseDay,
  Drops,
  EarDoseDays,
  ReadinessInput,
  SofteningPlan,
} from '../../src/softening/types.ts'

const zone = 'Europe/London'
const model = defaultModel(rules.adherence)
const link = defaultLink(rules.readiness)
const at = (text: string): string => Temporal.ZonedDateTime.from(`${text}[${zone}]`).toInstant().toString()

function planned(
  visit = '2026-11-20',
  change: Partial<Parameters<typeof planSoftening>[0]> = {},
): SofteningPlan {
  return planSoftening(
    {
      outcome: screen(noToAll(rules), rules),
      visitStart: at(`${visit}T10:00`),
      zone,
      now: at('2026-11-09T09:00'),
      purpose: 'removal',
      ears: ['left'],
      urgent: false,
      previousDoses: [],
      recurrentDeadSkin: false,
      ...change,
    },
    rules,
  )
}
const said = (
  plan: SofteningPlan,
  answers: DoseDay['answer'][],
  ear: 'left' | 'right' = 'left',
): EarDoseDays => ({
  ear,
  days: answers.map((answer, i) => ({ day: plan.days[i] as string, planned: plan.dosesADay, answer })),
})
const exact = (doses: number): DoseDay['answer'] => ({ kind: 'exact', doses })
const silent: DoseDay['answer'] = { kind: 'silent' }
const input = (answers: DoseDay['answer'][], plan = planned()): ReadinessInput => ({
  plan,
  today: plan.days[answers.length] ?? plan.visitDay,
  doseDays: [said(plan, answers)],
})
const judge = (one: ReadinessInput, m: AdherenceModel = model) => readiness(one, rules, m, link)

describe('the chance, worked by hand', () => {
  test('every dose done: the link at ten doses', () => {
    const all = judge(input([exact(2), exact(2), exact(2), exact(2), exact(2)]))
    expect(all.p).toBeCloseTo(1 / (1 + Math.exp(1 - 3.2)), 12)
    expect(all).toMatchObject({ ready: true, stillNeeded: null, canStillGetThere: true, basis: 'doses' })
    expect(all.ears[0]).toMatchObject({
      pEnoughDoses: 1,
      dosesLeft: 0,
      doses: { low: 10, high: 10, outOf: 10 },
    })
  })
  test('none done, one day left: two more by the posterior Beta(1.5, 0.5 + 8)', () => {
    const none = judge(input([exact(0), exact(0), exact(0), exact(0)]))
    // Beta-binomial of 2 trials: P(0) = 8.5 x 9.5 / (10 x 11), P(2) = 1.5 x 2.5 / (10 x 11).
    const p0 = 80.75 / 110
    const p2 = 3.75 / 110
    const byHand = p0 * chanceSoft(link, 0) + (1 - p0 - p2) * chanceSoft(link, 1) + p2 * chanceSoft(link, 2)
    expect(none.p).toBeCloseTo(byHand, 10)
    expect(none.ready).toBe(false)
    expect(none.canStillGetThere).toBe(false)
    expect(none.ears[0]?.pEnoughDoses).toBe(0)
  })
  test('the less ready ear decides', () => {
    const plan = planned('2026-11-20', { ears: ['left', 'right'] })
    const both = judge({
      plan,
      today: plan.days[2] as string,
      doseDays: [said(plan, [exact(2), exact(2)]), said(plan, [exact(0), exact(1)], 'right')],
    })
    expect(both.ears).toHaveLength(2)
    expect(both.p).toBe(both.ears[1]?.p)
    expect(both.p).toBeLessThan(both.ears[0]?.p as number)
  })
  test('doses kept from before the move count', () => {
    const plan = planned('2026-11-20', {
      previousDoses: [
        { day: '2026-11-08', ear: 'left', doses: 2 },
        { day: '2026-11-07', ear: 'left', doses: 2 },
      ],
    })
    expect(plan.days).toHaveLength(3)
    const kept = judge({ plan, today: plan.visitDay, doseDays: [said(plan, [exact(2), exact(2), exact(2)])] })
    expect(kept.p).toBeCloseTo(chanceSoft(link, 10), 12)
    const open = { plan, today: plan.days[0] as string, doseDays: [] }
    expect(reachable(open, plan.visitDay, rules, model, link)).toBeCloseTo(chanceSoft(link, 10), 12)
    const need = judge(open)
    const onItsOwn = judge({ ...open, plan: planned('2026-11-20') })
    expect(need.stillNeeded?.doses ?? 0).toBe((onItsOwn.stillNeeded?.doses as number) - 4)
    expect(kept.grounds.join(' ')).toMatch(/4 doses from before the visit was moved still count/)
  })
})

describe('other days', () => {
  const full = input([exact(2), exact(2), exact(2), exact(2), exact(2)])
  test('an earlier visit sees only the days before it', () => {
    const fresh = { ...input([]), today: '2026-11-09' }
    const [early] = readinessByDay(fresh, rules, { ...model, a: 1e9, b: 1e-3 }, link, ['2026-11-17'])
    // 15 and 16 November, every dose done.
    expect(early?.p).toBeCloseTo(chanceSoft(link, 4), 6)
  })
  test('doses that went out of date count no more: a fresh course is all that is left', () => {
    const sure = { ...model, a: 1, b: 1e9 }
    const day = (n: number) => Temporal.PlainDate.from('2026-11-19').add({ days: n }).toString()
    // No further dose is expected; five new days may lie before the visit, and then a gap of 14 still counts.
    const p = (n: number) => readinessByDay(full, rules, sure, link, [day(n)])[0]?.p as number
    expect(p(14 + 1 + 5)).toBeCloseTo(chanceSoft(link, 10), 6)
    expect(p(14 + 1 + 5 + 1)).toBeCloseTo(chanceSoft(link, 0), 6)
  })
})

describe('what would still make it ready', () => {
  test('the fewest doses that reach the threshold, and the days they take', () => {
    const three = judge(input([exact(0), exact(1), exact(0)]))
    const threshold = three.threshold
    const need = three.stillNeeded?.doses as number
    expect(chanceSoft(link, 1 + need)).toBeGreaterThanOrEqual(threshold)
    expect(chanceSoft(link, 1 + need - 1)).toBeLessThan(threshold)
    expect(three.stillNeeded?.days).toBe(Math.ceil(need / 2))
    expect(three.canStillGetThere).toBe(need <= 4)
  })
  test('the first ready day is the first day of the list at or over the threshold', () => {
    const poor = input([exact(0), exact(0), exact(1), exact(1), exact(0)])
    const { firstReadyDay, threshold, ready } = judge(poor)
    const list = readinessByDay(poor, rules, model, link)
    expect(ready).toBe(false)
    expect(firstReadyDay).toBe(list.find((one) => one.p >= threshold)?.day ?? null)
    for (const one of list)
      if (firstReadyDay && one.day < firstReadyDay) expect(one.p).toBeLessThan(threshold)
  })
  test('booked too late for a single dose: not ready, and a later day is', () => {
    const plan = planned('2026-11-10', { now: at('2026-11-10T08:00') })
    const late = judge({ plan, today: '2026-11-10', doseDays: [] })
    expect(late).toMatchObject({ ready: false, canStillGetThere: false, basis: 'doses' })
    expect(late.p).toBeCloseTo(chanceSoft(link, 0), 12)
    expect(late.firstReadyDay).not.toBeNull()
    expect((late.firstReadyDay as string) > '2026-11-10').toBe(true)
  })
  test('an agent at its limit gets no further days', () => {
    const bicarbonate = { ...screen(noToAll(rules), rules), agent: 'sodium-bicarbonate' as const }
    const plan = planned('2026-11-20', { outcome: bicarbonate })
    const done = {
      plan,
      today: plan.visitDay,
      doseDays: [said(plan, [exact(0), exact(0), exact(1), exact(0), exact(0)])],
    }
    const soon = readinessByDay(done, rules, model, link, ['2026-11-20', '2026-11-22', '2026-11-24'])
    expect(new Set(soon.map((one) => one.p)).size).toBe(1)
    const afterPause = readinessByDay(done, rules, model, link, ['2026-12-03'])[0]?.p as number
    expect(afterPause).toBeGreaterThan(soon[0]?.p as number)
  })
})

describe('no drops', () => {
  test('withheld has a rule of its own: never ready by drops, on any day, and the choices are said', () => {
    const plan = planned('2026-11-20', { outcome: noAnswerOutcome(rules) })
    const none = judge({ plan, today: '2026-11-12', doseDays: [] })
    expect(none).toMatchObject({
      basis: 'no-drops',
      ready: false,
      canStillGetThere: false,
      stillNeeded: null,
      firstReadyDay: null,
    })
    expect(none.grounds.join(' ')).toMatch(/No drops are advised: .*assessment/s)
    const ps = readinessByDay({ plan, today: '2026-11-12', doseDays: [] }, rules, model, link).map(
      (one) => one.p,
    )
    expect(new Set(ps).size).toBe(1)
  })
  test('a visit that needs none is not held back', () => {
    const plan = planned('2026-11-20', { purpose: 'assessment' })
    expect(judge({ plan, today: '2026-11-12', doseDays: [] })).toMatchObject({
      basis: 'not-needed',
      ready: true,
    })
  })
})

const anyAnswer = fc.oneof(
  fc.integer({ min: 0, max: 2 }).map(exact),
  fc.constant<DoseDay['answer']>({ kind: 'some' }),
  fc.constant(silent),
)
const anyModel = fc.record({
  a: fc.double({ min: 0.2, max: 20, noNaN: true }),
  b: fc.double({ min: 0.2, max: 20, noNaN: true }),
  silentNone: fc.double({ min: 0.02, max: 0.95, noNaN: true }),
  silentAll: fc.double({ min: 0.02, max: 0.95, noNaN: true }),
  overclaim: fc.double({ min: 0, max: 0.4, noNaN: true }),
  patients: fc.constant(0),
})
const anyDrops = fc.constantFrom<Drops>('olive-oil', 'sodium-bicarbonate', 'saline')

describe('always', () => {
  test('one more dose reported never lowers the chance, on any day', () => {
    fc.assert(
      fc.property(
        fc.array(anyAnswer, { maxLength: 4 }),
        fc.nat(4),
        fc.integer({ min: 0, max: 1 }),
        anyModel,
        (others, place, doses, m) => {
          const put = (n: number) => input([...others.slice(0, place), exact(n), ...others.slice(place)])
          const fewer = readinessByDay(put(doses), rules, m, link)
          const more = readinessByDay(put(doses + 1), rules, m, link)
          expect(judge(put(doses + 1), m).p).toBeGreaterThanOrEqual(judge(put(doses), m).p - 1e-9)
          more.forEach((one, i) => {
            expect(one.p).toBeGreaterThanOrEqual((fewer[i]?.p as number) - 1e-9)
          })
        },
      ),
      { numRuns: 150 },
    )
  })
  test('more days left never lower what can be reached, while nothing done goes out of date', () => {
    fc.assert(
      fc.property(fc.array(anyAnswer, { maxLength: 5 }), anyModel, anyDrops, (answers, m, drops) => {
        const outcome = { ...screen(noToAll(rules), rules), agent: drops }
        const one = input(answers, planned('2026-11-20', { outcome }))
        let before = 0
        for (let i = 0; i <= rules.plan.keepDoseDays.value; i++) {
          const day = Temporal.PlainDate.from(one.today).add({ days: i }).toString()
          const p = reachable(one, day, rules, m, link)
          expect(p).toBeGreaterThanOrEqual(before - 1e-9)
          expect(p).toBeGreaterThanOrEqual(
            (readinessByDay(one, rules, m, link, [day])[0]?.p as number) - 1e-9,
          )
          before = p
        }
      }),
      { numRuns: 200 },
    )
  })
  test('the visit as booked has the same chance in the list of days; every chance is one', () => {
    fc.assert(
      fc.property(fc.array(anyAnswer, { maxLength: 5 }), anyModel, (answers, m) => {
        const one = input(answers)
        const whole = judge(one, m)
        expect(readinessByDay(one, rules, m, link, [one.plan.visitDay])[0]?.p).toBeCloseTo(whole.p, 12)
        for (const { p } of readinessByDay(one, rules, m, link)) {
          expect(p).toBeGreaterThanOrEqual(0)
          expect(p).toBeLessThanOrEqual(1)
        }
        expect(whole.ready).toBe(whole.p >= whole.threshold)
        expect(whole.grounds.length).toBeGreaterThanOrEqual(5)
        for (const sentence of whole.grounds) expect(sentence).toMatch(/^\S.*[.)]$/)
      }),
      { numRuns: 100 },
    )
  })
  test('silence never counts for more than every dose done, nor for less than none', () => {
    for (const m of [
      model,
      { ...model, silentNone: 0.9, silentAll: 0.05 },
      { ...model, silentNone: 0.05, silentAll: 0.9 },
    ]) {
      const p = (answer: DoseDay['answer']) => judge(input([exact(1), answer, exact(2)]), m).p
      expect(p(silent)).toBeLessThanOrEqual(p(exact(2)))
      expect(p(silent)).toBeGreaterThanOrEqual(p(exact(0)))
    }
  })
})

describe('the threshold', () => {
  test('is where keeping and moving cost the same, recomputed from the two whole sums', () => {
    const { costs } = rules.readiness
    const cut = thresholdFor(rules, model, link)
    const visit = (p: number): number => {
      const of = (fail: number, sore: number) =>
        fail * (costs.failedVisit.value + costs.extraVisit.value) + sore * costs.soreEar.value
      return (
        p * of(costs.failIfSoft.value, costs.soreIfSoft.value) +
        (1 - p) * of(costs.failIfHard.value, costs.soreIfHard.value)
      )
    }
    const keep = visit(cut.value)
    const move =
      costs.moving.value + costs.waitPerDay.value * costs.usualWaitDays.value + visit(cut.chanceAfterMoving)
    expect(keep).toBeCloseTo(move, 9)
    expect(visit(cut.value - 0.01)).toBeGreaterThan(move)
    expect(visit(cut.value + 0.01)).toBeLessThan(move)
    expect(cut.words).toMatch(/The clinic sets these costs; no guideline sets this threshold\./)
  })
  test('falls as moving gets dearer, rises as a failed visit does', () => {
    const withCost = (name: 'moving' | 'failedVisit', value: number) => {
      const own = structuredClone(rules)
      own.readiness.costs[name].value = value
      return thresholdFor(own, model, link).value
    }
    expect(withCost('moving', 40)).toBeLessThan(withCost('moving', 5))
    expect(withCost('failedVisit', 300)).toBeGreaterThan(withCost('failedVisit', 30))
    expect(withCost('moving', 1e6)).toBe(0)
  })
  test('a hard ear that costs no more than a soft one is never moved', () => {
    const own = structuredClone(rules)
    own.readiness.costs.failIfHard.value = 0.05
    own.readiness.costs.soreIfHard.value = 0
    expect(lossIfHard(own.readiness.costs)).toBeLessThan(0)
    expect(thresholdFor(own, model, link)).toMatchObject({ value: 0 })
    expect(thresholdFor(own, model, link).words).toMatch(/never pays/)
  })
})
