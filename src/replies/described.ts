/** Answers that describe instead of saying yes or no: a colour for a discharge, a word for the strength of pain. */
import type { Token } from './normalise.ts'
import type { Finding } from './types.ts'

/** A colour or clearness that answers "what colour is it": each with its kind. */
export function describeDischarge(
  tokens: readonly Token[],
  findings: Finding[],
): [Finding['kind'], Finding['tags']][] | null {
  if (
    tokens.length > 14 ||
    findings.some((f) => f.kind === 'discharge' && f.polarity === 'affirmed' && f.tags.length > 0)
  )
    return null
  const any = (p: RegExp) => tokens.some((t, i) => p.test(t.w) && !/^(no|not)$/.test(tokens[i - 1]?.w ?? ''))
  const out: [Finding['kind'], Finding['tags']][] = []
  const red = any(/^(red|pink|pinkish|reddish|bloody)$/)
  if (
    any(
      /^(green|yellow|brown|grey|creamy|cream|white|milky|cloudy|yellowy|greenish|yellowish|brownish|black)$/,
    )
  )
    out.push(['discharge', ['coloured']])
  else if (any(/^(clear|watery|water)$/) && !tokens.some((t) => /^(all|up)$/.test(t.w)))
    out.push(['discharge', ['clear']])
  else if (any(/^(damp|wet|moist|sticky)$/)) out.push(['discharge', []])
  if (red) {
    // "Yes, red" is blood, "pink" may be blood in a discharge.
    if (out.length === 0 && any(/^(pink|pinkish|bloody)$/)) out.push(['discharge', []])
    if (!findings.some((f) => f.kind === 'bleeding')) out.push(['bleeding', []])
  }
  return out.length > 0 && !any(/^(wax|ear-clear)$/) ? out : null
}

const STRONG =
  /^(severe|severely|terrible|awful|excruciating|bad|badly|strong|dreadful|horrible|horrendous|horrific|shocking|unbearable|agony|agonising|intense|crippling|unreal|hellish|murder|torture|evil|brutal|vicious|savage)$/

/** Do new words begin between the two: a subject or a mark? */
const parted = (tokens: readonly Token[], from: number, to: number) =>
  tokens.slice(from + 1, to).some((t) => t.kind === 'mark' || /^(it|its|is|but|just|more|rather)$/.test(t.w))

/** "moderate", "half way up", "50%", "80 out of 100": pain told without a number from 0 to 10. */
export function wordedPain(tokens: readonly Token[]): number | null {
  if (tokens.length > 9) return null
  for (const [i, t] of tokens.entries()) {
    if (t.kind !== 'number' || t.value < 11 || t.value > 100) continue
    if (tokens.slice(i + 1, i + 4).some((x) => x.w === '%' || x.value === 100 || x.w === 'percent'))
      return Math.round(t.value / 10)
  }
  // "Not bad, horrendous": a "not" takes away the word after it, and no other.
  const said = tokens.filter(
    (_, i) =>
      ![1, 2, 3].some((n) => /^(no|not|never)$/.test(tokens[i - n]?.w ?? '') && !parted(tokens, i - n, i)),
  )
  const negated = said.length < tokens.length
  if (said.some((t) => STRONG.test(t.w))) return 8
  if (said.some((t) => /^(moderate|medium|middling|half|halfway|middle)$/.test(t.w))) return 5
  if (negated) return null
  if (said.some((t) => /^(mild|slight|slightly|little|minor|minimal|tiny)$/.test(t.w))) return 2
  return null
}
