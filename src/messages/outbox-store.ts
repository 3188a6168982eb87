/**
 * The outbox's statements. A claim is a lease: whoever claimed a message may hand it over until the lease
 * ends, and `attempts` is the fence: an outcome counts only for the attempt that it belongs to.
 */
import { eq, sql } from 'drizzle-orm'
import type { Temporal } from 'temporal-polyfill'
import { clinicDirectory } from '../database/schema.ts'
import type { Scope } from '../database/service.ts'
import { UnknownKey, type Vault } from '../database/vault.ts'
import { AFTER_STOP } from './kinds.ts'
import { CANCELLED, type Channel } from './store.ts'

export interface ClaimedMessage {
  messageId: string
  patientId: string | null
  visitId: string | null
  kind: string
  channel: Channel
  to: string
  body: string
  urgent: boolean
  attempt: number
  /** As the database writes it; read only when a try has failed. */
  expiresAt: string
  /** Why it must not go out after all; null: hand it over. */
  bar: Bar | null
}

/** A message that no longer should go, or that nobody could bring there. */
export interface UndeliveredMessage {
  messageId: string
  patientId: string | null
  visitId: string | null
  kind: string
  why: string
}

export interface ClaimOptions {
  transport: string
  limit: number
  leaseUntil: Temporal.Instant
  /** In quiet hours only the urgent ones. */
  urgentOnly: boolean
}

type ClaimRow = {
  id: string
  patient_id: string | null
  visit_id: string | null
  kind: string
  channel: Channel
  to_sealed: Buffer
  body_sealed: Buffer
  urgent: boolean
  attempts: number
  expires_at: string
  bar: Bar | null
  contact_sealed: Buffer | null
  may_have_changed: boolean | null
}

const uuids = (ids: readonly string[]) => sql`${`{${ids.join(',')}}`}::uuid[]`
const texts = (values: Iterable<string>) => sql`${JSON.stringify([...values])}::jsonb`

/** What bars a message from going out, and what it becomes: cancelled where somebody decided so. */
export const BARS = {
  expired: 'expired',
  'contact-changed': 'failed',
  unreadable: 'failed',
  'patient-gone': 'cancelled',
  stopped: 'cancelled',
  'wrong-number': 'cancelled',
  'plan-ended': 'cancelled',
  'question-closed': 'cancelled',
} as const satisfies Readonly<Record<string, Outcome['status']>>
export type Bar = keyof typeof BARS

/**
 * Claims due messages, urgent ones first, and judges each again as the patient, plan and question stand
 * now: what was queued before a STOP or a changed plan does not go out after it.
 */
export async function claimDue(scope: Scope, options: ClaimOptions): Promise<ClaimedMessage[]> {
  const { tx, clinicId, now, vault } = scope
  const due = (urgent: boolean) => sql`array(
    select message_id from message
    where clinic_id = ${clinicId} and status = 'queued' and ${urgent ? sql`urgent` : sql`not urgent`}
      and due_at <= ${now.toString()}::timestamptz
    order by due_at limit ${options.limit} for update skip locked)`
  const picked = options.urgentOnly ? due(true) : sql`${due(true)} || ${due(false)}`
  const rows = await tx.execute<ClaimRow>(sql`
    with claimed as (
      update message set status = 'sending', attempts = attempts + 1, last_error = null,
        transport = ${options.transport}, lease_until = ${options.leaseUntil.toString()}::timestamptz
      where clinic_id = ${clinicId} and message_id = any(${picked})
      returning message_id, patient_id, visit_id, plan_id, question_id, kind, channel, to_sealed, body_sealed,
        urgent, advises_drops, attempts, due_at, expires_at, created_at)
    select m.message_id as id, m.patient_id, m.visit_id, m.kind, m.channel, m.to_sealed, m.body_sealed, m.urgent,
      m.attempts, m.expires_at,
      p.updated_at >= m.created_at as may_have_changed,
      case m.channel when 'text' then p.mobile_sealed else p.email_sealed end as contact_sealed,
      case
        when m.expires_at <= ${now.toString()}::timestamptz then 'expired'
        when m.patient_id is not null and p.patient_id is null then 'patient-gone'
        when p.stopped_at is not null and not ${texts(AFTER_STOP)} ? m.kind then 'stopped'
        when p.number_wrong_at is not null and m.channel = 'text' then 'wrong-number'
        when m.advises_drops and pl.status is distinct from 'active' then 'plan-ended'
        when pl.status in ('replaced', 'cancelled') and not m.urgent then 'plan-ended'
        when q.withdrawn_at is not null or q.answered_at is not null then 'question-closed'
      end as bar
    from claimed m
      left join patient p on p.clinic_id = ${clinicId} and p.patient_id = m.patient_id
      left join plan pl on pl.clinic_id = ${clinicId} and pl.plan_id = m.plan_id
      left join question q on q.clinic_id = ${clinicId} and q.question_id = m.question_id
    order by m.urgent desc, m.due_at`)
  return rows.map((row) => {
    const { to, body, bar } = openContents(vault, row)
    return {
      messageId: row.id,
      patientId: row.patient_id,
      visitId: row.visit_id,
      kind: row.kind,
      channel: row.channel,
      to,
      body,
      urgent: row.urgent,
      attempt: row.attempts,
      expiresAt: row.expires_at,
      bar: row.bar ?? bar,
    }
  })
}

/** One row that does not open must not hold up the others; a key that is missing must. */
function openContents(
  vault: Vault,
  { to_sealed, body_sealed, contact_sealed, may_have_changed }: ClaimRow,
): { to: string; body: string; bar: Bar | null } {
  try {
    const to = vault.open(to_sealed)
    const body = vault.open(body_sealed)
    const isTheirs = !may_have_changed || (contact_sealed !== null && vault.open(contact_sealed) === to)
    return { to, body, bar: isTheirs ? null : 'contact-changed' }
  } catch (error) {
    if (error instanceof UnknownKey) throw error
    return { to: '', body: '', bar: 'unreadable' }
  }
}

export interface Outcome {
  messageId: string
  attempt: number
  status: 'sent' | 'delivered' | 'failed' | 'expired' | 'cancelled' | 'queued'
  ref?: string | null
  /** Holds nothing personal. */
  error?: string | null
  /** For `queued`: when it is tried again. */
  dueAt?: Temporal.Instant
  /** It was never handed over, so the attempt does not count. */
  untried?: boolean
}

/**
 * Records what became of claimed messages. One that was cancelled meanwhile is not queued again.
 * @returns what each became by id; one that is not there had been claimed anew, or had a receipt already
 */
export async function recordOutcomes(
  { tx, clinicId, now }: Scope,
  outcomes: readonly Outcome[],
): Promise<Map<string, string>> {
  if (outcomes.length === 0) return new Map()
  const given = JSON.stringify(
    outcomes.map(({ messageId, attempt, status, ref, error, dueAt, untried }) => ({
      id: messageId,
      attempt,
      status,
      ref,
      error,
      due: dueAt?.toString(),
      back: untried ? 1 : 0,
    })),
  )
  const rows = await tx.execute<{ id: string; status: string }>(sql`
    update message m set
      status = case when o.status in ('queued', 'failed') and m.last_error = ${CANCELLED} then 'cancelled' else o.status end,
      provider_ref = coalesce(o.ref, m.provider_ref),
      last_error = case when o.status in ('sent', 'delivered') then null else coalesce(o.error, m.last_error) end,
      sent_at = case when o.status in ('sent', 'delivered') then ${now.toString()}::timestamptz else m.sent_at end,
      due_at = coalesce(o.due, m.due_at),
      attempts = m.attempts - o.back,
      lease_until = null
    from jsonb_to_recordset(${given}::jsonb)
      as o(id uuid, attempt int, status text, ref text, error text, due timestamptz, back int)
    where m.clinic_id = ${clinicId} and m.message_id = any(${uuids(outcomes.map((o) => o.messageId))})
      and m.message_id = o.id and m.attempts = o.attempt and m.status = 'sending'
    returning m.message_id as id, m.status`)
  return new Map(rows.map(({ id, status }) => [id, status]))
}

export interface Released {
  /** Queued again under the same id: their fate was doubtful. */
  requeued: string[]
  failed: UndeliveredMessage[]
}

type ReleasedRow = {
  id: string
  patient_id: string | null
  visit_id: string | null
  kind: string
  status: string
}

/** Takes messages back whose lease has ended: the worker that claimed them has died or stands still. */
export async function releaseLeases(
  { tx, clinicId, now }: Scope,
  { maxAttempts, limit }: { maxAttempts: number; limit: number },
): Promise<Released> {
  const rows = await tx.execute<ReleasedRow>(sql`
    update message set lease_until = null,
      status = case when last_error = ${CANCELLED} then 'cancelled' when attempts >= ${maxAttempts} then 'failed' else 'queued' end,
      last_error = case when last_error = ${CANCELLED} then last_error else 'lease-ended' end
    where clinic_id = ${clinicId} and message_id = any(array(
      select message_id from message
      where clinic_id = ${clinicId} and status = 'sending' and lease_until <= ${now.toString()}::timestamptz
      order by lease_until limit ${limit} for update skip locked))
    returning message_id as id, patient_id, visit_id, kind, status`)
  const requeued = rows.filter(({ status }) => status === 'queued').map(({ id }) => id)
  const failed = rows.filter(({ status }) => status === 'failed')
  return { requeued, failed: failed.map((row) => undelivered(row, 'lease-ended')) }
}

/** Closes what is past its time and was not sent, also where no transport is open. */
export async function expireMessages(
  { tx, clinicId, now }: Scope,
  { limit }: { limit: number },
): Promise<UndeliveredMessage[]> {
  const rows = await tx.execute<ReleasedRow>(sql`
    update message set status = 'expired', last_error = 'expired'
    where clinic_id = ${clinicId} and message_id = any(array(
      select message_id from message
      where clinic_id = ${clinicId} and status = 'queued' and due_at <= ${now.toString()}::timestamptz
        and expires_at <= ${now.toString()}::timestamptz
      order by due_at limit ${limit} for update skip locked))
    returning message_id as id, patient_id, visit_id, kind, status`)
  return rows.map((row) => undelivered(row, 'expired'))
}

export type Receipt = { messageId: string; status: 'delivered' | 'failed' }

/**
 * What the other side said later about a message that it took. A receipt may come before our own record of
 * the hand-over. @returns the message when this receipt is what made it fail
 */
export async function recordReceipt(
  { tx, clinicId }: Scope,
  { messageId, status }: Receipt,
): Promise<{ known: boolean; failed: UndeliveredMessage | null }> {
  const rows = await tx.execute<ReleasedRow>(sql`
    update message set status = ${status}, lease_until = null,
      last_error = case when ${status} = 'failed' then 'receipt-failed' else last_error end
    where clinic_id = ${clinicId} and message_id = ${messageId}::uuid and status in ('sending', 'sent')
    returning message_id as id, patient_id, visit_id, kind, status`)
  const [row] = rows
  if (row) return { known: true, failed: status === 'failed' ? undelivered(row, 'receipt-failed') : null }
  const [known] = await tx.execute(
    sql`select 1 from message where clinic_id = ${clinicId} and message_id = ${messageId}::uuid`,
  )
  return { known: known !== undefined, failed: null }
}

const undelivered = (row: ReleasedRow, why: string): UndeliveredMessage => ({
  messageId: row.id,
  patientId: row.patient_id,
  visitId: row.visit_id,
  kind: row.kind,
  why,
})

/** The clinic's short name, which transports sort their messages by. */
export async function clinicSlug({ tx, clinicId }: Scope): Promise<string> {
  const [row] = await tx.select().from(clinicDirectory).where(eq(clinicDirectory.clinicId, clinicId))
  if (!row) throw new Error(`There is no clinic ${clinicId}.`)
  return row.slug
}
