/** Times, ears and choices as words for a message, in GSM characters whatever the machine's own locale data. */
import type { Temporal } from 'temporal-polyfill'

const DAYS = ['Monday', 'Tuesday', 'Wednesday', 'Thursday', 'Friday', 'Saturday', 'Sunday']
const MONTHS = [
  'January',
  'February',
  'March',
  'April',
  'May',
  'June',
  'July',
  'August',
  'September',
  'October',
  'November',
  'December',
]

/** "Tuesday 3 March" */
export function dayWords(date: Temporal.PlainDate): string {
  return `${DAYS[date.dayOfWeek - 1]} ${date.day} ${MONTHS[date.month - 1]}`
}

/** "2:30pm"; noon and midnight are said in words, since 12am and 12pm are often mistaken. */
export function timeWords(time: Temporal.PlainTime): string {
  const minute = String(time.minute).padStart(2, '0')
  if (time.minute === 0 && time.hour % 12 === 0) return time.hour === 0 ? 'midnight' : 'noon'
  return `${time.hour % 12 === 0 ? 12 : time.hour % 12}:${minute}${time.hour < 12 ? 'am' : 'pm'}`
}

/** "Tuesday 3 March, 2:30pm", as the clock in the zone shows it. */
export function whenWords(at: Temporal.Instant, zone: string): string {
  const local = at.toZonedDateTimeISO(zone)
  return `${dayWords(local.toPlainDate())}, ${timeWords(local.toPlainTime())}`
}

/** "2:30pm today", "9:00am tomorrow" or the whole day and time, seen from `now`. */
export function soonWords(at: Temporal.Instant, now: Temporal.Instant, zone: string): string {
  const local = at.toZonedDateTimeISO(zone)
  const days = now
    .toZonedDateTimeISO(zone)
    .toPlainDate()
    .until(local.toPlainDate(), { largestUnit: 'days' }).days
  if (days === 0) return `${timeWords(local.toPlainTime())} today`
  return days === 1 ? `${timeWords(local.toPlainTime())} tomorrow` : whenWords(at, zone)
}

/** "left ear", "right ear", "left and right ears". */
export function earWords(ears: readonly ('left' | 'right')[]): string {
  const [first] = ears
  if (first === undefined) throw new RangeError('A message about ears names at least one.')
  return ears.includes('left') && ears.includes('right') ? 'left and right ears' : `${first} ear`
}

/** "once", "twice", "3 times". */
export function timesWords(count: number): string {
  return count === 1 ? 'once' : count === 2 ? 'twice' : `${count} times`
}

/** "1 for Tuesday 3 March, 2:30pm; 2 for ...": one to three times, in the order in which they are answered. */
export function optionWords(times: readonly Temporal.Instant[], zone: string): string {
  if (times.length < 1 || times.length > 3) throw new RangeError('A move offers one to three times.')
  return times.map((at, index) => `${index + 1} for ${whenWords(at, zone)}`).join('; ')
}
