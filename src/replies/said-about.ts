/** What is said of a symptom next to it: gone, easing, growing, none. */
import type { Layout } from './clauses.ts'
import type { Mention } from './concepts.ts'
import * as cue from './lexicon/scope.ts'
import type { Token } from './normalise.ts'
import type { Taken } from './scope.ts'

export type After = 'gone' | 'eased' | 'worse' | 'same' | 'none' | 'not-gone' | null

/** What is said of a mention right after it: "pain has gone", "bleeding: none", "pain not stopped". */
export function saidAfter(tokens: readonly Token[], layout: Layout, m: Mention, taken: Taken): After {
  let negated = false
  for (let j = m.to, steps = 0; j < tokens.length && steps < 8; j++) {
    const t = tokens[j]
    if (!t || layout.sentence[j] !== layout.sentence[m.from]) break
    if (t.kind === 'mark') {
      if ((t.w === ':' || t.w === '-' || t.w === '=' || t.w === ',') && j === m.to && isNo(tokens, j + 1))
        return 'none'
      if (t.w === ',' || t.w === '-') {
        if (steps > 0) break
        continue
      }
      if (t.w === ':' || t.w === '=') continue
      break
    }
    if (taken.owner[j] && taken.owner[j] !== m) {
      if (steps > 0) break
      continue
    }
    if (
      j === m.to &&
      (isNo(tokens, j) ||
        (/^(stuff|fluid|feeling|noises|noise|ear|ears|drum|spells)$/.test(t.w) && isNo(tokens, j + 1)))
    )
      return 'none'
    if (cue.CLAUSE_STARTS.has(t.w) || t.w === 'because' || t.w === 'if') break
    if (t.w === 'i' && steps > 0 && /^(have|am|feel|keep)$/.test(tokens[j + 1]?.w ?? '')) break
    // A new subject: what follows is said of it.
    if (
      /^(hearing|hearings|wax|drops|oil|appetite|husband|wife|balance|voice)$/.test(t.w) &&
      m.kind !== 'hearing-loss'
    )
      break
    if (t.w === 'not' || t.w === 'never' || t.w === 'no') negated = true
    else if (
      cue.GONE.has(t.w) &&
      /^(i|we|you|they|she|he|nurse|doctor|lady|man)$/.test(tokens[j - 1]?.w ?? '')
    )
      break
    else if (cue.GONE.has(t.w)) {
      if (t.w === 'went' || t.w === 'gone' || t.w === 'over' || t.w === 'passed') {
        const next = tokens[j + 1]?.w ?? ''
        if (
          /^(up|bad|worse|through|mad|septic|yellow|green|brown|pink|scarlet|crimson|purple|hot|numb|stiff|puffy|tight|dead|hard|on|down|red|deaf|to|from|right|my|the|into|it|me|him)$/.test(
            next,
          )
        ) {
          if (next === 'down') return negated ? 'not-gone' : 'eased'
          if (next === 'worse' || next === 'up') return 'worse'
          break
        }
        // "It is all over", but "aching all over".
        const last = tokens[j - 1]?.w ?? ''
        if (t.w === 'over' && !/^(is|was|now)$/.test(last === 'all' ? (tokens[j - 2]?.w ?? '') : last)) break
        if (t.w === 'went' && !/^(away|off)$/.test(next)) break
        if (m.kind === 'hearing-loss') break
      }
      return negated ? 'not-gone' : 'gone'
    } else if (cue.EASED.has(t.w)) return negated ? 'same' : 'eased'
    else if (cue.WORSE.has(t.w)) return negated ? 'same' : 'worse'
    else if (cue.SAME.has(t.w)) return 'same'
    steps++
  }
  return null
}

function isNo(tokens: readonly Token[], at: number): boolean {
  const t = tokens[at]
  if (
    !t ||
    !(
      t.w === 'no' ||
      t.w === 'none' ||
      t.w === 'nil' ||
      t.w === 'zero' ||
      t.w === 'nope' ||
      (t.kind === 'number' && t.value === 0)
    )
  )
    return false
  const next = tokens[at + 1]
  return !next || next.kind === 'mark' || next.w === 'thanks' || next.w === 'kiss' || next.w === 'and'
}

/** "stopped bleeding", "got rid of the pain", "no longer sore", "the end of the pain". */
export function saidBefore(tokens: readonly Token[], layout: Layout, m: Mention): After {
  for (let j = m.from - 1, steps = 0; j >= 0 && steps < 4; j--, steps++) {
    const t = tokens[j]
    if (!t || t.kind === 'mark' || layout.sentence[j] !== layout.sentence[m.from]) break
    // "Stopped the drops" stops no symptom.
    if (t.w === 'stopped' && /^(drops|oil|it|them|using|taking|doing|putting)$/.test(tokens[j + 1]?.w ?? ''))
      break
    if (t.w === 'stopped' || t.w === 'ceased' || (t.w === 'rid' && tokens[j + 1]?.w === 'of')) {
      const negated = [1, 2, 3].some((n) => ['not', 'never', 'no'].includes(tokens[j - n]?.w ?? ''))
      return negated ? 'not-gone' : 'gone'
    }
    if ((t.w === 'less' || t.w === 'fewer') && steps <= 1) return 'eased'
    if (t.w === 'longer' && tokens[j - 1]?.w === 'no') return 'gone'
    if (t.w === 'more' && tokens[j - 1]?.w === 'no' && tokens[j + 1]?.w !== 'than')
      return isCompared(tokens, j) ? 'same' : 'gone'
    if (
      !(t.w === 'more' && tokens[j + 1]?.w === 'than') &&
      (t.w === 'more' ||
        t.w === 'worse' ||
        t.w === 'increasing' ||
        t.w === 'increased' ||
        t.w === 'growing') &&
      steps <= 1
    )
      return 'worse'
    if (t.w === 'new' && steps <= 1) return null
    if (cue.BELONGINGS.has(t.w) && steps > 1) break
  }
  return null
}

/** "no more pain than yesterday": as much as then. */
const isCompared = (tokens: readonly Token[], more: number): boolean =>
  [2, 3].some((n) => tokens[more + n]?.w === 'than')
