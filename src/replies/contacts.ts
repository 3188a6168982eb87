/** Whom to call: the sender wants to be called, or says that the messages reach somebody else. */
import { hits } from './answers.ts'
import type { Token } from './normalise.ts'
import { cues } from './vocabulary.ts'

export function wantsCall(tokens: readonly Token[]): boolean {
  return hits(tokens, cues.callMe).some((m) => {
    const before = [1, 2, 3].map((n) => tokens[m.from - n]?.w ?? '')
    if (before.includes('not') || before.includes('no')) return false
    const w = tokens[m.from]?.w ?? ''
    // "The home help did it", "twice with my wife's help"
    if (
      w === 'help' &&
      (tokens[m.from - 1]?.possessive ||
        /^(home|with|his|her|their|of|wifes|daughters|sons|husbands|carers)$/.test(before[0] ?? ''))
    )
      return false
    // "Had a phone call with my sister"
    const had = before[0] === 'a' ? (before[1] ?? '') : (before[0] ?? '')
    if (w === 'phone' && /^(had|on|got|took|from)$/.test(had)) return false
    if (
      /^(will|would)$/.test(before[0] ?? '') &&
      /^(i|he|she|they|daughter|son|wife|husband|neighbour|sister|brother|surgery|doctor)$/.test(
        before[1] ?? '',
      )
    )
      return false
    return w !== 'help' || tokens.length <= 6 || before[0] === 'need' || before[0] === 'please'
  })
}

export function saysWrongNumber(tokens: readonly Token[]): boolean {
  return hits(tokens, cues.wrongNumber).some((m) => {
    const w = tokens[m.from]?.w ?? ''
    const span = tokens
      .slice(m.from, m.to)
      .map((t) => t.w)
      .join(' ')
    if (span === 'died')
      return /^(she|he|mum|dad|has|have|patient|husband|wife|mother|father)$/.test(
        tokens[m.from - 1]?.w ?? '',
      )
    if (
      /^(sent|went)$/.test(tokens[m.from - 1]?.w ?? '') ||
      (tokens[m.from - 1]?.w === 'to' && tokens[m.from - 2]?.w === 'sent')
    )
      return false
    if (span === 'not me' && tokens.some((t) => /^(had|has|have|got|last|legs|was|used)$/.test(t.w)))
      return false
    // "I am not Margaret": a name after it, and nothing else.
    if (span === 'i am not' || (w === 'i' && span.startsWith('i am not'))) {
      const next = tokens[m.to]
      return (
        next !== undefined &&
        next.kind === 'word' &&
        next.capital &&
        (next.known === 'name' || tokens.length <= 5)
      )
    }
    return true
  })
}
