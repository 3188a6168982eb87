/** Takes in replies and receipts that the clinic's own script laid into the spool. */
import { loadClinic } from '../src/clinic.ts'
import { inClinic } from '../src/database/service.ts'
import { putOnDesk } from '../src/desk/store.ts'
import type { Job } from '../src/jobs.ts'
import { collectSpool } from '../src/messages/transports/spool-inbox.ts'
import { tellReception } from './tell-reception.ts'

export const collect: Job = {
  name: 'collect-spool',
  schedule: '*/5 * * * * *',
  run: async (service, { clinicId, slug }, { spool, onReply, signal }) => {
    const { settings } = await inClinic(service, clinicId, loadClinic)
    if (settings.transport !== 'spool') return 0
    const { replies, receipts, bad } = await collectSpool(service, clinicId, {
      root: spool,
      slug,
      signal,
      onFailed: tellReception,
      onBadFile: (scope, { name, why }) =>
        putOnDesk(scope, { dedupe: `spool-file:${name}`, kind: 'delivery-failed', note: `${name}: ${why}` }),
    })
    const faults: unknown[] = []
    // One after the other: the order in which a patient wrote matters.
    for (const { replyId, fresh } of replies) {
      if (fresh) await onReply?.(service, clinicId, replyId).catch((error) => void faults.push(error))
    }
    if (faults.length > 0) throw faults[0]
    return replies.length + receipts + bad
  },
}
