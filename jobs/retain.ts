/** Ends what is past its time, by the clinic's table of kinds (src/privacy/kinds.ts). */
import { inClinic } from '../src/database/service.ts'
import type { Job } from '../src/jobs.ts'
import { retainOnce } from '../src/privacy/retention.ts'

const MOST_STEPS = 200

export const retain: Job = {
  name: 'retain',
  schedule: '0 30 */6 * * *',
  run: async (service, { clinicId }, { signal }) => {
    let done = 0
    for (let step = 0; step < MOST_STEPS && !signal.aborted; step += 1) {
      const gone = await inClinic(service, clinicId, retainOnce)
      done += gone
      if (gone === 0) break
    }
    return done
  },
}
