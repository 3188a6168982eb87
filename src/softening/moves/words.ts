/** The plain sentences of a plan: what happens to a visit and why. */
import type { Model, Visit } from './model.ts'
import { MICRO } from './model.ts'
import type { Option } from './options.ts'
import { answersInPlace, moveTo, placesFor } from './options.ts'
import { MINUTE, plainTime } from './times.ts'

/** Millionths as a cost of the clinic's unit, at most two decimals. */
export const costWords = (micro: number): string => String(Math.round(micro / (MICRO / 100)) / 100)

export function percent(p: number): string {
  if (p > 0 && p < 0.01) return 'under 1 %'
  if (p < 1 && p > 0.99) return 'over 99 %'
  return `${Math.round(p * 100)} %`
}

const readyAt = (model: Model, visit: Visit, place: number): number =>
  visit.ready[model.places[place]?.day ?? visit.place.day] ?? 0

export const readinessAt = (model: Model, option: Option): number | null => {
  const visit = model.visits[option.visit]
  return visit && visit.input.purpose === 'removal' ? readyAt(model, visit, option.place) : null
}

/** "Tue 10 Mar 09:30 with anna", the practitioner only where it changes. */
export function placeWords(model: Model, visit: Visit, option: Option): string {
  const place = model.places[option.place]
  const who = place && place.practitioner !== visit.place.practitioner
  return `${plainTime(option.start, model.doc.zone)}${who ? ` with ${model.practitioners[place.practitioner]}` : ''}`
}

const listed = (ids: string[]): string =>
  ids.length < 2 ? ids.join('') : `${ids.slice(0, -1).join(', ')} and ${ids.at(-1)}`

/** What the visit hopes for where it is: only a removal depends on the ear. */
function softnessNow(model: Model, visit: Visit): string {
  if (visit.input.purpose !== 'removal') return `softening does not matter for this ${visit.input.purpose}`
  return `the ear is ${percent(readyAt(model, visit, visit.place.index))} likely to be soft enough then`
}

function cheapestOther(model: Model, visit: Visit): Option | null {
  const others = [
    ...answersInPlace(model, visit).slice(1),
    ...placesFor(model, visit).map((place) => moveTo(model, visit, place)),
  ]
  return others.reduce<Option | null>((best, one) => (best && best.cost <= one.cost ? best : one), null)
}

const ANSWER_WORDS = {
  stay: () => 'staying',
  move: (model: Model, visit: Visit, option: Option) => `moving to ${placeWords(model, visit, option)}`,
  lengthen: (model: Model) => `lengthening it by ${model.doc.rules.lengthenMinutes} minutes`,
  assessment: () => 'turning it into an assessment',
}

export const answerWords = (model: Model, visit: Visit, option: Option): string =>
  ANSWER_WORDS[option.answer](model, visit, option)

/** Why a visit stays, given what staying costs it. */
export function stayWords(model: Model, visit: Visit, stay: Option): string {
  const softness = softnessNow(model, visit)
  const other = cheapestOther(model, visit)
  const pain = visit.neverLater && stay.cost > 0
  const kept = pain ? 'Kept because it is urgent or in pain and is never pushed back' : 'Stays'
  if (!other) {
    if (visit.stuck) return `Stays because ${visit.stuck}; ${softness}.`
    return pain
      ? `${kept}; ${softness}, and no earlier place fits.`
      : `Stays because no other place fits its length, needs and the patient's times; ${softness}.`
  }
  const stuck = visit.stuck ? ` because ${visit.stuck}` : ''
  const prices = `would cost ${costWords(other.cost)} against ${costWords(stay.cost)}`
  if (other.cost >= stay.cost)
    return `${kept}${stuck}; ${softness}, and the best other answer (${answerWords(model, visit, other)}) ${prices}.`
  return `${kept}${stuck}; ${softness}, and what would suit it better saves more for other visits or cannot be fitted in.`
}

/** Keeping as one of the possible answers. */
export function keepWords(model: Model, visit: Visit, stay: Option): string {
  const why = visit.stuck ? ` because ${visit.stuck}` : ''
  const urgent = visit.neverLater ? '; urgent or in pain, it is never pushed back' : ''
  return `Keeps its time${why}${urgent}: ${softnessNow(model, visit)}, at an expected cost of ${costWords(stay.cost)}.`
}

export interface ChangeFacts {
  option: Option
  stay: Option
  /** Ids of the visits whose time it takes, and of the visits that take its time. */
  takes: string[]
  givesTo: string[]
  swapWith: string | null
  slot: string | null
  groupSaving: number
}

function howItMoves(model: Model, visit: Visit, facts: ChangeFacts): string {
  const from = plainTime(visit.start, model.doc.zone)
  const to = placeWords(model, visit, facts.option)
  if (facts.swapWith) return `Swaps with ${facts.swapWith}, from ${from} to ${to}`
  if (facts.takes.length > 0) return `Moves from ${from} to ${to}, time freed by ${listed(facts.takes)}`
  return `Moves from ${from} to ${to}${facts.slot ? `, open slot ${facts.slot}` : ''}`
}

function softnessThen(model: Model, visit: Visit, option: Option): string {
  if (visit.input.purpose !== 'removal') return softnessNow(model, visit)
  const before = percent(readyAt(model, visit, visit.place.index))
  const after = percent(readyAt(model, visit, option.place))
  const instead = before === after ? 'just as where it is' : `instead of ${before}`
  return `the ear is ${after} likely to be soft enough then, ${instead}`
}

function moveWords(model: Model, visit: Visit, facts: ChangeFacts): string {
  const { option, stay } = facts
  const how = howItMoves(model, visit, facts)
  const softness = softnessThen(model, visit, option)
  const prices = `${costWords(stay.cost)} to ${costWords(option.cost)}`
  if (option.cost < stay.cost) return `${how}: ${softness}, and its expected cost falls from ${prices}.`
  if (facts.groupSaving <= 0) return `${how}: ${softness}, and its expected cost would go from ${prices}.`
  const room = facts.givesTo.length > 0 ? `to make room for ${listed(facts.givesTo)}` : 'to make room'
  return `${how}, ${room}: its own expected cost goes from ${prices}, and together these changes save ${costWords(facts.groupSaving)}.`
}

/** Why a visit changes. */
export function changeWords(model: Model, visit: Visit, facts: ChangeFacts): string {
  const { option, stay } = facts
  const softness = softnessNow(model, visit)
  const prices = `${costWords(stay.cost)} to ${costWords(option.cost)}`
  if (option.answer === 'lengthen')
    return `Lengthened by ${model.doc.rules.lengthenMinutes} minutes for softening in the chair: ${softness}, and the expected cost goes from ${prices}.`
  if (option.answer === 'assessment') {
    const minutes = (option.end - option.start) / MINUTE
    const room = facts.givesTo.length > 0 ? `, to make room for ${listed(facts.givesTo)}` : ''
    return `Turned into an assessment of ${minutes} minutes${room}: ${softness}, and the expected cost goes from ${prices}.`
  }
  return moveWords(model, visit, facts)
}
