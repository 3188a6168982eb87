/** Doses as the sum of what is told: every way of telling a day, put together at random, counts what was done in it. */
import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { read } from './support.ts'

const doses = (text: string) => read(text, { context: 'softening', question: 'doses' }).reading.doses

const MOMENTS = [
  'this morning',
  'after breakfast',
  'at lunchtime',
  'at teatime',
  'after my dinner',
  'before bed',
  'at 8am',
  'at half past two',
  'when I got up',
  'first thing',
]
const PARTS = ['morning', 'lunchtime', 'teatime', 'evening', 'bedtime']
const WORDS = ['none', 'once', 'twice', 'three times', 'four times']
const distinct = (from: readonly string[], min: number, max: number) =>
  fc.uniqueArray(fc.constantFrom(...from), { minLength: min, maxLength: max })
const list = (items: readonly string[]) =>
  items.length < 2 ? items.join('') : `${items.slice(0, -1).join(', ')} and ${items.at(-1)}`
const tail = fc.constantFrom(
  '',
  ' today',
  ' thanks',
  '. No bother',
  ', 4 drops each time',
  '. Mum helped',
  ' x',
)
const pleasantry = fc.constantFrom('', 'hello, ', 'yes, ', 'well ', 'sorry for the late reply. ')

describe('doses add up', () => {
  test('moments that are told as done', () => {
    fc.assert(
      fc.property(pleasantry, distinct(MOMENTS, 1, 4), tail, (lead, moments, end) => {
        expect(doses(`${lead}did them ${list(moments)}${end}`)).toBe(moments.length)
      }),
    )
  })

  test('parts of the day that are judged one by one', () => {
    const verdict = fc.constantFrom<[string, number]>(
      ['yes', 1],
      ['done', 1],
      ['no', 0],
      ['missed', 0],
      ['forgot', 0],
      ['not yet', 0],
      ['still to do', 0],
    )
    const judged = distinct(PARTS, 2, 4).chain((parts) =>
      fc.tuple(...parts.map((p) => verdict.map(([word, n]): [string, number] => [`${p} ${word}`, n]))),
    )
    fc.assert(
      fc.property(judged, fc.constantFrom(', ', '. '), (parts, mark) => {
        fc.pre(parts.some(([, n]) => n > 0))
        expect(doses(parts.map(([t]) => t).join(mark))).toBe(parts.reduce((sum, [, n]) => sum + n, 0))
      }),
    )
  })

  test('what is missed, to come or of another day adds nothing', () => {
    const beside = fc.constantFrom(
      ', forgot the lunchtime one',
      ', will do the last one at bedtime',
      ' and will do the rest later',
      ', one still to go',
      ' but missed the teatime one',
      '. Did it three times yesterday',
      ', same as yesterday',
      ". Tomorrow I'll do better",
    )
    fc.assert(
      fc.property(fc.integer({ min: 1, max: 4 }), beside, (n, rest) => {
        expect(doses(`${WORDS[n]}${rest}`)).toBe(n)
        expect(doses(`did it ${WORDS[n]} today${rest}`)).toBe(n)
      }),
    )
  })

  test('a part of a whole is the part, however it is told', () => {
    fc.assert(
      fc.property(fc.integer({ min: 2, max: 5 }), fc.integer({ min: 1, max: 5 }), (whole, part) => {
        fc.pre(part < whole)
        for (const text of [
          `${part} of ${whole}`,
          `${part} out of the ${whole} today`,
          `managed ${part} of the ${whole}`,
          `${part} down, ${whole - part} to go`,
          `all ${whole} but ${whole - part}`.replace(/ but 1$/, ' but the last'),
          `missed ${whole - part} of the ${whole}`,
        ].filter((t) => !/ but \d/.test(t)))
          expect(doses(text), text).toBe(part)
      }),
    )
  })

  test('drops, minutes, ears and people are no doses', () => {
    const thing = fc.constantFrom(
      '4 drops each time',
      'two drops in each ear',
      'lay there for 10 minutes',
      'both ears',
      'my 3 grandkids watched',
      'day 3 now',
    )
    fc.assert(
      fc.property(fc.integer({ min: 1, max: 4 }), thing, (n, what) => {
        expect(doses(`${WORDS[n]}, ${what}`)).toBe(n)
      }),
    )
  })

  test('the last word of a correction counts', () => {
    const n = fc.integer({ min: 1, max: 4 })
    fc.assert(
      fc.property(n, n, (a, b) => {
        fc.pre(a !== b)
        for (const text of [`${a}, no sorry, ${b}`, `${WORDS[a]}. I mean ${WORDS[b]}`, `${a} no ${b}`])
          expect(doses(text), text).toBe(b)
      }),
    )
  })

  test('who does not know tells no number', () => {
    for (const text of ['two or three', '2-3 times', "can't remember if it was once or twice", 'lost count'])
      expect(doses(text), text).toBeNull()
  })

  test('a text of any length and make is read in time', () => {
    const from = performance.now()
    for (const unit of ['did it at 8 and ', 'no ', '2 of 3 ', 'before bed ', 'again '])
      doses(unit.repeat(Math.floor(10_000 / unit.length)))
    expect(performance.now() - from).toBeLessThan(1_500)
  })
})
