import fc from 'fast-check'
import { expect, test } from 'vitest'
import { MAX_ATTEMPTS, retryDelay } from '../../src/messages/backoff.ts'

const most = () => 1 - Number.EPSILON

test('an ordinary message doubles from 30 seconds up to half an hour; an urgent one from 5 seconds to two minutes', () => {
  const longest = (urgent: boolean) =>
    Array.from({ length: 9 }, (_, i) => retryDelay(i + 1, urgent, most) / 1000 - 1)
  expect(longest(false)).toEqual([30, 60, 120, 240, 480, 960, 1800, 1800, 1800])
  expect(longest(true)).toEqual([5, 10, 20, 40, 80, 120, 120, 120, 120])
})

test('the jitter is full: any wait from a second to the whole step', () => {
  expect(retryDelay(4, false, () => 0)).toBe(1000)
  expect(retryDelay(4, false, () => 0.25)).toBe(61_000)
})

test('an urgent message is given up within 20 minutes at the worst, so that a person hears of it', () => {
  const worst = Array.from({ length: MAX_ATTEMPTS - 1 }, (_, i) => retryDelay(i + 1, true, most))
  expect(worst.reduce((sum, wait) => sum + wait, 0)).toBeLessThanOrEqual(20 * 60_000)
})

test('never less than the other side asked for, never less than a second', () => {
  fc.assert(
    fc.property(
      fc.integer({ min: 1, max: 100 }),
      fc.boolean(),
      fc.double({ min: 0, max: 0.999, noNaN: true }),
      fc.integer({ min: 0, max: 86_400 }),
      (attempt, urgent, random, after) => {
        const wait = retryDelay(attempt, urgent, () => random, after)
        expect(wait).toBeGreaterThanOrEqual(Math.max(1, after) * 1000)
        expect(wait).toBeLessThanOrEqual((Math.max(1, after) + 1800) * 1000)
      },
    ),
  )
})
