/** When a symptom began, how fast, and how long ago. */
import { type Layout, within, wordAt } from './clauses.ts'
import { NUMBERS } from './lexicon/answers.ts'
import { setOf } from './lexicon/set-of.ts'
import type { Token } from './normalise.ts'
import type { Onset } from './types.ts'

const UNIT_DAYS = new Map(
  Object.entries({
    minute: 0,
    minutes: 0,
    min: 0,
    mins: 0,
    hour: 0,
    hours: 0,
    day: 1,
    days: 1,
    night: 1,
    nights: 1,
    week: 7,
    weeks: 7,
    weekend: 2,
    fortnight: 14,
    month: 30,
    months: 30,
    year: 365,
    years: 365,
    yrs: 365,
  }),
)
/** Days and nights that need no number. */
const ONE_WORD = new Map(Object.entries({ today: 0, tonight: 0, overnight: 0, yesterday: 1, woke: 0 }))
const TWO_WORDS = new Map(
  Object.entries({
    'this morning': 0,
    'this afternoon': 0,
    'this evening': 0,
    'this week': 3,
    'last night': 1,
    'last evening': 1,
    'last week': 7,
    'last weekend': 4,
    'last month': 30,
    'last year': 365,
    'last summer': 180,
    'last winter': 180,
    'last spring': 180,
    'last autumn': 180,
    'last christmas': 180,
    'last easter': 180,
    'waking up': 0,
  }),
)
/** Days that name a time only after one of these words. */
const AFTER_WORD: { words: ReadonlySet<string>; after: ReadonlySet<string>; days: number }[] = [
  { words: setOf('weekend'), after: setOf('the'), days: 3 },
  {
    words: setOf(
      'monday tuesday wednesday thursday friday saturday sunday mon tue tues wed weds thu thur thurs fri sat sun',
    ),
    after: setOf('since on last from this'),
    days: 4,
  },
  { words: setOf('christmas easter summer'), after: setOf('since'), days: 60 },
]
/** The words that the name of a day or a time begins with. */
const NAMES_DAYS = new Set([
  ...ONE_WORD.keys(),
  ...[...TWO_WORDS.keys()].map((two) => two.split(' ')[0]),
  ...AFTER_WORD.flatMap(({ words }) => [...words]),
])
const SINCE = setOf('since from')
const AGO = setOf('ago back since')
const OVER = setOf('over within in taken')
const FOR = setOf('for')
const TO = setOf('- or to')
const LEADS = setOf('since for over about in on last the past')
const PROCEDURE = setOf(
  'procedure appointment suction microsuction visit treatment removal syringing clinic op operation cleaned cleaning hoovered hoovering suctioned you seen done',
)

export type Duration = {
  days: number
  from: number
  to: number
  relation: 'for' | 'ago' | 'over' | 'since'
  unit: 'short' | 'days'
}

/** What a text was found to tell: it is asked for each item of a history. */
const told = new WeakMap<readonly Token[], readonly Duration[]>()

/** Every stretch or point of time told in days: "for 3 days", "two weeks ago", "over 10 days", "since yesterday". */
export function durations(tokens: readonly Token[]): readonly Duration[] {
  const before = told.get(tokens)
  if (before) return before
  const out: Duration[] = []
  for (let i = 0; i < tokens.length; i++) {
    const found = namedDays(tokens, i) ?? countedDays(tokens, i)
    if (!found) continue
    out.push(found)
    i = found.to - 1
  }
  told.set(tokens, out)
  return out
}

/** "yesterday", "last week", "since monday". */
function namedDays(tokens: readonly Token[], from: number): Duration | null {
  const w = wordAt(tokens, from)
  const before = wordAt(tokens, from - 1)
  if (!NAMES_DAYS.has(w)) return null
  const two = TWO_WORDS.get(`${w} ${wordAt(tokens, from + 1)}`)
  const one = ONE_WORD.get(w) ?? AFTER_WORD.find((x) => x.words.has(w) && x.after.has(before))?.days
  const days = two ?? one
  if (days === undefined) return null
  const to = two === undefined ? from + 1 : from + 2
  return { days, from, to, relation: SINCE.has(before) ? 'since' : 'ago', unit: 'days' }
}

/** "for 3 days", "a couple of weeks ago". */
function countedDays(tokens: readonly Token[], from: number): Duration | null {
  const n = amount(tokens, from)
  if (!n) return null
  const unit = UNIT_DAYS.get(wordAt(tokens, n.to))
  if (unit === undefined) return null
  const to = n.to + 1
  const relation = AGO.has(wordAt(tokens, to))
    ? 'ago'
    : within(tokens, from - 3, from, OVER) && !within(tokens, from - 3, from, FOR)
      ? 'over'
      : 'for'
  if (unit === 0) return { days: 0, from, to, relation, unit: 'short' }
  return { days: Math.round(n.value * unit), from, to, relation, unit: 'days' }
}

/** A number or number words at a place, and where they end. */
function amount(tokens: readonly Token[], i: number): { value: number; to: number } | null {
  const w = wordAt(tokens, i)
  const next = wordAt(tokens, i + 1)
  if (w === 'a' || w === 'an') {
    if (NUMBERS.has(next)) return amount(tokens, i + 1)
    // "a good week"
    return { value: 1, to: next === 'good' ? i + 2 : i + 1 }
  }
  if (w === 'last' || w === 'past') return wordAt(tokens, i - 1) === 'the' ? { value: 1, to: i + 1 } : null
  let value = numberAt(tokens, i)
  if (value === undefined) return null
  let to = i + 1
  // "thirty-one", "thirty one"
  const unitAt = next === '-' ? to + 1 : to
  const unit = NUMBERS.get(wordAt(tokens, unitAt)) ?? 0
  if (NUMBERS.has(w) && value >= 20 && unit >= 1 && unit <= 9) {
    value += unit
    to = unitAt + 1
  }
  if (wordAt(tokens, to) === 'of') to++
  const other = TO.has(wordAt(tokens, to)) ? numberAt(tokens, to + 1) : undefined
  return other === undefined ? { value, to } : { value: Math.max(value, other), to: to + 2 }
}

function numberAt(tokens: readonly Token[], at: number): number | undefined {
  const t = tokens[at]
  return t?.kind === 'number' ? t.value : NUMBERS.get(wordAt(tokens, at))
}

/** The durations of every sentence, looked up once a reply. */
export function durationsBySentence(tokens: readonly Token[], layout: Layout): Map<number, Duration[]> {
  const out = new Map<number, Duration[]>()
  for (const d of durations(tokens)) {
    const s = layout.sentence[d.from] ?? 0
    out.set(s, [...(out.get(s) ?? []), d])
  }
  return out
}

const GRADUAL = setOf('gradually slowly gradual steadily')

/** The onset told in the sentence of a token, whose durations are `told`; `procedureDays` where the procedure's day is known. */
export function onsetIn(
  tokens: readonly Token[],
  layout: Layout,
  at: number,
  told: readonly Duration[],
  sudden: boolean,
  procedureDays: number | null,
): Onset {
  const s = layout.sentences[layout.sentence[at] ?? 0] ?? { from: 0, to: 0 }
  const onset: Onset = { sudden, days: null, overDays: null, relative: null, words: null }
  const words = (from: number, to: number) =>
    tokens
      .slice(from, to)
      .map((t) => t.w)
      .join(' ')
  const bitByBit = tokens.slice(s.from, s.to).some((t) => GRADUAL.has(t.w))
  for (const d of told) {
    if (d.relation === 'over' || (d.relation === 'for' && bitByBit))
      onset.overDays = Math.max(onset.overDays ?? 0, d.days)
    else if (onset.days === null || d.relation !== 'for') onset.days = d.days
    onset.words ??= words(LEADS.has(wordAt(tokens, d.from - 1)) ? d.from - 1 : d.from, d.to)
  }
  for (let i = s.from; i < s.to; i++) {
    const w = wordAt(tokens, i)
    // "Fine before the visit, deaf since it was done" began after it.
    if (w === 'before' && within(tokens, i + 1, Math.min(s.to, i + 3), PROCEDURE))
      onset.relative ??= 'before-procedure'
    if (w !== 'since' && w !== 'after') continue
    for (let j = i + 1; j < Math.min(s.to, i + 6); j++) {
      if (!PROCEDURE.has(wordAt(tokens, j))) continue
      onset.relative = 'after-procedure'
      onset.words ??= words(i, j + 1)
      onset.days ??= procedureDays
      break
    }
  }
  return onset
}
