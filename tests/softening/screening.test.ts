import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { softeningDefaults as rules } from '../../src/protocol/sections/softening.ts'
import {
  answersFromHistory,
  clinicianDecides,
  noAnswerOutcome,
  noToAll,
  questionsFor,
  screen,
} from '../../src/softening/screening.ts'
import { ANSWERS, HISTORY_KINDS, type ScreeningAnswer } from '../../src/softening/types.ts'

type Given = Record<string, ScreeningAnswer['answer']>
/** No to everything that applies, but for what is given. */
function answers(given: Given, asked: 1 | 2 = 1): ScreeningAnswer[] {
  const list = Object.entries(given).map(([question, answer]) => ({ question, answer, asked }))
  for (;;) {
    const open = questionsFor(list, rules).find(({ id }) => !list.some((one) => one.question === id))
    if (!open) return list
    list.push({ question: open.id, answer: 'no', asked: 1 })
  }
}
const judged = (given: Given, asked: 1 | 2 = 1) => screen(answers(given, asked), rules)

test('a plain no to all: drops as planned, nothing to note, nobody to ask', () => {
  const outcome = screen(noToAll(rules), rules)
  expect(outcome).toEqual({
    decision: 'as-planned',
    agent: 'olive-oil',
    allowed: ['olive-oil', 'sodium-bicarbonate', 'saline'],
    reasons: [],
    clinicianNotes: [],
    extraMinutes: 0,
    longerPlan: false,
    askAgain: [],
    unanswered: [],
    toPerson: false,
    risks: [],
    settled: true,
  })
})

describe('each history, answered yes', () => {
  // history given, decision, risk that it carries
  const cases: Array<[Given, string, string]> = [
    [
      { 'perforation-ever': 'yes', 'perforation-recent': 'no', 'perforation-healed': 'no' },
      'withheld',
      'perforation',
    ],
    [
      { 'perforation-ever': 'yes', 'perforation-recent': 'no', 'perforation-healed': 'yes' },
      'as-planned',
      'perforation',
    ],
    [
      { 'perforation-ever': 'yes', 'perforation-recent': 'yes', 'perforation-healed': 'yes' },
      'withheld',
      'recent-perforation',
    ],
    [{ 'ear-surgery': 'yes' }, 'withheld', 'surgery'],
    [{ 'ear-surgery': 'yes', 'mastoid-cavity': 'yes' }, 'withheld', 'surgery'],
    [{ grommets: 'yes' }, 'withheld', 'grommets'],
    [{ 'infection-recent': 'yes' }, 'as-planned', 'infection'],
    [{ 'infection-recent': 'yes', 'infection-six-weeks': 'yes' }, 'withheld', 'infection'],
    [
      { 'infection-recent': 'yes', 'infection-six-weeks': 'yes', 'infection-now': 'yes' },
      'withheld',
      'infection',
    ],
    [{ 'discharge-year': 'yes' }, 'withheld', 'discharge'],
    [{ 'discharge-year': 'yes', 'discharge-now': 'yes' }, 'withheld', 'discharge'],
    [{ 'allergy-olive': 'yes' }, 'other-agent', 'allergy'],
    [{ 'allergy-nuts': 'yes' }, 'as-planned', 'allergy'],
    [{ 'drops-reaction': 'yes' }, 'withheld', 'drops-reaction'],
    [{ 'only-hearing-ear': 'yes' }, 'as-planned', 'only-hearing-ear'],
    [{ immune: 'yes' }, 'as-planned', 'immunocompromised'],
    [{ diabetes: 'yes' }, 'as-planned', 'diabetes'],
    [{ 'blood-thinners': 'yes' }, 'as-planned', 'anticoagulant'],
  ]
  test.each(cases)('%j: %s', (given, decision, risk) => {
    const outcome = judged(given)
    expect(outcome.decision).toBe(decision)
    expect(outcome.settled).toBe(true)
    expect(outcome.risks).toContain(risk)
    expect(outcome.clinicianNotes.length).toBeGreaterThan(0)
    expect(outcome.reasons.length).toBeGreaterThan(0)
    for (const reason of outcome.reasons) expect(reason.source.length).toBeGreaterThan(3)
    expect(outcome.agent === 'none').toBe(decision === 'withheld')
    expect(outcome.toPerson).toBe(decision === 'withheld')
  })

  test('a recent hole warns the clinician against strong suction and takes more time', () => {
    const outcome = judged({
      'perforation-ever': 'yes',
      'perforation-recent': 'yes',
      'perforation-healed': 'yes',
    })
    expect(outcome.clinicianNotes.join(' ')).toMatch(/no strong suction/)
    expect(outcome.extraMinutes).toBeGreaterThanOrEqual(10)
  })
  test('a recent infection tells the clinician of skin plugs and an inflamed canal', () => {
    expect(judged({ 'infection-recent': 'yes' }).clinicianNotes.join(' ')).toMatch(
      /dead-skin plug and an inflamed canal/,
    )
  })
  test('and gives the longer plan; nothing else does', () => {
    expect(judged({ 'infection-recent': 'yes' }).longerPlan).toBe(true)
    expect(judged({ diabetes: 'yes' }).longerPlan).toBe(false)
  })
  test('an allergy to olives gives the next agent; one to nuts never almond oil', () => {
    expect(judged({ 'allergy-olive': 'yes' }).agent).toBe('sodium-bicarbonate')
    const almond = structuredClone(rules)
    almond.agents = almond.agents.map((agent) => ({ ...agent, advised: agent.id === 'almond-oil' }))
    expect(screen(answers({ 'allergy-nuts': 'yes' }), almond).decision).toBe('withheld')
    expect(screen(answers({ 'allergy-nuts': 'yes' }), almond).toPerson).toBe(true)
    expect(screen(answers({ 'allergy-olive': 'yes' }), almond).agent).toBe('almond-oil')
  })
  test('many together never lengthen the visit beyond the protocol', () => {
    const all = Object.fromEntries(rules.screening.questions.map(({ id }) => [id, 'yes' as const]))
    expect(judged(all).extraMinutes).toBe(rules.screening.maxExtraMinutes.value)
  })
})

describe('unclear answers', () => {
  const all = rules.screening.questions.map(({ id }) => id)
  test.each(all)('%s: asked once more, and nothing is advised meanwhile', (question) => {
    const parent = rules.screening.questions.find(({ id }) => id === question)?.askIf
    const grandparent = rules.screening.questions.find(({ id }) => id === parent?.question)?.askIf
    const above = Object.fromEntries(
      [parent, grandparent].flatMap((p) => (p ? [[p.question, 'yes' as const]] : [])),
    )
    const outcome = judged({ ...above, [question]: 'unsure' })
    expect(outcome.askAgain).toEqual([question])
    if (!parent) expect(outcome.toPerson).toBe(false)
    expect(outcome.decision).toBe('withheld')
    expect(outcome.settled).toBe(false)
  })
  test.each(all)('%s: unclear twice goes to a person', (question) => {
    const outcome = judged({ [question]: 'unsure' }, 2)
    expect(outcome.askAgain).toEqual([])
    expect(outcome.toPerson).toBe(true)
    expect(outcome.clinicianNotes.length).toBeGreaterThan(0)
  })
  test('the second wording settles the first', () => {
    const first = answers({ 'blood-thinners': 'unsure' })
    const outcome = screen([...first, { question: 'blood-thinners', answer: 'no', asked: 2 }], rules)
    expect(outcome.decision).toBe('as-planned')
    expect(outcome.askAgain).toEqual([])
  })
  test('the second wording settles a contradiction too', () => {
    const both = [
      ...answers({ grommets: 'yes' }),
      { question: 'grommets', answer: 'no' as const, asked: 1 as const },
    ]
    const outcome = screen([...both, { question: 'grommets', answer: 'no', asked: 2 }], rules)
    expect(outcome).toMatchObject({ decision: 'as-planned', askAgain: [], settled: true })
  })
  test('unclear twice goes to a person even where no rule says so', () => {
    const own = structuredClone(rules)
    for (const effect of own.screening.effects) effect.toPerson = false
    expect(screen(answers({ diabetes: 'unsure' }, 2), own).toPerson).toBe(true)
    expect(screen(answers({ diabetes: 'yes' }), own).toPerson).toBe(false)
  })
  test('unclear about a question that no longer applies, or is no longer asked, goes to a person at once', () => {
    for (const question of ['perforation-recent', 'asked-in-an-earlier-version']) {
      const outcome = screen([...noToAll(rules), { question, answer: 'unsure', asked: 1 }], rules)
      expect(outcome).toMatchObject({ askAgain: [], settled: true, toPerson: true })
    }
    const left = screen(
      [...noToAll(rules), { question: 'perforation-recent', answer: 'unsure', asked: 1 }],
      rules,
    )
    expect(left.decision).toBe('withheld')
  })
  test('told late, after the second wording was answered no, it still stops the drops and goes to a person', () => {
    const second = [
      ...answers({}),
      { question: 'perforation-ever', answer: 'no' as const, asked: 2 as const },
    ]
    expect(screen(second, rules).decision).toBe('as-planned')
    const late = screen([...second, ...answersFromHistory(['perforation'])], rules)
    expect(late).toMatchObject({ decision: 'withheld', toPerson: true })
  })
  test('yes and no to one question contradict each other and are asked again', () => {
    const outcome = screen(
      [...answers({ grommets: 'yes' }), { question: 'grommets', answer: 'no', asked: 1 }],
      rules,
    )
    expect(outcome.askAgain).toEqual(['grommets'])
    expect(outcome.decision).toBe('withheld')
  })
})

describe('in doubt withheld', () => {
  test('nothing answered, or one question open, advises nothing', () => {
    expect(screen([], rules).decision).toBe('withheld')
    for (const left of noToAll(rules)) {
      const outcome = screen(
        noToAll(rules).filter(({ question }) => question !== left.question),
        rules,
      )
      expect(outcome.decision).toBe('withheld')
      expect(outcome.unanswered).toEqual([left.question])
    }
  })
  test('no answer by the deadline: no drops, reception, and what was said is kept', () => {
    const outcome = noAnswerOutcome(rules, answersFromHistory(['anticoagulant']))
    expect(outcome).toMatchObject({
      decision: 'withheld',
      agent: 'none',
      allowed: [],
      toPerson: true,
      settled: true,
      askAgain: [],
    })
    expect(outcome.risks).toEqual(['anticoagulant'])
    expect(outcome.reasons.map((reason) => reason.rule)).toContain('screen-no-answer')
    expect(noAnswerOutcome(rules).toPerson).toBe(true)
  })

  const anyAnswers = fc.uniqueArray(
    fc.record({
      question: fc.constantFrom(...rules.screening.questions.map(({ id }) => id)),
      answer: fc.constantFrom(...ANSWERS),
      asked: fc.constantFrom(1 as const, 2 as const),
    }),
    { selector: (one) => one.question, maxLength: 20 },
  )
  test('one more contraindication never turns withheld into advised, nor takes a note or a risk away', () => {
    const contraindications = rules.screening.questions
      .map(({ id }) => id)
      .filter((id) => id !== 'perforation-healed')
    fc.assert(
      fc.property(
        anyAnswers,
        fc.constantFrom(...contraindications),
        fc.constantFrom('yes' as const, 'unsure' as const),
        (given, question, worse) => {
          const start = [
            ...noToAll(rules).filter(({ question: id }) => !given.some((one) => one.question === id)),
            ...given,
          ]
          const before = screen(
            start.map((one) => (one.question === question ? { ...one, answer: 'no' } : one)),
            rules,
          )
          const after = screen(
            [...start.filter((one) => one.question !== question), { question, answer: worse, asked: 2 }],
            rules,
          )
          expect(before.allowed).toEqual(expect.arrayContaining(after.allowed))
          if (before.decision === 'withheld') expect(after.decision).toBe('withheld')
          expect(after.extraMinutes).toBeGreaterThanOrEqual(before.extraMinutes)
          expect(after.risks).toEqual(expect.arrayContaining(before.risks))
          expect(after.clinicianNotes).toEqual(expect.arrayContaining(before.clinicianNotes))
        },
      ),
      { numRuns: 2000 },
    )
  })
  test('a contraindication told last, whatever was said before and however it was asked, advises nothing', () => {
    const withholding = rules.screening.effects
      .filter((effect) => effect.excludes === 'all' && effect.answers.includes('yes'))
      .map((effect) => effect.question)
    expect(withholding.length).toBeGreaterThan(6)
    const anyOrder = fc.array(
      fc.record({
        question: fc.constantFrom(...rules.screening.questions.map(({ id }) => id)),
        answer: fc.constantFrom(...ANSWERS),
        asked: fc.constantFrom(1 as const, 2 as const),
      }),
      { maxLength: 40 },
    )
    fc.assert(
      fc.property(
        anyOrder,
        fc.constantFrom(...withholding),
        fc.constantFrom(1 as const, 2 as const),
        (given, question, asked) => {
          const outcome = screen([...noToAll(rules), ...given, { question, answer: 'yes', asked }], rules)
          expect(outcome.decision).toBe('withheld')
        },
      ),
      { numRuns: 1000 },
    )
  })
  test('a hole not known to have closed is never less than one that has', () => {
    const closed = judged({ 'perforation-ever': 'yes', 'perforation-healed': 'yes' })
    for (const answer of ['no', 'unsure'] as const) {
      const open = judged({ 'perforation-ever': 'yes', 'perforation-healed': answer }, 2)
      expect(closed.allowed).toEqual(expect.arrayContaining(open.allowed))
      expect(open.decision).toBe('withheld')
    }
  })
})

describe('free words', () => {
  test('every kind of history answers, and none of them ever advises more than a plain no', () => {
    for (const kind of HISTORY_KINDS) {
      const given = answersFromHistory([kind])
      expect(given.length).toBeGreaterThan(0)
      expect(given.every((one) => one.answer !== 'no')).toBe(true)
      const outcome = screen(given, rules)
      expect(outcome.risks.length).toBeGreaterThan(0)
      expect(outcome.decision).toBe('withheld')
    }
  })
  test('an allergy without its name is asked again for each oil', () => {
    expect(screen(answersFromHistory(['allergy']), rules).askAgain.toSorted()).toEqual([
      'allergy-nuts',
      'allergy-olive',
    ])
  })
  test('the words are kept', () => {
    expect(answersFromHistory(['diabetes'], 1, 'type 2')[0]?.words).toBe('type 2')
  })
})

test('a clinician settles it, and the notes and risks stay', () => {
  const open = judged({ 'infection-recent': 'yes', 'infection-six-weeks': 'yes' })
  const settled = clinicianDecides(
    open,
    { agent: 'olive-oil', by: 'A. Sample', why: 'Canal seen dry and whole' },
    rules,
  )
  expect(settled).toMatchObject({
    decision: 'as-planned',
    agent: 'olive-oil',
    toPerson: false,
    settled: true,
  })
  expect(settled.risks).toEqual(open.risks)
  expect(settled.clinicianNotes).toEqual(open.clinicianNotes)
  expect(() => clinicianDecides(open, { agent: 'water', by: 'A', why: 'x' }, rules)).toThrow(
    /does not advise water/,
  )
  expect(clinicianDecides(open, { agent: 'none', by: 'A', why: 'x' }, rules).decision).toBe('withheld')
})

test('every question has two wordings, and every unclear answer a rule', () => {
  for (const question of rules.screening.questions) {
    expect(question.again).not.toBe(question.text)
    expect(
      rules.screening.effects.some(
        (effect) => effect.question === question.id && effect.answers.includes('unsure'),
      ),
    ).toBe(true)
  }
})
