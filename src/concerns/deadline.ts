/** By when a person must act on a concern, and when a person next looks. */
import { Temporal } from 'temporal-polyfill'
import { z } from 'zod'
import type { AftercareRules, DeadlineRule, EscalationStage } from '../protocol/sections/aftercare.ts'

const timeSchema = z.string().regex(/^([01]\d|2[0-3]):[0-5]\d$/, { error: 'A time of day is HH:MM.' })
const daySchema = z
  .array(
    z.object({ from: timeSchema, to: timeSchema }).refine(({ from, to }) => from < to, {
      error: 'Opening hours end after they begin, on the same day.',
    }),
  )
  .refine((spans) => spans.every(({ from }, i) => i === 0 || (spans[i - 1]?.to ?? '') < from), {
    error: 'Opening hours of a day stand in order, with a break between them.',
  })

export const WEEKDAYS = [
  'monday',
  'tuesday',
  'wednesday',
  'thursday',
  'friday',
  'saturday',
  'sunday',
] as const
export type Weekday = (typeof WEEKDAYS)[number]

function isZone(zone: string): boolean {
  try {
    Temporal.Instant.fromEpochMilliseconds(0).toZonedDateTimeISO(zone)
    return true
  } catch {
    return false
  }
}

/** Local times in the clinic's zone; `closed` are whole days (YYYY-MM-DD) on which nobody is there. */
export const openingHoursSchema = z.object({
  zone: z.string().refine(isZone, { error: 'There is no such time zone.' }),
  week: z
    .record(z.enum(WEEKDAYS), daySchema)
    .refine((week) => Object.values(week).some((spans) => spans.length > 0), {
      error: 'The clinic must be open at some time in the week.',
    }),
  closed: z.array(z.iso.date()).default([]),
})
export type OpeningHours = z.infer<typeof openingHoursSchema>

export interface ConcernDeadline {
  deadline: Temporal.Instant
  /** From here on an unclaimed concern is near its deadline. */
  warnAt: Temporal.Instant
  /** When a person is next there to look: at once in open hours, else the next opening. */
  nextLookAt: Temporal.Instant
  /** Whether it came while the clinic was open. */
  inHours: boolean
}

interface Span {
  start: Temporal.Instant
  end: Temporal.Instant
}

/** Open hours from an instant on, in order, the first one cut to begin no earlier than the instant. */
function* openSpans(from: Temporal.Instant, { zone, week, closed }: OpeningHours): Generator<Span> {
  const closedDays = new Set(closed)
  let date = from.toZonedDateTimeISO(zone).toPlainDate()
  // Only a closed day or a clock change can take an open weekday away, so this many barren days are too many.
  const most = 7 * (closedDays.size + 3)
  for (let barren = 0; barren <= most; barren++, date = date.add({ days: 1 })) {
    if (closedDays.has(date.toString())) continue
    for (const span of week[WEEKDAYS[date.dayOfWeek - 1] as Weekday]) {
      const at = (time: string): Temporal.Instant =>
        date.toZonedDateTime({ timeZone: zone, plainTime: Temporal.PlainTime.from(time) }).toInstant()
      const start = later(at(span.from), from)
      const end = at(span.to)
      if (Temporal.Instant.compare(start, end) >= 0) continue
      yield { start, end }
      barren = 0
    }
  }
}

const later = (a: Temporal.Instant, b: Temporal.Instant): Temporal.Instant =>
  Temporal.Instant.compare(a, b) >= 0 ? a : b
const earlier = (a: Temporal.Instant, b: Temporal.Instant): Temporal.Instant =>
  Temporal.Instant.compare(a, b) <= 0 ? a : b
const milliseconds = (from: Temporal.Instant, to: Temporal.Instant): number =>
  from.until(to).total('milliseconds')

/** The first span in which a person is there; the schema sees to it that there is one. */
function nextSpan(from: Temporal.Instant, hours: OpeningHours): Span {
  for (const span of openSpans(from, hours)) return span
  throw neverOpen(from)
}

const neverOpen = (from: Temporal.Instant): RangeError =>
  new RangeError(`The clinic has no open hours after ${from}.`)

/** The instant at which this many open milliseconds have passed. */
function afterOpen(from: Temporal.Instant, wanted: number, hours: OpeningHours): Temporal.Instant {
  let left = wanted
  for (const { start, end } of openSpans(from, hours)) {
    const length = milliseconds(start, end)
    if (left <= length) return start.add({ milliseconds: left })
    left -= length
  }
  throw neverOpen(from)
}

export const isOpen = (at: Temporal.Instant, hours: OpeningHours): boolean =>
  nextSpan(at, hours).start.equals(at)

/** The deadline of a concern of this urgency, opened at this instant. Pure; safe across clock changes. */
export function concernDeadline(
  urgency: DeadlineRule['urgency'],
  openedAt: Temporal.Instant,
  hours: OpeningHours,
  rules: Pick<AftercareRules, 'deadlines' | 'warnFraction'>,
): ConcernDeadline {
  const rule = rules.deadlines.find((row) => row.urgency === urgency)
  if (rule === undefined) throw new RangeError(`The protocol has no deadline for "${urgency}".`)
  const next = nextSpan(openedAt, hours)
  const inHours = next.start.equals(openedAt)
  const { fraction } = rules.warnFraction
  const whole = rule.minutes * 60_000
  const cut = (at: Temporal.Instant): Temporal.Instant => (rule.beforeClosing ? earlier(at, next.end) : at)
  if (rule.clock === 'wall') {
    const deadline = openedAt.add({ milliseconds: whole })
    const capped = inHours ? cut(deadline) : deadline
    const warnAt = openedAt.add({ milliseconds: Math.floor(milliseconds(openedAt, capped) * fraction) })
    return { deadline: capped, warnAt, nextLookAt: next.start, inHours }
  }
  const deadline = cut(afterOpen(openedAt, whole, hours))
  const open = rule.beforeClosing ? milliseconds(next.start, deadline) : whole
  const warnAt = afterOpen(openedAt, Math.floor(open * fraction), hours)
  return { deadline, warnAt, nextLookAt: next.start, inHours }
}

/** Where an open, unclaimed concern stands at this instant. */
export function escalationStage(
  now: Temporal.Instant,
  due: Pick<ConcernDeadline, 'warnAt' | 'deadline'>,
): EscalationStage {
  if (Temporal.Instant.compare(now, due.deadline) >= 0) return 'past'
  return Temporal.Instant.compare(now, due.warnAt) >= 0 ? 'near' : 'opened'
}

/** A claim that led to nothing lapses after the time that the urgency gives, and not before the deadline. */
export function claimLapsesAt(
  urgency: DeadlineRule['urgency'],
  claimedAt: Temporal.Instant,
  deadline: Temporal.Instant,
  hours: OpeningHours,
  rules: Pick<AftercareRules, 'deadlines' | 'warnFraction'>,
): Temporal.Instant {
  return later(deadline, concernDeadline(urgency, claimedAt, hours, rules).deadline)
}

export interface Escalation<Person> {
  people: Person[]
  markForOwner: boolean
}

/**
 * Whom to tell at a stage. `list` is the clinic's order of people, `told` those told already. Where the list
 * is used up, everyone on it is told again; where it is empty, the owner is the one person left.
 */
export function whomToTell<Person>(
  stage: EscalationStage,
  list: readonly Person[],
  told: readonly Person[],
  rules: Pick<AftercareRules, 'escalation'>,
): Escalation<Person> {
  const rule = rules.escalation.find((row) => row.stage === stage)
  if (rule === undefined) throw new RangeError(`The protocol has no escalation for "${stage}".`)
  if (list.length === 0) return { people: [], markForOwner: true }
  if (rule.tell === 'everyone') return { people: [...list], markForOwner: rule.markForOwner }
  const one = rule.tell === 'first' ? list[0] : list.find((person) => !told.includes(person))
  return { people: one === undefined ? [...list] : [one], markForOwner: rule.markForOwner }
}
