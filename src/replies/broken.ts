/** Replies that break off, and replies that take back what they said. */
import type { Token } from './normalise.ts'

const DANGLES =
  /^(the|a|an|my|your|our|his|their|and|but|because|when|if|or|very|every|into|onto|whose|although|unless|while|whenever|whether|until|till|except|unless|than|which|i)$/
const MAY_END =
  /^(did|am|do|than|as|nor|not|and|so|neither|have|was|had|can|will|would|is|said|thinks?|should)$/

/** With no word after them, these wait for the rest: "and then it", "I think the drops have", "my left ear feels". */
const WAITS_FOR_VERB = /^(it|he|she|they|we|there|this|that|its)$/
const LINKS = /^(and|then|but|so|because|when|if|now|since|while|or)$/
const WAITS_FOR_REST =
  /^(have|has|had|is|are|was|were|will|would|does|feels|feel|seems|keeps|keep|gets|been|being)$/
const NOUNS =
  /^(ear|ears|lug|drops|drop|oil|wax|pain|hearing|head|face|nurse|doctor|hole|drum|eardrum|stuff|dropper|balance|side|pillow|bed|morning|night)$/
const KNOWS =
  /^(knows|know|knew|remember|remembers|sure|say|said|tell|tells|ask|asked|idea|mind|forget|like)$/
const NOT_NEWS = /^(than|as|how|what|that|all|like|whether|whatever|not|no|never)$/
const ENDS_A_QUOTE = /^(than|as|how|what|where|that|all|like|so|if|whether|whatever|wherever|not|no)$/
const PERCEIVES = /^(noticed|realised|realized|wondered|wanted|thought)$/
const WANTS_MORE =
  /\b(been a bit|was a bit|feels a bit|ear back in|was about to|was just about to|woke up with|woken up with|woke with|due to|going to put|wondering if|think there is|there is a bit of|a bit of a|lot of|bit of|kind of|sort of|please can|please could|can you please|could you please|i was just)$/

function waits(tokens: readonly Token[], last: Token): boolean {
  const [before = '', earlier = ''] = [tokens.at(-2)?.w, tokens.at(-3)?.w]
  if (WAITS_FOR_VERB.test(last.w) && LINKS.test(before) && tokens.length >= 4)
    return !(/^(this|that|it)$/.test(last.w) && /^(when|if|now|since|so|or)$/.test(before))
  const open = !tokens.slice(-7, -1).some((t) => ENDS_A_QUOTE.test(t.w))
  if (WAITS_FOR_REST.test(last.w) && NOUNS.test(before) && open) return true
  if (
    PERCEIVES.test(last.w) &&
    /^(i|we|just|also|have)$/.test(before) &&
    !tokens.slice(-7, -1).some((t) => NOT_NEWS.test(t.w))
  ) {
    const lead = before === 'i' || before === 'we' ? earlier : (tokens.at(-4)?.w ?? '')
    return /^(yesterday|today|so|and|but|then|because|morning|night|when|ok|hello|hi|)$/.test(lead)
  }
  return WANTS_MORE.test(
    tokens
      .slice(-5)
      .map((t) => t.w)
      .join(' '),
  )
}

/** "...when i put the", "so i did the drops and then", "No that's not right, it". */
export function breaksOff(tokens: readonly Token[]): boolean {
  const last = tokens.at(-1)
  const before = tokens.at(-2)
  if (last?.kind !== 'word' || last.emoji || tokens.length < 2) return false
  if (last.w === 'i') return !MAY_END.test(before?.w ?? '')
  if (last.capital) return false
  // "She knows when", "I'm not sure why" are whole.
  if (/^(when|whether|until|till|than)$/.test(last.w) && KNOWS.test(before?.w ?? '')) return false
  if (DANGLES.test(last.w) || waits(tokens, last)) return true
  // "My answer is that when i was"
  if (
    /^(was|am|were)$/.test(last.w) &&
    /^(i|we|it)$/.test(before?.w ?? '') &&
    /^(when|while)$/.test(tokens.at(-3)?.w ?? '')
  )
    return true
  // "And then the ear started to"
  if (last.w === 'to')
    return /^(started|starts|starting|began|begun|begins|going|about)$/.test(before?.w ?? '')
  // "The drops went in about"
  if (/^(about|around)$/.test(last.w) && /^(in|at)$/.test(before?.w ?? '')) return true
  if (last.w === 'then') return before?.w === 'and'
  if (last.w === 'so') return tokens.length <= 3 && before?.w === 'ok'
  // "When I lie on that side it"
  if (last.w === 'it' && NOUNS.test(before?.w ?? '') && tokens.some((t) => /^(when|if)$/.test(t.w)))
    return true
  return before?.w === ',' && /^(it|he|she|they|we|there|its|is|was|has)$/.test(last.w)
}

const BOTH =
  /^((well )?(yes and no|no and yes|yes no|no yes|yes no maybe|sort of yes (but )?sort of no|yes but no|no but yes|yes and then again no)( really| i suppose| i think)*)$/
const TAKEN_BACK =
  /(^|\| )(no|never|none|nope)\b[^?]*\| ?(well|oh|actually|wait|hang on|no wait)( no)?( well| oh)? ?\|? ?(yes|i have|i had|i did|it (has|is|does|did))\b|^yes i (had|have|did|do|am|was)\b[^?]*\bbut no\b|^yes\b[^?]*\| ?no (it|i|they) (is|has|have|does|do|did|am) not\b|\byes (it|they) (is|has|have)\b[^?]*\bno (it|they) (is|has|have) not\b/

/** "It's softer, it isn't softer", "it did and it didn't": the same word said and denied. */
const SAID_AND_DENIED =
  /\bit is (softer|soft|hard|better|worse|sore)( i think)?( \|| and| or| but| then)* it is not(?:(?: any| no)? \1\b| \||$)/
const DENIED_AND_SAID = /\bit is not (softer|soft|hard|better|worse)( \|| and| or| but| then)* it is \1\b/

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
    (turns >= 2 && alone.length >= words.length - 2) ||
    BOTH.test(words.join(' ')) ||
    TAKEN_BACK.test(said) ||
    SAID_AND_DENIED.test(said) ||
    DENIED_AND_SAID.test(said)
  )
}
