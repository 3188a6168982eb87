/**
 * What must be settled once after the database was brought back to an earlier instant. Nobody here knows what
 * happened between that instant and now: what was due then is not sent again but put before a person.
 */
import { and, inArray, isNull, lte } from 'drizzle-orm'
import type { Temporal } from 'temporal-polyfill'
import { message, session } from '../database/schema.ts'
import type { Scope } from '../database/service.ts'
import { putOnDesk } from '../desk/store.ts'
import { soonWords } from '../messages/words.ts'
import { type Flow, flowOf } from './context.ts'

/** Written into a message that may have gone out in the hours that are lost. */
export const DOUBTFUL = 'doubtful-after-restore'

export interface Settled {
  /** Messages that are not sent, because they may have been. */
  doubtful: number
  /** Messages due later, which go out as planned. */
  waiting: number
}

/** `point` is the instant that was restored, by the clinic's clock. Safe to run twice. */
export async function settleAfterRestore(scope: Scope, point: Temporal.Instant): Promise<Settled> {
  const flow = await flowOf(scope)
  const { tx, now } = flow
  const rows = await tx
    .update(message)
    .set({ status: 'failed', lastError: DOUBTFUL, leaseUntil: null })
    .where(and(inArray(message.status, ['queued', 'sending']), lte(message.dueAt, now)))
    .returning()
  for (const row of rows) {
    if (!row.patientId) continue
    await putOnDesk(flow, {
      dedupe: `doubtful-message:${row.messageId}`,
      kind: 'doubtful-message',
      patientId: row.patientId,
      visitId: row.visitId,
      note: `${row.kind}, due ${soonWords(row.dueAt, now, flow.clinic.zone)}.`,
    })
  }
  // Sessions that were ended in the lost hours would live again.
  await tx.update(session).set({ revokedAt: now }).where(isNull(session.revokedAt))
  const waiting = await tx.$count(message, inArray(message.status, ['queued']))
  await putOnDesk(flow, {
    dedupe: `restored:${point}`,
    kind: 'restored',
    note: lostWords(flow, point),
    dueAt: now,
  })
  flow.audit({
    actor: 'service',
    action: 'restore database',
    detail: { point: point.toString(), doubtful: rows.length, waiting },
  })
  return { doubtful: rows.length, waiting }
}

const lostWords = (flow: Flow, point: Temporal.Instant): string => {
  const from = point
    .toZonedDateTimeISO(flow.clinic.zone)
    .toPlainDateTime()
    .toString({ smallestUnit: 'minute' })
  const to = flow.now
    .toZonedDateTimeISO(flow.clinic.zone)
    .toPlainDateTime()
    .toString({ smallestUnit: 'minute' })
  return [
    `Nothing is known of what happened from ${from} to ${to}.`,
    'A clinician reads every text that patients sent in that time at the sending service: a red flag may be among them.',
    'Look there for STOP too. Import the visits again: to those that were new, first messages go out once more.',
    'Records, sign-offs, erasures and removed people of that time must be entered again.',
  ].join(' ')
}
