/** Drops that went into an ear that must not have any: told in the reply, or known of the patient. Pure. */
import { wordsIn } from './context.ts'
import type { Token } from './normalise.ts'
import type { HistoryMention } from './screening.ts'
import { sideAnswer } from './sides.ts'
import type { Finding, Reading } from './types.ts'

/** On the patient's record, and not over: no drops (see the plan's own rules for what is present and what is old). */
const FORBIDS = /perforat|\bhole|grommet|infect|discharg|recent.*(surg|op)|(surg|operat).*recent/
const OVER = /heal|closed|old|past|resolved|childhood|years? ago/

const PUT = /^(gone|went|put|putting|doing|did|done|used|using|had|have|poured|squirted|gave|given)$/
const NOT_PUT = /^(not|no|should|can|stopped|never|if|forgot|missed)$/

/**
 * `known`: the history field as it came, read liberally. `doses`: how often the drops went in, as told.
 * Null unless drops are said to have gone in and something forbids them.
 */
export function forbiddenDrops(
  text: string,
  tokens: readonly Token[],
  told: readonly HistoryMention[],
  context: Reading['context'],
  known: unknown,
  doses: number | null,
): Finding | null {
  if (context !== 'softening') return null
  const here = told.some(
    (h) => /^(perforation|recent-perforation|grommets)$/.test(h.kind) && h.polarity !== 'denied',
  )
  const onRecord = wordsIn(known).some((w) => FORBIDS.test(w.toLowerCase()) && !OVER.test(w.toLowerCase()))
  if (!here && !onRecord) return null
  const named = tokens.findIndex(
    (t, i) =>
      /^(drops|oil|bicarb|them)$/.test(t.w) &&
      tokens.slice(Math.max(0, i - 5), i).some((x) => PUT.test(x.w)) &&
      !tokens.slice(Math.max(0, i - 6), i).some((x) => NOT_PUT.test(x.w)),
  )
  const at =
    named >= 0 ? named : onRecord && (doses ?? 0) > 0 ? tokens.findIndex((t) => t.kind !== 'mark') : -1
  const token = tokens[at]
  if (!token) return null
  return {
    kind: 'contraindicated-drops',
    flag: 'other',
    start: token.start,
    end: token.end,
    words: text.slice(token.start, token.end),
    side: sideAnswer(tokens),
    severity: null,
    onset: { sudden: false, days: null, overDays: null, relative: null, words: null },
    course: null,
    polarity: 'affirmed',
    tags: [],
  }
}
