/** Which sentences tell of long ago, and which words of the past do not. */
import type { Token } from './normalise.ts'
import { findAll, type Match } from './patterns.ts'
import { cues } from './vocabulary.ts'

/** A year before this one is long ago. */
export const OLD_BEFORE = 2025

/** The tokens at which a time of long ago is named. */
export const longAgoAt = (tokens: readonly Token[]): number[] => [
  ...findAll(tokens, cues.longAgo)
    .filter((m) => !m.fuzzy && !tellsOfNow(tokens, m))
    .map((m) => m.from),
  ...oldYears(tokens),
]

const AFTER = 5
/** "Used to be fine", "used to hear the clock": what was is what is no more. */
const ONCE_WELL =
  /^(i |it |they |we )?(be |feel |hear )?(\w+ )?(fine|ok|okay|alright|all right|good|great|perfect|well|right|normal|straight|clear|able|hear|work|manage|walk|lovely|champion|grand|better)\b/
/** "Can't get used to it" is no past. */
const ACCUSTOMED = /\b(get|getting|got|gets|am|is|are|become|not|be|been)$/
const COMPARED = /\b(like|than|as|same|from|unlike|to)( the)?$/
const OTHERWISE = /\b(not|never|nothing|no|fine|ok|okay|good|great|easy|better|different)\b/
const LATELY =
  /^(few |couple |couple of |number )?(hour|hours|day|days|night|nights|week|weeks|fortnight|month)\b/

/** "Used to be fine", "worse than last time", "in the past day" set off what is there now. */
function tellsOfNow(tokens: readonly Token[], m: Match<true>): boolean {
  const words = (from: number, to: number) =>
    tokens
      .slice(Math.max(0, from), to)
      .map((t) => (t.kind === 'number' ? 'number' : t.w))
      .join(' ')
  const own = words(m.from, m.to)
  const before = words(m.from - 2, m.from)
  const after = words(m.to, m.to + AFTER)
  if (own === 'used to') return ONCE_WELL.test(after) || ACCUSTOMED.test(before)
  if (own === 'last time') return COMPARED.test(before) || OTHERWISE.test(after)
  return /\bpast$/.test(own) && LATELY.test(after)
}

/** "Before I came home" is after the visit. */
export const cameHome = (tokens: readonly Token[], m: Match<true>): boolean =>
  /^(came|coming)$/.test(tokens[m.to - 1]?.w ?? '') &&
  /^(home|back|out|up|down|round)$/.test(tokens[m.to]?.w ?? '')

/** Where a year is named that is long past: "had a stroke in 2009". */
const oldYears = (tokens: readonly Token[]): number[] =>
  tokens.flatMap((t, i) =>
    t.kind === 'number' &&
    t.value >= 1920 &&
    t.value < OLD_BEFORE &&
    /^(in|since|back|around|about|of)$/.test(tokens[i - 1]?.w ?? '') &&
    // "I've not touched a drop since 1988"
    !(
      tokens[i - 1]?.w === 'since' &&
      tokens.slice(Math.max(0, i - 7), i).some((x) => /^(not|never)$/.test(x.w))
    )
      ? [i]
      : [],
  )
