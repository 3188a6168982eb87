/**
 * The cheapest plan, exactly. First the assignment of visits to starts, which forgets lengths and rooms:
 * where its answer keeps every limit it is the optimum, and its dual values prove it. Otherwise the linear
 * relaxation with every limit is solved over a growing pool of options, and the best whole plan is sought
 * among the options that could still belong to one.
 */
import type { Assignment } from './assignment.ts'
import { assign } from './assignment.ts'
import type { Model } from './model.ts'
import type { Option } from './options.ts'
import { answersInPlace, clashes, linesOf, moveCost, moveTo, placesFor, talliesOf } from './options.ts'
import type { Rows } from './program.ts'
import { cheapestWhole, countBefore, relaxedPrices, rowsFor } from './program.ts'

/** Costs in whole millionths. `bound` is a proved lower bound; the plan is optimal when it equals `cost`. */
export interface Solution {
  chosen: Option[]
  cost: number
  bound: number
  /** What the bound of the relaxation was before any search. */
  relaxation: number
  method: 'assignment' | 'integer program'
}

export const totalCost = (options: readonly Option[]): number =>
  options.reduce((sum, option) => sum + option.cost, 0)

/** Options a visit by reduced cost in the first pool, and at most so many new ones in a round. */
const FIRST_POOL = 6
const NEW_A_ROUND = 4

interface Choices {
  /** Cost of visit × place; Infinity where barred; the own place has the cheapest answer in place. */
  matrix: Float64Array
  inPlace: Option[][]
}

function choicesOf(model: Model): Choices {
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

function relaxedChoice(model: Model, { inPlace }: Choices, { columns }: Assignment): Option[] {
  return model.visits.map((visit) => {
    const place = model.places[columns[visit.index] as number]
    if (place && place !== visit.place) return moveTo(model, visit, place)
    const answers = inPlace[visit.index] ?? []
    return answers.reduce((best, option) => (option.cost < best.cost ? option : best))
  })
}

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
interface Priced {
  bound: number
  /** By visit: the least, and each move's value by place (NaN where barred). */
  least: Float64Array
  value: Float64Array
  inPlace: number[][]
}

function priceAll(model: Model, choices: Choices, rows: Rows, prices: Float64Array): Priced {
  const width = model.places.length
  const priceOf = priceBook(model, rows, prices)
  const byLength = new Map<string, number>()
  const value = new Float64Array(choices.matrix.length).fill(Number.POSITIVE_INFINITY)
  const least = new Float64Array(model.visits.length).fill(Number.POSITIVE_INFINITY)
  const inPlace: number[][] = []
  for (const visit of model.visits) {
    const row = visit.index * width
    const values = (choices.inPlace[visit.index] ?? []).map((option) => option.cost + priceOf(option))
    inPlace.push(values)
    let best = Math.min(...values)
    for (const place of model.places) {
      const cost = choices.matrix[row + place.index] as number
      if (cost === Number.POSITIVE_INFINITY || place === visit.place) continue
      const key = `${place.index} ${visit.length}`
      let price = visit.patient ? undefined : byLength.get(key)
      if (price === undefined) {
        price = priceOf(moveTo(model, visit, place))
        if (!visit.patient) byLength.set(key, price)
      }
      value[row + place.index] = cost + price
      if (cost + price < best) best = cost + price
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

/** Moves of each visit below its ceiling, cheapest first, at most `most` a visit. */
function movesBelow(
  model: Model,
  value: Float64Array,
  ceiling: (visit: number) => number,
  most: number,
): Option[] {
  const width = model.places.length
  return model.visits.flatMap((visit) => {
    const row = visit.index * width
    const top = ceiling(visit.index)
    const below = model.places.filter(
      (place) => place !== visit.place && (value[row + place.index] as number) < top,
    )
    if (below.length > most)
      below.sort((a, b) => (value[row + a.index] as number) - (value[row + b.index] as number))
    return below.slice(0, most).map((place) => moveTo(model, visit, place))
  })
}

const keyOf = (option: Option): string => `${option.visit} ${option.answer} ${option.place}`

function solveProgram(model: Model, choices: Choices, relaxed: Assignment): Solution {
  const width = model.places.length
  const reduced = choices.matrix.map(
    (cost, k) =>
      cost - (relaxed.columnDual[k % width] as number) - (relaxed.rowDual[Math.floor(k / width)] as number),
  )
  const pool = new Map<string, Option>()
  const add = (options: Option[]): number => {
    const before = pool.size
    for (const option of options) if (!pool.has(keyOf(option))) pool.set(keyOf(option), option)
    return pool.size - before
  }
  add(choices.inPlace.flat())
  add(movesBelow(model, reduced, () => Number.POSITIVE_INFINITY, FIRST_POOL))
  let bound = relaxed.bound
  let priced: Priced
  for (;;) {
    const options = [...pool.values()]
    const rows = rowsFor(model, options)
    const prices = relaxedPrices(model, rows, options)
    priced = priceAll(model, choices, rows, prices)
    bound = Math.max(bound, priced.bound)
    // Half a millionth: costs are whole, so a smaller gain is the solver's rounding.
    if (add(movesBelow(model, priced.value, (v) => (prices[v] as number) - 0.5, NEW_A_ROUND)) === 0) break
  }
  const relaxation = Math.ceil(bound - 0.01)
  const first = cheapestWhole(model, [...pool.values()])
  const cost = totalCost(first.chosen)
  if (cost <= relaxation)
    return { chosen: first.chosen, cost, bound: cost, relaxation, method: 'integer program' }
  const gap = cost - priced.bound
  const { least } = priced
  const added = add(movesBelow(model, priced.value, (v) => (least[v] as number) + gap, width))
  const last = added > 0 ? cheapestWhole(model, [...pool.values()]) : first
  const total = totalCost(last.chosen)
  const proved = Math.min(total, Math.max(relaxation, Math.ceil(last.bound - 0.01)))
  return { chosen: last.chosen, cost: total, bound: proved, relaxation, method: 'integer program' }
}

export function solve(model: Model): Solution {
  const choices = choicesOf(model)
  const relaxed = assign(choices.matrix, model.visits.length, model.places.length)
  const chosen = relaxedChoice(model, choices, relaxed)
  if (clashes(model, chosen).length > 0) return solveProgram(model, choices, relaxed)
  const cost = totalCost(chosen)
  return { chosen, cost, bound: relaxed.bound, relaxation: relaxed.bound, method: 'assignment' }
}
