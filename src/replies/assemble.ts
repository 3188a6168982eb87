/** From mentions to findings: polarity, course, onset, severity, side and tags, each from its own rule. */
import { has } from './answers.ts'
import type { Layout } from './clauses.ts'
import type { Mention } from './concepts.ts'
import { EASED, GONE, WORSE } from './lexicon/scope.ts'
import type { Token } from './normalise.ts'
import { findAll, type PatternSet } from './patterns.ts'
import { whose } from './person.ts'
import {
  denials,
  presupposes,
  questions as questionRanges,
  type Range,
  saidAfter,
  saidBefore,
  suppositions,
  type Taken,
  takenBy,
} from './scope.ts'
import { degreeOf, painNumbers, painSeverity } from './severity.ts'
import { sidesOf } from './sides.ts'
import { durationsBySentence, onsetIn } from './time.ts'
import type { Course, Finding, FindingKind, FindingTag, Flag, Polarity, Question } from './types.ts'
import { cues } from './vocabulary.ts'

const FLAG_OF: Partial<Record<FindingKind, Flag>> = {
  pain: 'pain',
  discharge: 'discharge',
  bleeding: 'bleeding',
  'hearing-loss': 'hearing-loss',
  dizziness: 'dizziness',
  'facial-weakness': 'facial-weakness',
  fever: 'fever',
  swelling: 'swelling',
}

const PAST_WORDS =
  /^(was|were|had|felt|did|bled|ached|happened|went|leaked|oozed|throbbed|talked|slurred|drooped|yesterday|earlier|initially)$/
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
const PRESENT_WORDS = /^(is|am|are|still|now|has|today|keeps|getting|have)$/
/** Said to be nothing out of the way. */
const EXPECTED_WORDS =
  /^(expected|expect|warned|promised|told|normal|said|speak|worry|hardly|barely|scarcely|bother)$/
const NEW_WORDS =
  /^(new|now|started|starting|suddenly|developed|begun|began|noticed|just|today|overnight|sudden|appeared|woke|since)$/

export type Assembly = {
  findings: Finding[]
  taken: Taken
  asked: Range[]
  typedFor: boolean
  relatives: boolean
  someoneElseAt: (span: { from: number; to: number }) => boolean
}

export type Case = {
  text: string
  tokens: Token[]
  layout: Layout
  procedureDays: number | null
  openQuestions: Question[]
  softening: boolean
}

export function assemble(c: Case, mentions: Mention[]): Assembly {
  const { tokens, layout } = c
  const taken = takenBy(tokens, mentions)
  const denied = denials(tokens, taken)
  const supposed = suppositions(tokens, layout)
  const asked = questionRanges(tokens, layout)
  const person = whose(tokens, layout)
  const at = cuePlaces(c)
  const sides = sidesOf(tokens, layout)
  const deniedAt = coverage(tokens.length, denied)
  const supposedAt = coverage(tokens.length, supposed)
  const askedAt = coverage(tokens.length, asked)
  const findings: Finding[] = []
  const trail: { finding: Finding; mention: Mention }[] = []

  for (const m of mentions) {
    const first = Math.min(...m.used)
    // The words that carry the symptom may stand after the negator although the mention begins before it.
    let covered: Range[] = []
    const carrying = m.core.size > 0 ? m.core : m.used
    for (const u of carrying) if ((deniedAt[u]?.length ?? 0) > covered.length) covered = deniedAt[u] ?? []
    if (m.core.size > 0 && [...m.core].some((u) => deniedAt[u] === undefined)) covered = []
    let isDenied = covered.length % 2 === 1
    if (covered.length === 2 && doubledInDialect(tokens, covered)) isDenied = true
    if (m.negated && covered.length === 0 && !tokens.slice(m.from, m.to).some((t) => t.w === 'nor'))
      isDenied = true
    if (m.denies) isDenied = !isDenied
    const after = saidAfter(tokens, layout, m, taken)
    const before = saidBefore(tokens, layout, m)
    const said = after ?? before
    let polarity: Polarity = 'affirmed'
    let course: Course | null =
      said === 'eased' ? 'better' : said === 'worse' ? 'worse' : said === 'same' ? 'same' : null
    const sentence = layout.sentence[m.from]
    const span = layout.sentences[sentence ?? 0]
    const sentenceWords = tokens.slice(span?.from ?? 0, span?.to ?? 0)
    const question = askedAt[first]?.[0]
    if (isDenied || said === 'none') polarity = 'denied'
    else if (person.someoneElse(m)) polarity = 'someone-else'
    else if (supposedAt[first]) polarity = 'hypothetical'
    else if (question && !presupposes(tokens, question, m)) polarity = 'asked-about'
    else if (said === 'gone') {
      polarity = 'past'
      course = 'gone'
    } else if (
      (at.longAgo.has(sentence ?? -1) && !isNewOrWorse(sentenceWords)) ||
      (at.beforeVisit.has(layout.clause[m.from] ?? -1) &&
        !sentenceWords.some((t) => t.w === 'than' || t.w === 'since'))
    )
      polarity = 'past'
    if (said === 'not-gone') course = 'same'

    const tags = new Set<FindingTag>(m.tags)
    const degree = degreeOf(tokens, layout, m)
    if (degree < 0) tags.add('slight')
    if (degree >= 2) tags.add('very')
    if (m.kind === 'hearing-loss' && degree >= 2) tags.add('marked')
    if (tags.has('marked') || degree >= 2) tags.delete('slight')

    if (m.kind === 'hearing-loss' && degree < 0) tags.delete('marked')
    const clause = layout.clauses[layout.clause[m.from] ?? 0] ?? { from: 0, to: tokens.length }
    const clauseTokens = tokens.slice(clause.from, clause.to)
    const sentenceRange = layout.sentences[sentence ?? 0] ?? clause
    const sentenceTokens = tokens.slice(sentenceRange.from, sentenceRange.to)
    if (
      at.chronic.has(sentence ?? -1) &&
      !(m.kind === 'hearing-loss' && sentenceTokens.some((t) => t.w === 'still')) &&
      !isNewOrWorse(sentenceTokens)
    )
      tags.add('chronic')
    const suddenHere = at.sudden.has(sentence ?? -1)
    const onset = onsetIn(tokens, layout, m.from, at.durations, suddenHere, c.procedureDays)
    // "A touch light-headed this morning" names the time of a slight thing, not a sudden one.
    const onlyTimed =
      m.kind === 'dizziness' && degree < 0 && !sentenceTokens.some((t) => /^(sudden|suddenly)$/.test(t.w))
    if (suddenHere && !onlyTimed) tags.add('sudden')
    if (clauseTokens.some((t) => NEW_WORDS.test(t.w)) || onset.relative === 'after-procedure') tags.add('new')
    if (at.lasting.has(sentence ?? -1)) tags.add('lasting')
    if (
      at.brief.has(sentence ?? -1) &&
      !sentenceTokens.some((t) => t.w === 'each') &&
      !tags.has('cannot-stand') &&
      !sentenceTokens.some((t) =>
        /^(still|every|keeps|again|sometimes|whenever|occasionally|next|bend|turn|rise|rising)$/.test(t.w),
      )
    )
      tags.add('brief')
    if (sentenceTokens.some((t) => EXPECTED_WORDS.test(t.w))) tags.add('expected')
    if (clauseTokens.some((t) => /^(fresh|bright|new)$/.test(t.w))) tags.delete('old-blood')
    if (m.kind === 'swelling' && behindEar(sentenceTokens)) tags.add('behind-ear')
    if (course === 'worse') tags.add('worse')
    if (tags.has('worse') && course === null) course = 'worse'
    if (said === 'gone') tags.add('gone')

    const start = tokens[m.from]?.start ?? 0
    const end = tokens[m.to - 1]?.end ?? start
    const finding: Finding = {
      kind: m.kind,
      flag:
        m.kind === 'airway' &&
        /swel|swol|puff|fat|big|balloon|blow|clos|thick|tight|sausage|slab|huge|massive|lump|doubl|tube/i.test(
          c.text.slice(start, end),
        )
          ? 'swelling'
          : (FLAG_OF[m.kind] ?? 'other'),
      start,
      end,
      words: c.text.slice(start, end),
      side: sides(m),
      severity: m.kind === 'pain' ? painSeverity(tokens, layout, m) : null,
      onset,
      course,
      polarity,
      tags: [...tags],
    }
    findings.push(finding)
    trail.push({ finding, mention: m })
  }

  applyFollowUps(c, trail, taken)
  const numbered = applyNumbers(c, trail)
  if (numbered) findings.push(numbered)
  applyTemperature(c, findings)
  applyLostSleep(c, findings)
  applyMoreThan(c, findings)
  return {
    findings: withoutEchoes(c, trail, findings),
    taken,
    asked,
    typedFor: person.typedFor,
    relatives: person.relatives,
    someoneElseAt: person.someoneElseAt,
  }
}

/** Which sentences (and, for `beforeVisit`, clauses) hold a cue of each kind: looked up once a reply. */
function cuePlaces(c: Case) {
  const { tokens, layout } = c
  const places = (set: PatternSet<true>, unit: number[]) =>
    new Set(
      findAll(tokens, set)
        .filter((m) => !m.fuzzy)
        .map((m) => unit[m.from] ?? -2),
    )
  return {
    chronic: places(cues.chronic, layout.sentence),
    longAgo: places(cues.longAgo, layout.sentence),
    sudden: places(cues.sudden, layout.sentence),
    lasting: places(cues.lasting, layout.sentence),
    brief: places(cues.brief, layout.sentence),
    beforeVisit: places(cues.beforeVisit, layout.clause),
    durations: durationsBySentence(tokens, layout),
  }
}

/** For every token the ranges that cover it. */
function coverage(length: number, ranges: readonly Range[]): (Range[] | undefined)[] {
  const out: (Range[] | undefined)[] = new Array(length)
  for (const r of ranges)
    for (let i = r.from; i < Math.min(length, r.to); i++) {
      const list = out[i]
      if (list) list.push(r)
      else out[i] = [r]
    }
  return out
}

/** "I ain't got no pain" denies, although it says no twice; "not without pain" affirms. */
function doubledInDialect(tokens: readonly Token[], ranges: Range[]): boolean {
  const second = ranges.at(-1)
  const lead = tokens[(second?.from ?? 1) - 1]?.w ?? ''
  const before = [2, 3].map((n) => tokens[(second?.from ?? 0) - n]?.w ?? '')
  return lead === 'no' && before.some((w) => /^(got|have|had|having|feel|felt|get|getting)$/.test(w))
}

const isNewOrWorse = (tokens: readonly Token[]) =>
  tokens.some((t) =>
    /^(worse|worsened|worsening|worst|new|suddenly|sudden|today|yesterday|now|gone)$/.test(t.w),
  )

function behindEar(tokens: readonly Token[]): boolean {
  return tokens.some(
    (t, i) =>
      (t.w === 'behind' || (t.w === 'back' && tokens[i + 1]?.w === 'of')) &&
      tokens.slice(i + 1, i + 5).some((x) => /^(ear|ears|it|lobe)$/.test(x.w)),
  )
}

/** "it has gone", "stopped now", "all cleared": over; "gone through a kitchen roll", "went up" are not. */
function isOver(w: readonly string[], k: number): boolean {
  const before = w[k - 1] ?? ''
  const next = w[k + 1] ?? ''
  if (
    /^(up|to|for|back|out|on|home|and|through|thru|bad|off|into|down|from|deaf|red|yellow|green|my|the|a|it|me|over|hearing|texting)$/.test(
      next,
    ) &&
    !(w[k] === 'went' && next === 'off') &&
    !(/^(cleared|dried)$/.test(w[k] ?? '') && next === 'up')
  )
    return false
  if (w[k] === 'went') return /^(away|off)$/.test(next)
  if (w[k] === 'over' || w[k] === 'passed') return /^(is|was|all|has|have|now)$/.test(before)
  return (
    (k === 0 && w.length <= 4) ||
    /^(is|has|have|it|all|now|just|completely|soon|then|since|that|was|had|fully|mostly|pretty|well)$/.test(
      before,
    ) ||
    /^(now|today|away|completely|altogether|since|by)$/.test(next)
  )
}

/** How many mentions back a clause may speak of. */
const LOOK_BACK = 12

/** Clauses that speak of what was said before them: "it's stopped now", "none today", "fine now", "getting worse". */
function applyFollowUps(c: Case, trail: { finding: Finding; mention: Mention }[], taken: Taken) {
  const { tokens, layout } = c
  let upTo = 0
  for (const clause of layout.clauses) {
    while (upTo < trail.length && (trail[upTo]?.mention.to ?? 0) <= clause.from) upTo++
    if (clause.from === 0) continue
    const before = trail.slice(Math.max(0, upTo - LOOK_BACK), upTo)
    hearingWentAgain(tokens, clause, before.at(-1))
    cameBack(tokens, clause, before)
    const nearest = before.at(-1)
    // "Pain 8. I was dizzy and it has gone": what has gone is the dizziness alone.
    if (
      nearest?.finding.course === 'gone' &&
      layout.sentence[nearest.mention.from] === layout.sentence[clause.from]
    )
      continue
    const earlier = before.filter((x) => x.finding.polarity === 'affirmed')
    const last = earlier.at(-1)
    if (!last) continue
    const words: Token[] = []
    let owned = false
    for (let i = clause.from; i < clause.to; i++) {
      const t = tokens[i]
      if (!t || t.kind === 'mark') continue
      if (taken.owner[i] && !taken.owner[i]?.denies) owned = true
      words.push(t)
    }
    if (owned || words.length === 0) continue
    const w = words.map((t) => t.w)
    while (/^(but|and|then|so|though|although|its|it)$/.test(w[0] ?? '') && w.length > 1) w.shift()
    const negated = w.some((x) => x === 'not' || x === 'never' || x === 'no')
    const limited = w.some((x) =>
      /^(otherwise|else|apart|rest|except|other|visit|appointment|hope|hopefully|will|if|drops|should|trying|want|wish)$/.test(
        x,
      ),
    )
    const ofIt = layout.sentence[clause.from] === layout.sentence[last.mention.from] || words.length <= 7
    if (limited || !ofIt || last.finding.kind === 'hearing-loss') continue
    const marksPast = pastOnly(tokens, layout, last.mention)
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
    } else if (/^(no longer|not any ?more|none after|none since then)( now)?$/.test(w.join(' '))) {
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
      !(w.some((x) => /^(ear|ears|hearing)$/.test(x)) && !EAR_KINDS.has(last.finding.kind))
    ) {
      for (const x of earlier) if (pastOnly(tokens, layout, x.mention)) settle(c, x.finding)
    } else if (!negated && w.some((x) => EASED.has(x))) {
      if (last.finding.course === null) last.finding.course = 'better'
    }
  }
}

/** Blood without a procedure to explain it still counts once it has stopped. */
function settle(c: Case, f: Finding) {
  if (f.kind === 'bleeding' && c.softening) f.course = 'gone'
  else resolve(f)
}

/** "It eased and then it's come back with a vengeance": what had gone is there again, and worse. */
function cameBack(tokens: readonly Token[], clause: Range, before: { finding: Finding; mention: Mention }[]) {
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
  if (!back || w.some((v) => /^(not|never|hearing|if|appointment|clinic)$/.test(v))) return
  const x = before.findLast(
    (b) =>
      b.finding.polarity === 'past' || b.finding.course === 'better' || b.finding.polarity === 'affirmed',
  )
  if (!x || x.mention.denies) return
  x.finding.polarity = 'affirmed'
  x.finding.course = 'worse'
  x.finding.tags = [...x.finding.tags.filter((t) => t !== 'gone'), 'worse']
}

/** "Hearing was lovely, woke up and it is gone": good hearing that has gone is hearing loss. */
function hearingWentAgain(
  tokens: readonly Token[],
  clause: Range,
  x: { finding: Finding; mention: Mention } | undefined,
) {
  if (x?.finding.kind !== 'hearing-loss' || !x.mention.denies || x.finding.polarity !== 'denied') return
  const w = tokens.slice(clause.from, clause.to).map((t) => t.w)
  const lost = w.some(
    (v, i) =>
      /^(gone|went|faded|vanished|disappeared|dropped|died|nothing|phut)$/.test(v) &&
      !/^(home|to|out|for|shopping|well|back)$/.test(w[i + 1] ?? ''),
  )
  if (!lost || w.some((v) => /^(not|wax|pain|all)$/.test(v))) return
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
  const words = tokens.slice(clause?.from ?? 0, clause?.to ?? 0)
  return (
    words.some((t) => PAST_WORDS.test(t.w)) &&
    !words.some((t) => PRESENT_WORDS.test(t.w) && !/^(have|has)$/.test(t.w))
  )
}

/** Gives pain its score; returns a new finding where only the number tells of the pain. */
function applyNumbers(c: Case, trail: { finding: Finding; mention: Mention }[]): Finding | null {
  const { tokens, layout } = c
  const pains = trail.filter((x) => x.finding.kind === 'pain')
  const only = c.openQuestions.length === 1 ? c.openQuestions[0] : undefined
  const asked = only?.kind === 'pain'
  const painful = new Set(pains.map((x) => layout.sentence[x.mention.from]))
  for (const [i, t] of tokens.entries())
    if (/^(scale|score|level)$/.test(t.w)) painful.add(layout.sentence[i])
  const inSentence = (s: number) => painful.has(s)
  const loose = c.openQuestions.length === 0 && !c.softening
  const numbers = painNumbers(tokens, layout, asked, loose, inSentence)
  if (numbers.now === null && numbers.before !== null) {
    // A score of the past only: it stays with what is said now.
    const f = pains.find((x) => x.finding.polarity === 'affirmed')?.finding
    if (f && f.course === 'worse' && !f.severity) f.severity = { value: numbers.before, how: 'said' }
    return null
  }
  if (numbers.now === null || !numbers.span) return null
  const start = tokens[numbers.span.from]?.start ?? 0
  const end = tokens[numbers.span.to - 1]?.end ?? start
  const target =
    pains.find((x) => x.finding.polarity === 'affirmed') ??
    pains.find((x) => x.finding.polarity !== 'someone-else' && x.finding.polarity !== 'hypothetical')
  const course: Course | null =
    numbers.before === null
      ? null
      : numbers.now > numbers.before
        ? 'worse'
        : numbers.now < numbers.before
          ? 'better'
          : 'same'
  if (target) {
    const f = target.finding
    if (numbers.now === 0) {
      if (f.polarity === 'affirmed') f.polarity = numbers.before ? 'past' : 'denied'
      return null
    }
    f.severity = { value: numbers.now, how: 'said' }
    if (f.polarity === 'past' && f.course === 'gone') return null
    if (f.polarity === 'denied' || f.polarity === 'past') f.polarity = 'affirmed'
    if (course) f.course = course
    if (course === 'worse' && !f.tags.includes('worse')) f.tags.push('worse')
    return null
  }
  const polarity: Polarity = numbers.now === 0 ? 'denied' : 'affirmed'
  const finding: Finding = {
    kind: 'pain',
    flag: 'pain',
    start,
    end,
    words: c.text.slice(start, end),
    side: null,
    severity: { value: numbers.now, how: 'said' },
    onset: { sudden: false, days: null, overDays: null, relative: null, words: null },
    course,
    polarity,
    tags: course === 'worse' ? ['worse'] : [],
  }
  return finding
}

const HOT = 37.8
const VERY_HOT = 39

/** "temp 38.6", "38 point 9 on the thermometer", "101 fahrenheit": fever or the denial of it. */
function applyTemperature(c: Case, findings: Finding[]) {
  const { tokens } = c
  for (const [i, t] of tokens.entries()) {
    if (t.kind !== 'number') continue
    let value = t.value
    let to = i + 1
    if (tokens[to]?.w === 'point' && tokens[to + 1]?.kind === 'number') {
      value += (tokens[to + 1]?.value ?? 0) / 10
      to += 2
    }
    if (value >= 98 && value <= 107) value = ((value - 32) * 5) / 9
    if (value < 35 || value > 43 || tokens[to]?.w === 'out') continue
    const named = tokens
      .slice(Math.max(0, i - 5), to + 5)
      .some((x) =>
        /^(temp|temperature|thermometer|fever|degrees|degree|c|celsius|hot|burning|shivering|shivery)$/.test(
          x.w,
        ),
      )
    if (!named && Number.isInteger(t.value)) continue
    const start = t.start
    const end = tokens[to - 1]?.end ?? t.end
    const hot = value >= HOT
    for (const f of findings.filter(
      (x) => x.kind === 'fever' && (x.polarity === 'affirmed' || x.polarity === 'denied'),
    )) {
      if (!hot && /temp|thermo/i.test(f.words)) f.polarity = 'denied'
      if (hot && value >= VERY_HOT && !f.tags.includes('high')) f.tags.push('high')
      if (hot && f.polarity === 'denied') f.polarity = 'affirmed'
    }
    if (findings.some((x) => x.kind === 'fever')) return
    findings.push({
      kind: 'fever',
      flag: 'fever',
      start,
      end,
      words: c.text.slice(start, end),
      side: null,
      severity: null,
      onset: { sudden: false, days: null, overDays: null, relative: null, words: null },
      course: null,
      polarity: hot ? 'affirmed' : 'denied',
      tags: value >= VERY_HOT ? ['high'] : [],
    })
    return
  }
}

/** Pain that robs of sleep is strong, wherever in the reply that is said. */
function applyLostSleep(c: Case, findings: Finding[]) {
  const w = c.tokens.map((t) => t.w)
  const lost = w.some(
    (v, i) =>
      (/^(sleep|sleeping|slept|wink)$/.test(v) &&
        w
          .slice(Math.max(0, i - 4), i)
          .some((x) => /^(not|no|never|hardly|barely|without|little)$/.test(x))) ||
      (v === 'awake' && w.slice(i + 1, i + 4).includes('night')) ||
      (v === 'up' && w[i + 1] === 'all' && w[i + 2] === 'night') ||
      (v === 'woke' && w[i + 1] === 'me'),
  )
  if (!lost) return
  for (const f of findings)
    if (
      f.kind === 'pain' &&
      f.polarity === 'affirmed' &&
      (f.severity === null || (f.severity.how === 'implied' && f.severity.value < 7))
    )
      f.severity = { value: 7, how: 'implied' }
}

/** What only belongs to a graver sign of the same sentence is no finding of its own: sweat with chest pain, tears of pain. */
function withoutEchoes(
  c: Case,
  trail: { finding: Finding; mention: Mention }[],
  findings: Finding[],
): Finding[] {
  const kept = new Set(findings)
  const placed = trail.filter((x) => kept.has(x.finding))
  const sentenceOf = (x: { mention: Mention }) => c.layout.sentence[x.mention.from] ?? -9
  const affirmed = (kind: FindingKind) =>
    placed.filter((x) => x.finding.kind === kind && x.finding.polarity === 'affirmed')
  const drop = new Set<Finding>()
  for (const [kind, graver, words, except] of ECHOES) {
    const signs = new Set(affirmed(graver).map(sentenceOf))
    if (signs.size === 0) continue
    for (const x of affirmed(kind)) {
      const at = sentenceOf(x)
      const there = [at - 1, at, at + 1].some((n) => signs.has(n))
      const named = x.finding.tags.some((t) => t === 'coloured' || t === 'smelly' || t === 'high')
      if (there && !named && words.test(x.finding.words) && !except.test(x.finding.words)) drop.add(x.finding)
    }
  }
  const out = findings.filter((f) => !drop.has(f))
  // "weeping pink", "ooze with streaks of red": blood in a discharge is both.
  for (const f of out.filter((x) => x.kind === 'bleeding' && x.polarity === 'affirmed'))
    if (/weep|ooz|discharg|fluid|gunk/i.test(f.words) && !out.some((x) => x.kind === 'discharge'))
      return [...out, { ...f, kind: 'discharge', flag: 'discharge', tags: [] }]
  return out
}

const NEVER = /(?!)/
const ECHOES: [FindingKind, FindingKind, RegExp, RegExp][] = [
  ['fever', 'chest', /sweat|clammy|hot/i, NEVER],
  ['pain', 'chest', /jaw|arm|ach|pain|burn|stab/i, /\b(ear|lug|drum)/i],
  ['stroke-sign', 'chest', /arm/i, NEVER],
  ['blocked', 'chest', /./, /ear/i],
  ['distress', 'pain', /cry|tear|weep|sob/i, NEVER],
  [
    'discharge',
    'bleeding',
    /pour|run|soak|pillow|com(e|ing)|drip|leak|stain|wet/i,
    /weep|ooz|discharg|fluid|gunk|pus|water|stuff|clear/i,
  ],
  ['discharge', 'facial-weakness', /run|water|drip|dribbl|drool|leak|coming/i, /ear/i],
  ['hearing-loss', 'facial-weakness', /./, /hear|ear\b|ears|deaf|sound|lug/i],
  ['hearing-loss', 'stroke-sign', /./, /hear|ear\b|ears|deaf|sound|lug/i],
  ['injury', 'bleeding', /./, NEVER],
  ['ringing', 'airway', /whistl/i, NEVER],
]

/** "hurts more today than yesterday", "much sorer": growth said by comparison. */
function applyMoreThan(c: Case, findings: Finding[]) {
  const w = c.tokens.map((t) => t.w)
  const more = w.some(
    (v, i) =>
      v === 'more' &&
      (w.slice(i + 1, i + 5).includes('than') || /^(each|every)$/.test(w[i + 1] ?? '')) &&
      !w.slice(Math.max(0, i - 2), i).some((x) => /^(no|not)$/.test(x)) &&
      w.slice(i + 1, i + 8).some((x) => /^(yesterday|before|was|morning|last|did|it|day|hour|time)$/.test(x)),
  )
  const grown = w.some(
    (v, i) =>
      /^(sorer|achier)$/.test(v) && !/^(no|not)$/.test(w[i - 1] ?? '') && !/^(no|not)$/.test(w[i - 2] ?? ''),
  )
  if (!more && !grown) return
  for (const f of findings) {
    if (f.polarity !== 'affirmed' || f.kind !== 'pain') continue
    f.course = 'worse'
    if (!f.tags.includes('worse')) f.tags.push('worse')
  }
}
