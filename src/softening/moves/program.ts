/**
 * The plan as a set-packing program over a pool of options: one option a visit, no limit exceeded.
 * Two options overlap exactly when one is under way at the start of the other, so a row at each start suffices.
 */
import type { Highs } from 'highs'
import highsModule from 'highs'
import type { Model } from './model.ts'
import type { Option } from './options.ts'
import { clashes, linesOf, placesFor, talliesOf } from './options.ts'

// The package's types describe its CommonJS build; the module that Node imports is the loader itself.
const highs = await (highsModule as unknown as () => Promise<Highs>)()

/** The solver sees thousandths of the cost unit: wide of its absolute tolerances on both sides. */
const SCALE = 1000
/** Nodes that the solver may spend on a likely plan; our own branch and bound goes on from what it found. */
const LIKELY_NODES = 200

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

function layOut(model: Model, starts: (Set<number> | undefined)[], tallies: Iterable<number>): Rows {
  const rows: Rows = {
    count: model.visits.length,
    limits: model.visits.map(() => 1),
    starts: [],
    firstRow: [],
    tallyRow: [],
  }
  starts.forEach((set, line) => {
    const inOrder = [...(set ?? [])].sort((a, b) => a - b)
    rows.starts[line] = inOrder
    rows.firstRow[line] = rows.count
    rows.count += inOrder.length
    for (const _ of inOrder) rows.limits.push(model.lines[line]?.limit ?? 0)
  })
  for (const tally of tallies) {
    rows.tallyRow[tally] = rows.count
    rows.count += 1
    rows.limits.push(model.tallies[tally]?.limit ?? 0)
  }
  return rows
}

const startsByLine = (model: Model): Set<number>[] => model.lines.map(() => new Set<number>())

/** Rows for every option there could be. */
export function everyRow(model: Model): Rows {
  const starts = startsByLine(model)
  for (const place of model.places) {
    starts[place.practitioner]?.add(place.start)
    starts[model.roomLine(place) ?? -1]?.add(place.start)
  }
  for (const visit of model.visits)
    if (visit.patient)
      for (const place of [visit.place, ...placesFor(model, visit)])
        starts[visit.patient.line]?.add(place.start)
  return layOut(model, starts, model.tallies.keys())
}

/** Rows for these options alone. */
export function rowsFor(model: Model, options: readonly Option[]): Rows {
  const starts = startsByLine(model)
  const tallies = new Set<number>()
  for (const option of options) {
    for (const line of linesOf(model, option)) starts[line]?.add(option.start)
    for (const tally of talliesOf(model, option)) tallies.add(tally)
  }
  return layOut(model, starts, tallies)
}

export function rowsOf(model: Model, rows: Rows, option: Option): number[] {
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

/** Columns of the matrix, packed. */
function packed(model: Model, rows: Rows, options: readonly Option[]) {
  const starts = [0]
  const indices: number[] = []
  for (const option of options) {
    indices.push(...rowsOf(model, rows, option))
    starts.push(indices.length)
  }
  return {
    format: 'csc' as const,
    numRows: rows.count,
    numCols: options.length,
    starts: Int32Array.from(starts),
    indices: Int32Array.from(indices),
    values: new Float64Array(indices.length).fill(1),
  }
}

const scaled = (options: readonly Option[]): Float64Array =>
  Float64Array.from(options, (option) => option.cost / SCALE)

function dataOf(model: Model, rows: Rows, options: readonly Option[]) {
  const visits = model.visits.length
  return {
    numCols: options.length,
    numRows: rows.count,
    colCost: scaled(options),
    colLower: options.map(() => 0),
    colUpper: options.map(() => highs.infinity),
    rowLower: rows.limits.map((_, row) => (row < visits ? 1 : -highs.infinity)),
    rowUpper: rows.limits,
    matrix: packed(model, rows, options),
  }
}

const PRIMAL_SIMPLEX = 4

export interface Optimum {
  /**
   * One price a row, none below 0 beyond the visits' rows (millionths of the unit). Any such prices give a
   * valid bound, so the solver's rounding cannot make one false.
   */
  prices: Float64Array
  /** The share of each option in the optimum, in the order in which they were added. */
  shares: Float64Array
}

export interface Relaxation {
  add(options: readonly Option[]): void
  /** Lets each visit have no option at this cost (millionths), so that a run always has an optimum. */
  addWayOut(cost: number): void
  /** Bars options by number, or lets them in again. */
  bar(columns: readonly number[], barred: boolean): void
  /** The optimum over the options so far; null where the solver gives none. */
  run(): Optimum | null
}

/** Keeps one linear program while options are added or barred, so that each run goes on from the last. */
export function withRelaxation<T>(
  model: Model,
  rows: Rows,
  options: readonly Option[],
  work: (relaxation: Relaxation) => T,
): T {
  return highs.withModel(dataOf(model, rows, options), (solver) => {
    solver.options.set({ output_flag: false, presolve: 'off' })
    return work({
      add: (more) => {
        solver.options.set({ simplex_strategy: PRIMAL_SIMPLEX })
        solver.addCols({
          cost: scaled(more),
          lower: new Float64Array(more.length),
          upper: new Float64Array(more.length).fill(highs.infinity),
          matrix: packed(model, rows, more),
        })
      },
      addWayOut: (cost) => {
        for (const visit of model.visits)
          solver.addCol(cost / SCALE, 0, highs.infinity, { indices: [visit.index], values: [1] })
      },
      bar: (columns, barred) => {
        const upper = barred ? 0 : highs.infinity
        for (const column of columns) solver.changeColBounds(column, 0, upper)
      },
      run: () => {
        solver.run()
        if (solver.getModelStatus() !== highs.constants.modelStatus.optimal) return null
        const { rowDual, colValue } = solver.getSolution()
        const visits = model.visits.length
        const prices = rowDual.map((dual, row) => (row < visits ? dual : Math.max(0, -dual)) * SCALE)
        return { prices, shares: colValue }
      },
    })
  })
}

/**
 * A plan among these options that the general solver thinks the cheapest, or null. Its word is not taken:
 * the plan is checked here, and only a bound of our own proves anything. (Version 1.15.3 of the solver was
 * seen to call a program infeasible that is not, when its presolve is on: hence the second try.)
 */
export function likelyPlan(model: Model, options: readonly Option[]): Option[] | null {
  const rows = rowsFor(model, options)
  const integrality = new Int32Array(options.length).fill(highs.constants.variableType.integer)
  const program = { ...dataOf(model, rows, options), colUpper: options.map(() => 1), integrality }
  for (const presolve of ['on', 'off']) {
    const chosen = highs.withModel(program, (solver) => {
      solver.options.set({ output_flag: false, presolve, mip_rel_gap: 0, mip_max_nodes: LIKELY_NODES })
      solver.run()
      const { colValue } = solver.getSolution()
      return options.filter((_, k) => (colValue[k] as number) > 0.5)
    })
    const plan = chosen.sort((a, b) => a.visit - b.visit)
    const whole = plan.length === model.visits.length && plan.every((option, visit) => option.visit === visit)
    if (whole && clashes(model, plan).length === 0) return plan
  }
  return null
}
