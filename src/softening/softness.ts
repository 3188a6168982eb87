/** The link from doses to softness, refitted from the clinic's own visits, and the score of its predictions. */
import { wilson } from '../evidence/statistics.ts'
import type { ReadinessRules } from '../protocol/sections/softening.ts'
import { minimise } from './minimise.ts'
import { logistic } from './special-functions.ts'
import type { Softness, SoftnessLink } from './types.ts'

/** The weak guess that stands until the clinic has outcomes of its own. */
export const defaultLink = (rules: ReadinessRules): SoftnessLink => ({
  intercept: rules.defaultLink.intercept,
  slope: rules.defaultLink.slope,
  outcomes: 0,
})

/** P(soft enough | doses really done). */
export const chanceSoft = (link: SoftnessLink, doses: number): number =>
  logistic(link.intercept + link.slope * doses)

/** P(soft enough), when the doses are known as a distribution over 0, 1, 2, ... */
export const chanceSoftOver = (link: SoftnessLink, doses: readonly number[]): number =>
  Math.min(
    1,
    doses.reduce((sum, p, k) => sum + p * chanceSoft(link, k), 0),
  )

/** One ear at one visit: what was believed of its doses, and the clinician's one tap. */
export interface SoftnessOutcome {
  /** P(k doses) at the time of the visit; [0, 0, 0, 1] for three doses known for sure. */
  doses: number[]
  found: Softness
}

export const wasSoftEnough = (found: Softness, rules: ReadinessRules): boolean =>
  rules.softEnough.value.includes(found)

/** Spread of the prior of the intercept, and of the logarithm of the slope (so the slope stays positive). */
const INTERCEPT_SPREAD = 1
const SLOPE_SPREAD = 0.5

/**
 * Refits the link: the most probable intercept and slope under the outcomes (each likelihood averaged over
 * what the doses may have been) and a weak normal prior around the default. The slope is positive by
 * construction: drops are held not to harden a plug, and one more dose can never lower a readiness. With
 * fewer outcomes than the protocol asks for, or with one kind of outcome only, the default stays.
 */
export function refitSoftness(outcomes: readonly SoftnessOutcome[], rules: ReadinessRules): SoftnessLink {
  const start = defaultLink(rules)
  const seen = outcomes.map(({ doses, found }) => ({ doses, soft: wasSoftEnough(found, rules) }))
  const softs = seen.filter((outcome) => outcome.soft).length
  if (seen.length < Math.max(1, rules.minimumOutcomes.value) || softs === 0 || softs === seen.length)
    return start
  const linkAt = (x: readonly number[]): SoftnessLink => ({
    intercept: x[0] as number,
    slope: Math.exp(x[1] as number),
    outcomes: seen.length,
  })
  const logSlope = Math.log(start.slope)
  const { x } = minimise(
    (at) => {
      const link = linkAt(at)
      const penalty =
        (((at[0] as number) - start.intercept) / INTERCEPT_SPREAD) ** 2 / 2 +
        (((at[1] as number) - logSlope) / SLOPE_SPREAD) ** 2 / 2
      return seen.reduce((sum, { doses, soft }) => {
        const p = Math.min(1 - 1e-12, Math.max(1e-12, chanceSoftOver(link, doses)))
        return sum - Math.log(soft ? p : 1 - p)
      }, penalty)
    },
    [start.intercept, logSlope],
  )
  return linkAt(x)
}

/** A prediction made before a visit, and what was found. */
export interface ScoredPrediction {
  p: number
  soft: boolean
}

/** Mean squared error of the predictions (Brier, Mon Weather Rev 1950;78:1-3): 0 is perfect. */
export const brier = (predictions: readonly ScoredPrediction[]): number =>
  predictions.reduce((sum, { p, soft }) => sum + (p - (soft ? 1 : 0)) ** 2, 0) / predictions.length

export interface CalibrationBand {
  from: number
  to: number
  n: number
  predicted: number
  observed: number
  /** Wilson interval of the observed share, 95 %. */
  low: number
  high: number
}

export interface PredictionScore {
  n: number
  brier: number
  /** The score of always saying the clinic's own share of soft ears. */
  brierOfShare: number
  bands: CalibrationBand[]
  words: string
}

/** How good the clinic's predictions were, in five bands; null when there is nothing to score. */
export function scorePredictions(predictions: readonly ScoredPrediction[]): PredictionScore | null {
  const n = predictions.length
  if (n === 0) return null
  const share = predictions.filter(({ soft }) => soft).length / n
  const score = brier(predictions)
  const brierOfShare = brier(predictions.map(({ soft }) => ({ p: share, soft })))
  const bands = [0, 1, 2, 3, 4].flatMap((band) => {
    const inside = predictions.filter(({ p }) => Math.min(4, Math.floor(p * 5)) === band)
    if (inside.length === 0) return []
    const softs = inside.filter(({ soft }) => soft).length
    return {
      from: band / 5,
      to: (band + 1) / 5,
      n: inside.length,
      predicted: inside.reduce((sum, { p }) => sum + p, 0) / inside.length,
      observed: softs / inside.length,
      ...wilson(softs, inside.length),
    }
  })
  const verdict =
    score < brierOfShare
      ? 'better than always naming the usual share'
      : 'no better than always naming the usual share'
  const small = n < 50 ? ' Few visits: this can be chance.' : ''
  const words = `Over ${n} visits the predictions were ${verdict} (Brier ${score.toFixed(3)} against ${brierOfShare.toFixed(3)}).${small}`
  return { n, brier: score, brierOfShare, bands, words }
}
