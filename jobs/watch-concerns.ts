/** Tells the next person near a concern's deadline, and everyone past it. */
import { watchConcerns as watch } from '../src/flow/concerns.ts'
import { inFlow } from '../src/flow/context.ts'
import type { Job } from '../src/jobs.ts'

export const watchConcerns: Job = {
  name: 'watch-concerns',
  schedule: '*/15 * * * * *',
  run: (service, { clinicId }) => inFlow(service, clinicId, (flow) => watch(flow)),
}
