/** The one clock: real in service, driven in tests and in the simulation. */
import { Temporal } from 'temporal-polyfill'

export interface Clock {
  now(): Temporal.Instant
}

// Whole milliseconds: the database keeps microseconds, and an instant must come back as it went in.
export const realClock: Clock = {
  now: () => Temporal.Now.instant().round({ smallestUnit: 'millisecond', roundingMode: 'floor' }),
}

export interface DrivenClock extends Clock {
  set(to: Temporal.Instant): void
  advance(by: Temporal.DurationLike): void
}

/** A clock that stands still until it is told to move; it never goes back. */
export function drivenClock(start: Temporal.Instant | string): DrivenClock {
  let at = Temporal.Instant.from(start)
  const set = (to: Temporal.Instant): void => {
    if (Temporal.Instant.compare(to, at) < 0)
      throw new RangeError(`The clock cannot go back from ${at} to ${to}.`)
    at = to
  }
  return { now: () => at, set, advance: (by) => set(at.add(by)) }
}
