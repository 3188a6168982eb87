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
  .refine((spans) => spans.every(({ from }, i) => i === 0 || (spans[i - 1]?.to ?? '') <= from), {
    error: 'Opening hours of a day stand in order and do not overlap.',
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

/** Local times in the clinic's zone; `closed` are whole days (YYYY-MM-DD) on which nobody is there. */
export const openingHoursSchema = z.object({
  zone: z.string().min(1),
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

export function concernDeadline(
  urgency: DeadlineRule['urgency'],
  openedAt: Temporal.Instant,
  hours: OpeningHours,
  rules: AftercareRules,
): ConcernDeadline {
  throw new Error(`not yet: ${urgency} ${openedAt} ${hours.zone} ${rules.warnFraction.id}`)
}

export type EscalationState = EscalationStage

/** Where an open, unclaimed concern stands at this instant. */
export function escalationStage(
  now: Temporal.Instant,
  due: Pick<ConcernDeadline, 'warnAt' | 'deadline'>,
): EscalationStage {
  if (Temporal.Instant.compare(now, due.deadline) >= 0) return 'past'
  return Temporal.Instant.compare(now, due.warnAt) >= 0 ? 'near' : 'opened'
}
