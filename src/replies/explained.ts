/** Is every clause of a reply something that a rule knows for harmless? Then a suspicion must weigh more. */
import type { Layout } from './clauses.ts'
import type { Mention } from './concepts.ts'
import { PERIODS, TIMES_WORDS } from './lexicon/answers.ts'
import { BACKGROUND } from './lexicon/plain.ts'
import type { Token } from './normalise.ts'
import { findAll } from './patterns.ts'
import { isPractical } from './practical.ts'
import type { HistoryMention } from './screening.ts'
import type { Finding, Reading } from './types.ts'
import { isBody } from './vague.ts'
import { cues } from './vocabulary.ts'

const DAYTIMES = new Set(PERIODS.flatMap(([, words]) => words.split(' ')))
const DOSED =
  /^(drop|drops|oil|olive|bicarb|bottle|dropper|spray|did|done|put|putting|had|used|forgot|missed|got|managed|helped|carer|wife|husband|daughter|son|missus|hubby|before|after|again|both|bed|up|more|left|other|last|hour|first|next|o'clock|oclock|half|quarter|past|news)$/

/** Who looked into the ear and told. */
const LOOKS = /^(they|he|she|doctor|nurse|gp|consultant|hospital|surgeon|optician)$/
const LOOKED = /^(looked|said|checked|saw|told|says|examined|confirmed|reckoned)$/

/** True where each clause shows a harmless cue and names no part of the body but the ear that the drops went into. */
export function explainedThroughout(
  r: Reading,
  tokens: readonly Token[],
  layout: Layout,
  mentions: readonly Mention[],
  masked: readonly boolean[],
  history: readonly HistoryMention[],
): boolean {
  if (r.unaccounted.length > 0 || r.findings.some((f: Finding) => f.polarity !== 'denied')) return false
  if (isPractical(tokens, layout) && layout.sentences.length === 1) return true
  const safe: boolean[] = [...masked]
  const news: boolean[] = new Array(tokens.length).fill(false)
  for (const m of [...mentions, ...history]) for (const u of m.used) safe[u] = true
  for (const set of [
    cues.well,
    cues.noToAll,
    cues.thanks,
    cues.forgot,
    cues.done,
    cues.future,
    cues.move,
    cues.stop,
  ])
    for (const m of findAll(tokens, set)) if (!m.fuzzy) for (const u of m.used) safe[u] = true
  for (const m of findAll(tokens, cues.well)) if (!m.fuzzy) for (const u of m.used) news[u] = true
  const dosed = r.doses !== null || (r.context === 'softening' && r.softened !== null)
  return layout.clauses.every((c) => {
    let shown = false
    let words = 0
    for (let i = c.from; i < c.to; i++) {
      const t = tokens[i]
      if (!t || t.kind === 'mark') continue
      words++
      const ear = /^(ear|ears)$/.test(t.w)
      if (isBody(t.w) && !safe[i] && !(ear && (dosed || r.context === 'screening'))) {
        // "Ear is fine": the news is of the ear.
        if (!ear || !news.slice(c.from, c.to).includes(true)) return false
      }
      if (
        safe[i] ||
        (r.context === 'screening' && LOOKED.test(t.w) && LOOKS.test(tokens[i - 1]?.w ?? '')) ||
        (dosed && (t.kind === 'number' || TIMES_WORDS.has(t.w) || DAYTIMES.has(t.w) || DOSED.test(t.w)))
      )
        shown = true
      if (r.context === 'screening' && BACKGROUND.has(t.w)) shown = true
    }
    return shown || words === 0
  })
}
