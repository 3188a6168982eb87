/** What happened in a span of time, as rows to be counted. No names, no contacts, no words of a patient. */
import { and, eq, gte, isNotNull, lt, ne, sql } from 'drizzle-orm'
import { Temporal } from 'temporal-polyfill'
import { clinicModel, concern, jobRun, move, practitioner, reply, visit } from '../database/schema.ts'
import type { Scope } from '../database/service.ts'

type Reader = Pick<Scope, 'tx'>

export interface Span {
  from: Temporal.Instant
  /** Not in it any more. */
  to: Temporal.Instant
}

/** One ear at one held removal visit. */
export interface EarRow {
  visitId: string
  doneAt: Temporal.Instant
  minutes: number
  practitioner: string
  /** What was used at home before; 'none' where nothing was. */
  agent: string
  ear: string
  softness: string
  result: string
  /** The readiness of this ear as it was last believed before the visit; null where there was none. */
  predicted: number | null
}

/** Every ear of removal visits whose record was made in this span. */
export async function earRows({ tx }: Reader, { from, to }: Span): Promise<EarRow[]> {
  const rows = await tx.execute<{
    visit_id: string
    done_at: string
    minutes: number
    practitioner: string
    agent: string | null
    ear: string
    softness: string
    result: string
    predicted: number | null
  }>(sql`select r.visit_id, to_char(r.done_at at time zone 'UTC', 'YYYY-MM-DD"T"HH24:MI:SS.US"Z"') as done_at,
      v.minutes, p.name as practitioner, plan.agent, r.ear, r.softness, r.result,
      case when plan.readiness_at <= r.done_at then
        (select (e ->> 'p')::double precision from jsonb_array_elements(plan.readiness_detail -> 'ears') e
          where e ->> 'ear' = r.ear limit 1) end as predicted
    from procedure_record r
    join visit v on v.clinic_id = r.clinic_id and v.visit_id = r.visit_id and v.purpose = 'removal'
    join practitioner p on p.clinic_id = v.clinic_id and p.practitioner_id = v.practitioner_id
    left join lateral (
      select case when pl.first_day is null then null else pl.agent end as agent, pl.readiness_at, pl.readiness_detail
      from plan pl where pl.clinic_id = r.clinic_id and pl.visit_id = r.visit_id and pl.created_at <= r.done_at
        and pl.created_at < v.start_at and pl.status <> 'cancelled' order by pl.created_at desc limit 1) plan on true
    where r.done_at >= ${from.toString()}::timestamptz and r.done_at < ${to.toString()}::timestamptz
    order by r.done_at, r.visit_id, r.ear`)
  return rows.map((row) => ({
    visitId: row.visit_id,
    doneAt: Temporal.Instant.from(row.done_at),
    minutes: row.minutes,
    practitioner: row.practitioner,
    agent: row.agent ?? 'none',
    ear: row.ear,
    softness: row.softness,
    result: row.result,
    predicted: row.predicted,
  }))
}

export interface MoveRow {
  proposedAt: Temporal.Instant
  status: (typeof move.$inferSelect)['status']
  practitioner: string
  agent: string
}

/** Times offered to patients in this span; those still waiting to be offered are not among them. */
export async function moveRows({ tx }: Reader, { from, to }: Span): Promise<MoveRow[]> {
  const agent = sql<string>`coalesce((select pl.agent from plan pl where pl.clinic_id = move.clinic_id
    and pl.visit_id = move.visit_id and pl.first_day is not null order by pl.created_at desc limit 1), 'none')`
  return await tx
    .select({
      proposedAt: move.proposedAt,
      status: move.status,
      practitioner: practitioner.name,
      agent,
    })
    .from(move)
    .innerJoin(visit, and(eq(visit.clinicId, move.clinicId), eq(visit.visitId, move.visitId)))
    .innerJoin(
      practitioner,
      and(eq(practitioner.clinicId, visit.clinicId), eq(practitioner.practitionerId, visit.practitionerId)),
    )
    .where(
      and(
        eq(move.kind, 'move'),
        ne(move.status, 'waiting'),
        ne(move.status, 'done'),
        gte(move.proposedAt, from),
        lt(move.proposedAt, to),
      ),
    )
}

export interface ReplyCounts {
  all: number
  read: number
  urgent: number
  unclear: number
}

/** Replies that came in this span, by how they were read. */
export async function replyCounts({ tx }: Reader, { from, to }: Span): Promise<ReplyCounts> {
  const [row] = await tx
    .select({
      all: sql<number>`count(*)::int`,
      read: sql<number>`count(${reply.urgency})::int`,
      urgent: sql<number>`count(*) filter (where ${reply.urgency} in ('now', 'today'))::int`,
      unclear: sql<number>`count(*) filter (where ${reply.urgency} = 'unclear')::int`,
    })
    .from(reply)
    .where(and(gte(reply.receivedAt, from), lt(reply.receivedAt, to)))
  return row ?? { all: 0, read: 0, urgent: 0, unclear: 0 }
}

export interface ConcernRow {
  concernId: string
  urgency: (typeof concern.$inferSelect)['urgency']
  openedAt: Temporal.Instant
  deadlineAt: Temporal.Instant
  /** When somebody first took it; null while nobody has. */
  takenAt: Temporal.Instant | null
}

/** Concerns opened in this span, with the first time that somebody took each. */
export async function concernRows({ tx }: Reader, { from, to }: Span): Promise<ConcernRow[]> {
  // Drizzle leaves a lone table's name off, and inside would mean the inner one: so the names are written out.
  const taken = sql<
    string | null
  >`(select to_char(min(e.at) at time zone 'UTC', 'YYYY-MM-DD"T"HH24:MI:SS.US"Z"')
    from concern_event e where e.clinic_id = concern.clinic_id and e.concern_id = concern.concern_id and e.kind = 'claimed')`
  const rows = await tx
    .select({
      concernId: concern.concernId,
      urgency: concern.urgency,
      openedAt: concern.openedAt,
      deadlineAt: concern.deadlineAt,
      taken,
    })
    .from(concern)
    .where(and(gte(concern.openedAt, from), lt(concern.openedAt, to)))
    .orderBy(concern.openedAt)
  return rows.map(({ taken: at, ...row }) => ({
    ...row,
    takenAt: at === null ? null : Temporal.Instant.from(at),
  }))
}

/** Concerns that everyone was told of because their time had passed, and that are still not closed. */
export function overdueConcerns({ tx, now }: Pick<Scope, 'tx' | 'now'>) {
  return tx
    .select({
      concernId: concern.concernId,
      urgency: concern.urgency,
      openedAt: concern.openedAt,
      deadlineAt: concern.deadlineAt,
      status: concern.status,
    })
    .from(concern)
    .where(and(ne(concern.status, 'closed'), lt(concern.deadlineAt, now)))
    .orderBy(concern.deadlineAt)
}

/** How many concerns passed their deadline without a taker in this span. */
export async function escalatedCount({ tx }: Reader, { from, to }: Span): Promise<number> {
  const [row] = await tx
    .select({ n: sql<number>`count(*)::int` })
    .from(concern)
    .where(and(isNotNull(concern.escalatedAt), gte(concern.deadlineAt, from), lt(concern.deadlineAt, to)))
  return row?.n ?? 0
}

/** When the clinic's models were last learned. */
export async function modelFittedAt({ tx }: Reader): Promise<Temporal.Instant | null> {
  const [row] = await tx.select({ at: clinicModel.fittedAt }).from(clinicModel)
  return row?.at ?? null
}

export type JobState = typeof jobRun.$inferSelect

export const jobStates = ({ tx }: Reader): Promise<JobState[]> => tx.select().from(jobRun).orderBy(jobRun.job)
