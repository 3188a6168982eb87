/** One answer to several open questions: "neither", "none of them", "no no and no". */
import { shortDenial } from './bare-answers.ts'
import { setOf } from './lexicon/set-of.ts'
import type { Token } from './normalise.ts'
import type { Finding, Question } from './types.ts'

/** All the questions ask for a problem, and the reply denies as many. */
export function deniesAll(questions: readonly Question[], tokens: readonly Token[]): boolean {
  if (questions.length < 2 || !questions.every((q) => q.asksProblem && q.asked.length > 0)) return false
  if (!shortDenial(tokens)) return false
  const nos = tokens.filter((t) => t.w === 'no').length
  return nos >= questions.length || tokens.some((t) => /^(neither|none|nothing|nor)$/.test(t.w))
}

/** "Ok", "right", "k thanks": an answer to neither of two questions. */
export function onlyAcknowledges(questions: readonly Question[], tokens: readonly Token[]): boolean {
  if (questions.length < 2) return false
  const words = tokens.filter((t) => t.kind !== 'mark').map((t) => t.w)
  return words.length <= 5 && ACKNOWLEDGES.test(words.join(' '))
}

const HALF = setOf(
  'yes no not never none nope it is isnt does has did do have i think know well maybe sorry actually wait and or to a bit some of',
)
/** "No. Yes. No sorry.", "no never, yes I think I did": both, and nothing else. */
export function saysYesAndNo(tokens: readonly Token[]): boolean {
  const words = tokens.filter((t) => t.kind !== 'mark').map((t) => t.w)
  return (
    words.length <= 12 &&
    words.includes('yes') &&
    words.some((w) => w === 'no' || w === 'never') &&
    words.every((w) => HALF.has(w))
  )
}
const ACKNOWLEDGES =
  /^(oh |aye |yes |yeah )?(yes|that is right|ok|okay|okey|k|kk|right|righto|right oh|sure|alright|all right|noted|emoji-yes|emoji-plain|no problem|fair enough)( then| thanks| thank you| love| dear| ta)?$/

/** A denial of each symptom that was asked. */
export function noneOf(text: string, tokens: readonly Token[], questions: readonly Question[]): Finding[] {
  const at = tokens.find((t) => t.kind === 'word')
  if (!at) return []
  return [...new Set(questions.flatMap((q) => q.asked))].map((kind) => ({
    kind,
    flag: kind === 'ringing' ? 'other' : (kind as Finding['flag']),
    start: at.start,
    end: at.end,
    words: text.slice(at.start, at.end),
    side: null,
    severity: null,
    onset: { sudden: false, days: null, overDays: null, relative: null, words: null },
    course: null,
    polarity: 'denied',
    tags: [],
  }))
}

/** "My daughter had grommets, not me": the patient tells that it is not theirs. */
export const disowns = (tokens: readonly Token[]) =>
  /\b(not me|never had (any|one|it|that)|i (never|did not|have not|do not|am not)|never me|mine (are|is) (fine|ok|good|grand)|but not (me|mine|my own))\b/.test(
    tokens.map((t) => t.w).join(' '),
  )
