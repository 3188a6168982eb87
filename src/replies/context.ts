/**
 * The case around a reply, read liberally. Accepted shapes:
 * - `context`: softening, aftercare, screening (any case, longer words that begin so).
 * - `question`: a kind ("doses", "pain", "hearing", "perforation", ...), a whole English question, an object with
 *   `kind`, `text`, `question` or `id`, or a list of these. Several open at once make a bare answer `unclear`.
 * - `history` and `risk`: a list of kinds or words, `{kind: true}`, a sentence; false, "no" and "denied" are left out.
 * - `procedure`: an object with any of difficulty (easy, hard, difficult, traumatic, true), days, daysSince, day,
 *   daysAgo, at or date with now, canal, drum, result; or a sentence.
 * - `previous`: one earlier check or a list, oldest first unless they carry day, daysAgo, at or date. A check is a
 *   number (pain), a text, or an object with any of text, pain, urgency, flags, findings, or `{kind: boolean}`.
 * What has no known shape is ignored and named in `why`.
 */
import { Temporal } from 'temporal-polyfill'
import { URGENCIES, type Urgency } from '../protocol/rule.ts'
import {
  type EarlierCheck,
  FINDING_KINDS,
  type FindingKind,
  HISTORY_KINDS,
  type HistoryKind,
  type JudgeContext,
  type ProcedureFacts,
  type Question,
  type QuestionKind,
  type ReadInput,
  type Reading,
  type ReplyContext,
  type RiskKind,
} from './types.ts'

export function contextOf(raw: unknown, procedure: unknown): ReplyContext {
  const w = typeof raw === 'string' ? raw.toLowerCase() : ''
  if (w.startsWith('screen') || w.startsWith('hist')) return 'screening'
  if (w.startsWith('after') || w.startsWith('check') || w.startsWith('post')) return 'aftercare'
  if (w.startsWith('soft') || w.startsWith('drop') || w.startsWith('pre')) return 'softening'
  return procedure === undefined || procedure === null ? 'softening' : 'aftercare'
}

const ABOUT_FINDINGS: [FindingKind, RegExp][] = [
  ['pain', /\bpain|\bsore|\bhurt|\bach(e|ing)|\bcomfort/],
  ['discharge', /discharg|\bpus\b|\bsmell|\bleak|\bfluid|\brunny|\bweep|\booz/],
  ['bleeding', /\bbleed|\bblood(?! thin)/],
  ['hearing-loss', /\bhearing\b(?! ear)|\bhear\b/],
  ['dizziness', /\bdizz|\bbalance|\bgiddy|\bvertigo/],
  ['fever', /\bfever|\btemperature/],
  ['swelling', /\bswell|\bswollen|\blump/],
  ['facial-weakness', /\bface\b|\bfacial/],
  ['ringing', /\bringing|\btinnitus/],
]

const ABOUT_HISTORY: [HistoryKind, RegExp][] = [
  ['perforation', /perforat|\bhole\b|burst|ear ?drum/],
  ['surgery', /surger|operation|\bop\b|operated/],
  ['grommets', /grommet/],
  ['infection', /infect/],
  ['discharge', /discharg|runny|weeping/],
  ['allergy', /allerg/],
  ['drops-reaction', /reaction|reacted/],
  ['only-hearing-ear', /only.*(hear|ear)|one (good|hearing|working) ear|one ear/],
  ['immunocompromised', /immun|chemo|steroid|transplant|methotrexate/],
  ['anticoagulant', /thin|anticoag|warfarin|apixaban|clot|rivaroxaban|edoxaban/],
  ['diabetes', /diabet|insulin|\bsugar/],
]

const QUESTION_KINDS: Record<string, QuestionKind> = {
  dose: 'doses',
  doses: 'doses',
  drops: 'doses',
  adherence: 'doses',
  softened: 'softened',
  softness: 'softened',
  soft: 'softened',
  pain: 'pain',
  discharge: 'discharge',
  bleeding: 'bleeding',
  hearing: 'hearing',
  'hearing-loss': 'hearing',
  dizziness: 'dizziness',
  dizzy: 'dizziness',
  balance: 'dizziness',
  'facial-weakness': 'facial-weakness',
  fever: 'fever',
  swelling: 'swelling',
  other: 'anything-else',
  anything: 'anything-else',
  'anything-else': 'anything-else',
  anything_else: 'anything-else',
  side: 'side',
  ear: 'side',
  move: 'move',
  reschedule: 'move',
  screening: 'screening',
  history: 'screening',
}

const FINDING_OF: Partial<Record<QuestionKind, FindingKind[]>> = {
  pain: ['pain'],
  discharge: ['discharge'],
  bleeding: ['bleeding'],
  hearing: ['hearing-loss'],
  dizziness: ['dizziness'],
  'facial-weakness': ['facial-weakness'],
  fever: ['fever'],
  swelling: ['swelling'],
}

const question = (kind: QuestionKind, words: string, more: Partial<Question> = {}): Question => ({
  kind,
  asksProblem: kind !== 'doses' && kind !== 'softened' && kind !== 'hearing',
  asked: FINDING_OF[kind] ?? [],
  about: [],
  words,
  ...more,
})

/** The questions that are open, in order. */
export function questionsOf(raw: unknown, context: ReplyContext): Question[] {
  if (raw === undefined || raw === null || raw === '') return []
  if (Array.isArray(raw)) return raw.slice(0, 20).flatMap((q) => questionsOf(q, context))
  if (typeof raw === 'object') {
    const o = raw as Record<string, unknown>
    const from = [o.kind, o.type, o.about, o.question, o.text, o.words, o.id].filter(
      (x) => typeof x === 'string' || Array.isArray(x),
    )
    for (const candidate of from) {
      const found = questionsOf(candidate, context)
      if (found.some((q) => q.kind !== 'unknown')) return found
    }
    return [question('unknown', '')]
  }
  if (typeof raw !== 'string') return [question('unknown', '')]
  const text = raw.trim().slice(0, 1000)
  const key = text
    .toLowerCase()
    .replace(/[\s_]+/g, '-')
    .replace(/[?.!]+$/, '')
  const kind = QUESTION_KINDS[key]
  if (kind) return [question(kind, text)]
  const item = HISTORY_KINDS.find((h) => h === key)
  if (item) return [question('screening', text, { about: [item] })]
  const pieces = text
    .split(/(?<=[?])|\n/)
    .map((p) => p.trim())
    .filter((p) => /[a-z]/i.test(p))
  const asked = pieces.filter((p) => p.endsWith('?'))
  const list = (asked.length > 0 ? asked : [text]).map((p) => fromEnglish(p, context))
  const known = list.filter((q) => q.kind !== 'unknown')
  return known.length > 0 ? asOne(known, context) : list.slice(0, 1)
}

/** One message that asks the same thing twice asks once: "Do nuts make you ill? Are you allergic to almonds?" */
function asOne(list: Question[], context: ReplyContext): Question[] {
  const out: Question[] = []
  for (const q of list) {
    const same = context === 'screening' ? out[0] : out.find((x) => x.kind === q.kind)
    if (!same) out.push({ ...q })
    else {
      if (q.about.length > 0 && same.kind !== 'screening') Object.assign(same, { kind: q.kind, asked: [] })
      same.about = [...new Set([...same.about, ...q.about])]
      same.asked = same.kind === 'screening' ? same.asked : [...new Set([...same.asked, ...q.asked])]
      same.words = `${same.words} ${q.words}`
    }
  }
  return out
}

function fromEnglish(piece: string, context: ReplyContext): Question {
  const t = piece.toLowerCase()
  const items = ABOUT_HISTORY.filter(([, p]) => p.test(t)).map(([kind]) => kind)
  if (context === 'screening' && items.length > 0)
    return question('screening', piece, { about: items, asksProblem: true })
  if (
    /\b(drops?|oil|doses?|spray)\b/.test(t) &&
    /\b(put|use[d]?|how (many|often)|did|have|times|today|taken?|done|manage[d]?)\b/.test(t)
  )
    return question('doses', piece)
  if (/\bsoft|\bloosen/.test(t)) return question('softened', piece)
  if (/which (ear|side)|left or right|right or left/.test(t)) return question('side', piece)
  const findings = ABOUT_FINDINGS.filter(([, p]) => p.test(t)).map(([kind]) => kind)
  if (findings.length === 1) {
    const kind = (Object.entries(FINDING_OF).find(([, f]) => f?.[0] === findings[0])?.[0] ??
      'anything-else') as QuestionKind
    const good =
      /\b(back|better|normal|ok|okay|fine|all right|alright|improv\w*|as good as|gone|stopped|settled|can you hear|well)\b/.test(
        t,
      )
    return question(kind, piece, { asked: findings, asksProblem: !good })
  }
  if (findings.length > 1) return question('anything-else', piece, { asked: findings })
  if (
    /\b(move|suit|offer|slot|accept|rearrange|reschedule|instead|new time|come on|come at|keep your (appointment|visit)|still (able|ok) to come)\b/.test(
      t,
    )
  )
    return question('move', piece)
  if (/anything else|any other|any (problems|worries|concerns)|how are you|how is|how's/.test(t))
    return question('anything-else', piece, { asksProblem: !/how (are|is)|how's/.test(t) })
  if (items.length > 0) return question('screening', piece, { about: items })
  return question(context === 'screening' ? 'screening' : 'unknown', piece)
}

/** Strings that a loose shape names: list items, true keys, the words of a sentence. */
export function wordsIn(raw: unknown, depth = 0): string[] {
  if (raw === null || raw === undefined || raw === false || depth > 3) return []
  if (typeof raw === 'string') return [raw.slice(0, 500)]
  if (Array.isArray(raw)) return raw.slice(0, 100).flatMap((x) => wordsIn(x, depth + 1))
  if (typeof raw === 'object') {
    const o = raw as Record<string, unknown>
    if (typeof o.kind === 'string') {
      const off = o.polarity === 'denied' || o.present === false || o.value === false || o.answer === 'no'
      return off ? [] : [`${o.kind}${o.when === 'recent' || o.recent === true ? ' recent' : ''}`]
    }
    return Object.entries(o)
      .slice(0, 100)
      .flatMap(([key, value]) => {
        if (value === false || value === null || value === undefined || value === 0) return []
        if (typeof value === 'string' && /^(no|none|never|false|denied|n|unknown|)$/i.test(value.trim()))
          return []
        return [
          typeof value === 'string' ? `${key} ${value}` : key,
          ...(Array.isArray(value) || typeof value === 'object' ? wordsIn(value, depth + 1) : []),
        ]
      })
  }
  return []
}

const RISK_WORDS: [RiskKind, RegExp][] = [
  [
    'immunocompromised',
    /immun|chemo|transplant|steroid|methotrexate|\bhiv\b|leukaem|lymphom|myelom|azathioprine|rituximab|cancer/,
  ],
  [
    'only-hearing-ear',
    /only[- _]?(one[- _]?)?(hearing|good|working)|one[- _]?(hearing|good|working)|single[- _]?(sided|hearing)|only ear|onlyhearing/,
  ],
  [
    'anticoagulant',
    /anticoag|thinner|thinning|warfarin|apixaban|rivaroxaban|edoxaban|dabigatran|heparin|clopidogrel|aspirin|\bdoac/,
  ],
  ['diabetes', /diabet|insulin|metformin/],
  [
    'recent-perforation-or-surgery',
    /recent.*(perf|surg|hole|op)|perf.*recent|surg.*recent|recent-perforation|recentperf/,
  ],
  ['hard-procedure', /hard|difficult|traumatic|trauma/],
  ['elderly', /elderly|frail|old age|over ?80/],
]

/** Risk factors named anywhere in `raws`. */
export function risksOf(...raws: unknown[]): { risks: RiskKind[]; unknown: boolean } {
  const risks = new Set<RiskKind>()
  let unknown = false
  for (const raw of raws) {
    for (const w of wordsIn(raw)) {
      const text = w.toLowerCase()
      if (/^(no|not|none|never|nil|denies)\b/.test(text)) continue
      const found = RISK_WORDS.filter(([, p]) => p.test(text))
      for (const [kind] of found) risks.add(kind)
      if (found.length === 0 && !HISTORY_WORDS.test(text)) unknown = true
    }
    if (typeof raw === 'number') unknown = true
  }
  return { risks: [...risks], unknown }
}
const HISTORY_WORDS = /perf|surg|grommet|infect|discharg|allerg|react|none|no\b|healthy|age|operation|hole/

const HARD = /hard|difficult|trauma|tricky|awkward|impacted|stuck|sore|painful/
const UNHARD =
  /\b(not|no|un|non)[- ]?(hard|difficult|trauma\w*)|easy|straightforward|simple|uncomplicated|untraumatic|atraumatic/

/** What is known of the procedure; null when nothing is. */
export function procedureOf(raw: unknown): ProcedureFacts | null {
  if (raw === null || raw === undefined || raw === '') return null
  const none: ProcedureFacts = {
    days: null,
    hard: false,
    traumatic: false,
    canalHurt: false,
    perforated: false,
    partCleared: false,
  }
  if (typeof raw === 'number') return { ...none, days: raw }
  if (typeof raw === 'string') return fromSentence(raw.toLowerCase().slice(0, 1000), none)
  if (Array.isArray(raw)) return procedureOf(raw.at(-1))
  if (typeof raw !== 'object') return null
  const o = raw as Record<string, unknown>
  const all = Object.entries(o)
    .slice(0, 60)
    .map(([k, v]) => [k.toLowerCase(), v] as const)
  const words = all
    .map(([k, v]) => (typeof v === 'string' ? `${k} ${v}` : v === true ? k : ''))
    .join('. ')
    .toLowerCase()
  const facts = { ...fromSentence(words, none), days: null as number | null }
  for (const [k, v] of all) {
    const n =
      typeof v === 'number' ? v : typeof v === 'string' && /^\s*\d+(\.\d+)?\s*$/.test(v) ? Number(v) : null
    if (n !== null && /hours/.test(k)) facts.days ??= Math.floor(n / 24)
    else if (n !== null && /day|ago|since/.test(k)) facts.days = n
    if (/difficult|hard|trauma/.test(k) && (v === true || (typeof v === 'number' && v >= 2)))
      facts.hard = true
    if (
      /difficult/.test(k) &&
      typeof v === 'string' &&
      HARD.test(v.toLowerCase()) &&
      !UNHARD.test(v.toLowerCase())
    )
      facts.hard = true
  }
  facts.days ??= daysFromDates(o) ?? fromSentence(words, none).days
  return facts
}

function fromSentence(t: string, none: ProcedureFacts): ProcedureFacts {
  const ago = /(\d+)\s*days?\s*(ago|since|after|post)?/.exec(t) ?? /day\s*(\d+)/.exec(t)
  const days = ago
    ? Number(ago[1])
    : /yesterday/.test(t)
      ? 1
      : /today|this morning/.test(t)
        ? 0
        : /last week|a week ago/.test(t)
          ? 7
          : null
  return {
    ...none,
    days,
    hard: HARD.test(t) && !UNHARD.test(t),
    traumatic: /trauma/.test(t) && !UNHARD.test(t),
    canalHurt: /graz|bleed|sore canal|canal sore|canal: ?(sore|grazed|bleeding)|abras/.test(t),
    perforated: /perforat(?!.*healed)|hole/.test(t),
    partCleared: /part|not[- ]cleared|incomplete/.test(t),
  }
}

function daysFromDates(o: Record<string, unknown>): number | null {
  const day = (x: unknown): Temporal.PlainDate | null => {
    if (typeof x !== 'string') return null
    const m = /^\d{4}-\d{2}-\d{2}/.exec(x)
    try {
      return m ? Temporal.PlainDate.from(m[0]) : null
    } catch {
      return null
    }
  }
  const then = day(o.at) ?? day(o.date) ?? day(o.on) ?? day(o.when) ?? day(o.doneAt) ?? day(o.performedAt)
  const now = day(o.now) ?? day(o.today) ?? day(o.replyAt) ?? day(o.repliedAt)
  return then && now ? Math.max(0, now.since(then).total('days')) : null
}

const FLAG_KINDS: Record<string, FindingKind> = Object.fromEntries([
  ...FINDING_KINDS.map((k) => [k, k]),
  ['hearing', 'hearing-loss'],
  ['hearingloss', 'hearing-loss'],
  ['dizzy', 'dizziness'],
  ['blood', 'bleeding'],
  ['face', 'facial-weakness'],
  ['tinnitus', 'ringing'],
  ['temperature', 'fever'],
])

/** Reads earlier checks, oldest first. `read` is the reader itself, for checks that came as text. */
export function previousOf(
  raw: unknown,
  read: (text: string) => Reading,
): { previous: EarlierCheck[]; unknown: boolean } {
  if (raw === null || raw === undefined || raw === '') return { previous: [], unknown: false }
  const list = (Array.isArray(raw) ? raw : [raw]).slice(-30)
  const dated = list.map((x, i) => ({ check: earlier(x, read), order: orderOf(x, i) }))
  const known = dated.filter((d): d is { check: EarlierCheck; order: number } => d.check !== null)
  known.sort((a, b) => a.order - b.order)
  return { previous: known.map((d) => d.check), unknown: known.length < dated.length }
}

function orderOf(raw: unknown, index: number): number {
  if (raw === null || typeof raw !== 'object') return index
  const o = raw as Record<string, unknown>
  for (const key of ['day', 'days', 'daysSince']) if (typeof o[key] === 'number') return o[key] as number
  if (typeof o.daysAgo === 'number') return -o.daysAgo
  for (const key of ['at', 'date', 'sentAt', 'when']) {
    const v = o[key]
    const m = typeof v === 'string' ? /^(\d{4})-(\d{2})-(\d{2})(?:[T ](\d{2}):(\d{2}))?/.exec(v) : null
    if (m) return Number(`${m[1]}${m[2]}${m[3]}${m[4] ?? '00'}${m[5] ?? '00'}`)
  }
  return index
}

function earlier(raw: unknown, read: (text: string) => Reading): EarlierCheck | null {
  if (typeof raw === 'number')
    return { pain: raw, affirmed: raw > 0 ? ['pain'] : [], denied: raw > 0 ? [] : ['pain'], urgency: null }
  if (typeof raw === 'string') return fromReading(read(raw.slice(0, 2000)))
  if (raw === null || typeof raw !== 'object') return null
  const o = raw as Record<string, unknown>
  const text = [o.text, o.reply, o.body, o.answer].find((x) => typeof x === 'string') as string | undefined
  const base: EarlierCheck = text
    ? fromReading(read(text.slice(0, 2000)))
    : { pain: null, affirmed: [], denied: [], urgency: null }
  const affirmed = new Set(base.affirmed)
  const denied = new Set(base.denied)
  let pain = base.pain
  const take = (o2: Record<string, unknown>) => {
    for (const [key, value] of Object.entries(o2).slice(0, 60)) {
      const kind = FLAG_KINDS[key.toLowerCase().replaceAll('_', '-')]
      if (!kind || (key === 'other' && typeof value !== 'boolean')) continue
      const n =
        typeof value === 'number'
          ? value
          : typeof value === 'string' && /^\d+(\.\d+)?(\/10)?$/.test(value)
            ? Number.parseFloat(value)
            : null
      const off =
        value === false ||
        value === 0 ||
        n === 0 ||
        (typeof value === 'string' && /^(no|none|nil|clear|fine|ok|normal|good|same|better)\b/i.test(value))
      if (kind === 'pain' && n !== null) pain = n
      if (off) denied.add(kind)
      else if (value !== null && value !== undefined && value !== '') affirmed.add(kind)
    }
  }
  take(o)
  if (o.answers && typeof o.answers === 'object' && !Array.isArray(o.answers))
    take(o.answers as Record<string, unknown>)
  const flags = Array.isArray(o.flags) ? o.flags : []
  for (const f of flags) {
    const kind = typeof f === 'string' ? FLAG_KINDS[f.toLowerCase()] : undefined
    if (kind) affirmed.add(kind)
  }
  for (const f of Array.isArray(o.findings) ? o.findings.slice(0, 60) : []) {
    if (typeof f === 'string') {
      const kind = FLAG_KINDS[f.toLowerCase()]
      if (kind) affirmed.add(kind)
      continue
    }
    if (f === null || typeof f !== 'object') continue
    const g = f as Record<string, unknown>
    const kind = typeof g.kind === 'string' ? FLAG_KINDS[g.kind.toLowerCase()] : undefined
    if (!kind) continue
    if (g.polarity === undefined || g.polarity === 'affirmed') affirmed.add(kind)
    else if (g.polarity === 'denied') denied.add(kind)
    const s = g.severity
    const n =
      typeof s === 'number'
        ? s
        : s !== null && typeof s === 'object' && typeof (s as { value?: unknown }).value === 'number'
          ? (s as { value: number }).value
          : null
    if (kind === 'pain' && n !== null && g.polarity !== 'denied') pain = n
  }
  const urgency = URGENCIES.find((u) => u === o.urgency) ?? null
  const empty =
    pain === null &&
    affirmed.size === 0 &&
    denied.size === 0 &&
    urgency === null &&
    !text &&
    flags.length === 0
  if (empty && !('flags' in o) && !('findings' in o)) return null
  for (const k of affirmed) denied.delete(k)
  // A list of flags that leaves one out says that it was not there.
  if ('flags' in o && !text)
    for (const k of ['discharge', 'bleeding', 'dizziness', 'fever', 'swelling'] as const)
      if (!affirmed.has(k)) denied.add(k)
  return { pain, affirmed: [...affirmed], denied: [...denied], urgency: urgency as Urgency | null }
}

function fromReading(r: Reading): EarlierCheck {
  const kinds = (polarity: string) => [
    ...new Set(r.findings.filter((f) => f.polarity === polarity).map((f) => f.kind)),
  ]
  const affirmed = kinds('affirmed')
  const severities = r.findings
    .filter((f) => f.kind === 'pain' && f.polarity === 'affirmed' && f.severity)
    .map((f) => f.severity?.value ?? 0)
  const noPain = r.findings.some((f) => f.kind === 'pain' && f.polarity !== 'affirmed')
  const pain =
    severities.length > 0 ? Math.max(...severities) : noPain && !affirmed.includes('pain') ? 0 : null
  return { pain, affirmed, denied: kinds('denied').filter((k) => !affirmed.includes(k)), urgency: null }
}

/** Everything about the case that the judgement needs. */
export function judgeContextOf(input: ReadInput, read: (text: string) => Reading): JudgeContext {
  const notes: string[] = []
  const { risks, unknown } = risksOf(input.risk, input.history)
  if (unknown) notes.push('input-risk-not-understood')
  const procedure = procedureOf(input.procedure)
  if (input.procedure !== undefined && input.procedure !== null && procedure === null)
    notes.push('input-procedure-not-understood')
  const previous = previousOf(input.previous, read)
  if (previous.unknown) notes.push('input-previous-not-understood')
  return {
    context: contextOf(input.context, input.procedure),
    risks,
    procedure,
    previous: previous.previous,
    notes,
  }
}
