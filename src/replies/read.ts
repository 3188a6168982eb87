/** The reader: one reply to one reading. Pure, deterministic, in time linear in the length of the text. */
import {
  has,
  readDoses,
  readSoftened,
  saysWrongNumber,
  scores,
  wantsCall,
  wishesMove,
  wishesStart,
  wishesStop,
} from './answers.ts'
import { assemble } from './assemble.ts'
import { layOut } from './clauses.ts'
import { findConcepts, type Mention } from './concepts.ts'
import { contextOf, procedureOf, questionsOf } from './context.ts'
import { languageOf } from './language.ts'
import { MAX_LENGTH, type Token, tokenise } from './normalise.ts'
import { findAll } from './patterns.ts'
import { findHistory, type HistoryMention, historyItems } from './screening.ts'
import { secondReading } from './second-reader.ts'
import { sideAnswer } from './sides.ts'
import type { Doubt, Finding, Question, ReadInput, Reading, Span } from './types.ts'
import { cues, isChat, spell } from './vocabulary.ts'

const YES = /^(yes|deffo|defo|emoji-yes|correct|yup|definitely|certainly|absolutely|indeed)$/
const NO = /^(no|none|emoji-no|not|never|nope|nothing|nil)$/
const FILLER =
  /^(please|thanks|thank|you|love|dear|duck|pet|hen|kiss|ok|hi|hello|hiya|morning|afternoon|evening|good|the|a|it|is|i|do|did|have|has|am|so|far|really|all|at|today|just|not|well|sir|madam|doctor|nurse|mate|flower|again|emoji-plain|oh|sorry|im|afraid|yet|that|they|are|was|think|bit|little|and|as|of|course|very|much|will|be|can|my|on|in)$/

/** The same doubt is named this often in one reply; more tell a reader nothing. */
const MAX_DOUBTS = 20

/** Reads one reply. Never throws; any shape of input is read as far as it can be. */
export function readReply(input: ReadInput): Reading {
  const parts = numberedAnswers(input)
  return parts ? joined(input, parts) : readOne(input)
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
  const layout = layOut(tokens)
  const concepts = findConcepts(tokens)
  const history = findHistory(tokens, layout, concepts.mentions)
  const language = languageOf(text, tokens)
  const mentions = concepts.mentions
    .filter(
      // In another language only words that stand there as they are can be trusted to be English.
      (m) => language === 'en' || ![...m.used].some((u) => tokens[u]?.known === 'mended'),
    )
    .filter((m) => !isHistoryOnly(m, history, tokens, context === 'screening'))
  const assembly = assemble(
    { text, tokens, layout, procedureDays, openQuestions: questions, softening: context === 'softening' },
    mentions,
  )
  const findings = assembly.findings

  const stop = wishesStop(tokens, layout)
  const bare = bareAnswer(tokens)
  const lead = bare ?? leadingAnswer(tokens)
  const only = questions.length === 1 ? questions[0] : undefined
  const asksDoses = questions.some((q) => q.kind === 'doses')
  const busy = new Set(mentions.filter((m) => !m.denies).map((m) => layout.sentence[m.from] ?? -1))
  const doses = readDoses(
    tokens,
    layout,
    asksDoses && (only !== undefined || tokens.length > 3),
    context,
    busy,
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
  if (doses.contradicts) doubt('u-contradiction', null)

  const own = history.filter((h) =>
    countsAsHistory(h, context, tokens, layout, assembly.asked, assembly.someoneElseAt),
  )
  if (
    own.length < history.filter((h) => context === 'screening' && h.polarity !== 'denied').length &&
    context === 'screening'
  ) {
    if (history.some((h) => assembly.someoneElseAt(h))) doubt('u-other-person', null)
  }
  const historyFound = historyItems(text, tokens, layout, own, questions, lead)
  const forbidden = dropsWhereForbidden(text, tokens, own, context)
  if (forbidden) findings.push(forbidden)
  const reading: Reading = {
    text,
    context,
    questions,
    findings,
    doses: answered.doses ?? doses.count,
    softened: answered.softened ?? softness(tokens, layout, questions, findings),
    history: historyFound,
    stop,
    start: !stop && wishesStart(tokens),
    reschedule: wishesMove(tokens, only?.kind === 'move'),
    callMe: wantsCall(tokens),
    wrongNumber: saysWrongNumber(tokens),
    thanks: has(tokens, cues.thanks),
    asks: assembly.asked.length > 0,
    yesNo: lead,
    number: bareNumber(tokens),
    sideAnswer: sideAnswer(tokens),
    language,
    doubts,
    unaccounted: [],
    words: tokens.filter((t) => t.kind === 'word' && !t.emoji).length,
    accounted: 0,
  }
  worseUnnamed(reading, tokens, mentions, only)
  if (!understood(reading, tokens, doses.spoke)) doubt('u-unanswered', null)
  account(reading, tokens, concepts.masked, mentions, history, only)
  addDoubts(reading, tokens, layout, mentions, history, concepts.masked, assembly, doubt, {
    bare,
    only,
    answered: answered.used,
  })
  crossCheck(reading, tokens, concepts.masked, mentions, history, doubt)
  return reading
}

/** In screening, a word that only names a history item is no present symptom. */
function isHistoryOnly(
  m: Mention,
  history: HistoryMention[],
  tokens: readonly Token[],
  screening: boolean,
): boolean {
  if (!screening) return false
  const over = history.find((h) => [...m.used].some((u) => h.used.has(u)))
  if (!over) return false
  if (
    m.kind === 'injury' ||
    m.kind === 'rash' ||
    m.kind === 'unwell' ||
    m.kind === 'other' ||
    (m.kind === 'hearing-loss' && [...m.used].every((u) => over.used.has(u))) ||
    m.kind === 'contraindicated-drops' ||
    m.kind === 'swelling'
  )
    return true
  const around = tokens.slice(Math.max(0, m.from - 6), m.to + 6)
  const past =
    around.some((t) => /^(had|was|were|ago|last|used|previously)$/.test(t.w)) &&
    !around.some((t) => /^(now|today|still|moment|currently|minute)$/.test(t.w))
  return over.polarity !== 'present' || past
}

/** The whole reply is yes or no and politeness. */
function bareAnswer(tokens: readonly Token[]): 'yes' | 'no' | null {
  const words = tokens.filter((t) => t.kind !== 'mark')
  if (words.length === 0 || words.length > 8) return null
  const yes = words.some((t) => YES.test(t.w))
  const no = words.some((t) => NO.test(t.w))
  if (yes === no) return null
  if (!words.every((t) => YES.test(t.w) || NO.test(t.w) || FILLER.test(t.w))) return null
  return yes ? 'yes' : 'no'
}

/** The reply begins with yes or no. */
function leadingAnswer(tokens: readonly Token[]): 'yes' | 'no' | null {
  const last = tokens.findLast((t) => t.kind !== 'mark')
  if (last && YES.test(last.w) && tokens.length <= 8 && !tokens.some((t) => NO.test(t.w))) return 'yes'
  for (const t of tokens) {
    if (t.kind === 'mark') continue
    if (YES.test(t.w))
      return tokens.slice(0, 5).some((x) => x.w === 'no') && tokens.length <= 6 ? null : 'yes'
    if (t.w === 'no' || t.w === 'emoji-no' || t.w === 'none') return 'no'
    if (
      !/^(hi|hello|hiya|morning|good|oh|well|thanks|thank|you|dear|sorry|er|um|ah|emoji-plain|doctor|nurse|afternoon|evening)$/.test(
        t.w,
      )
    )
      return null
  }
  return null
}

function bareNumber(tokens: readonly Token[]): number | null {
  const found = scores(tokens)
  const words = tokens.filter((t) => t.kind !== 'mark')
  const first = found[0]
  if (!first || found.length !== 1) return null
  return words.length - (first.to - first.from) <= 4 ? first.value : null
}

type Answered = {
  findings: Finding[]
  doses: number | null
  softened: boolean | null
  doubt: string | null
  used: boolean
}

/** Reads a bare or leading yes, no or number against the one open question. */
function answer(
  text: string,
  tokens: readonly Token[],
  q: Question | undefined,
  bare: 'yes' | 'no' | null,
  lead: 'yes' | 'no' | null,
  findings: Finding[],
  doses: number | null,
): Answered {
  const out: Answered = { findings: [], doses: null, softened: null, doubt: null, used: false }
  if (!q) return out
  const at = tokens.find((t) => t.kind === 'word' || t.kind === 'number')
  if (!at) return out
  const finding = (
    kind: Finding['kind'],
    polarity: Finding['polarity'],
    tags: Finding['tags'] = [],
  ): Finding => ({
    kind,
    flag: kind === 'ringing' || kind === 'other' ? 'other' : (kind as Finding['flag']),
    start: at.start,
    end: at.end,
    words: text.slice(at.start, at.end),
    side: sideAnswer(tokens),
    severity: null,
    onset: { sudden: false, days: null, overDays: null, relative: null, words: null },
    course: null,
    polarity,
    tags: polarity === 'affirmed' && has(tokens, cues.lasting) ? [...tags, 'lasting'] : tags,
  })
  if (q.kind === 'discharge' || q.kind === 'bleeding') {
    const described = describeDischarge(tokens, findings)
    if (described) {
      for (const [kind, tags] of described) out.findings.push(finding(kind, 'affirmed', tags))
      out.used = true
      return out
    }
  }
  if (q.kind === 'bleeding' && findings.length === 0) {
    const heavy = tokens.find((t) =>
      /^(gushing|pouring|streaming|soaked|everywhere|loads|dripping|constantly)$/.test(t.w),
    )
    if (heavy) {
      out.findings.push(finding('bleeding', 'affirmed', ['heavy']))
      return out
    }
  }
  if (q.kind === 'hearing' && findings.length === 0 && lead !== 'yes') {
    const poor =
      tokens.some(
        (t, i) =>
          /^(same|worse|duller|dull|poor|rubbish|bad|muffled|quieter|off|gone|went|disappeared|vanished|nothing|none|deaf)$/.test(
            t.w,
          ) && !/^(no|not)$/.test(tokens[i - 1]?.w ?? ''),
      ) ||
      tokens.some(
        (t, i) =>
          t.w === 'not' &&
          tokens
            .slice(i + 1, i + 4)
            .some((x) => /^(back|better|great|good|improved|come|came|different|right)$/.test(x.w)),
      ) ||
      tokens.some(
        (t, i) =>
          t.w === 'no' && /^(better|different|difference|improvement|change)$/.test(tokens[i + 1]?.w ?? ''),
      )
    if (poor) {
      out.findings.push(
        finding(
          'hearing-loss',
          'affirmed',
          tokens.some((t) => t.w === 'worse')
            ? ['worse']
            : tokens.some((t) => /^(gone|went|disappeared|vanished|nothing|none|deaf)$/.test(t.w))
              ? ['marked']
              : ['slight'],
        ),
      )
      return out
    }
  }
  if (q.kind === 'pain' && findings.length === 0) {
    const worded = wordedPain(tokens)
    if (worded !== null) {
      out.findings.push({
        ...finding('pain', worded === 0 ? 'denied' : 'affirmed'),
        severity: { value: worded, how: 'implied' },
      })
      return out
    }
  }
  // "More", "still there", "yes still": of what was asked.
  if (q.asksProblem && q.asked.length === 1 && findings.length === 0 && tokens.length <= 5) {
    const kind = q.asked[0] as Finding['kind']
    const w = tokens.map((t) => t.w)
    if (
      w.some((x) => /^(more|worse|increasing|increased)$/.test(x)) &&
      !w.some((x) => /^(no|not|any)$/.test(x))
    ) {
      out.findings.push({ ...finding(kind, 'affirmed', ['worse']), course: 'worse' })
      return out
    }
    if (w.includes('still') && !w.some((x) => /^(no|not|none)$/.test(x))) {
      out.findings.push({ ...finding(kind, 'affirmed', ['lasting']), course: 'same' })
      return out
    }
  }
  const value = lead
  if (value === null) return out
  out.used = bare !== null
  if (q.kind === 'doses') {
    if (
      value === 'no' &&
      doses === null &&
      (bare !== null ||
        !tokens.some((t) =>
          /^(problem|problems|trouble|pain|issues|bother|worries|change|difference)$/.test(t.w),
        ))
    )
      out.doses = 0
    return out
  }
  if (q.kind === 'softened') {
    if (bare !== null) out.softened = value === 'yes'
    return out
  }
  if (q.asked.length > 0) {
    const problem = q.asksProblem ? value === 'yes' : value === 'no'
    const thumb = tokens.every((t) => t.kind === 'mark' || t.emoji)
    // "How is your hearing?" and a thumb up: well. "Any pain?" and a thumb up: who knows.
    if (thumb && value === 'yes' && q.kind === 'hearing') {
      out.findings.push(finding('hearing-loss', 'denied'))
      return out
    }
    if (thumb && q.asksProblem) {
      out.doubt = 'u-contradiction'
      return out
    }
    const mentioned = (kind: Finding['kind']) =>
      findings.some((f) => f.kind === kind && f.polarity !== 'hypothetical' && f.polarity !== 'asked-about')
    if (!problem) {
      if (bare !== null || value === 'no')
        for (const kind of q.asked) if (!mentioned(kind)) out.findings.push(finding(kind, 'denied'))
    } else if (q.asked.length > 1) {
      if (!q.asked.some(mentioned)) out.doubt = 'u-vague'
    } else
      for (const kind of q.asked)
        if (!mentioned(kind))
          out.findings.push({
            ...finding(
              kind,
              'affirmed',
              kind === 'hearing-loss' ? ['new'] : /\bworse\b/i.test(q.words) ? ['worse'] : [],
            ),
            course: /\bworse\b/i.test(q.words) ? 'worse' : null,
          })
    return out
  }
  if (
    q.kind === 'anything-else' &&
    q.asksProblem &&
    value === 'yes' &&
    findings.length === 0 &&
    bare !== null
  )
    out.doubt = 'u-vague'
  if (q.kind === 'screening' && value === 'yes' && bare !== null && q.about.length !== 1)
    out.doubt = 'u-contradiction'
  if (q.kind === 'side' || q.kind === 'unknown') out.doubt = bare !== null ? 'u-bare' : null
  return out
}

/** A colour or clearness that answers "what colour is it": each with its kind. */
function describeDischarge(
  tokens: readonly Token[],
  findings: Finding[],
): [Finding['kind'], Finding['tags']][] | null {
  if (
    tokens.length > 9 ||
    findings.some((f) => f.kind === 'discharge' && f.polarity === 'affirmed' && f.tags.length > 0)
  )
    return null
  const any = (p: RegExp) => tokens.some((t, i) => p.test(t.w) && !/^(no|not)$/.test(tokens[i - 1]?.w ?? ''))
  const out: [Finding['kind'], Finding['tags']][] = []
  const red = any(/^(red|pink|pinkish|reddish|bloody)$/)
  if (
    any(
      /^(green|yellow|brown|grey|creamy|cream|white|milky|cloudy|yellowy|greenish|yellowish|brownish|black)$/,
    )
  )
    out.push(['discharge', ['coloured']])
  else if (any(/^(clear|watery|water)$/) && !any(/^(all|up)$/)) out.push(['discharge', ['clear']])
  else if (any(/^(damp|wet|moist|sticky)$/)) out.push(['discharge', []])
  if (red) {
    if (out.length === 0) out.push(['discharge', []])
    if (!findings.some((f) => f.kind === 'bleeding')) out.push(['bleeding', []])
  }
  return out.length > 0 && !any(/^(wax|ear-clear)$/) ? out : null
}

/** Which words are understood: what no part claims and what is no ordinary chat is left over. */
function account(
  r: Reading,
  tokens: readonly Token[],
  masked: boolean[],
  mentions: Mention[],
  history: HistoryMention[],
  only: Question | undefined,
) {
  const claimed = new Array<boolean>(tokens.length).fill(false)
  for (const m of mentions) for (const u of m.used) claimed[u] = true
  for (const m of history) for (const u of m.used) claimed[u] = true
  for (const set of [
    cues.forgot,
    cues.softYes,
    cues.softNo,
    cues.stop,
    cues.move,
    cues.callMe,
    cues.noToAll,
    cues.well,
    cues.wrongNumber,
    cues.thanks,
    cues.proxy,
    cues.vague,
    cues.lasting,
    cues.sudden,
    cues.brief,
  ]) {
    for (const m of findAll(tokens, set)) if (!m.fuzzy) for (const u of m.used) claimed[u] = true
  }
  void only
  for (const [i, t] of tokens.entries()) {
    if (t.kind !== 'word' || t.emoji) continue
    const understood = claimed[i] || masked[i] || isChat(t.w) || t.known === 'name'
    if (understood) r.accounted++
    else r.unaccounted.push({ start: t.start, end: t.end })
  }
}

function addDoubts(
  r: Reading,
  tokens: readonly Token[],
  layout: ReturnType<typeof layOut>,
  mentions: Mention[],
  history: HistoryMention[],
  masked: boolean[],
  assembly: ReturnType<typeof assemble>,
  doubt: (rule: string, at: Span | null) => void,
  state: { bare: 'yes' | 'no' | null; only: Question | undefined; answered: boolean },
) {
  const spanOf = (from: number, to: number): Span => ({
    start: tokens[from]?.start ?? 0,
    end: tokens[to - 1]?.end ?? 0,
  })
  if (r.language !== 'en') doubt('u-language', null)
  if (r.text.length > MAX_LENGTH) doubt('u-unaccounted', { start: MAX_LENGTH, end: r.text.length })
  // A bare STOP, however it is spelt, needs no reader.
  const plainStop = r.stop && r.words <= 3 && r.findings.length === 0
  if (!plainStop) for (const span of r.unaccounted) doubt('u-unaccounted', span)
  const words = tokens.filter((t) => t.kind !== 'mark')
  if (words.length === 0) doubt('u-empty', null)
  for (const f of r.findings) {
    if (f.polarity === 'someone-else') doubt('u-other-person', f)
    if (f.polarity === 'hypothetical' && !isPlan(tokens)) doubt('u-hypothetical', f)
    if (f.polarity === 'asked-about') doubt('u-asked', f)
  }
  if (r.asks && !r.reschedule && !r.stop && !r.start)
    for (const q of assembly.asked)
      if (!isSocialQuestion(tokens, q) && !isLogistic(tokens, q)) doubt('u-asked', spanOf(q.from, q.to))
  if (r.callMe && !(r.stop && r.findings.length === 0)) doubt('u-call-me', null)
  if (r.wrongNumber) doubt('u-wrong-number', null)
  contradictions(r, doubt)
  // A bare answer without exactly one question.
  const isBare = (state.bare !== null || r.number !== null || isBareSide(tokens)) && r.doses === null
  const emptyOfMeaning =
    r.findings.length === 0 &&
    r.history.length === 0 &&
    !r.stop &&
    !r.start &&
    !r.reschedule &&
    r.softened === null
  if (isBare && emptyOfMeaning && r.questions.length === 0) doubt('u-bare', null)
  if ((state.bare !== null || r.number !== null || isBareSide(tokens)) && r.questions.length > 1)
    doubt('u-two-questions', null)
  if (
    isBare &&
    emptyOfMeaning &&
    r.number !== null &&
    state.only &&
    state.only.kind !== 'pain' &&
    state.only.kind !== 'doses'
  )
    doubt('u-bare', null)
  for (const m of findAll(tokens, cues.instructs)) if (!m.fuzzy) doubt('u-instructs', spanOf(m.from, m.to))
  const q = state.only
  const unsure = findAll(tokens, cues.unsure).find((m) => !m.fuzzy)
  if (
    q &&
    unsure &&
    (q.kind === 'screening' ||
      q.kind === 'hearing' ||
      (q.kind === 'doses' && r.doses === null && words.length <= 6))
  )
    doubt('u-unsure', spanOf(unsure.from, unsure.to))
  for (const span of unexplained(tokens, layout, mentions, history, masked, r.context)) doubt('u-vague', span)
  // Something is amiss, but not what.
  if (!r.findings.some((f) => f.polarity === 'affirmed')) {
    const owned = new Set(mentions.flatMap((x) => [...x.used]))
    const longAgo = new Set(findAll(tokens, cues.longAgo).map((x) => layout.clause[x.from]))
    for (const m of findAll(tokens, cues.vague)) {
      if (m.fuzzy || m.used.some((u) => owned.has(u)) || longAgo.has(layout.clause[m.from])) continue
      if (vagueButFine(tokens, layout, m.from, m.to, r)) continue
      doubt('u-vague', spanOf(m.from, m.to))
    }
  }
}

/** "If it bleeds I'll ring you", "hope it does not", "would have rung": a plan, not a question. */
function isPlan(tokens: readonly Token[]): boolean {
  if (tokens.some((t) => t.w === '?')) return false
  return tokens.some(
    (t, i) =>
      (/^(will|would|shall)$/.test(t.w) && tokens[i - 1]?.w === 'i') ||
      /^(hope|hoping|lol|told|said|leaflet)$/.test(t.w) ||
      (t.w === 'let' && tokens[i + 2]?.w === 'know'),
  )
}

function isBareSide(tokens: readonly Token[]): boolean {
  const words = tokens.filter((t) => t.kind !== 'mark')
  return (
    words.length > 0 &&
    words.length <= 4 &&
    words.some((t) => /^(left|right|both)$/.test(t.w)) &&
    words.every((t) =>
      /^(left|right|both|the|my|one|ear|ears|side|please|thanks|only|just|it|is|in)$/.test(t.w),
    )
  )
}

/** "how are you?", "ok?", "see you tuesday?", "is that all?" ask nothing of the clinic. */
function isSocialQuestion(tokens: readonly Token[], q: { from: number; to: number }): boolean {
  const w = tokens
    .slice(q.from, q.to)
    .filter((t) => t.kind !== 'mark')
    .map((t) => t.w)
    .join(' ')
  return /^(how are you.*|are you ok|are you well|is that ok|is that all right|is that alright|ok|alright|all right|is that it|what a .*|what lovely .*|how lovely.*|how kind.*|do you|is it not|would you believe.*|can you believe.*|what more could you.*|will do|could not be .*|can not complain.*|how about that|which .* is it not|who would have .*|will see you.*|may i say.*|is that you.*|am i right|shall we|did i)$/.test(
    w,
  )
}

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

const FINE_BEFORE = /^(no|not|any|without|never|nothing|nae|non|if|aint|hardly)$/

/** "no problems", "not bad", "if any problems": vague words that tell of nothing. */
function vagueButFine(
  tokens: readonly Token[],
  layout: ReturnType<typeof layOut>,
  from: number,
  to: number,
  r: Reading,
): boolean {
  const w = tokens[from]?.w ?? ''
  for (let i = from - 1, n = 0; i >= 0 && n < 4; i--, n++) {
    if (layout.sentence[i] !== layout.sentence[from]) break
    const before = tokens[i]?.w ?? ''
    if (FINE_BEFORE.test(before)) return true
  }
  // Words that are vague only when nothing else explains them.
  if (
    /^(bad|rubbish|terrible|awful|shocking|nightmare|funny|odd|strange|weird|wrong|trouble|doctor|doctors|gp|hospital|hurt|hurts|useless|dreadful|urgent|appalling|emoji-fire|lump|bump|problem|problems|issue|issues|not)$/.test(
      w,
    )
  ) {
    const s = layout.sentences[layout.sentence[from] ?? 0]
    const words = tokens.slice(s?.from ?? 0, s?.to ?? 0).map((t) => t.w)
    if (
      words.some((x) =>
        /^(weather|traffic|bus|phone|signal|telly|tv|memory|handwriting|spelling|eyesight|cat|dog|line|reception|husband|wife|taste|match|football|parking|news|programme|texting|writing|joke|hands|arthritis|knee|knees|feet|back|hip|legs|ankles|chiropodist|garden|food|bingo|driving|singing|cooking|price|service|appointment|wifi)$/.test(
          x,
        ),
      )
    )
      return true
  }
  void to
  void r
  return false
}

/** Two readers must agree before anything is called harmless: what the second saw, the first must explain. */
function crossCheck(
  r: Reading,
  tokens: readonly Token[],
  masked: boolean[],
  mentions: Mention[],
  history: HistoryMention[],
  doubt: (rule: string, at: Span | null) => void,
) {
  const claimed = [...masked]
  for (const h of history) for (const u of h.used) claimed[u] = true
  const owner = new Map<number, Mention>()
  for (const m of mentions) for (const u of m.used) if (!owner.has(u)) owner.set(u, m)
  const findingAt = new Map<number, Finding[]>()
  for (const f of r.findings) findingAt.set(f.start, [...(findingAt.get(f.start) ?? []), f])
  let i = 0
  for (const alarm of secondReading(r.text, MAX_LENGTH)) {
    while (i < tokens.length && (tokens[i]?.end ?? 0) <= alarm.start) i++
    const covers = (s: Span) => s.start < alarm.end && s.end > alarm.start
    const here: number[] = []
    for (let k = i; k < tokens.length && covers(tokens[k] as Token); k++) here.push(k)
    if (here.some((k) => claimed[k])) continue
    const mention = here.map((k) => owner.get(k)).find((m) => m !== undefined)
    if (mention) {
      const finding = findingAt.get(tokens[mention.from]?.start ?? -1)?.find((f) => f.kind === mention.kind)
      if (finding && finding.polarity === 'denied' && !alarm.nearNegator) doubt('u-second-reader', alarm)
      continue
    }
    if (r.findings.length < 40 && r.findings.some(covers)) continue
    if (HARMLESS_STEMS.test(tokens[here[0] ?? -1]?.w ?? '')) continue
    doubt('u-second-reader', alarm)
  }
}

/** Words that begin like a word of alarm and are none. */
const HARMLESS_STEMS =
  /^(number|numbers|diet|dies|paint|painting|painted|push|pushed|diesel|deadline|chester|chestnut|chestnuts|hearing|achieve|busy|buses|mattress|rashers|hearth)$/

const RISKS_TOLD = new Set(['immunocompromised', 'anticoagulant', 'diabetes', 'only-hearing-ear', 'allergy'])

/** A history item counts when it is the patient's own, and (outside screening) is no symptom of today. */
function countsAsHistory(
  h: HistoryMention,
  context: Reading['context'],
  tokens: readonly Token[],
  layout: ReturnType<typeof layOut>,
  asked: { from: number; to: number }[],
  someoneElse: (h: { from: number; to: number }) => boolean,
): boolean {
  if (someoneElse(h)) return false
  const inQuestion = asked.some((q) => h.from >= q.from && h.from < q.to)
  if (context === 'screening') {
    const s = layout.sentences[layout.sentence[h.from] ?? 0] ?? { from: 0, to: 0 }
    if (inQuestion && tokens.slice(s.from, s.to).some((t) => /^(what|which|how|whats)$/.test(t.w)))
      return false
    return !has(tokens.slice(s.from, s.to), cues.unsure) || h.polarity === 'denied'
  }
  if (RISKS_TOLD.has(h.kind)) return true
  if (
    h.kind === 'perforation' ||
    h.kind === 'recent-perforation' ||
    h.kind === 'grommets' ||
    h.kind === 'surgery'
  )
    return !(context === 'aftercare' && inQuestion)
  return h.kind === 'drops-reaction' && h.polarity === 'past'
}

/** Drops said to go into an ear with a hole or a grommet. */
function dropsWhereForbidden(
  text: string,
  tokens: readonly Token[],
  history: HistoryMention[],
  context: Reading['context'],
): Finding | null {
  if (context !== 'softening') return null
  const hole = history.find(
    (h) =>
      (h.kind === 'perforation' || h.kind === 'recent-perforation' || h.kind === 'grommets') &&
      h.polarity !== 'denied',
  )
  if (!hole) return null
  const at = tokens.findIndex(
    (t, i) =>
      /^(drops|oil|bicarb|them)$/.test(t.w) &&
      tokens
        .slice(Math.max(0, i - 5), i)
        .some((x) => /^(put|putting|doing|used|using|done|did|had|poured|squirted)$/.test(x.w)) &&
      !tokens.slice(Math.max(0, i - 6), i).some((x) => /^(not|no|should|can|stopped|never|if)$/.test(x.w)),
  )
  if (at < 0) return null
  const start = tokens[at]?.start ?? 0
  const end = tokens[at]?.end ?? 0
  return {
    kind: 'contraindicated-drops',
    flag: 'other',
    start,
    end,
    words: text.slice(start, end),
    side: hole ? sideAnswer(tokens) : null,
    severity: null,
    onset: { sudden: false, days: null, overDays: null, relative: null, words: null },
    course: null,
    polarity: 'affirmed',
    tags: [],
  }
}

/** "worse than yesterday" with nothing named: of what was asked, else something unnamed that grows. */
function worseUnnamed(r: Reading, tokens: readonly Token[], mentions: Mention[], only: Question | undefined) {
  const owned = new Set(mentions.flatMap((m) => [...m.used]))
  if (r.context === 'screening' || r.findings.some((f) => f.polarity === 'affirmed')) return
  const at = tokens.findIndex(
    (t, i) =>
      /^(worse|worser|badder|worsening|worsened)$/.test(t.w) &&
      !owned.has(i) &&
      ![1, 2, 3].some((n) => /^(no|not|any|never|if|nothing|could|might|was)$/.test(tokens[i - n]?.w ?? '')),
  )
  const t = tokens[at]
  if (
    !t ||
    tokens.some((x) => /^(weather|knee|knees|back|hip|eyesight|memory|traffic|telly|signal)$/.test(x.w))
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

const BODY =
  /^(ear|ears|lug|eardrum|mouth|face|lip|lips|eye|eyelid|neck|throat|tongue|chest|hearing|speech|cheek|jaw|skull|lobe|earlobe)$/
const GOOD_CAN_NOT =
  /^(complain|wait|thank|believe|fault|praise|grumble|make|come|attend|find|see|get|say|beat|think|do|go|be|stop|remember|do|have|fly|swim|pay|hurry|walk-the-dog|fit|help|use|open|reach|manage|afford|drive|text|work|imagine|recommend|speak|ask|tell|read|stay|put|keep|move|rearrange|answer|talk)$/
const EXPLAINS =
  /^(drop|drops|oil|olive|bicarb|wax|done|did|put|putting|fine|ok|good|great|grand|better|lovely|clean|cleaned|clear|cleared|dry|aid|aids|wonderful|brilliant|perfect|normal|soft|softer|softened|syringed|hoovered|suction|microsuction|appointment|cotton|shower|hat|which|lie|lay|laid|lying|champion|well|test|happy|comfortable|working|works|improved|excellent|super|smashing|spot|marvellous|amazing|fantastic|busy|dirty|waxy|wash|washed|washing|hair|seen|done|checked|bless|thanks|thank|hurrah|heaven|new|mask|cream|book|smile|smiling|big|open|peeled)$/

/** Said of an ear after the visit, these are good news or plainly harmless. */
const FINE_STATE =
  /^(drops|oil|wax|fine|ok|good|great|grand|better|lovely|clean|cleaned|clear|cleared|dry|aid|aids|wonderful|brilliant|perfect|normal|soft|syringed|hoovered|cotton|hat|champion|well|happy|comfortable|improved|excellent|super|smashing|spot|marvellous|amazing|fantastic|checked|bless|thank|hurrah|heaven|new|mask|cream|book|smile|smiling|peeled|done|test|aided|working|works|everything|clock|birds)$/

/** Clauses about the ear, face or throat, or about something that cannot be done, that no rule understood. */
function unexplained(
  tokens: readonly Token[],
  layout: ReturnType<typeof layOut>,
  mentions: Mention[],
  history: HistoryMention[],
  masked: boolean[],
  context: Reading['context'],
): Span[] {
  const aftercare = context === 'aftercare'
  const out: Span[] = []
  const owned = new Set<number>()
  for (const m of [...mentions, ...history]) for (const u of m.used) owned.add(u)
  const sets = [
    cues.well,
    cues.softYes,
    cues.softNo,
    cues.move,
    cues.stop,
    cues.callMe,
    cues.forgot,
    cues.done,
  ]
  const settledIn = new Set(
    sets
      .flatMap((set) => findAll(tokens, set))
      .filter((m) => !m.fuzzy)
      .map((m) => layout.sentence[m.from]),
  )
  for (const s of layout.sentences) {
    let body = -1
    let cannot = -1
    let explained = false
    for (let i = s.from; i < s.to; i++) {
      const w = tokens[i]?.w ?? ''
      if (owned.has(i)) explained = true
      if ((aftercare ? FINE_STATE : EXPLAINS).test(w) && !/^(not|no|never)$/.test(tokens[i - 1]?.w ?? ''))
        explained = true
      if (BODY.test(w) && !masked[i] && !owned.has(i)) body = i
      if (w === 'not' && /^(can|could)$/.test(tokens[i - 1]?.w ?? '') && !owned.has(i) && !masked[i]) {
        const verb = tokens[i + 1]?.w ?? ''
        const next = /^(really|even|just|quite|always|ever|seem|possibly)$/.test(verb)
          ? (tokens[i + 2]?.w ?? '')
          : verb
        if (!GOOD_CAN_NOT.test(next)) cannot = i
      }
    }
    if (settledIn.has(layout.sentence[s.from])) explained = true
    const at = body >= 0 && !explained ? body : cannot
    const t = tokens[at]
    if (t && (at !== cannot || !explained)) out.push({ start: t.start, end: t.end })
  }
  return out
}

const LOGISTIC =
  /^(park|parking|appointment|appt|bus|train|bring|address|postcode|open|opening|close|late|o'clock|oclock|where|directions|entrance|upstairs|lift|batteries|pay|cost|owe|charge|price|wheelchair|booked|booking|visit|date|still|confirm|taxi)$/
const CLINICAL =
  /^(ear|ears|drops|drop|oil|olive|almond|pain|hurt|bleed|bleeding|blood|swim|swimming|fly|flying|shower|bath|wash|hair|normal|safe|stop|dose|doses|pus|discharge|dizzy|tablets|medicine|sore|infection|deaf|worse|better|hear)$/

/** A question about the way, the time or the bill: reception answers it, no clinician need read it. */
export function isLogistic(tokens: readonly Token[], q: { from: number; to: number }): boolean {
  const w = tokens.slice(q.from, q.to).map((t) => t.w)
  const times = tokens.slice(q.from, q.to).some((t) => t.kind === 'number' || t.w === 'ordinal')
  return (
    (w.some((x) => LOGISTIC.test(x)) || (times && w.includes('still'))) && !w.some((x) => CLINICAL.test(x))
  )
}

/** Is there anything in the reply that a rule takes for harmless or for an answer? A reply without it goes to a human. */
function understood(r: Reading, tokens: readonly Token[], spokeOfDoses: boolean): boolean {
  if (r.findings.length > 0 || r.doses !== null || r.softened !== null || r.history.length > 0) return true
  if ((r.thanks && r.words <= 12) || r.stop || r.start || r.reschedule || r.callMe || r.wrongNumber || r.asks)
    return true
  const ofDoses = r.context === 'softening' || r.questions.some((q) => q.kind === 'doses')
  if (r.yesNo !== null || (ofDoses && (spokeOfDoses || has(tokens, cues.done)))) return true
  return (
    has(tokens, cues.keepTexts) ||
    has(tokens, cues.future) ||
    has(tokens, cues.well) ||
    has(tokens, cues.noToAll) ||
    tokens.some((t) => HARMLESS_WORDS.test(t.w))
  )
}

const HARMLESS_WORDS = /^(ok|wax|appointment|emoji-plain|kiss|emoji-yes|happy|bye|cheers)$/

/** "moderate", "half way up", "50%", "80 out of 100": pain told without a number from 0 to 10. */
function wordedPain(tokens: readonly Token[]): number | null {
  if (tokens.length > 8) return null
  for (const [i, t] of tokens.entries()) {
    if (t.kind !== 'number' || t.value < 11 || t.value > 100) continue
    if (tokens.slice(i + 1, i + 4).some((x) => x.w === '%' || x.value === 100 || x.w === 'percent'))
      return Math.round(t.value / 10)
  }
  const w = tokens.map((t) => t.w)
  if (w.some((x) => /^(no|not)$/.test(x))) return null
  if (
    w.some((x) =>
      /^(severe|terrible|awful|excruciating|bad|badly|strong|dreadful|horrible|shocking)$/.test(x),
    )
  )
    return 8
  if (w.some((x) => /^(moderate|medium|middling|half|halfway|middle)$/.test(x))) return 5
  if (w.some((x) => /^(mild|slight|slightly|little|minor|minimal|tiny)$/.test(x))) return 2
  return null
}

/** Softness told of the wax: not of a swelling or a discharge, unless it was asked. */
function softness(
  tokens: readonly Token[],
  layout: ReturnType<typeof layOut>,
  questions: Question[],
  findings: Finding[],
): boolean | null {
  const asked = questions.some((q) => q.kind === 'softened')
  const other = findings.some(
    (f) => /^(swelling|discharge|facial-weakness|airway)$/.test(f.kind) && f.polarity === 'affirmed',
  )
  return !asked && other ? null : readSoftened(tokens, layout, asked)
}

type Part = { text: string; at: number; question: Question }

/** "1. 8 2. no 3. fine" to several open questions: each answer with its own question; null where it is not so. */
function numberedAnswers(input: ReadInput): Part[] | null {
  if (typeof input.text !== 'string' || input.text.length > 2_000) return null
  const questions = questionsOf(input.question, contextOf(input.context, input.procedure))
  if (questions.length < 2) return null
  const marks = [...input.text.matchAll(/(?:^|[\s,;])([1-9])[.):]\s*/g)]
  const inOrder = marks.filter((m, i) => m[1] === String(i + 1))
  const from = inOrder.length === marks.length ? inOrder : []
  if (from.length < 2 || from.length > questions.length) return null
  return from.map((m, i) => {
    const at = (m.index ?? 0) + m[0].length
    const end = from[i + 1]?.index ?? (input.text as string).length
    return { text: (input.text as string).slice(at, end), at, question: questions[i] as Question }
  })
}

/** The readings of the parts as one reading of the whole text. */
function joined(input: ReadInput, parts: Part[]): Reading {
  const readings = parts.map((p) => ({
    at: p.at,
    r: readOne({ ...input, text: p.text, question: p.question.words || p.question.kind }),
  }))
  const moved = <T extends Span>(list: T[], at: number): T[] =>
    list.map((x) => ({ ...x, start: x.start + at, end: x.end + at }))
  const first = <T>(pick: (r: Reading) => T | null): T | null =>
    readings.map(({ r }) => pick(r)).find((x) => x !== null) ?? null
  const any = (pick: (r: Reading) => boolean) => readings.some(({ r }) => pick(r))
  const sum = (pick: (r: Reading) => number) => readings.reduce((n, { r }) => n + pick(r), 0)
  return {
    text: String(input.text),
    context: contextOf(input.context, input.procedure),
    questions: parts.map((p) => p.question),
    findings: readings.flatMap(({ r, at }) => moved(r.findings, at)),
    doses: first((r) => r.doses),
    softened: first((r) => r.softened),
    history: readings.flatMap(({ r, at }) => moved(r.history, at)),
    stop: any((r) => r.stop),
    start: any((r) => r.start),
    reschedule: any((r) => r.reschedule),
    callMe: any((r) => r.callMe),
    wrongNumber: any((r) => r.wrongNumber),
    thanks: any((r) => r.thanks),
    asks: any((r) => r.asks),
    yesNo: null,
    number: null,
    sideAnswer: first((r) => r.sideAnswer),
    language: first((r) => (r.language === 'en' ? null : r.language)) ?? 'en',
    doubts: readings.flatMap(({ r, at }) => moved(r.doubts, at)),
    unaccounted: readings.flatMap(({ r, at }) => moved(r.unaccounted, at)),
    words: sum((r) => r.words),
    accounted: sum((r) => r.accounted),
  }
}
