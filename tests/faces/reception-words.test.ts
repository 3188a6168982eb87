/** Readiness, notes and moves in the words of the front desk. */
import { Temporal } from 'temporal-polyfill'
import { describe, expect, test } from 'vitest'
import { DESK_KINDS } from '../../src/desk/store.ts'
import { withoutKeys } from '../../src/faces/reception/answers.ts'
import {
  messageKindWords,
  moveLine,
  noteWords,
  readinessLines,
  stateOf,
  WHAT_TO_DO,
} from '../../src/faces/reception/words.ts'
import { TEMPLATE_IDS, templateOf } from '../../src/messages/render.ts'
import type { Move } from '../../src/softening/moves/store.ts'
import type { DoseDayRow, Screening, StoredPlan } from '../../src/softening/store.ts'
import type { Readiness } from '../../src/softening/types.ts'

const readiness: Readiness = {
  p: 0.43,
  ears: [
    {
      ear: 'left',
      p: 0.43,
      pEnoughDoses: 0.2,
      doses: { mean: 7.4, low: 6, high: 9, outOf: 12 },
      dosesLeft: 4,
    },
    { ear: 'right', p: 0.6, pEnoughDoses: 0.4, doses: { mean: 9, low: 9, high: 9, outOf: 12 }, dosesLeft: 4 },
  ],
  grounds: [],
  stillNeeded: { doses: 3, days: 2 },
  firstReadyDay: '2026-03-10',
  threshold: 0.59,
  ready: false,
  canStillGetThere: true,
  basis: 'doses',
}
const planWith = (of: Partial<Readiness>, status: StoredPlan['status'] = 'active') =>
  ({ status, readiness: { ...readiness, ...of } }) as StoredPlan
const day = (iso: string, done: number | null, some = false) =>
  ({ day: iso, done, some, ear: 'left' }) as DoseDayRow
const screening = (status: Screening['status']) => ({ status }) as Screening
const removal = { purpose: 'removal' } as const

test('how soft, from how many doses, how it is known, whether the rest can do it, and the first day', () => {
  const days = [
    day('2026-03-01', 2),
    day('2026-03-02', null),
    day('2026-03-03', null, true),
    day('2026-03-09', null),
  ]
  expect(readinessLines(planWith({}), screening('answered'), days, '2026-03-03')).toEqual([
    'Likely to be soft enough: 43 %. The clinic asks for 59 %.',
    "Left ear: 6 to 9 of 12 doses so far. Right ear: 9 of 12 doses so far. From the patient's answers on 2 days; no answer on 1 day, which counts as doubt.",
    'The rest of the plan can still get it there: 3 doses of the 4 left must really be done. First day on which it should be ready if the drops go on: Tuesday 10 March.',
  ])
  const cannot = readinessLines(
    planWith({ canStillGetThere: false, firstReadyDay: null }),
    screening('answered'),
    [],
    '2026-03-03',
  )
  expect(cannot.at(-1)).toBe(
    'The rest of the plan (4 doses) is not enough to get it there. As the patient does the drops so far, no day in the coming weeks would make it ready.',
  )
  expect(readinessLines(planWith({ ready: true }), screening('answered'), [], '2026-03-03')).toHaveLength(2)
})

describe('what is not known is not called ready', () => {
  test.each([
    ['asked', undefined, 'open', 'Until it is, no drops are advised.'],
    ['asked-again', planWith({ ready: true }), 'open', 'Until it is, no drops are advised.'],
    ['overdue', undefined, 'not-ready', 'no drops are advised'],
    ['to-person', undefined, 'not-ready', 'No drops for this patient'],
    ['answered', planWith({ ready: true }, 'withheld'), 'not-ready', 'No drops for this patient'],
    ['answered', undefined, 'not-ready', 'There is no plan of drops'],
    ['answered', planWith({ basis: 'no-drops', ears: [] }), 'not-ready', 'cannot make the ear ready in time'],
    ['answered', planWith({ ready: true }), 'ready', 'Likely to be soft enough'],
    ['answered', planWith({ basis: 'not-needed', ready: true }), 'not-needed', 'needs no softening'],
  ] as const)('%s', (status, plan, state, words) => {
    expect(stateOf(removal, plan, screening(status))).toBe(state)
    expect(readinessLines(plan, screening(status), [], '2026-03-03').join(' ')).toContain(words)
  })

  test('a visit that is no removal', () => {
    expect(stateOf({ purpose: 'recheck' }, undefined, undefined)).toBe('not-needed')
  })
})

test('every kind of item says what to do, and every message to a patient has words that tell nothing of what is in it', () => {
  expect(Object.keys(WHAT_TO_DO).sort()).toEqual(Object.keys(DESK_KINDS).sort())
  for (const words of Object.values(WHAT_TO_DO)) expect(words).toMatch(/^[A-Z].+[.?]/)
  for (const id of TEMPLATE_IDS.filter((one) => templateOf(one).audience === 'patient')) {
    const words = messageKindWords(id)
    expect(words, id).not.toMatch(/urgent|pain|safety|distress|emergency/)
    if (/^(safety|clinician|not-understood|reply)/.test(id))
      expect(words, id).toBe('answer to what the patient wrote')
  }
})

test('notes have their days and kinds in words', () => {
  expect(noteWords({ kind: 'needs-visit', note: 'removal, left ear, not before 2026-02-21' })).toBe(
    'removal, left ear, not before Saturday 21 February',
  )
  expect(noteWords({ kind: 'delivery-failed', note: 'aftercare-check: expired' })).toBe(
    'check after the visit: too late to be sent',
  )
  expect(noteWords({ kind: 'wishes-a-call', note: '' })).toBe('')
})

test('a move in one line, and a reason without keys', () => {
  const move = {
    kind: 'move',
    status: 'proposed',
    choices: [
      { slotId: 'a', startAt: '2026-03-10T10:00:00Z', practitionerId: 'p', minutes: 30 },
      { slotId: 'b', startAt: '2026-06-10T10:00:00Z', practitionerId: 'p', minutes: 30 },
    ],
    proposedAt: Temporal.Instant.from('2026-03-01T10:00:00Z'),
  } as unknown as Move
  expect(moveLine(move, 'Europe/London')).toBe(
    'Offered: Tuesday 10 March, 10:00am; or Wednesday 10 June, 11:00am (asked; no answer yet)',
  )
  expect(
    withoutKeys('Moves from A to B, open slot 01a211d6-2197-7c23-8863-a91b0181f5ff: the ear is soft.'),
  ).toBe('Moves from A to B, an open time: the ear is soft.')
})
