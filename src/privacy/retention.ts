/** Follows the table of kinds: what is past its time goes, and the audit says how much. */
import { Temporal } from 'temporal-polyfill'
import { tidyAccess } from '../access/tidy.ts'
import type { Scope } from '../database/service.ts'
import { RETENTION } from './kinds.ts'
import { CLEAR, eraseWhole, quietPatients, type RetentionRow, retentionRows, saveRetention } from './store.ts'

/** A child's record is kept to this age, whatever the days say. */
const CHILD_UNTIL = 26
const PATIENTS_A_RUN = 50

export interface KeptFor {
  kind: string
  days: number | null
  confirmed: RetentionRow | null
}

/** The days in force: the clinic's own, else the default. */
export async function retentionInForce(scope: Pick<Scope, 'tx'>): Promise<KeptFor[]> {
  const own = new Map((await retentionRows(scope)).map((row) => [row.kind, row]))
  return RETENTION.map(({ kind, days }) => ({
    kind,
    days: own.get(kind)?.days ?? days,
    confirmed: own.get(kind) ?? null,
  }))
}

/** The clinic confirms a period, or sets its own. @returns false for a kind that has no days to set, or too few */
export async function confirmRetention(
  scope: Scope,
  change: { kind: string; days: number; staffId: string },
): Promise<boolean> {
  const known = RETENTION.find(({ kind }) => kind === change.kind)
  if (!known || known.days === null || change.days < (known.least ?? 1)) return false
  await saveRetention(scope, change)
  scope.audit({
    actor: `staff:${change.staffId}`,
    action: 'confirm retention',
    detail: { kind: change.kind, days: change.days },
  })
  return true
}

/** One step; call again while it returns more than 0. @returns how many rows or patients went */
export async function retainOnce(scope: Scope): Promise<number> {
  const counts: Record<string, number> = {}
  for (const { kind, days } of await retentionInForce(scope)) {
    if (days === null) continue
    const before = scope.now.subtract({ hours: 24 * days })
    const gone = kind === 'care-record' ? await endRecords(scope, before) : await CLEAR[kind]?.(scope, before)
    if (gone) counts[kind] = gone
  }
  const access = await tidyAccess(scope)
  if (access > 0) counts.access = access
  const sum = Object.values(counts).reduce((total, n) => total + n, 0)
  if (sum > 0) scope.audit({ actor: 'job:retain', action: 'end retention', detail: counts })
  return sum
}

async function endRecords(scope: Scope, before: Temporal.Instant): Promise<number> {
  let gone = 0
  for (const { patientId, birthDateSealed } of await quietPatients(scope, before, PATIENTS_A_RUN)) {
    if (birthDateSealed && isYoung(scope.vault.open(birthDateSealed), scope.now)) continue
    await eraseWhole(scope, patientId)
    scope.audit({
      actor: 'job:retain',
      action: 'erase patient',
      patientId,
      detail: { ground: 'retention ended' },
    })
    gone += 1
  }
  return gone
}

const isYoung = (birthDate: string, now: Temporal.Instant): boolean => {
  const until = Temporal.PlainDate.from(birthDate).add({ years: CHILD_UNTIL })
  return Temporal.PlainDate.compare(now.toZonedDateTimeISO('UTC').toPlainDate(), until) < 0
}
