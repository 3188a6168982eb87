/** Whether a reply is no more than yes, no, a number or a side, or begins so. */
import { scores } from './answers.ts'
import { DENIAL_FILLER } from './lexicon/plain.ts'
import type { Token } from './normalise.ts'

const YES = /^(yes|deffo|defo|emoji-yes|correct|yup|definitely|certainly|absolutely|indeed)$/

const NO = /^(no|none|emoji-no|not|never|nope|nothing|nil)$/

const FILLER =
  /^(goodness|heavens|god|lord|ooh|oooh|ah|och|ach|aw|surely|please|thanks|thank|you|love|dear|duck|pet|hen|kiss|ok|hi|hello|hiya|morning|afternoon|evening|good|the|a|it|is|i|do|did|have|has|am|so|far|really|all|at|today|just|not|well|sir|madam|doctor|nurse|mate|flower|again|emoji-plain|oh|sorry|im|afraid|yet|that|they|are|was|think|bit|little|and|as|of|course|very|much|will|be|can|my|on|in)$/

/** "it has", "there is now", "I am": yes without the word; and "a bit", "on and off": some of what was asked. */
const SAYS_SO =
  /^(yes )?(it|there|they|i|she|he|that) (has|have|is|are|does|do|am|was|did)( been)?( now| again| still| today| a bit| a little)*$/
const SAYS_SOME =
  /^(yes |just |only |maybe |there is |still )*(a )?(wee |little |tiny |small |slight )*(bit|little|touch|smidge|smidgen|some|slightly|sometimes|now and again|now and then|on and off|off and on)( of it| now| still| today| yes| not a lot| not much| but| just| a| little| bit)*$/

/** The whole reply is yes or no and politeness. */
export function bareAnswer(tokens: readonly Token[]): 'yes' | 'no' | null {
  const words = tokens.filter((t) => t.kind !== 'mark')
  if (words.length === 0 || words.length > 8) return null
  const said = words.map((t) => t.w).join(' ')
  if (SAYS_SO.test(said) || SAYS_SOME.test(said)) return 'yes'
  const yes = words.some((t) => YES.test(t.w))
  const no = words.some((t) => NO.test(t.w))
  if (yes === no) return null
  if (!words.every((t) => YES.test(t.w) || NO.test(t.w) || FILLER.test(t.w))) return null
  return yes ? 'yes' : 'no'
}

/** "Not in the slightest", "not that I've noticed", "never, touch wood": a no among words that add nothing to it. */
export function shortDenial(tokens: readonly Token[]): boolean {
  const words = tokens.filter((t) => t.kind !== 'mark')
  if (words.length === 0 || words.length > MAX_DENIAL || tokens.some((t) => t.w === '?')) return false
  const said = words.map((t) => t.w).join(' ')
  if (NO_MORE.test(said)) return true
  return (
    words.some((t) => NO.test(t.w) || /^(hardly|scarcely|neither)$/.test(t.w)) &&
    !/\b(not (really )?(sure|so much)|can not (say|tell)|(can|could) not (recall|remember|feel|see|tell)|do not (know|remember|recall)|would not (say|know)|yes|has not|(?<!there )is not|are not|but)\b/.test(
      said,
    ) &&
    words.every((t) => NO.test(t.w) || DENIAL_FILLER.has(t.w) || t.emoji)
  )
}
const MAX_DENIAL = 12
const NO_MORE = /^(no|not|not any) (more|longer)( now| thanks| thank you| today| at all)*$/

/** The reply begins with yes or no. */
export function leadingAnswer(tokens: readonly Token[]): 'yes' | 'no' | null {
  if (bareAnswer(tokens) === 'yes') return 'yes'
  const last = tokens.findLast((t) => t.kind !== 'mark')
  if (last && YES.test(last.w) && tokens.length <= 8 && !tokens.some((t) => NO.test(t.w))) return 'yes'
  for (const t of tokens) {
    if (t.kind === 'mark') continue
    if (YES.test(t.w))
      return tokens.slice(0, 5).some((x) => x.w === 'no') && tokens.length <= 6 ? null : 'yes'
    if (t.w === 'no' || t.w === 'emoji-no' || t.w === 'none') return 'no'
    if (
      !/^(hi|hello|hiya|morning|good|oh|well|thanks|thank|you|dear|sorry|er|um|ah|emoji-plain|doctor|nurse|afternoon|evening)$/.test(
        t.w,
      )
    )
      return null
  }
  return null
}

export function bareNumber(tokens: readonly Token[]): number | null {
  const found = scores(tokens)
  const words = tokens.filter((t) => t.kind !== 'mark')
  const first = found[0]
  if (!first || found.length !== 1) return null
  return words.length - (first.to - first.from) <= 4 ? first.value : null
}

export function isBareSide(tokens: readonly Token[]): boolean {
  const words = tokens.filter((t) => t.kind !== 'mark')
  return (
    words.length > 0 &&
    words.length <= 4 &&
    words.some((t) => /^(left|right|both)$/.test(t.w)) &&
    words.every((t) =>
      /^(left|right|both|the|my|one|ear|ears|side|please|thanks|only|just|it|is|in)$/.test(t.w),
    )
  )
}
