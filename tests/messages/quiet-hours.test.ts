/** Quiet hours hold on every day of the year, on both sides of a clock change, in any zone. */
import fc from 'fast-check'
import { Temporal } from 'temporal-polyfill'
import { describe, expect, test } from 'vitest'
import { isQuiet, nextAllowed, quietHoursSchema } from '../../src/messages/quiet-hours.ts'

const NIGHT = { from: '20:00', to: '08:00' }
const LONDON = 'Europe/London'
const at = (text: string): Temporal.Instant => Temporal.Instant.from(text)
const next = (text: string, quiet = NIGHT, zone = LONDON): string =>
  nextAllowed(at(text), zone, quiet).toString()

describe('an ordinary night', () => {
  test.each([
    ['the last minute before it', '2026-01-10T19:59:00Z', '2026-01-10T19:59:00Z'],
    ['its first minute', '2026-01-10T20:00:00Z', '2026-01-11T08:00:00Z'],
    ['midnight', '2026-01-11T00:00:00Z', '2026-01-11T08:00:00Z'],
    ['its last minute', '2026-01-11T07:59:59.999Z', '2026-01-11T08:00:00Z'],
    ['its end', '2026-01-11T08:00:00Z', '2026-01-11T08:00:00Z'],
  ])('%s', (_, given, wanted) => {
    expect(next(given)).toBe(wanted)
  })
})

test('summer time is the clinic time, not UTC', () => {
  expect(next('2026-07-01T19:30:00Z')).toBe('2026-07-02T07:00:00Z')
  expect(next('2026-07-01T07:00:00Z')).toBe('2026-07-01T07:00:00Z')
})

test('the night in which the clocks go forward is an hour shorter, and the other an hour longer', () => {
  expect(next('2026-03-28T20:00:00Z')).toBe('2026-03-29T07:00:00Z')
  expect(next('2026-10-24T19:00:00Z')).toBe('2026-10-25T08:00:00Z')
})

test('quiet hours that end within the hour that does not exist end as the clocks go forward', () => {
  // 01:00 to 01:59 do not exist on 29 March 2026: at 00:59:59 it is quiet, one second on it is 02:00.
  expect(next('2026-03-29T00:30:00Z', { from: '22:00', to: '01:30' })).toBe('2026-03-29T01:00:00Z')
})

test('quiet hours that end within the hour that comes twice end once and begin again', () => {
  const quiet = { from: '22:00', to: '01:30' }
  expect(next('2026-10-25T00:10:00Z', quiet)).toBe('2026-10-25T00:30:00Z')
  // The second 01:00 to 01:29 is quiet again by the clock on the wall.
  expect(next('2026-10-25T01:10:00Z', quiet)).toBe('2026-10-25T01:30:00Z')
})

test('a quiet siesta within one day', () => {
  const quiet = { from: '13:00', to: '15:00' }
  expect(next('2026-01-10T12:59:00Z', quiet)).toBe('2026-01-10T12:59:00Z')
  expect(next('2026-01-10T13:00:00Z', quiet)).toBe('2026-01-10T15:00:00Z')
  expect(next('2026-01-10T23:00:00Z', quiet)).toBe('2026-01-10T23:00:00Z')
})

test('equal times leave nothing quiet, so that a wrong setting holds no message back for ever', () => {
  expect(next('2026-01-10T23:00:00Z', { from: '08:00', to: '08:00' })).toBe('2026-01-10T23:00:00Z')
  expect(next('2026-01-10T08:00:00Z', { from: '08:00', to: '08:00' })).toBe('2026-01-10T08:00:00Z')
})

test('a whole day of quiet is refused, as is a time that is none', () => {
  expect(quietHoursSchema.safeParse({ from: '08:00', to: '08:00' }).success).toBe(false)
  for (const from of ['24:00', '8:00', '20.00', '', '20:60'])
    expect(quietHoursSchema.safeParse({ from, to: '08:00' }).success).toBe(false)
  expect(quietHoursSchema.safeParse(NIGHT).success).toBe(true)
})

const time = fc
  .tuple(fc.integer({ min: 0, max: 23 }), fc.integer({ min: 0, max: 59 }))
  .map(([hour, minute]) => `${String(hour).padStart(2, '0')}:${String(minute).padStart(2, '0')}`)
const quietHours = fc.record({ from: time, to: time }).filter(({ from, to }) => from !== to)
const zone = fc.constantFrom(
  LONDON,
  'America/New_York',
  'Australia/Lord_Howe',
  'Asia/Kolkata',
  'Pacific/Apia',
  'UTC',
)
/** Half of the instants lie within two days of a change of some clock. */
const changes = [
  '2026-03-29T01:00Z',
  '2026-10-25T01:00Z',
  '2027-03-14T07:00Z',
  '2026-04-04T15:00Z',
  '2011-12-30T10:00Z',
]
const minutes = (from: string, least: number, most: number) =>
  fc.integer({ min: least, max: most }).map((n) => at(from).add({ minutes: n }))
const instant = fc.oneof(
  minutes('2026-01-01T00:00Z', 0, 2 * 366 * 24 * 60),
  ...changes.map((change) => minutes(change, -2880, 2880)),
)

test('what comes out is never quiet, never earlier, and the first such minute', () => {
  fc.assert(
    fc.property(instant, zone, quietHours, fc.integer({ min: 0, max: 999 }), (from, tz, quiet, step) => {
      const allowed = nextAllowed(from, tz, quiet)
      expect(isQuiet(allowed, tz, quiet)).toBe(false)
      const wait = from.until(allowed).total('minutes')
      expect(wait).toBeGreaterThanOrEqual(0)
      expect(wait).toBeLessThan(26 * 60)
      // Any minute between is quiet: looked at every so many, and at the last one.
      if (wait > 0) {
        const between = from.add({ minutes: step % Math.ceil(wait) })
        expect(isQuiet(between, tz, quiet)).toBe(true)
        expect(isQuiet(allowed.subtract({ nanoseconds: 1 }), tz, quiet)).toBe(true)
      }
      expect(nextAllowed(allowed, tz, quiet).equals(allowed)).toBe(true)
    }),
    { numRuns: 400 },
  )
})

test('a later instant is never allowed earlier', () => {
  fc.assert(
    fc.property(instant, fc.integer({ min: 0, max: 3000 }), zone, quietHours, (from, more, tz, quiet) => {
      const [a, b] = [nextAllowed(from, tz, quiet), nextAllowed(from.add({ minutes: more }), tz, quiet)]
      expect(Temporal.Instant.compare(a, b)).toBeLessThanOrEqual(0)
    }),
    { numRuns: 200 },
  )
})

test('where a clock change skips the only open minute of a day, the next day’s is found', () => {
  const from = Temporal.Instant.from('2027-03-14T04:59:00Z')
  const at = nextAllowed(from, 'America/New_York', { from: '02:01', to: '02:00' })
  expect(at.toString()).toBe('2027-03-15T06:00:00Z')
})
