/**
 * Sentences with their symptoms in brackets, for the scope rules alone: no lexicon, no speller.
 * `[pain]` is a mention, `[hearing-loss=deaf]` one of another kind, `[!=pain free]` words that deny by themselves.
 */
import { presupposes, questions, suppositions } from '../../src/replies/asking.ts'
import { layOut } from '../../src/replies/clauses.ts'
import type { Mention } from '../../src/replies/concepts.ts'
import { type Token, tokenise } from '../../src/replies/normalise.ts'
import { saidAfter, saidBefore } from '../../src/replies/said-about.ts'
import { denials, takenBy } from '../../src/replies/scope.ts'
import type { FindingKind } from '../../src/replies/types.ts'

export function parse(marked: string): { tokens: Token[]; mentions: Mention[] } {
  const tokens: Token[] = []
  const mentions: Mention[] = []
  for (const piece of marked.split(/(\[[^\]]*\])/)) {
    const named = /^\[(?:([a-z-]+|!)=)?(.*)\]$/.exec(piece)
    const from = tokens.length
    tokens.push(...tokenise(named?.[2] ?? piece))
    if (!named) continue
    mentions.push({
      kind: (named[1] && named[1] !== '!' ? named[1] : 'pain') as FindingKind,
      from,
      to: tokens.length,
      tags: new Set(),
      severity: null,
      denies: named[1] === '!',
      negated: false,
      size: 1,
      used: new Set(Array.from({ length: tokens.length - from }, (_, i) => from + i)),
      core: new Set(),
    })
  }
  return { tokens, mentions }
}

/**
 * What the scope rules make of each bracket: `no` (twice over: `nono`), `if`, `asked` or `told` (asked, but taken for
 * granted), what is said after and before it, or `yes`.
 */
export function scopesOf(marked: string): string {
  const { tokens, mentions } = parse(marked)
  const layout = layOut(tokens)
  const taken = takenBy(mentions)
  const denied = denials(tokens, taken)
  const supposed = suppositions(tokens, layout)
  const asked = questions(tokens, layout)
  const covers = (m: Mention) => (r: { from: number; to: number }) => m.from >= r.from && m.from < r.to
  return mentions
    .map((m) => {
      const question = asked.find(covers(m))
      const after = saidAfter(tokens, m, taken)
      const before = saidBefore(tokens, m, taken)
      const marks = [
        'no'.repeat(denied.filter(covers(m)).length),
        supposed.some(covers(m)) ? 'if' : '',
        question ? (presupposes(tokens, question, m) ? 'told' : 'asked') : '',
        after ? `after:${after}` : '',
        before ? `before:${before}` : '',
      ].filter(Boolean)
      return marks.length > 0 ? marks.join('+') : 'yes'
    })
    .join(', ')
}
