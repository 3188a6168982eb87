/**
 * Minimum-cost assignment of every row to its own column by shortest augmenting paths with potentials
 * (Jonker and Volgenant 1987; Crouse 2016 for rectangular matrices), about O(rows² × columns).
 */

export interface Assignment {
  /** The column of each row. */
  columns: Int32Array
  /** Dual values: cost[r][c] - rowDual[r] - columnDual[c] >= 0, columnDual <= 0, and their sum is the cost. */
  rowDual: Float64Array
  columnDual: Float64Array
  cost: number
  bound: number
}

/**
 * @param cost rows × width, row by row; Infinity bars a pair. Whole numbers keep the result exact.
 * @throws RangeError when some row finds no column
 */
export function assign(cost: Float64Array, rows: number, width: number): Assignment {
  const rowDual = new Float64Array(rows)
  const columnDual = new Float64Array(width)
  const columns = new Int32Array(rows).fill(-1)
  const rowOf = new Int32Array(width).fill(-1)
  const distance = new Float64Array(width)
  const from = new Int32Array(width)
  const open = new Int32Array(width)
  const scanned = new Int32Array(width)

  for (let first = 0; first < rows; first += 1) {
    distance.fill(Number.POSITIVE_INFINITY)
    for (let c = 0; c < width; c += 1) open[c] = c
    let left = width
    let done = 0
    let row = first
    let reached = 0
    let sink = -1
    while (sink < 0) {
      const base = row * width
      const offset = reached - (rowDual[row] as number)
      let nearest = Number.POSITIVE_INFINITY
      let at = -1
      for (let k = 0; k < left; k += 1) {
        const c = open[k] as number
        const through = (cost[base + c] as number) + offset - (columnDual[c] as number)
        if (through < (distance[c] as number)) {
          distance[c] = through
          from[c] = row
        }
        const d = distance[c] as number
        // A free column wins a tie: the path ends sooner. Then the earlier column, for one answer always.
        if (d < nearest || (d === nearest && at >= 0 && better(c, open[at] as number, rowOf))) {
          nearest = d
          at = k
        }
      }
      if (at < 0 || nearest === Number.POSITIVE_INFINITY)
        throw new RangeError(`row ${first} cannot be assigned`)
      const column = open[at] as number
      left -= 1
      open[at] = open[left] as number
      scanned[done] = column
      done += 1
      reached = nearest
      if ((rowOf[column] as number) < 0) sink = column
      else row = rowOf[column] as number
    }
    rowDual[first] = (rowDual[first] as number) + reached
    for (let k = 0; k < done; k += 1) {
      const c = scanned[k] as number
      const slack = reached - (distance[c] as number)
      columnDual[c] = (columnDual[c] as number) - slack
      const owner = rowOf[c] as number
      if (owner >= 0) rowDual[owner] = (rowDual[owner] as number) + slack
    }
    for (let c = sink; ; ) {
      const r = from[c] as number
      rowOf[c] = r
      const next = columns[r] as number
      columns[r] = c
      if (r === first) break
      c = next
    }
  }
  let total = 0
  for (let r = 0; r < rows; r += 1) total += cost[r * width + (columns[r] as number)] as number
  let bound = 0
  for (const dual of rowDual) bound += dual
  for (const dual of columnDual) bound += dual
  return { columns, rowDual, columnDual, cost: total, bound }
}

function better(a: number, b: number, rowOf: Int32Array): boolean {
  const aFree = (rowOf[a] as number) < 0
  const bFree = (rowOf[b] as number) < 0
  return aFree === bFree ? a < b : aFree
}
