/** The clinic's own adherence model, learned from its finished plans (empirical Bayes). Pure. */
import type { AdherenceRules } from '../protocol/sections/softening.ts'
import { termsOf } from './adherence.ts'
import { minimise } from './minimise.ts'
import { logBeta, logistic, logit } from './special-functions.ts'
import type { AdherenceModel, DoseHistory } from './types.ts'

/** The weak default, used until the clinic has history of its own. */
export const defaultModel = (rules: AdherenceRules): AdherenceModel => ({
  a: rules.defaultPrior.a,
  b: rules.defaultPrior.b,
  silentNone: rules.defaultSilence.none,
  silentAll: rules.defaultSilence.all,
  overclaim: rules.overclaim.value,
  patients: 0,
})

interface Group {
  history: DoseHistory
  count: number
}

/** Histories that read alike, counted once: the day itself does not matter, only what was said of it. */
function groupAlike(histories: readonly DoseHistory[]): Group[] {
  const groups = Map.groupBy(histories, ({ days }) =>
    JSON.stringify(days.map(({ planned, answer, later }) => [planned, answer, later]).toSorted()),
  )
  return [...groups.values()].map((alike) => ({ history: alike[0] as DoseHistory, count: alike.length }))
}

function groupsLogLikelihood(groups: readonly Group[], model: AdherenceModel): number {
  const base = logBeta(model.a, model.b)
  const ratios = new Map<number, number[]>()
  /** B(a + k, b + n - k) / B(a, b) for k = 0 ... n, once for each n. */
  const ratiosOf = (due: number): number[] => {
    const known = ratios.get(due)
    if (known) return known
    const made = Array.from({ length: due + 1 }, (_, k) =>
      Math.exp(logBeta(model.a + k, model.b + due - k) - base),
    )
    ratios.set(due, made)
    return made
  }
  return groups.reduce((sum, { history, count }) => {
    const { terms, due, logScale } = termsOf(history.days, model)
    const ratio = ratiosOf(due)
    const likelihood = terms.reduce((total, c, k) => total + c * (ratio[k] as number), 0)
    return sum + count * (Math.log(likelihood) + logScale)
  }, 0)
}

/** ln P(what was reported | model), all patients. */
export const logLikelihood = (histories: readonly DoseHistory[], model: AdherenceModel): number =>
  groupsLogLikelihood(groupAlike(histories), model)

const clamp = (x: number, low: number, high: number): number => Math.min(high, Math.max(low, x))

/** Evidence beyond which more of it could not be told apart: a + b doses. */
const SMALLEST_STRENGTH = 0.1
const LARGEST_STRENGTH = 500
/** Spread, on the log-odds scale, of what is believed of silence before any is seen. */
const SILENCE_SPREAD = 1

/**
 * Fits the model by maximum likelihood: a and b by their mean and their sum, which are nearly independent,
 * and the two chances of silence with a weak normal prior around the default, because plans in which every
 * silent day stays unexplained say little about them (they then speak only through the patients who
 * answer: whoever reports fewer doses is silent oftener). Silent days of which the truth was learned later
 * pin them down. With fewer patients than the protocol asks for, or with no dose due at all, the documented
 * weak default comes back unchanged (`patients` 0).
 */
export function fitPrior(histories: readonly DoseHistory[], rules: AdherenceRules): AdherenceModel {
  const start = defaultModel(rules)
  const useful = histories.filter(({ days }) => days.some((day) => day.planned > 0))
  if (useful.length < Math.max(1, rules.minimumPatients.value)) return start
  const groups = groupAlike(useful)
  const overclaim = rules.overclaim.value
  const modelAt = (x: readonly number[]): AdherenceModel => {
    const mean = clamp(logistic(x[0] as number), 1e-4, 1 - 1e-4)
    const strength = clamp(Math.exp(x[1] as number), SMALLEST_STRENGTH, LARGEST_STRENGTH)
    return {
      a: mean * strength,
      b: (1 - mean) * strength,
      silentNone: clamp(logistic(x[2] as number), 1e-4, 1 - 1e-4),
      silentAll: clamp(logistic(x[3] as number), 1e-4, 1 - 1e-4),
      overclaim,
      patients: useful.length,
    }
  }
  const believed = [logit(clamp(start.silentNone, 0.01, 0.99)), logit(clamp(start.silentAll, 0.01, 0.99))]
  const penalty = (x: readonly number[]): number =>
    believed.reduce((sum, b, i) => sum + (((x[i + 2] as number) - b) / SILENCE_SPREAD) ** 2 / 2, 0)
  // Beyond the clamps the likelihood is flat: a slight slope brings the search back.
  const beyond = (x: readonly number[]): number =>
    Math.max(0, Math.abs(x[0] as number) - 9) +
    Math.max(0, (x[1] as number) - Math.log(LARGEST_STRENGTH)) +
    Math.max(0, Math.log(SMALLEST_STRENGTH) - (x[1] as number))
  const { x } = minimise(
    (at) => penalty(at) + beyond(at) - groupsLogLikelihood(groups, modelAt(at)),
    [logit(start.a / (start.a + start.b)), Math.log(start.a + start.b), ...believed],
  )
  return modelAt(x)
}
