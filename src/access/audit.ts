/** Who did what: append-only, each entry hashed over the one before it, one chain a clinic. */
import { createHash } from 'node:crypto'
import { asc, eq, gt, sql } from 'drizzle-orm'
import { audit, auditHead } from '../database/schema.ts'
import type { Scope } from '../database/service.ts'

export interface AuditEntry {
  /** `staff:ID`, `patient:ID`, `job:NAME` or `service`. */
  actor: string
  /** A verb and a noun: 'view patient', 'close concern'. */
  action: string
  patientId?: string | undefined
  /** The thing acted on: `visit:ID`. */
  subject?: string | undefined
  /** No names, contacts or words of a patient in here: this table is never erased. */
  detail?: Record<string, string | number | boolean | null | string[]> | undefined
}

const GENESIS = Buffer.alloc(32)

/** Appends in order; takes the lock on the clinic's head, so it is called last before the commit. */
export async function appendAudit(
  scope: Pick<Scope, 'tx' | 'clinicId' | 'now'>,
  entries: AuditEntry[],
): Promise<void> {
  const { tx, clinicId } = scope
  let { seq, hash } = (await lockHead(scope)) ?? (await startChain(scope))
  const rows = entries.map((entry) => {
    seq += 1
    const row = {
      clinicId,
      seq,
      at: scope.now,
      actor: entry.actor,
      action: entry.action,
      patientId: entry.patientId ?? null,
      subject: entry.subject ?? null,
      detail: entry.detail ?? {},
      previousHash: hash,
    }
    hash = auditHash(row)
    return { ...row, hash }
  })
  // Sent one after the other on this connection without waiting in between.
  await Promise.all([
    tx.insert(audit).values(rows),
    tx.update(auditHead).set({ seq, hash }).where(eq(auditHead.clinicId, clinicId)),
  ])
}

const lockHead = async ({ tx, clinicId }: Pick<Scope, 'tx' | 'clinicId'>) =>
  (await tx.select().from(auditHead).where(eq(auditHead.clinicId, clinicId)).for('update'))[0]

async function startChain(scope: Pick<Scope, 'tx' | 'clinicId'>): Promise<{ seq: number; hash: Buffer }> {
  const start = { seq: 0, hash: GENESIS }
  await scope.tx
    .insert(auditHead)
    .values({ clinicId: scope.clinicId, ...start })
    .onConflictDoNothing()
  return (await lockHead(scope)) ?? start
}

type Hashed = Omit<typeof audit.$inferSelect, 'hash'>

/** SHA-256 over the previous hash and the entry's own fields in a fixed order. */
export function auditHash(row: Hashed): Buffer {
  const fields = [
    row.clinicId,
    row.seq,
    row.at.epochMilliseconds,
    row.actor,
    row.action,
    row.patientId,
    row.subject,
  ]
  return createHash('sha256')
    .update(row.previousHash)
    .update(JSON.stringify([...fields, sorted(row.detail)]))
    .digest()
}

// jsonb does not keep the order of keys.
function sorted(value: unknown): unknown {
  if (Array.isArray(value)) return value.map(sorted)
  if (value === null || typeof value !== 'object') return value
  return Object.fromEntries(
    Object.entries(value)
      .sort(([a], [b]) => (a < b ? -1 : 1))
      .map(([key, inner]) => [key, sorted(inner)]),
  )
}

export type AuditVerdict =
  | { entries: number; broken: null }
  | { entries: number; broken: { seq: number; why: string } }

/** Walks the clinic's whole chain; names the first broken link, a missing entry or a cut end. */
export async function verifyAudit(scope: Pick<Scope, 'tx' | 'clinicId'>): Promise<AuditVerdict> {
  const { tx, clinicId } = scope
  let previous: Buffer = GENESIS
  let seq = 0
  for (;;) {
    const rows = await tx.select().from(audit).where(gt(audit.seq, seq)).orderBy(asc(audit.seq)).limit(1000)
    for (const row of rows) {
      const expected = seq + 1
      if (row.seq !== expected)
        return { entries: seq, broken: { seq: expected, why: 'the entry is missing' } }
      if (!row.previousHash.equals(previous))
        return { entries: seq, broken: { seq: row.seq, why: 'it does not follow the one before' } }
      if (!auditHash(row).equals(row.hash))
        return { entries: seq, broken: { seq: row.seq, why: 'its content was changed' } }
      previous = row.hash
      seq = row.seq
    }
    if (rows.length < 1000) break
  }
  const [head] = await tx.select().from(auditHead).where(sql`${auditHead.clinicId} = ${clinicId}`)
  if ((head?.seq ?? 0) !== seq || !(head?.hash ?? GENESIS).equals(previous)) {
    return { entries: seq, broken: { seq: seq + 1, why: 'the end of the chain is missing' } }
  }
  return { entries: seq, broken: null }
}
