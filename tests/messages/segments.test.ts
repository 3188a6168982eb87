/** Parts of a text: 3GPP TS 23.038 (alphabet) and TS 23.040 9.2.3.24 (parts). */
import fc from 'fast-check'
import { expect, test } from 'vitest'
import {
  countSegments,
  encodingOf,
  isGsm7,
  plainPunctuation,
  splitSegments,
  unitsOf,
} from '../../src/messages/segments.ts'

const EURO = '\u20ac'
const gsmText = fc.string({ unit: fc.constantFrom(...'abc XYZ019@£é{}[]~|^\\\n', EURO), maxLength: 700 })
const anyText = fc.string({ unit: 'binary', maxLength: 400 })

/** Septets of a text counted apart from the code under test: the ten escaped characters count two. */
const septets = (text: string): number => text.length + (text.match(/[\f^{}\\[~\]|€]/g)?.length ?? 0)

test('the parts join to the text and none is empty or too long', () => {
  fc.assert(
    fc.property(fc.oneof(gsmText, anyText), (text) => {
      const parts = splitSegments(text)
      expect(parts.join('')).toBe(text)
      const gsm = encodingOf(text) === 'gsm7'
      const limit = parts.length === 1 ? (gsm ? 160 : 70) : gsm ? 153 : 67
      for (const part of parts) {
        expect(gsm ? septets(part) : part.length).toBeLessThanOrEqual(limit)
        if (parts.length > 1) expect(part).not.toBe('')
      }
    }),
  )
})

test('no surrogate pair is split', () => {
  fc.assert(
    fc.property(fc.string({ unit: 'grapheme', minLength: 30, maxLength: 300 }), (text) => {
      for (const part of splitSegments(`${text}\u{1f442}`)) expect(part.isWellFormed()).toBe(true)
    }),
  )
})

test('the number of parts is the least that the limits allow, give or take what a pair wastes', () => {
  fc.assert(
    fc.property(gsmText, (text) => {
      const units = unitsOf(text)
      expect(units).toBe(septets(text))
      const count = countSegments(text)
      if (units <= 160) expect(count).toBe(1)
      else {
        expect(count).toBeGreaterThanOrEqual(Math.ceil(units / 153))
        // Each part wastes at most one septet before a pair.
        expect(count).toBeLessThanOrEqual(Math.ceil(units / 152))
      }
    }),
  )
})

test('one more character never makes fewer parts', () => {
  fc.assert(
    fc.property(gsmText, fc.constantFrom('a', EURO, '\u2019', '\u{1f442}'), (text, more) => {
      expect(countSegments(text + more)).toBeGreaterThanOrEqual(countSegments(text))
    }),
  )
})

test('an empty text is one part of nothing', () => {
  expect(splitSegments('')).toEqual([''])
  expect(unitsOf('')).toBe(0)
})

test('a lone surrogate and an escape character are not in the table', () => {
  expect(isGsm7('\ud83d')).toBe(false)
  expect(isGsm7('\u001b')).toBe(false)
  expect(splitSegments('\ud83d'.repeat(71))).toHaveLength(2)
})

test('plain punctuation brings word processor text back into the table and keeps the words', () => {
  expect(plainPunctuation('\u2018Don\u2019t\u2019 \u2013 \u201cwait\u201d\u2026 2:30\u202fpm\r\n`ok`')).toBe(
    "'Don't' - \"wait\"... 2:30 pm\n'ok'",
  )
  fc.assert(
    fc.property(gsmText, (text) => {
      expect(plainPunctuation(text)).toBe(text)
    }),
  )
})
