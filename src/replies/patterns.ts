/** The small pattern language of the lexicon: compiled once, matched without backtracking. */
import type { Token } from './normalise.ts'

type Element = { words: ReadonlySet<string>; optional: boolean; gap: number; content: boolean }

/** `needs`: the words of which a text must have one, for each word of the pattern after the first; few words first. */
export type Pattern<T> = {
  row: T
  elements: Element[]
  size: number
  source: string
  needs: readonly ReadonlySet<string>[]
}

export type Match<T> = {
  row: T
  /** Token indexes, half open. */
  from: number
  to: number
  /** Indexes of the tokens that the pattern itself named. */
  used: number[]
  /** How many words the pattern named: the more, the surer. */
  size: number
  /** A negator stood in one of its gaps. */
  negated: boolean
  fuzzy: boolean
}

export type PatternSet<T> = { byFirst: ReadonlyMap<string, Pattern<T>[]>; words: ReadonlySet<string> }

const NEGATORS = new Set(['no', 'not', 'never', 'without', 'none', 'neither', 'nor', 'nil'])
const WALLS = new Set(['but', 'although', 'though', 'except', 'because', 'however', 'apart'])
const SENTENCE_MARKS = new Set(['.', '!', '?', ';', '\n'])
const FUNCTION_WORDS = new Set(
  'a an the my me i it is am are was be been has have had do does did not no can could will would to of in on at from and or up out with for this that so you your we they he she his her all some any very really just now still too one off like feel feels feeling get gets got go going gone keep keeps kept more thing anything nothing everything something people us him them it'.split(
    ' ',
  ),
)

/** `a|b`, `@class`, `~n`, `word?`; patterns of one row are parted by `;` or line ends. */
export function compile<T>(
  rows: readonly { row: T; patterns: string }[],
  classes: Readonly<Record<string, string>>,
): PatternSet<T> {
  const byFirst = new Map<string, Pattern<T>[]>()
  const words = new Set<string>()
  for (const { row, patterns } of rows) {
    for (const source of patterns.split(/[;\n]/)) {
      const pattern = compileOne(source.trim(), row, classes)
      if (!pattern) continue
      for (const element of pattern.elements) for (const w of element.words) words.add(w)
      for (const w of pattern.elements[0]?.words ?? []) {
        const list = byFirst.get(w)
        if (list) list.push(pattern)
        else byFirst.set(w, [pattern])
      }
    }
  }
  return { byFirst, words }
}

/** One set for the same words, so that what is known of it is known wherever it stands. */
const sets = new Map<string, ReadonlySet<string>>()
/** The sets that a word is in. */
const holders = new Map<string, ReadonlySet<string>[]>()
function shared(words: readonly string[]): ReadonlySet<string> {
  const key = words.join(' ')
  const before = sets.get(key)
  if (before) return before
  const set = new Set(words)
  sets.set(key, set)
  for (const w of set) {
    const list = holders.get(w)
    if (list) list.push(set)
    else holders.set(w, [set])
  }
  return set
}

function compileOne<T>(source: string, row: T, classes: Readonly<Record<string, string>>): Pattern<T> | null {
  const elements: Element[] = []
  let gap = 0
  for (let part of source.split(/\s+/)) {
    if (part === '') continue
    if (part.startsWith('~')) {
      gap = Number(part.slice(1))
      continue
    }
    const optional = part.endsWith('?')
    if (optional) part = part.slice(0, -1)
    const options = part.split('|').flatMap((option) => {
      if (!option.startsWith('@')) return [option]
      const list = classes[option.slice(1)]
      if (list === undefined) throw new Error(`No word class ${option} in pattern "${source}"`)
      return list.trim().split(/\s+/)
    })
    elements.push({
      words: shared(options),
      optional,
      gap,
      content: options.some((w) => !FUNCTION_WORDS.has(w)),
    })
    gap = 0
  }
  if (elements.length === 0) return null
  const needs = new Set(
    elements
      .slice(1)
      .filter((e) => !e.optional)
      .map((e) => e.words),
  )
  return {
    row,
    elements,
    size: elements.filter((e) => !e.optional).length,
    source,
    needs: [...needs].sort((a, b) => a.size - b.size),
  }
}

/** From so many tokens on, patterns with a word that the text lacks are put aside first. */
const LONG = 80

/** What was asked of a long text before: its words, and the matches of each set. Texts are spelt before they are asked. */
type Seen = {
  /** Where each word and each other spelling stands. */
  at: ReadonlyMap<string, readonly number[]>
  /** The sets of words that have one in the text. */
  some: ReadonlySet<ReadonlySet<string>>
  found: Map<unknown, readonly unknown[]>
}
const seen = new WeakMap<readonly Token[], Seen>()

function seenIn(tokens: readonly Token[]): Seen {
  const before = seen.get(tokens)
  if (before) return before
  const at = new Map<string, number[]>()
  for (const [i, t] of tokens.entries()) {
    if (t.kind === 'mark') continue
    for (const w of [t.w, ...t.alts]) {
      const places = at.get(w)
      if (places) places.push(i)
      else at.set(w, [i])
    }
  }
  const some = new Set<ReadonlySet<string>>()
  for (const w of at.keys()) for (const set of holders.get(w) ?? []) some.add(set)
  const now: Seen = { at, some, found: new Map() }
  seen.set(tokens, now)
  return now
}

type Reach<T> = { beginning: (w: string) => readonly Pattern<T>[] | undefined; places: Iterable<number> }

/** The patterns that begin with a word of the text, without those that need a word it has nowhere, and where they may. */
function withinReach<T>(tokens: readonly Token[], set: PatternSet<T>): Reach<T> {
  const { at, some } = seenIn(tokens)
  const known = new Map<string, Pattern<T>[]>()
  const places = new Set<number>()
  const words = set.byFirst.size < at.size ? set.byFirst.keys() : at.keys()
  for (const w of words) {
    const there = at.get(w)
    const patterns = there && set.byFirst.get(w)?.filter((p) => p.needs.every((need) => some.has(need)))
    if (!patterns || patterns.length === 0) continue
    known.set(w, patterns)
    for (const i of there) places.add(i)
  }
  return { beginning: (w) => known.get(w), places: [...places].sort((a, b) => a - b) }
}

/** Every match of every pattern, in order of its first token; overlaps are the caller's to settle. */
export function findAll<T>(tokens: readonly Token[], set: PatternSet<T>): readonly Match<T>[] {
  if (tokens.length < LONG) return search(tokens, set)
  const { found } = seenIn(tokens)
  const before = found.get(set) as readonly Match<T>[] | undefined
  if (before) return before
  const now = search(tokens, set)
  found.set(set, now)
  return now
}

function search<T>(tokens: readonly Token[], set: PatternSet<T>): Match<T>[] {
  const out: Match<T>[] = []
  const { beginning, places }: Reach<T> =
    tokens.length < LONG
      ? { beginning: (w) => set.byFirst.get(w), places: tokens.keys() }
      : withinReach(tokens, set)
  for (const i of places) {
    const t = tokens[i]
    if (!t || t.kind === 'mark') continue
    for (const pattern of beginning(t.w) ?? []) {
      const m = matchAt(tokens, i, pattern, false)
      if (m) out.push(m)
    }
    for (const alt of t.alts) {
      for (const pattern of beginning(alt) ?? []) {
        if (pattern.size < (t.known === 'unknown' ? 2 : 3)) continue
        const m = matchAt(tokens, i, pattern, true)
        if (m) out.push(m)
      }
    }
  }
  return out
}

function matchAt<T>(
  tokens: readonly Token[],
  at: number,
  pattern: Pattern<T>,
  fuzzyFirst: boolean,
): Match<T> | null {
  // Most patterns fail at their second word: look before anything is allocated.
  const second = pattern.elements[1]
  const next = tokens[at + 1]
  if (second && second.gap === 0 && !second.optional && next?.kind !== 'mark') {
    if (!next) return null
    if (!second.words.has(next.w) && next.alts.length === 0) return null
  }
  const used = [at]
  let negated = false
  let fuzzy = fuzzyFirst
  let exactContent = !fuzzyFirst && !FUNCTION_WORDS.has(tokens[at]?.w ?? '') ? 1 : 0
  let i = at + 1
  for (let e = 1; e < pattern.elements.length; e++) {
    const element = pattern.elements[e]
    if (!element) break
    let steps = 0
    let j = i
    let found = false
    let skippedNegator = false
    while (j < tokens.length) {
      const t = tokens[j]
      if (!t) break
      if (t.kind !== 'mark') {
        if (element.words.has(t.w)) {
          found = true
          if (!FUNCTION_WORDS.has(t.w)) exactContent++
          break
        }
        if (
          !fuzzy &&
          element.content &&
          t.alts.length > 0 &&
          (pattern.size >= 3 || t.known === 'unknown') &&
          t.alts.some((w) => element.words.has(w))
        ) {
          found = true
          fuzzy = true
          break
        }
        if (WALLS.has(t.w)) break
        if (NEGATORS.has(t.w)) skippedNegator = true
        steps++
      } else if (SENTENCE_MARKS.has(t.w)) break
      else if (t.w === ',') steps++
      if (steps > element.gap) break
      j++
    }
    if (!found) {
      if (element.optional) continue
      return null
    }
    if (skippedNegator) negated = true
    used.push(j)
    i = j + 1
  }
  if (fuzzy && exactContent === 0) return null
  return { row: pattern.row, from: at, to: i, used, size: used.length, negated, fuzzy }
}
