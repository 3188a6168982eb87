/** What keeps a reply from being harmless: words left over, questions, contradictions, and what two readers see apart. */
import { plainlyDenied } from './account.ts'
import { has } from './answers.ts'
import type { Assembly } from './assemble.ts'
import { isBareSide } from './bare-answers.ts'
import { breaksOff, saysBoth } from './broken.ts'
import { longAgoAt } from './bygone.ts'
import { firstPast, type Layout, layOut } from './clauses.ts'
import type { Mention } from './concepts.ts'
import { BACKGROUND } from './lexicon/plain.ts'
import { setOf } from './lexicon/set-of.ts'
import { MAX_LENGTH, type Token } from './normalise.ts'
import { takenBack } from './outright.ts'
import { findAll } from './patterns.ts'
import { isLogistic, isSocialQuestion, unmarkedQuestions } from './practical.ts'
import type { HistoryMention } from './screening.ts'
import { secondReading } from './second-reader.ts'
import { saysYesAndNo } from './several.ts'
import { readSoftened } from './softness.ts'
import {
  type Finding,
  type FindingKind,
  GRAVE_KINDS,
  type Question,
  type Reading,
  type Span,
} from './types.ts'
import { unexplained, vagueButFine } from './vague.ts'
import { cues } from './vocabulary.ts'

const ONESELF = setOf('ear ears hearing i my me we all feel feels feeling everything')

export function addDoubts(
  r: Reading,
  tokens: readonly Token[],
  layout: Layout,
  mentions: Mention[],
  history: HistoryMention[],
  masked: boolean[],
  assembly: Assembly,
  aside: ReadonlySet<number>,
  doubt: (rule: string, at: Span | null) => void,
  state: { bare: 'yes' | 'no' | null; only: Question | undefined; answered: boolean; deniedAll: boolean },
) {
  const spanOf = (from: number, to: number): Span => ({
    start: tokens[from]?.start ?? 0,
    end: tokens[to - 1]?.end ?? 0,
  })
  if (r.language !== 'en' || hardlyEnglish(r, tokens)) doubt('u-language', null)
  if (r.text.length > MAX_LENGTH) doubt('u-unaccounted', { start: MAX_LENGTH, end: r.text.length })
  // A bare STOP, however it is spelt, needs no reader.
  const plainStop = r.stop && r.words <= 3 && r.findings.length === 0
  if (!plainStop) for (const span of r.unaccounted) doubt('u-unaccounted', span)
  const words = tokens.filter((t) => t.kind !== 'mark')
  if (words.length === 0) doubt('u-empty', null)
  const plan = isPlan(tokens)
  const besides = (s: Span) => {
    const at = firstPast(tokens, s.start)
    return aside.has(layout.clause[at] ?? -1)
  }
  for (const f of r.findings) {
    if (f.polarity === 'someone-else' && !(besides(f) && !GRAVE_ELSEWHERE.has(f.kind)))
      doubt('u-other-person', f)
    if (f.polarity === 'hypothetical' && !plan) doubt('u-hypothetical', f)
    if (f.polarity === 'asked-about') doubt('u-asked', f)
  }
  if (r.asks && !r.reschedule && !r.stop && !r.start)
    for (const q of assembly.asked)
      if (!isSocialQuestion(tokens, q) && !isLogistic(tokens, q)) doubt('u-asked', spanOf(q.from, q.to))
  for (const q of unmarkedQuestions(tokens, layout))
    if (!assembly.asked.some((a) => a.from < q.to && q.from < a.to)) doubt('u-asked', spanOf(q.from, q.to))
  if (r.callMe && !(r.stop && r.findings.length === 0)) doubt('u-call-me', null)
  if (r.wrongNumber) doubt('u-wrong-number', null)
  contradictions(r, doubt)
  for (const s of takenBack(r.findings, tokens, assembly.outright))
    doubt('u-contradiction', spanOf(s.from, s.to))
  if (saysBoth(tokens) || softAndHard(r, tokens, layout)) doubt('u-contradiction', null)
  if (breaksOff(tokens) && !plainStop) doubt('u-unanswered', null)
  // A bare answer without exactly one question.
  const saysMore =
    has(tokens, cues.noToAll) ||
    findAll(tokens, cues.well).some((m) => m.used.some((u) => !tokens[u]?.emoji && tokens[u]?.w !== 'ok'))
  // "No x 9", "no 5 times"
  const noTimes =
    words.length <= 4 &&
    /^no (x |kiss )?\d+( times)?$/.test(
      words.map((t) => (t.kind === 'number' ? String(t.value) : t.w)).join(' '),
    )
  const onlyOk = words.length === 1 && words[0]?.w === 'ok'
  const isBare =
    (onlyOk || state.bare !== null || r.number !== null || isBareSide(tokens)) &&
    r.doses === null &&
    !saysMore &&
    !noTimes
  const emptyOfMeaning =
    r.findings.length === 0 &&
    r.history.length === 0 &&
    !r.stop &&
    !r.start &&
    !r.reschedule &&
    r.softened === null
  // A thumb up with thanks asks for nothing.
  const thumbsThanks = r.thanks && words.some((t) => t.emoji) && !words.some((t) => /^(yes|no)$/.test(t.w))
  if (isBare && emptyOfMeaning && r.questions.length === 0 && !thumbsThanks) doubt('u-bare', null)
  if (r.questions.length > 0 && saysYesAndNo(tokens)) doubt('u-contradiction', null)
  // "Ok no yes"
  const said = new Set(words.map((t) => t.w))
  if (said.has('yes') && said.has('no') && [...said].every((w) => /^(yes|no|ok|and)$/.test(w)))
    doubt('u-contradiction', null)
  // Asked of two things, "Yes. I mean no. I mean yes to one of them".
  if (r.questions.length > 1 && r.yesNo === 'yes' && r.findings.length === 0 && r.doses === null)
    doubt('u-two-questions', null)
  // "Any pain?" and "ok": who knows.
  if (onlyOk && state.only?.asksProblem && state.only.asked.length > 0) doubt('u-bare', null)
  if (
    !state.deniedAll &&
    (state.bare !== null || r.number !== null || isBareSide(tokens)) &&
    r.questions.length > 1
  )
    doubt('u-two-questions', null)
  if (
    isBare &&
    emptyOfMeaning &&
    r.number !== null &&
    state.bare === null &&
    !has(tokens, cues.noToAll) &&
    state.only &&
    state.only.kind !== 'pain' &&
    state.only.kind !== 'doses' &&
    state.only.kind !== 'move'
  )
    doubt('u-bare', null)
  // What the reply tells the service to conclude changes nothing; what it says besides is read.
  // "Reply OK" is no news of an ear.
  const ofOneself = new Set(tokens.flatMap((t, i) => (ONESELF.has(t.w) ? [layout.clause[i]] : [])))
  const news = new Set(
    findAll(tokens, cues.well).flatMap((m) =>
      m.fuzzy || !ofOneself.has(layout.clause[m.from]) ? [] : [layout.clause[m.from]],
    ),
  )
  for (const m of findAll(tokens, cues.instructs)) {
    news.delete(layout.clause[m.from])
    if (!m.fuzzy && news.size === 0) doubt('u-instructs', spanOf(m.from, m.to))
  }
  const q = state.only
  // "Not a one of them", "no to every one of them" are sure.
  const unsure = findAll(tokens, cues.unsure).find(
    (m) =>
      !m.fuzzy &&
      !(
        tokens[m.from]?.w === 'one' && /^(every|any|a|single|each|no|not)$/.test(tokens[m.from - 1]?.w ?? '')
      ),
  )
  if (
    q &&
    unsure &&
    (q.kind === 'screening' ||
      q.kind === 'hearing' ||
      // That the number is not remembered is an answer to how many; "not sure" alone is none.
      (q.kind === 'doses' &&
        r.doses === null &&
        words.length <= 3 &&
        !tokens.some((t) => OF_MEMORY.has(t.w))))
  )
    doubt('u-unsure', spanOf(unsure.from, unsure.to))
  // A shrug alone answers nothing.
  const shrug = tokens.find((t) => t.w === 'emoji-shrug')
  if (shrug && tokens.every((t) => t.emoji || t.kind === 'mark'))
    doubt('u-unsure', { start: shrug.start, end: shrug.end })
  for (const span of unexplained(tokens, layout, mentions, history, masked, r))
    if (!besides(span)) doubt('u-vague', span)
  // Something is amiss, but not what.
  if (
    !r.findings.some(
      (f) => f.polarity === 'affirmed' && f.course !== 'better' && (f.severity?.value ?? 10) > 3,
    )
  ) {
    const owned = new Set(mentions.flatMap((x) => [...x.used]))
    const longAgo = new Set(longAgoAt(tokens).map((i) => layout.clause[i]))
    for (const m of findAll(tokens, cues.vague)) {
      if (
        m.fuzzy ||
        m.used.every((u) => masked[u]) ||
        m.used.some((u) => owned.has(u)) ||
        longAgo.has(layout.clause[m.from])
      )
        continue
      if (vagueButFine(tokens, layout, m.from, m.to, r) || aside.has(layout.clause[m.from] ?? -1)) continue
      // A thumb down answers a question about the drops.
      if (tokens[m.from]?.w === 'emoji-no' && /^(doses|softened)$/.test(q?.kind ?? '')) continue
      doubt('u-vague', spanOf(m.from, m.to))
    }
  }
}

const OF_MEMORY = setOf('remember recall mind count track few several times')

/** "If it bleeds I'll ring you", "hope it does not", "would have rung": a plan, not a question. */
function isPlan(tokens: readonly Token[]): boolean {
  if (tokens.some((t) => t.w === '?')) return false
  return tokens.some(
    (t, i) =>
      (/^(will|would|shall)$/.test(t.w) && tokens[i - 1]?.w === 'i') ||
      /^(hope|hoping|lol|told|said|leaflet)$/.test(t.w) ||
      (t.w === 'let' && tokens[i + 2]?.w === 'know') ||
      // "I was half expecting agony": a fear of then.
      (/^(expecting|dreading|worried|scared|afraid)$/.test(t.w) &&
        /^(was|were|half|been)$/.test(tokens[i - 1]?.w ?? '')),
  )
}

/** Three words or more of which hardly one stands as it is written, and no rule found anything in them. */
function hardlyEnglish(r: Reading, tokens: readonly Token[]): boolean {
  if (r.findings.length > 0 || r.stop || r.doses !== null || r.history.length > 0) return false
  const words = tokens.filter((t) => t.kind === 'word' && !t.emoji)
  const intact = words.filter((t) => t.known !== 'mended' && t.known !== 'unknown').length
  return words.length >= 3 && intact <= words.length * 0.25
}

/** "Wax feels softer. Wax feels hard": told of no side and no time. */
function softAndHard(r: Reading, tokens: readonly Token[], layout: Layout): boolean {
  if (r.questions.length !== 1 || r.questions[0]?.kind !== 'softened') return false
  if (
    tokens.some((t) =>
      /^(left|right|one|other|both|side|but|yesterday|before|first|was|now|bit|outside|inside|deep|part)$/.test(
        t.w,
      ),
    )
  )
    return false
  const said = layout.sentences.map((s) => {
    const words = tokens.slice(s.from, s.to)
    return readSoftened(words, layOut(words), true)
  })
  return said.includes(true) && said.includes(false)
}

/** In anybody of the house, a human looks. */
const GRAVE_ELSEWHERE = new Set<FindingKind>([...GRAVE_KINDS, 'hearing-loss', 'discharge'])

function contradictions(r: Reading, doubt: (rule: string, at: Span | null) => void) {
  const denied = new Map(
    r.findings.filter((f) => f.polarity === 'denied').map((f) => [`${f.kind} ${f.side}`, f]),
  )
  const seen = new Set<string>()
  for (const f of r.findings) {
    const key = `${f.kind} ${f.side}`
    const against = denied.get(key)
    if (f.polarity !== 'affirmed' || !against || seen.has(key)) continue
    seen.add(key)
    doubt('u-contradiction', against)
  }
}

/** Two readers must agree before anything is called harmless: what the second saw, the first must explain. */
export function crossCheck(
  r: Reading,
  tokens: readonly Token[],
  masked: boolean[],
  mentions: Mention[],
  history: HistoryMention[],
  layout: Layout,
  aside: ReadonlySet<number>,
  doubt: (rule: string, at: Span | null) => void,
) {
  const claimed = [...masked]
  for (const h of history) for (const u of h.used) claimed[u] = true
  const owner = new Map<number, Mention>()
  for (const m of mentions) for (const u of m.used) if (!owner.has(u)) owner.set(u, m)
  const findingAt = new Map<number, Finding[]>()
  for (const f of r.findings) findingAt.set(f.start, [...(findingAt.get(f.start) ?? []), f])
  const waxAsked = r.questions.length === 1 && r.questions[0]?.kind === 'softened'
  let i = 0
  for (const alarm of secondReading(r.text, MAX_LENGTH)) {
    while (i < tokens.length && (tokens[i]?.end ?? 0) <= alarm.start) i++
    const covers = (s: Span) => s.start < alarm.end && s.end > alarm.start
    const here: number[] = []
    for (let k = i; k < tokens.length && covers(tokens[k] as Token); k++) here.push(k)
    if (here.some((k) => claimed[k])) continue
    const mention = here.map((k) => owner.get(k)).find((m) => m !== undefined)
    if (mention?.denies && HARMLESS_STEMS.test(tokens[here[0] ?? -1]?.w ?? '')) continue
    if (mention) {
      const finding = findingAt.get(tokens[mention.from]?.start ?? -1)?.find((f) => f.kind === mention.kind)
      if (finding && finding.polarity === 'denied' && !alarm.nearNegator) doubt('u-second-reader', alarm)
      continue
    }
    if (r.findings.length < 40 && r.findings.some(covers)) continue
    const w = tokens[here[0] ?? -1]?.w ?? ''
    if (HARMLESS_STEMS.test(w) || (r.context === 'screening' && BACKGROUND.has(w))) continue
    if (here.some((k) => plainlyDenied(tokens, k) || aside.has(layout.clause[k] ?? -1))) continue
    if (waxAsked && /^(lump|lumps|lumpy|gunk|gunky|ooze|oozing|stiff|swollen)$/.test(w)) continue
    doubt('u-second-reader', alarm)
  }
}

/** Words that begin like a word of alarm and are none. */
const HARMLESS_STEMS =
  /^(number|numbers|diet|dies|paint|painting|painted|push|pushed|diesel|deadline|chester|chestnut|chestnuts|hearing|achieve|busy|buses|mattress|rashers|hearth|painless|painlessly|painkiller|painkillers|died)$/
