/** Sends what is due. */
import type { Job } from '../src/jobs.ts'
import { deliverDue } from '../src/messages/outbox.ts'
import { currentProtocol } from '../src/protocol/store.ts'
import { tellReception } from './tell-reception.ts'

export const deliver: Job = {
  name: 'deliver',
  schedule: '*/5 * * * * *',
  parallel: true,
  run: async (service, { clinicId }, { transports, random, signal }) => {
    const { sent, failed } = await deliverDue(service, clinicId, transports, {
      isSigned: async (scope) => (await currentProtocol(scope)).signed !== null,
      onFailed: tellReception,
      signal,
      ...(random && { random }),
    })
    return sent + failed
  },
}
