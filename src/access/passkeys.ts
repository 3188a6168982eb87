/** Passkeys (W3C Web Authentication): made on this person's device, with the device checking who they are. */
import { randomBytes } from 'node:crypto'
import {
  generateAuthenticationOptions,
  generateRegistrationOptions,
  verifyAuthenticationResponse,
  verifyRegistrationResponse,
} from '@simplewebauthn/server'
import { and, asc, eq, gt, isNull, lte } from 'drizzle-orm'
import type { Temporal } from 'temporal-polyfill'
import { z } from 'zod'
import { passkey, signInChallenge, staff } from '../database/schema.ts'
import type { Scope } from '../database/service.ts'
import type { Party } from './origin.ts'
import { hashToken } from './sessions.ts'

type Purpose = (typeof signInChallenge.$inferSelect)['purpose']

const CHALLENGE_MINUTES = 5
// EdDSA, ECDSA P-256 and RSA, as COSE names them: what devices have today.
const ALGORITHMS = [-8, -7, -257]

async function newChallenge(
  scope: Scope,
  purpose: Purpose,
  staffId?: string,
): Promise<Uint8Array<ArrayBuffer>> {
  const { tx, clinicId, now } = scope
  await tx.delete(signInChallenge).where(lte(signInChallenge.expiresAt, now))
  const challenge = new Uint8Array(randomBytes(32))
  await tx.insert(signInChallenge).values({
    clinicId,
    challengeHash: hashToken(Buffer.from(challenge).toString('base64url')),
    purpose,
    staffId: staffId ?? null,
    expiresAt: now.add({ minutes: CHALLENGE_MINUTES }),
  })
  return challenge
}

/** Good once: taking it ends it, whatever follows. */
async function takeChallenge(scope: Scope, challenge: string, purpose: Purpose, staffId?: string) {
  const taken = await scope.tx
    .delete(signInChallenge)
    .where(
      and(
        eq(signInChallenge.challengeHash, hashToken(challenge)),
        eq(signInChallenge.purpose, purpose),
        staffId === undefined ? isNull(signInChallenge.staffId) : eq(signInChallenge.staffId, staffId),
        gt(signInChallenge.expiresAt, scope.now),
      ),
    )
    .returning({ purpose: signInChallenge.purpose })
  return taken.length === 1
}

export async function registrationOptions(
  scope: Scope,
  party: Party,
  person: { staffId: string; email: string; name: string },
) {
  const known = await scope.tx.select().from(passkey).where(eq(passkey.staffId, person.staffId))
  return await generateRegistrationOptions({
    rpName: 'Foreaft',
    rpID: party.id,
    userID: new Uint8Array(Buffer.from(person.staffId)),
    userName: person.email,
    userDisplayName: person.name,
    challenge: await newChallenge(scope, 'add passkey', person.staffId),
    attestationType: 'none',
    supportedAlgorithmIDs: ALGORITHMS,
    excludeCredentials: known.map((key) => ({ id: key.credentialId })),
    authenticatorSelection: { residentKey: 'required', userVerification: 'required' },
  })
}

const base64url = z
  .string()
  .regex(/^[\w-]+$/)
  .max(20_000)

const registrationSchema = z.object({
  id: base64url,
  rawId: base64url,
  type: z.literal('public-key'),
  response: z.object({
    clientDataJSON: base64url,
    attestationObject: base64url,
    transports: z.array(z.string().max(20)).max(10).optional(),
  }),
  clientExtensionResults: z.record(z.string(), z.unknown()).default({}),
})

const assertionSchema = z.object({
  id: base64url,
  rawId: base64url,
  type: z.literal('public-key'),
  response: z.object({
    clientDataJSON: base64url,
    authenticatorData: base64url,
    signature: base64url,
    userHandle: base64url.optional(),
  }),
  clientExtensionResults: z.record(z.string(), z.unknown()).default({}),
})

/** The verified new passkey, not yet stored. @returns undefined when anything about it is wrong */
export async function readRegistration(scope: Scope, party: Party, staffId: string, response: unknown) {
  const parsed = registrationSchema.safeParse(response)
  if (!parsed.success) return undefined
  try {
    const result = await verifyRegistrationResponse({
      response: parsed.data as never,
      expectedChallenge: (challenge) => takeChallenge(scope, challenge, 'add passkey', staffId),
      expectedOrigin: party.origin,
      expectedRPID: party.id,
      requireUserVerification: true,
      supportedAlgorithmIDs: ALGORITHMS,
    })
    return result.verified ? result.registrationInfo.credential : undefined
  } catch (error) {
    return asRefusal(error)
  }
}

export type NewPasskey = NonNullable<Awaited<ReturnType<typeof readRegistration>>>

/** @returns false when this passkey is already known */
export async function addPasskey(
  scope: Scope,
  staffId: string,
  credential: NewPasskey,
  label: string,
): Promise<boolean> {
  const added = await scope.tx
    .insert(passkey)
    .values({
      clinicId: scope.clinicId,
      credentialId: credential.id,
      staffId,
      publicKey: Buffer.from(credential.publicKey),
      counter: credential.counter,
      transports: credential.transports ?? [],
      label,
      createdAt: scope.now,
    })
    .onConflictDoNothing()
    .returning({ id: passkey.credentialId })
  return added.length === 1
}

/** For signing in nobody is named; for confirming only that person's own passkeys are asked for. */
export async function assertionOptions(
  scope: Scope,
  party: Party,
  purpose: 'sign in' | 'confirm',
  staffId?: string,
) {
  const own = staffId ? await scope.tx.select().from(passkey).where(eq(passkey.staffId, staffId)) : []
  return await generateAuthenticationOptions({
    rpID: party.id,
    challenge: await newChallenge(scope, purpose, staffId),
    userVerification: 'required',
    allowCredentials: own.map((key) => ({ id: key.credentialId })),
  })
}

/** @returns whose passkey this is, or undefined when anything about it is wrong */
export async function readAssertion(
  scope: Scope,
  party: Party,
  purpose: 'sign in' | 'confirm',
  response: unknown,
  staffId?: string,
): Promise<string | undefined> {
  const parsed = assertionSchema.safeParse(response)
  if (!parsed.success) return undefined
  const [row] = await scope.tx
    .select({ passkey })
    .from(passkey)
    .innerJoin(staff, and(eq(staff.staffId, passkey.staffId), isNull(staff.leftAt)))
    .where(eq(passkey.credentialId, parsed.data.id))
    .for('update')
  if (!row || (staffId !== undefined && row.passkey.staffId !== staffId)) return undefined
  const handle = parsed.data.response.userHandle
  if (handle && Buffer.from(handle, 'base64url').toString() !== row.passkey.staffId) return undefined
  try {
    const result = await verifyAuthenticationResponse({
      response: parsed.data as never,
      expectedChallenge: (challenge) => takeChallenge(scope, challenge, purpose, staffId),
      expectedOrigin: party.origin,
      expectedRPID: party.id,
      requireUserVerification: true,
      credential: {
        id: row.passkey.credentialId,
        publicKey: new Uint8Array(row.passkey.publicKey),
        counter: row.passkey.counter,
      },
    })
    if (!result.verified) return undefined
    await scope.tx
      .update(passkey)
      .set({ counter: result.authenticationInfo.newCounter, usedAt: scope.now })
      .where(eq(passkey.credentialId, row.passkey.credentialId))
    return row.passkey.staffId
  } catch (error) {
    return asRefusal(error)
  }
}

// The library throws on whatever does not verify; a fault of the database is no refusal.
function asRefusal(error: unknown): undefined {
  if (error instanceof Error && !('code' in error && typeof error.code === 'string' && error.cause)) {
    if (error.name !== 'DrizzleQueryError' && error.name !== 'PostgresError') return undefined
  }
  throw error
}

export interface PasskeyLine {
  id: string
  label: string
  createdAt: Temporal.Instant
  usedAt: Temporal.Instant | null
}

export async function listPasskeys(scope: Scope, staffId: string): Promise<PasskeyLine[]> {
  const rows = await scope.tx
    .select()
    .from(passkey)
    .where(eq(passkey.staffId, staffId))
    .orderBy(asc(passkey.createdAt))
  return rows.map((row) => ({
    id: row.credentialId,
    label: row.label,
    createdAt: row.createdAt,
    usedAt: row.usedAt,
  }))
}

export async function removePasskey(scope: Scope, staffId: string, credentialId: string): Promise<boolean> {
  const gone = await scope.tx
    .delete(passkey)
    .where(and(eq(passkey.staffId, staffId), eq(passkey.credentialId, credentialId)))
    .returning({ id: passkey.credentialId })
  return gone.length === 1
}
