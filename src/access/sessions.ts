/** Staff sessions: kept in the database, known by the hash of a random token, ended by idleness, age or hand. */
import { createHash, createHmac, randomBytes, timingSafeEqual } from 'node:crypto'
import { and, desc, eq, gt, isNull, sql } from 'drizzle-orm'
import type { Temporal } from 'temporal-polyfill'
import { type Clinic, loadClinic } from '../clinic.ts'
import { session, staff } from '../database/schema.ts'
import type { Scope } from '../database/service.ts'
import type { StaffMember } from './env.ts'

/** Where a clinic sets nothing else (settings.sessions). */
export const SESSION_LIMITS = { idleMinutes: 30, absoluteHours: 12 }

/** One person's sessions at once; the one used longest ago ends first. */
export const SESSIONS_AT_ONCE = 10

/** How long a confirmed sign-in opens what asks for a fresh one. */
export const FRESH_MINUTES = 5

export const hashToken = (token: string) => createHash('sha256').update(token).digest()
export const newToken = () => randomBytes(32).toString('base64url')

/** Bound to the session, so that a token of one session is worth nothing in another. */
export const csrfOf = (token: string) => createHmac('sha256', token).update('form').digest('base64url')

export function equalText(a: string, b: string): boolean {
  return timingSafeEqual(hashToken(a), hashToken(b))
}

export interface LiveSession {
  hash: Buffer
  staff: StaffMember
  clinic: Clinic
  reauthAt: Temporal.Instant | null
}

const limitsOf = (clinic: Clinic) => clinic.settings.sessions ?? SESSION_LIMITS

/** @returns the token, which is shown to nobody but the browser */
export async function startSession(scope: Scope, staffId: string, device: string): Promise<string> {
  const token = newToken()
  const limits = limitsOf(await loadClinic(scope))
  const others = await listSessions(scope, staffId)
  for (const old of others.slice(SESSIONS_AT_ONCE - 1)) await endSession(scope, Buffer.from(old.id, 'hex'))
  await scope.tx.insert(session).values({
    clinicId: scope.clinicId,
    sessionHash: hashToken(token),
    staffId,
    createdAt: scope.now,
    seenAt: scope.now,
    expiresAt: scope.now.add({ hours: limits.absoluteHours }),
    reauthAt: scope.now,
    device: device.slice(0, 60),
  })
  return token
}

/** The live session of this token; `touch` counts as use. @returns undefined when there is none (any more) */
export async function findSession(
  scope: Scope,
  token: string,
  { touch }: { touch: boolean },
): Promise<LiveSession | undefined> {
  const { tx, now } = scope
  const hash = hashToken(token)
  const clinic = await loadClinic(scope)
  const idle = now.subtract({ minutes: limitsOf(clinic).idleMinutes })
  const [row] = await tx
    .select({ session, staff })
    .from(session)
    .innerJoin(staff, and(eq(staff.staffId, session.staffId), isNull(staff.leftAt)))
    .where(
      and(
        eq(session.sessionHash, hash),
        isNull(session.revokedAt),
        gt(session.expiresAt, now),
        gt(session.seenAt, idle),
      ),
    )
  if (!row) return undefined
  // A minute's grain is enough for idleness and spares a write on most requests.
  if (touch && row.session.seenAt.until(now).total('seconds') >= 60) {
    await tx.update(session).set({ seenAt: now }).where(eq(session.sessionHash, hash))
  }
  return {
    hash,
    clinic,
    staff: {
      staffId: row.staff.staffId,
      role: row.staff.role,
      name: scope.vault.open(row.staff.nameSealed),
    },
    reauthAt: row.session.reauthAt,
  }
}

/** The same session under a new token, confirmed now. The old token is dead at once. */
export async function rotateSession(scope: Scope, oldHash: Buffer): Promise<string> {
  const token = newToken()
  await scope.tx
    .update(session)
    .set({ sessionHash: hashToken(token), reauthAt: scope.now, seenAt: scope.now })
    .where(and(eq(session.sessionHash, oldHash), isNull(session.revokedAt)))
  return token
}

export async function endSession(scope: Scope, hash: Buffer): Promise<void> {
  await scope.tx
    .update(session)
    .set({ revokedAt: scope.now })
    .where(and(eq(session.sessionHash, hash), isNull(session.revokedAt)))
}

/** Ends every session of this person but, where given, the one that is being used. */
export async function endSessionsOf(scope: Scope, staffId: string, keep?: Buffer): Promise<void> {
  const open = await scope.tx
    .select({ hash: session.sessionHash })
    .from(session)
    .where(and(eq(session.staffId, staffId), isNull(session.revokedAt)))
  for (const { hash } of open) if (!keep?.equals(hash)) await endSession(scope, hash)
}

/** For the demo's clock only: sessions that are open when it jumps are as old after the jump as before it. */
export async function carrySessions({ tx }: Scope, milliseconds: number): Promise<void> {
  const by = sql`${Math.ceil(milliseconds)} * interval '1 millisecond'`
  await tx
    .update(session)
    .set({
      createdAt: sql`${session.createdAt} + ${by}`,
      seenAt: sql`${session.seenAt} + ${by}`,
      expiresAt: sql`${session.expiresAt} + ${by}`,
      reauthAt: sql`${session.reauthAt} + ${by}`,
    })
    .where(isNull(session.revokedAt))
}

export interface SessionLine {
  /** Hex of the hash: names the session in the form that ends it. */
  id: string
  device: string
  createdAt: Temporal.Instant
  seenAt: Temporal.Instant
}

export async function listSessions(scope: Scope, staffId: string): Promise<SessionLine[]> {
  const { tx, now } = scope
  const idle = now.subtract({ minutes: limitsOf(await loadClinic(scope)).idleMinutes })
  const rows = await tx
    .select()
    .from(session)
    .where(
      and(
        eq(session.staffId, staffId),
        isNull(session.revokedAt),
        gt(session.expiresAt, now),
        gt(session.seenAt, idle),
      ),
    )
    .orderBy(desc(session.seenAt))
  return rows.map((row) => ({
    id: row.sessionHash.toString('hex'),
    device: row.device,
    createdAt: row.createdAt,
    seenAt: row.seenAt,
  }))
}
