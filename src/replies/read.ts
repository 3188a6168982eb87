/** The reader: one reply to one reading. Pure, deterministic, in time linear in the length of the text. */
import { account } from './account.ts'
import { answer } from './answered.ts'
import { has, numberAt } from './answers.ts'
import { assemble } from './assemble.ts'
import { bareAnswer, bareNumber, leadingAnswer, shortDenial } from './bare-answers.ts'
import { breaksOff, saysBoth } from './broken.ts'
import { firstPast, type Layout, layOut } from './clauses.ts'
import { findConcepts, type Mention } from './concepts.ts'
import { saysWrongNumber, wantsCall } from './contacts.ts'
import { contextOf, procedureOf } from './context.ts'
import { readDoses } from './doses.ts'
import { addDoubts, crossCheck } from './doubts.ts'
import { clausesElsewhere } from './elsewhere.ts'
import { explainedThroughout } from './explained.ts'
import { forbiddenDrops } from './forbidden-drops.ts'
import { countsAsHistory, isHistoryOnly } from './history-own.ts'
import { languageOf } from './language.ts'
import { TIMES_WORDS } from './lexicon/answers.ts'
import { setOf } from './lexicon/set-of.ts'
import { MAX_LENGTH, type Token, tokenise } from './normalise.ts'
import { joined, numberedAnswers } from './numbered.ts'
import { searchAll } from './patterns.ts'
import { questionsOf } from './questions.ts'
import { dischargeToday, findHistory, historyItems } from './screening.ts'
import { deniesAll, disowns, noneOf, onlyAcknowledges } from './several.ts'
import { sideAnswer } from './sides.ts'
import { readSoftened } from './softness.ts'
import type { Doubt, Finding, Question, ReadInput, Reading, Span } from './types.ts'
import { understood } from './understood.ts'
import { cues, spell } from './vocabulary.ts'
import { REASONS_TO_MOVE, wishesMove, wishesStart, wishesStop } from './wishes.ts'

/** The same doubt is named this often in one reply; more tell a reader nothing. */
const MAX_DOUBTS = 20

/** Reads one reply. Never throws; any shape of input is read as far as it can be. */
export function readReply(input: ReadInput): Reading {
  const parts = numberedAnswers(input)
  return parts ? joined(input, parts, readOne) : readOne(input)
}

function readOne(input: ReadInput): Reading {
  const text =
    typeof input.text === 'string'
      ? input.text
      : input.text === null || input.text === undefined
        ? ''
        : String(input.text)
  const context = contextOf(input.context, input.procedure)
  const questions = questionsOf(input.question, context)
  const procedureDays = procedureOf(input.procedure)?.days ?? null

  const tokens = spell(tokenise(text), text)
  searchAll(tokens)
  const layout = layOut(tokens)
  const waxAsked = questions.length === 1 && questions[0]?.kind === 'softened'
  const dosesAsked = questions.length === 1 && questions[0]?.kind === 'doses'
  const concepts = findConcepts(tokens)
  const language = languageOf(text, tokens)
  // In another language only words that stand there as they are can be trusted to be English.
  const trusted = (m: { used: ReadonlySet<number> }) =>
    language === 'en' || ![...m.used].some((u) => tokens[u]?.known === 'mended')
  const history = findHistory(tokens, layout, concepts.mentions).filter(trusted)
  const mentions = concepts.mentions
    .filter(trusted)
    .filter((m) => !(waxAsked && tellsOfWax(m, tokens)))
    .filter(
      (m) =>
        !((dosesAsked || (context === 'softening' && m.kind === 'hearing-loss')) && failsAtDrops(m, tokens)),
    )
    .filter((m) => !isHistoryOnly(m, history, tokens, context === 'screening'))
  const assembly = assemble(
    {
      text,
      tokens,
      layout,
      procedureDays,
      openQuestions: questions,
      softening: context === 'softening',
      visited: context === 'aftercare',
    },
    mentions,
  )
  const only = questions.length === 1 ? questions[0] : undefined
  const reschedule = wishesMove(tokens, layout, only?.kind === 'move')
  const findings = assembly.findings.filter(
    (f) => !(reschedule && f.polarity === 'someone-else' && REASONS_TO_MOVE.test(f.kind)),
  )

  const stop = wishesStop(tokens, layout)
  const bare = bareAnswer(tokens) ?? (only && deniable(only) && shortDenial(tokens) ? 'no' : null)
  const lead = bare ?? leadingAnswer(tokens)
  const asksDoses = questions.some((q) => q.kind === 'doses')
  const ill = mentions.filter((m) => !m.denies && m.kind !== 'contraindicated-drops')
  const doses = readDoses(
    tokens,
    text,
    layout,
    asksDoses && (only !== undefined || tokens.length > 3),
    questions.length > 0,
    context,
    ill,
  )
  const doubts: Doubt[] = []
  const told = new Map<string, number>()
  const doubt = (rule: string, at: Span | null) => {
    const times = told.get(rule) ?? 0
    told.set(rule, times + 1)
    if (times >= MAX_DOUBTS) return
    const span = at ?? { start: 0, end: Math.min(text.length, MAX_LENGTH) }
    doubts.push({ rule, start: span.start, end: span.end, words: text.slice(span.start, span.end) })
  }

  const answered = answer(text, tokens, only, bare, lead, findings, doses.count)
  findings.push(...answered.findings)
  findings.sort((a, b) => a.start - b.start || a.end - b.end)
  if (answered.doubt) doubt(answered.doubt, null)
  const deniedAll = findings.length === 0 && deniesAll(questions, tokens)
  if (deniedAll) findings.push(...noneOf(text, tokens, questions))
  if (onlyAcknowledges(questions, tokens)) doubt('u-two-questions', null)
  if (doses.contradicts) doubt('u-contradiction', null)

  const own = history.filter((h) =>
    countsAsHistory(h, context, tokens, layout, assembly.asked, assembly.someoneElseAt),
  )
  if (
    own.length < history.filter((h) => context === 'screening' && h.polarity !== 'denied').length &&
    context === 'screening'
  ) {
    if (history.some((h) => assembly.someoneElseAt(h)) && !disowns(tokens)) doubt('u-other-person', null)
  }
  const historyFound = historyItems(text, tokens, layout, own, questions, lead)
  if (context === 'screening') historyFound.push(...dischargeToday(findings, historyFound))
  // "I was just putting them in when the": who knows whether they went in.
  const counts = tokens.some((t, i) => numberAt(tokens, i) !== null || TIMES_WORDS.has(t.w))
  const cutOff = !counts && breaksOff(tokens) && /^(the|a|my|then|and|when|i)$/.test(tokens.at(-1)?.w ?? '')
  const dosesTold = doses.contradicts || cutOff ? null : (answered.doses ?? doses.count)
  const forbidden = forbiddenDrops(text, tokens, own, context, input.history, dosesTold)
  if (forbidden) findings.push(forbidden)
  const reading: Reading = {
    text,
    context,
    questions,
    findings,
    doses: dosesTold,
    softened: answered.softened ?? softness(context, tokens, layout, questions, findings),
    history: historyFound,
    stop,
    start: !stop && wishesStart(tokens),
    reschedule,
    callMe: wantsCall(tokens),
    wrongNumber: saysWrongNumber(tokens),
    thanks: has(tokens, cues.thanks),
    asks: assembly.asked.length > 0,
    yesNo: lead,
    number: bareNumber(tokens),
    sideAnswer: sideAnswer(tokens),
    language,
    doubts,
    explained: false,
    unaccounted: [],
    words: tokens.filter((t) => t.kind === 'word' && !t.emoji).length,
    accounted: 0,
  }
  worseUnnamed(reading, tokens, mentions, only)
  if (!understood(reading, tokens, layout, doses.spoke)) doubt('u-unanswered', null)
  const aside = clausesElsewhere(tokens, layout)
  account(reading, tokens, concepts.masked, mentions, history, layout, aside, doses.at)
  addDoubts(reading, tokens, layout, mentions, history, concepts.masked, assembly, aside, doubt, {
    bare,
    only,
    answered: answered.used,
    deniedAll,
  })
  crossCheck(reading, tokens, concepts.masked, mentions, history, layout, aside, doubt)
  reading.explained = explainedThroughout(reading, tokens, layout, mentions, concepts.masked, history)
  return reading
}

/** A question to which every shape of "no" is harmless. */
const deniable = (q: Question) =>
  q.kind === 'softened' || q.kind === 'doses' || (q.asksProblem && q.kind !== 'side' && q.kind !== 'move')

/** Asked whether the wax is soft, "gooey" and "same lump" tell of the wax. */
const tellsOfWax = (m: Mention, tokens: readonly Token[]) =>
  [...m.used].every((u) =>
    /^(gooey|goo|gunky|gunk|runny|sludge|slime|gloopy|lump|lumps|crusty|crust|slimy|brown|squelchy|crackles|crackling|squelching|popping|sticky|mucky)$/.test(
      tokens[u]?.w ?? '',
    ),
  )

/** Asked about the drops, "couldn't manage it myself" and "didn't need the right" tell of them. */
const failsAtDrops = (m: Mention, tokens: readonly Token[]) =>
  (m.kind === 'unwell' && [...m.used].every((u) => AT_DROPS.has(tokens[u]?.w ?? ''))) ||
  (m.kind === 'unwell' && m.from <= 5 && [...m.used].every((u) => WENT_BADLY.has(tokens[u]?.w ?? ''))) ||
  (m.kind === 'hearing-loss' && [...m.used].every((u) => NOT_THERE.has(tokens[u]?.w ?? '')))
const AT_DROPS = setOf('can could did not manage managed it do them myself self need the right left today')
/** How it went: "not great, could only do it once". */
const WENT_BADLY = setOf(
  'not so that too great good clever well brilliant badly bad poorly rubbish a bit very am i well',
)
/** Where none went: "both times on the right, nothing on the left". */
const NOT_THERE = setOf('nothing in on the left right other ear side one')

const WORSE = setOf('worse worser badder worsening worsened')
const SORER = setOf('stronger sharper sorer fiercer')

/** "worse than yesterday" with nothing named: of what was asked, else something unnamed that grows. */
function worseUnnamed(r: Reading, tokens: readonly Token[], mentions: Mention[], only: Question | undefined) {
  const owned = new Set(mentions.flatMap((m) => [...m.used]))
  if (r.context === 'screening' || r.findings.some((f) => f.polarity === 'affirmed')) return
  const at = tokens.findIndex(
    (t, i) =>
      (WORSE.has(t.w) || (only?.kind === 'pain' && SORER.has(t.w))) &&
      !owned.has(i) &&
      tokens[i + 1]?.w !== 'luck' &&
      ![1, 2, 3].some((n) => /^(no|not|any|never|if|nothing|could|might|was)$/.test(tokens[i - n]?.w ?? '')),
  )
  const t = tokens[at]
  if (
    !t ||
    tokens.some((x) =>
      /^(weather|knee|knees|back|hip|eyesight|memory|cat|dog|kids|traffic|telly|signal)$/.test(x.w),
    )
  )
    return
  const kind = only?.asked[0] ?? 'other'
  r.findings.push({
    kind,
    flag: kind === 'other' ? 'other' : (kind as Finding['flag']),
    start: t.start,
    end: t.end,
    words: r.text.slice(t.start, t.end),
    side: sideAnswer(tokens),
    severity: null,
    onset: { sudden: false, days: null, overDays: null, relative: null, words: null },
    course: 'worse',
    polarity: 'affirmed',
    tags: ['worse'],
  })
}

const OF_ILLNESS = /pus|watery|fluid|smell|stink|yellow|green/i
const OF_WAX =
  /^(wax|plug|lump|soft|softer|softened|softening|softish|hard|harder|solid|loose|looser|gooey|shifting|shifted|moving|melting|yes|no)$/
const NOT_OF_WAX = /^(swelling|discharge|facial-weakness|airway|dizziness)$/

/** Softness told of the wax: not of a swelling or a discharge, unless it was asked. */
function softness(
  context: Reading['context'],
  tokens: readonly Token[],
  layout: Layout,
  questions: Question[],
  findings: Finding[],
): boolean | null {
  const asked = questions.some((q) => q.kind === 'softened')
  // "Blood coming out" tells nothing of the wax.
  const bleeds = findings.some(
    (f) =>
      f.polarity === 'affirmed' &&
      (f.kind === 'bleeding' || (f.kind === 'discharge' && OF_ILLNESS.test(f.words))),
  )
  if (asked && bleeds && !tokens.some((t) => OF_WAX.test(t.w))) return null
  if (asked) return saysBoth(tokens) ? null : readSoftened(tokens, layout, true, questions.length === 1)
  if (context !== 'softening') return null
  const busy = new Set<number>()
  for (const f of findings) {
    if (f.polarity !== 'affirmed' || !NOT_OF_WAX.test(f.kind)) continue
    for (let i = firstPast(tokens, f.start); (tokens[i]?.start ?? f.end) < f.end; i++)
      busy.add(layout.sentence[i] ?? -1)
  }
  if (busy.size === 0) return readSoftened(tokens, layout, false)
  const own = tokens.filter((_, i) => !busy.has(layout.sentence[i] ?? -1))
  return readSoftened(own, layOut(own), false)
}
