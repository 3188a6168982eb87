/**
 * How many doses were really done, judged from answers, partial answers and silence. Pure.
 *
 * The model. One patient does each due dose with chance theta, theta ~ Beta(a, b) across the clinic's
 * patients. A day with m due doses of which d were done
 *   - stays silent with chance s(d) = silentNone + (silentAll - silentNone) d / m,
 *   - is answered with the number r with chance (1 - s(d)) P(r | d), where each dose not done is claimed
 *     with chance `overclaim`, so r - d ~ Binomial(m - d, overclaim),
 *   - is answered with a bare yes with chance (1 - s(d)) P(r >= 1 | d).
 * So each day's likelihood is a polynomial sum_d c_d theta^d (1 - theta)^(m - d) with
 * c_d = C(m, d) x the chance above. The product over days is again such a polynomial, its coefficients C_k
 * the convolution of the days', and k is the number of doses done in all. With the prior,
 *   P(k doses done | answers) is proportional to C_k B(a + k, b + n - k),
 * and given k, theta ~ Beta(a + k, b + n - k). Nothing is approximated: the posterior is a finite mixture.
 */
import { betaBinomialAll, betaCdf, choose, logBeta, solveIncreasing } from './special-functions.ts'
import type { AdherenceModel, DoseDay } from './types.ts'

/** Coefficients by number of doses done, over `exp(logScale)`; `due` doses in all. */
export interface Terms {
  terms: number[]
  due: number
  logScale: number
}

const binomial = (k: number, n: number, p: number): number =>
  k < 0 || k > n ? 0 : choose(n, k) * p ** k * (1 - p) ** (n - k)

/** Chance that a day with `done` of `due` doses stays without an answer. */
export const silentChance = (model: AdherenceModel, done: number, due: number): number =>
  model.silentNone + (model.silentAll - model.silentNone) * (due === 0 ? 0 : done / due)

/** c_0 ... c_m of one day. More doses reported than were due counts as all of them. */
export function dayTerms(day: DoseDay & { later?: number }, model: AdherenceModel): number[] {
  const due = day.planned
  return Array.from({ length: due + 1 }, (_, done) => {
    const silent = silentChance(model, done, due)
    const ways = choose(due, done)
    if (day.answer.kind === 'silent') {
      if (day.later === undefined) return ways * silent
      return ways * silent * binomial(Math.min(day.later, due) - done, due - done, model.overclaim)
    }
    if (day.answer.kind === 'exact') {
      const claimed = Math.max(0, Math.min(day.answer.doses, due)) - done
      return ways * (1 - silent) * binomial(claimed, due - done, model.overclaim)
    }
    const claimsOne = done > 0 ? 1 : 1 - (1 - model.overclaim) ** due
    return ways * (1 - silent) * claimsOne
  })
}

export const NO_DAYS: Terms = { terms: [1], due: 0, logScale: 0 }

/** The coefficients with one more day: a convolution, kept near 1. Throws where the answers are impossible. */
export function withDay(before: Terms, day: readonly number[]): Terms {
  const product = new Array<number>(before.terms.length + day.length - 1).fill(0)
  let largest = 0
  for (const [k, t] of before.terms.entries()) {
    if (t === 0) continue
    for (const [d, c] of day.entries()) {
      const value = (product[k + d] as number) + t * c
      product[k + d] = value
      if (value > largest) largest = value
    }
  }
  if (!(largest > 0)) throw new RangeError('These answers are impossible under the model.')
  return {
    terms: product.map((t) => t / largest),
    due: product.length - 1,
    logScale: before.logScale + Math.log(largest),
  }
}

/** The coefficients of all days together. */
export const termsOf = (days: ReadonlyArray<DoseDay & { later?: number }>, model: AdherenceModel): Terms =>
  days.reduce((so, day) => withDay(so, dayTerms(day, model)), NO_DAYS)

export interface Adherence {
  /** P(k of the due doses were done), k = 0 ... due. */
  done: number[]
  due: number
  /** Prior of theta, kept for what is still to come. */
  a: number
  b: number
}

/** The exact posterior of the doses done so far. Days without any answer yet must be left out. */
export function posterior(days: readonly DoseDay[], model: AdherenceModel): Adherence {
  const { a, b } = model
  const { terms, due } = termsOf(days, model)
  const base = logBeta(a, b)
  const weights = terms.map((c, k) => c * Math.exp(logBeta(a + k, b + due - k) - base))
  const total = weights.reduce((sum, w) => sum + w, 0)
  return { done: weights.map((w) => w / total), due, a, b }
}

/** P(total doses), when `future` more are due: the doses done plus what this patient will do. */
export function predictTotal(adherence: Adherence, future: number): number[] {
  const { done, due, a, b } = adherence
  const total = new Array<number>(due + future + 1).fill(0)
  done.forEach((w, k) => {
    if (w === 0) return
    betaBinomialAll(future, a + k, b + due - k).forEach((p, more) => {
      total[k + more] = (total[k + more] as number) + w * p
    })
  })
  return total
}

/** P(doses among `future` that are still due). */
export function predictFuture({ done, due, a, b }: Adherence, future: number): number[] {
  const ahead = new Array<number>(future + 1).fill(0)
  done.forEach((w, k) => {
    if (w === 0) return
    betaBinomialAll(future, a + k, b + due - k).forEach((p, more) => {
      ahead[more] = (ahead[more] as number) + w * p
    })
  })
  return ahead
}

/** Posterior mean of theta, the chance that this patient does a dose. */
export const meanTheta = ({ done, due, a, b }: Adherence): number =>
  done.reduce((sum, w, k) => sum + (w * (a + k)) / (a + b + due), 0)

/** P(theta <= x). */
export const thetaCdf = ({ done, due, a, b }: Adherence, x: number): number =>
  done.reduce((sum, w, k) => (w === 0 ? sum : sum + w * betaCdf(x, a + k, b + due - k)), 0)

/** Equal-tailed interval of theta. */
export function thetaInterval(adherence: Adherence, level = 0.9): { low: number; high: number } {
  const tail = (1 - level) / 2
  const cdf = (x: number): number => thetaCdf(adherence, x)
  return { low: solveIncreasing(cdf, tail), high: solveIncreasing(cdf, 1 - tail) }
}

export const meanOf = (distribution: readonly number[]): number =>
  distribution.reduce((sum, p, k) => sum + k * p, 0)

/**
 * Equal-tailed interval of a count: at most (1 - level)/2 of the probability lies below `low`, and at most
 * as much above `high`; so it holds at least `level`.
 */
export function countInterval(distribution: readonly number[], level = 0.9): { low: number; high: number } {
  const tail = (1 - level) / 2 + 1e-12
  let low = 0
  for (let below = distribution[0] ?? 0; below <= tail; below += distribution[low] ?? 0) low++
  let high = distribution.length - 1
  for (let above = distribution[high] ?? 0; above <= tail; above += distribution[high] ?? 0) high--
  return { low, high }
}

/** P(count >= least). */
export const atLeast = (distribution: readonly number[], least: number): number =>
  Math.min(
    1,
    distribution.slice(Math.max(0, least)).reduce((sum, p) => sum + p, 0),
  )

const doses = (n: number): string => (n === 1 ? '1 dose' : `${n} doses`)

/** The posterior in plain words. */
export function adherenceWords(days: readonly DoseDay[], model: AdherenceModel): string {
  if (days.length === 0) return 'No answer is due yet.'
  const adherence = posterior(days, model)
  const { low, high } = countInterval(adherence.done)
  const silent = days.filter((day) => day.answer.kind === 'silent').length
  const likely = Math.round(meanOf(adherence.done))
  const range = low === high ? '' : ` It could be from ${low} to ${high}: 9 times in 10 it is.`
  const quiet = silent === 0 ? '' : ` ${silent === 1 ? '1 day has' : `${silent} days have`} no answer.`
  return `About ${likely} of the ${doses(adherence.due)} due so far were done.${range}${quiet}`
}
