/** Whether a word of history is a symptom of today, and whether the item is the patient's own. Pure. */
import { hits } from './answers.ts'
import type { Layout } from './clauses.ts'
import type { Mention } from './concepts.ts'
import { NUTS } from './named-history.ts'
import type { Token } from './normalise.ts'
import type { HistoryMention } from './screening.ts'
import type { Reading } from './types.ts'
import { cues } from './vocabulary.ts'

/** In screening, a word that only names a history item is no present symptom. */
export function isHistoryOnly(
  m: Mention,
  history: HistoryMention[],
  tokens: readonly Token[],
  screening: boolean,
): boolean {
  if (!screening) return false
  const over =
    history.find((h) => [...m.used].some((u) => h.used.has(u))) ??
    // "A reaction to the drops once, ear went red and blistery"
    (m.kind === 'rash'
      ? history.find((h) => h.kind === 'drops-reaction' && isOfThen(tokens, h, m))
      : undefined)
  if (m.kind === 'rash' && isHabit(tokens) && tokens.some((t) => NUTS.test(t.w))) return true
  if (!over) return false
  if (m.kind === 'airway' && over.kind === 'allergy' && isHabit(tokens)) return true
  if (
    m.kind === 'injury' ||
    m.kind === 'rash' ||
    m.kind === 'unwell' ||
    m.kind === 'other' ||
    m.kind === 'vomiting' ||
    (m.kind === 'stroke-sign' && over.kind === 'only-hearing-ear' && isLifelong(tokens)) ||
    (m.kind === 'hearing-loss' && [...m.used].every((u) => over.used.has(u))) ||
    m.kind === 'contraindicated-drops' ||
    m.kind === 'swelling'
  )
    return true
  const around = tokens.slice(Math.max(0, m.from - 6), m.to + 6)
  if (around.some((t) => /^(now|today|still|moment|currently|minute)$/.test(t.w)))
    return over.polarity === 'denied'
  const past = around.some((t) => /^(had|was|were|ago|last|used|previously)$/.test(t.w))
  return over.polarity !== 'present' || past
}

const isOfThen = (tokens: readonly Token[], h: HistoryMention, m: Mention) => {
  const around = tokens.slice(Math.min(h.from, m.from), Math.max(h.to, m.to))
  const then = around.some((t) => /^(once|had|went|came|was)$/.test(t.w))
  return then && !around.some((t) => /^(now|today|still|since|spreading|getting|is)$/.test(t.w))
}

/** "The left has been dead since birth" */
const isLifelong = (tokens: readonly Token[]) =>
  tokens.some((t) => /^(birth|born|childhood|child|baby|always|infancy|war|years)$/.test(t.w)) &&
  !tokens.some((t) => /^(today|yesterday|now|sudden|suddenly|morning|night)$/.test(t.w))

/** "Nuts make my lips swell": what they do each time, not what they are doing. */
const isHabit = (tokens: readonly Token[]) =>
  tokens.some((t) => /^(make|makes|give|gives|close|closes|bring|brings|send|sends|can)$/.test(t.w)) &&
  !tokens.some((t) =>
    /^(now|today|tonight|just|ate|eaten|had|since|this|yesterday|last|swelling|swollen|started|started|drops|oil|minute|moment)$/.test(
      t.w,
    ),
  )

/** "Are drops safe if you have a hole?", "is it safe for a person with grommets?" */
function ofAnybody(tokens: readonly Token[], s: { from: number; to: number }, at: number): boolean {
  if (tokens.slice(s.from, s.to).some((t) => /^(i|my|me|mine)$/.test(t.w))) return false
  return tokens
    .slice(s.from, at)
    .some(
      (t, i, all) =>
        /^(person|people|someone|somebody|anyone)$/.test(t.w) ||
        (t.w === 'if' && /^(you|one)$/.test(all[i + 1]?.w ?? '')),
    )
}

const RISKS_TOLD = new Set(['immunocompromised', 'anticoagulant', 'diabetes', 'only-hearing-ear', 'allergy'])

/** A history item counts when it is the patient's own, and (outside screening) is no symptom of today. */
export function countsAsHistory(
  h: HistoryMention,
  context: Reading['context'],
  tokens: readonly Token[],
  layout: Layout,
  asked: { from: number; to: number }[],
  someoneElse: (h: { from: number; to: number }) => boolean,
): boolean {
  if (someoneElse(h)) return false
  const inQuestion = asked.some((q) => h.from >= q.from && h.from < q.to)
  if (context === 'screening') {
    const s = layout.sentences[layout.sentence[h.from] ?? 0] ?? { from: 0, to: 0 }
    if (inQuestion && tokens.slice(s.from, s.to).some((t) => /^(what|which|how|whats)$/.test(t.w)))
      return false
    if (inQuestion && ofAnybody(tokens, s, h.from)) return false
    // "Might have had a hole" is unsure; "had a hole, not sure it healed" is not.
    const lead = tokens.slice(s.from, h.to)
    // "Some op", "something was done, I'm not sure what": done, of whatever kind.
    if (h.kind === 'surgery') return !lead.some((t) => /^(might|may|maybe|possibly|perhaps|if)$/.test(t.w))
    // "A few years back" is a time, not a doubt.
    const doubtful = hits(lead, cues.unsure).some(
      (m) => !/^(year|years|month|months|week|weeks|days|times)$/.test(lead[m.to]?.w ?? ''),
    )
    return !doubtful || h.polarity === 'denied'
  }
  // "Had an infection in it years ago"; one of today is a symptom.
  if (h.kind === 'infection') {
    const s = layout.sentences[layout.sentence[h.from] ?? 0] ?? { from: 0, to: 0 }
    const before = tokens.slice(s.from, h.from)
    return (
      h.polarity === 'past' ||
      (before.some((t) => /^(had|was|once)$/.test(t.w)) &&
        !before.some((t) => /^(if|would|could)$/.test(t.w)))
    )
  }
  if (RISKS_TOLD.has(h.kind)) return true
  if (
    h.kind === 'perforation' ||
    h.kind === 'recent-perforation' ||
    h.kind === 'grommets' ||
    h.kind === 'surgery'
  )
    return !(context === 'aftercare' && inQuestion)
  return (
    h.kind === 'drops-reaction' &&
    (h.polarity === 'past' ||
      tokens.slice(h.from, h.to).some((t) => /^(reaction|reacted|reacting)$/.test(t.w)))
  )
}
