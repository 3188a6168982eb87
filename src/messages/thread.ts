/** What stands on a patient's telephone: texts as they arrived and what was sent back, in order. */
import { and, asc, eq, gt, inArray, isNotNull, max, min } from 'drizzle-orm'
import type { Temporal } from 'temporal-polyfill'
import { message, reply } from '../database/schema.ts'
import type { Scope } from '../database/service.ts'

export interface ThreadItem {
  at: Temporal.Instant
  from: 'clinic' | 'patient'
  body: string
  /** 'link', 'handset' and the like; of a text of the clinic, its channel. */
  by: string
  /** Id of the message or the reply. */
  id: string
}

const ARRIVED = ['sent', 'delivered'] as const

export async function threadOf(scope: Pick<Scope, 'tx' | 'vault'>, patientId: string): Promise<ThreadItem[]> {
  const { tx, vault } = scope
  const texts = await tx
    .select()
    .from(message)
    .where(and(eq(message.patientId, patientId), inArray(message.status, [...ARRIVED])))
    .orderBy(asc(message.sentAt), asc(message.dueAt), asc(message.messageId))
  const replies = await tx
    .select()
    .from(reply)
    .where(eq(reply.patientId, patientId))
    .orderBy(asc(reply.receivedAt), asc(reply.replyId))
  const items: ThreadItem[] = [
    ...texts.map((row) => ({
      at: row.sentAt ?? row.dueAt,
      from: 'clinic' as const,
      body: vault.open(row.bodySealed),
      by: row.channel,
      id: row.messageId,
    })),
    ...replies.map((row) => ({
      at: row.receivedAt,
      from: 'patient' as const,
      body: vault.open(row.bodySealed),
      by: row.transport,
      id: row.replyId,
    })),
  ]
  // Where a text and an answer share their instant, the one that the other answers stands first: the text.
  return items.toSorted((a, b) => a.at.epochMilliseconds - b.at.epochMilliseconds)
}

export interface ThreadHead {
  patientId: string
  lastAt: Temporal.Instant | null
  nextAt: Temporal.Instant | null
}

/** Patients with a text that arrived or waits, the one that heard last first. */
export async function threadHeads({ tx }: Pick<Scope, 'tx'>): Promise<ThreadHead[]> {
  const rows = (status: readonly (typeof message.$inferSelect)['status'][]) =>
    tx
      .select({ patientId: message.patientId, last: max(message.sentAt), next: min(message.dueAt) })
      .from(message)
      .where(and(isNotNull(message.patientId), inArray(message.status, [...status])))
      .groupBy(message.patientId)
  const arrived = await rows(ARRIVED)
  const waiting = await rows(['queued'])
  const ids = [...new Set([...arrived, ...waiting].map((row) => row.patientId as string))]
  return ids
    .map((patientId) => ({
      patientId,
      lastAt: arrived.find((row) => row.patientId === patientId)?.last ?? null,
      nextAt: waiting.find((row) => row.patientId === patientId)?.next ?? null,
    }))
    .toSorted((a, b) => (b.lastAt?.epochMilliseconds ?? 0) - (a.lastAt?.epochMilliseconds ?? 0))
}

/** When the next queued message is due after `after`: to this patient, or to anybody. */
export async function nextDue(
  { tx }: Pick<Scope, 'tx'>,
  after: Temporal.Instant,
  patientId?: string,
): Promise<Temporal.Instant | null> {
  const [row] = await tx
    .select({ at: min(message.dueAt) })
    .from(message)
    .where(
      and(
        eq(message.status, 'queued'),
        gt(message.dueAt, after),
        patientId ? eq(message.patientId, patientId) : undefined,
      ),
    )
  return row?.at ?? null
}
