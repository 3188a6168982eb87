/** Clauses that speak of what was said before them: it has stopped, it came back, it gets worse. */
import { has } from './answers.ts'
import type { Case, Step } from './assemble.ts'
import { type Layout, within } from './clauses.ts'
import type { Mention } from './concepts.ts'
import { EASED, GONE, WORSE } from './lexicon/scope.ts'
import { setOf } from './lexicon/set-of.ts'
import type { Token } from './normalise.ts'
import { SIGNS, thereAfterAll } from './passed.ts'
import type { Range, Taken } from './scope.ts'
import type { Finding, FindingKind } from './types.ts'
import { cues } from './vocabulary.ts'

const PAST_WORDS = setOf(
  'could couldnt came was were had felt did bled ached happened went leaked oozed throbbed talked slurred drooped yesterday earlier initially',
)
const EAR_KINDS = new Set<FindingKind>([
  'pain',
  'discharge',
  'bleeding',
  'hearing-loss',
  'ringing',
  'blocked',
  'itch',
  'swelling',
])
const PRESENT_WORDS = setOf('is am are still now today keeps getting')

const DAY = /^(mon|tues?|wed(nes)?|thu(rs)?|fri|sat(ur)?|sun)(day)?$/

/** "it has gone", "stopped now", "all cleared": over; "gone through a kitchen roll", "went up" are not. */
function isOver(w: readonly string[], k: number): boolean {
  const before = w[k - 1] ?? ''
  const next = w[k + 1] ?? ''
  // "Finished on Friday"
  if (/^(finished|stopped|ended|cleared)$/.test(w[k] ?? '') && next === 'on' && DAY.test(w[k + 2] ?? ''))
    return true
  if (
    /^(up|to|for|back|out|on|home|and|through|thru|bad|off|into|down|from|deaf|red|yellow|green|my|the|a|it|me|over|hearing|texting|croaky|hoarse|funny|weird|strange|numb|stiff|tight|dead|quiet|silent|wobbly|blurry|dark|cold|hot|pale|grey|blue|puffy|hard|worse|septic|clammy|crooked|lopsided|droopy|wonky|slack|squiffy|twisted|black|blind)$/.test(
      next,
    ) &&
    !(/^(stopped|ceased|cleared|finished|dried)$/.test(w[k] ?? '') && /^(and|by|before)$/.test(next)) &&
    !(w[k] === 'went' && next === 'off') &&
    !(/^(cleared|dried)$/.test(w[k] ?? '') && next === 'up')
  )
    return false
  if (w[k] === 'stopped' && k === 0 && w.some((x) => /^(ago|back|since)$/.test(x))) return true
  // "Been completely gone for days"
  if (
    w[k] === 'gone' &&
    next === 'for' &&
    w.slice(k + 2, k + 5).some((x) => /^(days|weeks|hours|nights|week)$/.test(x))
  )
    return true
  // "Stopped that day and nothing since"
  const then = /^(same|very)$/.test(w[k + 2] ?? '') ? w[k + 3] : w[k + 2]
  if (next === 'that' && /^(day|night|evening|morning|afternoon)$/.test(then ?? '')) return true
  if (w[k] === 'went') return /^(away|off)$/.test(next)
  if (w[k] === 'over' || w[k] === 'passed') return /^(is|was|all|has|have|now)$/.test(before)
  return (
    (k === 0 && w.length <= 4) ||
    (/^(stopped|ceased)$/.test(w[k] ?? '') && /^(and|by|before)$/.test(next)) ||
    /^(is|has|have|it|all|now|just|completely|soon|then|since|that|was|had|fully|mostly|pretty|well|long|clean)$/.test(
      before,
    ) ||
    /^(now|today|away|completely|altogether|since|by)$/.test(next)
  )
}

const IT_IS_OVER = setOf('longer anymore again it come came')
const GOES_ON = setOf(
  'coming bleeding going leaking running oozing weeping dripping there sore hurting spotting aching',
)
const STILL = setOf('still')
const AGAIN = setOf('again back today now morning tonight')

const LIMITS = setOf(
  'otherwise else apart rest except other visit appointment hope hopefully will would if drops should trying want wish',
)

/** How many mentions back a clause may speak of. */
const LOOK_BACK = 12

/** Clauses that speak of what was said before them: "it's stopped now", "none today", "fine now", "getting worse". */
export function applyFollowUps(c: Case, trail: Step[], taken: Taken) {
  const { tokens, layout } = c
  const sentenceOf = (at: number) => layout.sentences[layout.sentence[at] ?? 0] ?? { from: 0, to: 0 }
  let upTo = 0
  for (const clause of layout.clauses) {
    while (upTo < trail.length && (trail[upTo]?.mention.to ?? 0) <= clause.from) upTo++
    if (clause.from === 0 || upTo === 0) continue
    const before = trail.slice(Math.max(0, upTo - LOOK_BACK), upTo)
    // "Hearing is grand, my eyebrow has dropped": something else has.
    const here = trail[upTo]?.mention
    if (!here || here.from >= clause.to || here.kind === 'hearing-loss')
      hearingWentAgain(tokens, clause, before.at(-1))
    if (!hearingReturned(tokens, clause, before.at(-1)) && cameBack(tokens, clause, before)) continue
    thereAfterAll(c, before, clause.from, clause.to)
    const nearest = before.at(-1)
    // "Pain 8. I was dizzy and it has gone": what has gone is the dizziness alone.
    if (
      nearest?.finding.course === 'gone' &&
      layout.sentence[nearest.mention.from] === layout.sentence[clause.from]
    )
      continue
    const last = before.findLast((x) => x.finding.polarity === 'affirmed')
    if (!last || last.finding.kind === 'hearing-loss') continue
    const since = within(tokens, clause.from, clause.to, SINCE)
    if (!since && ownsSign(tokens, clause, taken)) continue
    const words = tokens.slice(clause.from, clause.to).filter((t) => t.kind !== 'mark')
    const ofIt = layout.sentence[clause.from] === layout.sentence[last.mention.from] || words.length <= 7
    if (words.length === 0 || !ofIt) continue
    const sinceThen =
      since &&
      /^(none|nothing|not|clean|dry|fine|quiet) (\w+ ){0,2}(ever )?since\b|^been (nothing|nowt|fine|dry|clean) since\b|^since (then )?(not a|nothing|nowt|none)\b/.test(
        words.map((t) => t.w).join(' '),
      )
    if (since && !sinceThen && ownsSign(tokens, clause, taken)) continue
    const earlier = before.filter((x) => x.finding.polarity === 'affirmed')
    const w = words.map((t) => t.w)
    while (/^(but|and|then|so|though|although|its|it)$/.test(w[0] ?? '') && w.length > 1) w.shift()
    // "So not to worry" denies nothing.
    const unworried = w.findIndex(
      (x, k) => x === 'not' && /^(to|worried|worrying|bothered|alarmed)$/.test(w[k + 1] ?? ''),
    )
    const negated = w.some((x, k) => k !== unworried && /^(not|never|no)$/.test(x))
    if (w.some((x) => LIMITS.has(x))) continue
    // "Fresh blood an hour ago and it is still coming"
    if (w.some((x, k) => x === 'still' && GOES_ON.has(w[k + 1] ?? ''))) continue
    // "The drops sting so I stopped them, none today": none of the drops.
    const ofDrops = c.softening && /^(none|nothing) today$/.test(w.join(' '))
    if (ofDrops && tokens.some((t) => /^(drops|oil|bicarb|them)$/.test(t.w))) continue
    // "Blood again this morning. It had stopped yesterday": it is there again.
    const told = sentenceOf(last.mention.from)
    if (
      w.some((x, k) => x === 'had' && GONE.has(w[k + 1] ?? '')) &&
      within(tokens, told.from, told.to, AGAIN)
    )
      continue
    // "Better but still not right" is not over.
    const stillLater = within(tokens, clause.to, sentenceOf(clause.from).to, STILL)
    const marksPast = pastOnly(tokens, layout, last.mention) && !stillLater
    if (!negated && w.some((x) => WORSE.has(x))) {
      for (const x of earlier.filter(
        (e) => layout.sentence[e.mention.from] === layout.sentence[last.mention.from],
      )) {
        x.finding.course = 'worse'
        if (!x.finding.tags.includes('worse')) x.finding.tags.push('worse')
      }
    } else if (
      !negated &&
      !last.finding.tags.some((t) => t === 'will-not-stop' || t === 'heavy') &&
      w.some((x, k) => GONE.has(x) && isOver(w, k))
    ) {
      settle(c, last.finding)
    } else if (last.outright && !SIGNS.has(last.finding.kind) && !w.some((x) => IT_IS_OVER.has(x))) {
      // "It won't stop bleeding. Nothing since": told of something else.
    } else if (
      sinceThen ||
      /^not a (drop|spot|speck|trace|drip|thing|twinge|mark) (for|in|these|this) /.test(w.join(' ')) ||
      /^(no longer|not any ?more|none after|none since( then)?|not since|never since|never again|nothing since)( now| at all| and .*)?$/.test(
        w.join(' '),
      ) ||
      /\b(came|come) (right|good)\b/.test(w.join(' '))
    ) {
      settle(c, last.finding)
    } else if (
      (/^(none|nothing|not)$/.test(w[0] ?? '') || (w[0] === 'now' && /^(none|nothing)$/.test(w[1] ?? ''))) &&
      w.some((x) => /^(today|now|since|anymore)$/.test(x)) &&
      (w[0] !== 'not' || w.length <= 3)
    ) {
      settle(c, last.finding)
    } else if (
      marksPast &&
      !negated &&
      has(words, cues.well) &&
      !w.includes('hearing') &&
      !(w.some((x) => /^(ear|ears)$/.test(x)) && !EAR_KINDS.has(last.finding.kind))
    ) {
      for (const x of earlier) if (pastOnly(tokens, layout, x.mention)) settle(c, x.finding)
    } else if (
      marksPast &&
      !negated &&
      SIGNS.has(last.finding.kind) &&
      !w.some((x) => /^(ear|ears|hearing|wax)$/.test(x)) &&
      w.some(
        (x, k) =>
          /^(better|normal|ok|fine|right|back|straightened|straight)$/.test(x) &&
          (k === 0 ||
            /^(completely|now|all|to|came|come|then|was|is|gone|it|fully|quite|totally|just)$/.test(
              w[k - 1] ?? '',
            )),
      )
    ) {
      settle(c, last.finding)
    } else if (!negated && w.some((x) => EASED.has(x))) {
      if (last.finding.course === null) last.finding.course = 'better'
    }
  }
}

/** Does a word of the clause tell of a sign? */
function ownsSign(tokens: readonly Token[], clause: Range, taken: Taken): boolean {
  for (let i = clause.from; i < clause.to; i++)
    if (taken.owner[i]?.denies === false && tokens[i]?.kind !== 'mark') return true
  return false
}

/** Blood without a procedure to explain it still counts once it has stopped. */
function settle(c: Case, f: Finding) {
  // Having come round does not undo a collapse, and a thought of death is never over for us.
  if (f.kind === 'collapse' || f.kind === 'self-harm') return
  if (f.kind === 'bleeding' && c.softening) f.course = 'gone'
  else resolve(f)
}

const SINCE = setOf('since')
const RETURNS = setOf('back returned flared vengeance started')

/** "It eased and then it's come back with a vengeance": what had gone is there again, and worse. */
function cameBack(tokens: readonly Token[], clause: Range, before: Step[]): boolean {
  if (!within(tokens, clause.from, clause.to, RETURNS)) return false
  const w = tokens.slice(clause.from, clause.to).map((t) => t.w)
  const back = w.some(
    (v, i) =>
      (/^(come|came|comes|its)$/.test(v) &&
        w[i + 1] === 'back' &&
        !/^(to|for|from|in|on|and see)$/.test(w[i + 2] ?? '')) ||
      /^(returned|flared|vengeance)$/.test(v) ||
      (v === 'back' && i === 0 && /^(today|again|now|tonight)$/.test(w[1] ?? '')) ||
      (v === 'started' && /^(again|up)$/.test(w[i + 1] ?? '')),
  )
  if (!back || w.some((v) => /^(not|never|hearing|if|appointment|clinic)$/.test(v))) return false
  const x = before.findLast(
    (b) =>
      b.finding.polarity === 'past' || b.finding.course === 'better' || b.finding.polarity === 'affirmed',
  )
  if (!x || x.mention.denies) return false
  x.finding.polarity = 'affirmed'
  x.finding.course = 'worse'
  x.finding.tags = [...x.finding.tags.filter((t) => t !== 'gone'), 'worse']
  return true
}

/** "It went dull for an hour but came back completely": hearing that is there again. */
function hearingReturned(tokens: readonly Token[], clause: Range, x: Step | undefined): boolean {
  if (x?.finding.kind !== 'hearing-loss' || x.mention.denies) return false
  const w = tokens
    .slice(clause.from, clause.to)
    .map((t) => t.w)
    .join(' ')
  if (
    !/\b(came|come|comes) (\w+ )?back\b|\breturned\b/.test(w) ||
    /\b(not|never|deaf|deafness|muffled|yet)\b/.test(w)
  )
    return false
  if (x.finding.polarity === 'affirmed') resolve(x.finding)
  return true
}

/** "Hearing was lovely, woke up and it is gone": good hearing that has gone is hearing loss. */
function hearingWentAgain(tokens: readonly Token[], clause: Range, x: Step | undefined) {
  if (x?.finding.kind !== 'hearing-loss' || !x.mention.denies || x.finding.polarity !== 'denied') return
  const w = tokens.slice(clause.from, clause.to).map((t) => t.w)
  const lost = w.some(
    (v, i) =>
      (v === 'nothing'
        ? /^(then|next|now|since|suddenly|just|to|is|has|overnight|today|tonight|morning)$/.test(
            w[i - 1] ?? '',
          ) || w.length === 1
        : /^(gone|went|faded|vanished|disappeared|dropped|died|phut)$/.test(v) &&
          /^(|it|has|is|have|all|just|then|suddenly|completely|that|been|now|again|and|hearing|today|since|was|had|totally|clean|left|right|ear|one|side|lug)$/.test(
            w[i - 1] ?? '',
          )) && !/^(home|to|out|for|shopping|well|back|further|else|more|wrong|bad)$/.test(w[i + 1] ?? ''),
  )
  if (!lost || w.some((v, i) => /^(not|wax|pain)$/.test(v) || (v === 'all' && w[i - 1] !== 'at'))) return
  x.finding.polarity = 'affirmed'
  for (const t of ['marked', 'new'] as const) if (!x.finding.tags.includes(t)) x.finding.tags.push(t)
}

function resolve(f: Finding) {
  f.course = 'gone'
  f.polarity = 'past'
  f.course = 'gone'
  if (!f.tags.includes('gone')) f.tags.push('gone')
}

function pastOnly(tokens: readonly Token[], layout: Layout, m: Mention): boolean {
  const clause = layout.clauses[layout.clause[m.from] ?? 0]
  const says = (words: ReadonlySet<string>) => within(tokens, clause?.from ?? 0, clause?.to ?? 0, words)
  return says(PAST_WORDS) && !says(SINCE) && !says(PRESENT_WORDS)
}
