/** Words within one or two slips of another: a deletion index, the edits between two words, the likeliest of several. */

export type Index = ReadonlyMap<string, readonly string[]>

export const MAX_FUZZY = 18

export function deletionIndex(words: ReadonlySet<string>): Index {
  const index = new Map<string, string[]>()
  const add = (key: string, w: string) => {
    const list = index.get(key)
    if (!list) index.set(key, [w])
    else if (!list.includes(w)) list.push(w)
  }
  for (const w of words) {
    if (w.length < 3 || w.length > MAX_FUZZY || w.includes('-')) continue
    for (const d of deletions(w, w.length >= 6 ? 2 : 1)) add(d, w)
  }
  return index
}

function deletions(w: string, depth: number): Set<string> {
  const out = new Set([w])
  let layer = [w]
  for (let d = 0; d < depth; d++) {
    const next: string[] = []
    for (const base of layer) {
      for (let i = 0; i < base.length; i++) {
        const cut = base.slice(0, i) + base.slice(i + 1)
        if (!out.has(cut)) {
          out.add(cut)
          next.push(cut)
        }
      }
    }
    layer = next
  }
  return out
}

/** Lexicon words within `distance` edits (a swap of neighbours is one edit). */
export function candidates(w: string, index: Index, distance: number): string[] {
  if (w.length > MAX_FUZZY) return []
  const found = new Set<string>()
  for (const d of deletions(w, distance)) {
    for (const c of index.get(d) ?? []) {
      if (c !== w && !found.has(c) && minimumLength(c) && edits(w, c, distance) <= distance) found.add(c)
    }
  }
  return [...found]
}

/** Short words that a sign may hang on: "passed otu", "my amr". */
const SHORT = 'out off up arm leg eye ear lip fit red pus wet hot'.split(' ')

/** Short words one slip away, for words that are no words. */
export const shortNear = (w: string): string[] =>
  w.length < 2 ? [] : SHORT.filter((s) => w.length + s.length >= 5 && edits(w, s, 1) === 1)

/** Three-letter words are too near to everything. */
const minimumLength = (c: string) => c.length >= 4

/** Optimal string alignment distance, given up past `limit`. */
export function edits(a: string, b: string, limit: number): number {
  if (Math.abs(a.length - b.length) > limit) return limit + 1
  let before: number[] = []
  let last: number[] = Array.from({ length: b.length + 1 }, (_, j) => j)
  for (let i = 1; i <= a.length; i++) {
    const row = [i]
    let least = i
    for (let j = 1; j <= b.length; j++) {
      const same = a[i - 1] === b[j - 1] ? 0 : 1
      let value = Math.min((last[j] ?? 0) + 1, (row[j - 1] ?? 0) + 1, (last[j - 1] ?? 0) + same)
      if (i > 1 && j > 1 && a[i - 1] === b[j - 2] && a[i - 2] === b[j - 1])
        value = Math.min(value, (before[j - 2] ?? 0) + 1)
      row.push(value)
      if (value < least) least = value
    }
    if (least > limit) return limit + 1
    before = last
    last = row
  }
  return last[b.length] ?? limit + 1
}

const NEIGHBOURS = new Map(
  ['qwertyuiop', 'asdfghjkl', 'zxcvbnm'].flatMap((row, y, rows) =>
    [...row].map((key, x): [string, string] => [
      key,
      [row[x - 1], row[x + 1], rows[y - 1]?.[x], rows[y - 1]?.[x + 1], rows[y + 1]?.[x - 1], rows[y + 1]?.[x]]
        .filter(Boolean)
        .join(''),
    ]),
  ),
)

/** The likeliest of equals: same first letter, swapped or neighbouring keys, then the alphabet. */
export function best(w: string, options: string[]): string | null {
  let top: string | null = null
  let topScore = Number.NEGATIVE_INFINITY
  for (const c of options) {
    let score = -edits(w, c, 2) * 4
    if (c[0] === w[0]) score += 2
    if ([...c].sort().join('') === [...w].sort().join('')) score += 2
    if (
      c.length === w.length &&
      [...c].some((ch, i) => ch !== w[i] && NEIGHBOURS.get(ch)?.includes(w[i] ?? ''))
    )
      score += 1
    if (score > topScore || (score === topScore && top !== null && c < top)) {
      top = c
      topScore = score
    }
  }
  return top
}

/** The same letters in another order. */
export const sameLetters = (a: string, b: string): boolean =>
  a.length === b.length && [...a].sort().join('') === [...b].sort().join('')

const LETTERS = [...'abcdefghijklmnopqrstuvwxyz']

/** May three letters stand in a row? */
export type Rows = (a: number, b: number, c: number) => boolean

/** What is no small letter, or beyond a word: not judged. */
const OTHER = LETTERS.length

function placeOf(w: string, i: number): number {
  const n = w.charCodeAt(i) - 97
  return n >= 0 && n < OTHER ? n : OTHER
}

/** The rows of three letters that stand in some of the words. */
export function rowsOf(words: Iterable<string>): Rows {
  const size = OTHER + 1
  const known = new Uint8Array(size ** 3)
  const at = (a: number, b: number, c: number) => (a * size + b) * size + c
  for (const w of words)
    for (let i = 0; i + 2 < w.length; i++) known[at(placeOf(w, i), placeOf(w, i + 1), placeOf(w, i + 2))] = 1
  for (let a = 0; a < size; a++)
    for (let b = 0; b < size; b++)
      for (const place of [at(OTHER, a, b), at(a, OTHER, b), at(a, b, OTHER)]) known[place] = 1
  return (a, b, c) => known[at(a, b, c)] === 1
}

/** Is some word of the set one slip away? Looks up only what has the rows of letters that words have. */
export function oneSlipFrom(w: string, rows: Rows, has: (candidate: string) => boolean): boolean {
  const letter = (i: number) => placeOf(w, i)
  for (let i = 0; i <= w.length; i++) {
    const [left, right] = [w.slice(0, i), w.slice(i)]
    const rest = right.slice(1)
    if (right && has(left + rest)) return true
    if (right.length > 1 && has(`${left}${right[1]}${right[0]}${right.slice(2)}`)) return true
    for (let n = 0; n < OTHER; n++) {
      if (!rows(letter(i - 2), letter(i - 1), n)) continue
      if (rows(n, letter(i), letter(i + 1)) && has(left + LETTERS[n] + right)) return true
      if (right && rows(n, letter(i + 1), letter(i + 2)) && has(left + LETTERS[n] + rest)) return true
    }
  }
  return false
}
