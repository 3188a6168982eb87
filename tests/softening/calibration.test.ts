import { describe, expect, test } from 'vitest'
import { measure, SCENARIOS, table } from './calibration.ts'

/** Fewer patients than `npm run measure:adherence`; a share near 95 % then has a standard error of 0.6 points. */
const PATIENTS = 1500
const rows = SCENARIOS.map((scenario) => measure(scenario, PATIENTS, 'test'))
const learned = rows.filter(
  (_, i) => (SCENARIOS[i]?.history ?? 0) > 0 && SCENARIOS[i]?.truth.adherence.overclaim === 0,
)

describe.each(learned.map((row) => [row.name, row] as const))('%s', (_, row) => {
  test.each(['done', 'total'] as const)('the interval of the doses (%s) covers what it claims', (name) => {
    expect(row[name].claimed).toBeGreaterThanOrEqual(0.9)
    expect(row[name].covered).toBeGreaterThan(0.9)
    expect(Math.abs(row[name].covered - row[name].claimed)).toBeLessThan(0.025)
  })
  test('the interval of the chance of a dose covers 90 %', () => {
    expect(row.theta.claimed).toBeCloseTo(0.9, 6)
    expect(Math.abs(row.theta.covered - 0.9)).toBeLessThan(0.04)
  })
  test('as many ears are soft enough as was said', () => {
    // Four standard errors of a share among 1500.
    expect(Math.abs(row.soft.claimed - row.soft.covered)).toBeLessThan(4 * Math.sqrt(0.25 / PATIENTS))
  })
})

test('the forecasts beat counting yeses and the last answer, whoever the patients are', () => {
  expect(rows).toHaveLength(SCENARIOS.length)
  for (const row of rows)
    for (const scores of [row.enough, row.nextDose]) {
      expect(scores.model).toBeLessThan(scores.yeses)
      expect(scores.model).toBeLessThan(scores.answeredYeses)
      expect(scores.model).toBeLessThan(scores.last)
    }
})

test('untrue claims that the clinic does not know of cost coverage: the table must show it', () => {
  const untold = rows.find((row) => row.name.startsWith('claims'))
  expect(untold?.total.covered).toBeLessThan(untold?.total.claimed as number)
})

test('the table has a line for each kind of patient', () => {
  const lines = table(rows).split('\n')
  expect(lines).toHaveLength(2 + SCENARIOS.length)
  for (const { name } of SCENARIOS) expect(lines.some((line) => line.startsWith(name))).toBe(true)
})
