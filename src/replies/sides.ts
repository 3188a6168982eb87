/** Left, right or both: near a symptom, or as an answer by itself. */
import type { Layout } from './clauses.ts'
import type { Mention } from './concepts.ts'
import { setOf } from './lexicon/set-of.ts'
import type { Token } from './normalise.ts'
import type { Side } from './types.ts'

const PART = setOf('ear ears side one lug eardrum drum hand cheek eye arm leg face canal')
const LEAD = setOf('my the in on from of only his her to is was and or side just it')

const SIDED = setOf('left right both ears each l lh lhs r rh rhs are')

function sideAt(tokens: readonly Token[], i: number): Side | null {
  const w = tokens[i]?.w ?? ''
  if (!SIDED.has(w)) return null
  const next = tokens[i + 1]
  const before = tokens[i - 1]?.w ?? ''
  const ends =
    next === undefined ||
    next.kind === 'mark' ||
    /^(and|is|has|only|but|hurts|aches|please|thanks)$/.test(next.w)
  if (w === 'both' && (PART.has(next?.w ?? '') || ends)) return 'both'
  if (w === 'ears' || (w === 'each' && next?.w === 'ear')) return 'both'
  if ((w === 'l' || w === 'lh' || w === 'lhs') && (PART.has(next?.w ?? '') || i === 0)) return 'left'
  if (
    (w === 'r' || w === 'rh' || w === 'rhs' || w === 'are') &&
    tokens[i]?.end === (tokens[i]?.start ?? 0) + 1 &&
    PART.has(next?.w ?? '')
  )
    return 'right'
  if (w !== 'left' && w !== 'right') return null
  if (PART.has(next?.w ?? '')) return w
  if ((LEAD.has(before) && ends && before !== 'is' && before !== 'it') || (i === 0 && ends)) return w
  if (before === 'side' || (before === 'ear' && ends)) return w
  return /^(my|the|his|her)$/.test(before) && w === 'left' ? w : null
}

/** The side of a mention: said in its clause, else in its sentence, else the only side of the text. */
export function sidesOf(tokens: readonly Token[], layout: Layout): (m: Mention) => Side | null {
  const said: { at: number; side: Side }[] = []
  for (let i = 0; i < tokens.length; i++) {
    const side = sideAt(tokens, i)
    if (side) said.push({ at: i, side })
  }
  if (said.length === 0) return () => null
  const all = new Set(said.map((x) => x.side))
  if (all.size > 1) all.delete('both')
  const whole = all.size === 1 ? ([...all][0] ?? null) : null
  const bySentence = new Map<number, { at: number; side: Side }[]>()
  for (const x of said) {
    const s = layout.sentence[x.at] ?? 0
    bySentence.set(s, [...(bySentence.get(s) ?? []), x])
  }
  return (m) => {
    const inSentence = bySentence.get(layout.sentence[m.from] ?? 0) ?? []
    const inClause = inSentence.filter((x) => layout.clause[x.at] === layout.clause[m.from])
    for (const list of [inClause, inSentence]) {
      const sides = new Set(list.map((x) => x.side))
      if (sides.size > 1) sides.delete('both')
      if (sides.size === 1) return [...sides][0] ?? null
      if (sides.size > 1) return nearest(list, m)
    }
    return whole
  }
}

function nearest(list: { at: number; side: Side }[], m: Mention): Side | null {
  let best: Side | null = null
  let distance = Number.POSITIVE_INFINITY
  for (const { at, side } of list) {
    const d = at < m.from ? m.from - at : at - m.to
    if (side !== 'both' && d < distance) {
      best = side
      distance = d
    }
  }
  return best
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
