import { describe, expect, test } from 'vitest'
import { softeningDefaults } from '../../src/protocol/sections/softening.ts'
import { seededRandom } from '../../src/random.ts'
import { drawPlan, INVENTED_PATIENTS } from '../../src/softening/model.ts'
import { defaultModel, fitPrior, historiesOfPlan, logLikelihood } from '../../src/softening/prior.ts'
import type { AdherenceModel, DoseHistory } from '../../src/softening/types.ts'

const rules = softeningDefaults.adherence
const DAYS = ['2026-11-02', '2026-11-03', '2026-11-04', '2026-11-05', '2026-11-06']

function history(patients: number, truth: AdherenceModel, seed: string, revealed: number): DoseHistory[] {
  const random = seededRandom(seed)
  const model = { ...INVENTED_PATIENTS, adherence: truth }
  return Array.from({ length: patients }, (_, i) => {
    const own = random.fork(i)
    const { days, done } = drawPlan(own, DAYS, 2, model)
    return {
      days: days.map((day, j) =>
        day.answer.kind === 'silent' && own.chance(revealed) ? { ...day, later: done[j] as number } : day,
      ),
    }
  })
}

describe('few data', () => {
  test('leave the weak default as it is', () => {
    expect(fitPrior([], rules)).toEqual(defaultModel(rules))
    const few = history(rules.minimumPatients.value - 1, INVENTED_PATIENTS.adherence, 'few', 0.5)
    expect(fitPrior(few, rules)).toEqual(defaultModel(rules))
  })
  test('that all say the same do not blow up', () => {
    const all: DoseHistory[] = Array.from({ length: 40 }, () => ({
      days: DAYS.map((day) => ({ day, planned: 2, answer: { kind: 'exact', doses: 2 } })),
    }))
    const fitted = fitPrior(all, rules)
    expect(fitted.a / (fitted.a + fitted.b)).toBeGreaterThan(0.97)
    for (const value of Object.values(fitted)) expect(Number.isFinite(value)).toBe(true)
    // Every day was answered and every dose done: nothing was learned of days without a dose.
    expect(fitted.silentNone).toBeCloseTo(rules.defaultSilence.none, 2)
    expect(fitted.silentAll).toBeLessThan(0.05)
    const quiet = all.map(() => ({
      days: DAYS.map((day) => ({ day, planned: 2, answer: { kind: 'silent' as const } })),
    }))
    for (const value of Object.values(fitPrior(quiet, rules))) expect(Number.isFinite(value)).toBe(true)
  })
  test('of plans without any dose due are no history', () => {
    const empty: DoseHistory[] = Array.from({ length: 50 }, () => ({ days: [] }))
    expect(fitPrior(empty, rules).patients).toBe(0)
  })
})

describe('enough data', () => {
  const truth: AdherenceModel = { a: 2, b: 1, silentNone: 0.6, silentAll: 0.15, overclaim: 0, patients: 0 }
  test('find the truth again, silence included, when some silent days were explained later', () => {
    const fitted = fitPrior(history(1500, truth, 'truth', 0.3), rules)
    expect(fitted.a / (fitted.a + fitted.b)).toBeCloseTo(2 / 3, 1)
    expect(Math.abs(fitted.a / (fitted.a + fitted.b) - 2 / 3)).toBeLessThan(0.03)
    expect(fitted.a + fitted.b).toBeGreaterThan(2.3)
    expect(fitted.a + fitted.b).toBeLessThan(3.9)
    expect(Math.abs(fitted.silentNone - 0.6)).toBeLessThan(0.06)
    expect(Math.abs(fitted.silentAll - 0.15)).toBeLessThan(0.04)
    expect(fitted.patients).toBe(1500)
  })
  test('no other model nearby is more likely', () => {
    const data = history(300, truth, 'peak', 1)
    const fitted = fitPrior(data, rules)
    const top = logLikelihood(data, fitted)
    for (const [a, b] of [
      [1.1, 1],
      [0.9, 1],
      [1, 1.1],
      [1, 0.9],
      [1.1, 1.1],
      [0.9, 0.9],
    ] as const)
      expect(logLikelihood(data, { ...fitted, a: fitted.a * a, b: fitted.b * b })).toBeLessThan(top + 1e-6)
  })
  test('the order of patients and of days does not matter', () => {
    const data = history(60, truth, 'order', 0.5)
    const turned = data.toReversed().map(({ days }) => ({ days: days.toReversed() }))
    const one = fitPrior(data, rules)
    const other = fitPrior(turned, rules)
    expect(other.a).toBeCloseTo(one.a, 3)
    expect(other.silentNone).toBeCloseTo(one.silentNone, 3)
  })
})

test('two ears that say the same are one patient, two that differ are two histories', () => {
  const days = DAYS.map((day) => ({ day, planned: 2, answer: { kind: 'exact' as const, doses: 2 } }))
  const other = days.map((one, i) => (i === 0 ? { ...one, answer: { kind: 'silent' as const } } : one))
  expect(historiesOfPlan([{ days }, { days: structuredClone(days) }])).toHaveLength(1)
  expect(historiesOfPlan([{ days }, { days: other }])).toHaveLength(2)
  expect(historiesOfPlan([{ days: [] }])).toEqual([])
})
