/** The demo's clock: real time plus a jump, so that a fortnight can be played in minutes. Never with a real clinic. */
import { existsSync, readFileSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { Temporal } from 'temporal-polyfill'
import { type Clock, realClock } from '../clock.ts'

export interface ShiftableClock extends Clock {
  /** Time goes on from this instant; it never goes back. @returns false where it may not be shifted */
  shiftTo(to: Temporal.Instant): boolean
  /** From here on the clock shows real time and cannot be shifted: a real clinic is on this database. */
  lock(): void
}

/** The jump is kept in the data folder, so that a second start goes on where the first was. */
export function shiftableClock(folder: string): ShiftableClock {
  const file = join(folder, 'demo-clock')
  let ahead = existsSync(file)
    ? Temporal.Duration.from(readFileSync(file, 'utf8').trim())
    : new Temporal.Duration()
  let locked = false
  const now = () => (locked ? realClock.now() : realClock.now().add(ahead))
  return {
    now,
    shiftTo: (to) => {
      const more = now().until(to)
      if (locked || more.sign < 0) return false
      ahead = ahead.add(more)
      writeFileSync(file, ahead.toString())
      return true
    },
    lock: () => {
      locked = true
    },
  }
}
