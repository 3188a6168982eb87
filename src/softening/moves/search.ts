/** Branch and bound over the options that a cheaper plan could still use, bounded by prices of the relaxation. */
import type { Model } from './model.ts'
import type { Option } from './options.ts'
import { clashes, totalCost } from './options.ts'
import { wholeBound } from './pricing.ts'
import type { Relaxation } from './program.ts'
import { rowsFor, rowsOf, withRelaxation } from './program.ts'

/** Options looked at, over all branches, after which the best plan so far is returned as not proved. */
const MOST_LOOKS = 1_000_000

export interface Searched {
  chosen: Option[]
  /** Whether every branch was ended: then no plan costs less. */
  complete: boolean
}

interface Branch {
  /** Lower bound of this branch, and what each option costs with its prices. */
  bound: number
  value: Float64Array
  least: Float64Array
  shares: Float64Array
}

/**
 * @param options what a cheaper plan than `best` may use
 * @param best a plan that keeps every limit, by visit
 */
export function search(
  model: Model,
  options: readonly Option[],
  best: Option[],
  mostLooks = MOST_LOOKS,
): Searched {
  const rows = rowsFor(model, options)
  const visits = model.visits.length
  const used = options.map((option) => rowsOf(model, rows, option).filter((row) => row >= visits))
  const ofVisit = model.visits.map((_, visit) => options.flatMap((o, k) => (o.visit === visit ? [k] : [])))
  const dayOfOption = (k: number): string => {
    const { answer, place } = options[k] as Option
    return `${answer} ${model.places[place]?.practitioner} ${model.places[place]?.day}`
  }
  const barred = new Uint8Array(options.length)
  let chosen = best
  let cost = totalCost(best)
  let complete = true
  let looks = 0

  const look = (program: Relaxation): Branch | null => {
    const optimum = program.run()
    if (!optimum) return null
    const { prices, shares } = optimum
    const least = new Float64Array(visits).fill(Number.POSITIVE_INFINITY)
    const value = Float64Array.from(options, (option, k) => {
      if (barred[k]) return Number.POSITIVE_INFINITY
      const sum = (used[k] ?? []).reduce((total, row) => total + (prices[row] as number), option.cost)
      if (sum < (least[option.visit] as number)) least[option.visit] = sum
      return sum
    })
    let bound = 0
    for (const one of least) bound += one
    rows.limits.forEach((limit, row) => {
      if (row >= visits) bound -= limit * (prices[row] as number)
    })
    return { bound, value, least, shares }
  }

  const keepIfBetter = (takes: (column: number) => boolean): void => {
    const plan = ofVisit.flatMap((columns) => {
      const column = columns.find(takes)
      return column === undefined ? [] : [options[column] as Option]
    })
    if (plan.length < visits || totalCost(plan) >= cost || clashes(model, plan).length > 0) return
    chosen = plan
    cost = totalCost(plan)
  }

  /**
   * How to split a branch: some options of one visit against its others; null when no visit has two that could
   * make a cheaper plan. Whole days are split before starts, which often cost the same.
   */
  const split = ({ shares }: Branch, hopeful: (column: number) => boolean): number[] | null => {
    let found: number[] | null = null
    let nearest = Number.POSITIVE_INFINITY
    for (const partOf of [dayOfOption, String]) {
      for (const columns of ofVisit) {
        const parts = Map.groupBy(columns.filter(hopeful), partOf)
        if (parts.size < 2) continue
        for (const part of parts.values()) {
          const share = part.reduce((sum, k) => sum + (shares[k] as number), 0)
          const distance = Math.abs(share - 0.5)
          if (distance < nearest) {
            nearest = distance
            found = part
          }
        }
      }
      if (nearest < 0.49) return found
    }
    return found
  }

  const bar = (program: Relaxation, columns: number[], state: boolean): void => {
    for (const k of columns) barred[k] = state ? 1 : 0
    program.bar(columns, state)
  }

  const within = (program: Relaxation): void => {
    looks += options.length
    const branch = looks > mostLooks ? null : look(program)
    if (!branch) {
      complete = false
      return
    }
    const { bound, value, least, shares } = branch
    keepIfBetter((k) => (shares[k] as number) > 0.99)
    if (wholeBound(bound) >= cost) return
    const hopeful = (k: number): boolean =>
      (value[k] as number) < (least[options[k]?.visit ?? 0] as number) + cost - bound
    const part = split(branch, hopeful)
    if (part === null) {
      keepIfBetter(hopeful)
      return
    }
    const open = (ofVisit[options[part[0] as number]?.visit ?? 0] ?? []).filter((k) => !barred[k])
    const others = open.filter((k) => !part.includes(k))
    for (const columns of [others, part]) {
      bar(program, columns, true)
      within(program)
      bar(program, columns, false)
    }
  }
  withRelaxation(model, rows, options, (program) => {
    program.addWayOut(cost)
    within(program)
  })
  return { chosen, complete }
}
