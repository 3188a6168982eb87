/** The evidence maths against published worked examples; the source stands beside each. */
import { describe, expect, test } from 'vitest'
import {
  casesForNone,
  compareShares,
  pChart,
  pChartLimits,
  upperBoundOfNone,
  wilson,
} from '../../src/evidence/statistics.ts'

describe('Wilson score interval, 95 %, no continuity correction', () => {
  // Newcombe, Stat Med 1998;17:857-72, Table I, method 3. The four-digit table is from memory; the formula was
  // read in a published implementation that cites it, and the six digits were computed from it apart from this code.
  test.each([
    [81, 263, 0.2553, 0.3662, 0.255289, 0.36621],
    [15, 148, 0.0624, 0.1605, 0.062386, 0.160487],
    [0, 20, 0, 0.1611, 0, 0.161125],
    [1, 29, 0.0061, 0.1718, 0.006113, 0.171755],
  ])('%d of %d', (events, total, low4, high4, low6, high6) => {
    const { low, high } = wilson(events, total)
    expect(low).toBeCloseTo(low4, 4)
    expect(high).toBeCloseTo(high4, 4)
    expect(low).toBeCloseTo(low6, 6)
    expect(high).toBeCloseTo(high6, 6)
  })

  // The same formula, computed apart from this code.
  test.each([
    [3, 10, 0.107791, 0.603222],
    [10, 10, 0.722467, 1],
    [50, 100, 0.403832, 0.596168],
  ])('%d of %d', (events, total, low, high) => {
    expect(wilson(events, total).low).toBeCloseTo(low, 6)
    expect(wilson(events, total).high).toBeCloseTo(high, 6)
  })
})

describe('difference of two shares, hybrid score interval', () => {
  // Newcombe, Stat Med 1998;17:873-90, Table II, method 10: the printed four digits are from memory. The formula
  // was read in the R package contingencytables (Newcombe_hybrid_score_CI_2x2), and the six digits were computed
  // from it apart from this code; both agree.
  test.each([
    [56, 70, 48, 80, 0.052431, 0.333873],
    [9, 10, 3, 10, 0.170523, 0.809018],
    [6, 7, 2, 7, 0.058228, 0.80625],
    [5, 56, 0, 29, -0.038137, 0.19256],
    [0, 10, 0, 20, -0.161125, 0.277533],
    [0, 10, 0, 10, -0.277533, 0.277533],
    [10, 10, 0, 20, 0.679086, 1],
    [10, 10, 0, 10, 0.607509, 1],
  ])('%d/%d less %d/%d', (a, m, b, n, low, high) => {
    const { interval } = compareShares({ events: a, total: m }, { events: b, total: n })
    expect(interval.low).toBeCloseTo(low, 6)
    expect(interval.high).toBeCloseTo(high, 6)
  })
})

describe('Shewhart p-chart', () => {
  test('NIST/SEMATECH e-Handbook 6.3.3.2: centre .2313, 50 chips a wafer: limits .41024 and .05243', () => {
    expect(pChartLimits(347 / 1500, 50).upper).toBeCloseTo(0.41024, 5)
    expect(pChartLimits(347 / 1500, 50).lower).toBeCloseTo(0.05243, 5)
  })

  test('the same handbook: only wafers 15 (.44) and 23 (.48) are out (counts from memory; their sum gives .2313)', () => {
    const counts = [
      12, 15, 8, 10, 4, 7, 16, 9, 14, 10, 5, 6, 17, 12, 22, 8, 10, 5, 13, 11, 20, 18, 24, 15, 9, 12, 7, 13, 9,
      6,
    ]
    const { centre, points } = pChart(counts.map((events) => ({ events, total: 50 })))
    expect(centre).toBeCloseTo(0.2313, 4)
    const out = points.flatMap(({ out, share }, i) => (out === null ? [] : [[i + 1, share, out]]))
    expect(out).toEqual([
      [15, 0.44, 'above'],
      [23, 0.48, 'above'],
    ])
  })

  test('An Introduction to Business Statistics, Ex 16.6: centre .16, limits .2378 and .0822, all in control', () => {
    const counts = [40, 44, 22, 34, 24, 32, 28, 32, 34, 30]
    const { centre, points } = pChart(counts.map((events) => ({ events, total: 200 })))
    expect(centre).toBeCloseTo(0.16, 12)
    for (const { lower, upper, out } of points) {
      expect(upper).toBeCloseTo(0.2378, 4)
      expect(lower).toBeCloseTo(0.0822, 4)
      expect(out).toBeNull()
    }
  })

  test('a textbook exercise with limits .0809 and .0191 (n 400, centre .05) needs a multiplier of 2.8356, not 3', () => {
    const { lower, upper } = pChartLimits(0.05, 400, 2.8356)
    expect(upper).toBeCloseTo(0.0809, 4)
    expect(lower).toBeCloseTo(0.0191, 4)
    expect(pChartLimits(0.05, 400).upper).not.toBeCloseTo(0.0809, 4)
  })

  test('three sigma: one point in 370.4 is out by chance (normal model, counted on the exact normal tail)', () => {
    // Two-sided tail at 3, by Simpson's rule over the density: shares nothing with the code under test.
    const density = (x: number): number => Math.exp((-x * x) / 2) / Math.sqrt(2 * Math.PI)
    const [from, to, steps] = [3, 12, 20_000]
    const h = (to - from) / steps
    let sum = density(from) + density(to)
    for (let i = 1; i < steps; i++) sum += density(from + i * h) * (i % 2 === 0 ? 2 : 4)
    const falseAlarm = (2 * sum * h) / 3
    expect(falseAlarm).toBeCloseTo(0.0026998, 7)
    expect(1 / falseAlarm).toBeCloseTo(370.4, 1)
    // The default multiplier is that three, seen in the width of the limits.
    const { lower, upper } = pChartLimits(0.5, 400)
    expect((upper - lower) / 2 / Math.sqrt(0.25 / 400)).toBeCloseTo(3, 12)
  })
})

describe('no event seen', () => {
  // Exact one-sided bound 1 - 0.05^(1/n); Hanley and Lippman-Hand, JAMA 1983 (their rule of three from memory).
  test.each([
    [100, 0.029513],
    [300, 0.009936],
  ])('none in %d', (total, bound) => {
    expect(upperBoundOfNone(total)).toBeCloseTo(bound, 6)
    expect(upperBoundOfNone(total)).toBeLessThan(3 / total)
  })
  test('299 without a miss are needed to claim at most 1 % missed', () => {
    expect(casesForNone(0.01)).toBe(299)
  })
})
