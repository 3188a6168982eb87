/** The people of a clinic, as the other rooms see them. */
import { asc, eq, isNull, sql } from 'drizzle-orm'
import type { Temporal } from 'temporal-polyfill'
import { staff } from '../database/schema.ts'
import type { Scope } from '../database/service.ts'
import type { Role } from './permissions.ts'

export interface StaffRow {
  staffId: string
  name: string
  email: string
  mobile: string | null
  role: Role
  /** The clinician's number with their professional body. */
  registration: string | null
  /** Place on the list of those who are told of a concern; null: not on it. */
  escalationOrder: number | null
  createdAt: Temporal.Instant
}

/** Who works here now, in the order in which they are told of a concern. */
export async function listStaff(scope: Scope): Promise<StaffRow[]> {
  const rows = await scope.tx
    .select()
    .from(staff)
    .where(isNull(staff.leftAt))
    .orderBy(sql`${staff.escalationOrder} asc nulls last`, asc(staff.createdAt), asc(staff.staffId))
  return rows.map((row) => openStaff(scope, row))
}

export async function findStaff(scope: Scope, staffId: string): Promise<StaffRow | undefined> {
  const [row] = await scope.tx.select().from(staff).where(eq(staff.staffId, staffId))
  return row && openStaff(scope, row)
}

function openStaff({ vault }: Scope, row: typeof staff.$inferSelect): StaffRow {
  return {
    staffId: row.staffId,
    name: vault.open(row.nameSealed),
    email: vault.open(row.emailSealed),
    mobile: row.mobileSealed && vault.open(row.mobileSealed),
    role: row.role,
    registration: row.registration,
    escalationOrder: row.escalationOrder,
    createdAt: row.createdAt,
  }
}

/** Addresses are told apart without regard to case. */
export const plainEmail = (email: string) => email.normalize('NFKC').trim().toLowerCase()

export interface NewStaff {
  staffId?: string | undefined
  name: string
  email: string
  role: Role
  mobile?: string | undefined
  registration?: string | undefined
  escalationOrder?: number | undefined
}

/** A person without any way to sign in yet. @returns their id */
export async function addStaff(scope: Scope, person: NewStaff): Promise<string> {
  const { vault } = scope
  const email = plainEmail(person.email)
  const [row] = await scope.tx
    .insert(staff)
    .values({
      clinicId: scope.clinicId,
      ...(person.staffId && { staffId: person.staffId }),
      nameSealed: vault.seal(person.name),
      emailSealed: vault.seal(email),
      emailBlind: vault.blind(email),
      mobileSealed: person.mobile ? vault.seal(person.mobile) : null,
      role: person.role,
      registration: person.registration ?? null,
      escalationOrder: person.escalationOrder ?? null,
      createdAt: scope.now,
    })
    .returning({ staffId: staff.staffId })
  return (row as { staffId: string }).staffId
}
