/** Clears away what access leaves behind: ended sessions, old links, counted tries, unanswered challenges. */
import { and, isNull, lt, or } from 'drizzle-orm'
import { invitation, rateLimit, session, signInChallenge } from '../database/schema.ts'
import type { Scope } from '../database/service.ts'

/** Kept so that a person can still be told when and from what they were signed in; the audit keeps the rest. */
const KEEP_DAYS = 30

/** @returns how many rows went */
export async function tidyAccess({ tx, now }: Scope): Promise<number> {
  const old = now.subtract({ hours: 24 * KEEP_DAYS })
  const day = now.subtract({ hours: 24 })
  const gone = [
    await tx
      .delete(session)
      .where(or(lt(session.expiresAt, old), lt(session.revokedAt, old)))
      .returning(),
    await tx
      .delete(invitation)
      .where(or(lt(invitation.expiresAt, old), lt(invitation.usedAt, old)))
      .returning(),
    await tx.delete(signInChallenge).where(lt(signInChallenge.expiresAt, now)).returning(),
    await tx
      .delete(rateLimit)
      .where(
        and(
          lt(rateLimit.windowStart, day),
          or(isNull(rateLimit.blockedUntil), lt(rateLimit.blockedUntil, now)),
        ),
      )
      .returning(),
  ]
  return gone.reduce((sum, rows) => sum + rows.length, 0)
}
