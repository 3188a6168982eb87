/** Whether a reply holds anything that a rule takes for harmless or for an answer. */
import { has, hits } from './answers.ts'
import type { Layout } from './clauses.ts'
import { BACKGROUND } from './lexicon/plain.ts'
import { setOf } from './lexicon/set-of.ts'
import type { Token } from './normalise.ts'
import { isPractical } from './practical.ts'
import { disowns } from './several.ts'
import type { Reading } from './types.ts'
import { cues } from './vocabulary.ts'

/** Is there anything in the reply that a rule takes for harmless or for an answer? A reply without it goes to a human. */
export function understood(
  r: Reading,
  tokens: readonly Token[],
  layout: Layout,
  spokeOfDoses: boolean,
): boolean {
  if (r.findings.length > 0 || r.doses !== null || r.softened !== null || r.history.length > 0) return true
  if ((r.thanks && r.words <= 12) || r.stop || r.start || r.reschedule || r.callMe || r.wrongNumber || r.asks)
    return true
  const only = r.questions.length === 1 ? r.questions[0] : undefined
  if (only?.kind === 'move' && r.number !== null) return true
  // "Not sure" whether the wax has softened is an answer; there is nothing to act on.
  if (
    only?.kind === 'softened' &&
    (has(tokens, cues.unsure) || has(tokens, cues.softYes) || has(tokens, cues.softNo) || canNotTell(tokens))
  )
    return true
  const ofDoses = r.context === 'softening' || r.questions.some((q) => q.kind === 'doses')
  if (r.yesNo !== null || (ofDoses && (spokeOfDoses || has(tokens, cues.done)))) return true
  if (only?.kind === 'doses' && (has(tokens, cues.unsure) || tokens.some((t) => SOME_DOSES.has(t.w))))
    return true
  return (
    has(tokens, cues.keepTexts) ||
    has(tokens, cues.future) ||
    tellsGoodNews(tokens) ||
    has(tokens, cues.noToAll) ||
    isPractical(tokens, layout) ||
    (r.context === 'screening' && (disowns(tokens) || tokens.some((t) => BACKGROUND.has(t.w)))) ||
    tokens.some((t) => HARMLESS_WORDS.test(t.w))
  )
}

/** "I couldn't honestly say", "how would I know" */
const canNotTell = (tokens: readonly Token[]) =>
  /\b(could not|would not like to|would not|do not|can not) (honestly |really |rightly )?(say|tell|know)\b|\bhow (would|do|can|should) (i|you) (know|tell)\b|\bif it is\b|^(it )?(could|might|may) be$|^(i )?hope(fully)? ?(so)?$|^hopefully\b|\bearly days\b|\btoo (early|soon) to (say|tell|know)\b|^so so\b/.test(
    tokens.map((t) => t.w).join(' '),
  )

/** Of how many doses, without a number. */
const SOME_DOSES = setOf(
  'few several some most half same instructed instructions directed told says many loads lots alright count track leaflet label box',
)

const HARMLESS_WORDS = /^(ok|wax|appointment|emoji-plain|kiss|emoji-yes|happy|bye|cheers)$/

/** Good news that no "not" turns round. */
function tellsGoodNews(tokens: readonly Token[]): boolean {
  return hits(tokens, cues.well).some(
    (m) =>
      m.used.length > 1 ||
      ![1, 2, 3].some((n) => {
        const between = tokens.slice(m.from - n, m.from)
        return (
          /^(not|hardly|scarcely|nor|less)$/.test(between[0]?.w ?? '') &&
          !between.some((t) => t.kind === 'mark')
        )
      }),
  )
}
