/** A short run of the simulation: what must hold holds, and the same seed gives the same line. */
import { expect, test } from 'vitest'
import { simulate } from './run.ts'

const asked = { patients: 10, days: 5, seed: 7 }

test('nothing that must hold breaks, and what this run can try is tried', async () => {
  const { result, details } = await simulate(asked)
  expect(details).toEqual([])
  const tried = Object.entries(result.invariants).filter(([, count]) => count.checked > 0)
  expect(tried.length).toBeGreaterThanOrEqual(8)
  expect(result.invariants['every reply read']?.checked).toBeGreaterThan(10)
  const again = await simulate(asked)
  expect(JSON.stringify(again.result)).toBe(JSON.stringify(result))
}, 240_000)
