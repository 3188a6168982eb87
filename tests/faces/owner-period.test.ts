/** The period that an address asks for. */
import { Temporal } from 'temporal-polyfill'
import { expect, test } from 'vitest'
import { periodOf } from '../../src/faces/owner/evidence.ts'
import { periodBefore } from '../../src/flow/evidence.ts'

const today = Temporal.PlainDate.from('2026-03-31')
const words = ({ from, to }: { from: Temporal.PlainDate; to: Temporal.PlainDate }) => `${from} ${to}`

test('the last four weeks unless a whole period is asked for', () => {
  expect(words(periodOf({}, today))).toBe('2026-03-04 2026-03-31')
  expect(words(periodOf({ from: '2026-02-01', to: '2026-02-28' }, today))).toBe('2026-02-01 2026-02-28')
  expect(words(periodOf({ from: '2026-02-01', to: '2026-02-01' }, today))).toBe('2026-02-01 2026-02-01')
  for (const query of [
    { from: '2026-02-28', to: '2026-02-01' },
    { from: '2026-02-30', to: '2026-03-01' },
    { from: '2020-01-01', to: '2026-03-01' },
    { from: '2026-02-01' },
    { from: '<b>', to: '2026-03-01' },
  ])
    expect(words(periodOf(query, today)), JSON.stringify(query)).toBe('2026-03-04 2026-03-31')
})

test('the period before is as long and ends on the day before', () => {
  const of = (from: string, to: string) =>
    words(periodBefore({ from: Temporal.PlainDate.from(from), to: Temporal.PlainDate.from(to) }))
  expect(of('2026-03-04', '2026-03-31')).toBe('2026-02-04 2026-03-03')
  expect(of('2026-03-01', '2026-03-01')).toBe('2026-02-28 2026-02-28')
  // Across the change of the clocks whole days still count.
  expect(of('2026-03-29', '2026-04-11')).toBe('2026-03-15 2026-03-28')
})
