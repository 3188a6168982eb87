/** Limits on tries, kept in the database so that every process counts together. */
import { eq, sql } from 'drizzle-orm'
import type { Temporal } from 'temporal-polyfill'
import { rateLimit } from '../database/schema.ts'
import type { Scope } from '../database/service.ts'

export interface Limit {
  /** Tries that are let through in one window. */
  tries: number
  windowMinutes: number
  /** How long the door stays shut after one try too many. */
  blockMinutes: number
}

/** By account: against guessing. By address: against trying many accounts. */
export const limits = {
  account: { tries: 5, windowMinutes: 15, blockMinutes: 15 },
  address: { tries: 40, windowMinutes: 15, blockMinutes: 15 },
  /** Asking for a passkey challenge costs a row. */
  challenge: { tries: 120, windowMinutes: 15, blockMinutes: 5 },
  invitation: { tries: 60, windowMinutes: 15, blockMinutes: 15 },
} as const satisfies Record<string, Limit>

export type Tried = { allowed: true } | { allowed: false; until: Temporal.Instant }

// Only a keyed hash is kept: the table says nothing about who tried from where.
const nameOf = (scope: Scope, kind: string, subject: string) => scope.vault.blind(`limit/${kind}/${subject}`)

/** Counts one try in one statement; call it in a transaction of its own, so that it stays counted. */
export async function countTry(scope: Scope, kind: string, subject: string, limit: Limit): Promise<Tried> {
  const { tx, now, clinicId } = scope
  const old = now.subtract({ minutes: limit.windowMinutes }).toString()
  const blocked = now.add({ minutes: limit.blockMinutes }).toString()
  const at = now.toString()
  const over = sql`(rate_limit.blocked_until <= ${at}::timestamptz
    or (rate_limit.blocked_until is null and rate_limit.window_start <= ${old}::timestamptz))`
  const [row] = await tx
    .insert(rateLimit)
    .values({ clinicId, subject: nameOf(scope, kind, subject), windowStart: now, hits: 1 })
    .onConflictDoUpdate({
      target: [rateLimit.clinicId, rateLimit.subject],
      set: {
        windowStart: sql`case when ${over} then ${at}::timestamptz else rate_limit.window_start end`,
        hits: sql`case when ${over} then 1 else least(rate_limit.hits + 1, 1000000) end`,
        blockedUntil: sql`case when ${over} then null
          when rate_limit.blocked_until is not null then rate_limit.blocked_until
          when rate_limit.hits + 1 > ${limit.tries} then ${blocked}::timestamptz end`,
      },
    })
    .returning({ until: rateLimit.blockedUntil })
  return row?.until ? { allowed: false, until: row.until } : { allowed: true }
}

/** Forgets the tries after a success. */
export async function forgetTries(scope: Scope, kind: string, subject: string): Promise<void> {
  await scope.tx.delete(rateLimit).where(eq(rateLimit.subject, nameOf(scope, kind, subject)))
}
