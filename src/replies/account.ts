/** Which words of a reply are accounted for, and which are left over. */
import type { Layout } from './clauses.ts'
import type { Mention } from './concepts.ts'
import { BACKGROUND, FUNCTIONS } from './lexicon/plain.ts'
import type { Token } from './normalise.ts'
import { findAll } from './patterns.ts'
import type { HistoryMention } from './screening.ts'
import type { Reading } from './types.ts'
import { cues, isChat, isRareChat, isSlipOfChat } from './vocabulary.ts'

/** So many unknown words of a reply are looked at as slips of plain ones. */
const MAX_SLIPS = 12

/** Which words are understood: what no part claims and what is no ordinary chat is left over. */
export function account(
  r: Reading,
  tokens: readonly Token[],
  masked: boolean[],
  mentions: Mention[],
  history: HistoryMention[],
  layout: Layout,
  aside: ReadonlySet<number>,
  ofDoses: readonly number[],
) {
  const claimed = new Array<boolean>(tokens.length).fill(false)
  for (const m of mentions) for (const u of m.used) claimed[u] = true
  for (const m of history) for (const u of m.used) claimed[u] = true
  for (const i of ofDoses) claimed[i] = true
  for (const set of [
    cues.forgot,
    cues.softYes,
    cues.softNo,
    cues.stop,
    cues.move,
    cues.callMe,
    cues.noToAll,
    cues.well,
    cues.wrongNumber,
    cues.thanks,
    cues.proxy,
    cues.vague,
    cues.lasting,
    cues.sudden,
    cues.brief,
  ]) {
    for (const m of findAll(tokens, set)) if (!m.fuzzy) for (const u of m.used) claimed[u] = true
  }

  let slips = MAX_SLIPS
  for (const [i, t] of tokens.entries()) {
    if (t.kind !== 'word' || t.emoji) continue
    const understood =
      claimed[i] ||
      masked[i] ||
      isChat(t.w) ||
      t.known === 'name' ||
      (t.known === 'unknown' && isRareChat(t.w)) ||
      (t.known === 'unknown' && t.alts.length === 0 && slips-- > 0 && isSlipOfChat(t.w)) ||
      (r.context === 'screening' && BACKGROUND.has(t.w)) ||
      plainlyDenied(tokens, i) ||
      aside.has(layout.clause[i] ?? -1)
    if (understood) r.accounted++
    else r.unaccounted.push({ start: t.start, end: t.end })
  }
}

/** "No fluid", "don't have hole", "neither pain nor leakage": a noun right behind its "no". */
export function plainlyDenied(tokens: readonly Token[], at: number): boolean {
  if (FUNCTIONS.has(tokens[at]?.w ?? '')) return false
  for (let i = at - 1, n = 0; i >= 0 && n < 6; i--, n++) {
    const w = tokens[i]?.w ?? ''
    if (/^(no|not|never|without|nor|neither|zero|nil)$/.test(w)) return tokens[i - 1]?.w !== 'can'
    if (
      !/^(a|an|any|sign|signs|of|have|had|having|got|or|and|more|ever|in|my|the|been|feel|felt|kind|sort)$/.test(
        w,
      )
    )
      return false
  }
  return false
}
