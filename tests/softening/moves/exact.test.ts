import highsModule, { type Highs } from 'highs'
import { describe, expect, test } from 'vitest'
import type { MovesInput } from '../../../src/softening/moves/input.ts'
import { MovesInputError } from '../../../src/softening/moves/input.ts'
import type { Option } from '../../../src/softening/moves/options.ts'
import {
  answersInPlace,
  moveTo,
  placesFor,
  stayOption,
  totalCost,
} from '../../../src/softening/moves/options.ts'
import { movesModel, planMoves } from '../../../src/softening/moves/plan.ts'
import { search } from '../../../src/softening/moves/search.ts'
import type { Choice } from './brute.ts'
import { bruteForce, choicesOf, practitionersOf } from './brute.ts'
import { randomDocument, smallDocument } from './cases.ts'

const highs = await (highsModule as unknown as () => Promise<Highs>)()
const MIN = 60_000

function planned(doc: MovesInput) {
  try {
    return planMoves(doc)
  } catch (error) {
    // A drawn document may already break a room or patient limit: the optimiser must refuse it.
    if (error instanceof MovesInputError) return null
    throw error
  }
}

describe('the cost is the least there is', () => {
  test('against exhaustive search on 4000 small documents with every kind of limit', () => {
    const methods = new Map<string, number>()
    let helped = 0
    let checked = 0
    for (let seed = 0; seed < 4100; seed += 1) {
      const doc = smallDocument(seed)
      const plan = planned(doc)
      if (!plan) continue
      checked += 1
      const { cost } = bruteForce(doc)
      expect(plan.cost, `document ${seed}`).toBeCloseTo(cost, 4)
      expect(plan.bound, `document ${seed}`).toBe(plan.cost)
      expect(plan.proved, `document ${seed}`).toBe(true)
      methods.set(plan.method, (methods.get(plan.method) ?? 0) + 1)
      if (plan.saving > 0) helped += 1
    }
    expect(checked).toBeGreaterThanOrEqual(3900)
    // Every way to the answer was really taken, and the plans were not all "nobody moves".
    expect(methods.get('assignment')).toBeGreaterThan(1000)
    expect(methods.get('linear program')).toBeGreaterThan(300)
    expect(methods.get('branch and bound')).toBeGreaterThan(10)
    expect(helped).toBeGreaterThan(1000)
  }, 120_000)

  test.each([1, 0.004])(
    'branch and bound alone finds it from everybody staying, costs times %d',
    (times) => {
      let improved = 0
      for (let seed = 0; seed < 400; seed += 1) {
        const drawn = smallDocument(seed)
        const { move = 10, waitPerDay = 2, extraVisit = 40, failedVisit = 60 } = drawn.rules?.costs ?? {}
        const costs = {
          failedVisit: failedVisit * times,
          soreEar: 20 * times,
          extraVisit: extraVisit * times,
          move: move * times,
          waitPerDay: waitPerDay * times,
          lengthenPerMinute: 0.5 * times,
        }
        const doc = { ...drawn, rules: { ...drawn.rules, costs } }
        if (!planned(doc)) continue
        const model = movesModel(doc)
        const options: Option[] = model.visits.flatMap((visit) => [
          ...answersInPlace(model, visit),
          ...placesFor(model, visit).map((place) => moveTo(model, visit, place)),
        ])
        const stays = model.visits.map((visit) => stayOption(model, visit))
        const found = search(model, options, stays)
        expect(found.complete, `document ${seed}`).toBe(true)
        expect(totalCost(found.chosen) / 1e6, `document ${seed}`).toBeCloseTo(bruteForce(doc).cost, 4)
        if (totalCost(found.chosen) < totalCost(stays)) improved += 1
      }
      expect(improved).toBeGreaterThan(100)
    },
    120_000,
  )
})

/** The whole problem as one binary program on a 5-minute grid: another formulation, read from the document alone. */
function binaryProgram(doc: MovesInput): number {
  const choices = choicesOf(doc).flat()
  const rows = new Map<string, number[]>()
  const put = (row: string, column: number): void => {
    rows.set(row, [...(rows.get(row) ?? []), column])
  }
  const pool = typeof doc.rooms === 'number' ? doc.rooms : Number.POSITIVE_INFINITY
  choices.forEach((choice: Choice, column) => {
    put(`visit ${choice.visit}`, column)
    const patient = doc.visits[choice.visit]?.patient
    for (let t = choice.start; t < choice.end; t += 5 * MIN) {
      put(`who ${choice.practitioner} ${t}`, column)
      if (choice.room !== null) put(`room ${choice.room} ${t}`, column)
      if (pool < Number.POSITIVE_INFINITY) put(`pool ${t}`, column)
      if (patient) put(`patient ${patient} ${t}`, column)
    }
    const day = new Date(choice.start).toISOString().slice(0, 10)
    const most = practitionersOf(doc).find((p) => p.id === choice.practitioner)?.maxVisitsPerDay
    if (most !== undefined) put(`day ${most} ${choice.practitioner} ${day}`, column)
    if (patient && choice.answer === 'move') put(`moves ${patient}`, column)
  })
  const limitOf = (row: string): number => {
    if (row.startsWith('pool')) return pool
    if (row.startsWith('day')) return Number(row.split(' ')[1])
    if (!row.startsWith('moves')) return 1
    const theirs = doc.visits.filter((visit) => visit.patient === row.slice('moves '.length))
    const before = theirs.reduce((sum, visit) => sum + (visit.moved ?? 0), 0)
    return theirs.length < 2 ? 1 : Math.max(0, (doc.rules?.maxMoves ?? 1) - before)
  }
  const names = [...rows.keys()]
  const starts = [0]
  const indices: number[] = []
  for (const name of names) {
    indices.push(...(rows.get(name) ?? []))
    starts.push(indices.length)
  }
  const program = {
    numCols: choices.length,
    numRows: names.length,
    colCost: choices.map((choice) => choice.cost),
    colLower: choices.map(() => 0),
    colUpper: choices.map(() => 1),
    rowLower: names.map((name) => (name.startsWith('visit') ? 1 : -highs.infinity)),
    rowUpper: names.map(limitOf),
    matrix: {
      format: 'csr' as const,
      numRows: names.length,
      numCols: choices.length,
      starts,
      indices,
      values: indices.map(() => 1),
    },
    integrality: choices.map(() => highs.constants.variableType.integer),
  }
  return highs.withModel(program, (solver) => {
    // With its presolve on, this version calls some feasible programs infeasible.
    solver.options.set({ output_flag: false, presolve: 'off', mip_rel_gap: 0, mip_abs_gap: 0 })
    solver.run()
    expect(solver.getModelStatus()).toBe(highs.constants.modelStatus.optimal)
    return solver.getObjectiveValue()
  })
}

test('a general solver agrees on documents too large for exhaustive search', () => {
  let checked = 0
  for (let seed = 0; seed < 30; seed += 1) {
    const doc = randomDocument(seed, {
      visits: 24,
      slots: 30,
      people: 3,
      days: 4,
      tick: 10,
      ticks: 36,
      lengths: [20, 30, 40],
      slotLengths: [20, 30],
      rooms: 'any',
      limits: seed % 2 === 0,
      growth: 0.5,
      rules: { assessmentMinutes: seed % 3 === 0 ? 15 : 0, costs: { move: 3 }, lengthenMinutes: 10 },
    })
    const plan = planned(doc)
    if (!plan) continue
    checked += 1
    expect(plan.proved).toBe(true)
    expect(plan.cost, `document ${seed}`).toBeCloseTo(binaryProgram(doc), 3)
  }
  expect(checked).toBeGreaterThan(15)
}, 120_000)
