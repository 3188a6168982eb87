/** When a message is tried again: exponential, with full jitter, so that retries of one outage spread out. */

export const MAX_ATTEMPTS = 12

/** Seconds. An urgent message gives up within about a quarter of an hour, so that a person hears of it. */
const STEPS = { urgent: { base: 5, cap: 120 }, ordinary: { base: 30, cap: 1800 } }

/**
 * @param attempt the try that failed, from 1
 * @param random in [0, 1)
 * @param afterSeconds what the other side asked for
 * @returns milliseconds to wait, a second at least
 */
export function retryDelay(attempt: number, urgent: boolean, random: () => number, afterSeconds = 0): number {
  const { base, cap } = STEPS[urgent ? 'urgent' : 'ordinary']
  const ceiling = Math.min(cap, base * 2 ** (attempt - 1))
  return Math.round(1000 * (Math.max(1, afterSeconds) + random() * ceiling))
}
