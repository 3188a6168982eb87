/** Answers that describe instead of saying yes or no: a colour for a discharge, a word for the strength of pain. */
import type { Token } from './normalise.ts'
import type { Finding } from './types.ts'

/** A colour or clearness that answers "what colour is it": each with its kind. */
export function describeDischarge(
  tokens: readonly Token[],
  findings: Finding[],
): [Finding['kind'], Finding['tags']][] | null {
  if (
    tokens.length > 9 ||
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
    if (out.length === 0) out.push(['discharge', []])
    if (!findings.some((f) => f.kind === 'bleeding')) out.push(['bleeding', []])
  }
  return out.length > 0 && !any(/^(wax|ear-clear)$/) ? out : null
}

/** "moderate", "half way up", "50%", "80 out of 100": pain told without a number from 0 to 10. */
export function wordedPain(tokens: readonly Token[]): number | null {
  if (tokens.length > 8) return null
  for (const [i, t] of tokens.entries()) {
    if (t.kind !== 'number' || t.value < 11 || t.value > 100) continue
    if (tokens.slice(i + 1, i + 4).some((x) => x.w === '%' || x.value === 100 || x.w === 'percent'))
      return Math.round(t.value / 10)
  }
  const w = tokens.map((t) => t.w)
  // "Not bad, it is horrendous": the "not" is of another clause.
  const no = w.findLastIndex((x) => /^(no|not)$/.test(x))
  const over = no >= 0 && w.slice(no + 2).some((x) => /^(it|its)$/.test(x))
  if (no >= 0 && !over) return null
  if (over) return wordedPain(tokens.slice(no + 2))
  if (
    w.some((x) =>
      /^(severe|terrible|awful|excruciating|horrendous|unbearable|agony|bad|badly|strong|dreadful|horrible|shocking)$/.test(
        x,
      ),
    )
  )
    return 8
  if (w.some((x) => /^(moderate|medium|middling|half|halfway|middle)$/.test(x))) return 5
  if (w.some((x) => /^(mild|slight|slightly|little|minor|minimal|tiny)$/.test(x))) return 2
  return null
}
