/** Signs that a later word says are over, and supposed or asked-about ones that a later word says are there. */
import type { Case, Step } from './assemble.ts'
import type { Mention } from './concepts.ts'
import type { Token } from './normalise.ts'
import type { Range } from './scope.ts'
import type { Finding, FindingKind } from './types.ts'

/** Signs that alarm even when they have passed: that they are over changes what the patient has now, not the urgency. */
export const SIGNS: ReadonlySet<FindingKind> = new Set(['facial-weakness', 'stroke-sign'])

const RECOVERED =
  /\b(all|fully|completely|totally|quite) (gone|passed|back|better|right|normal|cleared|come back|came back)\b|\bback (to )?(as|how|normal|itself|what|like) (it|they|i|normal|was|should)\b|\bback to normal\b|\brighted itself\b|\b(went|gone|passed|wore|worn) off\b|\bnothing (now|since)\b|\b(come|came) (all )?back since\b|\bright as rain\b|(?<!\b(?:the|my|on) )\b(fine|ok|normal|champion|grand|right|well) (now|since|again|ever since|after|afterwards)\b|\bperfectly (normal|well|fine|right)\b|\bperfectly \w+ since\b|\bback now\b|\b(gone|went|off|away) again (by|before|now)\b|\b(came|come) back (ok|fine|right|after|by|within)\b|\bit (has|is) (all )?(passed|over)\b|\blost\b.*\bcame back\b/
const NOT_OVER =
  /\b(still|not (gone|quite|fully|better|right|back|normal|completely)|again (now|today|this)|getting worse|keeps)\b/

/** "My mouth drooped for five minutes, all back now": over, and said so by rule. */
export function passedSigns(c: Case, trail: readonly Step[]) {
  const signs = trail.filter((x) => SIGNS.has(x.finding.kind) && x.finding.polarity === 'affirmed')
  const last = trail.findLast((x) => SIGNS.has(x.finding.kind))
  if (signs.length === 0 || !last) return
  const after = said(c.tokens, { from: last.mention.to, to: c.tokens.length })
  if (!RECOVERED.test(after) || NOT_OVER.test(after)) return
  for (const { finding } of signs) over(finding)
}

const AT_THE_VISIT =
  /\b(chair|couch|in the room|right after|straight after|just after|directly after|afterwards|that day|getting (up|off)|got (up|off)|sat up|stood up|outside|took the|pump|tool)\b/
const LEFT = /\b(gone|passed|went|lasted|then|never|not (been )?back|fine|that is all|ok|since)\b/
const GOES_ON =
  /\b(still|keeps?|every|again|when (i|she|he) (get|stand|sit|turn|move|bend|look)|now and then|on and off)\b/

/** "A dizzy minute in your chair, gone before I got my coat on": noted, and not there now. */
export function passedAtTheVisit(c: Case, trail: readonly Step[]) {
  if (c.softening) return
  const words = remembered((n) => said(c.tokens, c.layout.sentences[n]))
  for (const { finding, mention } of trail) {
    if (finding.kind !== 'dizziness' || finding.polarity !== 'affirmed') continue
    if (!finding.tags.includes('brief') || finding.tags.includes('cannot-stand')) continue
    const sentence = words(c.layout.sentence[mention.from] ?? 0)
    if (AT_THE_VISIT.test(sentence) && LEFT.test(sentence) && !GOES_ON.test(sentence)) over(finding)
  }
}

const NO_MORE =
  /\b(at all now|now|since|any ?more|these days|today|in fact|actually|at all|whatsoever|anymore)\b/
const WAS_THEN =
  /\b(hurt|bled|ached|leaked|was|were|had|did|felt|went|yesterday|first|then|than|as sore|last (night|week)|that (night|day)|(mon|tues|wednes|thurs|fri|satur|sun)day)\b/
const STILL_THERE = /\b(is|am|still|keeps?|getting|has|have|today|now|again|since|but)\b/

/** "It hurt on Saturday, no pain at all now": what a later clause denies was there before. */
export function deniedSince(c: Case, trail: readonly Step[]) {
  const clause = (m: Mention) => c.layout.clause[m.from] ?? 0
  const words = remembered((n) => said(c.tokens, c.layout.clauses[n]))
  const lastOf = new Map(trail.map((x) => [x.finding.kind, x]))
  for (const { finding, mention } of trail) {
    const last = lastOf.get(finding.kind)
    if (last?.finding.polarity !== 'denied' || clause(last.mention) === clause(mention)) continue
    if (finding.polarity !== 'affirmed' || !BYGONE.has(finding.kind) || (finding.severity?.value ?? 0) >= 7)
      continue
    const own = words(clause(mention))
    if (NO_MORE.test(words(clause(last.mention))) && WAS_THEN.test(own) && !STILL_THERE.test(own))
      over(finding)
  }
}

const BYGONE: ReadonlySet<FindingKind> = new Set([
  'hearing-loss',
  'pain',
  'ringing',
  'blocked',
  'itch',
  'dizziness',
])

/** Many mentions may share a sentence: its words are joined once. */
function remembered(make: (n: number) => string): (n: number) => string {
  const known = new Map<number, string>()
  return (n) => {
    const words = known.get(n) ?? make(n)
    known.set(n, words)
    return words
  }
}

const IT_IS_THERE =
  /^(because |cos |as )?i (have|do|am)$|\b(that|this) is (me|mine|what i (have|am|got)|how i am)\b|\b(i|he|she) (am|is|have been|has been|feel|feels) (just )?like (that|this)\b|\b(mine|me) (is|has|does|did|began|started|came)\b/
/** "Is brown water normal? Its running out of mine" */
const OF_MINE = /^(because |cos |as )?(it|mine|there|i) (is|has|have|keeps|am|got|started)\b/
const HAPPENS = /\b(running|coming|happening|started|mine|got|had|getting|doing|dripping|pouring|leaking)\b/
const IT_HAS_COME =
  /^(because |cos |as |and |well |so )*(it|mine|that|he|she|i) (has|is|have|am|does|do|did) (just |now |already )?(started|begun|begins|happened|happening|doing|now|so|come on)\b/
const I_HAVE_IT =
  /^(but |and |though |now )*(i )?(have|got|do have|am having|get) (got )?(it|one|that|some|them) (now|today|this)\b/

/** "If it bleeds should I come? It has started." "Is it normal to be sick with it? I am like that." */
export function thereAfterAll(c: Case, before: readonly Step[], from: number, to: number) {
  const nearest = before.at(-1)
  if (!nearest) return
  const { polarity } = nearest.finding
  if (polarity !== 'asked-about' && polarity !== 'hypothetical' && polarity !== 'denied') return
  const w = said(c.tokens, { from, to })
  if (/\b(not|no|never|if)\b/.test(w)) return
  // "Ear pain? Yes, a one."
  const asked = c.layout.sentences[c.layout.sentence[nearest.mention.from] ?? 0]
  const answered =
    /^(yes|yeah|aye|yep)\b/.test(w) && asked !== undefined && asked.to === from && asked.to - asked.from <= 4
  const happens = !nearest.mention.denies && OF_MINE.test(w) && HAPPENS.test(w)
  if (/\b(was|were)\b/.test(w) && !happens) return
  const there =
    (polarity === 'asked-about' && (IT_IS_THERE.test(w) || happens || answered)) ||
    ((polarity === 'hypothetical' || polarity === 'asked-about') && IT_HAS_COME.test(w)) ||
    (polarity === 'denied' && !nearest.mention.denies && I_HAVE_IT.test(w))
  if (!there) return
  for (const { finding, mention } of before)
    if (
      finding.polarity === polarity &&
      c.layout.sentence[mention.from] === c.layout.sentence[nearest.mention.from]
    )
      finding.polarity = 'affirmed'
}

function over(finding: Finding) {
  finding.polarity = 'past'
  finding.course = 'gone'
  finding.tags = [...new Set<Finding['tags'][number]>([...finding.tags.filter((t) => t !== 'worse'), 'gone'])]
}

const said = (tokens: readonly Token[], at: Range | undefined): string =>
  tokens
    .slice(at?.from, at?.to)
    .filter((t) => t.kind !== 'mark')
    .map((t) => t.w)
    .join(' ')
