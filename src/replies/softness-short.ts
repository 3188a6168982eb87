/** Short answers to whether the wax is softer that name neither soft nor hard: "getting there", "I doubt it". */
import type { Layout } from './clauses.ts'
import type { Token } from './normalise.ts'

const MAX_SHORT = 24

/** What may follow and go before. No two of these begin alike, so that a run of them is read in one way only. */
const TAIL =
  '(?: (?:that|than it was|so far|so|surely|indeed|certainly|thank god|now|today|thanks|thank you|love|dear|pet|duck|hen|yes|really|yet|at all|to be honest|to be fair|but|though|tell|me|to|i think|if|anything|the|maybe|just|then|again|please))*'
const HEDGE =
  '(?:(?:oh|well|yes|maybe|perhaps|possibly|probably|definitely|certainly|aye|just|only|very|hopefully|think|i|it|is|has|does|do|feels|seems|but|and|to me|sort of|kind of|ah|sure|now|indeed) )*'
/** Each of these, with what may stand before and after it, is the whole of an answer or of its clause. */
const YES_SHORTLY_WORDS = [
  'slightly',
  'kind of',
  'sort of',
  'somewhat',
  'marginally',
  'slow(?:ly)?(?: but sure(?:ly)?)?',
  'gradually',
  'partly',
  'partially',
  'noticeably',
  'considerably',
  'softish',
  'bit by bit',
  'little by little',
  '(?:a )?(?:wee |tiny |good |little |fair )?(?:bit|little|tad|touch|smidge|smidgen|lot|fraction)',
  '(?:starting|beginning|beginnin|startin) to',
  'getting (?:there|that way)',
  'coming on',
  '(?:well )?on (?:its|the) way',
  'on it is way',
  'giving(?: a (?:bit|little))?',
  'i (?:would|do)? ?(?:say|think|believe|reckon|suppose|feel|imagine|guess) (?:so|(?:that )?it (?:is|has|does|might be|may be|must be))',
  '(?:say|think|believe|reckon|suppose|feel|imagine|guess) (?:so|it (?:is|has|does|must be))(?: a (?:bit|little))?',
  '(?:would )?(?:seems?|appears?|looks?|feels?) (?:so|to be|to have|that way|like it)',
  'it (?:is|has|does|do)(?: that| indeed)?',
  '(?:probably|think|possibly|maybe|hopefully|slowly) yes',
  'yes (?:probably|(?:i|it) (?:is|has|does|do)|i (?:think|believe|would say)(?: so)?)',
  'not completely',
  'not fully',
  'in places',
  'more or less',
  'much improved',
  'improving',
  '(?:much|far|loads|lots|(?:a )?(?:good |wee |little |great )?(?:bit|little|lot|deal)) (?:better|easier)',
  'going (?:the|in the) right (?:way|direction)',
  'must be',
  'feels it',
  '(?:can )?(?:feel |notice |tell |see )?(?:there is )?(?:a |some |big |real |definite |bit of a |great )*(?:difference|change|movement)',
  '(?:less|not (?:as|so)) (?:blocked|bunged|clogged|full)(?: up)?',
  'easing(?: off)?(?: a (?:bit|little))?',
  'thawing(?: out)?',
  'affirmative',
  'that is a yes(?: from me)?',
  '100(?: %)?',
  '(?:feels|feel|seems|looks) (?:as if|as though|like) it (?:is|has|does|might|could|may)(?: be| have)?',
  '(?:a |some )?(?:bit of |slight |small |little |some |good )?(?:improvement|give)(?: in it)?',
  '(?:in )?the (?:left|right)(?: one| ear| side)? yes',
  '(?:only|just) (?:in )?the (?:left|right)(?: one| ear| side)?',
  'sure (?:is|has|does)',
  '(?:a )?bittie',
  '(?:a )?bitty',
  'lots',
  'loads',
  'a wee bitty',
  'wee bitty',
  'yes (?:in )?(?:both|each)(?: sides?| ears?)?',
  'both (?:sides |ears )?yes',
  'surely',
]
const YES_SHORTLY = new RegExp(`^${HEDGE}(?:${YES_SHORTLY_WORDS.join('|')})${TAIL}$`)
const NO_SHORTLY_WORDS = [
  'i (?:really )?doubt (?:it|that)',
  '(?:i )?(?:do|does|did|would|can|could) not (?:really |honestly )?(?:say|think|feel|seem|appear|look|believe|reckon|suppose|imagine)(?: (?:so|like it|that|to be|to have|it is|it has|it does|any|that it is|that it has))+',
  '(?:am )?(?:not|far from) (?:at all |that |too |very )?(?:convinced|certain it is)',
  'nothing doing',
  'negative',
  'that is a no(?: from me)?',
  '(?:do|would) not know that it (?:is|has|does)',
  '(?:has|is|does|did) it (?:heck|hell|eck|hummer|chuff)',
  'like (?:heck|hell|eck)',
  '(?:just )?as (?:it was|before|ever)',
  'not (?:a )?(?:great deal|lot|whole lot|fat lot)',
  'very little',
  'little change',
  'barely',
  'scarcely',
  'still (?:feels |all |very |quite |completely |well |just as )?(?:blocked|bunged|bunged up|clogged|plugged|full)(?: up| solid)?',
  '(?:nowhere|not anywhere|nothing) near(?: it)?',
  'far from it',
  'not (?:one|a|an|1) (?:iota|jot|bit|scrap|whit|smidge|smidgen|touch|sausage)',
  '(?:sadly|unfortunately|afraid|alas|regrettably)(?: it is| it has)? (?:not|no)',
  '(?:very |pretty |still |about |just |feels? |roughly |exactly |more or less )*(?:much )?the same(?: (?:really|as ever|as before|to me|as yesterday|as always|again))*',
  'much same',
  'same(?: old)?(?: same old| thing)?',
  'much of a muchness',
  'no(?: it)? (?:is|has|does|did|was) not',
  'it (?:is|has|does|did) not',
  'will not (?:budge|shift|move)',
  'not (?:noticeably|particularly|especially|really|much|so|enough|greatly|a lot)',
]
const LEAD =
  '(?:(?:oh|well|no|it|i|honestly|maybe|perhaps|so|love|dear|still|just|to be honest|really|think|ah|sure|that|but) )*'
const NO_SHORTLY = new RegExp(`^${LEAD}(?:${NO_SHORTLY_WORDS.join('|')})${TAIL}(?: no)?$`)
/** Wax that comes out by itself has softened. */
const COMES_OUT = new RegExp(
  [
    '\\b(?:(?:a |the )?plug|half|most|all|wax|whole thing|bits?|lumps?|dollops?|chunks?|clumps?|blobs?|crumbs?|flakes?|some|loads|plenty|lots|a lot|pieces?|bit)(?: of (?:it|wax|stuff|muck))?(?: (?:has|have|is|are|was|were|just|just now|keep|keeps|been|started|starting|to|brown|dark|all))* (?:come|came|coming|comes|fell|fallen|falling|on|in|dropped|breaking|broke)(?: \\w+)? ?(?:out|off|away|tissue|pillow|bud|towel|hanky|cotton|bath|shower|finger)\\b',
    '\\b(?:breaking|broken|crumbling|dissolving|dissolved|disintegrating|thinning|slacker|slackening|slackened|gungier|runnier|wetter|gloopier|squelches|squelching|squelched|liquid|giving way)\\b',
    '\\bit (?:moves|shifts|slides|wobbles|rattles|wiggles)\\b',
    '\\bwax (?:is )?(?:all over|on) (?:my|the) (?:pillow|collar|hanky|tissue|towel|bud)\\b',
  ].join('|'),
)

/** "No but it's early days", "aye grand" */
const LED_BY_NO = /^no (?:but|it|not|and|love|dear|pet|hen|duck|sorry|early|still|just|yet|i)\b|\bso no$/
const LED_BY_YES =
  /^(?:oh |aye )?yes (?:grand|lovely|but|thank|it|a|i|they|much|very|definitely|love|dear|both|great)\b/
/** "Yes no pain either", "he says yes": the yes answers the question, the rest is beside it. */
const FIRST_YES =
  /^(?:(?:oh|well|hmm|um|er|hi|he|she|mum|mam|dad|nan|says?|said|reckons|thinks|a|wee|bit|little) )*(?:yes|(?:reckons?|thinks?|says?) it (?:is|has))(?: |$)/
const THEN_NO = /\b(?:thought|hoped|maybe|was) .*\b(?:but )?no$/
const AGAINST = /\b(?:not|no|hard|left|right|pain|sore|hurts?|dizzy|blood|bleeding|drops?)\b/

/** A short answer, by its first part that says either. */
export function shortly(tokens: readonly Token[], layout: Layout): boolean | null {
  if (tokens.length > MAX_SHORT || tokens.some((t) => t.w === '?')) return null
  const said = (from: number, to: number) =>
    tokens
      .slice(from, to)
      .filter((t) => t.kind !== 'mark')
      .map((t) => t.w)
      .join(' ')
  const whole = said(0, tokens.length)
  // Of two ears, or of two minds.
  if ([/\bleft\b/, /\bright\b/].every((side) => side.test(whole))) return null
  if (THEN_NO.test(whole)) return false
  // "No. It has been sore all day": the first word is the answer.
  const first = layout.clauses[0]
  const opening = first ? said(first.from, first.to) : ''
  if (opening === 'no' && !/\byes\b/.test(whole)) return false
  if (FIRST_YES.test(whole) && !/\b(?:but|not|hard|solid|still|same|(?:yes|or) no$|no no)\b/.test(whole))
    return true
  if ([/\byes\b/, /\bno\b/].every((said) => said.test(whole))) return null
  for (const c of [{ from: 0, to: tokens.length }, ...layout.clauses]) {
    const part = said(c.from, c.to)
    if (NO_SHORTLY.test(part) || LED_BY_NO.test(part)) return false
    if (YES_SHORTLY.test(part) || (LED_BY_YES.test(part) && !AGAINST.test(whole))) return true
    if (COMES_OUT.test(part) && !/\b(?:not|no|none|nothing|drops?|oil|bottle|behind|hot|blood)\b/.test(part))
      return true
  }
  return null
}
