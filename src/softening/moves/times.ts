/** Instants as epoch milliseconds, days in the clinic's zone, windows of a patient's possible times. */
import { Temporal } from 'temporal-polyfill'
import type { VisitInput } from './input.ts'

export const MINUTE = 60_000
export const HOUR = 60 * MINUTE

export type Window = readonly [from: number, to: number]

export const millis = (iso: string): number => Temporal.Instant.from(iso).epochMilliseconds

export const zoned = (ms: number, zone: string): Temporal.ZonedDateTime =>
  Temporal.Instant.fromEpochMilliseconds(ms).toZonedDateTimeISO(zone)

export const dayOf = (ms: number, zone: string): string => zoned(ms, zone).toPlainDate().toString()

export const isoWithOffset = (ms: number, zone: string): string =>
  zoned(ms, zone).toString({ timeZoneName: 'never', smallestUnit: 'second' })

/** Whole calendar days from one day to another; negative when it lies earlier. */
export const daysBetween = (from: string, to: string): number =>
  Temporal.PlainDate.from(from).until(Temporal.PlainDate.from(to)).days

const DAY_NAMES = ['Mon', 'Tue', 'Wed', 'Thu', 'Fri', 'Sat', 'Sun']
const MONTH_NAMES = ['Jan', 'Feb', 'Mar', 'Apr', 'May', 'Jun', 'Jul', 'Aug', 'Sep', 'Oct', 'Nov', 'Dec']

/** "Tue 10 Mar 09:30", by the clinic's clock. */
export function plainTime(ms: number, zone: string): string {
  const at = zoned(ms, zone)
  const two = (n: number): string => String(n).padStart(2, '0')
  return `${DAY_NAMES[at.dayOfWeek - 1]} ${at.day} ${MONTH_NAMES[at.month - 1]} ${two(at.hour)}:${two(at.minute)}`
}

function windowOf(possible: NonNullable<VisitInput['possible']>[number], timeZone: string): Window {
  if (typeof possible === 'object' && !('day' in possible))
    return [millis(possible.from), millis(possible.to)]
  const { day, from, to } =
    typeof possible === 'string' ? { day: possible, from: undefined, to: undefined } : possible
  const date = Temporal.PlainDate.from(day)
  const at = (plainTime: string): number => date.toZonedDateTime({ timeZone, plainTime }).epochMilliseconds
  const midnight = (of: Temporal.PlainDate): number => of.toZonedDateTime(timeZone).epochMilliseconds
  return [from ? at(from) : midnight(date), to ? at(to) : midnight(date.add({ days: 1 }))]
}

/** The patient's windows in order, touching ones joined; null when any time is possible. */
export function windowsOf(visit: VisitInput, zone: string): Window[] | null {
  if (!visit.possible) return null
  const windows = visit.possible
    .map((one) => windowOf(one, zone))
    .filter(([from, to]) => from < to)
    .sort((a, b) => a[0] - b[0])
  const joined: [number, number][] = []
  for (const [from, to] of windows) {
    const last = joined.at(-1)
    if (last && from <= last[1]) last[1] = Math.max(last[1], to)
    else joined.push([from, to])
  }
  return joined
}

export const insideOne = (windows: Window[] | null, from: number, to: number): boolean =>
  windows === null || windows.some((window) => window[0] <= from && to <= window[1])
