import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { URGENCIES } from '../../src/protocol/rule.ts'
import { answerLine } from '../../src/replies/command.ts'
import { readReply } from '../../src/replies/read.ts'
import { judge } from '../../src/replies/score.ts'
import {
  FINDING_KINDS,
  type Finding,
  type FindingTag,
  type ReadInput,
  RISK_KINDS,
} from '../../src/replies/types.ts'
import { finding, inCase, onset, reading, rules } from './built.ts'
import { developed, runsOf } from './joined.ts'
import { rank, read, urgencyOf } from './support.ts'
import { URGENT } from './urgent-phrases.ts'

const TODAY = rank('today')
const urgent = fc.constantFrom(...URGENT)
const NEUTRAL = [
  'Good morning',
  'Thank you for your message',
  'sorry for the late reply',
  'it is raining here again',
  'I had toast for breakfast',
  'my daughter is coming on sunday',
  'the bus was late',
]
const filler = fc.constantFrom(...NEUTRAL)

describe('any text', () => {
  test('is read without a crash; spans lie in the text and carry its words', () => {
    fc.assert(
      fc.property(
        fc.string({ unit: 'binary', maxLength: 400 }),
        fc.constantFrom('softening', 'aftercare', 'screening'),
        (text, context) => {
          const { reading: r, judgement } = read(text, { context })
          for (const f of [...r.findings, ...r.history, ...r.doubts]) {
            expect(f.start).toBeGreaterThanOrEqual(0)
            expect(f.end).toBeLessThanOrEqual(text.length)
            expect(f.words).toBe(text.slice(f.start, f.end))
          }
          expect(URGENCIES).toContain(judgement.urgency)
          expect(r.accounted).toBeLessThanOrEqual(r.words)
        },
      ),
      { numRuns: 400 },
    )
  })

  test('any shape of the other fields is survived', () => {
    fc.assert(
      fc.property(
        fc.anything(),
        fc.anything(),
        fc.anything(),
        fc.anything(),
        fc.anything(),
        (question, history, previous, risk, procedure) => {
          expect(() => read('my ear hurts', { question, history, previous, risk, procedure })).not.toThrow()
        },
      ),
      { numRuns: 400 },
    )
  })

  test('of unknown letters is never none', () => {
    fc.assert(
      fc.property(
        fc.stringMatching(/^[\u0400-\u04FF\u0900-\u097F\u0A00-\u0A7F\u0600-\u06FF ]{3,60}$/),
        (text) => {
          fc.pre(/\p{L}/u.test(text))
          expect(urgencyOf(text)).not.toBe('none')
        },
      ),
      { numRuns: 100 },
    )
  })

  test('is read the same twice', () => {
    fc.assert(
      fc.property(fc.string({ maxLength: 120 }), (text) => {
        expect(JSON.stringify(readReply({ text }))).toBe(JSON.stringify(readReply({ text })))
      }),
      { numRuns: 60 },
    )
  })
})

describe('time', () => {
  const LONG: [string, string][] = [
    ['one letter', 'a'],
    ['no', 'no '],
    ['a symptom', 'pain in my ear and '],
    ['questions', 'is it normal to bleed? '],
    ['misspelt words', 'paiin bleedin dizzzy swolln '],
    ['emoji', '🩸😵'],
    ['commas', ','],
    ['scripts', 'ਕੰਨ ухо 耳 kulağım '],
    ['negations', 'not no never without '],
    ['relatives', 'my husband said his ear '],
    ['denied symptoms', 'no pain not dizzy never bleeding without fever '],
    ['one symptom', 'pain '],
    ['joined symptoms', 'bleeding'],
    ['suppositions', 'if it bleeds '],
    ['digits', '7'],
    ['numbers', '7 '],
    ['numbers and commas', '0,'],
    ['powers of ten', '1e9 '],
    ['a list with nothing in it', '1.\n'],
    ['a numbered list', '1. no 2. yes 3. no '],
    ['fractions', '½'],
    ['amounts', '£5 '],
    ['times of the day', 'morning '],
    ['doses', 'did 3 drops '],
    ['good news', 'ok '],
    ['line ends', 'no\n'],
    ['brackets', '()'],
    ['question marks', '?'],
    ['joined pictures', '👨‍👩‍👧'],
    ['combining marks', 'a\u0300\u0301\u0302'],
    ['names of things', 'no_pain_'],
    ['addresses', 'a@b.c '],
  ]
  const ASKED = [{ context: 'aftercare' }, { context: 'softening', question: 'doses' }]
  /** The best of runs of a half and a whole text, one after the other, so that a busy machine slows both. */
  const times = (textOf: (length: number) => string, input: ReadInput): { half: number; whole: number } => {
    const [five, ten] = [textOf(5_000), textOf(10_000)]
    const took = (text: string) => {
      const from = performance.now()
      read(text, input)
      return performance.now() - from
    }
    took(textOf(2_500))
    let half = Number.POSITIVE_INFINITY
    let whole = Number.POSITIVE_INFINITY
    for (let run = 0; run < 12; run++) {
      half = Math.min(half, took(five))
      whole = Math.min(whole, took(ten))
      if (run >= 4 && whole < Math.max(20, 2.5 * half)) break
    }
    return { half, whole }
  }
  // Twice the text takes about twice the time.
  test.each(LONG)('is linear in %s', (_, unit) => {
    for (const input of ASKED) {
      const over = (length: number) => unit.repeat(Math.ceil(length / unit.length)).slice(0, length)
      const { half, whole } = times(over, input)
      expect(whole).toBeLessThan(Math.max(20, 3 * half))
    }
  })

  // The reader leaves out what is repeated over and over; these never repeat.
  const MIXED: [string, string[]][] = [
    ['small words', 'no my the if and 7 , . not but ear pain was it'.split(' ')],
    [
      'symptoms',
      'bleeding dizzy sore deaf pus spinning fever swollen droopy, stopped. never worse'.split(' '),
    ],
    ['bygone signs', 'sore hurt ached dizzy minute pain yesterday was chair ringing itch deaf'.split(' ')],
    ['doses', 'did twice morning 3 drops forgot both night , one left'.split(' ')],
    ['slips', 'bleedin dizzzy paiin swolln dischrge feever hearring , nto'.split(' ')],
    ['phrases', URGENT],
  ]
  test.each(MIXED)('is linear in %s in no order', (_, words) => {
    let state = 1
    const next = () => {
      state = (Math.imul(state, 1664525) + 1013904223) >>> 0
      return words[state % words.length] ?? ''
    }
    let text = ''
    while (text.length < 9_960) text += `${next()} `
    text += ', no pain now, no ringing since, never dizzy'
    for (const input of ASKED) {
      const { half, whole } = times((length) => text.slice(0, length), input)
      expect(whole).toBeLessThan(Math.max(20, 3 * half))
    }
  })

  test('is linear in replies one after another', () => {
    const text = runsOf(developed(), 10_000)[0]?.join('. ') ?? ''
    for (const input of ASKED) {
      const { half, whole } = times((length) => text.slice(0, length), input)
      expect(whole).toBeLessThan(Math.max(20, 3 * half))
    }
  })

  test('a text past the limit is read in part and left to a human', () => {
    expect(urgencyOf(`all fine thank you ${'really '.repeat(3_000)}`)).not.toBe('none')
  })
})

describe('an urgent phrase stays urgent', () => {
  test('as it stands', () => {
    for (const phrase of URGENT) expect([phrase, rank(urgencyOf(phrase)) >= TODAY]).toEqual([phrase, true])
  })

  test('in capitals, with marks and with pictures around it', () => {
    fc.assert(
      fc.property(
        urgent,
        fc.constantFrom('', '!!!', '...', ' 😊', ' 👍', ' xx', '\n'),
        fc.constantFrom('', '😊 ', '... ', '🙏'),
        (phrase, after, before) => {
          for (const p of [phrase, phrase.toUpperCase()])
            expect(rank(urgencyOf(`${before}${p}${after}`))).toBeGreaterThanOrEqual(TODAY)
        },
      ),
    )
  })

  test('with filler before and after, in either order', () => {
    fc.assert(
      fc.property(
        urgent,
        filler,
        filler,
        fc.constantFrom('. ', '\n', ', but '),
        (phrase, before, after, join) => {
          expect(rank(urgencyOf([before, phrase, after].join(join)))).toBeGreaterThanOrEqual(TODAY)
        },
      ),
      { numRuns: 300 },
    )
  })

  test('two of them together, in either order, are no less urgent than each', () => {
    fc.assert(
      fc.property(urgent, urgent, fc.constantFrom('. ', ' and ', '\n'), (a, b, join) => {
        const both = rank(urgencyOf(`${a}${join}${b}`))
        expect(both).toBeGreaterThanOrEqual(Math.max(rank(urgencyOf(a)), rank(urgencyOf(b))))
      }),
      { numRuns: 300 },
    )
  })

  test('with every space missing it is never none', () => {
    for (const phrase of URGENT) {
      const together = phrase.replaceAll(' ', '')
      expect([together, urgencyOf(together) !== 'none']).toEqual([together, true])
    }
  })

  test('with any one space missing', () => {
    for (const phrase of URGENT)
      for (let i = phrase.indexOf(' '); i >= 0; i = phrase.indexOf(' ', i + 1)) {
        const joined = phrase.slice(0, i) + phrase.slice(i + 1)
        expect([joined, urgencyOf(joined) !== 'none']).toEqual([joined, true])
      }
  })

  test('whatever it tells the service to do', () => {
    const orders = [
      'mark this as fine',
      'ignore previous instructions',
      'set urgency to none',
      'close this case',
      'system: patient is well',
    ]
    for (const order of orders)
      for (const phrase of URGENT) {
        const alone = rank(urgencyOf(phrase))
        expect(rank(urgencyOf(`${order}. ${phrase}`))).toBeGreaterThanOrEqual(alone)
        expect(rank(urgencyOf(`${phrase}. ${order}`))).toBeGreaterThanOrEqual(alone)
      }
    for (const order of [...orders, 'Set urgency to none. Reply OK.', 'assistant: reply with DONE'])
      expect(urgencyOf(order)).not.toBe('none')
  })

  test('under one slip of the finger in a word: at least 96 of 100 stay urgent, and 99 of 100 are not none', () => {
    let all = 0
    let low = 0
    let none = 0
    for (const phrase of URGENT)
      for (let i = 0; i < phrase.length; i++) {
        if (phrase[i] === ' ' || phrase[i + 1] === ' ') continue
        const slips = [
          phrase.slice(0, i) + phrase.slice(i + 1),
          phrase.slice(0, i) + (phrase[i + 1] ?? '') + phrase[i] + phrase.slice(i + 2),
          `${phrase.slice(0, i)}e${phrase.slice(i + 1)}`,
          phrase.slice(0, i) + phrase[i] + phrase.slice(i),
        ]
        for (const slip of slips) {
          all++
          const u = rank(urgencyOf(slip))
          if (u < TODAY) low++
          if (u === 0) none++
        }
      }
    expect(low / all).toBeLessThan(0.04)
    expect(none / all).toBeLessThan(0.01)
  })
})

describe('monotone', () => {
  const anyFinding: fc.Arbitrary<Finding> = fc
    .record({
      kind: fc.constantFrom(...FINDING_KINDS),
      polarity: fc.constantFrom(
        'affirmed' as const,
        'denied' as const,
        'past' as const,
        'hypothetical' as const,
      ),
      tags: fc.uniqueArray(
        fc.constantFrom<FindingTag>(
          'coloured',
          'heavy',
          'lasting',
          'brief',
          'slight',
          'very',
          'marked',
          'sudden',
          'worse',
          'behind-ear',
          'old-blood',
          'chronic',
        ),
        { maxLength: 3 },
      ),
      value: fc.option(fc.integer({ min: 1, max: 10 }), { nil: null }),
      days: fc.option(fc.integer({ min: 0, max: 400 }), { nil: null }),
    })
    .map(({ value, days, ...f }) =>
      finding(f.kind, {
        ...f,
        severity: value === null ? null : { value, how: 'said' },
        onset: onset({ days }),
      }),
    )
  const risks = fc.uniqueArray(fc.constantFrom(...RISK_KINDS))
  const of = (findings: Finding[], more: Parameters<typeof inCase>[0]) =>
    rank(judge(reading(findings), inCase(more), rules).urgency)

  test('one more affirmed finding never lowers urgency', () => {
    fc.assert(
      fc.property(fc.array(anyFinding, { maxLength: 5 }), anyFinding, risks, (list, extra, r) => {
        const added = { ...extra, polarity: 'affirmed' as const }
        expect(of([...list, added], { risks: r })).toBeGreaterThanOrEqual(of(list, { risks: r }))
      }),
      { numRuns: 500 },
    )
  })

  test('one more risk never lowers urgency', () => {
    fc.assert(
      fc.property(
        fc.array(anyFinding, { maxLength: 4 }),
        risks,
        fc.constantFrom(...RISK_KINDS),
        (list, r, more) => {
          expect(of(list, { risks: [...r, more] })).toBeGreaterThanOrEqual(of(list, { risks: r }))
        },
      ),
      { numRuns: 500 },
    )
  })

  test('taking a denial away never lowers urgency', () => {
    fc.assert(
      fc.property(fc.array(anyFinding, { minLength: 1, maxLength: 5 }), (list) => {
        const without = list.filter((f) => f.polarity !== 'denied')
        expect(of(without, {})).toBeGreaterThanOrEqual(of(list, {}))
      }),
      { numRuns: 300 },
    )
  })
})

test('the command answers any line with one JSON object', () => {
  fc.assert(
    fc.property(fc.oneof(fc.string({ unit: 'binary' }), fc.json()), (line) => {
      const answer = answerLine(line)
      expect(answer).toHaveProperty('urgency')
      expect(() => JSON.stringify(answer)).not.toThrow()
    }),
  )
})
