/** Questions, queued messages and replies in the database. The outbox's own statements are in outbox-store.ts. */
import { and, desc, eq, gt, inArray, isNull, lte, notInArray, type SQL, sql } from 'drizzle-orm'
import type { Temporal } from 'temporal-polyfill'
import { message, patient, question, reply } from '../database/schema.ts'
import type { Scope } from '../database/service.ts'

export type Question = typeof question.$inferSelect
export type QuestionKind = Question['kind']
export type Channel = (typeof message.$inferSelect)['channel']

export interface NewQuestion {
  /** Made by the database where it is left out. */
  questionId?: string
  patientId: string
  kind: QuestionKind
  visitId?: string | null | undefined
  planId?: string | null | undefined
  checkId?: string | null | undefined
  moveId?: string | null | undefined
  /** The calendar day that an answer counts for, YYYY-MM-DD. */
  day?: string | null | undefined
  detail?: unknown
  askedAt: Temporal.Instant
  closesAt: Temporal.Instant
}

export async function openQuestion({ tx, clinicId }: Scope, asked: NewQuestion): Promise<string> {
  const { questionId, detail, ...rest } = asked
  const [row] = await tx
    .insert(question)
    .values({ clinicId, ...rest, detail: detail ?? {}, ...(questionId && { questionId }) })
    .returning({ id: question.questionId })
  return row?.id as string
}

export interface QuestionsOf {
  patientId?: string | undefined
  visitId?: string | undefined
  planId?: string | undefined
  moveId?: string | undefined
  kinds?: readonly QuestionKind[] | undefined
}

/** Takes back open questions, and the queued messages that would ask them. @returns how many */
export async function withdrawQuestions(scope: Scope, of: QuestionsOf): Promise<number> {
  const rows = await scope.tx
    .update(question)
    .set({ withdrawnAt: scope.now })
    .where(
      and(
        ...oneAtLeast([
          of.patientId && eq(question.patientId, of.patientId),
          of.visitId && eq(question.visitId, of.visitId),
          of.planId && eq(question.planId, of.planId),
          of.moveId && eq(question.moveId, of.moveId),
        ]),
        of.kinds && inArray(question.kind, [...of.kinds]),
        isNull(question.answeredAt),
        isNull(question.withdrawnAt),
      ),
    )
    .returning({ id: question.questionId })
  for (const { id } of rows) await cancelMessages(scope, { questionId: id })
  return rows.length
}

/** Marks a question answered; one that was answered before keeps its first time. */
export async function closeQuestion({ tx }: Scope, questionId: string, at: Temporal.Instant): Promise<void> {
  await tx
    .update(question)
    .set({ answeredAt: at })
    .where(and(eq(question.questionId, questionId), isNull(question.answeredAt)))
}

export async function questionById(
  { tx }: Pick<Scope, 'tx'>,
  questionId: string,
): Promise<Question | undefined> {
  const [row] = await tx.select().from(question).where(eq(question.questionId, questionId))
  return row
}

/**
 * What the patient can be answering at this instant, newest first: asked, not answered, withdrawn or closed.
 * A question whose message never left was not asked, whatever its row says.
 */
export function openQuestions(
  { tx }: Pick<Scope, 'tx'>,
  patientId: string,
  at: Temporal.Instant,
): Promise<Question[]> {
  return tx
    .select()
    .from(question)
    .where(
      and(
        eq(question.patientId, patientId),
        lte(question.askedAt, at),
        gt(question.closesAt, at),
        isNull(question.answeredAt),
        isNull(question.withdrawnAt),
        wasSent,
      ),
    )
    .orderBy(desc(question.askedAt), desc(question.questionId))
}

const wasSent = sql`(
  not exists (select 1 from message m where m.clinic_id = ${question.clinicId} and m.question_id = ${question.questionId})
  or exists (select 1 from message m where m.clinic_id = ${question.clinicId} and m.question_id = ${question.questionId}
    and m.status in ('sending', 'sent', 'delivered')))`

export interface NewMessage {
  /** Unique in the clinic: the same key is never sent twice. */
  dedupe: string
  patientId?: string | null | undefined
  staffId?: string | null | undefined
  visitId?: string | null | undefined
  planId?: string | null | undefined
  /** The question that this message asks. */
  questionId?: string | null | undefined
  concernId?: string | null | undefined
  /** The id of its template. */
  kind: string
  day?: string | null | undefined
  channel: Channel
  to: string
  body: string
  segments: number
  /** Then it names its plan and is sent only while that plan is active. */
  advisesDrops?: boolean | undefined
  urgent?: boolean | undefined
  dueAt: Temporal.Instant
  expiresAt: Temporal.Instant
}

/** @returns its id, or null when a message with this key stands already */
export async function insertMessage(
  { tx, clinicId, now, vault }: Scope,
  queued: NewMessage,
): Promise<string | null> {
  const { to, body, advisesDrops = false, urgent = false, ...rest } = queued
  if (advisesDrops && !rest.planId) {
    throw new Error(`The message "${rest.kind}" advises drops, so it must name the plan that allows them.`)
  }
  const [row] = await tx
    .insert(message)
    .values({
      clinicId,
      ...rest,
      advisesDrops,
      urgent,
      toSealed: vault.seal(to),
      bodySealed: vault.seal(body),
      createdAt: now,
    })
    .onConflictDoNothing({ target: [message.clinicId, message.dedupe] })
    .returning({ id: message.messageId })
  return row?.id ?? null
}

/** @returns false when a message with this key stands already */
export async function queueMessage(scope: Scope, queued: NewMessage): Promise<boolean> {
  return (await insertMessage(scope, queued)) !== null
}

/** What has not left yet; locked until the end of the transaction. */
export async function queuedMessages(
  { tx, vault }: Pick<Scope, 'tx' | 'vault'>,
  patientId: string,
): Promise<{ messageId: string; body: string }[]> {
  const rows = await tx
    .select({ messageId: message.messageId, bodySealed: message.bodySealed })
    .from(message)
    .where(and(eq(message.patientId, patientId), eq(message.status, 'queued')))
    .orderBy(message.messageId)
    .for('update')
  return rows.map(({ messageId, bodySealed }) => ({ messageId, body: vault.open(bodySealed) }))
}

export async function rewriteMessage(
  { tx, vault }: Scope,
  messageId: string,
  { channel, to, body, segments }: Pick<NewMessage, 'channel' | 'to' | 'body' | 'segments'>,
): Promise<void> {
  await tx
    .update(message)
    .set({ channel, segments, toSealed: vault.seal(to), bodySealed: vault.seal(body) })
    .where(eq(message.messageId, messageId))
}

export interface MessagesOf {
  patientId?: string | undefined
  visitId?: string | undefined
  planId?: string | undefined
  questionId?: string | undefined
  /** Kinds that stay queued. */
  except?: readonly string[] | undefined
}

/** Written into a message that is being handed over: should that fail, it is not tried again. */
export const CANCELLED = 'cancelled'

/**
 * Cancels what is still queued. A message that a worker is handing over at this moment cannot be called
 * back, but it is not tried again. @returns how many were cancelled
 */
export async function cancelMessages({ tx }: Scope, of: MessagesOf): Promise<number> {
  const rows = await tx
    .update(message)
    .set({
      status: sql`case when ${message.status} = 'queued' then 'cancelled' else ${message.status} end`,
      lastError: CANCELLED,
    })
    .where(
      and(
        ...oneAtLeast([
          of.patientId && eq(message.patientId, of.patientId),
          of.visitId && eq(message.visitId, of.visitId),
          of.planId && eq(message.planId, of.planId),
          of.questionId && eq(message.questionId, of.questionId),
        ]),
        of.except && of.except.length > 0 ? notInArray(message.kind, [...of.except]) : undefined,
        inArray(message.status, ['queued', 'sending']),
      ),
    )
    .returning({ status: message.status })
  return rows.filter(({ status }) => status === 'cancelled').length
}

// Without a condition, a whole clinic's rows would match.
function oneAtLeast(conditions: (SQL | '' | undefined)[]): SQL[] {
  const given = conditions.filter((condition) => condition !== undefined && condition !== '')
  if (given.length === 0) throw new Error('Name whose questions or messages are meant.')
  return given
}

export interface NewReply {
  transport: string
  providerId: string
  from: string | null
  body: string
  patientId: string | null
  questionId: string | null
}

export interface StoredReply {
  replyId: string
  /** False when this transport brought this id before. */
  fresh: boolean
  /** Whether the words under this id are the words that came now. */
  same: boolean
  patientId: string | null
  questionId: string | null
}

const replyKeys = { replyId: reply.replyId, patientId: reply.patientId, questionId: reply.questionId }

export async function storeReply({ tx, clinicId, now, vault }: Scope, got: NewReply): Promise<StoredReply> {
  const { from, body, ...rest } = got
  const [made] = await tx
    .insert(reply)
    .values({
      clinicId,
      ...rest,
      fromSealed: from === null ? null : vault.seal(from),
      fromBlind: from === null ? null : vault.blind(from),
      bodySealed: vault.seal(body),
      receivedAt: now,
    })
    .onConflictDoNothing({ target: [reply.clinicId, reply.transport, reply.providerId] })
    .returning(replyKeys)
  if (made) return { ...made, fresh: true, same: true }
  const [known] = await tx
    .select({ ...replyKeys, bodySealed: reply.bodySealed })
    .from(reply)
    .where(and(eq(reply.transport, got.transport), eq(reply.providerId, got.providerId)))
  if (!known) throw new Error('A reply was neither stored nor found.')
  const { bodySealed, ...keys } = known
  return { ...keys, fresh: false, same: vault.open(bodySealed) === body }
}

/** Patients whose mobile number or email address this is. */
export async function patientsWithContact(
  { tx, vault }: Pick<Scope, 'tx' | 'vault'>,
  contact: string,
): Promise<string[]> {
  const column = contact.includes('@') ? patient.emailBlind : patient.mobileBlind
  const rows = await tx
    .select({ id: patient.patientId })
    .from(patient)
    .where(eq(column, vault.blind(contact)))
    .orderBy(patient.createdAt)
  return rows.map(({ id }) => id)
}

/** The days, by plan, of which the question for doses really went out. */
export async function daysAsked(
  { tx }: Pick<Scope, 'tx'>,
  planIds: readonly string[],
): Promise<Map<string, Set<string>>> {
  if (planIds.length === 0) return new Map()
  const rows = await tx
    .selectDistinct({ planId: message.planId, day: message.day })
    .from(message)
    .where(
      and(
        inArray(message.planId, [...planIds]),
        eq(message.kind, 'dose-question'),
        inArray(message.status, ['sent', 'delivered']),
      ),
    )
  const days = new Map<string, Set<string>>()
  for (const { planId, day } of rows)
    if (planId && day) days.set(planId, (days.get(planId) ?? new Set()).add(day))
  return days
}
