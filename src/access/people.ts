/** The owner's hand on who works here. There is always an owner. */
import { and, eq, isNull } from 'drizzle-orm'
import { staff } from '../database/schema.ts'
import type { Scope } from '../database/service.ts'
import { openInvitations, withdrawInvitation } from './invitations.ts'
import type { Role } from './permissions.ts'
import { endSessionsOf } from './sessions.ts'

export type Outcome = 'done' | 'unknown' | 'last owner'

// Locks the owners, so that two of them cannot remove each other at once.
async function isLastOwner(scope: Scope, staffId: string): Promise<boolean> {
  const owners = await scope.tx
    .select({ staffId: staff.staffId })
    .from(staff)
    .where(and(eq(staff.role, 'owner'), isNull(staff.leftAt)))
    .orderBy(staff.staffId)
    .for('update')
  return owners.length === 1 && owners[0]?.staffId === staffId
}

/** Ends the sessions too: the person signs in again under the new role. */
export async function changeRole(scope: Scope, by: string, staffId: string, role: Role): Promise<Outcome> {
  if (role !== 'owner' && (await isLastOwner(scope, staffId))) return 'last owner'
  const changed = await scope.tx
    .update(staff)
    .set({ role })
    .where(and(eq(staff.staffId, staffId), isNull(staff.leftAt)))
    .returning({ staffId: staff.staffId })
  if (changed.length === 0) return 'unknown'
  await endSessionsOf(scope, staffId)
  scope.audit({ actor: `staff:${by}`, action: 'change role', subject: `staff:${staffId}`, detail: { role } })
  return 'done'
}

/** The person has left: no session, no open link, no way in; what they did keeps their name. */
export async function removePerson(scope: Scope, by: string, staffId: string): Promise<Outcome> {
  if (await isLastOwner(scope, staffId)) return 'last owner'
  const [gone] = await scope.tx
    .update(staff)
    .set({ leftAt: scope.now, escalationOrder: null })
    .where(and(eq(staff.staffId, staffId), isNull(staff.leftAt)))
    .returning()
  if (!gone) return 'unknown'
  await endSessionsOf(scope, staffId)
  const email = scope.vault.open(gone.emailSealed)
  for (const open of await openInvitations(scope)) {
    if (open.staffId === staffId || open.email === email) await withdrawInvitation(scope, open.id)
  }
  scope.audit({ actor: `staff:${by}`, action: 'remove person', subject: `staff:${staffId}` })
  return 'done'
}

export interface PersonDetails {
  name: string
  mobile: string | null
  registration: string | null
  escalationOrder: number | null
}

export async function changeDetails(
  scope: Scope,
  by: string,
  staffId: string,
  details: PersonDetails,
): Promise<Outcome> {
  const changed = await scope.tx
    .update(staff)
    .set({
      nameSealed: scope.vault.seal(details.name),
      mobileSealed: details.mobile === null ? null : scope.vault.seal(details.mobile),
      registration: details.registration,
      escalationOrder: details.escalationOrder,
    })
    .where(and(eq(staff.staffId, staffId), isNull(staff.leftAt)))
    .returning({ staffId: staff.staffId })
  if (changed.length === 0) return 'unknown'
  scope.audit({
    actor: `staff:${by}`,
    action: 'change details',
    subject: `staff:${staffId}`,
    detail: { escalationOrder: details.escalationOrder },
  })
  return 'done'
}
