/** What every plan must keep, on random documents, read back from the printed plan alone. */
import { describe, expect, test } from 'vitest'
import type { MovesInput } from '../../../src/softening/moves/input.ts'
import { MovesInputError } from '../../../src/softening/moves/input.ts'
import type { MovesPlan, PlannedVisit } from '../../../src/softening/moves/plan.ts'
import { planMoves } from '../../../src/softening/moves/plan.ts'
import type { Choice } from './brute.ts'
import { choicesOf, wrongs } from './brute.ts'
import { randomDocument, randomFrom, smallDocument } from './cases.ts'

const KIND = {
  stay: 'stay',
  move: 'move',
  swap: 'move',
  'take-freed': 'move',
  lengthen: 'lengthen',
  assessment: 'assessment',
} as const

interface Case {
  doc: MovesInput
  plan: MovesPlan
  chosen: Choice[]
  stays: Choice[]
  of: (id: string) => PlannedVisit
}

/** The printed plan as choices of the second reading of the rules; fails where the plan does what they bar. */
function readBack(doc: MovesInput, plan: MovesPlan): Case {
  const byId = new Map(plan.visits.map((visit) => [visit.id, visit]))
  const of = (id: string): PlannedVisit => byId.get(id) as PlannedVisit
  const choices = choicesOf(doc)
  const chosen = doc.visits.map((visit, i) => {
    const printed = of(visit.id)
    const start = Date.parse(printed.start)
    const match = choices[i]?.find(
      (choice) =>
        choice.answer === KIND[printed.action] &&
        choice.start === start &&
        choice.end === start + printed.minutes * 60_000 &&
        choice.practitioner === printed.practitioner &&
        choice.room === printed.room,
    )
    expect(match, `${visit.id}: ${printed.action} is not allowed`).toBeDefined()
    expect(printed.cost).toBeCloseTo((match as Choice).cost, 5)
    return match as Choice
  })
  const stays = choices.map((list) => list.find((choice) => choice.answer === 'stay') as Choice)
  return { doc, plan, chosen, stays, of }
}

function* cases(): Generator<Case> {
  for (let seed = 10_000; seed < 11_000; seed += 1) {
    const doc =
      seed % 10 === 0
        ? randomDocument(seed, {
            visits: 30,
            slots: 40,
            people: 4,
            days: 5,
            tick: 15,
            ticks: 24,
            lengths: [15, 30, 45],
            slotLengths: [15, 30],
            rooms: 'any',
            limits: true,
            growth: 0.4,
            rules: { costs: { move: 2 }, noticeHours: 12 },
          })
        : smallDocument(seed)
    try {
      yield readBack(doc, planMoves(doc))
    } catch (error) {
      if (!(error instanceof MovesInputError)) throw error
    }
  }
}

describe('every plan', () => {
  const all = [...cases()]
  const changed = all.flatMap(({ doc, of }) => doc.visits.map((visit) => ({ doc, visit, now: of(visit.id) })))
  const moved = changed.filter(({ now }) => KIND[now.action] === 'move')

  test('was drawn often enough to show something', () => {
    expect(all.length).toBeGreaterThan(900)
    expect(moved.length).toBeGreaterThan(500)
    for (const action of Object.keys(KIND))
      expect(changed.filter(({ now }) => now.action === action).length, action).toBeGreaterThan(20)
  })

  test('double-books no practitioner, room or patient, and keeps the limits of rooms and days', () => {
    for (const { doc, chosen } of all) expect(wrongs(doc, chosen)).toEqual([])
  })

  test('moves nobody within the notice, neither away nor to', () => {
    for (const { doc, visit, now } of moved) {
      const earliest = Date.parse(doc.now) + (doc.rules?.noticeHours ?? 24) * 3_600_000
      expect(Date.parse(visit.start)).toBeGreaterThanOrEqual(earliest)
      expect(Date.parse(now.start)).toBeGreaterThanOrEqual(earliest)
    }
  })

  test('moves nobody more often than the rules allow', () => {
    for (const { doc, visit } of moved) expect(visit.moved ?? 0).toBeLessThan(doc.rules?.maxMoves ?? 1)
  })

  test('pushes nobody in pain or urgent back, and puts off no removal of theirs', () => {
    const urgent = changed.filter(({ visit }) => visit.pain || visit.urgency === 'urgent')
    expect(urgent.length).toBeGreaterThan(300)
    for (const { visit, now } of urgent) {
      expect(Date.parse(now.start)).toBeLessThanOrEqual(Date.parse(visit.start))
      expect(now.action).not.toBe('assessment')
    }
  })

  test('leaves what is fixed', () => {
    const fixed = changed.filter(({ visit }) => visit.fixed)
    expect(fixed.length).toBeGreaterThan(10)
    for (const { now } of fixed) expect(now.action).toBe('stay')
  })

  test('adds up: visits to the cost, groups to the saving', () => {
    for (const { plan } of all) {
      const sum = (numbers: number[]): number => numbers.reduce((a, b) => a + b, 0)
      expect(sum(plan.visits.map((visit) => visit.cost))).toBeCloseTo(plan.cost, 5)
      expect(sum(plan.visits.map((visit) => visit.costIfKept))).toBeCloseTo(plan.baseline, 5)
      expect(sum(plan.groups.map((group) => group.saving))).toBeCloseTo(plan.saving, 5)
      expect(plan.baseline - plan.cost).toBeCloseTo(plan.saving, 5)
      expect(plan.bound).toBeLessThanOrEqual(plan.cost)
    }
  })

  test('has groups that can each be done alone or left out, and that each save something', () => {
    for (const { doc, plan, chosen, stays } of all)
      for (const group of plan.groups) {
        expect(group.saving).toBeGreaterThan(0)
        const alone = doc.visits.map((visit, i) =>
          group.visits.includes(visit.id) ? (chosen[i] as Choice) : (stays[i] as Choice),
        )
        const without = doc.visits.map((visit, i) =>
          group.visits.includes(visit.id) ? (stays[i] as Choice) : (chosen[i] as Choice),
        )
        expect(wrongs(doc, alone)).toEqual([])
        expect(wrongs(doc, without)).toEqual([])
      }
  })

  test('gives each visit one sentence', () => {
    for (const { now } of changed) expect(now.reason).toMatch(/^[A-Z][^.]*(\.\d[^.]*)*\.$/)
  })

  test('says so when no action helps', () => {
    const idle = all.filter(({ plan }) => plan.saving === 0)
    expect(idle.length).toBeGreaterThan(100)
    for (const { plan } of idle) {
      expect(plan.summary).toContain('No action helps')
      expect(plan.visits.every((visit) => visit.action === 'stay')).toBe(true)
    }
  })
})

test('the same plan whatever the order of visits and slots', () => {
  const shuffled = <T>(list: readonly T[], random: () => number): T[] =>
    list
      .map((item) => ({ item, at: random() }))
      .sort((a, b) => a.at - b.at)
      .map(({ item }) => item)
  for (let seed = 0; seed < 200; seed += 1) {
    const doc = smallDocument(seed)
    const random = randomFrom(seed)
    const other = {
      ...doc,
      visits: shuffled(doc.visits, random),
      openSlots: shuffled(doc.openSlots ?? [], random),
    }
    let plan: MovesPlan
    try {
      plan = planMoves(doc)
    } catch {
      continue
    }
    expect(planMoves(other)).toEqual(plan)
  }
})

test('a document that is longer by one open slot never costs more', () => {
  for (let seed = 0; seed < 200; seed += 1) {
    const doc = smallDocument(seed)
    const fewer = { ...doc, openSlots: (doc.openSlots ?? []).slice(0, -1) }
    let cost: number
    try {
      cost = planMoves(fewer).cost
    } catch {
      continue
    }
    expect(planMoves(doc).cost).toBeLessThanOrEqual(cost)
  }
})
