/** The best plan for a week of visits, with its proof and the reason of every action. */
import { checkInput } from './checks.ts'
import { groupsOf, takesTimeOf, tidied } from './groups.ts'
import type { MovesInput } from './input.ts'
import type { Model, Visit } from './model.ts'
import { MICRO, modelOf } from './model.ts'
import type { Option } from './options.ts'
import { stayOption, totalCost } from './options.ts'
import type { Solution } from './solve.ts'
import { solve } from './solve.ts'
import { isoWithOffset, MINUTE } from './times.ts'
import { changeWords, costWords, readinessAt, stayWords } from './words.ts'

export type Action = 'stay' | 'move' | 'swap' | 'take-freed' | 'lengthen' | 'assessment'

export interface Timing {
  start: string
  minutes: number
  practitioner: string
  room: string | null
}

export interface PlannedVisit extends Timing {
  id: string
  action: Action
  /** Where and how long it was booked. */
  was: Timing
  /** The open slot in which it begins, where it moves into one. */
  slot: string | null
  swapWith: string | null
  /** Visits whose time it takes: they must leave first. */
  after: string[]
  /** The number of the group of changes that must be done together; null when it stays. */
  group: number | null
  /** P(soft enough) at the planned time; null where softening does not matter. */
  readiness: number | null
  cost: number
  costIfKept: number
  reason: string
}

export interface PlanGroup {
  group: number
  visits: string[]
  saving: number
}

/** Costs in the clinic's unit, exact to a millionth. */
export interface MovesPlan {
  summary: string
  /** Expected cost of the plan. */
  cost: number
  /** No plan can cost less: equal to `cost` when the plan is proved best. */
  bound: number
  proved: boolean
  /** Expected cost when everybody stays. */
  baseline: number
  saving: number
  method: Solution['method']
  visits: PlannedVisit[]
  groups: PlanGroup[]
}

const units = (micro: number): number => micro / MICRO

export function timingOf(model: Model, option: Option): Timing {
  const place = model.places[option.place]
  return {
    start: isoWithOffset(option.start, model.doc.zone),
    minutes: (option.end - option.start) / MINUTE,
    practitioner: model.practitioners[place?.practitioner ?? -1] ?? '',
    room: model.rooms[place?.room ?? -1] ?? null,
  }
}

interface Links {
  takes: number[][]
  givesTo: number[][]
}

function linksOf(model: Model, chosen: readonly Option[]): Links {
  const takes = chosen.map((option) => takesTimeOf(model, option))
  const givesTo = chosen.map((_, visit) => takes.flatMap((taken, by) => (taken.includes(visit) ? [by] : [])))
  return { takes, givesTo }
}

/** The one visit with which this one changes places, if it is so simple. */
function swapPartner(links: Links, chosen: readonly Option[], visit: number): number | null {
  const [other, ...more] = links.takes[visit] ?? []
  if (other === undefined || more.length > 0 || chosen[visit]?.answer !== 'move') return null
  const back = links.takes[other] ?? []
  return back.length === 1 && back[0] === visit && chosen[other]?.answer === 'move' ? other : null
}

function actionOf(option: Option, swap: number | null, takes: number[]): Action {
  if (option.answer !== 'move') return option.answer
  if (swap !== null) return 'swap'
  return takes.length > 0 ? 'take-freed' : 'move'
}

function plannedVisit(
  model: Model,
  visit: Visit,
  chosen: readonly Option[],
  links: Links,
  groups: PlanGroup[],
): PlannedVisit {
  const option = chosen[visit.index] as Option
  const stay = stayOption(model, visit)
  const ids = (visits: number[] | undefined): string[] =>
    (visits ?? []).flatMap((index) => model.visits[index]?.id ?? [])
  const partner = swapPartner(links, chosen, visit.index)
  const group = groups.find((one) => one.visits.includes(visit.id))
  const slot = option.answer === 'move' ? (model.places[option.place]?.slot ?? null) : null
  const swapWith = partner === null ? null : (model.visits[partner]?.id ?? null)
  const after = ids(links.takes[visit.index])
  const facts = {
    option,
    stay,
    takes: after,
    givesTo: ids(links.givesTo[visit.index]),
    swapWith,
    slot,
    groupSaving: (group?.saving ?? 0) * MICRO,
  }
  return {
    id: visit.id,
    action: actionOf(option, partner, links.takes[visit.index] ?? []),
    ...timingOf(model, option),
    was: timingOf(model, stay),
    slot,
    swapWith,
    after,
    group: group?.group ?? null,
    readiness: readinessAt(model, option),
    cost: units(option.cost),
    costIfKept: units(stay.cost),
    reason: option.answer === 'stay' ? stayWords(model, visit, stay) : changeWords(model, visit, facts),
  }
}

function summaryOf(model: Model, changed: number, cost: number, baseline: number, bound: number): string {
  const all = model.visits.length
  const proof =
    bound === cost
      ? 'no plan can cost less'
      : `not proved to be the least, but no plan costs less than ${costWords(bound)}`
  if (all === 0) return 'There are no visits to plan.'
  if (changed === 0)
    return `No action helps: every visit stays where it is, at an expected cost of ${costWords(cost)}; ${proof}.`
  return `${changed} of ${all} ${all === 1 ? 'visit changes' : 'visits change'}; the expected cost falls from ${costWords(baseline)} to ${costWords(cost)}, a saving of ${costWords(baseline - cost)}; ${proof}.`
}

/** Checks a document and reads it into the model. @throws MovesInputError naming the field */
export const movesModel = (input: MovesInput): Model => modelOf(checkInput(input))

/** The plan of least expected cost for a model. */
export function planOf(model: Model): MovesPlan {
  const solution = solve(model)
  const chosen = tidied(model, solution.chosen)
  const links = linksOf(model, chosen)
  const stays = model.visits.map((visit) => stayOption(model, visit))
  const groups = groupsOf(model, chosen).map((members, k): PlanGroup => {
    const saved = members.reduce((sum, v) => sum + (stays[v]?.cost ?? 0) - (chosen[v]?.cost ?? 0), 0)
    return { group: k + 1, visits: members.map((v) => model.visits[v]?.id ?? ''), saving: units(saved) }
  })
  const baseline = totalCost(stays)
  const proved = solution.bound === solution.cost
  const changed = chosen.filter((option) => option.answer !== 'stay').length
  const byTime = [...model.visits].sort((a, b) => a.start - b.start || a.index - b.index)
  return {
    summary: summaryOf(model, changed, solution.cost, baseline, solution.bound),
    cost: units(solution.cost),
    bound: units(solution.bound),
    proved,
    baseline: units(baseline),
    saving: units(baseline - solution.cost),
    method: solution.method,
    visits: byTime.map((visit) => plannedVisit(model, visit, chosen, links, groups)),
    groups,
  }
}

/**
 * The best set of actions for the visits of a document: least total expected cost, proved by `bound`.
 * @throws MovesInputError when the document cannot be planned
 */
export const planMoves = (input: MovesInput): MovesPlan => planOf(movesModel(input))
