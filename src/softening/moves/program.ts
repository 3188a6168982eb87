/**
 * The plan as a set-packing program over a pool of options: one option a visit, no limit exceeded.
 * Two options overlap exactly when one is under way at the start of the other, so a row at each start suffices.
 */
import type { Highs } from 'highs'
import highsModule from 'highs'
import type { Model } from './model.ts'
import type { Option } from './options.ts'
import { linesOf, talliesOf } from './options.ts'

// The package's types describe its CommonJS build; the module that Node imports is the loader itself.
const highs = await (highsModule as unknown as () => Promise<Highs>)()

/** The solver sees thousandths of the cost unit: wide of its absolute tolerances on both sides. */
const SCALE = 1000
const LIMIT_SECONDS = 60

/** Rows of the program: one a visit first, then starts on lines of time, then tallies. */
export interface Rows {
  count: number
  limits: number[]
  /** By line: the starts that have a row, in order, and the number of the first such row. */
  starts: (number[] | undefined)[]
  firstRow: (number | undefined)[]
  tallyRow: (number | undefined)[]
}

/** How many of `sorted` lie before `value`. */
export function countBefore(sorted: readonly number[], value: number): number {
  let low = 0
  let high = sorted.length
  while (low < high) {
    const middle = (low + high) >> 1
    if ((sorted[middle] as number) < value) low = middle + 1
    else high = middle
  }
  return low
}

export function rowsFor(model: Model, options: readonly Option[]): Rows {
  const starts = new Map<number, Set<number>>()
  const users = new Map<number, Set<number>>()
  const tallied = new Map<number, Set<number>>()
  const put = (map: Map<number, Set<number>>, key: number, value: number): void => {
    const set = map.get(key)
    if (set) set.add(value)
    else map.set(key, new Set([value]))
  }
  for (const option of options) {
    for (const line of linesOf(model, option)) {
      put(starts, line, option.start)
      put(users, line, option.visit)
    }
    for (const tally of talliesOf(model, option)) put(tallied, tally, option.visit)
  }
  const rows: Rows = {
    count: model.visits.length,
    limits: model.visits.map(() => 1),
    starts: [],
    firstRow: [],
    tallyRow: [],
  }
  model.lines.forEach(({ limit }, line) => {
    if ((users.get(line)?.size ?? 0) <= limit) return
    const inOrder = [...(starts.get(line) ?? [])].sort((a, b) => a - b)
    rows.starts[line] = inOrder
    rows.firstRow[line] = rows.count
    rows.count += inOrder.length
    rows.limits.push(...inOrder.map(() => limit))
  })
  model.tallies.forEach(({ limit }, tally) => {
    if ((tallied.get(tally)?.size ?? 0) <= limit) return
    rows.tallyRow[tally] = rows.count
    rows.count += 1
    rows.limits.push(limit)
  })
  return rows
}

function rowsOf(model: Model, rows: Rows, option: Option): number[] {
  const used = [option.visit]
  for (const line of linesOf(model, option)) {
    const starts = rows.starts[line]
    const first = rows.firstRow[line]
    if (!starts || first === undefined) continue
    const to = countBefore(starts, option.end)
    for (let k = countBefore(starts, option.start); k < to; k += 1) used.push(first + k)
  }
  for (const tally of talliesOf(model, option)) {
    const row = rows.tallyRow[tally]
    if (row !== undefined) used.push(row)
  }
  return used
}

function dataOf(model: Model, rows: Rows, options: readonly Option[], whole: boolean) {
  const starts = [0]
  const indices: number[] = []
  for (const option of options) {
    indices.push(...rowsOf(model, rows, option))
    starts.push(indices.length)
  }
  const visits = model.visits.length
  return {
    numCols: options.length,
    numRows: rows.count,
    colCost: options.map((option) => option.cost / SCALE),
    colLower: options.map(() => 0),
    colUpper: options.map(() => (whole ? 1 : highs.infinity)),
    rowLower: rows.limits.map((_, row) => (row < visits ? 1 : -highs.infinity)),
    rowUpper: rows.limits,
    matrix: {
      format: 'csc' as const,
      numRows: rows.count,
      numCols: options.length,
      starts,
      indices,
      values: indices.map(() => 1),
    },
    ...(whole
      ? { integrality: new Int32Array(options.length).fill(highs.constants.variableType.integer) }
      : {}),
  }
}

/**
 * Prices of the linear relaxation, one a row, none below 0 beyond the visits' rows (millionths of the unit).
 * Any such prices give a valid bound, so the solver's rounding cannot make one false.
 */
export function relaxedPrices(model: Model, rows: Rows, options: readonly Option[]): Float64Array {
  return highs.withModel(dataOf(model, rows, options, false), (solver) => {
    solver.options.set({ output_flag: false })
    solver.run()
    if (solver.getModelStatus() !== highs.constants.modelStatus.optimal)
      throw new Error(`the linear relaxation ended with status ${solver.getModelStatus()}`)
    return solver
      .getSolution()
      .rowDual.map((dual, row) => (row < model.visits.length ? dual : Math.max(0, -dual)) * SCALE)
  })
}

/** The cheapest choice among these options and the solver's proved bound (millionths of the unit). */
export function cheapestWhole(model: Model, options: readonly Option[]): { chosen: Option[]; bound: number } {
  const rows = rowsFor(model, options)
  return highs.withModel(dataOf(model, rows, options, true), (solver) => {
    solver.options.set({
      output_flag: false,
      mip_rel_gap: 0,
      mip_abs_gap: 0,
      mip_feasibility_tolerance: 1e-9,
      time_limit: LIMIT_SECONDS,
      random_seed: 0,
    })
    solver.run()
    const { colValue } = solver.getSolution()
    const chosen = options.filter((_, k) => (colValue[k] as number) > 0.5)
    const found = new Set(chosen.map((option) => option.visit)).size === model.visits.length
    if (!found) throw new Error(`no plan found within ${LIMIT_SECONDS} s: plan a shorter span of days`)
    const bound = Number(solver.info.get('mip_dual_bound')) * SCALE
    return { chosen: chosen.sort((a, b) => a.visit - b.visit), bound }
  })
}
