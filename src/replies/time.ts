/** When a symptom began, how fast, and how long ago. */
import type { Layout } from './clauses.ts'
import { NUMBERS } from './lexicon/answers.ts'
import type { Token } from './normalise.ts'
import type { Onset } from './types.ts'

const UNIT_DAYS: Record<string, number> = {
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
}
const WEEKDAYS = new Set(
  'monday tuesday wednesday thursday friday saturday sunday mon tue tues wed weds thu thur thurs fri sat sun'.split(
    ' ',
  ),
)

export type Duration = {
  days: number
  from: number
  to: number
  relation: 'for' | 'ago' | 'over' | 'since'
  unit: 'short' | 'days'
}

/** Every stretch or point of time told in days: "for 3 days", "two weeks ago", "over 10 days", "since yesterday". */
export function durations(tokens: readonly Token[]): Duration[] {
  const out: Duration[] = []
  for (let i = 0; i < tokens.length; i++) {
    const w = tokens[i]?.w ?? ''
    const before = tokens[i - 1]?.w ?? ''
    const simple = simpleDays(tokens, i)
    if (simple !== null) {
      out.push({
        days: simple.days,
        from: i,
        to: simple.to,
        relation: before === 'since' || before === 'from' ? 'since' : 'ago',
        unit: 'days',
      })
      i = simple.to - 1
      continue
    }
    const n = amount(tokens, i)
    if (n === null) continue
    const unit = UNIT_DAYS[tokens[n.to]?.w ?? '']
    if (unit === undefined) continue
    const to = n.to + 1
    const days = unit === 0 ? 0 : Math.round(n.value * unit)
    const after = tokens[to]?.w ?? ''
    const lead = [1, 2, 3].map((k) => tokens[i - k]?.w ?? '')
    const relation =
      after === 'ago' || after === 'back' || after === 'since'
        ? 'ago'
        : lead.some((x) => x === 'over' || x === 'within' || x === 'in') && !lead.includes('for')
          ? 'over'
          : w === 'day'
            ? 'for'
            : 'for'
    out.push({ days, from: i, to, relation, unit: unit === 0 ? 'short' : 'days' })
    i = to - 1
  }
  return out
}

function amount(tokens: readonly Token[], i: number): { value: number; to: number } | null {
  const t = tokens[i]
  if (!t) return null
  const w = t.w
  if (t.kind === 'number') {
    const dash = tokens[i + 1]?.w
    const second = tokens[i + 2]
    if ((dash === '-' || dash === 'or' || dash === 'to') && second?.kind === 'number')
      return { value: Math.max(t.value, second.value), to: i + 3 }
    return { value: t.value, to: i + 1 }
  }
  if (w === 'a' || w === 'an') {
    const next = tokens[i + 1]?.w ?? ''
    if (next === 'couple' || next === 'few')
      return { value: NUMBERS.get(next) ?? 2, to: tokens[i + 2]?.w === 'of' ? i + 3 : i + 2 }
    if (next === 'good') return { value: 1, to: i + 2 }
    return UNIT_DAYS[next] !== undefined ? { value: 1, to: i + 1 } : null
  }
  if (w === 'last' || w === 'past') {
    return UNIT_DAYS[tokens[i + 1]?.w ?? ''] !== undefined && tokens[i - 1]?.w === 'the'
      ? { value: 1, to: i + 1 }
      : null
  }
  let n = NUMBERS.get(w)
  if (n === undefined) return null
  let to = i + 1
  // "thirty-one", "thirty one"
  const unitAt = tokens[to]?.w === '-' ? to + 1 : to
  const unit = NUMBERS.get(tokens[unitAt]?.w ?? '')
  if (n >= 20 && n % 10 === 0 && unit !== undefined && unit >= 1 && unit <= 9) {
    n += unit
    to = unitAt + 1
  }
  if (tokens[to]?.w === 'of') to++
  if (tokens[to]?.w === 'or' && NUMBERS.has(tokens[to + 1]?.w ?? ''))
    return { value: Math.max(n, NUMBERS.get(tokens[to + 1]?.w ?? '') ?? 0), to: to + 2 }
  return { value: n, to }
}

function simpleDays(tokens: readonly Token[], i: number): { days: number; to: number } | null {
  const w = tokens[i]?.w ?? ''
  const next = tokens[i + 1]?.w ?? ''
  if (w === 'today' || w === 'tonight' || w === 'overnight') return { days: 0, to: i + 1 }
  if (w === 'this' && /^(morning|afternoon|evening)$/.test(next)) return { days: 0, to: i + 2 }
  if (w === 'this' && next === 'week') return { days: 3, to: i + 2 }
  if (w === 'last' && /^(night|evening)$/.test(next)) return { days: 1, to: i + 2 }
  if (w === 'yesterday') return { days: 1, to: i + 1 }
  if (w === 'last' && next === 'week') return { days: 7, to: i + 2 }
  if (w === 'last' && next === 'weekend') return { days: 4, to: i + 2 }
  if (w === 'last' && next === 'month') return { days: 30, to: i + 2 }
  if (w === 'last' && next === 'year') return { days: 365, to: i + 2 }
  if (w === 'last' && /^(summer|winter|spring|autumn|christmas|easter)$/.test(next))
    return { days: 180, to: i + 2 }
  if (w === 'weekend' && tokens[i - 1]?.w === 'the') return { days: 3, to: i + 1 }
  if (WEEKDAYS.has(w) && /^(since|on|last|from|this)$/.test(tokens[i - 1]?.w ?? ''))
    return { days: 4, to: i + 1 }
  if ((w === 'christmas' || w === 'easter' || w === 'summer') && tokens[i - 1]?.w === 'since')
    return { days: 60, to: i + 1 }
  if (w === 'woke' || (w === 'waking' && next === 'up')) return { days: 0, to: i + 1 }
  return null
}

const PROCEDURE_WORDS =
  /^(procedure|appointment|suction|microsuction|visit|treatment|removal|syringing|clinic|op|operation|cleaned|cleaning|hoovered|hoovering|suctioned|you|seen|done)$/

/** The durations of every sentence, looked up once a reply. */
export function durationsBySentence(tokens: readonly Token[], layout: Layout): Map<number, Duration[]> {
  const out = new Map<number, Duration[]>()
  for (const d of durations(tokens)) {
    const s = layout.sentence[d.from] ?? 0
    out.set(s, [...(out.get(s) ?? []), d])
  }
  return out
}

/** The onset told in the sentence(s) given as token range; `procedureDays` where the procedure's day is known. */
export function onsetIn(
  tokens: readonly Token[],
  layout: Layout,
  at: number,
  told: ReadonlyMap<number, Duration[]>,
  sudden: boolean,
  procedureDays: number | null,
): Onset {
  const s = layout.sentences[layout.sentence[at] ?? 0] ?? { from: 0, to: tokens.length }
  const near = told.get(layout.sentence[at] ?? 0) ?? []
  const onset: Onset = { sudden, days: null, overDays: null, relative: null, words: null }
  const words = (from: number, to: number) =>
    tokens
      .slice(from, to)
      .map((t) => t.w)
      .join(' ')
  for (const d of near) {
    if (d.relation === 'over') onset.overDays = Math.max(onset.overDays ?? 0, d.days)
    else if (onset.days === null || d.relation !== 'for') onset.days = d.days
    const from = /^(since|for|over|about|in|on|last|the|past)$/.test(tokens[d.from - 1]?.w ?? '')
      ? d.from - 1
      : d.from
    onset.words = onset.words === null ? words(from, d.to) : onset.words
  }
  for (let i = s.from; i < s.to; i++) {
    const w = tokens[i]?.w
    if (w !== 'since' && w !== 'after' && w !== 'ever-since') continue
    for (let j = i + 1; j < Math.min(s.to, i + 6); j++) {
      if (!PROCEDURE_WORDS.test(tokens[j]?.w ?? '')) continue
      onset.relative = 'after-procedure'
      onset.words ??= words(i, j + 1)
      onset.days ??= procedureDays
      break
    }
  }
  if (
    tokens
      .slice(s.from, s.to)
      .some((t, k) => t.w === 'before' && PROCEDURE_WORDS.test(tokens[s.from + k + 2]?.w ?? ''))
  )
    onset.relative = 'before-procedure'
  return onset
}
