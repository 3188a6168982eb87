/** Who works at the clinic, in the order in which concerns reach them. */
import { asc, isNull } from 'drizzle-orm'
import { staff } from '../database/schema.ts'
import type { Scope } from '../database/service.ts'
import type { Role } from './permissions.ts'

export interface StaffRow {
  staffId: string
  name: string
  email: string
  mobile: string | null
  role: Role
  registration: string | null
  /** Place on the clinic's list for concerns; null is not on it. */
  escalationOrder: number | null
}

/** Staff who have not left; those on the list first, in its order. */
export async function listStaff({ tx, vault }: Pick<Scope, 'tx' | 'vault'>): Promise<StaffRow[]> {
  const rows = await tx
    .select()
    .from(staff)
    .where(isNull(staff.leftAt))
    .orderBy(asc(staff.escalationOrder), asc(staff.createdAt))
  return rows.map((row) => ({
    staffId: row.staffId,
    name: vault.open(row.nameSealed),
    email: vault.open(row.emailSealed),
    mobile: row.mobileSealed ? vault.open(row.mobileSealed) : null,
    role: row.role,
    registration: row.registration,
    escalationOrder: row.escalationOrder,
  }))
}
