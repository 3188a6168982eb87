/** Procedure records and checks in the database. */
import { and, asc, desc, eq, inArray, lte } from 'drizzle-orm'
import type { Temporal } from 'temporal-polyfill'
import { aftercareCheck, procedureRecord } from '../database/schema.ts'
import type { Scope } from '../database/service.ts'
import type { DifficultyLevel } from '../protocol/sections/aftercare.ts'
import type { EarRecord } from './record.ts'

export interface StoredEar {
  recordId: string
  visitId: string
  patientId: string
  byStaff: string
  doneAt: Temporal.Instant
  difficulty: DifficultyLevel
  record: EarRecord
}

/** One row an ear; recording an ear again takes the place of the earlier record, but not of the time it was done. */
export async function saveEar(
  { tx, clinicId, vault }: Scope,
  visit: { visitId: string; patientId: string },
  fields: { record: EarRecord; difficulty: DifficultyLevel; byStaff: string; doneAt: Temporal.Instant },
): Promise<void> {
  const values = {
    patientId: visit.patientId,
    byStaff: fields.byStaff,
    softness: fields.record.softness,
    result: fields.record.result,
    difficulty: fields.difficulty,
    detailSealed: vault.seal(JSON.stringify(fields.record)),
  }
  await tx
    .insert(procedureRecord)
    .values({ clinicId, visitId: visit.visitId, ear: fields.record.ear, doneAt: fields.doneAt, ...values })
    .onConflictDoUpdate({
      target: [procedureRecord.clinicId, procedureRecord.visitId, procedureRecord.ear],
      set: values,
    })
}

/** Takes back the record of an ear that was recorded by mistake. */
export async function takeBackEar(
  { tx }: Pick<Scope, 'tx'>,
  visitId: string,
  ear: EarRecord['ear'],
): Promise<void> {
  await tx
    .delete(procedureRecord)
    .where(and(eq(procedureRecord.visitId, visitId), eq(procedureRecord.ear, ear)))
}

function toEar({ vault }: Pick<Scope, 'vault'>, row: typeof procedureRecord.$inferSelect): StoredEar {
  const { recordId, visitId, patientId, byStaff, doneAt } = row
  return {
    recordId,
    visitId,
    patientId,
    byStaff,
    doneAt,
    difficulty: row.difficulty as DifficultyLevel,
    record: JSON.parse(vault.open(row.detailSealed)) as EarRecord,
  }
}

export async function recordsOfVisit(
  scope: Pick<Scope, 'tx' | 'vault'>,
  visitId: string,
): Promise<StoredEar[]> {
  const rows = await scope.tx
    .select()
    .from(procedureRecord)
    .where(eq(procedureRecord.visitId, visitId))
    .orderBy(asc(procedureRecord.ear))
  return rows.map((row) => toEar(scope, row))
}

/** A patient's records, newest first. */
export async function recordsOfPatient(
  scope: Pick<Scope, 'tx' | 'vault'>,
  patientId: string,
): Promise<StoredEar[]> {
  const rows = await scope.tx
    .select()
    .from(procedureRecord)
    .where(eq(procedureRecord.patientId, patientId))
    .orderBy(desc(procedureRecord.doneAt))
  return rows.map((row) => toEar(scope, row))
}

export type StoredCheck = typeof aftercareCheck.$inferSelect

export async function insertCheck(
  { tx, clinicId }: Scope,
  fields: {
    visitId: string
    patientId: string
    number: number
    dueAt: Temporal.Instant
    difficulty: DifficultyLevel
  },
): Promise<string> {
  const [made] = await tx
    .insert(aftercareCheck)
    .values({ clinicId, ...fields, status: 'planned' })
    .onConflictDoUpdate({
      target: [aftercareCheck.clinicId, aftercareCheck.visitId, aftercareCheck.number],
      set: { dueAt: fields.dueAt, difficulty: fields.difficulty, status: 'planned', answeredAt: null },
    })
    .returning({ checkId: aftercareCheck.checkId })
  return made?.checkId as string
}

export function checksOfVisit({ tx }: Pick<Scope, 'tx'>, visitId: string): Promise<StoredCheck[]> {
  return tx
    .select()
    .from(aftercareCheck)
    .where(eq(aftercareCheck.visitId, visitId))
    .orderBy(asc(aftercareCheck.number))
}

export async function answerCheck({ tx, now }: Scope, checkId: string): Promise<void> {
  await tx
    .update(aftercareCheck)
    .set({ status: 'answered', answeredAt: now })
    .where(and(eq(aftercareCheck.checkId, checkId), inArray(aftercareCheck.status, ['planned', 'missed'])))
}

/** Checks still without an answer that were due by `dueBy`; locked. */
export function unansweredChecks(
  { tx }: Scope,
  dueBy: Temporal.Instant,
  limit: number,
): Promise<StoredCheck[]> {
  return tx
    .select()
    .from(aftercareCheck)
    .where(and(eq(aftercareCheck.status, 'planned'), lte(aftercareCheck.dueAt, dueBy)))
    .orderBy(asc(aftercareCheck.dueAt))
    .limit(limit)
    .for('update', { skipLocked: true })
}

export async function setCheckMissed({ tx }: Scope, checkId: string): Promise<void> {
  await tx.update(aftercareCheck).set({ status: 'missed' }).where(eq(aftercareCheck.checkId, checkId))
}

/** Planned checks of a visit end: it is recorded anew, or the patient has gone. */
export async function cancelChecks({ tx }: Scope, visitId: string): Promise<void> {
  await tx
    .update(aftercareCheck)
    .set({ status: 'cancelled' })
    .where(and(eq(aftercareCheck.visitId, visitId), eq(aftercareCheck.status, 'planned')))
}
