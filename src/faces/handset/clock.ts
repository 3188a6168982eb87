/** The demo's clock: moved on step by step, with the jobs run at each, so that nothing on the way is jumped over. */
import { Temporal } from 'temporal-polyfill'
import { carrySessions } from '../../access/sessions.ts'
import type { Clock } from '../../clock.ts'
import { inClinic, type Service } from '../../database/service.ts'
import type { ShiftableClock } from '../../demo/clock.ts'
import { nextDue } from '../../messages/thread.ts'

export const isShiftable = (clock: Clock): clock is ShiftableClock => 'shiftTo' in clock

export const JUMPS = {
  hour: 'An hour on',
  morning: 'Tomorrow morning',
  next: 'To the next text',
} as const
export type Jump = keyof typeof JUMPS
export const isJump = (text: string): text is Jump => Object.hasOwn(JUMPS, text)

/** Longer than any step of the jobs' own deadlines, short enough to be played through. */
const STEP = { hours: 1 } as const
const MOST_STEPS = 24 * 45
const MORNING = Temporal.PlainTime.from('09:00')

export interface Jumper {
  service: Service
  clinicId: string
  zone: string
  /** To the next text to this patient. */
  patientId?: string | undefined
  runJobs: (() => Promise<void>) | undefined
}

/** Where a jump leads; null where there is nothing to jump to. */
export async function targetOf(
  jump: Jump,
  { service, clinicId, zone, patientId }: Jumper,
): Promise<Temporal.Instant | null> {
  const now = service.clock.now()
  if (jump === 'hour') return now.add({ hours: 1 })
  if (jump === 'next') return await inClinic(service, clinicId, (scope) => nextDue(scope, now, patientId))
  return now
    .toZonedDateTimeISO(zone)
    .toPlainDate()
    .add({ days: 1 })
    .toZonedDateTime({ timeZone: zone, plainTime: MORNING })
    .toInstant()
}

/** Plays the time until `target`. @returns false where the clock may not be moved */
export async function playTo(target: Temporal.Instant, jumper: Jumper): Promise<boolean> {
  const { service, clinicId, runJobs } = jumper
  const { clock } = service
  if (!isShiftable(clock)) return false
  for (let step = 0; step < MOST_STEPS; step += 1) {
    const now = clock.now()
    if (Temporal.Instant.compare(now, target) >= 0) return true
    const due = await inClinic(service, clinicId, (scope) => nextDue(scope, now))
    const to = [target, now.add(STEP), ...(due ? [due] : [])].reduce((a, b) =>
      Temporal.Instant.compare(a, b) <= 0 ? a : b,
    )
    // Whoever is signed in stays so: only the demo's time has passed.
    await inClinic(service, clinicId, (scope) => carrySessions(scope, now.until(to).total('milliseconds')))
    if (!clock.shiftTo(to)) return false
    await runJobs?.()
  }
  return true
}
