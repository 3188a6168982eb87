/** Open slots and proposed moves in the database. A slot is given once: whoever locks its row first has it. */
import { and, asc, eq, gt, inArray, lte, sql } from 'drizzle-orm'
import type { Temporal } from 'temporal-polyfill'
import { move, slot } from '../../database/schema.ts'
import type { Scope } from '../../database/service.ts'

export type Slot = typeof slot.$inferSelect

/** One time that a patient may choose; `slotId` is null where the visit keeps its own time. */
export interface MoveChoice {
  slotId: string | null
  startAt: string
  practitionerId: string
  minutes: number
}

export interface Move {
  moveId: string
  visitId: string
  patientId: string
  kind: 'move' | 'lengthen' | 'assessment' | 'keep'
  status: (typeof move.$inferSelect)['status']
  choices: MoveChoice[]
  chosen: number | null
  reason: string
  proposedBy: string | null
  proposedAt: Temporal.Instant
  deadlineAt: Temporal.Instant
}

const toMove = (row: typeof move.$inferSelect): Move => ({ ...row, choices: row.choices as MoveChoice[] })

/** Opens a slot; one that stands at that time already is left as it is. @returns whether it is new */
export async function addSlot(
  { tx, clinicId }: Scope,
  fields: { practitionerId: string; startAt: Temporal.Instant; minutes: number; room: string | null },
): Promise<boolean> {
  const rows = await tx
    .insert(slot)
    .values({ clinicId, ...fields, status: 'open' })
    .onConflictDoUpdate({
      target: [slot.clinicId, slot.practitionerId, slot.startAt],
      set: {
        minutes: fields.minutes,
        room: fields.room,
        status: 'open',
        visitId: null,
        heldBy: null,
        heldUntil: null,
      },
      setWhere: sql`${slot.status} in ('withdrawn', 'taken') and not exists (select 1 from visit v
        where v.practitioner_id = ${fields.practitionerId} and v.start_at = ${fields.startAt.toString()} and v.status = 'booked')`,
    })
    .returning({ slotId: slot.slotId })
  return rows.length > 0
}

export async function withdrawSlot({ tx }: Scope, slotId: string): Promise<boolean> {
  const rows = await tx
    .update(slot)
    .set({ status: 'withdrawn' })
    .where(and(eq(slot.slotId, slotId), eq(slot.status, 'open')))
    .returning({ slotId: slot.slotId })
  return rows.length > 0
}

/** Slots that nobody holds or has, in order. */
export function openSlots(
  { tx }: Pick<Scope, 'tx'>,
  from: Temporal.Instant,
  to: Temporal.Instant,
): Promise<Slot[]> {
  return tx
    .select()
    .from(slot)
    .where(and(eq(slot.status, 'open'), gt(slot.startAt, from), lte(slot.startAt, to)))
    .orderBy(asc(slot.startAt))
}

/** Open slots in which no booked visit of their practitioner lies, nor one in their room, in order. */
export function freeSlots(
  { tx }: Pick<Scope, 'tx'>,
  from: Temporal.Instant,
  to: Temporal.Instant,
): Promise<Slot[]> {
  return tx
    .select()
    .from(slot)
    .where(
      and(
        eq(slot.status, 'open'),
        gt(slot.startAt, from),
        lte(slot.startAt, to),
        sql`not exists (select 1 from visit v where (v.practitioner_id = ${slot.practitionerId} or v.room = ${slot.room}) and v.status = 'booked'
          and tstzrange(v.start_at, v.start_at + v.minutes * interval '1 minute')
           && tstzrange(${slot.startAt}, ${slot.startAt} + ${slot.minutes} * interval '1 minute'))`,
      ),
    )
    .orderBy(asc(slot.startAt), asc(slot.slotId))
}

/** Slots that are open or held and lie in this time of a practitioner, in order; locked. */
export async function slotsIn(
  { tx }: Pick<Scope, 'tx'>,
  span: { practitionerId: string; from: Temporal.Instant; to: Temporal.Instant },
): Promise<Slot[]> {
  return await tx
    .select()
    .from(slot)
    .where(
      and(
        eq(slot.practitionerId, span.practitionerId),
        inArray(slot.status, ['open', 'held']),
        sql`tstzrange(${slot.startAt}, ${slot.startAt} + ${slot.minutes} * interval '1 minute')
          && tstzrange(${span.from.toString()}::timestamptz, ${span.to.toString()}::timestamptz)`,
      ),
    )
    .orderBy(asc(slot.startAt))
    .for('update')
}

/** Slots that somebody could still get or that a proposal holds, in order. */
export function heldOrOpenSlots(
  { tx }: Pick<Scope, 'tx'>,
  from: Temporal.Instant,
  to: Temporal.Instant,
): Promise<Slot[]> {
  return tx
    .select()
    .from(slot)
    .where(and(inArray(slot.status, ['open', 'held']), gt(slot.startAt, from), lte(slot.startAt, to)))
    .orderBy(asc(slot.startAt), asc(slot.slotId))
}

/** Locks these slots in a fixed order, so that two who want the same ones queue and do not deadlock. */
export function lockSlots({ tx }: Pick<Scope, 'tx'>, slotIds: string[]): Promise<Slot[]> {
  if (slotIds.length === 0) return Promise.resolve([])
  return tx.select().from(slot).where(inArray(slot.slotId, slotIds)).orderBy(asc(slot.slotId)).for('update')
}

export async function holdSlots(
  { tx }: Scope,
  slotIds: string[],
  moveId: string,
  until: Temporal.Instant,
): Promise<void> {
  if (slotIds.length === 0) return
  await tx
    .update(slot)
    .set({ status: 'held', heldBy: moveId, heldUntil: until })
    .where(inArray(slot.slotId, slotIds))
}

/** Slots that this move held and that nobody took are open again. */
export async function releaseSlots({ tx }: Scope, moveId: string): Promise<void> {
  await tx
    .update(slot)
    .set({ status: 'open', heldBy: null, heldUntil: null })
    .where(and(eq(slot.heldBy, moveId), eq(slot.status, 'held')))
}

export async function takeSlot({ tx }: Scope, slotId: string, visitId: string): Promise<void> {
  await tx
    .update(slot)
    .set({ status: 'taken', visitId, heldBy: null, heldUntil: null })
    .where(eq(slot.slotId, slotId))
}

export async function insertMove(
  scope: Scope,
  fields: Omit<typeof move.$inferInsert, 'clinicId'>,
): Promise<string> {
  const [made] = await scope.tx
    .insert(move)
    .values({ clinicId: scope.clinicId, ...fields })
    .returning({ moveId: move.moveId })
  return made?.moveId as string
}

/** Locks the move until the transaction ends. */
export async function lockMove({ tx }: Pick<Scope, 'tx'>, moveId: string): Promise<Move | null> {
  const [row] = await tx.select().from(move).where(eq(move.moveId, moveId)).for('update')
  return row ? toMove(row) : null
}

export async function settleMove(
  { tx, now }: Scope,
  moveId: string,
  status: Move['status'],
  chosen: number | null = null,
): Promise<void> {
  await tx.update(move).set({ status, chosen, answeredAt: now }).where(eq(move.moveId, moveId))
}

export async function proposedMove({ tx }: Pick<Scope, 'tx'>, visitId: string): Promise<Move | null> {
  const [row] = await tx
    .select()
    .from(move)
    .where(and(eq(move.visitId, visitId), eq(move.status, 'proposed')))
  return row ? toMove(row) : null
}

/** Moves that wait for another patient's place, of these visits or of all; locked. */
export async function waitingMoves({ tx }: Pick<Scope, 'tx'>, visitId?: string): Promise<Move[]> {
  const rows = await tx
    .select()
    .from(move)
    .where(and(eq(move.status, 'waiting'), visitId ? eq(move.visitId, visitId) : undefined))
    .orderBy(asc(move.proposedAt), asc(move.moveId))
    .for('update')
  return rows.map(toMove)
}

/** Newest last. */
export async function movesOf({ tx }: Pick<Scope, 'tx'>, visitIds: string[]): Promise<Move[]> {
  if (visitIds.length === 0) return []
  return (
    await tx.select().from(move).where(inArray(move.visitId, visitIds)).orderBy(asc(move.proposedAt))
  ).map(toMove)
}

/** Proposals past their deadline; locked. */
export async function expiredMoves({ tx, now }: Scope, limit: number): Promise<Move[]> {
  const rows = await tx
    .select()
    .from(move)
    .where(and(eq(move.status, 'proposed'), lte(move.deadlineAt, now)))
    .orderBy(asc(move.deadlineAt))
    .limit(limit)
    .for('update', { skipLocked: true })
  return rows.map(toMove)
}
