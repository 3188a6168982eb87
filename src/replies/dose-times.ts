/** Times of the day at which drops went in: parts of the day and clock times. */
import { numberAt } from './answers.ts'
import { PERIODS } from './lexicon/answers.ts'
import type { Token } from './normalise.ts'

/** A run of tokens, half open. */
export type Piece = { from: number; to: number }

/** A question without its mark: "shall I do them twice or three times". */
export const ASKS =
  /^(please |so |and )?(shall|should|do|does|can|could|may|must|am|is) (i|we|it|they|you) |^(how many|how often|have you got) /

const PERIOD_OF = new Map(
  PERIODS.flatMap(([period, words]) => words.split(' ').map((w): [string, string] => [w, period])),
)

/** The part of the day named after a count. */
export function periodNear(tokens: readonly Token[], at: number, to: number): string | null {
  for (let i = at + 1; i < Math.min(to, at + 6); i++) {
    const p = PERIOD_OF.get(tokens[i]?.w ?? '')
    if (p && !(tokens[i]?.w === 'am' && tokens[i - 1]?.w === 'i')) return p
    if (tokens[i]?.w === 'and') return null
  }
  return null
}

/** Parts of the day and clock times named in a piece; neighbours ("tonight before bed") are one. */
export function timesIn(tokens: readonly Token[], p: Piece): string[] {
  const out: string[] = []
  let lastAt = -9
  for (let i = p.from; i < p.to; i++) {
    const t = tokens[i]
    const before = tokens[i - 1]?.w ?? ''
    const next = tokens[i + 1]?.w ?? ''
    const value = numberAt(tokens, i)
    const clock =
      value !== null &&
      value >= 1 &&
      value <= 12 &&
      (/^(am|pm|oclock)$/.test(next) ||
        (/^(at|about|around|half|past)$/.test(before) &&
          !/^(times|time|drops|out|of|minutes|mins|days|\/)$/.test(next)))
    if (clock) {
      if (/^(am|pm)$/.test(next) || i - lastAt > 3 || separated(tokens, lastAt, i))
        out.push(`clock-${value}-${next}`)
      lastAt = i + 1
      continue
    }
    const period = PERIOD_OF.get(t?.w ?? '')
    if (!period) continue
    if (t?.w === 'am' && (before === 'i' || before === 'me')) continue
    if (t?.w === 'am' || t?.w === 'pm') {
      if (i - lastAt <= 1) continue
    }
    // A greeting is no time.
    if (
      /^(good|god|gud)$/.test(before) ||
      (i === 0 &&
        /^(morning|evening|afternoon|night)$/.test(t?.w ?? '') &&
        !/^(and|an|&|done|yes|only|dose|drops|one|noon|lunch|lunchtime|teatime)$/.test(next) &&
        !PERIOD_OF.has(next) &&
        !(next === ',' && PERIOD_OF.has(tokens[i + 2]?.w ?? '')))
    )
      continue
    // "But not the afternoon"
    if (before === 'the' && tokens[i - 2]?.w === 'not') continue
    if (/^(tomorrow|every|each|from|since|till|until)$/.test(before)) continue
    if (
      /^(bed|night)$/.test(t?.w ?? '') &&
      /^(in|my|the|of|from|last|all)$/.test(before) &&
      !/^(at|before)$/.test(tokens[i - 2]?.w ?? '') &&
      before !== 'at'
    ) {
      if (before === 'in' || before === 'last' || before === 'all' || before === 'from') continue
    }
    if (
      t?.w === 'tea' &&
      !/^(time|and|after|before|then)$/.test(next) &&
      !/^(at|after|before|and|with|dinner)$/.test(before)
    )
      continue
    if (i - lastAt <= 3 && lastAt >= 0 && !separated(tokens, lastAt, i)) {
      lastAt = i
      continue
    }
    out.push(period)
    lastAt = i
  }
  return [...new Set(out)]
}

function separated(tokens: readonly Token[], from: number, to: number): boolean {
  if (PERIOD_OF.get(tokens[from]?.w ?? '') && PERIOD_OF.get(tokens[to]?.w ?? '') && to === from + 1) {
    // "breakfast dinner and bedtime", "morning noon night": a bare list.
    return (
      !/^(tonight|time|evening)$/.test(tokens[to]?.w ?? '') &&
      !/^(tonight|today|tea)$/.test(tokens[from]?.w ?? '')
    )
  }
  return tokens.slice(from + 1, to).some((t) => /^(and|an|,|&|\/|\+|then|again|-)$/.test(t.w))
}
