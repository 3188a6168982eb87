/** What is said over and over. */
import type { Token } from './normalise.ts'

const MAX_REPEATS = 50
/** In tokens. */
const LONGEST_PERIOD = 12

/** The same words over and over, by whatever period up to LONGEST_PERIOD, say no more than MAX_REPEATS times. */
export function withoutRepeats(tokens: Token[]): Token[] {
  if (tokens.length <= MAX_REPEATS) return tokens
  const lastAt = new Map<string, number>()
  // Since which token each period, and any at all, has gone on.
  const since: number[] = new Array(LONGEST_PERIOD + 1).fill(0)
  let anySince = 0
  return tokens.filter((t, i) => {
    const before = lastAt.get(t.w) ?? Number.NEGATIVE_INFINITY
    lastAt.set(t.w, i)
    if (i - before > LONGEST_PERIOD) {
      anySince = i + 1
      return true
    }
    let repeats = false
    for (let period = 1; period <= LONGEST_PERIOD; period++) {
      if (period < i - before || tokens[i - period]?.w !== t.w) since[period] = i + 1
      else if (i + 1 - Math.max(anySince, since[period] ?? 0) > MAX_REPEATS * period) repeats = true
    }
    return !repeats
  })
}
