/** When each day's texts go out: local times of the protocol, kept out of quiet hours. Pure. */
import { Temporal } from 'temporal-polyfill'
import type { SofteningRules } from '../protocol/sections/softening.ts'
import type { IsoDay, LocalTime, Reminder, SofteningPlan } from './types.ts'

export interface QuietHours {
  /** Local time from which nothing is sent; the hours may run over midnight. */
  from: LocalTime
  to: LocalTime
}

/** True when `time` lies in the quiet hours: `from` included, `to` not. Equal ends mean no quiet hours. */
export function isQuiet(time: Temporal.PlainTime, quiet: QuietHours): boolean {
  const from = Temporal.PlainTime.from(quiet.from)
  const to = Temporal.PlainTime.from(quiet.to)
  const afterFrom = Temporal.PlainTime.compare(time, from) >= 0
  const beforeTo = Temporal.PlainTime.compare(time, to) < 0
  return Temporal.PlainTime.compare(from, to) <= 0 ? afterFrom && beforeTo : afterFrom || beforeTo
}

/**
 * A local time on a day, moved within that day out of the quiet hours: forward to their end where that is
 * still the same day, else back to a minute before they begin; null when the whole day is quiet. A local
 * time that the clock change skips moves forward by the gap, one that comes twice is the first.
 */
export function instantOutsideQuiet(
  day: IsoDay,
  time: LocalTime,
  zone: string,
  quiet: QuietHours,
): Temporal.Instant | null {
  const at = (local: Temporal.PlainTime) =>
    Temporal.PlainDate.from(day).toZonedDateTime({ timeZone: zone, plainTime: local })
  const wished = Temporal.PlainTime.from(time)
  const end = Temporal.PlainTime.from(quiet.to)
  const before = Temporal.PlainTime.from(quiet.from).subtract({ minutes: 1 })
  const candidates = [wished]
  if (Temporal.PlainTime.compare(end, wished) > 0) candidates.push(end)
  if (Temporal.PlainTime.compare(before, wished) < 0) candidates.push(before)
  for (const candidate of candidates) {
    const zoned = at(candidate)
    if (zoned.toPlainDate().toString() === day && !isQuiet(zoned.toPlainTime(), quiet))
      return zoned.toInstant()
  }
  return null
}

/** The texts of a plan that still lie ahead: a reminder and a question a day, in order of time. */
export function remindersFor(
  plan: SofteningPlan,
  when: { zone: string; quiet: QuietHours; now: Temporal.Instant | string },
  rules: SofteningRules,
): Reminder[] {
  const now = Temporal.Instant.from(when.now)
  const kinds = [
    ['dose-reminder', rules.reminders.doseReminderAt.value],
    ['dose-question', rules.reminders.doseQuestionAt.value],
  ] as const
  return plan.days
    .flatMap((day) =>
      kinds.flatMap(([kind, time]) => {
        const at = instantOutsideQuiet(day, time, when.zone, when.quiet)
        return at && Temporal.Instant.compare(at, now) > 0 ? [{ day, kind, at: at.toString() }] : []
      }),
    )
    .toSorted((a, b) => Temporal.Instant.compare(a.at, b.at))
}
