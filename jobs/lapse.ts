/** Silence is an answer: histories, proposals and checks that nobody answered by their deadline. */
import { lapseChecks } from '../src/flow/aftercare.ts'
import { type Flow, inFlow } from '../src/flow/context.ts'
import { lapseMoves } from '../src/flow/moves.ts'
import { lapseHistories } from '../src/flow/screening.ts'
import { proposeAgain } from '../src/flow/week-acts.ts'
import type { Job } from '../src/jobs.ts'

const BATCH = 50

const lapseProposals = (flow: Flow, limit: number) => lapseMoves(flow, limit, proposeAgain)
const STEPS = [lapseHistories, lapseProposals, lapseChecks]

export const lapse: Job = {
  name: 'lapse',
  schedule: '0 * * * * *',
  run: async (service, { clinicId }, { signal }) => {
    let done = 0
    for (const step of STEPS) {
      for (let more = true; more && !signal.aborted; ) {
        const count = await inFlow(service, clinicId, (flow: Flow) => step(flow, BATCH))
        done += count
        more = count === BATCH
      }
    }
    return done
  },
}
