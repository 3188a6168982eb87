/** Computes readiness anew where the hours have gone on: a day without an answer says something too. */
import { inFlow } from '../src/flow/context.ts'
import { refreshReadiness as refresh } from '../src/flow/plans.ts'
import type { Job } from '../src/jobs.ts'
import { stalePlans } from '../src/softening/store.ts'

const BATCH = 50
const EVERY_HOURS = 3

export const refreshReadiness: Job = {
  name: 'refresh-readiness',
  schedule: '30 */10 * * * *',
  run: async (service, { clinicId }, { signal }) => {
    let done = 0
    for (let more = true; more && !signal.aborted; ) {
      const count = await inFlow(service, clinicId, async (flow) => {
        const plans = await stalePlans(flow, flow.now.subtract({ hours: EVERY_HOURS }), BATCH)
        for (const { planId } of plans) await refresh(flow, planId)
        return plans.length
      })
      done += count
      more = count === BATCH
    }
    return done
  },
}
