import { describe, expect, test } from 'vitest'
import { optionsFor, proposalChoices } from '../../../src/softening/moves/choices.ts'
import { MovesInputError } from '../../../src/softening/moves/input.ts'
import { movesModel, planOf } from '../../../src/softening/moves/plan.ts'
import type { Choice } from './brute.ts'
import { choicesOf, wrongs } from './brute.ts'
import { randomDocument, smallDocument } from './cases.ts'

const clinic = movesModel({
  now: '2026-03-09T08:00:00Z',
  zone: 'UTC',
  visits: [
    {
      id: 'a',
      start: '2026-03-10T09:00:00Z',
      minutes: 30,
      practitioner: 'anna',
      readiness: { '2026-03-10': 0.15, '2026-03-12': 0.7, '2026-03-13': 0.9 },
    },
    { id: 'b', start: '2026-03-13T09:00:00Z', minutes: 30, practitioner: 'anna', readiness: 0.95 },
  ],
  openSlots: [
    { id: 's1', start: '2026-03-12T10:00:00Z', minutes: 30, practitioner: 'anna' },
    { id: 's2', start: '2026-03-13T10:00:00Z', minutes: 30, practitioner: 'ben' },
    { id: 's3', start: '2026-03-10T09:30:00Z', minutes: 30, practitioner: 'anna' },
    { id: 's4', start: '2026-03-13T15:00:00Z', minutes: 30, practitioner: 'ben' },
  ],
})

describe('the possible answers for one visit', () => {
  const answers = optionsFor(clinic, 'a')

  test('come best first, with what each saves against staying', () => {
    expect(answers.map(({ action, slot, saving }) => [action, slot, saving])).toEqual([
      ['move', 's2', 68 - 24],
      ['move', 's4', 68 - 24],
      ['swap', null, 68 + 4 - 24 - 14],
      ['move', 's1', 68 - 38],
      ['assessment', null, 28],
      ['lengthen', null, 68 - 49],
      ['stay', null, 0],
      ['move', 's3', -10],
    ])
  })

  test('each have one sentence', () => {
    for (const { reason } of answers) expect(reason).toMatch(/^[A-Z].*\.$/)
    expect(answers.at(-2)?.reason).toBe(
      'Keeps its time: the ear is 15 % likely to be soft enough then, at an expected cost of 68.',
    )
  })

  test('keep an urgent visit and say why', () => {
    const [first] = optionsFor(
      movesModel({
        now: '2026-03-09T08:00:00Z',
        visits: [
          {
            id: 'a',
            start: '2026-03-10T09:00:00Z',
            minutes: 30,
            practitioner: 'anna',
            pain: true,
            readiness: 0.2,
          },
        ],
        openSlots: [{ id: 's', start: '2026-03-12T09:00:00Z', minutes: 30, practitioner: 'anna' }],
      }),
      'a',
    )
    expect(first).toMatchObject({ action: 'stay' })
    expect(first?.reason).toContain('urgent or in pain, it is never pushed back')
  })

  test('are refused for a visit that is not there', () => {
    expect(() => optionsFor(clinic, 'z')).toThrow(RangeError)
  })

  test('are each feasible while the others stay, and none is missed', () => {
    let seen = 0
    for (let seed = 0; seed < 300; seed += 1) {
      const doc = smallDocument(seed)
      try {
        movesModel(doc)
      } catch (error) {
        expect(error).toBeInstanceOf(MovesInputError)
        continue
      }
      const model = movesModel(doc)
      const all = choicesOf(doc)
      const stays = all.map((list) => list.find((choice) => choice.answer === 'stay'))
      doc.visits.forEach((visit, i) => {
        const feasible = (all[i] ?? []).filter(
          (choice) => wrongs(doc, stays.map((stay, k) => (k === i ? choice : stay)) as never).length === 0,
        )
        const offered = optionsFor(model, visit.id).filter((answer) => answer.action !== 'swap')
        expect(offered.map((answer) => answer.cost.toFixed(4)).sort()).toEqual(
          feasible.map((choice) => choice.cost.toFixed(4)).sort(),
        )
        seen += offered.length
      })
    }
    expect(seen).toBeGreaterThan(1000)
  })
})

/** Whole thousandths; `+ 0` makes a negative zero plain. */
const thousandths = (cost: number): number => Math.round(cost * 1000) + 0

test('a swap is offered where both may make it and every limit is kept', () => {
  let swaps = 0
  for (let seed = 0; seed < 400; seed += 1) {
    const doc = smallDocument(seed)
    let model: ReturnType<typeof movesModel>
    try {
      model = movesModel(doc)
    } catch {
      continue
    }
    const all = choicesOf(doc)
    const stays = all.map((list) => list.find((choice) => choice.answer === 'stay') as Choice)
    doc.visits.forEach((visit, i) => {
      const offered = optionsFor(model, visit.id).filter((answer) => answer.action === 'swap')
      const possible = doc.visits.flatMap((other, k) => {
        const into = (mover: number, place: Choice): Choice | undefined =>
          all[mover]?.find(
            (choice) =>
              choice.answer === 'move' &&
              choice.start === place.start &&
              choice.practitioner === place.practitioner &&
              choice.room === place.room,
          )
        const to = into(i, stays[k] as Choice)
        const back = into(k, stays[i] as Choice)
        if (k === i || !to || !back) return []
        const after = stays.map((stay, n) => (n === i ? to : n === k ? back : stay))
        const saving = (stays[i]?.cost ?? 0) + (stays[k]?.cost ?? 0) - to.cost - back.cost
        return wrongs(doc, after).length === 0 ? [`${other.id} ${thousandths(saving)}`] : []
      })
      expect(offered.map((o) => `${o.swapWith} ${thousandths(o.saving)}`).sort()).toEqual(possible.sort())
      swaps += offered.length
    })
  }
  expect(swaps).toBeGreaterThan(200)
})

describe('times for the patient to choose from', () => {
  test('at most three, in order of time, each better than staying', () => {
    const choices = proposalChoices(clinic, planOf(clinic), 'a')
    expect(choices.map(({ slot, planned }) => [slot, planned])).toEqual([
      ['s1', false],
      ['s2', true],
      ['s4', false],
    ])
    expect(proposalChoices(clinic, planOf(clinic), 'a', 1)).toHaveLength(1)
    expect(proposalChoices(clinic, planOf(clinic), 'b')).toEqual([])
  })

  test('none but the planned one touches a time that somebody has, now or in the plan', () => {
    let offered = 0
    for (let seed = 0; seed < 20; seed += 1) {
      const doc = randomDocument(seed, {
        visits: 20,
        slots: 30,
        people: 3,
        days: 5,
        tick: 15,
        ticks: 24,
        lengths: [15, 30],
        slotLengths: [15, 30],
        growth: 0.5,
        rules: { assessmentMinutes: 0, costs: { move: 2 } },
      })
      const model = movesModel(doc)
      const plan = planOf(model)
      for (const visit of plan.visits) {
        const choices = proposalChoices(model, plan, visit.id)
        expect(choices.length).toBeLessThanOrEqual(3)
        expect(choices.filter((choice) => choice.planned).length).toBe(
          ['move', 'swap', 'take-freed'].includes(visit.action) ? 1 : 0,
        )
        for (const choice of choices.filter((one) => !one.planned)) {
          offered += 1
          expect(choice.saving).toBeGreaterThan(0)
          const from = Date.parse(choice.start)
          const to = from + choice.minutes * 60_000
          for (const other of plan.visits.filter((one) => one.id !== visit.id))
            for (const timing of [other, other.was]) {
              const start = Date.parse(timing.start)
              const apart =
                timing.practitioner !== choice.practitioner ||
                start >= to ||
                start + timing.minutes * 60_000 <= from
              expect(apart).toBe(true)
            }
        }
      }
    }
    expect(offered).toBeGreaterThan(20)
  })
})
