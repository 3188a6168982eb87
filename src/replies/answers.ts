/** Answers and wishes: numbers, doses, softness, STOP and START, moving the visit, calls, wrong number. */
import type { Layout } from './clauses.ts'
import { NUMBERS, PERIODS, START_WORDS, STOP_WORDS, TIMES_WORDS } from './lexicon/answers.ts'
import type { Token } from './normalise.ts'
import { findAll, type Match, type PatternSet } from './patterns.ts'
import type { ReplyContext } from './types.ts'
import { cues } from './vocabulary.ts'

const hits = (tokens: readonly Token[], set: PatternSet<true>): Match<true>[] =>
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
    if (second !== null && second !== 10 && /^(or|-|to|maybe|\/)$/.test(joint)) {
      top = Math.max(top, second)
      to += 2
    }
    let marked = false
    let w = tokens[to]?.w ?? ''
    if (w === '/' && numberAt(tokens, to + 1) === 10) {
      marked = true
      to += 2
    } else if ((w === 'out' || w === 'oot') && tokens[to + 1]?.w === 'of') {
      const base = numberAt(tokens, to + 2)
      if (base === 10 || base === null) marked = true
      if (base === 10) to += 3
    } else if (w === 'of' && numberAt(tokens, to + 1) === 10) {
      marked = true
      to += 2
    }
    w = tokens[to]?.w ?? ''
    if (top <= 10) out.push({ value: top, from: i, to, marked })
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

export type Doses = { count: number | null; mentioned: boolean; spoke: boolean }

type Count = { value: number; period: string | null; at: number }

/** Times that drops went in on the day asked about; null when the reply does not say. */
export function readDoses(
  tokens: readonly Token[],
  layout: Layout,
  asked: boolean,
  context: ReplyContext,
): Doses {
  const speaksOfDrops = tokens.some((t) =>
    /^(drops|oil|olive|almond|bicarb|bicarbonate|dose|doses|dropper|eardrops|spray|sodium)$/.test(t.w),
  )
  if (!asked && !speaksOfDrops && context !== 'softening')
    return { count: null, mentioned: false, spoke: false }
  const forgot = hits(tokens, cues.forgot)
  const future = hits(tokens, cues.future)
  const done = hits(tokens, cues.done)
  const counts: Count[] = []
  const periods = new Map<string, number>()
  let zero = false
  let spoke = speaksOfDrops
  const today = tokens.some(
    (t, i) => /^(today|morning|am|tonight|so)$/.test(t.w) && tokens[i - 1]?.w !== 'yesterday',
  )

  for (const piece of pieces(tokens, layout)) {
    const inPiece = (m: Match<true>) => m.from >= piece.from && m.from < piece.to
    const isFuture =
      future.some(inPiece) &&
      !/\b(did|had|done|put|used|took)\b/.test(
        wordsOf(tokens, piece).replace(
          /\bto (put|do|use)\b|\b(will|going to|gonna|ll) (put|do|use|have)\b/g,
          '',
        ),
      )
    if (isFuture) {
      spoke = true
      continue
    }
    const isPast =
      pieceHas(tokens, piece, /^yesterday$/) ||
      followed(tokens, piece, 'last', /^(night|evening)$/) ||
      pieceHas(tokens, piece, /^(monday|tuesday|wednesday|thursday|friday|saturday|sunday)$/)
    const negative = forgot.some((m) => inPiece(m) && !isCountNegation(tokens, m))
    if (isPast && today && !asksYesterday(tokens)) {
      continue
    }
    const before = counts.length
    for (let i = piece.from; i < piece.to; i++) readCount(tokens, i, piece.to, counts, asked)
    const found = counts.length > before
    const said = [...new Set(periodsIn(tokens, piece))]
    if (
      negative &&
      !(
        found &&
        counts.slice(before).some((c) => c.value > 0) &&
        done.some(inPiece) &&
        !/\b(not|no|none)\b/.test(wordsOf(tokens, piece))
      )
    ) {
      counts.length = before
      zero = true
      spoke = true
      continue
    }
    if (found) {
      spoke = true
      for (const c of counts.slice(before)) c.period ??= said.length === 1 ? (said[0] ?? null) : null
      if (said.length > 1) for (const p of said) periods.set(p, 1)
      else if (said[0]) periods.set(said[0], 1)
    } else if (said.length > 0 && (asked || speaksOfDrops || done.some(inPiece))) {
      for (const p of said) periods.set(p, 1)
      if (done.some(inPiece)) spoke = true
    }
  }
  return {
    count: total(counts, periods, zero, asked || speaksOfDrops || done.length > 0 || forgot.length > 0),
    mentioned: speaksOfDrops,
    spoke,
  }
}

const wordsOf = (tokens: readonly Token[], p: { from: number; to: number }) =>
  tokens
    .slice(p.from, p.to)
    .map((t) => t.w)
    .join(' ')
const pieceHas = (tokens: readonly Token[], p: { from: number; to: number }, pattern: RegExp) =>
  tokens.slice(p.from, p.to).some((t) => pattern.test(t.w))
const followed = (tokens: readonly Token[], p: { from: number; to: number }, w: string, next: RegExp) =>
  tokens.slice(p.from, p.to).some((t, k) => t.w === w && next.test(tokens[p.from + k + 1]?.w ?? ''))
const asksYesterday = (tokens: readonly Token[]) => !tokens.some((t) => t.w === 'today' || t.w === 'this')
/** "did not miss any", "not forgotten" are no zeros. */
const isCountNegation = (tokens: readonly Token[], m: Match<true>) => {
  const w = tokens[m.from]?.w ?? ''
  return (
    (/^(miss|missed|forget|forgot|forgotten|skipped|skip)$/.test(w) &&
      [1, 2].some((n) => /^(not|never|nothing|without)$/.test(tokens[m.from - n]?.w ?? ''))) ||
    (w === 'missed' && tokens[m.from + 1]?.w === 'you')
  )
}

function pieces(tokens: readonly Token[], layout: Layout): { from: number; to: number }[] {
  const out: { from: number; to: number }[] = []
  for (const c of layout.clauses) {
    let from = c.from
    for (let i = c.from; i < c.to; i++) {
      const t = tokens[i]
      const split =
        t?.w === 'and' &&
        i > from &&
        (numberAt(tokens, i + 1) !== null ||
          TIMES_WORDS.has(tokens[i + 1]?.w ?? '') ||
          /^(will|then|forgot|forgotten|missed|not|did|again|none|just|going|gonna|intend|plan|hope|another|i|once|twice)$/.test(
            tokens[i + 1]?.w ?? '',
          ))
      if (split) {
        out.push({ from, to: i })
        from = i + 1
      }
    }
    out.push({ from, to: c.to })
  }
  return out.filter((p) => p.to > p.from)
}

function readCount(tokens: readonly Token[], i: number, to: number, counts: Count[], asked: boolean) {
  const w = tokens[i]?.w ?? ''
  const next = tokens[i + 1]?.w ?? ''
  const before = tokens[i - 1]?.w ?? ''
  const push = (value: number) => counts.push({ value, period: periodNear(tokens, i, to), at: i })
  const times = TIMES_WORDS.get(w)
  if (times !== undefined) {
    if (w === 'once' && /^(i|the|it|you|they|my|ive|we|that)$/.test(next)) return
    if (w === 'once' && before === 'at') return
    push(times)
    return
  }
  if (
    w === 'both' &&
    /^(times|time|doses|lots|goes|done|sessions|today|morning|of|am)$/.test(next) &&
    tokens[i + 2]?.w !== 'ears'
  ) {
    if (next === 'morning' || next === 'am') return
    push(2)
    return
  }
  if (w === 'all' && numberAt(tokens, i + 1) !== null) return
  if (w === 'x' && numberAt(tokens, i + 1) !== null) {
    push(numberAt(tokens, i + 1) ?? 0)
    return
  }
  const value = numberAt(tokens, i)
  if (value === null || before === 'x' || w === 'few' || value > 12) return
  if (!Number.isInteger(value) && value !== 0.5) return
  // "1 of 2", "1/2", "2 out of 3": the first number counts.
  const ofTotal = (next === 'of' || next === '/') && numberAt(tokens, i + 2) !== null
  const outOf = next === 'out' && tokens[i + 2]?.w === 'of' && numberAt(tokens, i + 3) !== null
  if (before === '/' && numberAt(tokens, i - 2) !== null) return
  if (before === 'of' && (numberAt(tokens, i - 2) !== null || tokens[i - 2]?.w === 'out')) return
  if ((before === 'or' || before === '-' || before === 'to') && numberAt(tokens, i - 2) !== null) return
  if (ofTotal || outOf) {
    if (numberAt(tokens, ofTotal ? i + 2 : i + 3) === 10) return
    push(value)
    return
  }
  if (value === 0.5) {
    // "½" for "1 of 2" in an answer about doses.
    if (asked && tokens[i]?.kind === 'number') push(1)
    return
  }
  const countedNext =
    COUNTED.test(next) &&
    !(
      next === 'times' &&
      /^(a|per)$/.test(tokens[i + 2]?.w ?? '') &&
      /^(day)$/.test(tokens[i + 3]?.w ?? '') &&
      /^(told|said|supposed|meant)$/.test(before)
    )
  if (
    NOT_COUNTED.test(next) ||
    (/^(ear|ears|drop|drops)$/.test(tokens[i + 2]?.w ?? '') &&
      /^(of|in|each|the|or|little|ear|my)$/.test(next))
  )
    return
  if (
    /^(day|at|number|no|for|about-at|tablet|page|aged|hour|gate|after|before|around|half)$/.test(before) &&
    !countedNext
  )
    return
  if ((next === ':' || next === '.') && numberAt(tokens, i + 2) !== null) return
  if (countedNext) {
    push(value)
    return
  }
  if (asked || /^(did|done|had|only|just|managed|the|all)$/.test(before)) {
    if (
      w === 'one' &&
      /^(this|that|the|next|last|any|no|good|each|bad|left|right|which|every)$/.test(before)
    ) {
      if (before !== 'the' || !/^(just|only)$/.test(tokens[i - 2]?.w ?? '')) return
    }
    push(value)
  }
}

function periodNear(tokens: readonly Token[], at: number, to: number): string | null {
  for (let i = at + 1; i < Math.min(to, at + 6); i++) {
    const p = PERIOD_OF.get(tokens[i]?.w ?? '')
    if (p) return p
    if (tokens[i]?.w === 'and') return null
  }
  return null
}

function periodsIn(tokens: readonly Token[], p: { from: number; to: number }): string[] {
  const out: string[] = []
  for (let i = p.from; i < p.to; i++) {
    const t = tokens[i]
    const period = PERIOD_OF.get(t?.w ?? '')
    if (!period) continue
    const before = tokens[i - 1]?.w ?? ''
    // Greetings, and a time before which nothing is said to be done.
    if (
      /^(good|god)$/.test(before) ||
      (t?.w === 'morning' && i === 0) ||
      (t?.w === 'evening' && i === 0) ||
      (t?.w === 'afternoon' && i === 0)
    )
      continue
    if (t?.w === 'in' || (t?.w === 'night' && before === 'good')) continue
    if (t?.w === 'morning' && /^(tomorrow|tomorrows|each|every)$/.test(before) && before.startsWith('tom'))
      continue
    out.push(period)
  }
  return out
}

function total(
  counts: Count[],
  periods: Map<string, number>,
  zero: boolean,
  relevant: boolean,
): number | null {
  if (!relevant) return null
  if (counts.length > 0) {
    const separate =
      counts.length > 1 &&
      new Set(counts.map((c) => c.period)).size === counts.length &&
      counts.every((c) => c.period !== null)
    if (separate) return counts.reduce((sum, c) => sum + c.value, 0)
    if (counts.length > 1 && counts.every((c) => c.value === 1)) return Math.max(counts.length, periods.size)
    const first = counts[0]?.value ?? 0
    return first === 1 && periods.size > 1 ? periods.size : first
  }
  if (periods.size > 0) return periods.size
  return zero ? 0 : null
}

const POLITE =
  /^(please|thanks|thank|you|now|kiss|all|it|this|messages|texts|hi|hello|the|sorry|ok|just|yes|texting|me|immediately|sending|everything|at|once|dear|sir|madam|and|love|foreaft)$/

/** Only these words and marks around one keyword: the whole message is the command. */
function isBareCommand(tokens: readonly Token[], keywords: ReadonlySet<string>): boolean {
  const words = tokens.filter((t) => t.kind !== 'mark')
  return (
    words.length > 0 &&
    words.length <= 6 &&
    words.some((t) => keywords.has(t.w)) &&
    words.every((t) => keywords.has(t.w) || POLITE.test(t.w))
  )
}

const NOT_MESSAGES =
  /^(drops|drop|oil|bleeding|pain|hurting|ringing|it|treatment|medicine|medicines|tablets|using|putting|taking|itching|leaking|dripping|noise|buzzing)$/

/** A wish to get no more messages; never "it will not stop" nor "shall I stop the drops". */
export function wishesStop(tokens: readonly Token[], layout: Layout): boolean {
  if (isBareCommand(tokens, STOP_WORDS)) return true
  for (const s of layout.sentences) {
    const words = tokens.slice(s.from, s.to)
    const strict = words.filter((t) => t.kind !== 'mark')
    if (
      strict.length <= 2 &&
      strict[0]?.w === 'stop' &&
      (strict.length === 1 || /^(please|stop|now|thanks|texting)$/.test(strict[1]?.w ?? ''))
    )
      return true
    if (strict.length === 2 && strict[0]?.w === 'please' && strict[1]?.w === 'stop') return true
  }
  for (const m of hits(tokens, cues.stop)) {
    const before = [1, 2, 3].map((n) => tokens[m.from - n]?.w ?? '')
    const w = tokens[m.from]?.w ?? ''
    if (w === 'stop' || w === 'end' || w === 'cancel' || w === 'quit') {
      if (before[0] === 'not' || before[0] === 'never') continue
      if (
        before[0] === 'i' ||
        (/^(it|bleeding|pain|ringing)$/.test(before[1] ?? '') && /^(will|does|to|did)$/.test(before[0] ?? ''))
      )
        continue
      if (before.includes('should') || before.includes('shall')) continue
      const last = tokens[m.to - 1]?.w ?? ''
      if (/^(it|this|now|them|these|please|thanks|thank|that)$/.test(last) && m.size === 2) {
        // "stop it", "stop this": the whole sentence, or it is about something else.
        const s = layout.sentences[layout.sentence[m.from] ?? 0]
        const around = tokens.slice(s?.from ?? 0, s?.to ?? 0).filter((t) => t.kind !== 'mark')
        if (around.length > 4) continue
      }
      if (
        [m.to, m.to + 1].some((i) => NOT_MESSAGES.test(tokens[i]?.w ?? '')) &&
        !/^(texting|messaging|sending|contacting)$/.test(tokens[m.from + 1]?.w ?? '')
      )
        continue
    }
    if (
      /^(not|will|would|do|does)$/.test(w) &&
      before[0] === 'i' &&
      !/^(want)$/.test(tokens[m.from + 2]?.w ?? '')
    ) {
      // "I do not text much" is chat; "do not text me" is a wish.
      if (!tokens.slice(m.from, m.to).some((t) => /^(me|my|again|receive|any|us)$/.test(t.w))) continue
    }
    return true
  }
  return false
}

export function wishesStart(tokens: readonly Token[]): boolean {
  if (isBareCommand(tokens, START_WORDS)) return true
  return has(tokens, cues.start)
}

/** A wish to move, cancel or miss the visit. */
export function wishesMove(tokens: readonly Token[], asked: boolean): boolean {
  for (const m of hits(tokens, cues.move)) {
    const before = [1, 2, 3, 4].map((n) => tokens[m.from - n]?.w ?? '')
    const w = tokens[m.from]?.w ?? ''
    const wish = !/^(can|could|will|would|do|does|unable|not|no)$/.test(w)
    if (
      wish &&
      before.slice(0, 3).includes('not') &&
      !before.includes('can') &&
      !before.includes('could') &&
      (before.includes('need') ||
        before.includes('want') ||
        before.includes('do') ||
        before.includes('please'))
    )
      continue
    if (wish && before.includes('no') && before.includes('need')) continue
    const span = tokens.slice(m.from, m.to).map((t) => t.w)
    if (/^(miss)$/.test(w) && before.includes('not')) continue
    if (
      /^(change|swap|moved|move)$/.test(w) &&
      span.some((x) => /^(head|neck|jaw|bed|house|home|drops|batteries|battery|pillow)$/.test(x))
    )
      continue
    if ((w === 'will' || w === 'would' || w === 'could') && before[0] === 'not') continue
    return true
  }
  if (asked) return tokens.some((t) => t.w === 'instead') || (tokens[0]?.w === 'no' && tokens.length <= 3)
  return false
}

export function wantsCall(tokens: readonly Token[]): boolean {
  return hits(tokens, cues.callMe).some((m) => {
    const before = [1, 2, 3].map((n) => tokens[m.from - n]?.w ?? '')
    if (before.includes('not') || before.includes('no')) return false
    const w = tokens[m.from]?.w ?? ''
    if (
      /^(will|would)$/.test(before[0] ?? '') &&
      (before[1] === 'i' || before[1] === 'he' || before[1] === 'she')
    )
      return false
    return w !== 'help' || tokens.length <= 6 || before[0] === 'need' || before[0] === 'please'
  })
}

export function saysWrongNumber(tokens: readonly Token[]): boolean {
  return hits(tokens, cues.wrongNumber).some((m) => {
    const w = tokens[m.from]?.w ?? ''
    const span = tokens
      .slice(m.from, m.to)
      .map((t) => t.w)
      .join(' ')
    if (span === 'died')
      return /^(she|he|mum|dad|has|have|patient|husband|wife|mother|father)$/.test(
        tokens[m.from - 1]?.w ?? '',
      )
    // "I am not Margaret": a name after it, and nothing else.
    if (span === 'i am not' || (w === 'i' && span.startsWith('i am not'))) {
      const next = tokens[m.to]
      return (
        next !== undefined &&
        next.kind === 'word' &&
        next.capital &&
        (next.known === 'name' || tokens.length <= 5)
      )
    }
    return true
  })
}

/** Softened, not softened, or not said. */
export function readSoftened(tokens: readonly Token[], layout: Layout, asked: boolean): boolean | null {
  const no = hits(tokens, cues.softNo)
  const yes = hits(tokens, cues.softYes).filter((m) => !no.some((n) => m.from < n.to && n.from < m.to))
  const aboutWax = tokens.some((t) =>
    /^(wax|softened|softer|softening|soften|soft|loosened|loosening|plug|looser|melted|softend)$/.test(t.w),
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
        .some((t) => /^(to|if|will|should|hope|hopefully|trying)$/.test(t.w))
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
