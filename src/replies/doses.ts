/** How often the drops went in on the day asked about: counts and times of day, less what was missed or is planned. */
import { hits, numberAt } from './answers.ts'
import type { Layout } from './clauses.ts'
import { type Count, ordinalIn, readCount, toldOnce } from './dose-counts.ts'
import { ASKS, type Piece, timesIn } from './dose-times.ts'
import { TIMES_WORDS } from './lexicon/answers.ts'
import type { Token } from './normalise.ts'
import type { Match } from './patterns.ts'
import type { ReplyContext } from './types.ts'
import { cues } from './vocabulary.ts'

/** `numbered`: a number or "twice" was told, not only times of day. */
export type Doses = { count: number | null; contradicts: boolean; spoke: boolean; numbered: boolean }

const SPEAKS_OF_DROPS =
  /^(drops|oil|olive|almond|bicarb|bicarbonate|dose|doses|dropper|eardrops|spray|sodium)$/

/**
 * Times that drops went in on the day asked about; null when the reply does not say.
 * `busy`: sentences that tell of a symptom, whose "twice" is the symptom's own unless drops are named.
 */
export function readDoses(
  tokens: readonly Token[],
  layout: Layout,
  asked: boolean,
  context: ReplyContext,
  busy: ReadonlySet<number>,
): Doses {
  const speaksOfDrops = tokens.some((t) => SPEAKS_OF_DROPS.test(t.w))
  if (!asked && !speaksOfDrops && context !== 'softening')
    return { count: null, contradicts: false, spoke: false, numbered: false }
  const forgot = hits(tokens, cues.forgot).filter(
    (m) => !isCountNegation(tokens, m) && !ofMessages(tokens, m),
  )
  // "Been able to do it once" is no plan.
  const future = hits(tokens, cues.future).filter(
    (m) => !/^(able|managed|manage|got|remembered)$/.test(tokens[m.from - 1]?.w ?? ''),
  )
  // "I dropped off in the chair", "drop off at the shops" put no drops in.
  const done = hits(tokens, cues.done).filter(
    (m) =>
      !(
        tokens[m.from]?.w === 'dropped' &&
        /^(off|it|them|the|in|by|round|asleep)$/.test(tokens[m.to]?.w ?? '')
      ),
  )
  const today =
    tokens.some((t) => /^(today|tonight)$/.test(t.w)) ||
    followed(tokens, { from: 0, to: tokens.length }, 'this', /^(morning|afternoon|evening)$/)
  const told = toldOnce(tokens)
  const [forgotAt, futureAt, doneAt] = [forgot, future, done].map((list) => new Set(list.map((m) => m.from)))
  const counts: Count[] = []
  const times = new Set<string>()
  let ordinal = 0
  let more = 0
  let zero = false
  let did = false
  let planned = false
  let last: Piece | null = null
  let ofDrops = false
  const forgotten = forgot.some((m) =>
    /^(forgot|forgotten|forget|forgetting|missed|miss|skipped|skip|slipped)$/.test(tokens[m.from]?.w ?? ''),
  )
  for (const piece of pieces(tokens, layout)) {
    const holds = (places: ReadonlySet<number> | undefined) => {
      for (let i = piece.from; i < piece.to; i++) if (places?.has(i)) return true
      return false
    }
    const words = wordsOf(tokens, piece)
    const sentence = layout.sentences[layout.sentence[piece.from] ?? 0]
    if (sentence && tokens[sentence.to - 1]?.w === '?' && sentence.to - sentence.from > 3) continue
    if (ASKS.test(words)) continue
    const isDone = holds(doneAt)
    // "Has been using the drops, twice today": the count goes on from the drops just named.
    const goesOn: boolean =
      last !== null &&
      layout.sentence[last.from] === layout.sentence[piece.from] &&
      (piece.to - piece.from <= 4 || A_TIME.test(words)) &&
      ofDrops
    last = piece
    ofDrops = goesOn || pieceHas(tokens, piece, SPEAKS_OF_DROPS)
    const own = asked || isDone || goesOn || pieceHas(tokens, piece, SPEAKS_OF_DROPS)
    if (!own && busy.has(layout.sentence[piece.from] ?? -1)) continue
    const isFuture =
      holds(futureAt) &&
      !/\b(did|had|done|put|used|took|went)\b/.test(
        words.replace(/\b(to|will|gonna) (put|do|use|have|be done)\b/g, ''),
      )
    if (isFuture) {
      planned = true
      continue
    }
    if (
      isOtherDay(tokens, piece) &&
      (today || asked) &&
      !(
        asked &&
        !today &&
        counts.length === 0 &&
        times.size === 0 &&
        pieceHas(tokens, piece, /^forgot|forgotten$/) === false &&
        isLastPiece(tokens, piece)
      )
    )
      continue
    const found: Count[] = []
    for (let i = piece.from; i < piece.to; i++) readCount(tokens, i, piece.to, found, asked, told)
    const nth = ordinalIn(tokens, piece, asked)
    if (holds(forgotAt) && !pieceHas(tokens, piece, /^(days|since-when)$/)) {
      const doneAfter =
        found.some((c) => c.value > 0) && isDone && !/\b(not|no|none|third|second)\b/.test(words)
      if (!doneAfter) {
        zero ||= asked || speaksOfDrops || forgotten
        continue
      }
    }
    const said = timesIn(tokens, piece)
    if (nth > 0) ordinal = Math.max(ordinal, nth)
    if (
      pieceHas(tokens, piece, /^again$/) &&
      (said.length > 0 || piece.to - piece.from <= 4) &&
      (counts.length > 0 || times.size > 0)
    )
      more++
    for (const c of found) c.period ??= said.length === 1 ? (said[0] ?? null) : null
    counts.push(...found)
    if (found.length > 0 || said.length > 0 || isDone) did = true
    if (asked || isDone || (goesOn && A_TIME.test(words))) for (const p of said) times.add(p)
  }
  const relevant = asked || speaksOfDrops || done.some((m) => tokens[m.from]?.w !== 'yes') || forgotten
  if (asked && planned && !did && counts.length === 0 && times.size === 0) zero = true
  const loose = !relevant && context === 'softening' && counts.length > 0
  const count = relevant || loose ? total(counts, times, ordinal, more, zero) : null
  const contradicts =
    zero && did && counts.length === 0 && times.size === 0 && done.some((m) => tokens[m.from]?.w === 'did')
  return {
    count: contradicts ? null : count,
    contradicts,
    spoke: did || zero || speaksOfDrops,
    numbered: counts.length > 0 || ordinal > 0,
  }
}

/** A piece that only goes on with a list of times. */
const A_TIME =
  /^(and |then |again )*(at|after|before|with) (my |the )?(breakfast|lunch|dinner|tea|supper|bed|bedtime|lunchtime|teatime|noon|midday|night)\b/

const wordsOf = (tokens: readonly Token[], p: Piece) =>
  tokens
    .slice(p.from, p.to)
    .map((t) => t.w)
    .join(' ')
const pieceHas = (tokens: readonly Token[], p: Piece, pattern: RegExp) =>
  tokens.slice(p.from, p.to).some((t) => pattern.test(t.w))
const followed = (tokens: readonly Token[], p: Piece, w: string, next: RegExp) =>
  tokens.slice(p.from, p.to).some((t, k) => t.w === w && next.test(tokens[p.from + k + 1]?.w ?? ''))
const isOtherDay = (tokens: readonly Token[], p: Piece) =>
  (pieceHas(tokens, p, /^yesterday$/) || followed(tokens, p, 'last', /^(night|evening)$/)) &&
  !pieceHas(tokens, p, /^(today|tonight)$/)
/** A reply that speaks of nothing but yesterday answers for yesterday. */
const isLastPiece = (tokens: readonly Token[], p: Piece) => p.from === 0 && p.to >= tokens.length - 1

/** "Don't text any more" speaks of no doses. */
const ofMessages = (tokens: readonly Token[], m: Match<true>) =>
  tokens
    .slice(m.from, m.to)
    .some((t) =>
      /^(text|texts|texting|message|messages|messaging|reminders|contact|ring|phone|call)$/.test(t.w),
    )

const OF_DOSES =
  /^(drops|doses|dose|oil|lot|one|first|second|third|last|other|others|rest|morning|breakfast|lunch|lunchtime|dinner|dinnertime|midday|noon|afternoon|tea|teatime|evening|night|bedtime)$/

/** "did not miss any", "not forgotten" are no zeros. */
const isCountNegation = (tokens: readonly Token[], m: Match<true>) => {
  const w = tokens[m.from]?.w ?? ''
  return (
    (/^(miss|missed|forget|forgot|forgotten|skipped|skip)$/.test(w) &&
      ([1, 2].some((n) => /^(not|never|nothing|without)$/.test(tokens[m.from - n]?.w ?? '')) ||
        (/^(you|my|the|him|her|bingo|what|how|why|who|where)$/.test(tokens[m.from + 1]?.w ?? '') &&
          (!OF_DOSES.test(tokens[m.from + 2]?.w ?? '') ||
            /^(question|text|message)$/.test(tokens[m.from + 3]?.w ?? ''))) ||
        (tokens[m.from + 1]?.w === 'to' &&
          /^(say|tell|mention|ask|let|add|reply|answer|text|ring)$/.test(tokens[m.from + 2]?.w ?? '')))) ||
    (w === 'ran' &&
      tokens[m.from + 1]?.w === 'out' &&
      !/^(of|so|none|today)$/.test(tokens[m.from + 2]?.w ?? '') &&
      tokens[m.from + 2] !== undefined)
  )
}

const SPLITTERS =
  /^(will|then|forgot|forgotten|missed|not|did|again|none|just|going|gonna|intend|plan|hope|another|i|once|twice|mean)$/

function pieces(tokens: readonly Token[], layout: Layout): Piece[] {
  const out: Piece[] = []
  for (const c of layout.clauses) {
    let from = c.from
    for (let i = c.from; i < c.to; i++) {
      if (tokens[i]?.w !== 'and' || i === from) continue
      const next = tokens[i + 1]?.w ?? ''
      if (numberAt(tokens, i + 1) === null && !TIMES_WORDS.has(next) && !SPLITTERS.test(next)) continue
      out.push({ from, to: i })
      from = i + 1
    }
    out.push({ from, to: c.to })
  }
  return out.filter((p) => p.to > p.from)
}

function total(
  counts: Count[],
  times: Set<string>,
  ordinal: number,
  more: number,
  zero: boolean,
): number | null {
  if (ordinal > 0 && counts.every((c) => c.value === 1)) return Math.max(ordinal, counts.length > 0 ? 1 : 0)
  if (counts.length > 0) {
    const separate =
      counts.length > 1 &&
      new Set(counts.map((c) => c.period)).size === counts.length &&
      counts.every((c) => c.period !== null)
    if (separate) return counts.reduce((sum, c) => sum + c.value, 0)
    if (counts.length > 1 && counts.every((c) => c.value === 1)) return Math.max(counts.length, times.size)
    const first = counts[0]?.value ?? 0
    if (first === 1) return Math.max(times.size, 1 + more)
    return first
  }
  if (times.size > 0) return Math.max(times.size, more > 0 ? 1 + more : 0)
  return zero ? 0 : null
}
