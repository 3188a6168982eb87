/** From mentions to findings: polarity, course, onset, severity, side and tags, each from its own rule. */
import { applyLostSleep, applyMoreThan, applyNumbers, applyTemperature, withoutEchoes } from './adjust.ts'
import { hasCome, presupposes, questions as questionRanges, suppositions } from './asking.ts'
import type { Layout } from './clauses.ts'
import type { Mention } from './concepts.ts'
import { cuePlaces, overWithTheVisit } from './cue-places.ts'
import { applyDegreesOfDizziness } from './dizziness.ts'
import { applyFollowUps } from './follow-ups.ts'
import type { Token } from './normalise.ts'
import { isOwn, isTimeOf, outrightIn } from './outright.ts'
import { deniedSince, passedAtTheVisit, passedSigns } from './passed.ts'
import { whose } from './person.ts'
import { saidAfter, saidBefore } from './said-about.ts'
import { denials, type Range, type Taken, takenBy } from './scope.ts'
import { degreeOf, painSeverity } from './severity.ts'
import { sidesOf } from './sides.ts'
import { surroundings } from './surroundings.ts'
import { onsetIn } from './time.ts'
import {
  type Course,
  type Finding,
  type FindingKind,
  type FindingTag,
  type Flag,
  GRAVE_KINDS,
  type Onset,
  type Polarity,
  type Question,
} from './types.ts'

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

export type Assembly = {
  findings: Finding[]
  taken: Taken
  asked: Range[]
  /** Statements of the patient's own that tell of a sign. */
  outright: Range[]
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
  /** The visit has been: "before the appointment" is the past. */
  visited: boolean
}

/** A finding, the words that gave it, and whether they tell it outright. */
export type Step = { finding: Finding; mention: Mention; outright: boolean }

/** In days: what began longer ago is no new loss of hearing (NICE NG98 1.1). */
const OLD = 90

export function assemble(c: Case, mentions: Mention[]): Assembly {
  const { tokens, layout } = c
  const taken = takenBy(mentions)
  const denied = denials(tokens, taken)
  const supposed = suppositions(tokens, layout)
  const asked = questionRanges(tokens, layout)
  const person = whose(tokens, layout)
  const at = cuePlaces(c, mentions)
  const told = surroundings(tokens, layout)
  const onsets = new Map<number, Onset>()
  const sides = sidesOf(tokens, layout)
  const deniedAt = coverage(tokens.length, denied)
  const supposedAt = coverage(tokens.length, supposed)
  const askedAt = coverage(tokens.length, asked)
  const outright = outrightIn(tokens, layout)
  const outrightAt = coverage(tokens.length, outright)
  const findings: Finding[] = []
  const trail: Step[] = []

  const notOfHearing = new Set(
    mentions.flatMap((m) => (m.kind === 'hearing-loss' ? [] : [layout.sentence[m.from] ?? -2])),
  )
  for (const m of mentions) {
    const first = Math.min(...m.used)
    // What is told outright stands, whatever was denied, supposed, asked or told of others before it.
    const owners = [...m.used].flatMap((u) => outrightAt[u]?.[0] ?? [])
    const statement = owners.length * 2 > m.used.size ? owners[0] : undefined
    const outrightFrom = statement?.from
    const reaches = (r: Range) => outrightFrom === undefined || r.from >= outrightFrom
    // The words that carry the symptom may stand after the negator although the mention begins before it.
    let covered: Range[] = []
    const carrying = m.core.size > 0 ? m.core : m.used
    for (const u of carrying) {
      const here = deniedAt[u]?.filter(reaches) ?? []
      if (here.length > covered.length) covered = here
    }
    if (m.core.size > 0 && [...m.core].some((u) => deniedAt[u] === undefined)) covered = []
    // "No pain now, I've got chest pain": a denial on one side of a comma does not reach the other.
    const crosses = tokens.slice(m.from + 1, m.to).some((t) => t.w === 'i' || t.w === 'there')
    const overComma = tokens.slice(m.from + 1, m.to).some((t) => t.w === ',')
    if ((crosses || overComma) && !deniedAt[first]) covered = []
    if (crosses && !deniedAt[Math.max(...m.used)]) covered = []
    let isDenied = covered.length % 2 === 1
    if (covered.length === 2 && doubledInDialect(tokens, covered)) isDenied = true
    if (m.negated && covered.length === 0 && !tokens.slice(m.from, m.to).some((t) => t.w === 'nor'))
      isDenied = true
    // "Dull ache, no worse no better": only that it grew is denied.
    const noWorse = isDenied && m.tags.has('worse') && deniedAt[first] === undefined
    if (noWorse) {
      isDenied = false
      m.tags.delete('worse')
    }
    if (m.denies) isDenied = !isDenied
    const after = saidAfter(tokens, m, taken)
    const before = saidBefore(tokens, m, taken)
    const answered = after === 'none' && outrightFrom !== undefined ? null : after
    const said = answered ?? before
    let polarity: Polarity = 'affirmed'
    let course: Course | null =
      said === 'eased' ? 'better' : said === 'worse' ? 'worse' : said === 'same' ? 'same' : null
    const sentence = layout.sentence[m.from]
    const around = told.sentence(sentence ?? 0)
    const clause = layout.clause[m.from] ?? -1
    // "My speech went, had a stroke in 2009": a grave sign is past only where its own clause says so.
    const isLongAgo =
      at.longAgoClause.has(clause) ||
      (!GRAVE_KINDS.has(m.kind) && outrightFrom === undefined && at.longAgo.has(sentence ?? -1))
    // "Ringing same as usual, lost my hearing"
    const amongOthers = m.kind === 'hearing-loss' && notOfHearing.has(sentence ?? -1)
    const isChronic =
      amongOthers || outrightFrom !== undefined
        ? at.chronicClause.has(clause)
        : at.chronic.has(sentence ?? -1)
    const within = told.clause(layout.clause[m.from] ?? 0)
    const question = askedAt[first]?.find((r) => outrightFrom === undefined || r.from > outrightFrom)
    // "My good hearing has vanished"
    const lostAgain = m.kind === 'hearing-loss' && m.denies && after === 'gone'
    if (lostAgain) {
      polarity = 'affirmed'
      m.tags.add('marked')
    } else if (isDenied || said === 'none') polarity = 'denied'
    else if (!(statement && isOwn(tokens, statement)) && person.someoneElse(m)) polarity = 'someone-else'
    else if (supposedAt[first]?.some((r) => reaches(r) && !hasCome(tokens, r, m)) && m.kind !== 'self-harm')
      polarity = 'hypothetical'
    // "What is the point in going on?" asks nothing of the clinic.
    else if (question && m.kind !== 'self-harm' && !presupposes(tokens, question, m)) polarity = 'asked-about'
    else if (said === 'gone' && m.kind !== 'self-harm') {
      polarity = 'past'
      course = 'gone'
    } else if (
      (isLongAgo && !around.newOrWorse && !around.never) ||
      // "Just had a fit in the chair" alarms wherever the chair stands.
      (c.visited && !around.notOver && overWithTheVisit(m, clause, at, outrightFrom !== undefined))
    )
      polarity = 'past'
    if (said === 'not-gone' || noWorse) course = 'same'

    const tags = new Set<FindingTag>(m.tags)
    const degree = Math.max(
      degreeOf(tokens, layout, m),
      outrightFrom === undefined ? Number.NEGATIVE_INFINITY : 0,
    )
    if (degree < 0) tags.add('slight')
    if (degree >= 2) tags.add('very')
    if (m.kind === 'hearing-loss' && degree >= 2) tags.add('marked')
    if (tags.has('marked') || degree >= 2) tags.delete('slight')

    // "Watery stuff weeping, no smell"
    if (tags.has('smelly') && smellDenied(tokens, m)) tags.delete('smelly')
    if (m.kind === 'hearing-loss' && degree < 0) tags.delete('marked')
    // "Not a lot of blood"
    const notMuch = tokens
      .slice(m.from, m.to)
      .some((t, k, all) => t.w === 'not' && /^(a|much|loads|lots|many)$/.test(all[k + 1]?.w ?? ''))
    if (notMuch || (tokens[m.from - 1]?.w === 'a' && tokens[m.from - 2]?.w === 'not')) tags.delete('heavy')
    if (isChronic && !(m.kind === 'hearing-loss' && around.still) && !around.newOrWorse) tags.add('chronic')
    const suddenHere = at.sudden.has(sentence ?? -1) || told.nextIsSudden(sentence ?? 0)
    // "Feel ten years younger but I lost my hearing" is not of ten years ago.
    const own = at.durations
      .get(sentence ?? -1)
      ?.filter((d) => d.days <= OLD || !statement || isTimeOf(tokens, statement, d.from))
    const known =
      (statement ? undefined : onsets.get(sentence ?? -1)) ??
      onsetIn(tokens, layout, m.from, own ?? [], suddenHere, c.procedureDays)
    if (!statement) onsets.set(sentence ?? -1, known)
    const onset = { ...known }
    // "A touch light-headed this morning" names the time of a slight thing, not a sudden one.
    const onlyTimed = m.kind === 'dizziness' && degree < 0 && !around.suddenly
    if (suddenHere && !onlyTimed) tags.add('sudden')
    if (within.fresh || onset.relative === 'after-procedure') tags.add('new')
    // "Since I had it done, always on": what the visit began was not always there.
    if (onset.relative === 'after-procedure') tags.delete('chronic')
    if (m.kind === 'hearing-loss' && at.sinceBirth.has(sentence ?? -1)) {
      tags.add('chronic')
      tags.delete('new')
    }
    if (at.lasting.has(sentence ?? -1)) tags.add('lasting')
    if (at.brief.has(sentence ?? -1) && !around.comesAgain && !tags.has('cannot-stand')) tags.add('brief')
    if (around.expected) tags.add('expected')
    if (within.bright) tags.delete('old-blood')
    if (m.kind === 'swelling' && around.behindEar) tags.add('behind-ear')
    if (course === 'worse') tags.add('worse')
    if (tags.has('worse') && course === null) course = 'worse'
    if (said === 'gone') tags.add('gone')

    const start = tokens[m.from]?.start ?? 0
    const end = tokens[m.to - 1]?.end ?? start
    const finding: Finding = {
      kind: m.kind,
      flag:
        m.kind === 'airway' &&
        /swel|swol|puff(?!ing like)|fat|big|balloon|blow|blew|thick|sausage|slab|twice|size|huge|massive|lump|doubl|tube/i.test(
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
    trail.push({ finding, mention: m, outright: outrightFrom !== undefined })
  }

  applyFollowUps(c, trail, taken)
  passedSigns(c, trail)
  passedAtTheVisit(c, trail)
  deniedSince(c, trail)
  applyDegreesOfDizziness(c, findings)
  const numbered = applyNumbers(c, trail)
  if (numbered) findings.push(numbered)
  applyTemperature(c, findings)
  applyLostSleep(c, findings)
  applyMoreThan(c, findings)
  return {
    findings: withoutEchoes(c, trail, findings),
    taken,
    asked,
    outright,
    typedFor: person.typedFor,
    relatives: person.relatives,
    someoneElseAt: person.someoneElseAt,
  }
}

const SMELL = /^(smell|smells|smelly|smelling|whiff|pong|odour|odor|stink|stinks)$/
const smellDenied = (tokens: readonly Token[], m: Mention): boolean => {
  const at = Array.from({ length: m.to - m.from }, (_, k) => m.from + k).filter((i) =>
    SMELL.test(tokens[i]?.w ?? ''),
  )
  return at.length > 0 && at.every((i) => /^(no|not|nor|without|any)$/.test(tokens[i - 1]?.w ?? ''))
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
