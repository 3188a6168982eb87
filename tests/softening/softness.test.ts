import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { softeningDefaults } from '../../src/protocol/sections/softening.ts'
import { seededRandom } from '../../src/random.ts'
import { posterior } from '../../src/softening/adherence.ts'
import { drawPlan, drawSoftness, INVENTED_PATIENTS } from '../../src/softening/model.ts'
import {
  brier,
  chanceSoft,
  chanceSoftOver,
  defaultLink,
  refitSoftness,
  type SoftnessOutcome,
  scorePredictions,
} from '../../src/softening/softness.ts'
import type { SoftnessLink } from '../../src/softening/types.ts'

const rules = softeningDefaults.readiness
const known = (doses: number): number[] => [...new Array<number>(doses).fill(0), 1]

function outcomes(n: number, truth: SoftnessLink, seed: string): SoftnessOutcome[] {
  const random = seededRandom(seed)
  return Array.from({ length: n }, () => {
    const doses = random.below(13)
    return { doses: known(doses), found: random.chance(chanceSoft(truth, doses)) ? 'soft' : 'hard-and-dry' }
  })
}

describe('the link from doses to softness', () => {
  test('few outcomes, or one kind only, leave the weak default', () => {
    expect(refitSoftness([], rules)).toEqual(defaultLink(rules))
    expect(
      refitSoftness(outcomes(rules.minimumOutcomes.value - 1, defaultLink(rules), 'few'), rules),
    ).toEqual(defaultLink(rules))
    const allSoft: SoftnessOutcome[] = Array.from({ length: 200 }, () => ({ doses: known(8), found: 'soft' }))
    expect(refitSoftness(allSoft, rules)).toEqual(defaultLink(rules))
  })
  test('many outcomes find the truth, far from the default', () => {
    const truth = { intercept: -2.5, slope: 0.6, outcomes: 0 }
    const fitted = refitSoftness(outcomes(4000, truth, 'many'), rules)
    for (const doses of [0, 3, 6, 9, 12])
      expect(Math.abs(chanceSoft(fitted, doses) - chanceSoft(truth, doses))).toBeLessThan(0.04)
    expect(fitted.outcomes).toBe(4000)
  })
  test('doses known only from answers and silence still find the truth', () => {
    const link = { intercept: -2, slope: 0.5, outcomes: 0 }
    const patients = { ...INVENTED_PATIENTS, link }
    const random = seededRandom('unsure')
    const days = ['2026-11-01', '2026-11-02', '2026-11-03', '2026-11-04', '2026-11-05']
    const data: SoftnessOutcome[] = Array.from({ length: 3000 }, () => {
      const real = drawPlan(random, days, 2, patients)
      const done = real.done.reduce((sum, n) => sum + n, 0)
      return {
        doses: posterior(real.days, patients.adherence).done,
        found: drawSoftness(random, done, patients),
      }
    })
    const fitted = refitSoftness(data, rules)
    for (const doses of [2, 5, 8, 10])
      expect(Math.abs(chanceSoft(fitted, doses) - chanceSoft(link, doses))).toBeLessThan(0.05)
  })
  test('the fit is the top of the penalised likelihood: its slope there is nil', () => {
    const data = outcomes(300, { intercept: -1.5, slope: 0.4, outcomes: 0 }, 'top')
    const fitted = refitSoftness(data, rules)
    const start = defaultLink(rules)
    const score = (intercept: number, logSlope: number) =>
      data.reduce(
        (sum, { doses, found }) => {
          const p = chanceSoftOver({ intercept, slope: Math.exp(logSlope), outcomes: 0 }, doses)
          return sum + Math.log(found === 'soft' ? p : 1 - p)
        },
        -((intercept - start.intercept) ** 2) / 2 - ((logSlope - Math.log(start.slope)) / 0.5) ** 2 / 2,
      )
    const h = 1e-4
    const [i, s] = [fitted.intercept, Math.log(fitted.slope)]
    expect(Math.abs((score(i + h, s) - score(i - h, s)) / (2 * h))).toBeLessThan(0.05)
    expect(Math.abs((score(i, s + h) - score(i, s - h)) / (2 * h))).toBeLessThan(0.05)
  })
  test('is never falling, even when the results say that drops harden', () => {
    const contrary: SoftnessOutcome[] = Array.from({ length: 100 }, (_, i) =>
      i % 2 ? { doses: known(0), found: 'soft' } : { doses: known(10), found: 'hard-and-dry' },
    )
    const fitted = refitSoftness(contrary, rules)
    expect(fitted.slope).toBeGreaterThan(0)
    expect(chanceSoft(fitted, 10)).toBeLessThan(0.75)
  })
  test('uncertain doses weigh by their chances', () => {
    const link = defaultLink(rules)
    expect(chanceSoftOver(link, [0.25, 0, 0.75])).toBeCloseTo(
      0.25 * chanceSoft(link, 0) + 0.75 * chanceSoft(link, 2),
      12,
    )
  })
  test('firm counts as soft enough where the clinic says so', () => {
    const firm: SoftnessOutcome[] = Array.from({ length: 60 }, (_, i) => ({
      doses: known(i % 12),
      found: i % 3 ? 'firm' : 'hard-and-dry',
    }))
    const strict = structuredClone(rules)
    strict.softEnough.value = ['soft']
    expect(refitSoftness(firm, rules).outcomes).toBe(60)
    expect(refitSoftness(firm, strict)).toEqual(defaultLink(strict))
  })
})

describe('the score of the predictions', () => {
  test('worked by hand', () => {
    const two = [
      { p: 0.8, soft: true },
      { p: 0.4, soft: false },
    ]
    expect(brier(two)).toBeCloseTo((0.04 + 0.16) / 2, 12)
    const score = scorePredictions(two)
    expect(score).toMatchObject({ n: 2, brierOfShare: 0.25 })
    expect(score?.words).toMatch(/better than always naming the usual share .* Few visits/)
    expect(scorePredictions([])).toBeNull()
  })
  test('the bands hold every prediction once, 0 and 1 included', () => {
    fc.assert(
      fc.property(
        fc.array(fc.record({ p: fc.double({ min: 0, max: 1, noNaN: true }), soft: fc.boolean() }), {
          minLength: 1,
        }),
        (list) => {
          const score = scorePredictions(list)
          expect(score?.bands.reduce((sum, band) => sum + band.n, 0)).toBe(list.length)
          for (const band of score?.bands ?? []) {
            expect(band.predicted).toBeGreaterThanOrEqual(band.from)
            expect(band.low).toBeLessThanOrEqual(band.observed)
            expect(band.high).toBeGreaterThanOrEqual(band.observed)
            expect(band.predicted).toBeLessThanOrEqual(band.to + 1e-12)
          }
        },
      ),
    )
  })
  test('true chances score better than the share, and near their own calibration', () => {
    const random = seededRandom('score')
    const list = Array.from({ length: 5000 }, () => {
      const p = random.uniform()
      return { p, soft: random.chance(p) }
    })
    const score = scorePredictions(list)
    expect(score?.brier).toBeLessThan(score?.brierOfShare as number)
    for (const band of score?.bands ?? []) expect(Math.abs(band.predicted - band.observed)).toBeLessThan(0.05)
  })
})
