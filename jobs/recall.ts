/** Invites returners back when their own interval is nearly over, once a day. */
import { inFlow } from '../src/flow/context.ts'
import { inviteReturners, type RecallBatch } from '../src/flow/recall.ts'
import type { Job } from '../src/jobs.ts'

const BATCH = 100

export const recall: Job = {
  name: 'recall',
  schedule: '0 40 10 * * *',
  run: async (service, { clinicId }, { signal }) => {
    let done = 0
    for (let after: string | null = null; !signal.aborted; ) {
      const from: string | null = after
      const batch: RecallBatch = await inFlow(service, clinicId, (flow) => inviteReturners(flow, from, BATCH))
      done += batch.invited
      if (batch.next === null) break
      after = batch.next
    }
    return done
  },
}
