/** From mentions to findings: polarity, course, onset, severity, side and tags, each from its own rule. */
import { has } from './answers.ts'
import type { Layout } from './clauses.ts'
import type { Mention } from './concepts.ts'
import { EASED, GONE, WORSE } from './lexicon/scope.ts'
import type { Token } from './normalise.ts'
import { findAll } from './patterns.ts'
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
import { sideOf } from './sides.ts'
import { onsetIn } from './time.ts'
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
  /^(was|were|had|felt|did|bled|ached|started|came|happened|got|hurt|leaked|oozed|throbbed|yesterday|earlier|first|initially)$/
const PRESENT_WORDS = /^(is|am|are|still|now|has|today|keeps|getting|have)$/
const NEW_WORDS =
  /^(new|now|started|starting|suddenly|developed|begun|began|noticed|just|today|overnight|sudden|appeared|woke|since)$/

export type Assembly = {
  findings: Finding[]
  taken: Taken
  asked: Range[]
  typedFor: boolean
  relatives: boolean
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
  const chronic = findAll(tokens, cues.chronic)
  const longAgo = findAll(tokens, cues.longAgo)
  const beforeVisit = findAll(tokens, cues.beforeVisit)
  const findings: Finding[] = []
  const trail: { finding: Finding; mention: Mention }[] = []

  for (const m of mentions) {
    const first = Math.min(...m.used)
    const within = (r: Range) => first >= r.from && first < r.to
    let isDenied = denied.filter(within).length % 2 === 1
    if (denied.filter(within).length === 2 && doubledInDialect(tokens, denied.filter(within))) isDenied = true
    if (m.negated) isDenied = !isDenied
    if (m.denies) isDenied = !isDenied
    const after = saidAfter(tokens, layout, m, taken)
    const before = saidBefore(tokens, layout, m)
    const said = after ?? before
    let polarity: Polarity = 'affirmed'
    let course: Course | null =
      said === 'eased' ? 'better' : said === 'worse' ? 'worse' : said === 'same' ? 'same' : null
    const sentence = layout.sentence[m.from]
    const question = asked.find(within)
    if (isDenied || said === 'none') polarity = 'denied'
    else if (person.someoneElse(m)) polarity = 'someone-else'
    else if (supposed.some(within)) polarity = 'hypothetical'
    else if (question && !presupposes(tokens, question, m)) polarity = 'asked-about'
    else if (said === 'gone') {
      polarity = 'past'
      course = 'gone'
    } else if (sameSentence(layout, sentence, longAgo) || sameClause(layout, m, beforeVisit))
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
    if (sameSentence(layout, sentence, chronic) && !isNewOrWorse(sentenceTokens)) tags.add('chronic')
    const suddenHere = has(clauseTokens, cues.sudden) || has(sentenceTokens, cues.sudden)
    const onset = onsetIn(tokens, layout, m.from, suddenHere, c.procedureDays)
    if (suddenHere) tags.add('sudden')
    if (clauseTokens.some((t) => NEW_WORDS.test(t.w)) || onset.relative === 'after-procedure') tags.add('new')
    if (has(sentenceTokens, cues.lasting)) tags.add('lasting')
    if (
      has(sentenceTokens, cues.brief) &&
      !tags.has('cannot-stand') &&
      !sentenceTokens.some((t) => /^(still|every|keeps|again)$/.test(t.w))
    )
      tags.add('brief')
    if (clauseTokens.some((t) => t.w === 'expected' || t.w === 'expect')) tags.add('expected')
    if (m.kind === 'swelling' && behindEar(sentenceTokens)) tags.add('behind-ear')
    if (course === 'worse') tags.add('worse')
    if (tags.has('worse') && course === null) course = 'worse'
    if (said === 'gone') tags.add('gone')

    const start = tokens[m.from]?.start ?? 0
    const end = tokens[m.to - 1]?.end ?? start
    const finding: Finding = {
      kind: m.kind,
      flag:
        m.kind === 'airway' && /swel|swol|puff|fat|big|balloon|blown/i.test(c.text.slice(start, end))
          ? 'swelling'
          : (FLAG_OF[m.kind] ?? 'other'),
      start,
      end,
      words: c.text.slice(start, end),
      side: sideOf(tokens, layout, m),
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
  return { findings, taken, asked, typedFor: person.typedFor, relatives: person.relatives }
}

/** "I ain't got no pain" denies, although it says no twice; "not without pain" affirms. */
function doubledInDialect(tokens: readonly Token[], ranges: Range[]): boolean {
  const second = ranges.at(-1)
  const lead = tokens[(second?.from ?? 1) - 1]?.w ?? ''
  const before = [2, 3].map((n) => tokens[(second?.from ?? 0) - n]?.w ?? '')
  return lead === 'no' && before.some((w) => /^(got|have|had|having|feel|felt|get|getting)$/.test(w))
}

function sameSentence(
  layout: Layout,
  sentence: number | undefined,
  list: { from: number; fuzzy: boolean }[],
): boolean {
  return list.some((x) => !x.fuzzy && layout.sentence[x.from] === sentence)
}
function sameClause(layout: Layout, m: Mention, list: { from: number; fuzzy: boolean }[]): boolean {
  return list.some((x) => !x.fuzzy && layout.clause[x.from] === layout.clause[m.from])
}
const isNewOrWorse = (tokens: readonly Token[]) =>
  tokens.some((t) => /^(worse|worsened|worsening|new|suddenly|sudden|today|yesterday|now|gone)$/.test(t.w))

function behindEar(tokens: readonly Token[]): boolean {
  return tokens.some(
    (t, i) =>
      (t.w === 'behind' || (t.w === 'back' && tokens[i + 1]?.w === 'of')) &&
      tokens.slice(i + 1, i + 5).some((x) => /^(ear|ears|it|lobe)$/.test(x.w)),
  )
}

/** Clauses that speak of what was said before them: "it's stopped now", "none today", "fine now", "getting worse". */
function applyFollowUps(c: Case, trail: { finding: Finding; mention: Mention }[], taken: Taken) {
  const { tokens, layout } = c
  for (const clause of layout.clauses) {
    if (clause.from === 0) continue
    const earlier = trail.filter((x) => x.mention.to <= clause.from && x.finding.polarity === 'affirmed')
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
    if (limited || !ofIt) continue
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
      w.some(
        (x, i) =>
          GONE.has(x) &&
          x !== 'done' &&
          x !== 'over' &&
          x !== 'stop' &&
          x !== 'dried' &&
          !/^(up|to|for|back|out|on|home|and)$/.test(w[i + 1] ?? '') &&
          !(x === 'went' && !/^(away|off)$/.test(w[i + 1] ?? '')) &&
          !(x === 'passed' && /^(by|on)$/.test(w[i + 1] ?? '')),
      )
    ) {
      resolve(last.finding)
    } else if (
      /^(none|nothing|not)$/.test(w[0] ?? '') &&
      w.slice(1).some((x) => /^(today|now|since|anymore)$/.test(x)) &&
      (w[0] !== 'not' || w.length <= 3)
    ) {
      resolve(last.finding)
    } else if (marksPast && !negated && has(words, cues.well)) {
      for (const x of earlier) if (pastOnly(tokens, layout, x.mention)) resolve(x.finding)
    } else if (!negated && w.some((x) => EASED.has(x))) {
      if (last.finding.course === null) last.finding.course = 'better'
    }
  }
}

function resolve(f: Finding) {
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
  const inSentence = (s: number) =>
    pains.some((x) => layout.sentence[x.mention.from] === s) ||
    tokens.some((t, i) => layout.sentence[i] === s && /^(scale|score|level)$/.test(t.w))
  const numbers = painNumbers(tokens, layout, asked, inSentence)
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
