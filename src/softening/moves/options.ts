/** What each visit could do, what that is expected to cost, and which lines of time it takes up. */
import type { Model, Place, Visit } from './model.ts'
import { barred, MICRO, waitDays } from './model.ts'
import { insideOne, MINUTE } from './times.ts'

export type Answer = 'stay' | 'move' | 'lengthen' | 'assessment'

/** One thing a visit could do. `cost` in whole millionths of the clinic's unit. */
export interface Option {
  visit: number
  answer: Answer
  place: number
  start: number
  end: number
  cost: number
}

export const totalCost = (options: readonly Option[]): number =>
  options.reduce((sum, option) => sum + option.cost, 0)

const micro = (cost: number): number => Math.round(cost * MICRO)

/** Expected cost of trying on an ear that is soft with probability `ready`. */
function trying(model: Model, ready: number): number {
  const { failedVisit, soreEar } = model.doc.rules.costs
  return (1 - ready) * (failedVisit + soreEar)
}

export function moveCost(model: Model, visit: Visit, place: Place): number {
  const { costs, urgencyWeights } = model.doc.rules
  const wait = waitDays(model, visit, place) * costs.waitPerDay * urgencyWeights[visit.input.urgency]
  const other = place.practitioner === visit.place.practitioner ? 0 : costs.changePractitioner
  return micro(trying(model, visit.ready[place.day] ?? 0) + costs.move + wait + other)
}

function lengthenCost(model: Model, visit: Visit): number {
  const { costs, lengthenHelps, lengthenMinutes } = model.doc.rules
  const ready = visit.ready[visit.place.day] ?? 0
  return micro(trying(model, ready) * (1 - lengthenHelps) + costs.lengthenPerMinute * lengthenMinutes)
}

/** The end of a lengthened visit, or null when there is no time for it or it makes no sense. */
function lengthenedEnd(model: Model, visit: Visit): number | null {
  const by = model.doc.rules.lengthenMinutes * MINUTE
  if (by === 0 || visit.started || visit.input.fixed || visit.input.purpose !== 'removal') return null
  const end = visit.start + visit.length
  const free = Math.max(visit.place.stretchEnd, end + visit.input.freeAfterMinutes * MINUTE)
  const fits = end + by <= free && insideOne(visit.windows, visit.start, end + by)
  return fits ? end + by : null
}

/** Only a removal can become an assessment, and never one in pain: its relief would be put off. */
function canAssess(model: Model, visit: Visit): boolean {
  const { input, started, neverLater } = visit
  return (
    model.doc.rules.assessmentMinutes > 0 &&
    input.purpose === 'removal' &&
    !input.fixed &&
    !started &&
    !neverLater
  )
}

export const stayOption = (model: Model, visit: Visit): Option => ({
  visit: visit.index,
  answer: 'stay',
  place: visit.place.index,
  start: visit.start,
  end: visit.start + visit.length,
  cost: micro(trying(model, visit.ready[visit.place.day] ?? 0)),
})

/** The answers that keep the visit's own start: staying first. */
export function answersInPlace(model: Model, visit: Visit): Option[] {
  const { rules } = model.doc
  const stay = stayOption(model, visit)
  const options = [stay]
  const longer = lengthenedEnd(model, visit)
  if (longer !== null)
    options.push({ ...stay, answer: 'lengthen', end: longer, cost: lengthenCost(model, visit) })
  if (canAssess(model, visit)) {
    const end = Math.min(stay.end, visit.start + rules.assessmentMinutes * MINUTE)
    options.push({ ...stay, answer: 'assessment', end, cost: micro(rules.costs.extraVisit) })
  }
  return options
}

export const moveTo = (model: Model, visit: Visit, place: Place): Option => ({
  visit: visit.index,
  answer: 'move',
  place: place.index,
  start: place.start,
  end: place.start + visit.length,
  cost: moveCost(model, visit, place),
})

/** The places that a visit may take, whoever has them now. */
export const placesFor = (model: Model, visit: Visit): Place[] =>
  visit.stuck === null ? model.places.filter((place) => barred(model, visit, place) === null) : []

/** The lines of time that an option takes up from its start to its end. */
export function linesOf(model: Model, option: Option): number[] {
  const place = model.places[option.place]
  const visit = model.visits[option.visit]
  if (!place || !visit) return []
  const lines = [place.practitioner]
  const room = model.roomLine(place)
  if (room !== null) lines.push(room)
  if (visit.patient) lines.push(visit.patient.line)
  return lines
}

/** The tallies that an option adds one to. */
export function talliesOf(model: Model, option: Option): number[] {
  const place = model.places[option.place]
  const visit = model.visits[option.visit]
  if (!place || !visit) return []
  const tallies: number[] = []
  const day = model.dayTally(place)
  if (day !== null) tallies.push(day)
  if (visit.patient && option.answer === 'move') tallies.push(visit.patient.moves)
  return tallies
}

/** One broken limit and the visits that break it together. */
export interface Clash {
  visits: number[]
}

/** Every limit that these options, one a visit, break together: empty when the plan can be kept. */
export function clashes(model: Model, chosen: readonly Option[]): Clash[] {
  const byLine = new Map<number, Option[]>()
  const byTally = new Map<number, Option[]>()
  const put = (map: Map<number, Option[]>, key: number, option: Option): void => {
    const list = map.get(key)
    if (list) list.push(option)
    else map.set(key, [option])
  }
  for (const option of chosen) {
    for (const line of linesOf(model, option)) put(byLine, line, option)
    for (const tally of talliesOf(model, option)) put(byTally, tally, option)
  }
  const found: Clash[] = []
  const clash = (options: Option[]): void => {
    found.push({ visits: options.map((option) => option.visit) })
  }
  for (const [line, options] of byLine) {
    const limit = model.lines[line]?.limit ?? 0
    let underWay: Option[] = []
    for (const option of options.sort((a, b) => a.start - b.start)) {
      underWay = [...underWay.filter((other) => other.end > option.start), option]
      if (underWay.length > limit) clash(underWay)
    }
  }
  for (const [tally, options] of byTally)
    if (options.length > (model.tallies[tally]?.limit ?? 0)) clash(options)
  return found
}
