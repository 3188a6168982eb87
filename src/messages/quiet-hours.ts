/** The hours in which a patient is left in peace. */
import { Temporal } from 'temporal-polyfill'
import { z } from 'zod'

const timeSchema = z.string().regex(/^([01]\d|2[0-3]):[0-5]\d$/, { error: 'A time of day is HH:MM.' })

/** Local times of day; `from` is the first quiet minute, `to` the first that is not; they may span midnight. */
export const quietHoursSchema = z
  .object({ from: timeSchema, to: timeSchema })
  .refine(({ from, to }) => from !== to, { error: 'Quiet hours must begin and end at different times.' })
export type QuietHours = z.infer<typeof quietHoursSchema>

/** Whether the wall clock in the zone stands in quiet hours at this instant; equal times leave none quiet. */
export function isQuiet(instant: Temporal.Instant, zone: string, quiet: QuietHours): boolean {
  const time = instant.toZonedDateTimeISO(zone).toPlainTime()
  const from = Temporal.PlainTime.from(quiet.from)
  const to = Temporal.PlainTime.from(quiet.to)
  if (from.equals(to)) return false
  const begun = Temporal.PlainTime.compare(time, from) >= 0
  const ended = Temporal.PlainTime.compare(time, to) >= 0
  return Temporal.PlainTime.compare(from, to) < 0 ? begun && !ended : begun || !ended
}

/** The first instant, this one or a later one, that is not in quiet hours. */
export function nextAllowed(instant: Temporal.Instant, zone: string, quiet: QuietHours): Temporal.Instant {
  if (!isQuiet(instant, zone, quiet)) return instant
  const local = instant.toZonedDateTimeISO(zone)
  // The third day: a clock change can skip the only open minutes of the second.
  const candidates = [0, 1, 2]
    .flatMap((days): (Temporal.Instant | null)[] => endsOn(local, days, quiet))
    .concat(zoneChangeAfter(local))
    .filter((at) => at !== null)
    .filter((at) => Temporal.Instant.compare(at, instant) > 0 && !isQuiet(at, zone, quiet))
    .sort(Temporal.Instant.compare)
  const first = candidates[0]
  if (first === undefined) throw new RangeError(`No time outside quiet hours was found after ${instant}.`)
  return first
}

/** Where the clocks go back, a time of day can come twice on a day, so that quiet hours end twice. */
function endsOn(local: Temporal.ZonedDateTime, days: number, { to }: QuietHours): Temporal.Instant[] {
  const end = local.toPlainDate().add({ days }).toPlainDateTime(Temporal.PlainTime.from(to))
  return (['earlier', 'later'] as const).map((disambiguation) =>
    end.toZonedDateTime(local.timeZoneId, { disambiguation }).toInstant(),
  )
}

/** A clock change can jump straight out of quiet hours. */
function zoneChangeAfter(local: Temporal.ZonedDateTime): Temporal.Instant | null {
  return local.getTimeZoneTransition('next')?.toInstant() ?? null
}
