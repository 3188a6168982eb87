/**
 * How many text-message parts a text takes. Sources: 3GPP TS 23.038 (alphabet), TS 23.040 9.2.3.24 (parts).
 * A part holds 140 octets; in a text of several parts 6 of them are the header (8-bit reference).
 */

export type Encoding = 'gsm7' | 'ucs2'

/** The basic table in code order, 0x00 to 0x7F; 0x1B (escape) is not a character of its own. */
const BASIC =
  '@£$¥èéùìòÇ\nØø\rÅåΔ_ΦΓΛΩΠΨΣΘΞ\u001bÆæßÉ !"#¤%&\'()*+,-./0123456789:;<=>?' +
  '¡ABCDEFGHIJKLMNOPQRSTUVWXYZÄÖÑÜ§¿abcdefghijklmnopqrstuvwxyzäöñüà'
/** Each of these is an escape and a second septet. */
const EXTENDED = '\f^{}\\[~]|€'

/** Septets by character; a character that is not here makes the whole text UCS-2. */
const SEPTETS: ReadonlyMap<string, 1 | 2> = new Map([
  ...[...BASIC].filter((character) => character !== '\u001b').map((character) => [character, 1] as const),
  ...[...EXTENDED].map((character) => [character, 2] as const),
])

const LIMITS: Readonly<Record<Encoding, { single: number; part: number }>> = {
  gsm7: { single: 160, part: 153 },
  ucs2: { single: 70, part: 67 },
}

export const isGsm7 = (text: string): boolean => [...text].every((character) => SEPTETS.has(character))

export const encodingOf = (text: string): Encoding => (isGsm7(text) ? 'gsm7' : 'ucs2')

/** Length in septets (GSM 7-bit) or in UTF-16 units (UCS-2). */
export function unitsOf(text: string): number {
  return encodingOf(text) === 'ucs2'
    ? text.length
    : [...text].reduce((sum, c) => sum + (SEPTETS.get(c) ?? 0), 0)
}

/** The parts of a text, in order; they join to the text. No escape pair or surrogate pair is split. */
export function splitSegments(text: string): string[] {
  const encoding = encodingOf(text)
  const { single, part } = LIMITS[encoding]
  if (unitsOf(text) <= single) return [text]
  const parts: string[] = []
  let current = ''
  let used = 0
  for (const character of text) {
    const units = encoding === 'ucs2' ? character.length : (SEPTETS.get(character) ?? 0)
    if (used + units > part) {
      parts.push(current)
      current = ''
      used = 0
    }
    current += character
    used += units
  }
  return [...parts, current]
}

export const countSegments = (text: string): number => splitSegments(text).length

const PLAIN: Readonly<Record<string, string>> = {
  '\u2018': "'",
  '\u2019': "'",
  '\u201a': "'",
  '\u2032': "'",
  '`': "'",
  '\u00b4': "'",
  '\u201c': '"',
  '\u201d': '"',
  '\u201e': '"',
  '\u2033': '"',
  '\u2010': '-',
  '\u2011': '-',
  '\u2012': '-',
  '\u2013': '-',
  '\u2014': '-',
  '\u2212': '-',
  '\u2026': '...',
  '\u00a0': ' ',
  '\u2009': ' ',
  '\u202f': ' ',
  '\t': ' ',
}
const FANCY = new RegExp(`[${Object.keys(PLAIN).join('')}]`, 'g')

/** The same words with keyboard punctuation: one curly quote would more than halve what fits in a part. */
export const plainPunctuation = (text: string): string =>
  text.replaceAll('\r\n', '\n').replace(FANCY, (character) => PLAIN[character] ?? character)
