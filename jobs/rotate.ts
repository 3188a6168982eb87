/** Four times a day: finishes what a rotation of keys left, and makes a new data key once a year. */
import { rotate } from '../src/database/rotation.ts'
import type { Job } from '../src/jobs.ts'

/** The clinic's own policy may ask for more: `npm run rotate` at any time. */
export const NEW_KEY_AFTER_DAYS = 365

export const rotateKeys: Job = {
  name: 'rotate',
  schedule: '0 20 */6 * * *',
  run: async (service, { clinicId }, { signal }) => {
    const { resealed, rewrapped, retired } = await rotate(service, clinicId, {
      newKeyAfterDays: NEW_KEY_AFTER_DAYS,
      signal,
    })
    return resealed + rewrapped + retired
  },
}
