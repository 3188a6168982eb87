/** Replies that break off, and replies that take back what they said. */
import type { Token } from './normalise.ts'

const DANGLES =
  /^(the|a|an|my|your|our|his|their|and|but|because|when|if|or|very|every|into|onto|whose|although|unless|while|whenever|whether|until|till|except|unless|than|which|i)$/
const MAY_END =
  /^(did|am|do|than|as|nor|not|and|so|neither|have|was|had|can|will|would|is|said|thinks?|should)$/

/** "...when i put the", "so i did the drops and then", "No that's not right, it". */
export function breaksOff(tokens: readonly Token[]): boolean {
  const last = tokens.at(-1)
  const before = tokens.at(-2)
  if (last?.kind !== 'word' || last.emoji || tokens.length < 2 || last.capital) return false
  if (last.w === 'i') return !MAY_END.test(before?.w ?? '')
  if (DANGLES.test(last.w)) return true
  if (last.w === 'then') return before?.w === 'and'
  if (last.w === 'so') return tokens.length <= 3 && before?.w === 'ok'
  return before?.w === ',' && /^(it|he|she|they|we|there|its|is|was|has)$/.test(last.w)
}

const BOTH =
  /^((well )?(yes and no|no and yes|yes no|no yes|yes no maybe|sort of yes (but )?sort of no|yes but no|no but yes|yes and then again no)( really| i suppose| i think)*)$/
const TAKEN_BACK =
  /(^|\| )(no|never|none|nope)\b[^?]*\| ?(well|oh|actually|wait|hang on|no wait)( no)?( well| oh)? ?\|? ?(yes|i have|i had|i did|it (has|is|does|did))\b|^yes i (had|have|did|do|am|was)\b[^?]*\bbut no\b|^yes\b[^?]*\| ?no (it|i|they) (is|has|have|does|do|did|am) not\b/

/** "Yes and no", "no never. well yes", "yes its softer, no it is not": both at once. */
export function saysBoth(tokens: readonly Token[]): boolean {
  if (tokens.length > 40) return false
  const words = tokens.filter((t) => t.kind !== 'mark').map((t) => t.w)
  const said = tokens.map((t) => (t.kind === 'mark' ? '|' : t.w)).join(' ')
  // "No. yes. no, yes": each by itself, again and again.
  const alone = tokens.flatMap((t, i) => {
    const next = tokens[i + 1]
    return /^(yes|no)$/.test(t.w) && (next === undefined || next.kind === 'mark') ? [t.w] : []
  })
  const turns = alone.filter((w, i) => i > 0 && w !== alone[i - 1]).length
  return (
    (turns >= 2 && alone.length >= words.length - 2) || BOTH.test(words.join(' ')) || TAKEN_BACK.test(said)
  )
}
