import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { difficulty, earDifficulty, harder, holds } from '../../src/aftercare/difficulty.ts'
import { CANAL, type EarRecord, FELT, FOUND, METHODS } from '../../src/aftercare/record.ts'
import { aftercareSchema, DIFFICULTY, defaultAftercare } from '../../src/protocol/sections/aftercare.ts'
import { anyEar, anyRecord, ear, record } from './records.ts'

const rules = defaultAftercare
const rank = (level: (typeof DIFFICULTY)[number]): number => DIFFICULTY.indexOf(level)

describe('one ear', () => {
  test.each<[string, Partial<EarRecord>, string, string[]]>([
    ['soft wax sucked out', {}, 'easy', []],
    ['firm wax', { softness: 'firm' }, 'ordinary', ['difficult-firm']],
    ['a hook', { methods: ['suction', 'instrument'] }, 'ordinary', ['difficult-instrument']],
    ['a cough', { felt: ['coughed'] }, 'ordinary', ['difficult-discomfort']],
    [
      'a dry skin plug',
      { softness: 'hard-and-dry', found: ['skin-plug'] },
      'hard',
      ['difficult-hard-and-dry', 'difficult-skin-plug'],
    ],
    ['a sore canal', { canal: ['sore'] }, 'hard', ['difficult-sore-canal']],
    ['a reddened drum', { drum: 'inflamed' }, 'hard', ['difficult-inflamed-drum']],
    ['part of it left', { result: 'part-cleared' }, 'hard', ['difficult-part-cleared']],
    ['all of it left', { result: 'not-cleared' }, 'hard', ['difficult-part-cleared']],
    ['a hole that has healed', { drum: 'healed-perforation' }, 'hard', ['difficult-healed-perforation']],
    ['a graze', { canal: ['grazed'] }, 'traumatic', ['difficult-grazed-canal']],
    ['a bleed', { canal: ['bleeding'] }, 'traumatic', ['difficult-bleeding-canal']],
    ['a hole in the drum', { drum: 'perforated' }, 'traumatic', ['difficult-perforated-drum']],
    [
      'three hard reasons together',
      { softness: 'hard-and-dry', canal: ['sore'], felt: ['pain'] },
      'traumatic',
      ['difficult-hard-and-dry', 'difficult-sore-canal', 'difficult-pain', 'difficult-many-reasons'],
    ],
  ])('%s', (_, changes, level, reasons) => {
    const judged = earDifficulty(ear(changes), rules)
    expect(judged.level).toBe(level)
    expect(judged.reasons.map(({ id }) => id)).toEqual(reasons)
  })
})

test('a condition holds when each field that it names holds, by any of the values given', () => {
  const given = ear({ found: ['foreign-body', 'soft-wax'], result: 'part-cleared' })
  expect(holds({ found: ['foreign-body'], result: ['part-cleared', 'not-cleared'] }, given)).toBe(true)
  expect(holds({ found: ['foreign-body'], result: ['cleared'] }, given)).toBe(false)
  expect(holds({ found: ['discharge'], result: ['part-cleared'] }, given)).toBe(false)
  expect(holds({ difficulty: ['hard'] }, given, 'hard')).toBe(true)
  expect(holds({ difficulty: ['hard'] }, given, 'easy')).toBe(false)
  expect(holds({ difficulty: ['hard'] }, given)).toBe(false)
})

test('two hard reasons are not yet traumatic', () => {
  expect(earDifficulty(ear({ canal: ['sore'], felt: ['pain'] }), rules).level).toBe('hard')
})

test('the count that makes many reasons traumatic is the protocol row', () => {
  const strict = { ...rules, hardTogether: { ...rules.hardTogether, count: 2 } }
  expect(earDifficulty(ear({ canal: ['sore'], felt: ['pain'] }), strict).level).toBe('traumatic')
})

/** A record with one thing more in one of its lists. */
const oneMore = fc.tuple(
  anyEar,
  fc.oneof(
    ...(
      [
        ['found', FOUND],
        ['methods', METHODS],
        ['canal', CANAL.filter((word) => word !== 'normal')],
        ['felt', FELT.filter((word) => word !== 'nothing')],
      ] as const
    ).map(([field, values]) => fc.tuple(fc.constant(field), fc.constantFrom<string>(...values))),
  ),
)

test('one more finding never makes a removal easier', () => {
  fc.assert(
    fc.property(oneMore, ([given, [field, value]]) => {
      const more = { ...given, [field]: [...new Set([...given[field], value])] } as EarRecord
      expect(rank(earDifficulty(more, rules).level)).toBeGreaterThanOrEqual(
        rank(earDifficulty(given, rules).level),
      )
    }),
    { numRuns: 500 },
  )
})

test('a procedure is as hard as its harder ear, in either order, and every level above easy has a reason', () => {
  fc.assert(
    fc.property(anyRecord, ({ ears }) => {
      const whole = difficulty({ ears }, rules)
      expect(whole.level).toBe(ears.map((one) => earDifficulty(one, rules).level).reduce(harder))
      expect(difficulty({ ears: ears.toReversed() }, rules).level).toBe(whole.level)
      expect(whole.level === 'easy').toBe(whole.reasons.length === 0)
      for (const { ear: side } of whole.reasons) expect(ears.map((one) => one.ear)).toContain(side)
    }),
  )
})

test('each reason names its ear', () => {
  const { reasons } = difficulty(record({ softness: 'firm' }, { canal: ['sore'] }), rules)
  expect(reasons.map(({ id, ear: side }) => [id, side])).toEqual([
    ['difficult-firm', 'left'],
    ['difficult-sore-canal', 'right'],
  ])
})

describe('the rules', () => {
  test('have ids of their own, a text and a source, and pass their schema unchanged', () => {
    expect(aftercareSchema.parse(structuredClone(rules))).toEqual(rules)
    const { difficulty: hard, schedule, silence, drops, visits, notes, deadlines, escalation } = rules
    const rows = [
      ...hard,
      ...schedule,
      ...silence,
      ...drops,
      ...visits,
      ...notes,
      ...deadlines,
      ...escalation,
    ]
    const singles = [rules.hardTogether, rules.checkGap, rules.answerWithin, rules.warnFraction]
    const ids = [...rows, ...singles].map(({ id }) => id)
    expect(new Set(ids).size).toBe(ids.length)
  })

  test.each([
    ['a level without a schedule', { schedule: rules.schedule.slice(1) }],
    ['an urgency without a deadline', { deadlines: rules.deadlines.slice(1) }],
    ['a stage without a person', { escalation: rules.escalation.slice(1) }],
    ['a level without a rule for silence', { silence: rules.silence.slice(1) }],
    ['a rule that always holds', { visits: [{ ...rules.visits[0], when: {} }] }],
    [
      'a difficulty that depends on itself',
      { difficulty: [{ ...rules.difficulty[0], when: { difficulty: ['easy'] } }] },
    ],
    ['a schedule without checks', { schedule: rules.schedule.map((row) => ({ ...row, checks: [] })) }],
    ['a warning at the deadline itself', { warnFraction: { ...rules.warnFraction, fraction: 1 } }],
  ])('refuse %s', (_, wrong) => {
    expect(aftercareSchema.safeParse({ ...rules, ...wrong }).success).toBe(false)
  })
})
