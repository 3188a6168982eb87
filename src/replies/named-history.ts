/** What a bare name answers when a single kind of history was asked about. Pure. */
import { has } from './answers.ts'
import { OLD_BEFORE } from './bygone.ts'
import { RELATIVES } from './lexicon/scope.ts'
import type { Token } from './normalise.ts'
import { durations } from './time.ts'
import type { HistoryItem, HistoryKind } from './types.ts'
import { cues } from './vocabulary.ts'

/** Asked "are you allergic to anything?", "peanuts" is enough; asked of operations, "one op in 1971". */
export function namedInAnswer(
  tokens: readonly Token[],
  about: readonly HistoryKind[],
): Pick<HistoryItem, 'kind' | 'polarity' | 'start' | 'end'> | null {
  const [kind] = about
  const words = kind === undefined ? undefined : NAMES[kind]
  if (
    !kind ||
    !words ||
    about.length > 1 ||
    /^(what|which|whats)$/.test(tokens[0]?.w ?? '') ||
    tokens.some((x) => x.w === '?')
  )
    return null
  const at = tokens.findIndex(
    (t, i) => words.test(t.w) || (kind === 'surgery' && somethingDone(tokens, i)) || hadOne(tokens, i),
  )
  const t = tokens[at]
  if (!t || tokens.some((x) => OF_ELSEWHERE.test(x.w) || RELATIVES.has(x.w))) return null
  if (tokens.slice(0, at).some((x) => /^(no|not|never|none|any|without)$/.test(x.w))) return null
  const old =
    kind !== 'allergy' &&
    !tokens.some((x) => x.w === 'still') &&
    (has(tokens, cues.longAgo) || tokens.some(isOldYear) || tokens.some(fellOut))
  const days = durations(tokens).filter((d) => d.unit === 'days')
  const recent =
    kind === 'perforation' && !old && days.length > 0 && Math.min(...days.map((d) => d.days)) < YEAR
  return {
    kind: recent ? 'recent-perforation' : kind,
    polarity: old ? 'past' : 'present',
    start: t.start,
    end: t.end,
  }
}
/** "Had them at six", "still got one in the left" */
const hadOne = (tokens: readonly Token[], i: number) =>
  /^(had|got|have)$/.test(tokens[i]?.w ?? '') && /^(one|them|some|both|two|it)$/.test(tokens[i + 1]?.w ?? '')
const fellOut = (t: Token, i: number, all: readonly Token[]) =>
  t.w === 'out' && /^(fell|came|taken|took|dropped)$/.test(all[i - 1]?.w ?? '')

/** "Had something done", "they did something to it" */
const somethingDone = (tokens: readonly Token[], i: number) =>
  (tokens[i]?.w === 'done' && SOME.test(tokens[i - 1]?.w ?? '')) ||
  (SOME.test(tokens[i]?.w ?? '') && /^(did|do)$/.test(tokens[i - 1]?.w ?? ''))
const SOME = /^(something|summat)$/
export const NUTS = /^(nut|nuts|peanut|peanuts|almond|almonds|walnuts|cashews|hazelnuts)$/
const OPERATIONS = /^(op|ops|operation|operations|operated|surgery)$/
const OF_ELSEWHERE =
  /^(hip|knee|heart|cataract|cataracts|eye|eyes|hernia|bowel|foot|hand|shoulder|gallbladder|prostate|appendix|hysterectomy|valve|bypass|tonsils|nose|teeth|only|like|love|eat)$/
/** A year that is long past. */
export const isOldYear = (t: Token) => t.kind === 'number' && t.value > 1900 && t.value < OLD_BEFORE

/** In days. */
const YEAR = 365

const NAMES: Partial<Record<HistoryKind, RegExp>> = {
  perforation: /^(burst|perforated|ruptured|tore|split|popped)$/,
  allergy: NUTS,
  surgery: OPERATIONS,
  grommets: /^(grommet|grommets|tubes)$/,
}
