/** Counts of doses in a piece of a reply: digits, words, "both", "N of M". */
import { numberAt } from './answers.ts'
import { type Piece, periodNear } from './dose-times.ts'
import { NUMBER_SLIPS, TIMES_WORDS } from './lexicon/answers.ts'
import type { Token } from './normalise.ts'

const NOT_COUNTED =
  /^(ear|ears|drop|drops|side|sides|minute|minutes|min|mins|hour|hours|day|days|week|weeks|month|months|year|years|am|pm|oclock|ml|bottle|bottles|percent|%|th|st|nd|weeks|lots-of|pound|pence|squirts|squirt|people|grandchildren|cups|more|out|quid|tablets|paracetamol|degrees|to)$/
const COUNTED =
  /^(times|time|occasions|occasion|x|doses|dose|goes|go|lots|lot|applications|application|sessions|rounds|turns|squirts|attempts|done|puts|so|today|yesterday|only|now)$/

export type Count = { value: number; period: string | null }

const LOT = /^(lot|lots|dose|doses|go|one|time|drops|set|round|application|batch|session)$/
const ORDINALS: Record<string, number> = { first: 1, second: 2, third: 3, fourth: 4 }

/** "first lot ... second lot": the highest that was done. */
export function ordinalIn(tokens: readonly Token[], p: Piece, asked: boolean): number {
  let top = 0
  for (let i = p.from; i < p.to; i++) {
    const t = tokens[i]
    const value = t?.w === 'ordinal' ? t.value : (ORDINALS[t?.w ?? ''] ?? 0)
    if (
      value > 0 &&
      value <= 6 &&
      (LOT.test(tokens[i + 1]?.w ?? '') ||
        (asked && /^(at|in|after|before|this|done)$/.test(tokens[i + 1]?.w ?? ''))) &&
      !/^(no|not)$/.test(tokens[i - 1]?.w ?? '') &&
      (asked || ![1, 2].some((n) => /^(since|after|with)$/.test(tokens[i - n]?.w ?? '')))
    )
      top = Math.max(top, value)
  }
  return top
}

/** What may follow a count that stands alone. */
const AFTER_COUNT =
  /^([.,!?;:)\n-]|and|but|so|then|today|this|in|at|of|yet|thanks|thank|love|now|done|because|went|with|not|mind|or|maybe|i|still|only|morning|tonight|before|after|to|twice|dear|kiss|well|as|x|down|lots|since|it|out|emoji-.*)$/

/** What the whole reply says, looked up once: numbers of drops by the token that first says each; whether it names today. */
export type Told = { drops: ReadonlyMap<number, number>; today: boolean }

export function toldOnce(tokens: readonly Token[]): Told {
  const drops = new Map<number, number>()
  for (const k of tokens.keys()) {
    const value = numberAt(tokens, k)
    if (value !== null && !drops.has(value) && /^(drop|drops)$/.test(tokens[k + 1]?.w ?? ''))
      drops.set(value, k)
  }
  return { drops, today: tokens.some((t) => t.w === 'today') }
}

/** Adds the count that token `i` gives, if any. */
export function readCount(
  tokens: readonly Token[],
  i: number,
  to: number,
  counts: Count[],
  asked: boolean,
  told: Told,
) {
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
      (next === 'of' && tokens[i + 2]?.w === 'them') ||
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
    /^(few|several)$/.test(w) ||
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
  if (next === 'yesterday' && told.today) return
  const counted = COUNTED.test(next)
  if (
    NOT_COUNTED.test(next) ||
    (/^(ear|ears|drop|drops)$/.test(tokens[i + 2]?.w ?? '') &&
      /^(of|in|each|the|or|little|ear|my|little|good)$/.test(next))
  )
    return
  if (
    /^(past|quarter|day|at|about|number|no|for|tablet|page|aged|hour|gate|after|before|around|half|than|by|till|until|type)$/.test(
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
  // "About a 5" is a score.
  if (before === 'a' && tokens[i]?.kind === 'number') return
  // "Eight in the morning", "8 tonight" are times.
  if (next === 'in' && tokens[i + 2]?.w === 'the' && value >= 5) return
  if (value >= 5 && next === 'at' && /^(night|teatime|bedtime|tea|lunchtime)$/.test(tokens[i + 2]?.w ?? ''))
    return
  // "3 or 4 drops, twice"
  if (/^(or|to|-)$/.test(next) && /^(drop|drops|minutes|mins)$/.test(tokens[i + 3]?.w ?? '')) return
  if (
    value >= 5 &&
    (next === 'tonight' || (next === 'this' && /^(morning|afternoon|evening)$/.test(tokens[i + 2]?.w ?? '')))
  )
    return
  if (counted) {
    // "The left one yesterday" is an ear.
    if (w === 'one' && /^(left|right|other|bad|wrong|good)$/.test(before)) return
    if (next === 'time' && w === 'one' && !/^(only|it|just|managed|did)$/.test(before)) return
    if (before === 'not') return
    if (leads.includes('than')) return
    push(value)
    return
  }
  // "four drops morning and four at night": the second four is drops too.
  if ((told.drops.get(value) ?? i) < i) {
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
