/** A message that nobody could deliver becomes somebody's task. */
import type { Scope } from '../src/database/service.ts'
import { putOnDesk } from '../src/desk/store.ts'
import type { UndeliveredMessage } from '../src/messages/outbox.ts'

/** Their time has passed, and nobody need telephone because of it: what they led to is watched elsewhere. */
const COURTESIES: ReadonlySet<string> = new Set([
  'dose-thanks',
  'dose-reminder',
  'dose-question',
  'screening-reminder',
  'aftercare-reminder',
  'move-request-received',
])

export async function tellReception(scope: Scope, message: UndeliveredMessage): Promise<void> {
  const { messageId, patientId, visitId, kind, why } = message
  if (why === 'expired' && COURTESIES.has(kind)) return
  await putOnDesk(scope, {
    dedupe: `delivery-failed:${messageId}`,
    kind: 'delivery-failed',
    patientId,
    visitId,
    note: `${kind}: ${why}`,
  })
}
