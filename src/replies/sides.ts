/** Left, right or both: near a symptom, or as an answer by itself. */
import type { Layout } from './clauses.ts'
import type { Mention } from './concepts.ts'
import type { Token } from './normalise.ts'
import type { Side } from './types.ts'

const PART = /^(ear|ears|side|one|lug|eardrum|drum|hand|cheek|eye|arm|leg|face|canal)$/
const LEAD = /^(my|the|in|on|from|of|only|his|her|to|is|was|and|or|side|just|it)$/

function sideAt(tokens: readonly Token[], i: number): Side | null {
  const w = tokens[i]?.w ?? ''
  const next = tokens[i + 1]
  const before = tokens[i - 1]?.w ?? ''
  const ends =
    next === undefined ||
    next.kind === 'mark' ||
    /^(and|is|has|only|but|hurts|aches|please|thanks)$/.test(next.w)
  if (w === 'both' && (PART.test(next?.w ?? '') || ends)) return 'both'
  if (w === 'ears' || (w === 'each' && next?.w === 'ear')) return 'both'
  if ((w === 'l' || w === 'lh' || w === 'lhs') && (PART.test(next?.w ?? '') || i === 0)) return 'left'
  if (
    (w === 'r' || w === 'rh' || w === 'rhs' || w === 'are') &&
    tokens[i]?.end === (tokens[i]?.start ?? 0) + 1 &&
    PART.test(next?.w ?? '')
  )
    return 'right'
  if (w !== 'left' && w !== 'right') return null
  if (PART.test(next?.w ?? '')) return w
  if ((LEAD.test(before) && ends && before !== 'is' && before !== 'it') || (i === 0 && ends)) return w
  if (before === 'side' || (before === 'ear' && ends)) return w
  return /^(my|the|his|her)$/.test(before) && w === 'left' ? w : null
}

/** The side of a mention: said in its clause, else in its sentence, else the only side of the text. */
export function sideOf(tokens: readonly Token[], layout: Layout, m: Mention): Side | null {
  const at = (from: number, to: number) => {
    const found = new Set<Side>()
    for (let i = from; i < to; i++) {
      const s = sideAt(tokens, i)
      if (s) found.add(s)
    }
    if (found.size > 1) found.delete('both')
    return found
  }
  const clause = layout.clauses[layout.clause[m.from] ?? 0]
  const sentence = layout.sentences[layout.sentence[m.from] ?? 0]
  for (const range of [clause, sentence, { from: 0, to: tokens.length }]) {
    if (!range) continue
    const found = at(range.from, range.to)
    if (found.size === 1) return [...found][0] ?? null
    if (found.size === 2) {
      let nearest: Side | null = null
      let distance = Number.POSITIVE_INFINITY
      for (let i = range.from; i < range.to; i++) {
        const s = sideAt(tokens, i)
        const d = i < m.from ? m.from - i : i - m.to
        if (s && s !== 'both' && d < distance) {
          nearest = s
          distance = d
        }
      }
      return nearest
    }
  }
  return null
}

/** The side when the whole reply is about a side: "left", "the right one". */
export function sideAnswer(tokens: readonly Token[]): Side | null {
  const found = new Set<Side>()
  for (let i = 0; i < tokens.length; i++) {
    const s = sideAt(tokens, i)
    if (s) found.add(s)
  }
  if (found.has('left') && found.has('right')) return 'both'
  return found.size === 1 ? ([...found][0] ?? null) : null
}
