/** When a patient is asked after a procedure, what is asked, and what silence means. */
import { Temporal } from 'temporal-polyfill'
import { nextAllowed, type QuietHours } from '../messages/quiet-hours.ts'
import {
  type AftercareRules,
  CHECK_QUESTIONS,
  type CheckQuestion,
  type CheckTime,
  type DifficultyLevel,
  type SilenceRule,
} from '../protocol/sections/aftercare.ts'
import type { Ear } from '../softening/types.ts'
import { difficulty } from './difficulty.ts'
import type { ProcedureRecord } from './record.ts'

export interface Check {
  /** 1 for the first. */
  number: number
  due: Temporal.Instant
  /** From here on a check without an answer counts as unanswered. */
  answerBy: Temporal.Instant
  ears: Ear[]
  questions: CheckQuestion[]
}

export interface ProcedureTime {
  doneAt: Temporal.Instant
  /** When the record was written, where that was later: no check is due before it. */
  recordedAt?: Temporal.Instant
  /** The clinic's zone: its calendar days are counted. */
  zone: string
  quietHours: QuietHours
}

/** The checks after a procedure, in order of time; all fall after it and outside quiet hours. */
export function checkPlan(
  record: ProcedureRecord,
  { doneAt, recordedAt = doneAt, zone, quietHours }: ProcedureTime,
  rules: AftercareRules,
): Check[] {
  const { level } = difficulty(record, rules)
  const times = rules.schedule.find((row) => row.level === level)?.checks ?? []
  const due = times
    .map((time) => later(instantOf(time, doneAt, zone), recordedAt))
    .map((at) => nextAllowed(at, zone, quietHours))
    .sort(Temporal.Instant.compare)
  const ears = record.ears.map(({ ear }) => ear)
  return spaced(due, rules.checkGap.hours).map((at, index) => ({
    number: index + 1,
    due: at,
    answerBy: at.add({ hours: rules.answerWithin.hours }),
    ears,
    questions: [...CHECK_QUESTIONS],
  }))
}

/** Hours run on the clock of instants; days are calendar days, so a clock change does not shift the time of day. */
function instantOf(time: CheckTime, doneAt: Temporal.Instant, zone: string): Temporal.Instant {
  if ('hours' in time) return doneAt.add({ hours: time.hours })
  return doneAt
    .toZonedDateTimeISO(zone)
    .toPlainDate()
    .add({ days: time.days })
    .toZonedDateTime({ timeZone: zone, plainTime: Temporal.PlainTime.from(time.at) })
    .toInstant()
}

const later = (a: Temporal.Instant, b: Temporal.Instant): Temporal.Instant =>
  Temporal.Instant.compare(a, b) >= 0 ? a : b

/** Leaves out each instant that comes sooner than the gap after the last one kept. */
function spaced(instants: readonly Temporal.Instant[], gapHours: number): Temporal.Instant[] {
  const kept: Temporal.Instant[] = []
  for (const at of instants) {
    const last = kept.at(-1)
    if (last === undefined || Temporal.Instant.compare(last.add({ hours: gapHours }), at) <= 0) kept.push(at)
  }
  return kept
}

export interface CheckState {
  number: number
  answerBy: Temporal.Instant
  answered: boolean
  /** Left out because the plan was stopped or replaced: its silence says nothing. */
  cancelled?: boolean
}

export interface Silence {
  /** Numbers of the checks that stayed without an answer. */
  unanswered: number[]
  reaches: SilenceRule['reaches']
  urgency: AftercareRules['silenceUrgency']
  rule: SilenceRule
}

/** What the silence so far calls for, or null. A check that could not be delivered is silent too. */
export function silenceRule(
  checks: readonly CheckState[],
  level: DifficultyLevel,
  now: Temporal.Instant,
  rules: AftercareRules,
): Silence | null {
  const rule = rules.silence.find((row) => row.level === level)
  const unanswered = checks
    .filter(({ answered, cancelled }) => !answered && cancelled !== true)
    .filter(({ answerBy }) => Temporal.Instant.compare(answerBy, now) <= 0)
    .map(({ number }) => number)
  if (rule === undefined || unanswered.length < rule.unanswered) return null
  return { unanswered, reaches: rule.reaches, urgency: rules.silenceUrgency, rule }
}
