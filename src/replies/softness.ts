/** Whether the wax is said to have softened. */
import { hits } from './answers.ts'
import type { Layout } from './clauses.ts'
import type { Token } from './normalise.ts'
import type { Match } from './patterns.ts'
import { cues } from './vocabulary.ts'

/** Softened, not softened, or not said. `alone`: it was the one question, so that a short answer is of it. */
export function readSoftened(
  tokens: readonly Token[],
  layout: Layout,
  asked: boolean,
  alone = false,
): boolean | null {
  const noes = hits(tokens, cues.softNo)
  const yeses = hits(tokens, cues.softYes)
  const over = (m: Match<true>, n: Match<true>) => m.from < n.to && n.from < m.to
  // "Not hard any more": the longer wording wins.
  const yes = yeses.filter((m) => !noes.some((n) => over(m, n) && n.size >= m.size))
  const no = noes.filter((m) => !yeses.some((n) => over(m, n) && n.size > m.size))
  if (!asked && (!tokens.some((t) => ABOUT_WAX.test(t.w)) || ofFood(tokens))) return null
  const clean = (list: Match<true>[]) =>
    list.filter((m) => {
      const w = tokens[m.from]?.w ?? ''
      const s = layout.sentences[layout.sentence[m.from] ?? 0]
      const question = s !== undefined && tokens[s.to - 1]?.w === '?'
      const harmless =
        /^(working|moving|running|dry|hard|stuck|loose|runny)$/.test(w) &&
        !asked &&
        !tokens.slice(Math.max(0, m.from - 5), m.to + 4).some((t) => /^(wax|ear|plug|it)$/.test(t.w))
      const normal = tokens
        .slice(Math.max(0, m.from - 7), m.from)
        .some((t) => /^(normal|meant|supposed)$/.test(t.w))
      const supposed = tokens
        .slice(Math.max(0, m.from - 4), m.from)
        .some((t) =>
          /^(if|will|should|hope|hopefully|trying|when|until|till|meant|supposed|how|could|once)$/.test(t.w),
        )
      return !question && !harmless && !supposed && !normal
    })
  const allYes = clean(yes)
  const allNo = clean(no).filter(
    (m) =>
      tokens[m.from]?.w !== 'hard' ||
      tokens.slice(m.from, m.to + 3).every((t) => !/^(to|hear|of|hearing)$/.test(t.w)),
  )
  // "It was hard yesterday, today it's soft": what it was says nothing of now.
  const mixed = allYes.length > 0 && allNo.length > 0
  const ofNow = (list: Match<true>[]) => (mixed ? list.filter((m) => !wasSo(tokens, layout, m)) : list)
  const said = ofNow(allYes).length
  const denied = ofNow(allNo).length
  if (said > 0 && denied === 0) return true
  if (denied > 0 && said === 0) return false
  // "Softer but still there", "still hard but getting softer": on its way.
  if (mixed) return ofNow(allNo).every((m) => stillSo(tokens, m)) && onItsWay(tokens) ? true : null
  return alone && said === 0 && denied === 0 ? shortly(tokens, layout) : null
}

function wasSo(tokens: readonly Token[], layout: Layout, m: Match<true>): boolean {
  const c = layout.clauses[layout.clause[m.from] ?? 0] ?? { from: 0, to: 0 }
  const before = tokens.slice(Math.max(c.from, m.from - 3), m.from).map((t) => t.w)
  if (before.some((w) => /^(now|today|is)$/.test(w))) return false
  return (
    before.some((w) => /^(was|were|had)$/.test(w)) ||
    tokens.slice(c.from, c.to).some((t) => /^(yesterday|before)$/.test(t.w))
  )
}

const stillSo = (tokens: readonly Token[], m: Match<true>) =>
  tokens.slice(Math.max(0, m.from - 2), m.to).some((t) => t.w === 'still')
const onItsWay = (tokens: readonly Token[]) =>
  tokens.some((t) => /^(softer|softening|looser|loosening|melting)$/.test(t.w)) &&
  !tokens.some((t) => /^(left|right|outside|inside|deep|one|other|not|no)$/.test(t.w))

const ABOUT_WAX =
  /^(butter|brick|pebble|wax|hard|softened|softer|softening|soften|soft|loosened|loosening|plug|looser|melted|softend|squidgy|squishy|squashy|mushy|mush|putty|sludgy|claggy|squelchy)$/

/** "Bread as hard as a brick", "soft boiled egg for tea". */
const ofFood = (tokens: readonly Token[]) =>
  tokens.some((t) => /^(bread|egg|eggs|cake|toast|biscuit|biscuits|peas)$/.test(t.w)) &&
  !tokens.some((t) => /^(wax|ear|ears|drops|oil|plug|lug|lugs)$/.test(t.w))

const TAIL =
  '(?: (?:that|surely|indeed|certainly|thank god|now|today|thanks|thank you|love|dear|pet|duck|hen|yes|really|so far|yet|at all|to be honest|to be fair|but|though|tell|me|to|i think|if|anything|the|maybe|just|then|again|please))*'
const HEDGE =
  '(?:(?:oh|well|yes|maybe|perhaps|possibly|probably|definitely|certainly|aye|just|only|very|hopefully|think|i|it|is|has|does|do|feels|seems|but|and|to me|sort of|kind of|ah|sure|now) )*'
/** Asked whether the wax is softer, answered with neither yes nor no. */
const YES_SHORTLY = new RegExp(
  `^${HEDGE}(?:slightly|somewhat|marginally|slowly(?: but surely)?|gradually|partly|partially|noticeably|considerably|softish|bit by bit|little by little|(?:a )?(?:wee |tiny |good |little |fair )?(?:bit|little|tad|touch|smidge|smidgen|lot|fraction)|(?:starting|beginning|beginnin|startin) to|getting (?:there|that way)|coming on|(?:well )?on (?:its|the) way|on it is way|giving(?: a (?:bit|little))?|i (?:would|do)? ?(?:say|think|believe|reckon|suppose|feel|imagine|guess) (?:so|(?:that )?it (?:is|has|does|might be|may be|must be))|(?:say|think|believe|reckon|suppose|feel|imagine|guess) (?:so|it (?:is|has|does|must be))|(?:seems?|appears?|looks?|feels?) (?:so|to be|to have|that way|like it)|it (?:is|has|does|do)(?: that| indeed)?|(?:probably|think|possibly|maybe|hopefully|slowly) yes|yes (?:probably|(?:i|it) (?:is|has|does|do)|i (?:think|believe|would say)(?: so)?)|not completely|not fully|in places|more or less|much improved|improving|(?:much|far|loads|lots|(?:a )?(?:bit|little|lot|wee bit)) better|feels it|sure (?:is|has|does)|(?:a )?bittie|(?:a )?bitty|lots|loads|a wee bitty|wee bitty|yes (?:in )?(?:both|each)(?: sides?| ears?)?|both (?:sides |ears )?yes|surely)${TAIL}$`,
)
const NO_SHORTLY = new RegExp(
  `^(?:(?:oh|well|no|it|i|honestly|maybe|perhaps|so|love|dear|still|just|to be honest|really|think|ah|sure|that|but) )*(?:i (?:really )?doubt (?:it|that)|(?:i )?(?:do|does|did|would|can|could) not (?:really |honestly )?(?:say|think|feel|seem|appear|look|believe|reckon|suppose|imagine)(?: (?:so|like it|that|to be|to have|it is|it has|it does|any|that it is|that it has))+|(?:am )?(?:not|far from) (?:at all |that |too |very )?(?:convinced|certain it is)|nothing doing|(?:has|is|does|did) it (?:heck|hell|eck|hummer|chuff)|like (?:heck|hell|eck)|(?:just )?as (?:it was|before|ever)|not (?:a )?(?:great deal|lot|whole lot|fat lot)|very little|little change|barely|scarcely|still (?:feels |all |very |quite |completely |well |just as )?(?:blocked|bunged|bunged up|clogged|plugged|full)(?: up| solid)?|(?:nowhere|not anywhere|nothing) near(?: it)?|far from it|not (?:one|a|an|1) (?:iota|jot|bit|scrap|whit|smidge|smidgen|touch|sausage)|(?:sadly|unfortunately|afraid|alas|regrettably)(?: it is| it has)? (?:not|no)|(?:very |pretty |still |about |just |feels? |roughly |exactly |more or less )*(?:much )?the same(?: (?:really|as ever|as before|to me|as yesterday|as always|again))*|much same|same(?: old)?(?: same old| thing)?|much of a muchness|no(?: it)? (?:is|has|does|did|was) not|it (?:is|has|does|did) not|will not (?:budge|shift|move)|not (?:noticeably|particularly|especially|really|much|so|enough|greatly|a lot))${TAIL}$`,
)
/** Wax that comes out by itself has softened. */
const COMES_OUT =
  /\b(?:(?:a |the )?plug|half|most|all|wax|whole thing|bits?|lumps?|dollops?|chunks?|clumps?|blobs?|crumbs?|flakes?|some|loads|plenty|lots|a lot|pieces?|bit)(?: of (?:it|wax|stuff|muck))?(?: (?:has|have|is|are|was|were|just|just now|keep|keeps|been|started|starting|to|brown|dark|all))* (?:come|came|coming|comes|fell|fallen|falling|on|in|dropped|breaking|broke)(?: \w+)? ?(?:out|off|away|tissue|pillow|bud|towel|hanky|cotton|bath|shower|finger)\b|\b(?:breaking|broken|crumbling|dissolving|dissolved|disintegrating|thinning|slacker|slackening|slackened|gungier|runnier|wetter|gloopier|squelches|squelching|squelched|liquid|giving way)\b|\bit (?:moves|shifts|slides|wobbles|rattles|wiggles)\b|\bwax (?:is )?(?:all over|on) (?:my|the) (?:pillow|collar|hanky|tissue|towel|bud)\b/

/** "No but it's early days", "aye grand" */
const LED_BY_NO = /^no (?:but|it|not|love|dear|pet|hen|duck|sorry|early|still|just|yet|i)\b|\bso no$/
const LED_BY_YES =
  /^(?:oh |aye )?yes (?:grand|lovely|but|thank|it|a|i|they|much|very|definitely|love|dear|both|great)\b/
const AGAINST = /\b(?:not|no|hard|left|right|pain|sore|hurts?|dizzy|blood|bleeding|drops?)\b/

/** A short answer, by its first part that says either. */
function shortly(tokens: readonly Token[], layout: Layout): boolean | null {
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
const MAX_SHORT = 24
