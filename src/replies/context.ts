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
import { previousOf } from './previous.ts'
import type { JudgeContext, ProcedureFacts, ReadInput, Reading, ReplyContext, RiskKind } from './types.ts'

export function contextOf(raw: unknown, procedure: unknown): ReplyContext {
  const w = typeof raw === 'string' ? raw.toLowerCase() : ''
  if (w.startsWith('screen') || w.startsWith('hist')) return 'screening'
  if (w.startsWith('after') || w.startsWith('check') || w.startsWith('post')) return 'aftercare'
  if (w.startsWith('soft') || w.startsWith('drop') || w.startsWith('pre')) return 'softening'
  return procedure === undefined || procedure === null ? 'softening' : 'aftercare'
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
