/** The clinic's own adherence model, learned from its finished plans (empirical Bayes). Pure. */
import type { AdherenceRules } from '../protocol/sections/softening.ts'
import { dayTerms, NO_DAYS, type Terms, withDay } from './adherence.ts'
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

/** One patient's finished plan as history: once where both ears say the same, else once an ear. */
export function historiesOfPlan(ears: ReadonlyArray<{ days: DoseHistory['days'] }>): DoseHistory[] {
  const different = new Map(ears.map(({ days }) => [JSON.stringify(days), { days }]))
  return [...different.values()].filter(({ days }) => days.length > 0)
}

type Day = DoseHistory['days'][number]

/**
 * All histories as one tree: a node is a history up to one of its days, days in a fixed order, so that
 * histories that begin alike share their beginning and those alike share everything.
 */
interface Tree {
  days: Day[]
  /** Parent (-1 for none), day added, and how many histories end here; parents come first. */
  nodes: Array<{ parent: number; day: number; histories: number }>
}

function treeOf(histories: readonly DoseHistory[]): Tree {
  const tree: Tree = { days: [], nodes: [] }
  const dayIndex = new Map<string, number>()
  const nodeIndex = new Map<string, number>()
  const indexOf = (day: Day): number => {
    const key = JSON.stringify([day.planned, day.answer, day.later])
    const index = dayIndex.get(key) ?? tree.days.push(day) - 1
    dayIndex.set(key, index)
    return index
  }
  for (const { days } of histories) {
    let parent = -1
    for (const day of days.map(indexOf).sort((a, b) => a - b)) {
      const key = `${parent} ${day}`
      const node: number = nodeIndex.get(key) ?? tree.nodes.push({ parent, day, histories: 0 }) - 1
      nodeIndex.set(key, node)
      parent = node
    }
    const last = tree.nodes[parent]
    if (last) last.histories++
  }
  return tree
}

function treeLogLikelihood({ days, nodes }: Tree, model: AdherenceModel): number {
  const ofDay = days.map((day) => dayTerms(day, model))
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
  const ofNode: Terms[] = []
  let sum = 0
  for (const { parent, day, histories } of nodes) {
    const all = withDay(ofNode[parent] ?? NO_DAYS, ofDay[day] as number[])
    ofNode.push(all)
    if (histories === 0) continue
    const ratio = ratiosOf(all.due)
    let likelihood = 0
    for (let k = 0; k <= all.due; k++) likelihood += (all.terms[k] as number) * (ratio[k] as number)
    sum += histories * (Math.log(likelihood) + all.logScale)
  }
  return sum
}

/** ln P(what was reported | model), all patients. */
export const logLikelihood = (histories: readonly DoseHistory[], model: AdherenceModel): number =>
  treeLogLikelihood(treeOf(histories), model)

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
  const tree = treeOf(useful)
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
    (at) => penalty(at) + beyond(at) - treeLogLikelihood(tree, modelAt(at)),
    [logit(start.a / (start.a + start.b)), Math.log(start.a + start.b), ...believed],
  )
  return modelAt(x)
}
