/** The words of the reading and the judgement, shared by every part of this room. Pure data, safe as JSON. */
import type { Urgency } from '../protocol/rule.ts'
import type { FindingKind, FindingTag, HistoryKind, RiskKind } from '../protocol/sections/urgency.ts'

export type { FindingKind, FindingTag, HistoryKind, RiskKind } from '../protocol/sections/urgency.ts'
export { FINDING_KINDS, HISTORY_KINDS, RISK_KINDS } from '../protocol/sections/urgency.ts'

/** What a patient has now, as the command and the queue name it. */
export const FLAGS = [
  'pain',
  'discharge',
  'bleeding',
  'hearing-loss',
  'dizziness',
  'facial-weakness',
  'fever',
  'swelling',
  'other',
] as const
export type Flag = (typeof FLAGS)[number]

/** These alarm in anybody of the house, and at the visit too. */
export const GRAVE_KINDS: ReadonlySet<FindingKind> = new Set<FindingKind>([
  'facial-weakness',
  'stroke-sign',
  'collapse',
  'airway',
  'chest',
  'self-harm',
  'sepsis-sign',
])

export type ReplyContext = 'softening' | 'aftercare' | 'screening'
export type Side = 'left' | 'right' | 'both'
export type Course = 'new' | 'better' | 'same' | 'worse' | 'gone'

/** `affirmed` is the only polarity that counts as present; `past` counts only for signs that matter once over. */
export type Polarity = 'affirmed' | 'denied' | 'past' | 'hypothetical' | 'someone-else' | 'asked-about'

/** Half-open [start, end) in UTF-16 units of the original text, as String.slice takes them. */
export type Span = { start: number; end: number }

/** `words` is the text as the patient wrote it. `said`: a number given for it; `implied`: from words. */
export type Severity = { value: number; how: 'said' | 'implied' }

/** `days` since it began, where told; `overDays` how long it took to develop, where told. */
export type Onset = {
  sudden: boolean
  days: number | null
  overDays: number | null
  relative: 'before-procedure' | 'after-procedure' | null
  words: string | null
}

export type Finding = Span & {
  kind: FindingKind
  flag: Flag
  words: string
  side: Side | null
  severity: Severity | null
  onset: Onset
  course: Course | null
  polarity: Polarity
  tags: FindingTag[]
}

export type HistoryItem = Span & {
  kind: HistoryKind
  polarity: 'present' | 'past' | 'denied'
  words: string
  side: Side | null
}

export type QuestionKind =
  | 'doses'
  | 'softened'
  | 'pain'
  | 'discharge'
  | 'bleeding'
  | 'hearing'
  | 'dizziness'
  | 'facial-weakness'
  | 'fever'
  | 'swelling'
  | 'anything-else'
  | 'side'
  | 'move'
  | 'screening'
  | 'unknown'

/**
 * One question that was open when the reply came. `asksProblem`: "yes" means a problem. `asked`: the symptoms,
 * `about`: the screening items that it names.
 */
export type Question = {
  kind: QuestionKind
  asksProblem: boolean
  asked: FindingKind[]
  about: HistoryKind[]
  words: string
  /** Something of no known kind was asked with it. */
  beside?: boolean
}

/** What arrives: everything but the text is read liberally (see context.ts) and never trusted to have a shape. */
export type ReadInput = {
  id?: unknown
  context?: unknown
  text?: unknown
  question?: unknown
  history?: unknown
  previous?: unknown
  risk?: unknown
  procedure?: unknown
}

/** Why a human must read the reply although no finding says so; each is a row of the protocol. */
export type Doubt = Span & { rule: string; words: string }

export type Reading = {
  text: string
  context: ReplyContext
  questions: Question[]
  findings: Finding[]
  doses: number | null
  softened: boolean | null
  history: HistoryItem[]
  stop: boolean
  start: boolean
  reschedule: boolean
  callMe: boolean
  wrongNumber: boolean
  thanks: boolean
  asks: boolean
  yesNo: 'yes' | 'no' | null
  number: number | null
  sideAnswer: Side | null
  /** `en`, or the best guess at another language. */
  language: string
  doubts: Doubt[]
  /** Every clause is something that a rule knows for harmless. */
  explained: boolean
  /** Words that no part of the reader could account for. */
  unaccounted: Span[]
  /** How many words there were, and how many were accounted for. */
  words: number
  accounted: number
}

export type ProcedureFacts = {
  days: number | null
  hard: boolean
  traumatic: boolean
  canalHurt: boolean
  perforated: boolean
  partCleared: boolean
}

/** An earlier check of the same patient, oldest first. */
export type EarlierCheck = {
  pain: number | null
  affirmed: FindingKind[]
  denied: FindingKind[]
  urgency: Urgency | null
}

export type JudgeContext = {
  context: ReplyContext
  risks: RiskKind[]
  procedure: ProcedureFacts | null
  previous: EarlierCheck[]
  /** Ids of `why` for inputs whose shape was not understood. */
  notes: string[]
}

export type Point = { rule: string; points: number; finding?: number }

export type Judgement = {
  urgency: Urgency
  score: number
  points: Point[]
  why: string[]
  flags: Flag[]
  reasons: string[]
}
