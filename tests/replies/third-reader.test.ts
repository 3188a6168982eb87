/** The third reader: it only raises, it repeats, it shows its words, it stays linear, and its data is what training gives. */
import { readFileSync } from 'node:fs'
import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { moreUrgent } from '../../src/protocol/rule.ts'
import { defaultUrgencyRules } from '../../src/protocol/sections/urgency.ts'
import { caseOf, judge, judgeReading, readAndJudge, readReply } from '../../src/replies/judge.ts'
import { BAR, featuresOf, thirdDoubts, thirdReading, wordsOf } from '../../src/replies/third-reader.ts'
import { corpus, fileOf, scoreOf, train } from './train-third-reader.ts'

const rows = corpus()
const PLAIN = { context: 'aftercare' as const, questions: [], findings: [], explained: false, words: 9 }

describe('what it may do', () => {
  const bothWays = (input: { context: string; text: string; question?: unknown }) => {
    const reading = readReply(input)
    const byRules = judge(reading, caseOf(input), defaultUrgencyRules)
    return { byRules, both: judgeReading(reading, caseOf(input), defaultUrgencyRules) }
  }

  test('it makes "none" into "unclear" where nothing sounds urgent, and changes nothing else, on the whole corpus', () => {
    let raised = 0
    for (const row of rows) {
      const { byRules, both } = bothWays(row)
      expect(moreUrgent(byRules.urgency, both.judgement.urgency)).toBe(both.judgement.urgency)
      if (both.judgement.why.includes('u-sounds-urgent')) continue
      if (byRules.urgency !== 'none') expect(both.judgement).toEqual(byRules)
      else if (both.judgement.urgency !== 'none') {
        raised++
        expect(both.judgement.urgency).toBe('unclear')
        expect(both.judgement.why).toContain('u-third-reader')
        expect(both.judgement.flags).toEqual(byRules.flags)
        expect(both.judgement.score).toBe(byRules.score)
      }
    }
    expect(raised).toBeGreaterThan(0)
  })

  test('it never lowers anything, whatever the text', () => {
    fc.assert(
      fc.property(
        fc.oneof(fc.string({ unit: 'binary', maxLength: 300 }), fc.constantFrom(...rows.map((r) => r.text))),
        fc.constantFrom('softening', 'aftercare', 'screening'),
        (text, context) => {
          const { byRules, both } = bothWays({ context, text })
          expect(moreUrgent(byRules.urgency, both.judgement.urgency)).toBe(both.judgement.urgency)
        },
      ),
      { numRuns: 300 },
    )
  })

  test('a clinic whose signed protocol has no row for it gets "unclear" all the same', () => {
    const older = {
      ...defaultUrgencyRules,
      doubts: defaultUrgencyRules.doubts.filter(({ id }) => id !== 'u-third-reader'),
    }
    const row = rows.find((r) => bothWays(r).both.judgement.why.includes('u-third-reader'))
    expect(row).toBeDefined()
    expect(row && readAndJudge(row, older).judgement.urgency).toBe('unclear')
  })

  test('the protocol has its row', () => {
    expect(defaultUrgencyRules.doubts.find(({ id }) => id === 'u-third-reader')?.urgency).toBe('unclear')
  })
})

describe('what it says', () => {
  const STRANGE =
    'the right side of my lips just lies there like wet dough and soup runs straight back out, the eyelid wont shut'

  test('a picture of an urgent sign is doubted, and the words that weighed most are shown', () => {
    const doubts = thirdDoubts({ ...PLAIN, text: STRANGE })
    expect(doubts.length).toBeGreaterThan(0)
    expect(doubts.length).toBeLessThanOrEqual(3)
    for (const { rule, start, end, words } of doubts) {
      expect(rule).toBe('u-third-reader')
      expect(STRANGE.slice(start, end)).toBe(words)
      expect(words).toMatch(/^[a-z]+$/)
    }
  })

  test('spans lie within the text, in order, for any text', () => {
    fc.assert(
      fc.property(fc.string({ unit: 'grapheme', maxLength: 400 }), (text) => {
        const { score, spans } = thirdReading(text, 'aftercare', false)
        expect(Number.isSafeInteger(score)).toBe(true)
        let last = 0
        for (const { start, end } of spans) {
          expect(start).toBeGreaterThanOrEqual(last)
          expect(end).toBeGreaterThan(start)
          expect(end).toBeLessThanOrEqual(text.length)
          last = end
        }
      }),
    )
  })

  test.each([
    'thank you all very kind',
    'all good here',
    'ok will do',
    'see you on friday',
    'is there parking at the clinic',
    'no pain no bleeding no dizziness',
    'best thing i ever did',
    'can i come another day, the bus doesnt run that early',
  ])('plain and harmless, never in training as such: %s', (text) => {
    expect(thirdDoubts({ ...PLAIN, text })).toEqual([])
  })

  test('words of the body and of sensation that it never met weigh as their families do', () => {
    const met = new Set(rows.flatMap((r) => wordsOf(r.text).map(({ w }) => w)))
    for (const [unmet, plain] of [
      ['eyeball', 'teapot'],
      ['convulsed', 'convened'],
      ['nostril', 'cupboard'],
    ] as const) {
      expect(met.has(unmet)).toBe(false)
      const score = (w: string) => thirdReading(`my ${w} this morning`, 'aftercare', false).score
      expect(score(unmet)).toBeGreaterThan(score(plain))
    }
  })

  test('apostrophes, accents, case and repeated letters do not matter', () => {
    const names = (text: string) => wordsOf(text).map(({ w }) => w)
    expect(names("CAN'T feel my Faaaace")).toEqual(names('cant feel my faace'))
    expect(names('café')).toEqual(['cafe'])
    expect(names('8 out of 10, 39 degrees')).toEqual(['#7-10', 'out', 'of', '#7-10', '#37-42', 'degrees'])
  })

  test('a denial reaches five words, and not past its sentence', () => {
    expect(
      wordsOf('no pain or bleeding. dizzy')
        .filter(({ denied }) => denied)
        .map(({ w }) => w),
    ).toEqual(['pain', 'or', 'bleeding'])
    const names = featuresOf(wordsOf('no pain'), 'aftercare', false).map(({ name }) => name)
    expect(names).toContain('!pain')
    expect(names).not.toContain('pain')
  })
})

describe('how long it takes', () => {
  test('filler of any length does not drown a sign', () => {
    const filler = 'the bus was on time and we had a nice cup of tea with cake. '
    const alone = thirdReading(STRANGE_SIGN, 'aftercare', false).score
    for (const times of [5, 40, 100]) {
      const { score } = thirdReading(`${filler.repeat(times)}${STRANGE_SIGN}`, 'aftercare', false)
      expect(score).toBeGreaterThan(Math.min(alone - 450, BAR.unexplained))
    }
  })

  test('time grows with the length and no faster', () => {
    const text = `${STRANGE_SIGN} `.repeat(200)
    const time = (length: number) => {
      const runs = Array.from({ length: 9 }, () => {
        const from = performance.now()
        thirdReading(text.slice(0, length), 'aftercare', false)
        return performance.now() - from
      }).sort((a, b) => a - b)
      return runs[4] ?? 0
    }
    time(10_000)
    // Eight times the text: quadratic time would take 64 times as long.
    expect(time(10_000)).toBeLessThan(24 * time(1_250) + 2)
    expect(thirdReading(text.repeat(3), 'aftercare', false)).toEqual(
      thirdReading(text.repeat(3).slice(0, 10_000), 'aftercare', false),
    )
  })
})

describe('its data', () => {
  test('the committed weights are what training on the corpus gives; else run npm run train:third-reader', () => {
    const model = train(rows)
    expect(fileOf(model) === readFileSync('src/replies/third-reader-weights.ts', 'utf8')).toBe(true)
    for (const row of rows.slice(0, 200))
      expect(thirdReading(row.text, row.context, row.question !== undefined).score).toBe(scoreOf(model, row))
  })

  test('it stays small', () => {
    expect(readFileSync('src/replies/third-reader-weights.ts').length).toBeLessThan(300_000)
  })

  test('it learnt: trained without one file, it tells that file’s urgent replies from its harmless ones', () => {
    for (const file of ['tests/replies/corpus/dev-one.jsonl', 'tests/replies/corpus/dev-three.jsonl']) {
      const model = train(rows.filter((r) => r.file !== file))
      const scores = (test: (u: string) => boolean) =>
        rows.filter((r) => r.file === file && test(r.expect.urgency)).map((r) => scoreOf(model, r))
      const urgent = scores((u) => u === 'now' || u === 'today')
      const harmless = scores((u) => u === 'none')
      const over = (list: number[]) => list.filter((s) => s >= BAR.unexplained).length / list.length
      expect(over(urgent)).toBeGreaterThan(0.85)
      expect(over(harmless)).toBeLessThan(0.25)
    }
  })
})

const STRANGE_SIGN = 'my smile has dropped on the one side and the tea dribbles out'
