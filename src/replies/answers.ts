/** Numbers as people write them, and whether a cue stands in a reply. */
import { NUMBERS } from './lexicon/answers.ts'
import type { Token } from './normalise.ts'
import { findAll, type Match, type PatternSet } from './patterns.ts'

export const hits = (tokens: readonly Token[], set: PatternSet<true>): Match<true>[] =>
  findAll(tokens, set).filter((m) => !m.fuzzy)
export const has = (tokens: readonly Token[], set: PatternSet<true>): boolean => hits(tokens, set).length > 0

/** The value of a number token or number word, or null. */
export function numberAt(tokens: readonly Token[], i: number): number | null {
  const t = tokens[i]
  if (!t) return null
  if (t.kind === 'number') return Number.isFinite(t.value) ? t.value : null
  return NUMBERS.get(t.w) ?? null
}

/** Gives number words and digits that stand for a pain score: 7, 7/10, "about a 6 or 7" (the higher), "seven out of ten". */
export function scores(
  tokens: readonly Token[],
): { value: number; from: number; to: number; marked: boolean }[] {
  const out: { value: number; from: number; to: number; marked: boolean }[] = []
  for (let i = 0; i < tokens.length; i++) {
    const value = numberAt(tokens, i)
    // "Pain from 0 to 10?" asks.
    if (value === 0 && /^(to|-)$/.test(tokens[i + 1]?.w ?? '') && numberAt(tokens, i + 2) === 10) {
      i += 2
      continue
    }
    if (
      value === null ||
      (tokens[i]?.kind === 'word' && /^(couple|few|several|dozen)$/.test(tokens[i]?.w ?? ''))
    )
      continue
    let to = i + 1
    let top = value
    // "6 or 7", "6-7", "6/7", "6 to 7", "six seven"
    const joint = tokens[to]?.w ?? ''
    const second = numberAt(tokens, to + 1)
    if (
      second !== null &&
      second !== 10 &&
      /^(or|-|to|maybe|\/)$/.test(joint) &&
      !(joint === 'to' && [1, 2].some((n) => /^(from|up|down)$/.test(tokens[i - n]?.w ?? '')))
    ) {
      top = Math.max(top, second)
      to += 2
    }
    let marked = false
    if (
      tokens[to]?.w === 'and' &&
      /^(half)$/.test(tokens[to + (tokens[to + 1]?.w === 'a' ? 2 : 1)]?.w ?? '')
    ) {
      to += tokens[to + 1]?.w === 'a' ? 3 : 2
      top += 0.5
    }
    let w = tokens[to]?.w ?? ''
    if (w === '/' && numberAt(tokens, to + 1) === 10) {
      marked = true
      to += 2
    } else if ((w === 'out' || w === 'oot') && tokens[to + 1]?.w === 'of') {
      const base = numberAt(tokens, to + 2)
      if (base === 10 || (base === null && tokens[to + 2] === undefined)) marked = true
      if (base === 10) to += 3
    } else if (w === 'of' && numberAt(tokens, to + 1) === 10) {
      marked = true
      to += 2
    }
    w = tokens[to]?.w ?? ''
    if (top <= 10 || marked) out.push({ value: Math.min(10, top), from: i, to, marked })
    i = to - 1
  }
  return out
}
