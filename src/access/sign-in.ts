/** Signing in: password with a code, or a passkey. Whatever fails, the answer and its time are the same. */
import { and, eq, isNull } from 'drizzle-orm'
import { staff } from '../database/schema.ts'
import { inClinic, type Scope, type Service } from '../database/service.ts'
import { useCode, useRecoveryCode } from './credentials.ts'
import { countTry, forgetTries, limits } from './limits.ts'
import { verifyPassword } from './password.ts'
import { startSession } from './sessions.ts'
import { plainEmail } from './staff.ts'

export interface PasswordTry {
  email: string
  password: string
  /** Six digits of the app, or a recovery code in their place. */
  code: string
  address: string
  device: string
}

export type SignIn = { in: true; token: string } | { in: false }

/** Never says which part was wrong, whether the account exists, or whether it is locked. */
export async function signInWithPassword(
  service: Service,
  clinicId: string,
  attempt: PasswordTry,
): Promise<SignIn> {
  const email = plainEmail(attempt.email)
  const before = await inClinic(service, clinicId, async (scope) => {
    // One after the other, in this order for everybody.
    const address = await countTry(scope, 'address', attempt.address, limits.address)
    const account = await countTry(scope, 'account', email, limits.account)
    const [row] = await scope.tx
      .select()
      .from(staff)
      .where(and(eq(staff.emailBlind, scope.vault.blind(email)), isNull(staff.leftAt)))
    return { blocked: !address.allowed, open: account.allowed, row }
  })
  // Whoever tries many accounts from one place learns nothing by this, and costs nothing more.
  if (before.blocked) return { in: false }
  const right = await verifyPassword(before.row?.passwordHash, attempt.password)
  return await inClinic(service, clinicId, async (scope) => {
    const { row, open } = before
    const way = open && right && row ? await secondWay(scope, row, attempt.code) : undefined
    if (!row || !way) {
      if (open) {
        scope.audit({
          actor: 'service',
          action: 'refuse sign-in',
          subject: row ? `staff:${row.staffId}` : undefined,
        })
      }
      return { in: false }
    }
    await forgetTries(scope, 'account', email)
    return { in: true, token: await enter(scope, row.staffId, way, attempt.device) }
  })
}

async function secondWay(
  scope: Scope,
  row: typeof staff.$inferSelect,
  code: string,
): Promise<string | undefined> {
  if (await useCode(scope, row, code)) return 'password and code'
  if (await useRecoveryCode(scope, row.staffId, code)) return 'password and recovery code'
  return undefined
}

/** Starts the session and writes it in the audit. */
export async function enter(scope: Scope, staffId: string, way: string, device: string): Promise<string> {
  scope.audit({
    actor: `staff:${staffId}`,
    action: 'sign in',
    subject: `staff:${staffId}`,
    detail: { way },
  })
  return await startSession(scope, staffId, device)
}

/** Confirms the person of a running session by password. @returns whether it was right */
export async function confirmPassword(
  service: Service,
  clinicId: string,
  staffId: string,
  password: string,
): Promise<boolean> {
  const before = await inClinic(service, clinicId, async (scope) => {
    const tried = await countTry(scope, 'confirm', staffId, limits.account)
    const [row] = await scope.tx.select().from(staff).where(eq(staff.staffId, staffId))
    return { open: tried.allowed, hash: row?.passwordHash }
  })
  const right = await verifyPassword(before.hash, password)
  if (!right || !before.open) return false
  await inClinic(service, clinicId, (scope) => forgetTries(scope, 'confirm', staffId))
  return true
}

/** "Firefox on Windows": enough to know one's own sessions apart. */
export function deviceWords(userAgent: string | undefined): string {
  const text = userAgent ?? ''
  const find = (table: [RegExp, string][]) => table.find(([pattern]) => pattern.test(text))?.[1]
  const browser = find([
    [/Edg\//, 'Edge'],
    [/Firefox\//, 'Firefox'],
    [/Chrome\//, 'Chrome'],
    [/Safari\//, 'Safari'],
  ])
  const system = find([
    [/Windows/, 'Windows'],
    [/Android/, 'Android'],
    [/iPhone|iPad/, 'an iPhone or iPad'],
    [/Macintosh/, 'a Mac'],
    [/Linux/, 'Linux'],
  ])
  return [browser ?? 'A browser', system && `on ${system}`].filter(Boolean).join(' ')
}
