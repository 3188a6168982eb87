/** The statements of export, erasure and retention. They walk the list of places. */
import { and, eq, inArray, isNotNull, lt, notInArray, or, type SQL, sql } from 'drizzle-orm'
import type { Temporal } from 'temporal-polyfill'
import { columns } from '../database/columns.ts'
import {
  concern,
  deskItem,
  link,
  message,
  move,
  notice,
  patient,
  reply,
  retention,
  slot,
} from '../database/schema.ts'
import type { Scope } from '../database/service.ts'
import { PLACES, type Place } from './places.ts'

export type Row = Record<string, unknown>

/** The rows of one place for one patient, as a condition on its table `t`. */
function within({ reach }: Place, patientId: string): SQL {
  if (reach === 'patient_id') return sql`t.patient_id = ${patientId}::uuid`
  const key = sql.identifier(reach.column)
  return sql`t.${key} in (select ${key} from ${sql.identifier(reach.of)} where patient_id = ${patientId}::uuid)`
}

/** Everything of one place, sealed columns opened, hashes left out; times as ISO 8601. */
export async function rowsOf({ tx, vault }: Scope, place: Place, patientId: string): Promise<Row[]> {
  const rows = await tx.execute<{ row: Row }>(
    sql`select to_jsonb(t) as row from ${sql.identifier(place.table)} t where ${within(place, patientId)}
      order by ${sql.raw(ORDER[place.table] ?? '1')}`,
  )
  const decisions = columns[place.table] ?? {}
  return rows.map(({ row }) =>
    Object.fromEntries(
      Object.entries(row).flatMap(([column, value]): [string, unknown][] => {
        const held = decisions[column]?.held
        if (column === 'clinic_id' || held === undefined || held === 'hash' || held === 'keyed hash')
          return []
        if (held !== 'sealed' || value === null) return [[column.replace(/_sealed$/, ''), value]]
        const text = vault.open(Buffer.from(String(value).slice(2), 'hex'))
        return [[column.replace(/_sealed$/, ''), readable(text)]]
      }),
    ),
  )
}

const ORDER: Record<string, string> = {
  visit: 'start_at',
  message: 'due_at, message_id',
  reply: 'received_at, reply_id',
  audit: 'seq',
  dose_day: 'day, ear',
  question: 'asked_at',
  concern_event: 'at',
}

// An address in a message opens a patient's pages to whoever holds it.
function readable(text: string): unknown {
  const safe = text.replace(/https?:\/\/\S+/gu, '[link]')
  if (!/^[[{]/.test(safe)) return safe
  try {
    return JSON.parse(safe)
  } catch {
    return safe
  }
}

export interface Traces {
  /** Visits held, histories answered, plans, records, concerns: there is care to be accounted for. */
  care: number
  openConcerns: number
  /** When a booked visit that is still to come begins. */
  nextVisit: string | null
  lastAt: string | null
}

export async function tracesOf({ tx, now }: Scope, patientId: string): Promise<Traces> {
  const id = sql`${patientId}::uuid`
  const [row] = await tx.execute<{
    care: number
    open: number
    next: string | null
    last: string | null
  }>(sql`
    select
      (select count(*) from visit where patient_id = ${id} and status = 'done')::int
        + (select count(*) from procedure_record where patient_id = ${id})::int
        + (select count(*) from screening where patient_id = ${id} and answers_sealed is not null)::int
        + (select count(*) from plan where patient_id = ${id})::int
        + (select count(*) from concern where patient_id = ${id})::int as care,
      (select count(*) from concern where patient_id = ${id} and status <> 'closed')::int as open,
      (select to_char(min(start_at) at time zone 'UTC', 'YYYY-MM-DD"T"HH24:MI:SS"Z"') from visit
        where patient_id = ${id} and status = 'booked' and start_at > ${now.toString()}::timestamptz) as next,
      (select to_char(greatest(
          (select max(start_at) from visit where patient_id = ${id}),
          (select max(received_at) from reply where patient_id = ${id}),
          (select max(done_at) from procedure_record where patient_id = ${id}),
          (select created_at from patient where patient_id = ${id})
        ) at time zone 'UTC', 'YYYY-MM-DD"T"HH24:MI:SS"Z"')) as last`)
  return {
    care: row?.care ?? 0,
    openConcerns: row?.open ?? 0,
    nextVisit: row?.next ?? null,
    lastAt: row?.last ?? null,
  }
}

const count = async (scope: Scope, place: Place, patientId: string): Promise<number> => {
  const [row] = await scope.tx.execute<{ n: number }>(
    sql`select count(*)::int as n from ${sql.identifier(place.table)} t where ${within(place, patientId)}`,
  )
  return row?.n ?? 0
}

/** Deletes the patient from every place but the audit. @returns rows by table */
export async function eraseWhole(scope: Scope, patientId: string): Promise<Map<string, number>> {
  const done = new Map<string, number>()
  for (const place of PLACES) {
    if (place.table === 'audit') continue
    done.set(place.table, await count(scope, place, patientId))
    if (place.table === 'slot') {
      await scope.tx.execute(sql`update slot t set visit_id = null where ${within(place, patientId)}`)
      continue
    }
    if (place.table === 'message') {
      // Also what was sent to staff about this patient's concerns.
      await scope.tx.execute(
        sql`delete from message where concern_id in (select concern_id from concern where patient_id = ${patientId}::uuid)`,
      )
    }
    await scope.tx.execute(
      sql`delete from ${sql.identifier(place.table)} t where ${within(place, patientId)}`,
    )
  }
  return done
}

/** What stays of a message's words: advice for safety, and what a clinician wrote. */
const keptWords = sql`(${message.kind} like 'safety-%' or ${message.kind} = 'clinician-reply')`

/** Erases what the record of care does not need. @returns rows touched by table */
export async function erasePartly(scope: Scope, patientId: string): Promise<Map<string, number>> {
  const { tx, vault, now } = scope
  const gone = vault.seal('(erased)')
  const done = new Map<string, number>()
  const note = (table: string, rows: unknown[]) => void done.set(table, (done.get(table) ?? 0) + rows.length)
  note('link', await tx.delete(link).where(eq(link.patientId, patientId)).returning())
  note('move', await tx.delete(move).where(eq(move.patientId, patientId)).returning())
  note('desk_item', await tx.delete(deskItem).where(eq(deskItem.patientId, patientId)).returning())
  const mine = eq(message.patientId, patientId)
  await tx
    .update(message)
    .set({ status: 'cancelled', leaseUntil: null })
    .where(and(mine, inArray(message.status, ['queued', 'sending'])))
  note('message', await tx.update(message).set({ toSealed: gone }).where(mine).returning())
  await tx
    .update(message)
    .set({ bodySealed: gone })
    .where(and(mine, sql`not ${keptWords}`))
  const theirs = eq(reply.patientId, patientId)
  note('reply', await tx.update(reply).set({ fromSealed: null, fromBlind: null }).where(theirs).returning())
  const actedOn = tx.select({ id: concern.replyId }).from(concern).where(isNotNull(concern.replyId))
  await tx
    .update(reply)
    .set({ bodySealed: gone, readingSealed: null })
    .where(and(theirs, eq(reply.urgency, 'none'), notInArray(reply.replyId, actedOn)))
  note(
    'patient',
    await tx
      .update(patient)
      .set({
        mobileSealed: null,
        mobileBlind: null,
        emailSealed: null,
        emailBlind: null,
        stoppedAt: now,
        updatedAt: now,
      })
      .where(eq(patient.patientId, patientId))
      .returning(),
  )
  return done
}

/** Rows by table that stay. */
export async function countPlaces(scope: Scope, patientId: string): Promise<Map<string, number>> {
  const found = new Map<string, number>()
  for (const place of PLACES) found.set(place.table, await count(scope, place, patientId))
  return found
}

/** Patients of whom nothing was heard since `before`, who have no open concern and no visit to come. */
export async function quietPatients(
  { tx, now }: Scope,
  before: Temporal.Instant,
  limit: number,
): Promise<{ patientId: string; birthDateSealed: Buffer | null }[]> {
  const at = sql`${before.toString()}::timestamptz`
  return await tx
    .select({ patientId: patient.patientId, birthDateSealed: patient.birthDateSealed })
    .from(patient)
    .where(
      and(
        lt(patient.createdAt, before),
        sql`not exists (select 1 from visit v where v.patient_id = ${patient.patientId} and (v.start_at >= ${at} or (v.status = 'booked' and v.start_at > ${now.toString()}::timestamptz)))`,
        sql`not exists (select 1 from reply r where r.patient_id = ${patient.patientId} and r.received_at >= ${at})`,
        sql`not exists (select 1 from procedure_record p where p.patient_id = ${patient.patientId} and p.done_at >= ${at})`,
        sql`not exists (select 1 from concern c where c.patient_id = ${patient.patientId} and c.status <> 'closed')`,
      ),
    )
    .orderBy(patient.patientId)
    .limit(limit)
}

export type Clear = (scope: Scope, before: Temporal.Instant) => Promise<number>

/** What the job does for each kind but the record of care. */
export const CLEAR: Readonly<Record<string, Clear>> = {
  'unsent-messages': async ({ tx }, before) =>
    (
      await tx
        .delete(message)
        .where(and(inArray(message.status, ['cancelled', 'expired', 'failed']), lt(message.dueAt, before)))
        .returning({ id: message.messageId })
    ).length,
  'unknown-senders': async ({ tx }, before) => {
    const old = and(sql`${reply.patientId} is null`, lt(reply.receivedAt, before))
    const closed = sql`not exists (select 1 from concern c where c.reply_id = ${reply.replyId} and c.status <> 'closed')`
    const rows = await tx.select({ id: reply.replyId }).from(reply).where(and(old, closed))
    const ids = rows.map((row) => row.id)
    if (ids.length === 0) return 0
    await tx.delete(concern).where(inArray(concern.replyId, ids))
    await tx.delete(reply).where(inArray(reply.replyId, ids))
    return ids.length
  },
  links: async ({ tx }, before) =>
    (
      await tx
        .delete(link)
        .where(or(lt(link.expiresAt, before), lt(link.revokedAt, before)))
        .returning({ id: link.linkHash })
    ).length,
  desk: async ({ tx }, before) =>
    (await tx.delete(deskItem).where(lt(deskItem.doneAt, before)).returning({ id: deskItem.itemId })).length,
  notices: async ({ tx }, before) =>
    (await tx.delete(notice).where(lt(notice.seenAt, before)).returning({ id: notice.noticeId })).length,
  'open-times': async ({ tx }, before) =>
    (await tx.delete(slot).where(lt(slot.startAt, before)).returning({ id: slot.slotId })).length,
}

export type RetentionRow = typeof retention.$inferSelect

export function retentionRows({ tx }: Pick<Scope, 'tx'>): Promise<RetentionRow[]> {
  return tx.select().from(retention)
}

export async function saveRetention(
  { tx, clinicId, now }: Scope,
  { kind, days, staffId }: { kind: string; days: number; staffId: string },
): Promise<void> {
  const set = { days, confirmedBy: staffId, confirmedAt: now }
  await tx
    .insert(retention)
    .values({ clinicId, kind, ...set })
    .onConflictDoUpdate({ target: [retention.clinicId, retention.kind], set })
}

export async function consentOf({ tx }: Pick<Scope, 'tx'>, patientId: string): Promise<unknown | undefined> {
  const [row] = await tx
    .select({ consent: patient.consent })
    .from(patient)
    .where(eq(patient.patientId, patientId))
    .for('update')
  return row && (row.consent ?? [])
}

export async function saveConsent(
  { tx }: Pick<Scope, 'tx'>,
  patientId: string,
  consent: unknown,
): Promise<void> {
  await tx.update(patient).set({ consent }).where(eq(patient.patientId, patientId))
}
