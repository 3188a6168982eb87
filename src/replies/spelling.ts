/**
 * Mends spelling against the reader's own vocabulary only, and never into something harmless while a symptom
 * is as near. Words of ordinary English stay as they are and carry the symptom words one edit away as `alts`.
 */
import { CONTRACTIONS, SLANG } from './lexicon/forms.ts'
import { best, candidates, deletionIndex, MAX_FUZZY, sameLetters, shortNear } from './near-words.ts'
import { squeeze, type Token, token } from './normalise.ts'

export type Vocabulary = {
  /** Words that the lexicon knows. */
  lexicon: ReadonlySet<string>
  /** The part of it that tells of a symptom: mending goes there first. */
  alarm: ReadonlySet<string>
  /** Everyday words that are never suspected of being a slip for a symptom. */
  plain: ReadonlySet<string>
  /** Ordinary English. */
  english: ReadonlySet<string>
}

const MIN_FUZZY = 3
const MAX_SEGMENT = 400
/** Unknown words mended in one reply; what is past it stays unknown, and a human reads the reply. */
const MEND_BUDGET = 120
/** Ordinary words whose near symptom words are kept from one reply to the next. */
export const MEMO = 20_000
const MAX_PIECE = 16

export type Speller = (tokens: Token[], text: string) => Token[]

/** Builds the deletion index once; the returned speller costs a bounded number of look-ups a word. */
export function speller(v: Vocabulary): Speller {
  const known = new Set([...v.lexicon, ...v.plain])
  const near = deletionIndex(known)
  const nearAlarm = deletionIndex(v.alarm)
  const contractions = deletionIndex(new Set([...CONTRACTIONS.keys()].filter((w) => w.length >= 4)))
  const isKnown = (w: string) => known.has(w)
  const isWord = (w: string) => isKnown(w) || v.english.has(w)

  const altsFor = (w: string): readonly string[] =>
    w.length < MIN_FUZZY || w.length > MAX_FUZZY ? [] : candidates(w, nearAlarm, 1)

  const mend = (w: string): string | null => {
    for (const shape of [squeeze(w), squeeze(w).replace(/(.)\1+/g, '$1')]) {
      if (shape !== w && isWord(shape)) return shape
    }
    if (w.length < MIN_FUZZY || w.length > MAX_FUZZY) return null
    const alarm = best(w, candidates(w, nearAlarm, 1))
    // "Mroning" has all the letters of "morning" and not those of "droning".
    const swapped =
      alarm && !sameLetters(alarm, w)
        ? candidates(w, near, 1).find((c) => c[0] === w[0] && sameLetters(c, w) && !v.alarm.has(c))
        : undefined
    if (alarm) return swapped ?? alarm
    // Two slips: only in a longer word that begins alike.
    return w.length >= 7 && candidates(w, near, 1).length === 0
      ? best(
          w,
          candidates(w, nearAlarm, 2).filter((c) => c[0] === w[0]),
        )
      : null
  }

  const mendPlain = (w: string): string | null => {
    if (w.length < MIN_FUZZY || w.length > MAX_FUZZY) return null
    return best(w, candidates(w, near, 1)) ?? (w.length >= 7 ? best(w, candidates(w, near, 2)) : null)
  }

  /** The contraction that `w` may be a slip of; of the short ones only "cant", the graver reading of its words. */
  const contractionNear = (w: string): string | undefined =>
    candidates(w, contractions, 1).find((c) => c.length >= 6 || c === 'cant')

  const mayDeny = (w: string): boolean =>
    w.length >= 3 && candidates(w, contractions, 1).some((c) => CONTRACTIONS.get(c)?.includes('not'))

  /** Two words that lost the space between them, where one of them tells of a symptom. */
  const joinedWords = (w: string): string[] | null => {
    if (w.length > 2 * MAX_PIECE) return null
    let found: string[] | null = null
    for (let cut = 2; cut <= w.length - 2; cut++) {
      const [left, right] = [w.slice(0, cut), w.slice(cut)]
      const telling = (x: string) => x.length >= 4 && v.alarm.has(x)
      if (!telling(left) && !telling(right)) continue
      const good = (x: string) => (x.length === 2 ? TWO.has(x) : isKnown(x) || CONTRACTIONS.has(x))
      // "droppedno" may be "dropped on".
      if (!good(left) || !good(right) || right === 'no') continue
      if (
        !found ||
        Math.abs(left.length - right.length) < Math.abs((found[0] ?? '').length - (found[1] ?? '').length)
      )
        found = [left, right]
    }
    return found
  }

  const altsOf = remember(altsFor, MEMO)
  /** What a word that may stand as it is written is, and what it may be a slip for. */
  const asWritten = remember((w): Pick<Token, 'w' | 'known' | 'alts'> | null => {
    if (isKnown(w)) return { w, known: 'lexicon', alts: v.alarm.has(w) || v.plain.has(w) ? [] : altsFor(w) }
    const plural = w.endsWith('s') ? w.slice(0, -1) : ''
    return v.english.has(w) || (plural.length > 3 && v.english.has(plural))
      ? { w, known: 'english', alts: altsFor(w) }
      : null
  }, MEMO)

  return (tokens, text) => {
    const out: Token[] = []
    const mendMemo = new Map<string, string | null>()
    const nearestOf = remember((w) => candidates(w, nearAlarm, 1))
    const spreadOf = remember(contractionNear)
    const shortOf = remember((w) => [...altsOf(w), ...shortNear(w)])
    const plainOf = remember((w) => (mayDeny(w) ? null : mendPlain(w)))
    let budget = MEND_BUDGET
    for (const t of tokens) {
      if (t.kind !== 'word' || t.emoji) {
        out.push(t)
        continue
      }
      const written = asWritten(t.w)
      if (written) {
        // The same string for the same word: its hash is known, and sets find it at once.
        t.w = written.w
        t.known = written.known
        t.alts = written.alts
        out.push(t)
        continue
      }
      const spread = t.w.length >= 4 ? spreadOf(t.w) : undefined
      if (spread) {
        for (const part of CONTRACTIONS.get(spread) ?? []) out.push({ ...t, w: part, known: 'mended' })
        continue
      }
      // "Dontt", "nowtt": a letter too many says nothing else.
      const single = t.w.replace(/(.)\1+/g, '$1')
      const whole = single === t.w ? undefined : (CONTRACTIONS.get(single) ?? SLANG.get(single))
      if (whole && t.w.length >= 4) {
        for (const part of whole) out.push({ ...t, w: part, known: 'mended' })
        continue
      }
      const nearest = nearestOf(t.w)
      const ending = t.w.length > 4 && t.w.endsWith('in') && isWord(`${t.w}g`)
      const joined = t.w.length >= 6 && (ending || nearest.length === 0) ? joinedWords(t.w) : null
      if (joined) {
        pushPieces(out, t, joined)
        continue
      }
      if (ending && (v.alarm.has(`${t.w}g`) || nearest.length === 0)) {
        t.w = `${t.w}g`
        t.known = isKnown(t.w) ? 'lexicon' : 'english'
        out.push(t)
        continue
      }
      // The first word of a sentence has its capital for that: a slip of a known word is no name.
      const opens = out.length === 0 || /^[.!?\n]$/.test(out.at(-1)?.w ?? '')
      const slipped = opens && t.w.length >= 4 && plainOf(t.w) !== null
      if (isName(t, text) && nearest.length === 0 && !slipped) {
        t.known = 'name'
        out.push(t)
        continue
      }
      const before = mendMemo.get(t.w)
      if (before === undefined && budget-- <= 0) {
        t.known = 'unknown'
        out.push(t)
        continue
      }
      const mended = before === undefined ? mend(t.w) : before
      mendMemo.set(t.w, mended)
      if (mended) {
        t.w = mended
        t.known = 'mended'
        out.push(t)
        continue
      }
      const pieces = segment(t.w, (w) => isWord(w) || (w.length >= 4 && CONTRACTIONS.has(w)), v)
      if (pieces) {
        pushPieces(out, t, pieces)
        continue
      }
      // A slip of "dont" or of "went"? What may say "not" is left to a human.
      const plain = plainOf(t.w)
      const slang = plain ? SLANG.get(plain) : undefined
      if (slang) {
        for (const part of slang) out.push({ ...t, w: part, known: 'mended' })
        continue
      }
      if (plain) {
        t.w = plain
        t.known = 'mended'
      } else {
        t.known = 'unknown'
        t.alts = t.w.length <= 4 ? shortOf(t.w) : altsOf(t.w)
      }
      out.push(t)
    }
    return out
  }
}

/** Asks once for each word, of so many words. */
export function remember<T>(find: (w: string) => T, most = Number.POSITIVE_INFINITY): (w: string) => T {
  const found = new Map<string, T>()
  return (w) => {
    const before = found.get(w)
    if (before !== undefined || found.has(w)) return before as T
    const now = find(w)
    if (found.size < most) found.set(w, now)
    return now
  }
}

/** Puts the pieces of `t` in its place, each with its own part of the text. */
function pushPieces(out: Token[], t: Token, pieces: string[]) {
  let at = t.start
  for (const piece of pieces.flatMap((p) => CONTRACTIONS.get(p) ?? [p])) {
    const part = token(piece, 'word', at, Math.min(t.end, at + piece.length))
    part.known = 'mended'
    part.capital = t.capital
    out.push(part)
    at = part.end
  }
  const last = out.at(-1)
  if (last) last.end = t.end
}

/** One capital, then small letters: a name of a person or a place, unless it is near a symptom. */
function isName(t: Token, text: string): boolean {
  const written = text.slice(t.start, t.end)
  return t.capital && written.length >= 3 && written.slice(1) === written.slice(1).toLowerCase()
}

/** Words written without spaces, cut into the fewest known words; null if some part is not a word. */
function segment(w: string, isWord: (w: string) => boolean, v: Vocabulary): string[] | null {
  if (w.length < 5 || w.length > MAX_SEGMENT) return null
  const cost: number[] = [0]
  const from: number[] = [0]
  for (let end = 1; end <= w.length; end++) {
    cost[end] = Number.POSITIVE_INFINITY
    for (let start = Math.max(0, end - MAX_PIECE); start < end; start++) {
      const before = cost[start]
      if (before === undefined || before === Number.POSITIVE_INFINITY) continue
      const piece = w.slice(start, end)
      const price = pieceCost(piece, isWord, v)
      if (before + price < (cost[end] ?? Number.POSITIVE_INFINITY)) {
        cost[end] = before + price
        from[end] = start
      }
    }
  }
  if (cost[w.length] === Number.POSITIVE_INFINITY) return null
  const out: string[] = []
  for (let end = w.length; end > 0; end = from[end] ?? 0) out.unshift(w.slice(from[end] ?? 0, end))
  const short = out.filter((p) => p.length <= 2).length
  return short > out.length / 2 + 1 ? null : out
}

const ONE = new Set(['i', 'a'])
const TWO = new Set('my is it in on no so to of me we he up am at be do go if or by an as us'.split(' '))

function pieceCost(piece: string, isWord: (w: string) => boolean, v: Vocabulary): number {
  if (piece.length === 1) return ONE.has(piece) ? 3.2 : Number.POSITIVE_INFINITY
  if (piece.length === 2) return TWO.has(piece) ? 2.6 : Number.POSITIVE_INFINITY
  if (!isWord(piece)) return Number.POSITIVE_INFINITY
  if (v.alarm.has(piece) || CONTRACTIONS.get(piece)?.includes('not')) return 1.6
  if (v.lexicon.has(piece) || v.plain.has(piece)) return 2
  return piece.length <= 3 ? 4 : 3
}
