/** How strong: from numbers, from words of degree, from the symptom word itself. */
import { scores } from './answers.ts'
import type { Layout } from './clauses.ts'
import type { Mention } from './concepts.ts'
import { setOf } from './lexicon/set-of.ts'
import type { Token } from './normalise.ts'
import type { Severity } from './types.ts'

const EXTREME = setOf(
  'fierce fiercely terrible terribly horrendous horrendously horrific unbearable excruciating agonising worst dreadful dreadfully intense intensely crippling unreal hellish extreme extremely severe severely violent violently moaning screaming savage murderous shocking massive immense incredible horrible horribly lot',
)
const STRONG = setOf(
  'bad badly very really so proper right awful awfully nasty strong sharp serious seriously dead sorely lots loads gey considerable considerably significant significantly big well incredibly constantly heavy bloody ruddy rotten',
)
const MIDDLE = setOf('quite fairly pretty rather moderate moderately medium reasonably')
const SLIGHT = setOf(
  'bit little slight slightly mild mildly tad twinge twinges niggle niggles niggly tiny minor minimal faint faintly wee hint smidge smidgen trace spot barely hardly scarcely somewhat sort kind bitty occasional occasionally odd trifle',
)
const SOFT_WORDS = setOf('tender tenderness niggle niggles niggly twinge twinges')

/** -1 slight, 0 not said, 1 middle, 2 strong, 3 extreme. */
export function degreeOf(tokens: readonly Token[], layout: Layout, m: Mention): number {
  const clause = layout.clauses[layout.clause[m.from] ?? 0] ?? { from: 0, to: tokens.length }
  const sentence = layout.sentences[layout.sentence[m.from] ?? 0] ?? clause
  // "Pain, terrible.": a short sentence is one clause.
  const whole = sentence.to - sentence.from <= 5 ? sentence : clause
  const from = Math.max(whole.from, m.from - 5)
  const to = Math.min(whole.to, m.to + 5)
  let degree = 0
  let slight = false
  for (let i = from; i < to; i++) {
    const w = tokens[i]?.w ?? ''
    const inside = i >= m.from && i < m.to
    if (i >= m.to && m.used.has(i)) continue
    const next = tokens[i + 1]?.w ?? ''
    const before = tokens[i - 1]?.w ?? ''
    if (
      w === 'right' &&
      (inside || /^(ear|side|one|lug|eardrum|hand)$/.test(next) || /^(my|the|in|on)$/.test(before))
    )
      continue
    if (w === 'well' || (w === 'so' && /^(i|it|we|far|the|just|can|could|that|my|not|thanks)$/.test(next)))
      continue
    if (w === 'kind' && next !== 'of') continue
    if (w === 'odd' && next !== 'twinge') continue
    // "After the second lot"
    if (w === 'lot' && /^(first|second|third|last|next|this|that|each|every|one|both|ordinal)$/.test(before))
      continue
    if (w === 'touch' && next === 'of') slight = true
    if (SLIGHT.has(w)) {
      // "quite a bit", "a fair bit"
      if (w === 'bit' && [1, 2].some((n) => /^(quite|fair|good|right)$/.test(tokens[i - n]?.w ?? '')))
        degree = Math.max(degree, 1)
      else if (w === 'little' && /^(no|sleep)$/.test(next)) continue
      else slight = true
    } else if (EXTREME.has(w)) {
      if (notToo(tokens, i, from)) slight = true
      else degree = Math.max(degree, 3)
    } else if (STRONG.has(w)) {
      if (notToo(tokens, i, from)) slight = true
      else if (!/^(not)$/.test(next)) degree = Math.max(degree, 2)
    } else if (MIDDLE.has(w)) degree = Math.max(degree, 1)
  }
  if (degree >= 2 && !(slight && degree === 2)) return degree
  if (slight) return -1
  return degree
}

function notToo(tokens: readonly Token[], i: number, from: number): boolean {
  for (let j = i - 1; j >= Math.max(from, i - 3); j--) {
    const w = tokens[j]?.w ?? ''
    if (w === 'not' || w === 'nothing' || w === 'no' || w === 'never') return true
    if (!/^(too|that|so|very|really|as|all|particularly|at|been|being|a|is|it|was)$/.test(w)) return false
  }
  return false
}

const IMPLIED = [0, 5, 7, 9]

export function painSeverity(tokens: readonly Token[], layout: Layout, m: Mention): Severity | null {
  const degree = degreeOf(tokens, layout, m)
  if ((m.severity ?? 0) >= 8)
    return { value: Math.max(IMPLIED[Math.max(degree, 0)] ?? 0, m.severity ?? 0), how: 'implied' }
  if (degree > 0) return { value: Math.max(IMPLIED[degree] ?? 0, m.severity ?? 0), how: 'implied' }
  if (m.severity !== null && degree === 0) return { value: m.severity, how: 'implied' }
  if (degree < 0) return { value: 2, how: 'implied' }
  for (const u of m.used) if (SOFT_WORDS.has(tokens[u]?.w ?? '')) return { value: 2, how: 'implied' }
  return null
}

const NOT_A_SCORE =
  /^(day|days|hour|hours|hr|hrs|week|weeks|month|months|minute|minutes|min|mins|year|years|time|times|drop|drops|am|pm|oclock|th|dose|doses|ear|ears|side|tablets|paracetamol|night|nights|cm|mm|inch|inches|degrees|spots|o|of|more|less|x|people|nights|tissues)$/

const THEN = /^(yesterday|was|from|before|previously|earlier|started|first)$/
const DAY_PART = /^(morning|afternoon|evening|night|lunch|yesterday|today|teatime|woke|up)$/
const NOW = /^(today|now|is|its|currently|am)$/

const wallBetween = (tokens: readonly Token[], from: number, to: number) =>
  tokens.slice(from, to).some((t) => t.kind === 'mark' && /^[.!?;\n,]$/.test(t.w))

/** Which time word stands nearest to a score; words before it count as nearer than words after it. */
function nearestTime(tokens: readonly Token[], from: number, to: number): 'past' | 'now' | null {
  for (let n = 1; n <= 4; n++) {
    for (const [i, reach] of [
      [from - n, 4],
      [to + n - 1, 2],
    ] as const) {
      const t = tokens[i]
      if (!t || n > reach || wallBetween(tokens, Math.min(i, to), Math.max(i, from))) continue
      if (THEN.test(t.w)) return 'past'
      // "Started as a 2, now its a 6": the "now" is of the next number.
      if (t.w === 'now' && i >= to && tokens.slice(i + 1, i + 5).some((x) => x.kind === 'number')) continue
      if (NOW.test(t.w)) return 'now'
      if (t.w === 'last' && tokens[i + 1]?.w === 'night') return 'past'
      if (t.w === 'this' && /^(morning|afternoon|evening)$/.test(tokens[i + 1]?.w ?? '')) return 'now'
    }
  }
  return null
}

/** "3 the day it was done". */
const ofTheDay = (tokens: readonly Token[], at: number) =>
  /^(the|on)$/.test(tokens[at]?.w ?? '') &&
  [1, 2].some((n) => tokens[at + n]?.w === 'day') &&
  [2, 3, 4].some((n) => /^(was|did|had|of|you)$/.test(tokens[at + n]?.w ?? ''))

/** "hearing is ten out of ten", "ten out of ten for service": a mark for something else than pain. */
function ratesSomethingElse(tokens: readonly Token[], from: number, to: number): boolean {
  if (tokens[to]?.w === 'for' && !tokens.slice(to, to + 4).some((t) => /^(pain|soreness)$/.test(t.w)))
    return true
  for (let i = from - 1; i >= Math.max(0, from - 5); i--) {
    const t = tokens[i]
    if (!t || (t.kind === 'mark' && t.w !== ':')) return false
    if (/^(pain|pains|sore|soreness|ache|hurts|hurt|hurting|earache)$/.test(t.w)) return false
    if (/^(hearing|service|care|staff|team|sound|sounds|marks|score-you|clinic|nurse|lady)$/.test(t.w))
      return true
  }
  return false
}

export type PainNumbers = {
  now: number | null
  before: number | null
  span: { from: number; to: number } | null
}

/** Pain scores in the text: now, and before where one is given for comparison. `asked`: pain was the question. */
/** Without a question, a number tells of pain when it is said as a score: "about a four", "was 2, today its 6". */
const OF_PAIN =
  /^(pain|pains|painful|paining|sore|hurts?|hurting|ache|aches|aching|earache|throb\w*|agony|sting\w*|tender)$/
const SCORE_LEAD = /^(like|a|an|about|its|is|say|maybe|now|today|around|roughly|probably|at|was|it)$/

const scoreEnds = (tokens: readonly Token[], at: number) => {
  const t = tokens[at]
  return (
    t === undefined ||
    t.kind === 'mark' ||
    // "a four last night and a six this morning"
    (/^(this|last|after)$/.test(t.w) && /^(a|an)$/.test(tokens[at - 2]?.w ?? '')) ||
    /^(i|again|today|now|yesterday|and|but|ish|maybe|or|at|comes|then|out|pain|doc|doctor|nurse|love|can|cant|really|easily|easy|thanks|please|when|if)$/.test(
      t.w,
    )
  )
}

type Score = ReturnType<typeof scores>[number]

const DAYS =
  /^(mon|tues?|weds?|thu|thurs|fri|sat|sun|monday|tuesday|wednesday|thursday|friday|saturday|sunday|yesterday|today|tonight|now)$/
/** "3 then 4 then 6": the last is now, the first was before. */
function inTurn(
  tokens: readonly Token[],
  all: readonly Score[],
): { before: number; now: number; from: number; to: number } | null {
  const [first, last] = [all[0], all.at(-1)]
  if (!first || !last || all.length < 2 || all.length > 6) return null
  // "5 today, 6 yesterday"
  if (/^(today|now|tonight)$/.test(tokens[first.to]?.w ?? '')) return null
  const joined = all.every((s, k) => {
    const next = all[k + 1]
    if (!next) return true
    const words = tokens.slice(s.to, next.from).map((t) => t.w)
    if (words.length > 4) return false
    return (
      words.includes('then') ||
      (tokens[s.from]?.kind === 'number' &&
        tokens[next.from]?.kind === 'number' &&
        words.some((w) => DAYS.test(w)) &&
        words.every((w) => DAYS.test(w) || /^(and|this|last|morning|night|evening|afternoon|,|-)$/.test(w)))
    )
  })
  return joined ? { before: first.value, now: last.value, from: last.from, to: last.to } : null
}

export function painNumbers(
  tokens: readonly Token[],
  layout: Layout,
  asked: boolean,
  loose: boolean,
  painTokens: (sentence: number) => boolean,
  ofDoses = false,
): PainNumbers {
  const out: PainNumbers = { now: null, before: null, span: null }
  const all = scores(tokens)
  const first = tokens.findIndex((t) => OF_PAIN.test(t.w))
  const pained = first === -1 ? tokens.length : first
  const turns = asked || loose || layout.sentences.some((_, s) => painTokens(s)) ? inTurn(tokens, all) : null
  if (turns && (asked || turns.now > turns.before))
    return { now: turns.now, before: turns.before, span: { from: turns.from, to: turns.to } }
  for (const s of all) {
    const next = tokens[s.to]?.w ?? ''
    const prev = tokens[s.from - 1]?.w ?? ''
    const sentence = layout.sentence[s.from] ?? 0
    const numeral = tokens[s.from]?.kind === 'number'
    const speaksOfPain = painTokens(sentence)
    // "Up to 7 now"
    const climbed =
      prev === 'to' &&
      /^(up|down|gone|went|risen|back|climbed|jumped|shot)$/.test(tokens[s.from - 2]?.w ?? '')
    if (!s.marked) {
      if (
        NOT_A_SCORE.test(next) ||
        // "2 but the pain is terrible": asked how often, the number is of the drops.
        (ofDoses && !SCORE_LEAD.test(prev) && s.from < pained) ||
        // "this morning about ten"
        (/^(about|around|roughly)$/.test(prev) && DAY_PART.test(tokens[s.from - 2]?.w ?? '')) ||
        (prev === 'number' && tokens[s.from - 2]?.w !== 'pain') ||
        /^(day|type|grade|x|half|past|room|ward|page|till|until|til)$/.test(prev) ||
        // "The pain is up at nine"
        (prev === 'at' &&
          !asked &&
          !(speaksOfPain && /^(up|sat|sitting|stuck)$/.test(tokens[s.from - 2]?.w ?? '')))
      )
        continue
      if (
        next === ':' ||
        (next === '.' &&
          tokens[s.to + 1]?.kind === 'number' &&
          tokens[s.to]?.start === tokens[s.to - 1]?.end &&
          tokens[s.to + 1]?.start === tokens[s.to]?.end)
      )
        continue
      if (
        !numeral &&
        /^(one|two)$/.test(tokens[s.from]?.w ?? '') &&
        !(asked && (tokens.length <= 6 || /^(a|about|its|is|say|maybe|now|only|was|to|from)$/.test(prev)))
      )
        continue
      if (
        !asked &&
        !(loose && tokens.length >= 3 && (climbed || SCORE_LEAD.test(prev)) && scoreEnds(tokens, s.to)) &&
        !(
          speaksOfPain &&
          (numeral ||
            /^(a|an|about|is|say|maybe|level|score|around|to|from|now|was|at|pain|painful|sore|hurts)$/.test(
              prev,
            ))
        )
      )
        continue
    } else if (
      !asked &&
      !speaksOfPain &&
      !/^(it|is|pain|a|about|say|around|now|maybe|still|at|level|score|today)$/.test(prev) &&
      s.from > 0 &&
      tokens[s.from - 1]?.kind !== 'mark'
    )
      continue
    if (ratesSomethingElse(tokens, s.from, s.to)) continue
    // "Up again 3 to 6"
    const climbsFrom =
      next === 'to' &&
      tokens[s.to + 1]?.kind === 'number' &&
      [1, 2, 3].some((n) => /^(up|from|gone|risen|rose|climbed|went)$/.test(tokens[s.from - n]?.w ?? ''))
    const past =
      climbsFrom || prev === 'from' || nearestTime(tokens, s.from, s.to) === 'past' || ofTheDay(tokens, s.to)
    // "Down to a four from six".
    const reached = prev === 'to' || (/^(a|an|about)$/.test(prev) && tokens[s.from - 2]?.w === 'to')
    if (past && !reached) {
      out.before = Math.max(out.before ?? 0, s.value)
      out.span ??= { from: s.from, to: s.to }
    } else {
      out.now = Math.max(out.now ?? 0, s.value)
      out.span = { from: s.from, to: s.to }
    }
  }
  return out
}
