/** Which changes hang together, and the tidying of a plan among equals: nobody is moved for nothing. */
import type { Model } from './model.ts'
import type { Option } from './options.ts'
import { clashes, linesOf, moveTo, placesFor, stayOption, talliesOf } from './options.ts'

/** Visits whose own time an option takes, themselves left aside: those must leave first. */
export function takesTimeOf(model: Model, option: Option): number[] {
  const place = model.places[option.place]
  if (option.answer === 'stay' || option.answer === 'assessment' || !place) return []
  return model.visits
    .filter(
      (other) =>
        other.index !== option.visit &&
        other.start < option.end &&
        option.start < other.start + other.length &&
        (other.place.practitioner === place.practitioner ||
          (place.room !== null && other.place.room === place.room)),
    )
    .map((other) => other.index)
}

/**
 * Changed visits in groups: each can be done alone while everyone else stays, and each can be left out while
 * the others are done. Members are visit indices in order.
 */
export function groupsOf(model: Model, chosen: readonly Option[]): number[][] {
  const stays = model.visits.map((visit) => stayOption(model, visit))
  const changed = chosen.filter((option) => option.answer !== 'stay').map((option) => option.visit)
  let groups = changed.map((visit) => new Set([visit]))
  for (const visit of changed) {
    const option = chosen[visit]
    if (option) groups = merged(groups, [visit, ...takesTimeOf(model, option)])
  }
  // Where nothing is shared but practitioners and named rooms, the times taken say all.
  const pooled = model.doc.rooms !== undefined && model.rooms.length === 0
  const simple = model.tallies.length === 0 && !pooled
  for (let k = 0; k < groups.length && !simple; ) {
    const group = groups[k] as Set<number>
    const alone = stays.map((stay) => (group.has(stay.visit) ? (chosen[stay.visit] ?? stay) : stay))
    const without = chosen.map((option) =>
      group.has(option.visit) ? (stays[option.visit] ?? option) : option,
    )
    const before = groups.length
    for (const clash of clashes(model, alone)) groups = merged(groups, clash.visits)
    for (const clash of clashes(model, without)) groups = merged(groups, [...group, ...clash.visits])
    k = groups.length < before ? 0 : k + 1
  }
  return groups.map((group) => [...group].sort((a, b) => a - b)).sort((a, b) => (a[0] ?? 0) - (b[0] ?? 0))
}

/** The groups that share a visit with `together` joined into one. */
function merged(groups: Set<number>[], together: number[]): Set<number>[] {
  const touched = groups.filter((group) => together.some((visit) => group.has(visit)))
  if (touched.length < 2) return groups
  const one = new Set(touched.flatMap((group) => [...group]))
  return [...groups.filter((group) => !touched.includes(group)), one]
}

/** Who takes up which line of time, kept up to date while options are exchanged. */
export function occupancyOf(model: Model, chosen: readonly Option[]) {
  const onLine = new Map<number, Set<Option>>()
  const tallied = new Map<number, Set<Option>>()
  const put = (map: Map<number, Set<Option>>, key: number, option: Option): void => {
    const set = map.get(key)
    if (set) set.add(option)
    else map.set(key, new Set([option]))
  }
  const add = (option: Option): void => {
    for (const line of linesOf(model, option)) put(onLine, line, option)
    for (const tally of talliesOf(model, option)) put(tallied, tally, option)
  }
  const remove = (option: Option): void => {
    for (const line of linesOf(model, option)) onLine.get(line)?.delete(option)
    for (const tally of talliesOf(model, option)) tallied.get(tally)?.delete(option)
  }
  /** Whether an option fits among the others; those of `ignoring` do not count. */
  const fits = (option: Option, ignoring: readonly number[] = []): boolean => {
    const counts = (other: Option): boolean => other.visit !== option.visit && !ignoring.includes(other.visit)
    for (const line of linesOf(model, option)) {
      const limit = model.lines[line]?.limit ?? 0
      const beside = [...(onLine.get(line) ?? [])].filter(
        (other) => other.start < option.end && option.start < other.end && counts(other),
      )
      const busiest = [option, ...beside]
        .map(({ start }) => Math.max(start, option.start))
        .map((at) => beside.filter((other) => other.start <= at && at < other.end).length)
      if (Math.max(...busiest) >= limit) return false
    }
    return talliesOf(model, option).every(
      (tally) => [...(tallied.get(tally) ?? [])].filter(counts).length < (model.tallies[tally]?.limit ?? 0),
    )
  }
  for (const option of chosen) add(option)
  return { fits, add, remove }
}

/** Of the moves of equal cost that fit, the one that waits for nobody, then the earliest. */
function earliestOfEqual(model: Model, chosen: Option[]): Option[] {
  const occupancy = occupancyOf(model, chosen)
  return chosen.map((option) => {
    const visit = model.visits[option.visit]
    if (option.answer !== 'move' || !visit) return option
    const rank = (one: Option): [number, number, number] => [
      takesTimeOf(model, one).length,
      one.start,
      one.place,
    ]
    const before = (a: Option, b: Option): boolean => {
      const [x, y] = [rank(a), rank(b)]
      const k = x.findIndex((value, i) => value !== y[i])
      return k >= 0 && (x[k] as number) < (y[k] as number)
    }
    let best = option
    for (const place of placesFor(model, visit)) {
      const other = moveTo(model, visit, place)
      if (other.cost === option.cost && before(other, best) && occupancy.fits(other)) best = other
    }
    if (best !== option) {
      occupancy.remove(option)
      occupancy.add(best)
    }
    return best
  })
}

/** Changes that gain nothing are undone where that keeps every limit. */
function withoutIdle(model: Model, chosen: Option[]): Option[] {
  let plan = chosen
  for (const group of groupsOf(model, chosen)) {
    const stays = group.flatMap((visit) => {
      const of = model.visits[visit]
      return of ? [stayOption(model, of)] : []
    })
    const gain = stays.reduce((sum, stay) => sum + stay.cost - (chosen[stay.visit]?.cost ?? 0), 0)
    if (gain > 0) continue
    const undone = plan.map((option) => stays.find((stay) => stay.visit === option.visit) ?? option)
    if (clashes(model, undone).length === 0) plan = undone
  }
  return plan
}

/** The same cost with fewer moves, then with moves that wait for nobody, then with earlier ones. */
export const tidied = (model: Model, chosen: Option[]): Option[] =>
  withoutIdle(model, earliestOfEqual(model, withoutIdle(model, chosen)))
