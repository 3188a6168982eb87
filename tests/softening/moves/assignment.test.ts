import fc from 'fast-check'
import { expect, test } from 'vitest'
import { assign } from '../../../src/softening/moves/assignment.ts'

function cheapest(cost: number[][], row = 0, used = new Set<number>()): number {
  if (row === cost.length) return 0
  let best = Number.POSITIVE_INFINITY
  cost[row]?.forEach((one, column) => {
    if (used.has(column)) return
    best = Math.min(best, one + cheapest(cost, row + 1, new Set([...used, column])))
  })
  return best
}

const matrices = fc
  .tuple(fc.integer({ min: 1, max: 5 }), fc.integer({ min: 0, max: 3 }))
  .chain(([rows, more]) =>
    fc.array(
      fc.array(
        fc.oneof(
          { weight: 5, arbitrary: fc.integer({ min: 0, max: 20 }) },
          fc.constant(Number.POSITIVE_INFINITY),
        ),
        { minLength: rows + more, maxLength: rows + more },
      ),
      { minLength: rows, maxLength: rows },
    ),
  )

test('the cost is that of the best permutation, and the dual values prove it', () => {
  fc.assert(
    fc.property(matrices, (cost) => {
      const width = cost[0]?.length ?? 0
      const flat = Float64Array.from(cost.flat())
      const best = cheapest(cost)
      if (best === Number.POSITIVE_INFINITY) {
        expect(() => assign(flat, cost.length, width)).toThrow(RangeError)
        return
      }
      const { columns, rowDual, columnDual, cost: total, bound } = assign(flat, cost.length, width)
      expect(total).toBe(best)
      expect(bound).toBe(best)
      expect(new Set(columns).size).toBe(cost.length)
      for (const dual of columnDual) expect(dual).toBeLessThanOrEqual(0)
      cost.forEach((row, r) => {
        row.forEach((one, c) => {
          expect(one - (rowDual[r] ?? 0) - (columnDual[c] ?? 0)).toBeGreaterThanOrEqual(0)
        })
      })
    }),
    { numRuns: 2000 },
  )
})

test('no rows cost nothing', () => {
  expect(assign(new Float64Array(0), 0, 3)).toMatchObject({ cost: 0, bound: 0 })
})
