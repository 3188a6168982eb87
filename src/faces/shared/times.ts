/** Days and times as people read them, in the clinic's zone. */
import { html } from 'hono/html'
import type { Temporal } from 'temporal-polyfill'
import type { Html } from './layout.ts'

/** "Tuesday 3 March, 14:30" */
export function timeWords(at: Temporal.Instant, zone: string): string {
  const local = at.toZonedDateTimeISO(zone)
  return `${dayWords(local.toPlainDate())}, ${local.toPlainTime().toString({ smallestUnit: 'minute' })}`
}

/** "Tuesday 3 March" */
export const dayWords = (day: Temporal.PlainDate): string =>
  day.toLocaleString('en-GB', { weekday: 'long', day: 'numeric', month: 'long' }).replace(',', '')

/** A time that machines can read too. */
export const timeTag = (at: Temporal.Instant, zone: string): Html =>
  html`<time datetime="${at.toString()}">${timeWords(at, zone)}</time>`
