/** Counting: ears to visits, visits to shares, delays to a median and a 95th percentile. */
import fc from 'fast-check'
import { Temporal } from 'temporal-polyfill'
import { expect, test } from 'vitest'
import {
  chairMinutes,
  delaysOf,
  heldVisits,
  measureTables,
  shareOf,
  weekChart,
} from '../../src/evidence/measures.ts'
import type { ConcernRow, EarRow, MoveRow } from '../../src/evidence/store.ts'

const at = (iso: string) => Temporal.Instant.from(iso)
const ear = (visitId: string, softness: string, result: string, more: Partial<EarRow> = {}): EarRow => ({
  visitId,
  doneAt: at('2026-03-02T10:00:00Z'),
  minutes: 30,
  practitioner: 'A',
  agent: 'olive-oil',
  ear: 'left',
  softness,
  result,
  predicted: null,
  ...more,
})
const SOFT = ['soft', 'firm']

test('a visit counts once, by its worse ear; lost only where the same ear was hard and not cleared', () => {
  const visits = heldVisits(
    [
      ear('one', 'soft', 'part-cleared'),
      ear('one', 'hard-and-dry', 'cleared', { ear: 'right' }),
      ear('two', 'hard-and-dry', 'not-cleared', { minutes: 45 }),
      ear('three', 'firm', 'cleared'),
    ],
    SOFT,
  )
  expect(visits.map(({ unsoftened, failed, lost }) => [unsoftened, failed, lost])).toEqual([
    [true, true, false],
    [true, true, true],
    [false, false, false],
  ])
  expect(chairMinutes(visits)).toEqual({ all: 105, lost: 45 })
})

test('a share of nothing is no share, and says so', () => {
  expect(shareOf(0, 0)).toMatchObject({ share: null, interval: null, small: { flag: 'none' } })
  // Newcombe, Stat Med 1998;17:857-72, table I, method 3.
  const { interval } = shareOf(15, 148)
  expect(interval?.low).toBeCloseTo(0.0624, 4)
  expect(interval?.high).toBeCloseTo(0.1605, 4)
})

test('the groups of a measure add up to the whole', () => {
  const names = fc.constantFrom('A', 'B', 'C')
  const rows = fc.array(
    fc.record({ softness: fc.constantFrom('soft', 'hard-and-dry'), practitioner: names, agent: names }),
    { maxLength: 40 },
  )
  fc.assert(
    fc.property(rows, rows, (now, before) => {
      const of = (list: typeof now) => ({
        visits: heldVisits(
          list.map((one, i) => ear(String(i), one.softness, 'cleared', one)),
          SOFT,
        ),
        moves: [] as MoveRow[],
      })
      const { all, byAgent, byPractitioner } = measureTables(of(now), of(before)).unsoftened
      for (const groups of [byAgent, byPractitioner])
        for (const period of ['now', 'before'] as const) {
          expect(groups.reduce((sum, [, one]) => sum + one[period].events, 0)).toBe(all[period].events)
          expect(groups.reduce((sum, [, one]) => sum + one[period].total, 0)).toBe(all[period].total)
        }
    }),
  )
})

test('offers count once they have ended by the patient or by silence', () => {
  const move = (status: MoveRow['status']): MoveRow => ({
    proposedAt: at('2026-03-02T10:00:00Z'),
    status,
    practitioner: 'A',
    agent: 'none',
  })
  const moves = (['accepted', 'accepted', 'declined', 'expired', 'proposed', 'withdrawn'] as const).map(move)
  const { taken } = measureTables({ visits: [], moves }, { visits: [], moves: [] })
  expect(taken.all.now).toMatchObject({ events: 2, total: 4 })
  expect(taken.all.change).toBeNull()
})

const concern = (openedMinutes: number, takenAfter: number | null, dueAfter = 60): ConcernRow => {
  const openedAt = at('2026-03-02T10:00:00Z').add({ minutes: openedMinutes })
  return {
    concernId: 'c',
    urgency: 'today',
    openedAt,
    deadlineAt: openedAt.add({ minutes: dueAfter }),
    takenAt: takenAfter === null ? null : openedAt.add({ minutes: takenAfter }),
  }
}

test('delays: the median and the 95th percentile count whoever was never taken as endless', () => {
  const now = at('2026-03-03T10:00:00Z')
  const twenty = Array.from({ length: 20 }, (_, i) => concern(i, i + 1))
  expect(delaysOf(twenty, now)).toMatchObject({ opened: 20, notTaken: 0, median: 10, p95: 19 })
  expect(delaysOf([...twenty.slice(0, 18), concern(0, null), concern(0, null)], now)).toMatchObject({
    notTaken: 2,
    median: 10,
    p95: null,
  })
  expect(delaysOf([], now)).toMatchObject({ opened: 0, median: null, p95: null })
})

test('in time: on the deadline is, after it is not, not due yet is not asked', () => {
  const now = at('2026-03-02T10:30:00Z')
  const rows = [concern(0, 60), concern(-100, 61), concern(-100, null), concern(0, null)]
  expect(delaysOf(rows, now).inTime).toMatchObject({ events: 1, total: 3 })
})

test('a point a week from Monday by the clinic’s clock, none for a week without a visit', () => {
  const visits = heldVisits(
    [
      // Monday 00:30 in London in summer is Sunday by the world's clock.
      ear('one', 'soft', 'cleared', { doneAt: at('2026-06-07T23:30:00Z') }),
      ear('two', 'hard-and-dry', 'cleared', { doneAt: at('2026-06-07T22:30:00Z') }),
      ear('three', 'soft', 'cleared', { doneAt: at('2026-06-24T10:00:00Z') }),
    ],
    SOFT,
  )
  const chart = weekChart(visits, 'unsoftened', 'Europe/London')
  expect(chart?.weeks).toEqual(['2026-06-01', '2026-06-08', '2026-06-22'])
  expect(chart?.chart.points.map(({ events, total }) => [events, total])).toEqual([
    [1, 1],
    [0, 1],
    [0, 1],
  ])
  expect(weekChart([], 'failed', 'Europe/London')).toBeNull()
})
