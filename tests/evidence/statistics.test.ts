/** Intervals, comparisons and control limits. Published numbers are in tests/sources; here are the properties. */
import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import {
  casesForNone,
  compareShares,
  comparisonWords,
  pChart,
  pChartLimits,
  percent,
  smallNumbers,
  upperBoundOfNone,
  wilson,
  Z95,
} from '../../src/evidence/statistics.ts'

const count = fc
  .nat(3000)
  .chain((n) => fc.record({ events: fc.nat(n), total: fc.constant(n) }))
  .filter(({ total }) => total > 0)

/** The score test that the Wilson interval turns around: a bound is a share that the data are just z away from. */
const scoreDistance = (events: number, total: number, share: number): number =>
  Math.abs(events / total - share) / Math.sqrt((share * (1 - share)) / total)

describe('the Wilson interval', () => {
  test('solves the score equation at both ends', () => {
    fc.assert(
      fc.property(count, fc.double({ min: 0.5, max: 4, noNaN: true }), ({ events, total }, z) => {
        const { low, high } = wilson(events, total, z)
        if (events > 0) expect(scoreDistance(events, total, low)).toBeCloseTo(z, 6)
        if (events < total) expect(scoreDistance(events, total, high)).toBeCloseTo(z, 6)
      }),
    )
  })

  test('holds the share, lies within 0 and 1, and mirrors when events and the rest change places', () => {
    fc.assert(
      fc.property(count, ({ events, total }) => {
        const { low, high } = wilson(events, total)
        const mirrored = wilson(total - events, total)
        expect(low).toBeGreaterThanOrEqual(0)
        expect(high).toBeLessThanOrEqual(1)
        expect(low).toBeLessThanOrEqual(events / total + 1e-12)
        expect(high).toBeGreaterThanOrEqual(events / total - 1e-12)
        expect(mirrored.low).toBeCloseTo(1 - high, 10)
        expect(mirrored.high).toBeCloseTo(1 - low, 10)
      }),
    )
  })

  test('touches 0 and 1 exactly, and only at none and all', () => {
    expect(wilson(0, 7).low).toBe(0)
    expect(wilson(7, 7).high).toBe(1)
    expect(wilson(1, 7).low).toBeGreaterThan(0)
    expect(wilson(6, 7).high).toBeLessThan(1)
  })

  test('is narrower with more cases and wider with more confidence', () => {
    fc.assert(
      fc.property(count, fc.integer({ min: 2, max: 10 }), ({ events, total }, times) => {
        const width = ({ low, high }: { low: number; high: number }): number => high - low
        expect(width(wilson(events * times, total * times))).toBeLessThan(width(wilson(events, total)))
        expect(width(wilson(events, total, Z95 * 1.2))).toBeGreaterThan(width(wilson(events, total)))
      }),
    )
  })

  test('covers about 95 % of the time, counted exactly over every outcome', () => {
    const n = 40
    let log = 0
    const logFactorial = [0, ...Array.from({ length: n }, (_, i) => (log += Math.log(i + 1)))]
    const of = (i: number): number => logFactorial[i] as number
    const cover = (p: number): number =>
      Array.from({ length: n + 1 }, (_, k) => {
        const { low, high } = wilson(k, n)
        return low <= p && p <= high
          ? Math.exp(of(n) - of(k) - of(n - k) + k * Math.log(p) + (n - k) * Math.log(1 - p))
          : 0
      }).reduce((sum, each) => sum + each, 0)
    const shares = Array.from({ length: 181 }, (_, i) => 0.05 + i * 0.005)
    const mean = shares.reduce((sum, p) => sum + cover(p), 0) / shares.length
    expect(mean).toBeGreaterThan(0.94)
    expect(mean).toBeLessThan(0.965)
  })

  test.each([
    [-1, 5],
    [6, 5],
    [0, 0],
    [1.5, 5],
    [1, Number.NaN],
  ])('%d of %d is refused', (events, total) => {
    expect(() => wilson(events, total)).toThrow(RangeError)
  })
  test('a width of nought or less is refused', () => {
    for (const z of [0, -1, Number.NaN, Number.POSITIVE_INFINITY])
      expect(() => wilson(1, 2, z)).toThrow(RangeError)
  })
})

describe('two periods', () => {
  test('the interval holds the difference, lies within -1 and 1, and turns round with the periods', () => {
    fc.assert(
      fc.property(count, count, (now, before) => {
        const { difference, interval, clear } = compareShares(now, before)
        const turned = compareShares(before, now)
        expect(difference).toBeCloseTo(now.events / now.total - before.events / before.total, 12)
        expect(interval.low).toBeGreaterThanOrEqual(-1)
        expect(interval.high).toBeLessThanOrEqual(1)
        expect(interval.low).toBeLessThanOrEqual(difference)
        expect(interval.high).toBeGreaterThanOrEqual(difference)
        expect(turned.interval.low).toBeCloseTo(-interval.high, 10)
        expect(turned.interval.high).toBeCloseTo(-interval.low, 10)
        expect(turned.clear).toBe(clear)
        expect(clear).toBe(interval.low > 0 || interval.high < 0)
      }),
    )
  })

  test('the same share twice is never a clear change', () => {
    fc.assert(
      fc.property(count, fc.integer({ min: 1, max: 9 }), ({ events, total }, times) => {
        expect(compareShares({ events, total }, { events: events * times, total: total * times }).clear).toBe(
          false,
        )
      }),
    )
  })

  test('no cases in a period is refused', () => {
    expect(() => compareShares({ events: 0, total: 0 }, { events: 1, total: 2 })).toThrow(RangeError)
  })

  test('in words', () => {
    expect(comparisonWords(compareShares({ events: 10, total: 100 }, { events: 40, total: 100 }))).toBe(
      '30 points lower than before; the true change may lie anywhere from 40.8 points lower to 18.3 points lower.',
    )
    expect(comparisonWords({ difference: 0.01, interval: { low: 0, high: 0.02 }, clear: false })).toBe(
      'These numbers show no clear change: the true change may lie anywhere from no change to 2 points higher.',
    )
    expect(comparisonWords({ difference: 0.02, interval: { low: 0.01, high: 0.03 }, clear: true })).toBe(
      '2 points higher than before; the true change may lie anywhere from 1 point higher to 3 points higher.',
    )
    expect(comparisonWords(compareShares({ events: 2, total: 10 }, { events: 3, total: 10 }))).toMatch(
      /^These numbers show no clear change: .* points lower to .* points higher\.$/,
    )
  })
})

describe('the p-chart', () => {
  const counts = fc.array(count, { minLength: 1, maxLength: 40 })

  test('its centre is the share of all, its limits are the closer the more cases', () => {
    fc.assert(
      fc.property(counts, (given) => {
        const { centre, points } = pChart(given)
        const sum = (key: 'events' | 'total'): number => given.reduce((total, each) => total + each[key], 0)
        expect(centre).toBeCloseTo(sum('events') / sum('total'), 12)
        for (const { share, lower, upper, out, total } of points) {
          expect(lower).toBeGreaterThanOrEqual(0)
          expect(upper).toBeLessThanOrEqual(1)
          expect(lower).toBeLessThanOrEqual(centre)
          expect(upper).toBeGreaterThanOrEqual(centre)
          expect(out === 'above').toBe(share > upper + 1e-12)
          expect(out === 'below').toBe(share < lower - 1e-12)
          expect(pChartLimits(centre, total * 4).upper).toBeLessThanOrEqual(upper)
        }
      }),
    )
  })

  test('a larger multiplier never puts more points out', () => {
    fc.assert(
      fc.property(counts, (given) => {
        const out = (multiplier: number): number =>
          pChart(given, { multiplier }).points.filter((p) => p.out).length
        expect(out(3)).toBeLessThanOrEqual(out(2))
      }),
    )
  })

  test('all or none everywhere is in control', () => {
    for (const events of [0, 20]) {
      const { points } = pChart([
        { events, total: 20 },
        { events, total: 20 },
      ])
      expect(points.map(({ out }) => out)).toEqual([null, null])
    }
  })

  test('the centre may come from an earlier period', () => {
    const { centre, points } = pChart([{ events: 9, total: 10 }], { centre: 0.1 })
    expect(centre).toBe(0.1)
    expect(points[0]?.out).toBe('above')
  })

  test('nothing, an empty period and senseless numbers are refused', () => {
    expect(() => pChart([])).toThrow(RangeError)
    expect(() => pChart([{ events: 0, total: 0 }])).toThrow(RangeError)
    expect(() => pChart([{ events: 1, total: 2 }], { multiplier: 0 })).toThrow(RangeError)
    expect(() => pChart([{ events: 1, total: 2 }], { centre: 1.1 })).toThrow(RangeError)
    expect(() => pChartLimits(Number.NaN, 10)).toThrow(RangeError)
  })
})

describe('small numbers', () => {
  test.each([
    [0, 0, 'none'],
    [1, 1, 'very-few'],
    [0, 9, 'very-few'],
    [0, 10, 'few'],
    [3, 29, 'few'],
    [15, 30, 'wide'],
    [1, 30, 'enough'],
    [50, 100, 'enough'],
  ])('%d of %d: %s', (events, total, flag) => {
    expect(smallNumbers({ events, total }).flag).toBe(flag)
  })

  test('they are said to be small, with the range', () => {
    expect(smallNumbers({ events: 0, total: 0 }).words).toBe('No cases in this period, so there is no share.')
    expect(smallNumbers({ events: 1, total: 1 }).words).toBe(
      'Only 1 case: too few to judge. The true share may lie anywhere from 20.7% to 100%.',
    )
    expect(smallNumbers({ events: 50, total: 100 }).words).toBe(
      '100 cases. The true share may lie anywhere from 40.4% to 59.6%.',
    )
  })

  test('a share above none is never shown as none, nor one below all as all', () => {
    fc.assert(
      fc.property(fc.double({ min: 0, max: 1, noNaN: true }), (share) => {
        if (share > 0) expect(percent(share)).not.toBe('0%')
        if (share < 1) expect(percent(share)).not.toBe('100%')
      }),
    )
    expect([0, 1, 0.5, 0.0004, 0.9999, 0.123].map(percent)).toEqual([
      '0%',
      '100%',
      '50%',
      'under 0.1%',
      'over 99.9%',
      '12.3%',
    ])
  })

  test('the cases that no event needs and the bound that they give agree', () => {
    fc.assert(
      fc.property(fc.double({ min: 0.001, max: 0.5, noNaN: true }), (rate) => {
        const n = casesForNone(rate)
        expect(upperBoundOfNone(n)).toBeLessThanOrEqual(rate + 1e-9)
        if (n > 1) expect(upperBoundOfNone(n - 1)).toBeGreaterThan(rate - 1e-9)
      }),
    )
    expect(casesForNone(0.5, 0.75)).toBe(2)
    for (const rate of [0, 1, Number.NaN]) expect(() => casesForNone(rate)).toThrow(RangeError)
    for (const confidence of [0, 1]) expect(() => casesForNone(0.1, confidence)).toThrow(RangeError)
    expect(() => upperBoundOfNone(10, 1)).toThrow(RangeError)
  })
})
