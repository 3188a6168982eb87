import { describe, expect, test } from 'vitest'
import { type Random, seededRandom } from '../../src/random.ts'
import {
  drawAnswer,
  drawOutcome,
  drawPlan,
  drawSoftness,
  INVENTED_PATIENTS as patients,
} from '../../src/softening/model.ts'
import { chanceSoft } from '../../src/softening/softness.ts'

const N = 40_000
/** The mean of N draws; four standard errors of a share are at most 0.01. */
const share = (draw: (random: Random) => boolean, seed: string): number => {
  const random = seededRandom(seed)
  let hits = 0
  for (let i = 0; i < N; i++) if (draw(random)) hits++
  return hits / N
}

describe('the generator', () => {
  test('the same seed gives the same numbers, another seed others', () => {
    const draw = (seed: string) =>
      Array.from(
        { length: 50 },
        (
          (r) => () =>
            r.uniform()
        )(seededRandom(seed)),
      )
    expect(draw('a')).toEqual(draw('a'))
    expect(draw('a')).not.toEqual(draw('b'))
    expect(seededRandom(7).uniform()).toBe(seededRandom('7').uniform())
  })
  test('a fork does not depend on what its parent drew', () => {
    const parent = seededRandom('x')
    const before = parent.fork('child').uniform()
    parent.uniform()
    expect(parent.fork('child').uniform()).toBe(before)
    expect(parent.fork('other').uniform()).not.toBe(before)
  })
  test('uniform numbers fill [0, 1) evenly (chi-square over 20 bins, limit at 1 in 100,000)', () => {
    const random = seededRandom('even')
    const bins = new Array<number>(20).fill(0)
    for (let i = 0; i < N; i++) {
      const bin = Math.floor(random.uniform() * 20)
      bins[bin] = (bins[bin] as number) + 1
    }
    expect(bins.reduce((sum, n) => sum + (n - N / 20) ** 2 / (N / 20), 0)).toBeLessThan(60)
  })
  test.each([
    [2.4, 0.8],
    [0.5, 0.5],
    [3, 7],
  ] as const)('beta(%d, %d) has its mean and variance', (a, b) => {
    const random = seededRandom(`beta ${a} ${b}`)
    const draws = Array.from({ length: N }, () => random.beta(a, b))
    const mean = draws.reduce((sum, x) => sum + x, 0) / N
    const variance = draws.reduce((sum, x) => sum + (x - mean) ** 2, 0) / N
    expect(mean).toBeCloseTo(a / (a + b), 2)
    expect(variance).toBeCloseTo((a * b) / ((a + b) ** 2 * (a + b + 1)), 2)
  })
  test('normal numbers have mean 0 and variance 1; picks and whole numbers stay inside', () => {
    const random = seededRandom('normal')
    const draws = Array.from({ length: N }, () => random.normal())
    expect(Math.abs(draws.reduce((sum, x) => sum + x, 0) / N)).toBeLessThan(0.02)
    expect(draws.reduce((sum, x) => sum + x * x, 0) / N).toBeCloseTo(1, 1)
    for (let i = 0; i < 1000; i++) expect([0, 1, 2]).toContain(random.below(3))
    expect(() => random.pick([])).toThrow(/nothing to pick/)
  })
})

describe('the model of patients', () => {
  test('softness follows the documented link, and soft enough means soft or firm', () => {
    for (const doses of [0, 4, 10])
      expect(
        Math.abs(
          share((r) => drawSoftness(r, doses, patients) !== 'hard-and-dry', `s${doses}`) -
            chanceSoft(patients.link, doses),
        ),
      ).toBeLessThan(0.01)
  })
  test('of ears that are soft enough 91 % are cleared, as in the published series of suction', () => {
    const { outcomeBySoftness: by, firmIfSoftEnough: firm } = patients
    expect((1 - firm) * by.soft[0] + firm * by.firm[0]).toBeCloseTo(0.91, 10)
    expect(
      Math.abs(share((r) => drawOutcome(r, 'soft', patients) === 'cleared', 'o') - by.soft[0]),
    ).toBeLessThan(0.01)
  })
  test('silence depends on what was done', () => {
    const silent = (done: number) =>
      share((r) => drawAnswer(r, done, 2, patients).kind === 'silent', `q${done}`)
    expect(Math.abs(silent(0) - patients.adherence.silentNone)).toBeLessThan(0.01)
    expect(Math.abs(silent(2) - patients.adherence.silentAll)).toBeLessThan(0.01)
  })
  test('without overclaim an exact answer is the truth and a bare yes means at least one', () => {
    const random = seededRandom('truth')
    for (let i = 0; i < 2000; i++) {
      const { done, days } = drawPlan(random, ['2026-11-01', '2026-11-02', '2026-11-03'], 2, patients)
      days.forEach(({ answer }, j) => {
        if (answer.kind === 'exact') expect(answer.doses).toBe(done[j])
        if (answer.kind === 'some') expect(done[j]).toBeGreaterThan(0)
      })
    }
  })
})
