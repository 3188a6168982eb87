/**
 * Options seen through the prices of the program's rows. For any prices that are not below 0, the least value
 * of each visit (cost and prices of what the option takes up) less the prices of all limits is a lower bound
 * on every plan (Lagrangian bound), whatever solver the prices came from.
 */
import type { Model, Place, Visit } from './model.ts'
import type { Option } from './options.ts'
import { answersInPlace, linesOf, moveCost, moveTo, placesFor, talliesOf } from './options.ts'
import type { Rows } from './program.ts'
import { countBefore } from './program.ts'

export interface Choices {
  /** Cost of visit × place; Infinity where barred; the own place has the cheapest answer in place. */
  matrix: Float64Array
  inPlace: Option[][]
}

export function choicesOf(model: Model): Choices {
  const width = model.places.length
  const matrix = new Float64Array(model.visits.length * width).fill(Number.POSITIVE_INFINITY)
  const inPlace = model.visits.map((visit) => answersInPlace(model, visit))
  for (const visit of model.visits) {
    const row = visit.index * width
    for (const place of placesFor(model, visit)) matrix[row + place.index] = moveCost(model, visit, place)
    matrix[row + visit.place.index] = Math.min(...(inPlace[visit.index] ?? []).map((option) => option.cost))
  }
  return { matrix, inPlace }
}

/** A cost is whole, so a bound may be raised to the next whole number, its own rounding left aside. */
export const wholeBound = (bound: number): number => Math.ceil(bound - 0.01)

/** Adds up the prices of every row that an option would use. */
function priceBook(model: Model, rows: Rows, prices: Float64Array): (option: Option) => number {
  const upTo = rows.starts.map((starts, line) => {
    const sums = new Float64Array((starts?.length ?? 0) + 1)
    const first = rows.firstRow[line] ?? 0
    starts?.forEach((_, k) => {
      sums[k + 1] = (sums[k] as number) + (prices[first + k] as number)
    })
    return sums
  })
  return (option) => {
    let price = 0
    for (const line of linesOf(model, option)) {
      const starts = rows.starts[line]
      const sums = upTo[line]
      if (!starts || !sums) continue
      price +=
        (sums[countBefore(starts, option.end)] as number) -
        (sums[countBefore(starts, option.start)] as number)
    }
    for (const tally of talliesOf(model, option)) {
      const row = rows.tallyRow[tally]
      if (row !== undefined) price += prices[row] as number
    }
    return price
  }
}

/** Every option with its cost and prices added, visit by visit: what a pool left out is seen here. */
export interface Priced {
  bound: number
  /** By visit: the least, and each move's value by place (Infinity where barred). */
  least: Float64Array
  value: Float64Array
  inPlace: number[][]
}

export function priceAll(model: Model, choices: Choices, rows: Rows, prices: Float64Array): Priced {
  const width = model.places.length
  const priceOf = priceBook(model, rows, prices)
  const pricesAt = (visit: Visit): Float64Array =>
    Float64Array.from(model.places, (place) => priceOf(moveTo(model, visit, place)))
  // What a place takes up depends on the length alone, but for patients with several visits.
  const byLength = new Map<number, Float64Array>()
  const value = new Float64Array(choices.matrix.length).fill(Number.POSITIVE_INFINITY)
  const least = new Float64Array(model.visits.length)
  const inPlace: number[][] = []
  for (const visit of model.visits) {
    const known = visit.patient ? undefined : byLength.get(visit.length)
    const extra = known ?? pricesAt(visit)
    if (!visit.patient) byLength.set(visit.length, extra)
    const values = (choices.inPlace[visit.index] ?? []).map((option) => option.cost + priceOf(option))
    inPlace.push(values)
    let best = Math.min(...values)
    const row = visit.index * width
    for (let place = 0; place < width; place += 1) {
      if (place === visit.place.index) continue
      const sum = (choices.matrix[row + place] as number) + (extra[place] as number)
      value[row + place] = sum
      if (sum < best) best = sum
    }
    least[visit.index] = best
  }
  let bound = 0
  for (const one of least) bound += one
  rows.limits.forEach((limit, row) => {
    if (row >= model.visits.length) bound -= limit * (prices[row] as number)
  })
  return { bound, least, value, inPlace }
}

/** Options whose value exceeds the least of their visit by less than `excess`; staying always among them. */
export function optionsWithin(model: Model, choices: Choices, priced: Priced, excess: number): Option[] {
  const top = (visit: number): number => (priced.least[visit] as number) + excess
  const inPlace = choices.inPlace.flatMap((answers, visit) =>
    answers.filter((option, k) => option.answer === 'stay' || (priced.inPlace[visit]?.[k] ?? 0) < top(visit)),
  )
  return [...inPlace, ...movesBelow(model, priced.value, top, model.places.length)]
}

/** Moves of each visit below its ceiling, cheapest first, at most `most` a visit. */
export function movesBelow(
  model: Model,
  value: Float64Array,
  ceiling: (visit: number) => number,
  most: number,
): Option[] {
  const width = model.places.length
  return model.visits.flatMap((visit) => {
    const row = visit.index * width
    const top = ceiling(visit.index)
    const below: number[] = []
    for (let place = 0; place < width; place += 1)
      if (place !== visit.place.index && (value[row + place] as number) < top) below.push(place)
    if (below.length > most) below.sort((a, b) => (value[row + a] as number) - (value[row + b] as number))
    return below.slice(0, most).map((place) => moveTo(model, visit, model.places[place] as Place))
  })
}
