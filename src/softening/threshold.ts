/**
 * From what things cost the clinic to the chance of softness below which a visit should be moved. Pure.
 *
 * Let p be the chance that the ear is soft enough at the visit as booked, q the chance after moving it.
 *   keep: p cost(soft) + (1 - p) cost(hard)
 *   move: moving + wait x days + q cost(soft) + (1 - q) cost(hard)
 * with cost(s) = fail(s) (failed visit + extra visit) + sore(s) (sore ear). Let
 *   loss = cost(hard) - cost(soft) = (failIfHard - failIfSoft)(failedVisit + extraVisit)
 *                                    + (soreIfHard - soreIfSoft) soreEar.
 * Moving is cheaper exactly when (q - p) loss > moving + wait x days, that is when
 *   p < q - (moving + wait x days) / loss.
 * The threshold is that right-hand side for the clinic's usual patient: q after a whole plan, the usual
 * wait. The search for the best moves uses the patient's own q and days instead.
 */
import type { ReadinessRules, SofteningRules } from '../protocol/sections/softening.ts'
import { posterior, predictTotal } from './adherence.ts'
import { percent } from './day-sheet.ts'
import { chanceSoftOver } from './softness.ts'
import type { AdherenceModel, SoftnessLink } from './types.ts'

export interface Threshold {
  value: number
  /** What a hard ear costs more than a soft one. */
  lossIfHard: number
  costOfMoving: number
  chanceAfterMoving: number
  words: string
}

export function lossIfHard(costs: ReadinessRules['costs']): number {
  const failed = costs.failedVisit.value + costs.extraVisit.value
  const fails = costs.failIfHard.value - costs.failIfSoft.value
  const sores = costs.soreIfHard.value - costs.soreIfSoft.value
  return fails * failed + sores * costs.soreEar.value
}

/** The clinic's threshold; 0 (never move) where a hard ear costs no more than a soft one. */
export function thresholdFor(rules: SofteningRules, model: AdherenceModel, link: SoftnessLink): Threshold {
  const { costs } = rules.readiness
  const agent = rules.agents.find((row) => row.advised)
  const wholePlan = agent ? agent.days * agent.dosesADay : 0
  const chanceAfterMoving = chanceSoftOver(link, predictTotal(posterior([], model), wholePlan))
  const loss = lossIfHard(costs)
  const costOfMoving = costs.moving.value + costs.waitPerDay.value * costs.usualWaitDays.value
  const value = loss > 0 ? Math.min(1, Math.max(0, chanceAfterMoving - costOfMoving / loss)) : 0
  const words =
    value === 0
      ? "With the clinic's costs, moving a visit for softness never pays."
      : `Below ${percent(value)} a move is expected to cost less than keeping the visit: an ear that is not soft enough costs ${loss.toFixed(0)} more than a soft one, a move costs ${costOfMoving.toFixed(0)}, and after a whole plan ${percent(chanceAfterMoving)} are soft enough. The clinic sets these costs; no guideline sets this threshold.`
  return { value, lossIfHard: loss, costOfMoving, chanceAfterMoving, words }
}
