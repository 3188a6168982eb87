/**
 * The cheapest plan, exactly. First the assignment of visits to starts, which forgets lengths and rooms:
 * where its answer keeps every limit it is the optimum, and its dual values prove it. Otherwise the linear
 * relaxation with every limit is solved over a growing pool of options; a plan that costs no more than its
 * bound is the optimum; what gap remains is closed by branch and bound.
 */
import type { Assignment } from './assignment.ts'
import { assign } from './assignment.ts'
import { occupancyOf } from './groups.ts'
import type { Model } from './model.ts'
import type { Option } from './options.ts'
import { clashes, moveTo, stayOption, totalCost } from './options.ts'
import type { Choices, Priced } from './pricing.ts'
import { choicesOf, movesBelow, optionsWithin, priceAll, wholeBound } from './pricing.ts'
import { everyRow, likelyPlan, withRelaxation } from './program.ts'
import { search } from './search.ts'

/** Costs in whole millionths. `bound` is a proved lower bound; the plan is optimal when it equals `cost`. */
export interface Solution {
  chosen: Option[]
  cost: number
  bound: number
  method: 'assignment' | 'linear program' | 'branch and bound'
}

/** Options a visit by reduced cost in the first pool, and at most so many new ones in a round. */
const FIRST_POOL = 6
const NEW_A_ROUND = 12

function relaxedChoice(model: Model, { inPlace }: Choices, { columns }: Assignment): Option[] {
  return model.visits.map((visit) => {
    const place = model.places[columns[visit.index] as number]
    if (place && place !== visit.place) return moveTo(model, visit, place)
    const answers = inPlace[visit.index] ?? []
    return answers.reduce((best, option) => (option.cost < best.cost ? option : best))
  })
}

const keyOf = (option: Option): string => `${option.visit} ${option.answer} ${option.place}`

interface Relaxed {
  priced: Priced
  /** The options that the last optimum of the relaxation used, the larger shares first. */
  used: Option[]
}

/** Prices near the best there are: the linear relaxation, options added while any lies below its visit's price. */
function bestPrices(model: Model, choices: Choices, relaxed: Assignment): Relaxed {
  const width = model.places.length
  const reduced = choices.matrix.map(
    (cost, k) =>
      cost - (relaxed.columnDual[k % width] as number) - (relaxed.rowDual[Math.floor(k / width)] as number),
  )
  const pool = [
    ...choices.inPlace.flat(),
    ...movesBelow(model, reduced, () => Number.POSITIVE_INFINITY, FIRST_POOL),
  ]
  const known = new Set(pool.map(keyOf))
  const rows = everyRow(model)
  return withRelaxation(model, rows, pool, (program) => {
    let best = priceAll(model, choices, rows, new Float64Array(rows.count))
    let used: Option[] = []
    for (;;) {
      const optimum = program.run()
      if (!optimum) return { priced: best, used }
      const { prices, shares } = optimum
      const share = (k: number): number => shares[k] as number
      used = [...pool.keys()]
        .filter((k) => share(k) > 0.01)
        .sort((a, b) => share(b) - share(a))
        .flatMap((k) => pool[k] ?? [])
      const now = priceAll(model, choices, rows, prices)
      if (now.bound > best.bound) best = now
      // Half a millionth: costs are whole, so a smaller gain is the solver's rounding.
      const below = movesBelow(model, now.value, (v) => (prices[v] as number) - 0.5, NEW_A_ROUND)
      const fresh = below.filter((option) => !known.has(keyOf(option)))
      if (fresh.length === 0) return { priced: best, used }
      for (const option of fresh) known.add(keyOf(option))
      pool.push(...fresh)
      program.add(fresh)
    }
  })
}

/** The options in turn as far as they fit, one a visit; null when some visit is left without. */
function greedyPlan(model: Model, options: readonly Option[]): Option[] | null {
  const occupancy = occupancyOf(model, [])
  const plan: Option[] = []
  for (const option of options) {
    if (plan[option.visit] !== undefined || !occupancy.fits(option)) continue
    occupancy.add(option)
    plan[option.visit] = option
  }
  return model.visits.every((visit) => plan[visit.index] !== undefined) ? plan : null
}

/**
 * A plan that costs less than one already found uses only options whose value exceeds their visit's least by
 * less than the gap between that plan and the bound: nothing else needs to be searched.
 */
function solveProgram(model: Model, choices: Choices, relaxed: Assignment): Solution {
  const { priced, used } = bestPrices(model, choices, relaxed)
  const bound = wholeBound(Math.max(relaxed.bound, priced.bound))
  let best = model.visits.map((visit) => stayOption(model, visit))
  let cost = totalCost(best)
  // Next to no excess first: where the relaxation is tight the optimum is there.
  const tight = optionsWithin(model, choices, priced, 1)
  const attempts = [
    () => greedyPlan(model, [...used, ...tight]),
    () => likelyPlan(model, tight),
    () => likelyPlan(model, optionsWithin(model, choices, priced, cost - priced.bound)),
  ]
  for (const attempt of attempts) {
    const found = attempt()
    if (found && totalCost(found) < cost) {
      best = found
      cost = totalCost(found)
    }
    if (cost <= bound) return { chosen: best, cost, bound: cost, method: 'linear program' }
  }
  const searched = search(model, optionsWithin(model, choices, priced, cost - priced.bound), best)
  const total = totalCost(searched.chosen)
  return {
    chosen: searched.chosen,
    cost: total,
    bound: searched.complete ? total : Math.min(total, bound),
    method: 'branch and bound',
  }
}

export function solve(model: Model): Solution {
  const choices = choicesOf(model)
  const relaxed = assign(choices.matrix, model.visits.length, model.places.length)
  const chosen = relaxedChoice(model, choices, relaxed)
  if (clashes(model, chosen).length > 0) return solveProgram(model, choices, relaxed)
  return { chosen, cost: totalCost(chosen), bound: relaxed.bound, method: 'assignment' }
}
