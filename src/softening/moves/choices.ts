/** The possible answers for one visit while everyone else stays, and the times to let its patient choose from. */
import { occupancyOf, takesTimeOf } from './groups.ts'
import type { Model, Visit } from './model.ts'
import { barred, MICRO } from './model.ts'
import type { Answer, Option } from './options.ts'
import { answersInPlace, moveTo, placesFor, stayOption } from './options.ts'
import type { MovesPlan, PlannedVisit, Timing } from './plan.ts'
import { timingOf } from './plan.ts'
import { MINUTE, millis } from './times.ts'
import { changeWords, keepWords, readinessAt } from './words.ts'

/** One possible answer, with everyone else left where they are but the visit it swaps with. */
export interface VisitAnswer extends Timing {
  action: Answer | 'swap'
  slot: string | null
  swapWith: string | null
  readiness: number | null
  /** Expected cost of this visit with this answer, in the clinic's unit. */
  cost: number
  /** What the answer saves against staying, the swapped visit's cost counted too; negative when it costs more. */
  saving: number
  reason: string
}

function visitOf(model: Model, id: string): Visit {
  const visit = model.visits.find((one) => one.id === id)
  if (!visit) throw new RangeError(`no visit ${id} in the document`)
  return visit
}

function answerOf(model: Model, visit: Visit, option: Option, saving: number, swapWith: string | null) {
  const stay = stayOption(model, visit)
  const slot = option.answer === 'move' ? (model.places[option.place]?.slot ?? null) : null
  const facts = {
    option,
    stay,
    takes: swapWith ? [swapWith] : [],
    givesTo: swapWith ? [swapWith] : [],
    swapWith,
    slot,
    groupSaving: saving,
  }
  const answer: VisitAnswer = {
    action: swapWith ? 'swap' : option.answer,
    ...timingOf(model, option),
    slot,
    swapWith,
    readiness: readinessAt(model, option),
    cost: option.cost / MICRO,
    saving: saving / MICRO,
    reason: option.answer === 'stay' ? keepWords(model, visit, stay) : changeWords(model, visit, facts),
  }
  return { answer, start: option.start }
}

interface Swap {
  with: Visit
  to: Option
  back: Option
}

/** Swaps that both visits may make and that leave every limit kept. */
function swapsFor(model: Model, visit: Visit, stays: readonly Option[]): Swap[] {
  const occupancy = occupancyOf(model, stays)
  const mine = stays[visit.index] as Option
  occupancy.remove(mine)
  return model.visits.flatMap((other) => {
    if (other === visit || barred(model, visit, other.place) || barred(model, other, visit.place)) return []
    const swap = {
      with: other,
      to: moveTo(model, visit, other.place),
      back: moveTo(model, other, visit.place),
    }
    const theirs = stays[other.index] as Option
    occupancy.remove(theirs)
    const goes = occupancy.fits(swap.to)
    occupancy.add(swap.to)
    const returns = occupancy.fits(swap.back)
    occupancy.remove(swap.to)
    occupancy.add(theirs)
    return goes && returns ? [swap] : []
  })
}

/**
 * What could be done for one visit while the others stay: keep, lengthen, turn into an assessment, move to open
 * time, swap with one other. Best first: the largest saving, then the earliest.
 * @throws RangeError when the document has no such visit
 */
export function optionsFor(model: Model, visitId: string): VisitAnswer[] {
  const visit = visitOf(model, visitId)
  const stays = model.visits.map((one) => stayOption(model, one))
  const stay = stays[visit.index] as Option
  const occupancy = occupancyOf(model, stays)
  const alone = [
    ...answersInPlace(model, visit),
    ...placesFor(model, visit).map((place) => moveTo(model, visit, place)),
  ]
    .filter((option) => occupancy.fits(option))
    .map((option) => answerOf(model, visit, option, stay.cost - option.cost, null))
  const swaps = swapsFor(model, visit, stays).map((swap) => {
    const theirs = stays[swap.with.index] as Option
    const saving = stay.cost + theirs.cost - swap.to.cost - swap.back.cost
    return answerOf(model, visit, swap.to, saving, swap.with.id)
  })
  return [...alone, ...swaps]
    .sort((a, b) => b.answer.saving - a.answer.saving || a.start - b.start)
    .map(({ answer }) => answer)
}

/** A time to let a patient choose. `planned` marks the one that the plan chose; its `after` must leave first. */
export interface Choice extends Timing {
  slot: string | null
  readiness: number | null
  saving: number
  planned: boolean
  after: string[]
}

/**
 * Up to `most` times for the patient to choose from, in order of time: the planned one where the plan moves the
 * visit, and the best others that save something and touch neither where anyone is now nor where the plan puts
 * them. Empty when no time is better than staying.
 * @throws RangeError when the document has no such visit
 */
export function proposalChoices(model: Model, plan: MovesPlan, visitId: string, most = 3): Choice[] {
  const visit = visitOf(model, visitId)
  const planned = plan.visits.find((one) => one.id === visitId)
  const stays = model.visits.map((one) => stayOption(model, one))
  const moves = placesFor(model, visit).map((place) => moveTo(model, visit, place))
  const cost = (stays[visit.index] as Option).cost
  const choiceOf = (option: Option, isPlanned: boolean): Choice => ({
    ...timingOf(model, option),
    slot: model.places[option.place]?.slot ?? null,
    readiness: readinessAt(model, option),
    saving: (cost - option.cost) / MICRO,
    planned: isPlanned,
    after: takesTimeOf(model, option).map((index) => model.visits[index]?.id ?? ''),
  })
  const first = planned && isMoved(planned) ? planOption(model, visit, planned) : undefined
  const byId = new Map(plan.visits.map((one) => [one.id, one]))
  const others = model.visits.flatMap((one) => {
    const theirs = byId.get(one.id)
    return theirs && one !== visit ? (planOption(model, one, theirs) ?? []) : []
  })
  const asBooked = occupancyOf(model, stays)
  const asPlanned = occupancyOf(model, others)
  const open = moves
    .filter((o) => o.place !== first?.place && o.cost < cost && asBooked.fits(o) && asPlanned.fits(o))
    .sort((a, b) => a.cost - b.cost || a.start - b.start)
  const chosen = [...(first ? [first] : []), ...open].slice(0, most)
  return chosen.sort((a, b) => a.start - b.start).map((option) => choiceOf(option, option === first))
}

const isMoved = ({ action }: PlannedVisit): boolean => ['move', 'swap', 'take-freed'].includes(action)

/** The option that a printed plan gives a visit. */
function planOption(model: Model, visit: Visit, planned: PlannedVisit): Option | undefined {
  const start = millis(planned.start)
  if (!isMoved(planned)) {
    const end = start + planned.minutes * MINUTE
    return answersInPlace(model, visit).find((option) => option.end === end)
  }
  const place = model.places.find(
    (one) =>
      one.start === start &&
      model.practitioners[one.practitioner] === planned.practitioner &&
      (model.rooms[one.room ?? -1] ?? null) === planned.room,
  )
  return place && moveTo(model, visit, place)
}
