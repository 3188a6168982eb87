/** The clinician queue in the database: open, claim, tell, close; nothing leaves it in silence. */
import { and, asc, desc, eq, inArray, isNotNull, isNull, lte, ne, or, sql } from 'drizzle-orm'
import type { Temporal } from 'temporal-polyfill'
import { concern, concernEvent, notice } from '../database/schema.ts'
import type { Scope } from '../database/service.ts'
import { URGENCIES, type Urgency } from '../protocol/rule.ts'

export type Concern = typeof concern.$inferSelect
export type ConcernUrgency = Exclude<Urgency, 'none'>

export interface NewConcern {
  patientId: string | null
  replyId?: string | null
  visitId?: string | null
  source: Concern['source']
  urgency: ConcernUrgency
  score: number
  /** One plain line: why it is here. */
  reason: string
  warnAt: Temporal.Instant
  deadlineAt: Temporal.Instant
}

/**
 * Opens a concern; a reply has one at most. Where the reply's stands already and is less urgent, it is raised
 * (reading again may only ever make it more urgent). @returns the concern, and whether it is new or raised
 */
export async function openConcern(
  scope: Scope,
  fields: NewConcern,
): Promise<{ concern: Concern; fresh: boolean; raised: boolean }> {
  const { tx, clinicId, now } = scope
  if (fields.replyId) {
    const [before] = await tx.select().from(concern).where(eq(concern.replyId, fields.replyId)).for('update')
    if (before) {
      if (URGENCIES.indexOf(fields.urgency) <= URGENCIES.indexOf(before.urgency)) {
        return { concern: before, fresh: false, raised: false }
      }
      const { urgency, score, reason, warnAt, deadlineAt } = fields
      const [raised] = await tx
        .update(concern)
        .set({
          ...{ urgency, score, reason, warnAt, deadlineAt, warnedAt: null, escalatedAt: null },
          // What was closed as less than this must be looked at again.
          ...(before.status === 'closed'
            ? {
                status: 'open' as const,
                claimedBy: null,
                claimedAt: null,
                closedAt: null,
                closedBy: null,
                outcome: null,
              }
            : {}),
        })
        .where(eq(concern.concernId, before.concernId))
        .returning()
      await addEvent(scope, before.concernId, null, 'raised', reason)
      return { concern: raised as Concern, fresh: false, raised: true }
    }
  }
  const [made] = await tx
    .insert(concern)
    .values({ clinicId, ...fields, openedAt: now, status: 'open' })
    .returning()
  const opened = made as Concern
  await addEvent(scope, opened.concernId, null, 'opened', fields.reason)
  scope.audit({
    actor: 'service',
    action: 'open concern',
    patientId: fields.patientId ?? undefined,
    subject: `concern:${opened.concernId}`,
    detail: { urgency: fields.urgency, source: fields.source },
  })
  return { concern: opened, fresh: true, raised: false }
}

export async function addEvent(
  { tx, clinicId, now, vault }: Scope,
  concernId: string,
  byStaff: string | null,
  kind: string,
  note = '',
): Promise<void> {
  await tx
    .insert(concernEvent)
    .values({ clinicId, concernId, at: now, byStaff, kind, noteSealed: note ? vault.seal(note) : null })
}

export interface ConcernEvent {
  at: Temporal.Instant
  byStaff: string | null
  kind: string
  note: string
}

export async function eventsOf(
  scope: Pick<Scope, 'tx' | 'vault'>,
  concernId: string,
): Promise<ConcernEvent[]> {
  const rows = await scope.tx
    .select()
    .from(concernEvent)
    .where(eq(concernEvent.concernId, concernId))
    .orderBy(asc(concernEvent.at), asc(concernEvent.eventId))
  return rows.map(({ at, byStaff, kind, noteSealed }) => ({
    at,
    byStaff,
    kind,
    note: noteSealed ? scope.vault.open(noteSealed) : '',
  }))
}

/** Everything not closed, by deadline; the most urgent first where deadlines are equal. */
export function queue({ tx }: Pick<Scope, 'tx'>, limit = 500): Promise<Concern[]> {
  return tx
    .select()
    .from(concern)
    .where(ne(concern.status, 'closed'))
    .orderBy(
      asc(concern.deadlineAt),
      sql`array_position(array['now', 'today', 'soon', 'unclear'], ${concern.urgency})`,
      desc(concern.score),
    )
    .limit(limit)
}

export async function getConcern({ tx }: Pick<Scope, 'tx'>, concernId: string): Promise<Concern | null> {
  const [row] = await tx.select().from(concern).where(eq(concern.concernId, concernId))
  return row ?? null
}

/** A patient's concerns, newest first. */
export function concernsOf({ tx }: Pick<Scope, 'tx'>, patientId: string): Promise<Concern[]> {
  return tx.select().from(concern).where(eq(concern.patientId, patientId)).orderBy(desc(concern.openedAt))
}

/** Takes an open concern for one person. @returns false when somebody else was first */
export async function claim(scope: Scope, concernId: string, staffId: string): Promise<boolean> {
  const rows = await scope.tx
    .update(concern)
    .set({ status: 'claimed', claimedBy: staffId, claimedAt: scope.now })
    .where(and(eq(concern.concernId, concernId), eq(concern.status, 'open')))
    .returning()
  if (!rows[0]) return false
  await addEvent(scope, concernId, staffId, 'claimed')
  audited(scope, rows[0], staffId, 'claim concern')
  return true
}

/** Gives a claimed concern back to the queue; by its holder, or by the service when the claim led to nothing. */
export async function release(scope: Scope, concernId: string, staffId: string | null): Promise<boolean> {
  const held = staffId ? eq(concern.claimedBy, staffId) : isNotNull(concern.claimedBy)
  const rows = await scope.tx
    .update(concern)
    .set({ status: 'open', claimedBy: null, claimedAt: null })
    .where(and(eq(concern.concernId, concernId), eq(concern.status, 'claimed'), held))
    .returning()
  if (!rows[0]) return false
  await addEvent(scope, concernId, staffId, staffId ? 'given back' : 'claim lapsed')
  audited(scope, rows[0], staffId, 'release concern')
  return true
}

/** Closes a concern that this person holds, with its outcome. @returns false when they do not hold it */
export async function close(
  scope: Scope,
  concernId: string,
  staffId: string,
  { outcome, note }: { outcome: string; note: string },
): Promise<boolean> {
  const rows = await scope.tx
    .update(concern)
    .set({ status: 'closed', closedAt: scope.now, closedBy: staffId, outcome })
    .where(
      and(eq(concern.concernId, concernId), eq(concern.status, 'claimed'), eq(concern.claimedBy, staffId)),
    )
    .returning()
  if (!rows[0]) return false
  await addEvent(scope, concernId, staffId, 'closed', note)
  audited(scope, rows[0], staffId, 'close concern')
  return true
}

function audited(scope: Scope, row: Concern, staffId: string | null, action: string): void {
  scope.audit({
    actor: staffId ? `staff:${staffId}` : 'service',
    action,
    patientId: row.patientId ?? undefined,
    subject: `concern:${row.concernId}`,
    detail: { urgency: row.urgency },
  })
}

/** Open concerns that are near or past their deadline and have not been told of it yet; locked. */
export function dueForTelling({ tx, now }: Scope, limit: number): Promise<Concern[]> {
  return tx
    .select()
    .from(concern)
    .where(
      and(
        eq(concern.status, 'open'),
        or(
          and(isNull(concern.warnedAt), lte(concern.warnAt, now)),
          and(isNull(concern.escalatedAt), lte(concern.deadlineAt, now)),
        ),
      ),
    )
    .orderBy(asc(concern.deadlineAt))
    .limit(limit)
    .for('update', { skipLocked: true })
}

/** Claimed concerns past their deadline: a claim alone must not end the watch. Locked. */
export function claimedPastDeadline({ tx, now }: Scope, limit: number): Promise<Concern[]> {
  return tx
    .select()
    .from(concern)
    .where(and(eq(concern.status, 'claimed'), lte(concern.deadlineAt, now)))
    .orderBy(asc(concern.deadlineAt))
    .limit(limit)
    .for('update', { skipLocked: true })
}

export async function markTold(scope: Scope, concernId: string, stage: 'near' | 'past'): Promise<void> {
  const fields = stage === 'past' ? { warnedAt: scope.now, escalatedAt: scope.now } : { warnedAt: scope.now }
  await scope.tx.update(concern).set(fields).where(eq(concern.concernId, concernId))
}

/** Tells staff on their pages; the same key tells once. @returns the staff told now */
export async function giveNotice(
  { tx, clinicId, now }: Scope,
  {
    staffIds,
    concernId,
    kind,
    dedupe,
  }: { staffIds: string[]; concernId: string | null; kind: string; dedupe: string },
): Promise<string[]> {
  if (staffIds.length === 0) return []
  const rows = await tx
    .insert(notice)
    .values(
      staffIds.map((staffId) => ({
        clinicId,
        dedupe: `${dedupe}/${staffId}`,
        staffId,
        concernId,
        kind,
        at: now,
      })),
    )
    .onConflictDoNothing()
    .returning({ staffId: notice.staffId })
  return rows.map((row) => row.staffId)
}

export type Notice = typeof notice.$inferSelect

export function noticesOf({ tx }: Pick<Scope, 'tx'>, staffId: string): Promise<Notice[]> {
  return tx
    .select()
    .from(notice)
    .where(and(eq(notice.staffId, staffId), isNull(notice.seenAt)))
    .orderBy(desc(notice.at))
    .limit(50)
}

export async function seeNotices(
  { tx, now }: Scope,
  staffId: string,
  concernId: string | null,
): Promise<void> {
  const which = concernId ? [eq(notice.concernId, concernId)] : []
  await tx
    .update(notice)
    .set({ seenAt: now })
    .where(and(eq(notice.staffId, staffId), isNull(notice.seenAt), ...which))
}

/** Staff already told of a concern. */
export async function toldOf({ tx }: Pick<Scope, 'tx'>, concernId: string): Promise<string[]> {
  const rows = await tx
    .select({ staffId: notice.staffId })
    .from(notice)
    .where(eq(notice.concernId, concernId))
  return [...new Set(rows.map((row) => row.staffId))]
}

/** How many are open, by urgency. */
export async function openCounts({ tx }: Pick<Scope, 'tx'>): Promise<Record<string, number>> {
  const rows = await tx
    .select({ urgency: concern.urgency, n: sql<number>`count(*)::int` })
    .from(concern)
    .where(inArray(concern.status, ['open', 'claimed']))
    .groupBy(concern.urgency)
  return Object.fromEntries(rows.map((row) => [row.urgency, row.n]))
}

/** Whether a concern about this visit's silence is still open. */
export async function silenceIsOpen({ tx }: Pick<Scope, 'tx'>, visitId: string): Promise<boolean> {
  const rows = await tx
    .select({ id: concern.concernId })
    .from(concern)
    .where(and(eq(concern.visitId, visitId), eq(concern.source, 'silence'), ne(concern.status, 'closed')))
    .limit(1)
  return rows.length > 0
}
