/** A reply as the terms in which it tells of doses. */
import { numberAt } from './answers.ts'
import { NUMBER_SLIPS, TIMES_WORDS } from './lexicon/answers.ts'
import { COUNTED_TERMS } from './lexicon/dose-counts.ts'
import { SPOKEN_TERMS } from './lexicon/dose-terms.ts'
import type { Token } from './normalise.ts'

/** What a term says of the items beside it. */
export type Status = 'done' | 'missed' | 'planned' | 'meant' | 'other-day'

/**
 * An item is counted, a status says which items are. `key` names a moment, so that one told twice counts once;
 * `of` is the whole that a count is part of, as in "1 of 3"; `value` null means all of them, however many.
 */
export type Term = { from: number; to: number; words: string } & (
  | { is: 'moment'; key: string; loose: boolean; coming?: boolean }
  | { is: 'count'; value: number | null; of: number | null; how: 'times' | 'bare' | 'part' | 'all' | 'sum' }
  | { is: 'nth'; value: number; coming?: boolean; after?: boolean }
  | { is: 'others'; value: number | null }
  | { is: 'again'; value: number }
  | { is: 'status'; status: Status; late: boolean }
  | { is: Plain }
  | { is: 'whole'; value: number }
  | { is: 'word' | 'stop' | 'comma' | 'and' | 'but' }
)
type Plain =
  | 'none'
  | 'yes'
  | 'no'
  | 'so-far'
  | 'today'
  | 'corrects'
  | 'unsure'
  | 'except'
  | 'drops'
  | 'amount'
  | 'ends'

/** What a term is, without its place. */
export type Meaning = Told<Term>
type Told<T> = T extends unknown ? Omit<T, 'from' | 'to' | 'words'> : never

const TERMS = [...SPOKEN_TERMS, ...COUNTED_TERMS]

/** All terms in one pattern, tried in order; where the groups of each begin. */
const STARTS: number[] = []
let groups = 1
for (const [pattern] of TERMS) {
  STARTS.push(groups)
  groups += new RegExp(`(${pattern})|`).exec('')?.length ?? 0
  groups--
}
const ANY_TERM = new RegExp(TERMS.map(([pattern]) => `(${pattern})(?= |$)`).join('|'), 'y')

const DIALECT = new Map(
  Object.entries({
    yin: '1',
    yan: '1',
    twa: '2',
    twae: '2',
    nane: 'none',
    nada: 'none',
    zilch: 'none',
    bfast: 'breakfast',
    bfst: 'breakfast',
    brek: 'breakfast',
    lnch: 'lunch',
    doon: 'down',
    bout: 'about',
    oot: 'out',
    o: 'of',
    agen: 'again',
    minits: 'minutes',
    bcoz: 'because',
    nae: 'no',
    wi: 'with',
    an: 'and',
    nope: 'no ,',
    nah: 'no ,',
    naw: 'no ,',
  }),
)
const LONGEST_DIALECT = Math.max(...[...DIALECT.keys()].map((w) => w.length))
const ORDINALS = ['first', 'second', 'third', 'fourth']
/** These name no sure number. */
const VAGUE = /^(couple|few|several|dozen)$/

/** The words of a reply with its numbers in digits and "twice" as `2x`, and where each begins. */
export function inDigits(tokens: readonly Token[], text: string): { said: string; starts: number[] } {
  const starts: number[] = []
  let said = ''
  for (const i of tokens.keys()) {
    const word = wordOf(tokens, i, text)
    if (said !== '' && word !== '') said += ' '
    starts.push(said.length)
    said += word
  }
  return { said, starts }
}

function wordOf(tokens: readonly Token[], i: number, text: string): string {
  const [before, t, next] = [tokens[i - 1], tokens[i], tokens[i + 1]]
  if (t === undefined) return ''
  const joined = before?.end === t.start ? before : undefined
  // "8ish", "b4"
  if (joined?.kind === 'number' && /^(fish|ish)$/.test(t.w)) return 'ish'
  // "1nce"
  if (t.value === 1 && next?.start === t.end && text.slice(next.start, next.end).toLowerCase() === 'nce')
    return '1x'
  if (joined?.value === 1 && text.slice(t.start, t.end).toLowerCase() === 'nce') return ''
  if (t.w === 'b' && next?.start === t.end && next.value === 4) return 'before'
  if (t.value === 4 && joined?.w === 'b') return ''
  if (t.w === 'ordinal') return ORDINALS[t.value - 1] ?? t.w
  const times = TIMES_WORDS.get(t.w)
  if (times !== undefined) return `${times}x`
  const slip = /^(times|time)$/.test(next?.w ?? '') ? NUMBER_SLIPS.get(t.w) : undefined
  if (slip !== undefined) return String(slip)
  const own =
    t.end - t.start <= LONGEST_DIALECT ? DIALECT.get(text.slice(t.start, t.end).toLowerCase()) : undefined
  if (own !== undefined) return own
  // "Right 1" in figures is a count, "the right one" an ear.
  if (t.kind === 'number' && t.value === 1 && /^(left|right)$/.test(before?.w ?? '')) return '1x'
  // "8.30" and "07" stay as they are written.
  if (t.kind === 'number' && /^\d+(\.\d+)?$/.test(t.w)) return t.w
  const value = VAGUE.test(t.w) ? null : numberAt(tokens, i)
  return value === null ? t.w : String(value)
}

/** The terms of a reply, in order, leaving nothing out. `from` and `to` are places in the words of `inDigits`. */
export function termsOf(said: string): Term[] {
  const out: Term[] = []
  let at = 0
  while (at < said.length) {
    ANY_TERM.lastIndex = at
    const m = ANY_TERM.exec(said)
    let found: Term | undefined
    if (m && m[0] !== '') {
      const k = STARTS.findIndex((g) => m[g] !== undefined)
      const own = m.slice(STARTS[k], STARTS[k + 1])
      const words = m[0].trimEnd()
      found = { ...TERMS[k]?.[1](own), from: at, to: at + words.length, words } as Term
    }
    if (!found) {
      const space = said.indexOf(' ', at)
      const to = space === -1 ? said.length : space
      found = { is: 'word', from: at, to, words: said.slice(at, to) }
    }
    out.push(found)
    at = found.to + 1
  }
  return out
}
