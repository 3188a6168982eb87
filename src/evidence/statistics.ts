/** Proportions with their intervals, two periods compared, and control limits. */

/** Two-sided 95 %. */
export const Z95 = 1.959963984540054

export interface Interval {
  low: number
  high: number
}

export interface Count {
  /** How many had it. */
  events: number
  /** Out of how many. */
  total: number
}

function checkCount({ events, total }: Count): void {
  if (
    !Number.isSafeInteger(events) ||
    !Number.isSafeInteger(total) ||
    events < 0 ||
    total < 1 ||
    events > total
  )
    throw new RangeError(
      `${events} of ${total} is no share: count whole events, from none up to all of at least one.`,
    )
}

function checkZ(z: number): void {
  if (!Number.isFinite(z) || z <= 0)
    throw new RangeError(`The width of an interval must be positive, not ${z}.`)
}

/** The Wilson score interval without continuity correction (Newcombe, Stat Med 1998;17:857-72, method 3). */
export function wilson(events: number, total: number, z: number = Z95): Interval {
  checkCount({ events, total })
  checkZ(z)
  const share = events / total
  const z2 = z * z
  const middle = 2 * events + z2
  const reach = z * Math.sqrt(z2 + 4 * events * (1 - share))
  const below = 2 * (total + z2)
  return {
    low: events === 0 ? 0 : Math.max(0, (middle - reach) / below),
    high: events === total ? 1 : Math.min(1, (middle + reach) / below),
  }
}

export interface Comparison {
  /** Share of the later period less share of the earlier one. */
  difference: number
  interval: Interval
  /** Whether the interval leaves out no difference at all. */
  clear: boolean
}

/** Newcombe's hybrid score interval for a difference of two shares (Stat Med 1998;17:873-90, method 10). */
export function compareShares(now: Count, before: Count, z: number = Z95): Comparison {
  const a = now.events / now.total
  const b = before.events / before.total
  const wa = wilson(now.events, now.total, z)
  const wb = wilson(before.events, before.total, z)
  const difference = a - b
  const low = Math.max(-1, difference - Math.hypot(a - wa.low, wb.high - b))
  const high = Math.min(1, difference + Math.hypot(wa.high - a, b - wb.low))
  return { difference, interval: { low, high }, clear: low > 0 || high < 0 }
}

export interface PChartPoint extends Count {
  share: number
  lower: number
  upper: number
  /** Beyond its own limits. */
  out: 'above' | 'below' | null
}

export interface PChart {
  centre: number
  multiplier: number
  points: PChartPoint[]
}

/** Limits of one point: centre +- multiplier * sqrt(centre (1 - centre) / total), kept within 0 and 1. */
export function pChartLimits(
  centre: number,
  total: number,
  multiplier = 3,
): { lower: number; upper: number } {
  if (!(centre >= 0 && centre <= 1))
    throw new RangeError(`A centre line is a share from 0 to 1, not ${centre}.`)
  checkCount({ events: 0, total })
  checkZ(multiplier)
  const reach = multiplier * Math.sqrt((centre * (1 - centre)) / total)
  return { lower: Math.max(0, centre - reach), upper: Math.min(1, centre + reach) }
}

/**
 * A Shewhart p-chart (NIST/SEMATECH e-Handbook 6.3.3.2). The centre is all events over all totals unless given;
 * each point has limits of its own total. Points must have at least one case: leave empty periods out.
 */
export function pChart(
  counts: readonly Count[],
  { multiplier = 3, centre }: { multiplier?: number; centre?: number } = {},
): PChart {
  if (counts.length === 0) throw new RangeError('A chart needs at least one period with a case.')
  for (const count of counts) checkCount(count)
  const sum = (key: keyof Count): number => counts.reduce((total, count) => total + count[key], 0)
  const line = centre ?? sum('events') / sum('total')
  return {
    centre: line,
    multiplier,
    points: counts.map(({ events, total }) => {
      const share = events / total
      const { lower, upper } = pChartLimits(line, total, multiplier)
      return { events, total, share, lower, upper, out: outOf(share, lower, upper) }
    }),
  }
}

/** A share that only rounding puts past its limit is not out. */
const ROUNDING = 1e-12
const outOf = (share: number, lower: number, upper: number): PChartPoint['out'] =>
  share > upper + ROUNDING ? 'above' : share < lower - ROUNDING ? 'below' : null

/** The smallest number of cases for which a share of 0 among them says less than `rate` at this confidence. */
export function casesForNone(rate: number, confidence = 0.95): number {
  if (!(rate > 0 && rate < 1 && confidence > 0 && confidence < 1))
    throw new RangeError('A rate and a confidence lie between 0 and 1.')
  return Math.ceil(Math.log(1 - confidence) / Math.log(1 - rate) - ROUNDING)
}

/** The exact one-sided upper bound of a rate of which no case was seen (Hanley and Lippman-Hand, JAMA 1983). */
export function upperBoundOfNone(total: number, confidence = 0.95): number {
  checkCount({ events: 0, total })
  if (!(confidence > 0 && confidence < 1)) throw new RangeError('A confidence lies between 0 and 1.')
  return 1 - (1 - confidence) ** (1 / total)
}

export const SMALL_NUMBER_FLAGS = ['none', 'very-few', 'few', 'wide', 'enough'] as const
export type SmallNumberFlag = (typeof SMALL_NUMBER_FLAGS)[number]

export interface SmallNumbers {
  flag: SmallNumberFlag
  words: string
}

/** Fewer than this many cases say next to nothing; an interval wider than this says little. Both are ours to choose. */
const VERY_FEW = 10
const FEW = 30
const WIDE = 0.2

/** How far a share may be leaned on, in words that stand beside it. */
export function smallNumbers({ events, total }: { events: number; total: number }): SmallNumbers {
  if (total === 0) return { flag: 'none', words: 'No cases in this period, so there is no share.' }
  const { low, high } = wilson(events, total)
  const range = `The true share may lie anywhere from ${percent(low)} to ${percent(high)}.`
  const cases = total === 1 ? '1 case' : `${total} cases`
  if (total < VERY_FEW) return { flag: 'very-few', words: `Only ${cases}: too few to judge. ${range}` }
  if (total < FEW) return { flag: 'few', words: `Only ${cases}: a small number. ${range}` }
  if (high - low > WIDE) return { flag: 'wide', words: `${cases}, but still a wide range. ${range}` }
  return { flag: 'enough', words: `${cases}. ${range}` }
}

/** "3.7%"; a share above none is never shown as none, nor one below all as all. */
export function percent(share: number): string {
  const rounded = Math.round(share * 1000) / 10
  if (rounded === 0 && share > 0) return 'under 0.1%'
  if (rounded === 100 && share < 1) return 'over 99.9%'
  return `${rounded}%`
}

/** A comparison in one sentence; where its interval holds no difference, it says that none is shown. */
export function comparisonWords({ difference, interval, clear }: Comparison): string {
  const range = `anywhere from ${pointsWords(interval.low)} to ${pointsWords(interval.high)}`
  if (!clear) return `These numbers show no clear change: the true change may lie ${range}.`
  return `${pointsWords(difference)} than before; the true change may lie ${range}.`
}

function pointsWords(difference: number): string {
  const points = Math.round(Math.abs(difference) * 1000) / 10
  if (points === 0) return 'no change'
  return `${points} ${points === 1 ? 'point' : 'points'} ${difference > 0 ? 'higher' : 'lower'}`
}
