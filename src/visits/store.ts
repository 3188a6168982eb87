/** Patients, practitioners and visits in the database. */
import { and, asc, eq, gte, inArray, lt, sql } from 'drizzle-orm'
import { Temporal } from 'temporal-polyfill'
import { patient, practitioner, visit } from '../database/schema.ts'
import type { Scope } from '../database/service.ts'
import { Trouble } from '../trouble.ts'
import type { VisitRow } from './columns.ts'

export interface Patient {
  patientId: string
  name: string
  mobile: string | null
  email: string | null
  language: string
  birthDate: string | null
  /** Kinds of history known of the patient that weigh on urgency. */
  risks: string[]
  stoppedAt: Temporal.Instant | null
  numberWrongAt: Temporal.Instant | null
}

export type Visit = typeof visit.$inferSelect & { practitioner: string }

export type VisitChange =
  | { kind: 'same'; visit: Visit }
  | { kind: 'booked'; visit: Visit }
  | { kind: 'changed'; visit: Visit; before: Visit; moved: boolean; contactChanged: boolean }
  | { kind: 'cancelled'; visit: Visit; before: Visit }

/** What the last import said of a visit where the clinic may have changed it since. */
interface Imported {
  start: string
  practitionerId: string
  room: string | null
  minutes: number
  purpose: Visit['purpose']
  urgent: boolean
  status: VisitRow['status']
}

const importedOf = (row: VisitRow, practitionerId: string): Imported => ({
  start: row.start.toString(),
  practitionerId,
  room: row.room,
  minutes: row.minutes,
  purpose: row.purpose,
  urgent: row.urgent,
  status: row.status,
})

/**
 * A file that says again what it said before brings no news: what the patient or the desk has changed since
 * (a move, a length, a kind, a cancellation) stands. Start, practitioner and room are one thing.
 */
function newsOf(last: Imported | null, now: Imported, before: Visit) {
  const news = <K extends keyof Imported>(...names: K[]) => names.some((name) => last?.[name] !== now[name])
  const time = news('start', 'practitionerId', 'room')
  return {
    startAt: time ? Temporal.Instant.from(now.start) : before.startAt,
    practitionerId: time ? now.practitionerId : before.practitionerId,
    room: time ? now.room : before.room,
    minutes: news('minutes') ? now.minutes : before.minutes,
    purpose: news('purpose') ? now.purpose : before.purpose,
    urgent: news('urgent') ? now.urgent : before.urgent,
    // A cancelled visit with a new time is booked again.
    status: news('status', 'start') ? now.status : before.status,
    any: news('start', 'practitionerId', 'room', 'minutes', 'purpose', 'urgent', 'status'),
  }
}

/** Creates or changes the visit of this reference. @throws Trouble when it is another patient's visit */
export async function putVisit(scope: Scope, row: VisitRow): Promise<VisitChange> {
  const practitionerId = await putPractitioner(scope, row.practitioner)
  const before = await visitByReference(scope, row.reference)
  const { patientId, contactChanged } = await putPatient(scope, row, before?.patientId ?? null)
  const imported = importedOf(row, practitionerId)
  const ofPatient = { patientId, ears: row.ears, inPain: row.inPain, recurrent: row.recurrent }
  if (!before) {
    const { minutes, purpose, room, urgent, status } = row
    const [made] = await scope.tx
      .insert(visit)
      .values({
        clinicId: scope.clinicId,
        reference: row.reference,
        ...ofPatient,
        practitionerId,
        startAt: row.start,
        minutes,
        purpose,
        room,
        urgent,
        status,
        imported,
        bookedAt: scope.now,
        updatedAt: scope.now,
      })
      .returning()
    const fresh = { ...(made as typeof visit.$inferSelect), practitioner: row.practitioner }
    scope.audit({ actor: 'service', action: 'book visit', patientId, subject: `visit:${fresh.visitId}` })
    return { kind: row.status === 'cancelled' ? 'same' : 'booked', visit: fresh }
  }
  // A visit that was held or missed is history: importing it again must not reopen it.
  if (before.status === 'done' || before.status === 'missed') return { kind: 'same', visit: before }
  const { any, startAt, ...rest } = newsOf(before.imported as Imported | null, imported, before)
  const fields = { ...ofPatient, ...rest }
  const moved = !before.startAt.equals(startAt)
  const names = Object.keys(fields) as (keyof typeof fields)[]
  if (!contactChanged && !moved && names.every((name) => before[name] === fields[name])) {
    if (any) await scope.tx.update(visit).set({ imported }).where(eq(visit.visitId, before.visitId))
    return { kind: 'same', visit: before }
  }
  const after = await changeVisit(scope, before, { ...fields, startAt, imported })
  if (fields.status === 'cancelled') {
    return before.status === 'cancelled'
      ? { kind: 'same', visit: after }
      : { kind: 'cancelled', visit: after, before }
  }
  if (before.status === 'cancelled') return { kind: 'booked', visit: after }
  return { kind: 'changed', visit: after, before, moved, contactChanged }
}

export type NewVisit = Pick<
  typeof visit.$inferSelect,
  'reference' | 'patientId' | 'practitionerId' | 'startAt' | 'minutes' | 'purpose' | 'ears' | 'room'
>

/** Books a visit for a patient who is known. */
export async function bookVisit(scope: Scope, fields: NewVisit): Promise<Visit> {
  const [row] = await scope.tx
    .insert(visit)
    .values({
      clinicId: scope.clinicId,
      ...fields,
      status: 'booked',
      bookedAt: scope.now,
      updatedAt: scope.now,
    })
    .returning()
  const made = row as typeof visit.$inferSelect
  scope.audit({
    actor: 'service',
    action: 'book visit',
    patientId: made.patientId,
    subject: `visit:${made.visitId}`,
  })
  return { ...made, practitioner: await practitionerName(scope, made.practitionerId) }
}

/** Writes the fields that differ; the visit must not have changed since it was read. */
export async function changeVisit(
  scope: Scope,
  before: Visit,
  fields: Partial<typeof visit.$inferInsert>,
): Promise<Visit> {
  const [row] = await scope.tx
    .update(visit)
    .set({ ...fields, version: before.version + 1, updatedAt: scope.now })
    .where(and(eq(visit.visitId, before.visitId), eq(visit.version, before.version)))
    .returning()
  if (!row) throw new Trouble('Somebody else changed this visit just now: look at it again.')
  scope.audit({
    actor: 'service',
    action: 'change visit',
    patientId: row.patientId,
    subject: `visit:${row.visitId}`,
    detail: { fields: Object.keys(fields) },
  })
  const name =
    row.practitionerId === before.practitionerId
      ? before.practitioner
      : await practitionerName(scope, row.practitionerId)
  return { ...row, practitioner: name }
}

async function practitionerName(scope: Scope, practitionerId: string): Promise<string> {
  const [row] = await scope.tx
    .select()
    .from(practitioner)
    .where(eq(practitioner.practitionerId, practitionerId))
  return row?.name ?? ''
}

/** The practitioner of this name, made where it is new. */
export async function putPractitioner(scope: Scope, name: string): Promise<string> {
  const [known] = await scope.tx.select().from(practitioner).where(eq(practitioner.name, name))
  if (known) return known.practitionerId
  const [made] = await scope.tx
    .insert(practitioner)
    .values({ clinicId: scope.clinicId, name })
    .onConflictDoUpdate({ target: [practitioner.clinicId, practitioner.name], set: { name } })
    .returning({ id: practitioner.practitionerId })
  return made?.id as string
}

export function listPractitioners({ tx }: Pick<Scope, 'tx'>): Promise<(typeof practitioner.$inferSelect)[]> {
  return tx.select().from(practitioner).orderBy(asc(practitioner.name))
}

const plainName = (name: string): string =>
  name
    .normalize('NFKC')
    .toLowerCase()
    .replace(/[^\p{L}\p{N}]+/gu, ' ')
    .trim()

// A patient is known by name and contact; a visit that already has a patient keeps that patient.
async function putPatient(
  scope: Scope,
  row: VisitRow,
  known: string | null,
): Promise<{ patientId: string; contactChanged: boolean }> {
  const { tx, vault, now, clinicId } = scope
  const identityBlind = vault.blind(
    `patient/${plainName(row.name)}/${row.mobile ?? row.email ?? row.reference}`,
  )
  const [before] = await tx
    .select()
    .from(patient)
    .where(known ? eq(patient.patientId, known) : eq(patient.identityBlind, identityBlind))
  const mobileBlind = row.mobile ? vault.blind(row.mobile) : null
  const emailBlind = row.email ? vault.blind(row.email) : null
  const sealed = (text: string | null) => (text === null ? null : vault.seal(text))
  if (!before) {
    const [made] = await tx
      .insert(patient)
      .values({
        clinicId,
        identityBlind,
        nameSealed: vault.seal(row.name),
        mobileSealed: sealed(row.mobile),
        mobileBlind,
        emailSealed: sealed(row.email),
        emailBlind,
        birthDateSealed: sealed(row.birthDate),
        language: row.language,
        createdAt: now,
        updatedAt: now,
      })
      .onConflictDoUpdate({ target: [patient.clinicId, patient.identityBlind], set: { updatedAt: now } })
      .returning({ id: patient.patientId })
    return { patientId: made?.id as string, contactChanged: false }
  }
  const was = toPatient(scope, before)
  const contactChanged = was.mobile !== row.mobile || was.email !== row.email
  const birthDate = row.birthDate ?? was.birthDate
  // One person's history must never decide another's drops.
  const sameBirth = was.birthDate !== null && was.birthDate === birthDate
  const reached = was.mobile === row.mobile || (was.email !== null && was.email === row.email)
  if (plainName(was.name) !== plainName(row.name) && !reached && !sameBirth && row.status !== 'cancelled')
    throw new Trouble(
      `"${row.reference}" is the visit of somebody with another name, number and date of birth: cancel it, and give the new visit a reference of its own`,
    )
  if (
    contactChanged ||
    was.name !== row.name ||
    was.language !== row.language ||
    was.birthDate !== birthDate
  ) {
    await tx
      .update(patient)
      .set({
        nameSealed: vault.seal(row.name),
        mobileSealed: sealed(row.mobile),
        mobileBlind,
        emailSealed: sealed(row.email),
        emailBlind,
        birthDateSealed: sealed(birthDate),
        language: row.language,
        updatedAt: now,
        // A new number is a new chance to reach the patient.
        ...(contactChanged ? { numberWrongAt: null } : {}),
      })
      .where(eq(patient.patientId, before.patientId))
  }
  return { patientId: before.patientId, contactChanged }
}

function toPatient({ vault }: Pick<Scope, 'vault'>, row: typeof patient.$inferSelect): Patient {
  const open = (sealed: Buffer | null) => (sealed === null ? null : vault.open(sealed))
  return {
    patientId: row.patientId,
    name: vault.open(row.nameSealed),
    mobile: open(row.mobileSealed),
    email: open(row.emailSealed),
    language: row.language,
    birthDate: open(row.birthDateSealed),
    risks: row.risksSealed ? (JSON.parse(vault.open(row.risksSealed)) as string[]) : [],
    stoppedAt: row.stoppedAt,
    numberWrongAt: row.numberWrongAt,
  }
}

export async function getPatient(
  scope: Pick<Scope, 'tx' | 'vault'>,
  patientId: string,
): Promise<Patient | null> {
  const [row] = await scope.tx.select().from(patient).where(eq(patient.patientId, patientId))
  return row ? toPatient(scope, row) : null
}

/** By id; patients that are gone are left out. */
export async function getPatients(
  scope: Pick<Scope, 'tx' | 'vault'>,
  patientIds: string[],
): Promise<Map<string, Patient>> {
  if (patientIds.length === 0) return new Map()
  const rows = await scope.tx
    .select()
    .from(patient)
    .where(inArray(patient.patientId, [...new Set(patientIds)]))
  return new Map(rows.map((row) => [row.patientId, toPatient(scope, row)]))
}

export async function setRisks(scope: Scope, patientId: string, risks: string[]): Promise<void> {
  await scope.tx
    .update(patient)
    .set({ risksSealed: scope.vault.seal(JSON.stringify(risks)), updatedAt: scope.now })
    .where(eq(patient.patientId, patientId))
}

/** `null` starts messages again. */
export async function setStopped(
  scope: Scope,
  patientId: string,
  at: Temporal.Instant | null,
): Promise<void> {
  await scope.tx
    .update(patient)
    .set({ stoppedAt: at, updatedAt: scope.now })
    .where(eq(patient.patientId, patientId))
  scope.audit({ actor: `patient:${patientId}`, action: at ? 'stop messages' : 'start messages', patientId })
}

export async function setNumberWrong(scope: Scope, patientId: string): Promise<void> {
  await scope.tx
    .update(patient)
    .set({ numberWrongAt: scope.now, updatedAt: scope.now })
    .where(eq(patient.patientId, patientId))
}

const visits = ({ tx }: Pick<Scope, 'tx'>) =>
  tx
    .select({ visit, practitioner: practitioner.name })
    .from(visit)
    .innerJoin(
      practitioner,
      and(eq(practitioner.clinicId, visit.clinicId), eq(practitioner.practitionerId, visit.practitionerId)),
    )
    .$dynamic()

const flat = (rows: { visit: typeof visit.$inferSelect; practitioner: string }[]): Visit[] =>
  rows.map((row) => ({ ...row.visit, practitioner: row.practitioner }))

export async function visitByReference(scope: Pick<Scope, 'tx'>, reference: string): Promise<Visit | null> {
  return flat(await visits(scope).where(eq(visit.reference, reference)))[0] ?? null
}

export async function getVisit(scope: Pick<Scope, 'tx'>, visitId: string): Promise<Visit | null> {
  return flat(await visits(scope).where(eq(visit.visitId, visitId)))[0] ?? null
}

/** Locks the visit until the transaction ends. */
export async function lockVisit(scope: Pick<Scope, 'tx'>, visitId: string): Promise<Visit | null> {
  await scope.tx.execute(sql`select 1 from visit where visit_id = ${visitId} for update`)
  return await getVisit(scope, visitId)
}

/** Visits that start from `from` until before `to`, in order. */
export async function visitsBetween(
  scope: Pick<Scope, 'tx'>,
  from: Temporal.Instant,
  to: Temporal.Instant,
): Promise<Visit[]> {
  return flat(
    await visits(scope)
      .where(and(gte(visit.startAt, from), lt(visit.startAt, to)))
      .orderBy(asc(visit.startAt)),
  )
}

/** A patient's visits, oldest first. */
export async function visitsOfPatient(scope: Pick<Scope, 'tx'>, patientId: string): Promise<Visit[]> {
  return flat(await visits(scope).where(eq(visit.patientId, patientId)).orderBy(asc(visit.startAt)))
}
