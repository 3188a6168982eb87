/** Rendering, the words of times and choices, and the reading grade. */
import fc from 'fast-check'
import { Temporal } from 'temporal-polyfill'
import { describe, expect, test } from 'vitest'
import {
  countReading,
  fleschKincaidGrade,
  fleschReadingEase,
  readingAge,
  readingGrade,
} from '../../src/messages/reading-age.ts'
import { languageFor, pageText, renderMessage, TEMPLATE_IDS } from '../../src/messages/render.ts'
import { countSegments, encodingOf, isGsm7 } from '../../src/messages/segments.ts'
import { fill, placeholdersOf } from '../../src/messages/template.ts'
import {
  dayWords,
  earWords,
  optionWords,
  soonWords,
  timesWords,
  timeWords,
  whenWords,
} from '../../src/messages/words.ts'
import { sampleValues } from '../../templates/samples-en.ts'

const LONDON = 'Europe/London'
const at = (text: string): Temporal.Instant => Temporal.Instant.from(text)

test('a message is its template with the values in their places', () => {
  const { text, segments, encoding, language } = renderMessage('move-declined', {
    clinic: 'Alder Vale Ear Clinic',
    when: 'Tuesday 3 March, 2:30pm',
  })
  expect(text).toBe(
    'Alder Vale Ear Clinic: Thank you. Your visit stays as it was, on Tuesday 3 March, 2:30pm.',
  )
  expect({ segments, encoding, language }).toEqual({ segments: 1, encoding: 'gsm7', language: 'en' })
})

test('every placeholder without a value is named', () => {
  expect(() => renderMessage('visit-reminder', { clinic: 'A', when: ' ', link: undefined })).toThrow(
    'The message "visit-reminder" needs a value for {when}, {link}.',
  )
  expect(() => pageText('Choose {when}')).toThrow('The page text "Choose {when}" needs a value for {when}.')
  expect(() => renderMessage('no-such' as 'visit-reminder', {})).toThrow(
    'There is no message template "no-such".',
  )
  expect(() => renderMessage('toString' as 'visit-reminder', {})).toThrow('There is no message template')
})

test('a number may be nought', () => {
  expect(fill('{drops} drops', { drops: 0 }, 'It')).toBe('0 drops')
})

test('a value cannot become a template, and dollar signs stay', () => {
  fc.assert(
    fc.property(fc.string({ unit: fc.constantFrom(...'{}clinik$&`1 '), minLength: 1 }), (words) => {
      fc.pre(words.trim() !== '')
      expect(fill('<{words}>', { words, clinic: 'other' }, 'It')).toBe(`<${words.trim()}>`)
    }),
  )
})

test('what is said of a message is true of its words, whatever the values', () => {
  fc.assert(
    fc.property(
      fc.constantFrom(...TEMPLATE_IDS),
      fc.string({ unit: 'binary', minLength: 1 }),
      (id, words) => {
        fc.pre(words.trim() !== '')
        const rendered = renderMessage(id, {
          ...sampleValues,
          words,
          reason: words,
          question: words,
          clinic: words,
        })
        expect(rendered.segments).toBe(countSegments(rendered.text))
        expect(rendered.encoding).toBe(encodingOf(rendered.text))
        expect(rendered.readingGrade).toBe(readingGrade(rendered.text))
        expect(Number.isFinite(rendered.readingGrade)).toBe(true)
      },
    ),
  )
})

test('the curly quotes of a clinician do not cost a part', () => {
  const words = 'Don\u2019t use the drops \u2013 we\u2019ll talk.'
  const { encoding, text } = renderMessage('clinician-reply', { ...sampleValues, words })
  expect(encoding).toBe('gsm7')
  expect(text).toContain("Don't use the drops - we'll talk.")
})

test('a language without texts gets the default one, and says so', () => {
  expect(renderMessage('visit-reminder', sampleValues, 'cy').language).toBe('en')
  for (const [tag, wanted] of [
    ['en-GB', 'en'],
    ['EN', 'en'],
    ['', 'en'],
    ['__proto__', 'en'],
    ['constructor', 'en'],
  ] as const)
    expect(languageFor(tag)).toBe(wanted)
})

test('placeholders are named once, in order', () => {
  expect(placeholdersOf('{b} {a} {b} {not one} {} {1}')).toEqual(['b', 'a'])
})

describe('words of time', () => {
  test.each([
    ['00:00', 'midnight'],
    ['00:05', '12:05am'],
    ['09:00', '9:00am'],
    ['11:59', '11:59am'],
    ['12:00', 'noon'],
    ['12:01', '12:01pm'],
    ['13:00', '1:00pm'],
    ['23:59', '11:59pm'],
  ])('%s is %s', (time, words) => {
    expect(timeWords(Temporal.PlainTime.from(time))).toBe(words)
  })

  test('days and instants', () => {
    expect(dayWords(Temporal.PlainDate.from('2026-03-29'))).toBe('Sunday 29 March')
    expect(whenWords(at('2026-07-01T13:30:00Z'), LONDON)).toBe('Wednesday 1 July, 2:30pm')
    expect(whenWords(at('2026-12-31T23:30:00Z'), 'Asia/Kolkata')).toBe('Friday 1 January, 5:00am')
  })

  test('today and tomorrow are calendar days of the clinic', () => {
    const now = at('2026-10-24T22:30:00Z') // 23:30 on Saturday, the clocks go back in the night
    expect(soonWords(at('2026-10-24T22:45:00Z'), now, LONDON)).toBe('11:45pm today')
    expect(soonWords(at('2026-10-25T09:00:00Z'), now, LONDON)).toBe('9:00am tomorrow')
    expect(soonWords(at('2026-10-26T09:00:00Z'), now, LONDON)).toBe('Monday 26 October, 9:00am')
    expect(soonWords(at('2026-10-24T08:00:00Z'), at('2026-10-25T09:00:00Z'), LONDON)).toBe(
      'Saturday 24 October, 9:00am',
    )
  })

  test('words of times are in the GSM table at every minute', () => {
    fc.assert(
      fc.property(fc.integer({ min: 0, max: 4e9 }), (seconds) => {
        expect(isGsm7(whenWords(Temporal.Instant.fromEpochMilliseconds(seconds * 1000), LONDON))).toBe(true)
      }),
    )
  })
})

test('ears, times and choices', () => {
  expect(earWords(['left'])).toBe('left ear')
  expect(earWords(['right', 'left'])).toBe('left and right ears')
  expect(() => earWords([])).toThrow(RangeError)
  expect([1, 2, 3].map(timesWords)).toEqual(['once', 'twice', '3 times'])
  expect(optionWords([at('2026-03-03T14:30:00Z'), at('2026-03-04T09:15:00Z')], LONDON)).toBe(
    '1 for Tuesday 3 March, 2:30pm; 2 for Wednesday 4 March, 9:15am',
  )
  for (const count of [1, 2, 3])
    expect(optionWords(Array(count).fill(at('2026-03-03T14:30:00Z')), LONDON).split('; ')).toHaveLength(count)
  expect(() => optionWords([], LONDON)).toThrow(RangeError)
  expect(() => optionWords(Array(4).fill(at('2026-03-03T14:30:00Z')), LONDON)).toThrow(RangeError)
})

describe('reading grade', () => {
  test('links, telephone numbers and list numbers are not words; a time of day ends no sentence', () => {
    const words = 'Please ring us on 01632 960001 at 2.30 or see https://ear.example/p/Ab3dE9xK2mQ7f'
    expect(countReading(words)).toMatchObject({ words: 8, sentences: 1 })
    expect(countReading('1. Any pain? 2. Any fluid?')).toMatchObject({ words: 4, sentences: 2 })
  })

  test('nothing to read has a grade of nought, not an infinite one', () => {
    for (const text of ['', '...', '\n\n', 'https://ear.example/']) expect(readingGrade(text)).toBe(0)
    expect(fleschReadingEase({ sentences: 0, words: 0, syllables: 0 })).toBe(121.22)
  })

  test('longer words and longer sentences are harder', () => {
    expect(readingGrade('The cat sat on the mat.')).toBeLessThan(
      readingGrade('The veterinarian positioned the animal on the rectangular carpet.'),
    )
    const counts = { sentences: 2, words: 20, syllables: 30 }
    expect(fleschReadingEase(counts)).toBeCloseTo(206.835 - 10.15 - 126.9, 9)
    expect(fleschKincaidGrade(counts)).toBeCloseTo(3.9 + 17.7 - 15.59, 9)
    expect(fleschKincaidGrade({ ...counts, sentences: 1 })).toBeGreaterThan(fleschKincaidGrade(counts))
    expect(fleschKincaidGrade({ ...counts, syllables: 31 })).toBeGreaterThan(fleschKincaidGrade(counts))
    expect(readingAge('The cat sat on the mat.')).toBeCloseTo(-1.45 + 5, 6)
  })

  test('any text has a finite grade, in time that grows with its length', () => {
    fc.assert(
      fc.property(fc.string({ unit: 'binary', maxLength: 500 }), (text) => {
        expect(Number.isFinite(readingGrade(text))).toBe(true)
      }),
    )
    const start = performance.now()
    readingGrade(`${'1 '.repeat(20_000)}${'a.'.repeat(20_000)}`)
    expect(performance.now() - start).toBeLessThan(1000)
  })
})
