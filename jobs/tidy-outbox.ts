/** Takes back messages of workers that died, and closes those past their time. */
import type { Job } from '../src/jobs.ts'
import { tidyOutbox } from '../src/messages/outbox.ts'
import { tellReception } from './tell-reception.ts'

export const tidy: Job = {
  name: 'tidy-outbox',
  schedule: '*/15 * * * * *',
  parallel: true,
  run: async (service, { clinicId }) => {
    const { requeued, failed, expired } = await tidyOutbox(service, clinicId, { onFailed: tellReception })
    return requeued + failed + expired
  },
}
