/** Learns the clinic's own adherence and the link from doses to softness from its finished plans, once a night. */
import { inFlow } from '../src/flow/context.ts'
import { learn as fit } from '../src/flow/learning.ts'
import type { Job } from '../src/jobs.ts'

export const learn: Job = {
  name: 'learn',
  schedule: '0 10 2 * * *',
  run: (service, { clinicId }) => inFlow(service, clinicId, fit),
}
