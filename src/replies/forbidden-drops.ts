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

/** "The one I'm not allowed to do", "you said not the left", "told to leave that ear be". */
const BARRED =
  /\b(not (allowed|supposed|meant|permitted)( to)?|(should|must|am|are|is|was|ought) not (to )?(have|be|do|get|put|use|touch|go)|(said|told|warned|advised)( me| us| him| her)? (not|never|no|do not|to leave|to avoid|only)|off limits|no go|banned|forbidden|not to (do|touch|put|use|have)|never to|leave (it|that one|the (left|right|other)) (alone|be))\b/
const EAR_NAMED = /\b(left|right|ear|lug|one|side|other|that|any)\b/
const OF_FEELING = /^( to)?( it)? (hurt|sting|be sore|itch|burn|run|drive|swim)/
const INTO_EAR = /^(both|ear|ears|left|right|lug|one|side|other|wrong|bad|two)$/

/** Drops in an ear that the patient says must have none: the place of the ear, or -1. */
function wrongEar(tokens: readonly Token[]): number {
  const at = tokens.findIndex((t, i) => {
    if (!INTO_EAR.test(t.w)) return false
    const lead = tokens.slice(Math.max(0, i - 5), i).map((x) => x.w)
    const put = lead.findLastIndex((w) => PUT.test(w))
    if (put < 0 || tokens.slice(Math.max(0, i - 8), i).some((x) => NOT_PUT.test(x.w))) return false
    // "Did both", or "did the left ... the one I should not".
    const said = tokens
      .slice(i, i + 24)
      .map((x) => x.w)
      .join(' ')
    const barred = BARRED.exec(said)
    if (!barred) return false
    const near = said.slice(Math.max(0, barred.index - 30), barred.index + barred[0].length + 30)
    if (!EAR_NAMED.test(near) || OF_FEELING.test(said.slice(barred.index + barred[0].length))) return false
    // "Did the left, as you said not to do the right": the other ear.
    const side = /^(left|right)$/.test(t.w) ? t.w : (tokens[i - 1]?.w ?? '')
    const other = side === 'left' ? /\bright\b/ : side === 'right' ? /\bleft\b/ : null
    const around = tokens
      .slice(Math.max(0, i - 6), i + 24)
      .map((x) => x.w)
      .join(' ')
    return other === null || !other.test(around)
  })
  return at
}

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
  const barred = wrongEar(tokens)
  if (!here && !onRecord && barred < 0) return null
  const named = tokens.findIndex(
    (t, i) =>
      /^(drops|oil|bicarb|them)$/.test(t.w) &&
      tokens.slice(Math.max(0, i - 5), i).some((x) => PUT.test(x.w)) &&
      !tokens.slice(Math.max(0, i - 6), i).some((x) => NOT_PUT.test(x.w)),
  )
  const at =
    barred >= 0
      ? barred
      : named >= 0
        ? named
        : onRecord && (doses ?? 0) > 0
          ? tokens.findIndex((t) => t.kind !== 'mark')
          : -1
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
