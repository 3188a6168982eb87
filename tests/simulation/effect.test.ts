/** The comparison with and without the service: the same draws for both sides, every held visit counted. */
import { Temporal } from 'temporal-polyfill'
import { expect, test } from 'vitest'
import { seededRandom } from '../../src/random.ts'
import { daysAdvisedAtBooking, dosesUnreminded, effectTable } from './effect.ts'
import { makePatients } from './patients.ts'

const booked = Temporal.PlainDate.from('2026-03-23')
const people = makePatients(60, 14, seededRandom(5))
const daysWithout = daysAdvisedAtBooking(booked, booked.add({ days: 9 }))
const arrivals = people.map((patient) => ({
  patient,
  doses: dosesUnreminded(patient, daysWithout),
  daysWithout,
  historyKnown: true,
}))

test('the advice at booking names the last days before the visit, none before the booking', () => {
  expect(daysWithout).toEqual(['2026-03-27', '2026-03-28', '2026-03-29', '2026-03-30', '2026-03-31'])
  expect(daysAdvisedAtBooking(booked, booked.add({ days: 2 }))).toEqual(['2026-03-23', '2026-03-24'])
  expect(daysAdvisedAtBooking(booked, booked)).toEqual([])
})

test('a service that changes no dose changes no visit', () => {
  const lines = effectTable(5, arrivals).split('\n')
  const shares = (line: string | undefined) => line?.slice(line.indexOf('unsoftened'))
  expect(shares(lines[2])).toBe(shares(lines[3]))
  expect(lines[4]).toContain('none changed sides')
  expect(lines[1]).toContain('All 60 visits')
})

test('more doses never harden an ear, and doses in a forbidden ear are counted', () => {
  const more = arrivals.map((one) => ({ ...one, doses: one.doses + 5 }))
  const table = effectTable(5, more)
  expect(table).toMatch(/[1-9]\d* no longer unsoftened, 0 now unsoftened/)
  const forbidden = people.filter(({ contraindicated }) => contraindicated).length
  expect(forbidden).toBeGreaterThan(0)
  expect(table).toContain(`with the service ${forbidden}/${forbidden}`)
})
