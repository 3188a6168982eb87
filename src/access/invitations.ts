/** Links that let a person in for the first time, or give a known one a new way in; good once, for three days. */
import { and, asc, desc, eq, gt, isNotNull, isNull } from 'drizzle-orm'
import type { Temporal } from 'temporal-polyfill'
import { invitation, staff } from '../database/schema.ts'
import type { Scope } from '../database/service.ts'
import { removeAllWays } from './credentials.ts'
import type { Role } from './permissions.ts'
import { endSessionsOf, hashToken, newToken } from './sessions.ts'
import { addStaff, findStaff, plainEmail } from './staff.ts'

const VALID_HOURS = 72

export interface InvitationRequest {
  name: string
  email: string
  role: Role
  /** The owner who invites; nobody for the first owner of a clinic. */
  invitedBy?: string | null | undefined
}

/** The token stands at the end of the link: see invitationAddress. */
export type Invited = { token: string } | { taken: true }

export const invitationAddress = (publicUrl: string, token: string) => `${publicUrl}/staff/join/${token}`

/** The clinic and the secret of a token, if it has the form of one. */
export function readInvitationToken(token: string): { clinicId: string; secret: string } | undefined {
  const [, clinicId, secret] =
    /^([0-9a-f]{8}(?:-[0-9a-f]{4}){3}-[0-9a-f]{12})\.([\w-]{43})$/.exec(token) ?? []
  return clinicId && secret ? { clinicId, secret } : undefined
}

/** Invites somebody new, or somebody back who had left. `taken`: this address already works here. */
export async function inviteStaff(scope: Scope, request: InvitationRequest): Promise<Invited> {
  const email = plainEmail(request.email)
  const [known] = await scope.tx
    .select()
    .from(staff)
    .where(eq(staff.emailBlind, scope.vault.blind(email)))
  if (known && !known.leftAt) return { taken: true }
  return { token: await writeInvitation(scope, { ...request, email, staffId: known?.staffId ?? null }) }
}

/** A new way in for somebody who works here. @returns undefined when there is no such person */
export async function inviteAgain(
  scope: Scope,
  staffId: string,
  invitedBy: string | undefined,
): Promise<string | undefined> {
  const person = await findStaff(scope, staffId)
  if (!person) return undefined
  const { name, email, role } = person
  return await writeInvitation(scope, { name, email, role, invitedBy, staffId })
}

/** A fresh link for somebody who never used theirs, also where it ran out. @returns undefined when nobody was invited so */
export async function inviteUnused(scope: Scope, email: string): Promise<string | undefined> {
  const rows = await scope.tx
    .select()
    .from(invitation)
    .where(isNull(invitation.usedAt))
    .orderBy(desc(invitation.createdAt))
  const last = rows.map((row) => openRow(scope, row)).find((one) => one.email === plainEmail(email))
  return last && (await writeInvitation(scope, last))
}

async function writeInvitation(
  scope: Scope,
  { name, email, role, invitedBy, staffId }: InvitationRequest & { staffId: string | null },
): Promise<string> {
  const { tx, vault, clinicId, now } = scope
  const secret = newToken()
  // An earlier link for the same person is dead with this one.
  for (const open of await openInvitations(scope)) {
    if (open.email === email) await withdrawInvitation(scope, open.id)
  }
  await tx.insert(invitation).values({
    clinicId,
    tokenHash: hashToken(secret),
    emailSealed: vault.seal(email),
    nameSealed: vault.seal(name),
    role,
    invitedBy: invitedBy ?? null,
    createdAt: now,
    expiresAt: now.add({ hours: VALID_HOURS }),
    staffId,
  })
  scope.audit({
    actor: invitedBy ? `staff:${invitedBy}` : 'service',
    action: staffId ? 'give a new way in' : 'invite',
    subject: staffId ? `staff:${staffId}` : undefined,
    detail: { role },
  })
  return `${clinicId}.${secret}`
}

export interface OpenInvitation {
  id: string
  name: string
  email: string
  role: Role
  expiresAt: Temporal.Instant
  /** Whom it gives a new way in. */
  staffId: string | null
}

const stillOpen = (scope: Scope) => and(isNull(invitation.usedAt), gt(invitation.expiresAt, scope.now))

function openRow({ vault }: Scope, row: typeof invitation.$inferSelect): OpenInvitation {
  return {
    id: row.tokenHash.toString('hex'),
    name: vault.open(row.nameSealed),
    email: vault.open(row.emailSealed),
    role: row.role,
    expiresAt: row.expiresAt,
    staffId: row.staffId,
  }
}

export async function openInvitations(scope: Scope): Promise<OpenInvitation[]> {
  const rows = await scope.tx
    .select()
    .from(invitation)
    .where(stillOpen(scope))
    .orderBy(asc(invitation.createdAt))
  return rows.map((row) => openRow(scope, row))
}

export async function findInvitation(scope: Scope, secret: string): Promise<OpenInvitation | undefined> {
  const [row] = await scope.tx
    .select()
    .from(invitation)
    .where(and(eq(invitation.tokenHash, hashToken(secret)), stillOpen(scope)))
  return row && openRow(scope, row)
}

export async function withdrawInvitation(scope: Scope, id: string): Promise<void> {
  await scope.tx
    .update(invitation)
    .set({ expiresAt: scope.now })
    .where(and(eq(invitation.tokenHash, Buffer.from(id, 'hex')), isNull(invitation.usedAt)))
}

/**
 * The id that the invited person has or will have: fixed by the invitation, so that a passkey can be made
 * for it before the person exists.
 */
export function invitedId(found: OpenInvitation): string {
  if (found.staffId) return found.staffId
  const hex = found.id.slice(0, 32)
  const variant = ((Number.parseInt(hex.slice(16, 18), 16) & 0x3f) | 0x80).toString(16)
  return `${hex.slice(0, 8)}-${hex.slice(8, 12)}-8${hex.slice(13, 16)}-${variant}${hex.slice(18, 20)}-${hex.slice(20)}`
}

/**
 * Uses the link up: the person exists, works here in the invited role, and has no way in but what the
 * caller adds in the same transaction. @returns undefined when it was used or ran out in the meantime
 */
export async function acceptInvitation(scope: Scope, secret: string): Promise<string | undefined> {
  const found = await findInvitation(scope, secret)
  if (!found) return undefined
  const used = await scope.tx
    .update(invitation)
    .set({ usedAt: scope.now })
    .where(and(eq(invitation.tokenHash, hashToken(secret)), stillOpen(scope)))
    .returning({ role: invitation.role })
  if (used.length !== 1) return undefined
  const staffId = invitedId(found)
  if (found.staffId) {
    // Whoever comes back has the role of the link; whoever works here keeps the one they have now.
    await scope.tx
      .update(staff)
      .set({ leftAt: null, role: found.role, nameSealed: scope.vault.seal(found.name) })
      .where(and(eq(staff.staffId, staffId), isNotNull(staff.leftAt)))
    await removeAllWays(scope, staffId)
    await endSessionsOf(scope, staffId)
  } else {
    await addStaff(scope, { staffId, name: found.name, email: found.email, role: found.role })
  }
  scope.audit({ actor: `staff:${staffId}`, action: 'accept invitation', subject: `staff:${staffId}` })
  return staffId
}
