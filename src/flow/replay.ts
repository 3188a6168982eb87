/** Judges a draft of the rules on the stored replies: which would have been more or less urgent. Changes nothing. */
import { desc, inArray, sql } from 'drizzle-orm'
import type { Temporal } from 'temporal-polyfill'
import { recordsOfPatient, type StoredEar } from '../aftercare/store.ts'
import { reply } from '../database/schema.ts'
import { moreUrgent, URGENCIES, type Urgency } from '../protocol/rule.ts'
import type { UrgencyRules } from '../protocol/sections/urgency.ts'
import { caseOf, judgeReading, readReply } from '../replies/judge.ts'
import { getPatients, type Patient } from '../visits/store.ts'
import type { Flow } from './context.ts'
import { readPageForm } from './forms.ts'
import { earlierReply, type StoredReading } from './replies.ts'
import { type EarlierReply, mainReason, readInputOf } from './reply-case.ts'

type ReplyRow = typeof reply.$inferSelect

export interface ReplayedReply {
  replyId: string
  patientId: string | null
  receivedAt: Temporal.Instant
  words: string
  /** As it was acted on when it came. */
  stored: Urgency | null
  /** By the rules in force, read today. */
  inForce: Urgency
  /** By the draft. */
  draft: Urgency
  /** The first reason of each. */
  reasons: { inForce: string; draft: string }
}

export interface ReplayBatch {
  judged: number
  /** Stored, but never read by the service: they cannot be compared. */
  unread: number
  /** Those whose urgency the draft would change. */
  changed: ReplayedReply[]
  /** Those that today's rules in force would judge otherwise than at the time. */
  driftedFromStored: number
  /** Where the next batch begins; null at the end. */
  next: string | null
}

/** Newest first; `after` is the `next` of the batch before. */
export async function replayBatch(
  flow: Flow,
  draft: UrgencyRules,
  { after = null, limit = 500 }: { after?: string | null; limit?: number } = {},
): Promise<ReplayBatch> {
  const rows = await pageOf(flow, after, limit)
  const read = rows.filter((row) => row.readingSealed !== null)
  const around = await casesOf(flow, read)
  const batch: ReplayBatch = {
    judged: read.length,
    unread: rows.length - read.length,
    changed: [],
    driftedFromStored: 0,
    next: rows.length === limit ? cursorOf(rows.at(-1) as ReplyRow) : null,
  }
  for (const [index, row] of read.entries()) {
    // Reading is work for this thread alone: others get their turn in between.
    if (index % 10 === 9) await new Promise((resolve) => setImmediate(resolve))
    const replayed = replay(flow, row, around, draft)
    if (replayed.inForce !== replayed.stored) batch.driftedFromStored += 1
    if (replayed.draft !== replayed.inForce) batch.changed.push(replayed)
  }
  return batch
}

const cursorOf = (row: ReplyRow): string => `${row.receivedAt.toString()}_${row.replyId}`

function pageOf({ tx }: Flow, after: string | null, limit: number): Promise<ReplyRow[]> {
  const [at, id] = after?.split('_') ?? []
  return tx
    .select()
    .from(reply)
    .where(
      at && id ? sql`(${reply.receivedAt}, ${reply.replyId}) < (${at}::timestamptz, ${id}::uuid)` : undefined,
    )
    .orderBy(desc(reply.receivedAt), desc(reply.replyId))
    .limit(limit)
}

interface Around {
  patients: Map<string, Patient>
  records: Map<string, StoredEar[]>
  earlier: Map<string, EarlierReply[]>
}

/** Every patient's risks, procedures and other replies, read once a batch. */
async function casesOf(flow: Flow, rows: readonly ReplyRow[]): Promise<Around> {
  const ids = [...new Set(rows.map(({ patientId }) => patientId).filter((id) => id !== null))]
  const records = new Map<string, StoredEar[]>()
  for (const id of ids) records.set(id, await recordsOfPatient(flow, id))
  const all =
    ids.length === 0
      ? []
      : await flow.tx.select().from(reply).where(inArray(reply.patientId, ids)).orderBy(reply.receivedAt)
  const earlier = Map.groupBy(
    all.flatMap((row) => {
      const one = earlierReply(flow, row)
      return one && row.patientId ? [{ ...one, patientId: row.patientId }] : []
    }),
    ({ patientId }) => patientId,
  )
  return { patients: await getPatients(flow, ids), records, earlier }
}

function replay(flow: Flow, row: ReplyRow, around: Around, draft: UrgencyRules): ReplayedReply {
  const { reading: was, judgement } = JSON.parse(
    flow.vault.open(row.readingSealed as Buffer),
  ) as StoredReading
  const body = flow.vault.open(row.bodySealed)
  const form = readPageForm(row.transport, body)
  const id = row.patientId ?? ''
  const input = readInputOf({
    replyId: row.replyId,
    receivedAt: row.receivedAt,
    text: was.text,
    context: was.context,
    questions: was.questions.map(({ words, kind }) => words || kind),
    // What is known of the patient today: what was not known then counts too.
    risks: around.patients.get(id)?.risks ?? [],
    records: around.records.get(id) ?? [],
    replies: around.earlier.get(id) ?? [],
    zone: flow.clinic.zone,
  })
  const reading = readReply(input)
  const about = caseOf(input)
  const least = leastOf(row, judgement.urgency)
  // Choices without a word beside them are judged where they are taken, not by these rules.
  const bare = form !== null && !form.wrote
  const judged = (rules: UrgencyRules) => {
    if (bare) return { urgency: row.urgency ?? 'unclear', reason: '' }
    const fresh = judgeReading(reading, about, rules).judgement
    return { urgency: moreUrgent(least, fresh.urgency), reason: mainReason(fresh, rules) ?? '' }
  }
  const [now, then] = [judged(flow.rules.urgency), judged(draft)]
  return {
    replyId: row.replyId,
    patientId: row.patientId,
    receivedAt: row.receivedAt,
    words: was.text || body,
    stored: row.urgency,
    inForce: now.urgency,
    draft: then.urgency,
    reasons: { inForce: now.reason, draft: then.reason },
  }
}

/** Unclear for another reason than the rules (nobody we know, or no answer to its question): it stays so. */
const leastOf = (row: ReplyRow, byRules: Urgency): Urgency =>
  row.patientId === null || (row.urgency === 'unclear' && byRules === 'none') ? 'unclear' : 'none'

export interface ReplaySummary {
  judged: number
  unread: number
  changed: number
  moreUrgent: number
  lessUrgent: number
  driftedFromStored: number
  /** How many went from one urgency to another: `soon>today`. */
  moves: Record<string, number>
}

export const emptySummary = (): ReplaySummary => ({
  judged: 0,
  unread: 0,
  changed: 0,
  moreUrgent: 0,
  lessUrgent: 0,
  driftedFromStored: 0,
  moves: {},
})

export function addToSummary(summary: ReplaySummary, batch: ReplayBatch): ReplaySummary {
  const up = batch.changed.filter((one) => isMore(one.draft, one.inForce)).length
  const moves = { ...summary.moves }
  for (const { inForce, draft } of batch.changed) {
    const key = `${inForce}>${draft}`
    moves[key] = (moves[key] ?? 0) + 1
  }
  return {
    judged: summary.judged + batch.judged,
    unread: summary.unread + batch.unread,
    changed: summary.changed + batch.changed.length,
    moreUrgent: summary.moreUrgent + up,
    lessUrgent: summary.lessUrgent + batch.changed.length - up,
    driftedFromStored: summary.driftedFromStored + batch.driftedFromStored,
    moves,
  }
}

export const isMore = (a: Urgency, b: Urgency): boolean => URGENCIES.indexOf(a) > URGENCIES.indexOf(b)
