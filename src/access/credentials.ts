/** What a person can prove themselves with, besides passkeys: password, one-time codes, recovery codes. */
import { randomInt } from 'node:crypto'
import { and, eq, isNull, lt, or } from 'drizzle-orm'
import { passkey, recoveryCode, staff } from '../database/schema.ts'
import type { Scope } from '../database/service.ts'
import { stepOfCode } from './one-time-codes.ts'
import { hashToken } from './sessions.ts'

const RECOVERY_CODES = 10
// No letter that is mistaken for another; 24 of them are 118 bits, so a plain hash keeps them.
const letters = 'abcdefghjkmnpqrstuvwxyz23456789'

export interface Ways {
  password: boolean
  passkeys: number
  recoveryCodes: number
}

/** The ways in that this person has. */
export async function waysOf(scope: Scope, staffId: string): Promise<Ways> {
  const [row] = await scope.tx.select().from(staff).where(eq(staff.staffId, staffId))
  const keys = await scope.tx.select().from(passkey).where(eq(passkey.staffId, staffId))
  const codes = await scope.tx
    .select()
    .from(recoveryCode)
    .where(and(eq(recoveryCode.staffId, staffId), isNull(recoveryCode.usedAt)))
  return {
    password: row?.passwordHash != null && row.totpSealed !== null,
    passkeys: keys.length,
    recoveryCodes: codes.length,
  }
}

/** Sets password and code app together: neither alone opens anything. `step` is the step just proven. */
export async function setPasswordAndCodes(
  scope: Scope,
  staffId: string,
  { passwordHash, secret, step }: { passwordHash: string; secret: string; step: number },
): Promise<void> {
  await scope.tx
    .update(staff)
    .set({ passwordHash, totpSealed: scope.vault.seal(secret), totpLastStep: step })
    .where(eq(staff.staffId, staffId))
}

export async function removePassword(scope: Scope, staffId: string): Promise<void> {
  await scope.tx
    .update(staff)
    .set({ passwordHash: null, totpSealed: null, totpLastStep: null })
    .where(eq(staff.staffId, staffId))
  await scope.tx.delete(recoveryCode).where(eq(recoveryCode.staffId, staffId))
}

/** Uses up the step of this code: the same code never opens twice, also when two requests race. */
export async function useCode(scope: Scope, row: typeof staff.$inferSelect, code: string): Promise<boolean> {
  if (!row.totpSealed) return false
  const step = stepOfCode(scope.vault.open(row.totpSealed), code, scope.now, row.totpLastStep)
  if (step === undefined) return false
  const used = await scope.tx
    .update(staff)
    .set({ totpLastStep: step })
    .where(and(eq(staff.staffId, row.staffId), or(isNull(staff.totpLastStep), lt(staff.totpLastStep, step))))
    .returning({ staffId: staff.staffId })
  return used.length === 1
}

const plainCode = (code: string) => code.toLowerCase().replaceAll(/[^a-z0-9]/g, '')

/** Ten new ones, shown once; the old ones are dead. */
export async function newRecoveryCodes(scope: Scope, staffId: string): Promise<string[]> {
  const codes = Array.from({ length: RECOVERY_CODES }, () =>
    Array.from({ length: 24 }, () => letters[randomInt(letters.length)])
      .join('')
      .replaceAll(/(.{4})(?=.)/g, '$1-'),
  )
  await scope.tx.delete(recoveryCode).where(eq(recoveryCode.staffId, staffId))
  await scope.tx.insert(recoveryCode).values(
    codes.map((code) => ({
      clinicId: scope.clinicId,
      staffId,
      codeHash: hashToken(plainCode(code)),
    })),
  )
  return codes
}

export async function useRecoveryCode(scope: Scope, staffId: string, code: string): Promise<boolean> {
  const used = await scope.tx
    .update(recoveryCode)
    .set({ usedAt: scope.now })
    .where(
      and(
        eq(recoveryCode.staffId, staffId),
        eq(recoveryCode.codeHash, hashToken(plainCode(code))),
        isNull(recoveryCode.usedAt),
      ),
    )
    .returning({ staffId: recoveryCode.staffId })
  return used.length === 1
}

/** Takes away every way in: before a new link gives another. */
export async function removeAllWays(scope: Scope, staffId: string): Promise<void> {
  await removePassword(scope, staffId)
  await scope.tx.delete(passkey).where(eq(passkey.staffId, staffId))
}
