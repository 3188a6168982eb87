/** Who saw which patient: written in the audit, once a view. */
import { and, eq, gte, inArray } from 'drizzle-orm'
import { audit } from '../database/schema.ts'
import type { Scope } from '../database/service.ts'

/** A page that renews itself is one view: the same person sees the same patient once in these minutes. */
const ONE_VIEW_MINUTES = 10

/** Writes in the audit who saw which patients, and where. */
export async function auditViews(
  scope: Scope,
  staffId: string,
  patientIds: readonly (string | null)[],
  where: string,
): Promise<void> {
  const ids = [...new Set(patientIds.filter((id) => id !== null))]
  if (ids.length === 0) return
  const actor = `staff:${staffId}`
  const rows = await scope.tx
    .select({ patientId: audit.patientId })
    .from(audit)
    .where(
      and(
        inArray(audit.patientId, ids),
        eq(audit.actor, actor),
        eq(audit.action, 'view patient'),
        eq(audit.subject, where),
        gte(audit.at, scope.now.subtract({ minutes: ONE_VIEW_MINUTES })),
      ),
    )
  const seen = new Set(rows.map((row) => row.patientId))
  for (const patientId of ids.filter((id) => !seen.has(id)))
    scope.audit({ actor, action: 'view patient', patientId, subject: where })
}
