/** Where a patient tells of a sign outright: a statement of its own, which no scope from before it reaches. */
import { longAgoAt } from './bygone.ts'
import { type Layout, within } from './clauses.ts'
import { OUTRIGHT, UNTOLD } from './lexicon/outright.ts'
import { setOf } from './lexicon/set-of.ts'
import type { Token } from './normalise.ts'
import type { Range } from './scope.ts'
import type { Finding } from './types.ts'

const ANY = new RegExp(`(?<=^| )(?:${OUTRIGHT.map((p) => `(?:${p})`).join('|')})(?= |$)`, 'g')
const OWN = /^(?:i|we|my|it|there) /
const ASKS = setOf(
  'is are am do does did can could should will would shall may what why how when which who if',
)
const DENIES = setOf('no without')
const untold = setOf(UNTOLD)

/** The statements of a reply, in order. */
export function outrightIn(tokens: readonly Token[], layout: Layout): Range[] {
  const starts = new Map<number, number>()
  let said = ''
  for (const [i, t] of tokens.entries()) {
    starts.set(said.length, i)
    said += `${t.w} `
  }
  const out: Range[] = []
  for (const m of said.trimEnd().matchAll(ANY)) {
    const from = starts.get(m.index)
    const before = tokens[(from ?? 0) - 1]?.w ?? ''
    if (from === undefined || untold.has(before) || (DENIES.has(before) && !OWN.test(m[0]))) continue
    // "Is it usual to be sick and cannot stand?"
    const sentence = layout.sentences[layout.sentence[from] ?? 0] ?? { from, to: from }
    const asked = tokens[sentence.to - 1]?.w === '?' && within(tokens, sentence.from, from, ASKS)
    if (asked && !OWN.test(m[0])) continue
    out.push({ from, to: from + m[0].split(' ').length })
  }
  return out
}

/** "Pus coming out" may be of anybody's ear. */
export const isOwn = (tokens: readonly Token[], s: Range): boolean => OWNERS.has(tokens[s.from]?.w ?? '')
const OWNERS = setOf('i we my it there the room will would')

/** In words. */
const BEFORE = 2
const AFTER = 7
const OTHER_MATTER = setOf('i the had but and he she , .')

/** Is a time at `i` that of the statement? "I lost my hearing in my left ear in 2005" */
export const isTimeOf = (tokens: readonly Token[], s: Range, i: number): boolean =>
  i >= s.from - BEFORE && i < s.to + AFTER && !within(tokens, s.to, i, OTHER_MATTER)

/** "My ear is bleeding, nothing since": what was told outright and is not there by anything else that was said. */
export function takenBack(
  findings: readonly Finding[],
  tokens: readonly Token[],
  outright: readonly Range[],
): Range[] {
  const lost = outright.filter((s) => {
    const [start, end] = [tokens[s.from]?.start ?? 0, tokens[s.to - 1]?.end ?? 0]
    return !findings.some(
      (f) => f.polarity === 'affirmed' && !f.tags.includes('chronic') && f.start < end && f.end > start,
    )
  })
  if (lost.length === 0) return []
  const bygone = longAgoAt(tokens)
  return lost.filter((s) => !bygone.some((i) => isTimeOf(tokens, s, i)))
}
