/** What the pages of trust read: audit entries, newest first. */
import { and, desc, eq, inArray, lt, or, type SQL, sql } from 'drizzle-orm'
import type { Temporal } from 'temporal-polyfill'
import { audit, jobRun, message } from '../../database/schema.ts'
import type { Scope } from '../../database/service.ts'

export type AuditRow = typeof audit.$inferSelect
export const PAGE_SIZE = 100

export function auditPage(
  { tx }: Pick<Scope, 'tx'>,
  { before, of }: { before: number | null; of?: SQL | undefined },
): Promise<AuditRow[]> {
  return tx
    .select()
    .from(audit)
    .where(and(before === null ? undefined : lt(audit.seq, before), of))
    .orderBy(desc(audit.seq))
    .limit(PAGE_SIZE)
}

/** Entries that name this patient, or a message to them. */
export async function entriesOf(
  scope: Pick<Scope, 'tx'>,
  patientId: string,
  before: number | null,
): Promise<AuditRow[]> {
  const ids = (
    await scope.tx.select({ id: message.messageId }).from(message).where(eq(message.patientId, patientId))
  ).map(({ id }) => id)
  const list = sql`array(select jsonb_array_elements_text(${JSON.stringify(ids)}::jsonb))`
  const sent = and(
    inArray(audit.action, ['send messages', 'cancel messages', 'take back messages']),
    sql`${audit.detail} -> 'ids' ?| ${list}`,
  )
  return await auditPage(scope, { before, of: or(eq(audit.patientId, patientId), sent) })
}

export async function lastVerified({
  tx,
}: Pick<Scope, 'tx'>): Promise<{ at: Temporal.Instant; error: string | null } | null> {
  const [row] = await tx.select().from(jobRun).where(eq(jobRun.job, 'verify-audit'))
  return row?.finishedAt ? { at: row.finishedAt, error: row.error } : null
}
