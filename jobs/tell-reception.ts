/** A message that nobody could deliver becomes somebody's task. */
import type { Scope } from '../src/database/service.ts'
import { putOnDesk } from '../src/desk/store.ts'
import type { UndeliveredMessage } from '../src/messages/outbox.ts'

export function tellReception(scope: Scope, message: UndeliveredMessage): Promise<void> {
  const { messageId, patientId, visitId, kind, why } = message
  return putOnDesk(scope, {
    dedupe: `delivery-failed:${messageId}`,
    kind: 'delivery-failed',
    patientId,
    visitId,
    note: `${kind}: ${why}`,
  })
}
