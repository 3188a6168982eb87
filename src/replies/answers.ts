/** Answers: numbers, doses, softness. */
import type { Layout } from './clauses.ts'
import { NUMBER_SLIPS, NUMBERS, PERIODS, TIMES_WORDS } from './lexicon/answers.ts'
import type { Token } from './normalise.ts'
import { findAll, type Match, type PatternSet } from './patterns.ts'
import type { ReplyContext } from './types.ts'
import { cues } from './vocabulary.ts'

export const hits = (tokens: readonly Token[], set: PatternSet<true>): Match<true>[] =>
  findAll(tokens, set).filter((m) => !m.fuzzy)
export const has = (tokens: readonly Token[], set: PatternSet<true>): boolean => hits(tokens, set).length > 0

/** The value of a number token or number word, or null. */
export function numberAt(tokens: readonly Token[], i: number): number | null {
  const t = tokens[i]
  if (!t) return null
  if (t.kind === 'number') return Number.isFinite(t.value) ? t.value : null
  return NUMBERS.get(t.w) ?? null
}

/** Gives number words and digits that stand for a pain score: 7, 7/10, "about a 6 or 7" (the higher), "seven out of ten". */
export function scores(
  tokens: readonly Token[],
): { value: number; from: number; to: number; marked: boolean }[] {
  const out: { value: number; from: number; to: number; marked: boolean }[] = []
  for (let i = 0; i < tokens.length; i++) {
    const value = numberAt(tokens, i)
    if (
      value === null ||
      (tokens[i]?.kind === 'word' && /^(couple|few|several|dozen)$/.test(tokens[i]?.w ?? ''))
    )
      continue
    let to = i + 1
    let top = value
    // "6 or 7", "6-7", "6/7", "6 to 7", "six seven"
    const joint = tokens[to]?.w ?? ''
    const second = numberAt(tokens, to + 1)
    if (
      second !== null &&
      second !== 10 &&
      /^(or|-|to|maybe|\/)$/.test(joint) &&
      !(joint === 'to' && /^(from|up|down)$/.test(tokens[i - 1]?.w ?? ''))
    ) {
      top = Math.max(top, second)
      to += 2
    }
    let marked = false
    if (
      tokens[to]?.w === 'and' &&
      /^(half)$/.test(tokens[to + (tokens[to + 1]?.w === 'a' ? 2 : 1)]?.w ?? '')
    ) {
      to += tokens[to + 1]?.w === 'a' ? 3 : 2
      top += 0.5
    }
    let w = tokens[to]?.w ?? ''
    if (w === '/' && numberAt(tokens, to + 1) === 10) {
      marked = true
      to += 2
    } else if ((w === 'out' || w === 'oot') && tokens[to + 1]?.w === 'of') {
      const base = numberAt(tokens, to + 2)
      if (base === 10 || (base === null && tokens[to + 2] === undefined)) marked = true
      if (base === 10) to += 3
    } else if (w === 'of' && numberAt(tokens, to + 1) === 10) {
      marked = true
      to += 2
    }
    w = tokens[to]?.w ?? ''
    if (top <= 10 || marked) out.push({ value: Math.min(10, top), from: i, to, marked })
    i = to - 1
  }
  return out
}

const NOT_COUNTED =
  /^(ear|ears|drop|drops|side|sides|minute|minutes|min|mins|hour|hours|day|days|week|weeks|month|months|year|years|am|pm|oclock|ml|bottle|bottles|percent|%|th|st|nd|weeks|lots-of|pound|pence|squirts|squirt|people|grandchildren|cups|more|out|quid|tablets|paracetamol|degrees|to)$/
const COUNTED =
  /^(times|time|x|doses|dose|goes|go|lots|lot|applications|application|sessions|rounds|turns|squirts|attempts|done|puts|so|today|yesterday|only|now)$/
const PERIOD_OF = new Map(
  PERIODS.flatMap(([period, words]) => words.split(' ').map((w): [string, string] => [w, period])),
)

export type Doses = { count: number | null; contradicts: boolean; spoke: boolean }

type Count = { value: number; period: string | null }
type Piece = { from: number; to: number }

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
    return { count: null, contradicts: false, spoke: false }
  const forgot = hits(tokens, cues.forgot).filter((m) => !isCountNegation(tokens, m))
  const future = hits(tokens, cues.future)
  const done = hits(tokens, cues.done)
  const today =
    tokens.some((t) => /^(today|tonight)$/.test(t.w)) ||
    followed(tokens, { from: 0, to: tokens.length }, 'this', /^(morning|afternoon|evening)$/)
  const counts: Count[] = []
  const times = new Set<string>()
  let ordinal = 0
  let more = 0
  let zero = false
  let did = false
  let planned = false
  const forgotten = forgot.some((m) =>
    /^(forgot|forgotten|forget|forgetting|missed|miss|skipped|skip|slipped)$/.test(tokens[m.from]?.w ?? ''),
  )
  for (const piece of pieces(tokens, layout)) {
    const inPiece = (m: Match<true>) => m.from >= piece.from && m.from < piece.to
    const words = wordsOf(tokens, piece)
    const sentence = layout.sentences[layout.sentence[piece.from] ?? 0]
    if (sentence && tokens[sentence.to - 1]?.w === '?' && sentence.to - sentence.from > 3) continue
    const isDone = done.some(inPiece)
    const own = asked || isDone || pieceHas(tokens, piece, SPEAKS_OF_DROPS)
    if (!own && busy.has(layout.sentence[piece.from] ?? -1)) continue
    const isFuture =
      future.some(inPiece) &&
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
    for (let i = piece.from; i < piece.to; i++) readCount(tokens, i, piece.to, found, asked)
    const nth = ordinalIn(tokens, piece, asked)
    if (forgot.some(inPiece) && !pieceHas(tokens, piece, /^(days|since-when)$/)) {
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
    if (asked || isDone) for (const p of said) times.add(p)
  }
  const relevant = asked || speaksOfDrops || done.some((m) => tokens[m.from]?.w !== 'yes') || forgotten
  if (asked && planned && !did && counts.length === 0 && times.size === 0) zero = true
  const loose = !relevant && context === 'softening' && counts.length > 0
  const count = relevant || loose ? total(counts, times, ordinal, more, zero) : null
  const contradicts =
    zero && did && counts.length === 0 && times.size === 0 && done.some((m) => tokens[m.from]?.w === 'did')
  return { count: contradicts ? null : count, contradicts, spoke: did || zero || speaksOfDrops }
}

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

/** "did not miss any", "not forgotten" are no zeros. */
const isCountNegation = (tokens: readonly Token[], m: Match<true>) => {
  const w = tokens[m.from]?.w ?? ''
  return (
    (/^(miss|missed|forget|forgot|forgotten|skipped|skip)$/.test(w) &&
      ([1, 2].some((n) => /^(not|never|nothing|without)$/.test(tokens[m.from - n]?.w ?? '')) ||
        /^(you|my|the|him|her|bingo|what|to-say)$/.test(tokens[m.from + 1]?.w ?? ''))) ||
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

const LOT = /^(lot|lots|dose|doses|go|one|time|drops|set|round|application|batch|session)$/
const ORDINALS: Record<string, number> = { first: 1, second: 2, third: 3, fourth: 4 }

/** "first lot ... second lot": the highest that was done. */
function ordinalIn(tokens: readonly Token[], p: Piece, asked: boolean): number {
  let top = 0
  for (let i = p.from; i < p.to; i++) {
    const t = tokens[i]
    const value = t?.w === 'ordinal' ? t.value : (ORDINALS[t?.w ?? ''] ?? 0)
    if (
      value > 0 &&
      value <= 6 &&
      (LOT.test(tokens[i + 1]?.w ?? '') ||
        (asked && /^(at|in|after|before|this|done)$/.test(tokens[i + 1]?.w ?? ''))) &&
      !/^(no|not)$/.test(tokens[i - 1]?.w ?? '')
    )
      top = Math.max(top, value)
  }
  return top
}

/** What may follow a count that stands alone. */
const AFTER_COUNT =
  /^([.,!?;:)\n-]|and|but|so|then|today|this|in|at|of|yet|thanks|thank|love|now|done|because|went|with|not|mind|or|maybe|i|still|only|morning|tonight|before|after|to|twice|dear|kiss|well|as|x|down|lots|since|it|out|emoji-.*)$/

function readCount(tokens: readonly Token[], i: number, to: number, counts: Count[], asked: boolean) {
  const w = tokens[i]?.w ?? ''
  const next = tokens[i + 1]?.w ?? ''
  const before = tokens[i - 1]?.w ?? ''
  const push = (value: number) => counts.push({ value, period: periodNear(tokens, i, to) })
  const times = TIMES_WORDS.get(w)
  if (times !== undefined) {
    if (before === 'not') return
    if (
      w === 'once' &&
      !/^(the|just|only)$/.test(before) &&
      (before === 'at' ||
        (!asked &&
          next !== '' &&
          !/^([.,!?;]|today|this|so|only|and|tonight|but|at|in|daily|yesterday|last|mark)$/.test(next)) ||
        /^(i|it|you|they|my|we|that|a)$/.test(next))
    )
      return
    push(times)
    return
  }
  if (w === 'both') {
    const ends =
      next === '' ||
      /^[.!?,;\n]$/.test(next) ||
      /^(mind|thanks|done|today|so|times|time|doses|lots|goes|sessions|yes|now|as|like|and)$/.test(next)
    if (
      ends &&
      (asked || /^(times|time|doses|lots|goes|done)$/.test(next) || /^(did|done)$/.test(before)) &&
      tokens[i + 2]?.w !== 'ears'
    )
      push(2)
    return
  }
  if (w === 'x' && numberAt(tokens, i + 1) !== null) {
    push(numberAt(tokens, i + 1) ?? 0)
    return
  }
  const heard = /^(times|time)$/.test(next) ? (NUMBER_SLIPS.get(w) ?? null) : null
  const value = numberAt(tokens, i) ?? heard
  if (
    value === null ||
    before === 'x' ||
    w === 'few' ||
    value > 12 ||
    (!Number.isInteger(value) && value !== 0.5)
  )
    return
  // "1 of 2", "1/2", "2 out of 3": the first number counts.
  const joiner = tokens[i + 2]?.w === 'the' ? i + 3 : i + 2
  const ofTotal = (next === 'of' || next === '/') && numberAt(tokens, joiner) !== null
  const outAt = tokens[i + 3]?.w === 'the' ? i + 4 : i + 3
  const outOf = next === 'out' && tokens[i + 2]?.w === 'of' && numberAt(tokens, outAt) !== null
  if (before === '/' && numberAt(tokens, i - 2) !== null) return
  const leads = [1, 2, 3].map((n) => tokens[i - n]?.w ?? '')
  if (
    (leads[0] === 'of' || (leads[0] === 'the' && leads[1] === 'of')) &&
    [2, 3, 4].some((n) => numberAt(tokens, i - n) !== null)
  )
    return
  if (
    (before === 'or' || before === '-' || before === 'to') &&
    (numberAt(tokens, i - 2) !== null || /^(second|minute|hour|day)$/.test(tokens[i - 2]?.w ?? ''))
  )
    return
  if (ofTotal || outOf) {
    if (numberAt(tokens, ofTotal ? joiner : outAt) !== 10) push(value)
    return
  }
  if (value === 0.5) {
    // "½" for "1 of 2" in an answer about doses.
    if (asked && tokens[i]?.kind === 'number') push(1)
    return
  }
  if (next === 'yesterday' && tokens.some((t) => t.w === 'today')) return
  const counted = COUNTED.test(next)
  if (
    NOT_COUNTED.test(next) ||
    (/^(ear|ears|drop|drops)$/.test(tokens[i + 2]?.w ?? '') &&
      /^(of|in|each|the|or|little|ear|my|little|good)$/.test(next))
  )
    return
  if (
    /^(day|at|about|number|no|for|tablet|page|aged|hour|gate|after|before|around|half|than|by|till|until|type)$/.test(
      before,
    ) &&
    !counted
  )
    return
  if (
    (next === ':' || next === '.') &&
    tokens[i + 2]?.kind === 'number' &&
    tokens[i + 2]?.start === (tokens[i + 1]?.end ?? 0)
  )
    return
  if (counted) {
    if (next === 'time' && w === 'one' && !/^(only|it|just|managed|did)$/.test(before)) return
    if (before === 'not') return
    if (leads.includes('than')) return
    push(value)
    return
  }
  // "four drops morning and four at night": the second four is drops too.
  if (
    tokens
      .slice(0, i)
      .some((_, k) => numberAt(tokens, k) === value && /^(drop|drops)$/.test(tokens[k + 1]?.w ?? ''))
  ) {
    push(1)
    return
  }
  if (tokens.length > 4 && next !== '' && !AFTER_COUNT.test(next)) return
  if (!asked && !/^(did|done|had|only|just|managed|all)$/.test(before)) return
  if (
    w === 'one' &&
    /^(this|that|the|next|last|any|no|good|each|bad|left|right|which|every)$/.test(before) &&
    !(before === 'the' && /^(just|only)$/.test(leads[1] ?? ''))
  )
    return
  push(value)
}

function periodNear(tokens: readonly Token[], at: number, to: number): string | null {
  for (let i = at + 1; i < Math.min(to, at + 6); i++) {
    const p = PERIOD_OF.get(tokens[i]?.w ?? '')
    if (p && !(tokens[i]?.w === 'am' && tokens[i - 1]?.w === 'i')) return p
    if (tokens[i]?.w === 'and') return null
  }
  return null
}

/** Parts of the day and clock times named in a piece; neighbours ("tonight before bed") are one. */
function timesIn(tokens: readonly Token[], p: Piece): string[] {
  const out: string[] = []
  let lastAt = -9
  for (let i = p.from; i < p.to; i++) {
    const t = tokens[i]
    const before = tokens[i - 1]?.w ?? ''
    const next = tokens[i + 1]?.w ?? ''
    const value = numberAt(tokens, i)
    const clock =
      value !== null &&
      value >= 1 &&
      value <= 12 &&
      (/^(am|pm|oclock)$/.test(next) ||
        (/^(at|about|around|half)$/.test(before) &&
          !/^(times|time|drops|out|of|minutes|mins|days|\/)$/.test(next)))
    if (clock) {
      if (/^(am|pm)$/.test(next) || i - lastAt > 3 || separated(tokens, lastAt, i))
        out.push(`clock-${value}-${next}`)
      lastAt = i + 1
      continue
    }
    const period = PERIOD_OF.get(t?.w ?? '')
    if (!period) continue
    if (t?.w === 'am' && (before === 'i' || before === 'me')) continue
    if (t?.w === 'am' || t?.w === 'pm') {
      if (i - lastAt <= 1) continue
    }
    // A greeting is no time.
    if (
      /^(good|god|gud)$/.test(before) ||
      (i === 0 &&
        /^(morning|evening|afternoon|night)$/.test(t?.w ?? '') &&
        !/^(and|&|done|yes|only|dose|drops|one|noon|lunch|lunchtime|teatime)$/.test(next) &&
        !(next === ',' && PERIOD_OF.has(tokens[i + 2]?.w ?? '')))
    )
      continue
    if (/^(tomorrow|every|each)$/.test(before)) continue
    if (
      /^(bed|night)$/.test(t?.w ?? '') &&
      /^(in|my|the|of|from|last|all)$/.test(before) &&
      !/^(at|before)$/.test(tokens[i - 2]?.w ?? '') &&
      before !== 'at'
    ) {
      if (before === 'in' || before === 'last' || before === 'all' || before === 'from') continue
    }
    if (
      t?.w === 'tea' &&
      !/^(time|and|after|before|then)$/.test(next) &&
      !/^(at|after|before|and|with|dinner)$/.test(before)
    )
      continue
    if (i - lastAt <= 3 && lastAt >= 0 && !separated(tokens, lastAt, i)) {
      lastAt = i
      continue
    }
    out.push(period)
    lastAt = i
  }
  return [...new Set(out)]
}

function separated(tokens: readonly Token[], from: number, to: number): boolean {
  if (PERIOD_OF.get(tokens[from]?.w ?? '') && PERIOD_OF.get(tokens[to]?.w ?? '') && to === from + 1) {
    // "breakfast dinner and bedtime", "morning noon night": a bare list.
    return (
      !/^(tonight|time|evening)$/.test(tokens[to]?.w ?? '') &&
      !/^(tonight|today|tea)$/.test(tokens[from]?.w ?? '')
    )
  }
  return tokens.slice(from + 1, to).some((t) => /^(and|an|,|&|\/|\+|then|again|-)$/.test(t.w))
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

/** Softened, not softened, or not said. */
export function readSoftened(tokens: readonly Token[], layout: Layout, asked: boolean): boolean | null {
  const no = hits(tokens, cues.softNo)
  const yes = hits(tokens, cues.softYes).filter((m) => !no.some((n) => m.from < n.to && n.from < m.to))
  const aboutWax = tokens.some((t) =>
    /^(butter|brick|pebble|wax|hard|soft-wax|softened|softer|softening|soften|soft|loosened|loosening|plug|looser|melted|softend)$/.test(
      t.w,
    ),
  )
  if (!asked && !aboutWax) return null
  const clean = (list: Match<true>[]) =>
    list.filter((m) => {
      const w = tokens[m.from]?.w ?? ''
      const s = layout.sentences[layout.sentence[m.from] ?? 0]
      const question = s !== undefined && tokens[s.to - 1]?.w === '?'
      const harmless =
        /^(working|moving|running|dry|hard|stuck|loose|runny)$/.test(w) &&
        !asked &&
        !tokens.slice(Math.max(0, m.from - 5), m.to + 4).some((t) => /^(wax|ear|plug|it)$/.test(t.w))
      const supposed = tokens
        .slice(Math.max(0, m.from - 4), m.from)
        .some((t) => /^(if|will|should|hope|hopefully|trying)$/.test(t.w))
      return !question && !harmless && !supposed
    })
  const said = clean(yes).length
  const denied = clean(no).filter(
    (m) =>
      tokens[m.from]?.w !== 'hard' ||
      tokens.slice(m.from, m.to + 3).every((t) => !/^(to|hear|of|hearing)$/.test(t.w)),
  ).length
  if (said > 0 && denied === 0) return true
  if (denied > 0 && said === 0) return false
  return null
}
