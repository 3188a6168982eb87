import fc from 'fast-check'
import { expect, test } from 'vitest'
import { softeningDefaults as rules } from '../../src/protocol/sections/softening.ts'
import { type DaySheetVisit, daySheetLine } from '../../src/softening/day-sheet.ts'
import { planSoftening } from '../../src/softening/plan.ts'
import { defaultModel } from '../../src/softening/prior.ts'
import { readiness } from '../../src/softening/readiness.ts'
import { noAnswerOutcome, noToAll, screen } from '../../src/softening/screening.ts'
import type { ScreeningAnswer, ScreeningOutcome } from '../../src/softening/types.ts'

const visit: DaySheetVisit = {
  time: '10:40',
  name: 'Ada Sample',
  purpose: 'removal',
  ears: ['left'],
  lengthMinutes: 30,
}
const yesTo = (...questions: string[]): ScreeningOutcome =>
  screen(
    noToAll(rules).map(
      (one): ScreeningAnswer => (questions.includes(one.question) ? { ...one, answer: 'yes' } : one),
    ),
    rules,
  )
const planFor = (outcome: ScreeningOutcome) =>
  planSoftening(
    {
      outcome,
      visitStart: '2026-11-20T10:40:00Z',
      zone: 'Europe/London',
      now: '2026-11-09T09:00:00Z',
      purpose: 'removal',
      ears: ['left'],
      urgent: false,
      previousDoses: [],
      recurrentDeadSkin: false,
    },
    rules,
  )

test('a plain visit is short', () => {
  const outcome = yesTo()
  const plan = planFor(outcome)
  const ready = readiness({ plan, today: '2026-11-15', doseDays: [] }, rules, defaultModel(rules.adherence))
  expect(daySheetLine(visit, outcome, plan, ready)).toBe(
    `10:40 Ada Sample, removal, left ear, 30 min | olive oil, 5 days | soft enough: ${Math.round(ready.p * 100)} %`,
  )
})
test('every note of the history is on the line, the longer visit and the person to settle it too', () => {
  const outcome = yesTo('grommets', 'blood-thinners', 'only-hearing-ear')
  const line = daySheetLine(visit, outcome, planFor(outcome))
  expect(line).toMatch(/\| NO DROPS \|/)
  for (const note of outcome.clinicianNotes) expect(line).toContain(note)
  expect(line).toContain(`allow ${outcome.extraMinutes} min more`)
  expect(line).toContain('A PERSON MUST SETTLE THE HISTORY')
})
test('what is not known is said, never left out', () => {
  expect(daySheetLine(visit, null)).toContain('HISTORY NOT ASKED')
  expect(daySheetLine(visit, screen([], rules))).toContain('HISTORY OPEN, no drops advised')
  expect(daySheetLine(visit, noAnswerOutcome(rules))).toContain(
    'History not answered before the visit: ask in the room.',
  )
  expect(daySheetLine({ ...visit, ears: [] }, null)).toContain('ear not given')
})
test('always one line, whatever the name', () => {
  fc.assert(
    fc.property(fc.string({ unit: 'grapheme' }), (name) => {
      expect(daySheetLine({ ...visit, name }, yesTo('diabetes'))).not.toMatch(/[\n\r\u0085\u2028\u2029]/)
    }),
  )
  expect(daySheetLine({ ...visit, name: 'Ada\r\nSample\u2028x\u0085y' }, null)).toContain('Ada Sample x y')
})
