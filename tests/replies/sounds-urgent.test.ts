/** Words that sound urgent: raised to the same day, with the words shown; never lowered, never drowned by filler. */
import { readFileSync } from 'node:fs'
import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { moreUrgent } from '../../src/protocol/rule.ts'
import { defaultUrgencyRules } from '../../src/protocol/sections/urgency.ts'
import { caseOf, judge, judgeReading, readAndJudge, readReply } from '../../src/replies/judge.ts'
import { soundsUrgent } from '../../src/replies/sounds-urgent.ts'
import { corpus, fileOf, scoreOf, train, URGENT } from './train-third-reader.ts'

const rows = corpus()
const judged = rows.map((row) => {
  const reading = readReply(row)
  const byRules = judge(reading, caseOf(row), defaultUrgencyRules)
  return { row, byRules, both: judgeReading(reading, caseOf(row), defaultUrgencyRules) }
})
const raised = judged.filter(({ both }) => both.judgement.why.includes('u-sounds-urgent'))
const isUrgent = (u: string) => u === 'today' || u === 'now'

describe('what it may do', () => {
  test('it raises to the same day what the rules left below it, keeps the flags, and shows the words', () => {
    expect(raised.length).toBeGreaterThan(0)
    for (const { byRules, both, row } of raised) {
      expect(isUrgent(byRules.urgency)).toBe(false)
      expect(both.judgement.urgency).toBe('today')
      expect(both.judgement.flags).toEqual(byRules.flags)
      const doubts = both.reading.doubts.filter(({ rule }) => rule === 'u-sounds-urgent')
      expect(doubts.length).toBeGreaterThan(0)
      for (const { start, end, words } of doubts) expect(row.text.slice(start, end)).toBe(words)
    }
  })

  test('more urgent replies than harmless ones are raised', () => {
    const of = (wanted: (u: string) => boolean) =>
      raised.filter(({ row }) => wanted(row.expect.urgency)).length
    expect(of(isUrgent)).toBeGreaterThan(of((u) => u === 'none'))
  })

  test('it never lowers anything, whatever the text and the question', () => {
    fc.assert(
      fc.property(
        fc.oneof(fc.string({ unit: 'binary', maxLength: 300 }), fc.constantFrom(...rows.map((r) => r.text))),
        fc.constantFrom('softening', 'aftercare', 'screening'),
        fc.constantFrom(undefined, 'pain', 'doses'),
        (text, context, question) => {
          const input = { context, text, question }
          const byRules = judge(readReply(input), caseOf(input), defaultUrgencyRules).urgency
          const both = readAndJudge(input, defaultUrgencyRules).judgement.urgency
          expect(moreUrgent(byRules, both)).toBe(both)
        },
      ),
      { numRuns: 300 },
    )
  })

  test('filler before and after does not drown what it heard', () => {
    const filler =
      'I went to the shops for some bread and the bus was late as it ever is, then home for a cup of tea. '
    for (const { row } of raised.filter(({ row: r }) => isUrgent(r.expect.urgency)).slice(0, 10)) {
      const { judgement } = readAndJudge(
        { ...row, text: `${filler}${row.text}. ${filler}` },
        defaultUrgencyRules,
      )
      expect([row.text, judgement.urgency !== 'none']).toEqual([row.text, true])
    }
  })

  test('another language is left to whoever reads it', () => {
    for (const { row, both } of judged)
      if (both.reading.language !== 'en') expect([row.id, soundsUrgent(both.reading)]).toEqual([row.id, []])
  })

  test('a clinic whose signed protocol has no row for it gets "unclear" at least', () => {
    const older = {
      ...defaultUrgencyRules,
      doubts: defaultUrgencyRules.doubts.filter(({ id }) => id !== 'u-sounds-urgent'),
    }
    for (const { row, byRules } of raised) {
      const { urgency } = readAndJudge(row, older).judgement
      expect(urgency).toBe(moreUrgent(byRules.urgency, 'unclear'))
    }
  })
})

describe('its data', () => {
  test('the committed weights are what training on the corpus gives; else run npm run train:third-reader', () => {
    expect(fileOf(train(rows, URGENT))).toBe(readFileSync('src/replies/urgent-weights.ts', 'utf8'))
  })

  test('it stays small', () => {
    expect(readFileSync('src/replies/urgent-weights.ts').length).toBeLessThan(300_000)
  })

  test('it learnt: trained without one file, it tells that file’s urgent replies from its other ones', () => {
    const left = rows.filter((r) => r.file.endsWith('dev-ten.jsonl'))
    const weights = train(
      rows.filter((r) => !r.file.endsWith('dev-ten.jsonl')),
      URGENT,
    )
    const share = (wanted: boolean) => {
      const list = left.filter((r) => isUrgent(r.expect.urgency) === wanted)
      return list.filter((r) => scoreOf(weights, r) > 0).length / list.length
    }
    expect(share(true)).toBeGreaterThan(0.75)
    expect(share(false)).toBeLessThan(0.25)
  })
})
