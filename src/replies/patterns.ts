/** The small pattern language of the lexicon: compiled once, matched without backtracking. */
import type { Token } from './normalise.ts'

type Element = { words: ReadonlySet<string>; optional: boolean; gap: number; content: boolean }

/** `order`: its place among all patterns, `set` the place of its set among all sets. */
export type Pattern<T> = {
  row: T
  elements: Element[]
  size: number
  source: string
  order: number
  set: number
}

/**
 * What a word may begin: the patterns that need no other word, and the rest by each word that may stand for the one of
 * their words that fewest texts have. `reach`: how far ahead that may be. `isKey`: whether the word is one of those.
 */
type Entry<T> = { alone: Pattern<T>[]; byKey: Map<string, Pattern<T>[]>; reach: number; isKey: boolean }
type Index<T> = Map<string, Entry<T>>

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

export type PatternSet<T> = { place: number; index: Index<T>; words: ReadonlySet<string> }

const NEGATORS = new Set(['no', 'not', 'never', 'without', 'none', 'neither', 'nor', 'nil'])
const WALLS = new Set(['but', 'although', 'though', 'except', 'because', 'apart'])
const SENTENCE_MARKS = new Set(['.', '!', '?', ';', '\n'])
const FUNCTION_WORDS = new Set(
  'a an the my me i it is am are was be been has have had do does did not no can could will would to of in on at from and or up out with for this that so you your we they he she his her all some any very really just now still too one off like feel feels feeling get gets got go going gone keep keeps kept more thing anything nothing everything something people us him them it'.split(
    ' ',
  ),
)

/** Every pattern of every set, so that a text is gone through once for all of them. */
const everything: Index<unknown> = new Map()
let patternsSoFar = 0
let setsSoFar = 0

/** `a|b`, `@class`, `~n`, `word?`; patterns of one row are parted by `;` or line ends. */
export function compile<T>(
  rows: readonly { row: T; patterns: string }[],
  classes: Readonly<Record<string, string>>,
): PatternSet<T> {
  const index: Index<T> = new Map()
  const words = new Set<string>()
  const place = setsSoFar++
  for (const { row, patterns } of rows) {
    for (const source of patterns.split(/[;\n]/)) {
      const elements = elementsOf(source.trim(), classes)
      if (elements.length === 0) continue
      const size = elements.filter((e) => !e.optional).length
      const pattern = { row, elements, size, source, order: patternsSoFar++, set: place }
      for (const element of elements) for (const w of element.words) words.add(w)
      addTo(index, pattern)
      addTo<unknown>(everything, pattern as Pattern<unknown>)
    }
  }
  return { place, index, words }
}

function addTo<T>(index: Index<T>, pattern: Pattern<T>) {
  const [first, ...rest] = pattern.elements
  const key = rest.filter((e) => !e.optional).toSorted((x, y) => commonness(x) - commonness(y))[0]
  const reach = rest.slice(0, key ? rest.indexOf(key) + 1 : 0).reduce((sum, e) => sum + e.gap + 1, -1)
  const entryOf = (w: string): Entry<T> => {
    const entry = index.get(w) ?? { alone: [], byKey: new Map(), reach: -1, isKey: false }
    index.set(w, entry)
    return entry
  }
  for (const w of key?.words ?? []) entryOf(w).isKey = true
  for (const w of first?.words ?? []) {
    const entry = entryOf(w)
    entry.reach = Math.max(entry.reach, reach)
    if (!key) entry.alone.push(pattern)
    for (const next of key?.words ?? []) {
      const list = entry.byKey.get(next)
      if (list) list.push(pattern)
      else entry.byKey.set(next, [pattern])
    }
  }
}

/** How many words of an element stand in most texts. */
const commonness = (e: Element) => [...e.words].filter((w) => FUNCTION_WORDS.has(w) || NEGATORS.has(w)).length

function elementsOf(source: string, classes: Readonly<Record<string, string>>): Element[] {
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
      words: new Set(options),
      optional,
      gap,
      content: options.some((w) => !FUNCTION_WORDS.has(w)),
    })
    gap = 0
  }
  return elements
}

/** What was found in a whole reply, for each set. */
const found = new WeakMap<readonly Token[], Match<unknown>[][]>()

/** Goes once through a whole reply for all sets; its parts are gone through for one set at a time. */
export function searchAll(tokens: readonly Token[]) {
  found.set(tokens, search(tokens, everything))
}

/** Every match of every pattern, in order of its first token; overlaps are the caller's to settle. */
export function findAll<T>(tokens: readonly Token[], set: PatternSet<T>): readonly Match<T>[] {
  const all = found.get(tokens) ?? search(tokens, set.index)
  return (all[set.place] as Match<T>[] | undefined) ?? NONE
}

/** The matches of each set, by the place of the set. */
function search<T>(tokens: readonly Token[], index: Index<T>): Match<T>[][] {
  const out: Match<T>[][] = []
  const look = (i: number, pattern: Pattern<T>, fuzzy: boolean) => {
    const m = matchAt(tokens, i, pattern, fuzzy)
    if (!m) return
    const list = out[pattern.set]
    if (list) list.push(m)
    else out[pattern.set] = [m]
  }
  const entries = tokens.map((t) => (t.kind === 'mark' ? undefined : index.get(t.w)))
  const isKey = tokens.map((t, i) => entries[i]?.isKey || t.alts.some((alt) => index.get(alt)?.isKey))
  for (const [i, t] of tokens.entries()) {
    if (t.kind === 'mark') continue
    for (const pattern of likely(tokens, isKey, i, entries[i], false)) look(i, pattern, false)
    const least = t.known === 'unknown' ? 2 : 3
    for (const alt of t.alts)
      for (const pattern of likely(tokens, isKey, i, index.get(alt), true))
        if (pattern.size >= least) look(i, pattern, true)
  }
  return out
}

const NONE: readonly never[] = []

/** The patterns of an entry whose key stands within its reach, in their order. */
function likely<T>(
  tokens: readonly Token[],
  isKey: readonly boolean[],
  at: number,
  entry: Entry<T> | undefined,
  fuzzy: boolean,
): readonly Pattern<T>[] {
  if (!entry) return NONE
  const { alone, byKey, reach } = entry
  let all: readonly Pattern<T>[] = alone
  const add = (w: string) => {
    const more = byKey.get(w)
    if (more) all = all.length === 0 ? more : merged(all, more)
  }
  for (let j = at + 1, steps = 0; steps <= reach; j++) {
    const t = tokens[j]
    if (!t) break
    if (t.kind === 'mark') {
      if (SENTENCE_MARKS.has(t.w)) break
      if (t.w === ',') steps++
      continue
    }
    steps++
    if (!isKey[j]) continue
    add(t.w)
    if (!fuzzy) for (const alt of t.alts) add(alt)
  }
  return all
}

/** Two lists in their order as one, what is in both once. */
function merged<T>(a: readonly Pattern<T>[], b: readonly Pattern<T>[]): readonly Pattern<T>[] {
  const out: Pattern<T>[] = []
  let [i, j] = [0, 0]
  for (let x = a[0], y = b[0]; x || y; [x, y] = [a[i], b[j]]) {
    const first = !y || (x && x.order <= y.order) ? x : y
    if (first === x) i++
    if (first === y) j++
    if (first) out.push(first)
  }
  return out
}

function matchAt<T>(
  tokens: readonly Token[],
  at: number,
  pattern: Pattern<T>,
  fuzzyFirst: boolean,
): Match<T> | null {
  const { elements } = pattern
  const used = [at]
  let negated = false
  // The place in the pattern of the word that is only near.
  let near = fuzzyFirst ? 0 : -1
  let i = at + 1
  for (let e = 1; e < elements.length; e++) {
    const element = elements[e] as Element
    const { words, gap } = element
    let steps = 0
    let j = i
    let found = false
    let skippedNegator = false
    for (; j < tokens.length; j++) {
      const t = tokens[j] as Token
      const { w } = t
      if (t.kind === 'mark') {
        if (SENTENCE_MARKS.has(w)) break
        if (w !== ',') continue
      } else {
        if (words.has(w)) {
          found = true
          break
        }
        if (
          t.alts.length > 0 &&
          near < 0 &&
          element.content &&
          (pattern.size >= 3 || t.known === 'unknown') &&
          t.alts.some((alt) => words.has(alt))
        ) {
          found = true
          near = used.length
          break
        }
        if (WALLS.has(w)) break
        if (NEGATORS.has(w)) skippedNegator = true
      }
      if (++steps > gap) break
    }
    if (!found) {
      if (element.optional) continue
      return null
    }
    if (skippedNegator) negated = true
    used.push(j)
    i = j + 1
  }
  const fuzzy = near >= 0
  if (fuzzy && used.every((u, k) => k === near || FUNCTION_WORDS.has(tokens[u]?.w ?? ''))) return null
  return { row: pattern.row, from: at, to: i, used, size: used.length, negated, fuzzy }
}
