/** Everything that is known of one patient, for a clinician's eyes: read only. */
import { inArray } from 'drizzle-orm'
import type { Temporal } from 'temporal-polyfill'
import { checksOfVisit, recordsOfPatient, type StoredCheck, type StoredEar } from '../aftercare/store.ts'
import { type Concern, type ConcernEvent, concernsOf, eventsOf } from '../concerns/store.ts'
import { type message, plan, reply } from '../database/schema.ts'
import type { Scope } from '../database/service.ts'
import type { Urgency } from '../protocol/rule.ts'
import {
  type DoseDayRow,
  doseDayRows,
  type Screening,
  type StoredPlan,
  screeningsOf,
} from '../softening/store.ts'
import type { Readiness, SofteningPlan } from '../softening/types.ts'
import { getPatient, type Patient, type Visit, visitsOfPatient } from '../visits/store.ts'
import { HISTORY_FORM, readHistoryForm } from './forms.ts'
import type { StoredReading } from './replies.ts'

type ReplyRow = typeof reply.$inferSelect

export interface ReadReply {
  replyId: string
  receivedAt: Temporal.Instant
  /** Whole, as the patient wrote it; where a page sent answers, those in plain lines before the own words. */
  words: string
  /** What was ticked on a page of the history, if the reply came from there. */
  ticked: { question: string; answer: string }[]
  urgency: Urgency | null
  score: number | null
  protocolVersion: number | null
  stored: StoredReading | null
}

export function toReadReply({ vault }: Pick<Scope, 'vault'>, row: ReplyRow): ReadReply {
  const body = vault.open(row.bodySealed)
  const form = row.transport === HISTORY_FORM ? readHistoryForm(body) : null
  return {
    replyId: row.replyId,
    receivedAt: row.receivedAt,
    words: form ? form.words : body,
    ticked: form?.answers ?? [],
    urgency: row.urgency,
    score: row.score,
    protocolVersion: row.protocolVersion,
    stored: row.readingSealed ? (JSON.parse(vault.open(row.readingSealed)) as StoredReading) : null,
  }
}

export async function repliesById(
  scope: Pick<Scope, 'tx' | 'vault'>,
  replyIds: string[],
): Promise<Map<string, ReadReply>> {
  if (replyIds.length === 0) return new Map()
  const rows = await scope.tx.select().from(reply).where(inArray(reply.replyId, replyIds))
  return new Map(rows.map((row) => [row.replyId, toReadReply(scope, row)]))
}

/** A patient's replies, oldest first. */
export async function repliesOf(scope: Pick<Scope, 'tx' | 'vault'>, patientId: string): Promise<ReadReply[]> {
  const rows = await scope.tx.query.reply.findMany({
    where: (table, q) => q.eq(table.patientId, patientId),
    orderBy: (table, q) => [q.asc(table.receivedAt), q.asc(table.replyId)],
  })
  return rows.map((row) => toReadReply(scope, row))
}

export interface SentMessage {
  messageId: string
  kind: string
  body: string
  status: (typeof message.$inferSelect)['status']
  createdAt: Temporal.Instant
  dueAt: Temporal.Instant
  sentAt: Temporal.Instant | null
  visitId: string | null
  concernId: string | null
}

const toSent = ({ vault }: Pick<Scope, 'vault'>, row: typeof message.$inferSelect): SentMessage => {
  const { messageId, kind, status, createdAt, dueAt, sentAt, visitId, concernId } = row
  return {
    messageId,
    kind,
    status,
    createdAt,
    dueAt,
    sentAt,
    visitId,
    concernId,
    // The address of a patient's link opens their pages: staff need no key to them.
    body: vault.open(row.bodySealed).replace(/https?:\/\/\S+/gu, '[link]'),
  }
}

/** Texts to the patient or the sender about this concern, oldest first; not those to staff. */
export async function messagesAbout(
  scope: Pick<Scope, 'tx' | 'vault'>,
  concernId: string,
): Promise<SentMessage[]> {
  const rows = await scope.tx.query.message.findMany({
    where: (table, q) => q.and(q.eq(table.concernId, concernId), q.isNull(table.staffId)),
    orderBy: (table, q) => [q.asc(table.createdAt), q.asc(table.messageId)],
  })
  return rows.map((row) => toSent(scope, row))
}

export interface PatientRecord {
  patient: Patient
  visits: Visit[]
  screenings: Map<string, Screening>
  /** Every plan there ever was, oldest first. */
  plans: StoredPlan[]
  doseDays: DoseDayRow[]
  messages: SentMessage[]
  replies: ReadReply[]
  concerns: { concern: Concern; events: ConcernEvent[] }[]
  procedures: StoredEar[]
  checks: StoredCheck[]
}

export async function patientRecord(
  scope: Pick<Scope, 'tx' | 'vault'>,
  patientId: string,
): Promise<PatientRecord | null> {
  const patient = await getPatient(scope, patientId)
  if (!patient) return null
  const visits = await visitsOfPatient(scope, patientId)
  const visitIds = visits.map(({ visitId }) => visitId)
  const plans = await plansOfVisits(scope, visitIds)
  const messages = await scope.tx.query.message.findMany({
    where: (table, q) => q.eq(table.patientId, patientId),
    orderBy: (table, q) => [q.asc(table.dueAt), q.asc(table.messageId)],
  })
  const concerns = []
  for (const concern of await concernsOf(scope, patientId))
    concerns.push({ concern, events: await eventsOf(scope, concern.concernId) })
  const checks: StoredCheck[] = []
  for (const visitId of visitIds) checks.push(...(await checksOfVisit(scope, visitId)))
  return {
    patient,
    visits,
    screenings: await screeningsOf(scope, visitIds),
    plans,
    doseDays: await doseDayRows(
      scope,
      plans.map(({ planId }) => planId),
    ),
    messages: messages.map((row) => toSent(scope, row)),
    replies: await repliesOf(scope, patientId),
    concerns,
    procedures: await recordsOfPatient(scope, patientId),
    checks,
  }
}

/** Every plan of these visits, also those that were replaced, oldest first. */
async function plansOfVisits({ tx }: Pick<Scope, 'tx'>, visitIds: string[]): Promise<StoredPlan[]> {
  if (visitIds.length === 0) return []
  const rows = await tx.select().from(plan).where(inArray(plan.visitId, visitIds)).orderBy(plan.createdAt)
  return rows.map((row) => ({
    planId: row.planId,
    visitId: row.visitId,
    patientId: row.patientId,
    status: row.status,
    plan: row.detail as SofteningPlan,
    readiness: row.readinessDetail as Readiness | null,
    createdAt: row.createdAt,
  }))
}
