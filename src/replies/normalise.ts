/** Text to tokens: case, quotes, apostrophes, elongations, emoji and numbers, each with its place in the original. */
import { CONTRACTIONS, EMOJI, SLANG, WILL_VERBS } from './lexicon/forms.ts'
import { withoutRepeats } from './repeats.ts'

/**
 * `w` is the canonical form: lower case, no apostrophes or accents; `alts` are lexicon words one edit away.
 * Kinds: word, number, punctuation (`w` is the mark, `\n` for a line end). Expanded tokens share one span.
 */
export type Token = {
  w: string
  kind: 'word' | 'number' | 'mark'
  start: number
  end: number
  value: number
  capital: boolean
  emoji: boolean
  possessive: boolean
  /** How the spelling step knew the word: by the reader's own lexicon, as ordinary English, mended, or not at all. */
  known: 'lexicon' | 'english' | 'mended' | 'name' | 'unknown'
  alts: readonly string[]
}

/** Longer replies are cut for the reader and marked as not wholly read. */
export const MAX_LENGTH = 10_000

/** One picture over and over says no more than this many times. */
const MAX_PICTURES = 50

const NO_ALTS: readonly string[] = []

export function token(w: string, kind: Token['kind'], start: number, end: number): Token {
  return {
    w,
    kind,
    start,
    end,
    value: Number.NaN,
    capital: false,
    emoji: false,
    possessive: false,
    known: 'unknown',
    alts: NO_ALTS,
  }
}

const APOSTROPHES = new Set(["'", '’', '‘', 'ʼ', '`', '´', '′', '＇'])
const MARKS = new Map<string, string>([
  ['.', '.'],
  ['…', '.'],
  ['。', '.'],
  ['!', '!'],
  ['¡', '!'],
  ['?', '?'],
  ['¿', '?'],
  [',', ','],
  ['،', ','],
  [';', ';'],
  [':', ':'],
  ['-', '-'],
  ['–', '-'],
  ['—', '-'],
  ['/', '/'],
  ['(', '('],
  [')', ')'],
  ['\n', '\n'],
  ['\r', '\n'],
  ['+', '+'],
  ['&', '&'],
  ['=', '='],
  ['<', '<'],
  ['>', '>'],
  ['%', '%'],
])
/** The one keycap that is a picture of its own. */
const TEN = '\u{1f51f}'
const FRACTIONS = new Map<string, number>([
  ['½', 0.5],
  ['¼', 0.25],
  ['¾', 0.75],
  ['⅓', 1 / 3],
  ['⅔', 2 / 3],
])

const letter = /\p{L}/u
const digit = /\p{Nd}/u
const joiner = /\p{M}|\p{Cf}|\p{Emoji_Modifier}/u
const pictograph = /\p{Extended_Pictographic}/u

const isPlainLetter = (code: number) => (code >= 97 && code <= 122) || (code >= 65 && code <= 90)

type CharClass = 'letter' | 'digit' | 'apostrophe' | 'mark' | 'space' | 'join' | 'picture' | 'other'

function classify(ch: string): CharClass {
  const code = ch.codePointAt(0) ?? 0
  if (code < 128) {
    if (isPlainLetter(code)) return 'letter'
    if (code >= 48 && code <= 57) return 'digit'
    if (code === 39 || code === 96) return 'apostrophe'
    if (MARKS.has(ch)) return 'mark'
    return code <= 32 ? 'space' : 'other'
  }
  if (APOSTROPHES.has(ch)) return 'apostrophe'
  if (MARKS.has(ch)) return 'mark'
  if (FRACTIONS.has(ch)) return 'digit'
  if (joiner.test(ch)) return 'join'
  if (letter.test(ch)) return 'letter'
  if (digit.test(ch)) return 'digit'
  if (pictograph.test(ch) || (code >= 0x1f1e6 && code <= 0x1f1ff)) return 'picture'
  return /\s/u.test(ch) ? 'space' : 'other'
}

const fold = (ch: string) =>
  ch.charCodeAt(0) < 128
    ? ch.toLowerCase()
    : ch
        .normalize('NFKD')
        .replace(/\p{M}+/gu, '')
        .toLowerCase()

/** Splits `text` into tokens in one pass; every token knows its place in the original text. */
export function tokenise(text: string): Token[] {
  const tokens: Token[] = []
  const pictures = new Map<string, number>()
  const end = Math.min(text.length, MAX_LENGTH)
  let i = 0
  while (i < end) {
    const ch = String.fromCodePoint(text.codePointAt(i) ?? 32)
    const kind = classify(ch)
    if (kind === 'letter') i = readWord(text, i, end, tokens)
    else if (kind === 'digit') i = readNumber(text, i, end, tokens)
    else if (kind === 'mark') {
      const last = tokens.at(-1)
      const w = MARKS.get(ch) ?? ch
      // A run of one mark is one mark, but `...` still ends a sentence.
      if (last?.kind === 'mark' && last.w === w && last.end === i) last.end = i + ch.length
      else tokens.push(token(w, 'mark', i, i + ch.length))
      i += ch.length
    } else if (ch === TEN) {
      const t = token('10', 'number', i, i + ch.length)
      t.value = 10
      t.known = 'lexicon'
      tokens.push(t)
      i += ch.length
    } else if (kind === 'picture') {
      const t = token(EMOJI.get(ch) ?? 'emoji-plain', 'word', i, i + ch.length)
      t.emoji = true
      t.known = 'lexicon'
      const last = tokens.at(-1)
      const times = (pictures.get(t.w) ?? 0) + 1
      pictures.set(t.w, times)
      if (last?.emoji && last.w === t.w && i - last.end < 8) last.end = t.end
      else if (times <= MAX_PICTURES) tokens.push(t)
      i += ch.length
    } else i += ch.length
  }
  return resolveIll(withoutRepeats(tokens))
}

function readWord(text: string, from: number, limit: number, out: Token[]): number {
  let i = from
  let w = ''
  let apostropheAt = -1
  while (i < limit) {
    const plain = i
    while (i < limit && isPlainLetter(text.charCodeAt(i))) i++
    if (i > plain) {
      w += text.slice(plain, i).toLowerCase()
      continue
    }
    const ch = String.fromCodePoint(text.codePointAt(i) ?? 32)
    const kind = classify(ch)
    if (kind === 'letter') w += fold(ch)
    else if (kind === 'apostrophe') {
      const next = i + ch.length < limit ? String.fromCodePoint(text.codePointAt(i + ch.length) ?? 32) : ' '
      if (classify(next) !== 'letter') break
      apostropheAt = w.length
    } else if (kind !== 'join') break
    i += ch.length
  }
  pushWord(w, apostropheAt, from, i, text, out)
  return i
}

function pushWord(w: string, apostropheAt: number, start: number, end: number, text: string, out: Token[]) {
  const first = text.charAt(start)
  const capital = first !== first.toLowerCase()
  const add = (part: string) => {
    const t = token(part, 'word', start, end)
    t.capital = capital
    out.push(t)
    return t
  }
  if (apostropheAt > 0 && w === 'ill') {
    add('i')
    add('will')
    return
  }
  const short = squeeze(w)
  const parts = CONTRACTIONS.get(w) ?? (short === w ? undefined : CONTRACTIONS.get(short))
  if (parts) {
    for (const part of parts) add(part)
    return
  }
  const slang = SLANG.get(w)
  if (slang) {
    for (const part of slang) add(part)
    return
  }
  const tail = apostropheAt > 0 ? w.slice(apostropheAt) : ''
  if (tail === 's') add(w.slice(0, apostropheAt)).possessive = true
  else if (tail === 'll' || tail === 've' || tail === 're' || tail === 'd') {
    add(w.slice(0, apostropheAt))
    add(tail === 'll' ? 'will' : tail === 've' ? 'have' : tail === 're' ? 'are' : 'would')
  } else add(w)
}

/** `noooo` to `noo`: runs of three or more letters shrink to two; the spelling step tries one. */
export function squeeze(w: string): string {
  if (!/(.)\1\1/.test(w)) return w
  let out = ''
  for (let i = 0; i < w.length; i++) {
    const ch = w[i] ?? ''
    if (ch === w[i - 1] && ch === w[i - 2]) continue
    out += ch
  }
  return out
}

function readNumber(text: string, from: number, limit: number, out: Token[]): number {
  let i = from
  let digits = ''
  let fraction = 0
  while (i < limit) {
    const ch = String.fromCodePoint(text.codePointAt(i) ?? 32)
    const part = FRACTIONS.get(ch)
    if (part !== undefined) {
      fraction = part
      i += ch.length
      break
    }
    if (classify(ch) === 'digit') digits += ch.normalize('NFKD')
    else if (
      (ch === '.' || ch === ',') &&
      !digits.includes('.') &&
      digits.length > 0 &&
      /[0-9]/.test(text.charAt(i + 1)) &&
      (ch === '.' || digits.length >= 2)
    )
      digits += '.'
    else break
    i += ch.length
  }
  // 1st, 2nd, 11th and 8.30am style endings stay with the number as words of their own.
  const ordinal = /^(st|nd|rd|th)\b/i.exec(text.slice(i, i + 3))
  const t = token(digits, 'number', from, i)
  t.value = (digits === '' ? 0 : Number.parseFloat(digits)) + fraction
  t.known = 'lexicon'
  if (ordinal) {
    t.kind = 'word'
    t.w = 'ordinal'
    t.end = i + 2
    i += 2
  }
  out.push(t)
  return i
}

const RUNS = new Set(['running', 'runs', 'ran', 'runnin'])
const FEVERS = new Set(['temp', 'temperature', 'fever', 'high'])

/** `ill do it` is "I will"; any other `ill` is a symptom. */
function resolveIll(tokens: Token[]): Token[] {
  const out: Token[] = []
  for (const [i, t] of tokens.entries()) {
    const next = tokens[i + 1]
    const before = tokens[i - 1]?.w
    // "A1" is one word of praise, and no score.
    if (t.w === 'a' && next?.kind === 'number' && next.value === 1 && next.start === t.end) {
      out.push({ ...t, w: 'a1', end: next.end, known: 'lexicon' })
      continue
    }
    if (out.at(-1)?.w === 'a1' && out.at(-1)?.end === t.end) continue
    // "Running a temp"
    if (RUNS.has(t.w) && next?.w === 'a' && FEVERS.has(tokens[i + 2]?.w ?? '')) {
      out.push({ ...t, w: 'having', known: 'lexicon' })
      continue
    }
    const afterCopula = before === 'am' || before === 'feel' || before === 'feeling' || before === 'is'
    if (t.w === 'ill' && next?.kind === 'word' && WILL_VERBS.has(next.w) && !afterCopula) {
      out.push({ ...t, w: 'i', known: 'lexicon' }, { ...t, w: 'will', known: 'lexicon' })
    } else out.push(t)
  }
  return out
}
