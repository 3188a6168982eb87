/** Texts against the published standards for them; the source stands beside each. */
import { Temporal } from 'temporal-polyfill'
import { describe, expect, test } from 'vitest'
import { isQuiet, nextAllowed } from '../../src/messages/quiet-hours.ts'
import {
  countReading,
  fleschKincaidGrade,
  fleschReadingEase,
  readingAge,
} from '../../src/messages/reading-age.ts'
import { renderMessage, TEMPLATE_IDS, templateOf } from '../../src/messages/render.ts'
import { countSegments, encodingOf, isGsm7, splitSegments, unitsOf } from '../../src/messages/segments.ts'
import { sampleValues } from '../../templates/samples-en.ts'

const EURO = '\u20ac'

describe('3GPP TS 23.038 and TS 23.040: how many parts', () => {
  test.each([
    [160, 1],
    [161, 2],
    [306, 2],
    [307, 3],
    [459, 3],
    [460, 4],
  ])('%d septets: %d', (length, parts) => {
    expect(countSegments('a'.repeat(length))).toBe(parts)
  })

  test.each([
    [70, 1],
    [71, 2],
    [134, 2],
    [135, 3],
  ])('%d UCS-2 units: %d', (length, parts) => {
    expect(countSegments('\u0142'.repeat(length))).toBe(parts)
  })

  test('the ten characters of the extension table cost two septets each', () => {
    expect([...'\f^{}\\[~]|', EURO].map(unitsOf)).toEqual(Array(10).fill(2))
    expect(countSegments(EURO.repeat(80))).toBe(1)
    expect(countSegments(EURO.repeat(81))).toBe(2)
  })

  test('the basic table: 127 characters and the escape; the pound sign is one septet', () => {
    const basic = Array.from({ length: 0x24f }, (_, code) => String.fromCodePoint(code)).concat([
      ...'ΔΦΓΛΩΠΨΣΘΞ',
    ])
    const single = basic.filter((character) => isGsm7(character) && unitsOf(character) === 1)
    expect(new Set(single).size).toBe(127)
    expect(unitsOf('\u00a3')).toBe(1)
    for (const letter of 'ABCXYZabcxyz0189 @$_¥èéùìòØøÅåÆæßÉÄÖÑÜ§¿äöñüà¡¤')
      expect(isGsm7(letter), letter).toBe(true)
  })

  test('curly quotes, the en dash and the backtick are not in it: one turns the whole text to UCS-2', () => {
    for (const character of ['\u2018', '\u2019', '\u201c', '\u201d', '\u2013', '`']) {
      expect(encodingOf(`${'a'.repeat(100)}${character}`)).toBe('ucs2')
      expect(countSegments(`${'a'.repeat(100)}${character}`)).toBe(2)
    }
  })

  test('capital C with cedilla, as in the 3GPP table and not the small one; no text of ours has either', () => {
    expect(isGsm7('\u00c7')).toBe(true)
    expect(isGsm7('\u00e7')).toBe(false)
    for (const id of TEMPLATE_IDS) expect(templateOf(id).text).not.toMatch(/[\u00c7\u00e7]/)
  })

  test('a character outside the basic plane is two units and is not split (TS 23.040 9.2.3.24)', () => {
    expect(unitsOf('\u{1f600}')).toBe(2)
    const parts = splitSegments(`${'\u0142'.repeat(66)}\u{1f600}${'\u0142'.repeat(10)}`)
    expect(parts.map(({ length }) => length)).toEqual([66, 12])
    expect(countSegments('\u{1f600}'.repeat(35))).toBe(1)
    expect(countSegments('\u{1f600}'.repeat(36))).toBe(2)
    // 67 units hold only 33 pairs.
    expect(countSegments('\u{1f600}'.repeat(67))).toBe(3)
  })

  test('an escape pair is not split: 306 septets can take three parts', () => {
    // Computed; that the pair must not be split is from memory of TS 23.040.
    const parts = splitSegments(`${'a'.repeat(152)}${EURO}${'a'.repeat(152)}`)
    expect(parts.map(unitsOf)).toEqual([152, 153, 1])
  })

  test('140 octets less a header of 6 are 153 septets or 67 units; a 7-octet header would leave 152 and 66', () => {
    const room = (header: number) => [Math.floor(((140 - header) * 8) / 7), Math.floor((140 - header) / 2)]
    expect(room(0)).toEqual([160, 70])
    expect(room(6)).toEqual([153, 67])
    expect(room(7)).toEqual([152, 66])
    expect(splitSegments('a'.repeat(400)).map(unitsOf)).toEqual([...Array(2).fill(room(6)[0]), 400 - 2 * 153])
    expect(splitSegments('\u0142'.repeat(150)).map(unitsOf)).toEqual([67, 67, 16])
  })
})

describe('Flesch-Kincaid (Kincaid et al. 1975, US Navy)', () => {
  test('the platypus sentence: 13 words, 24 syllables, grade 11.3, ease 37.5', () => {
    const published = { sentences: 1, words: 13, syllables: 24 }
    expect(fleschKincaidGrade(published)).toBeCloseTo(11.26462, 4)
    expect(fleschReadingEase(published)).toBeCloseTo(37.45538, 4)
    // Our syllables come from a rule of spelling that gives "Australian" and "reptilian" four each where the
    // published count gives three: two more in all, so that our grade errs on the hard side.
    expect(
      countReading('The Australian platypus is seemingly a hybrid of a mammal and reptilian creature.'),
    ).toEqual({ ...published, syllables: 26 })
  })

  test('one sentence of six one-syllable words: ease 116.145, grade -1.45', () => {
    const counts = countReading('The cat sat on the mat.')
    expect(counts).toEqual({ sentences: 1, words: 6, syllables: 6 })
    expect(fleschReadingEase(counts)).toBeCloseTo(116.145, 6)
    expect(fleschKincaidGrade(counts)).toBeCloseTo(-1.45, 6)
  })

  test('the greatest ease is 121.22, of sentences of one short word', () => {
    expect(fleschReadingEase({ sentences: 1, words: 1, syllables: 1 })).toBeCloseTo(121.22, 6)
  })

  test('every text to a patient is at or below the reading age of 9 to 11 (NHS digital service manual)', () => {
    for (const id of TEMPLATE_IDS.filter((each) => templateOf(each).audience === 'patient'))
      expect(readingAge(renderMessage(id, sampleValues).text), id).toBeLessThanOrEqual(11)
  })
})

describe('what may stand in a text', () => {
  test('a number to ring comes with another way (NHS Accessible Information Standard DCB1605, from memory)', () => {
    for (const id of TEMPLATE_IDS) {
      const { text } = templateOf(id)
      if (text.includes('{phone}')) expect(text, id).toMatch(/text relay/)
    }
  })

  test('messages about care are neutral: praise or an offer would make them marketing under PECR (ICO)', () => {
    for (const id of TEMPLATE_IDS)
      expect(templateOf(id).text, id).not.toMatch(
        /\b(offer|discount|special|best|free|save|only \d|expert|leading|why not)\b/i,
      )
  })

  test('numbers used as samples are from the ranges kept for fiction (Ofcom: 01632 960000 to 960999)', () => {
    for (const value of [sampleValues.phone, sampleValues.crisisNumber])
      expect(value).toMatch(/^01632 960\d{3}$/)
  })

  test('no text gives a time to keep the ear dry: published advice runs from 24 hours to 5 days', () => {
    for (const id of TEMPLATE_IDS) expect(templateOf(id).text, id).not.toMatch(/\bdry\b/i)
  })

  test('a plan says to lie 5 to 10 minutes and forbids drops with a hole in the drum (NHS, Earwax build-up)', () => {
    const { text } = renderMessage('plan-start', sampleValues)
    expect(text).toContain('for 5 to 10 minutes')
    expect(text).toContain('No drops if you have a hole in the eardrum')
  })
})

describe('clock changes in Europe/London: last Sunday of March and October at 01:00 UTC (nidirect.gov.uk)', () => {
  const quiet = { from: '20:00', to: '08:00' }
  const at = (text: string): Temporal.Instant => Temporal.Instant.from(text)
  test.each([
    ['2026-03-28T22:00:00Z', '2026-03-29T07:00:00Z'],
    ['2026-10-24T22:00:00Z', '2026-10-25T08:00:00Z'],
    ['2027-03-27T22:00:00Z', '2027-03-28T07:00:00Z'],
    ['2027-10-30T22:00:00Z', '2027-10-31T08:00:00Z'],
    ['2028-03-25T22:00:00Z', '2028-03-26T07:00:00Z'],
    ['2028-10-28T22:00:00Z', '2028-10-29T08:00:00Z'],
  ])('quiet at %s, and until eight in the morning', (from, until) => {
    expect(isQuiet(at(from), 'Europe/London', quiet)).toBe(true)
    expect(nextAllowed(at(from), 'Europe/London', quiet).toString()).toBe(until)
  })
})
