/** Screenings, plans, dose days and readiness in the database. */
import { and, asc, desc, eq, inArray, isNotNull, lte, sql } from 'drizzle-orm'
import type { Temporal } from 'temporal-polyfill'
import { clinicModel, doseDay, plan, screening } from '../database/schema.ts'
import type { Scope } from '../database/service.ts'
import type {
  AdherenceModel,
  DoseDay,
  DoseHistory,
  Ear,
  EarDoseDays,
  Readiness,
  ScreeningAnswer,
  ScreeningOutcome,
  SofteningPlan,
  SoftnessLink,
} from './types.ts'

export interface Screening {
  visitId: string
  patientId: string
  status: (typeof screening.$inferSelect)['status']
  askedAt: Temporal.Instant
  deadlineAt: Temporal.Instant
  answers: ScreeningAnswer[]
  outcome: ScreeningOutcome | null
}

function toScreening({ vault }: Pick<Scope, 'vault'>, row: typeof screening.$inferSelect): Screening {
  const { visitId, patientId, status, askedAt, deadlineAt, answersSealed, outcomeSealed } = row
  return {
    visitId,
    patientId,
    status,
    askedAt,
    deadlineAt,
    answers: answersSealed ? JSON.parse(vault.open(answersSealed)) : [],
    outcome: outcomeSealed ? JSON.parse(vault.open(outcomeSealed)) : null,
  }
}

/** Begins the visit's screening, or begins it anew for a visit that was cancelled and booked again. */
export async function startScreening(
  { tx, clinicId, now }: Scope,
  visit: { visitId: string; patientId: string },
  deadlineAt: Temporal.Instant,
): Promise<void> {
  const fresh = { status: 'asked' as const, askedAt: now, deadlineAt, decidedAt: null }
  await tx
    .insert(screening)
    .values({ clinicId, visitId: visit.visitId, patientId: visit.patientId, ...fresh })
    .onConflictDoUpdate({ target: [screening.clinicId, screening.visitId], set: fresh })
}

export async function getScreening(
  scope: Pick<Scope, 'tx' | 'vault'>,
  visitId: string,
): Promise<Screening | null> {
  const [row] = await scope.tx.select().from(screening).where(eq(screening.visitId, visitId)).for('update')
  return row ? toScreening(scope, row) : null
}

export async function screeningsOf(
  scope: Pick<Scope, 'tx' | 'vault'>,
  visitIds: string[],
): Promise<Map<string, Screening>> {
  if (visitIds.length === 0) return new Map()
  const rows = await scope.tx.select().from(screening).where(inArray(screening.visitId, visitIds))
  return new Map(rows.map((row) => [row.visitId, toScreening(scope, row)]))
}

export async function saveScreening(
  { tx, vault, now }: Scope,
  visitId: string,
  to: {
    status: Screening['status']
    answers?: ScreeningAnswer[]
    outcome?: ScreeningOutcome
    deadlineAt?: Temporal.Instant
  },
): Promise<void> {
  const decided = to.status === 'answered' || to.status === 'overdue' || to.status === 'to-person'
  await tx
    .update(screening)
    .set({
      status: to.status,
      ...(to.answers ? { answersSealed: vault.seal(JSON.stringify(to.answers)) } : {}),
      ...(to.outcome ? { outcomeSealed: vault.seal(JSON.stringify(to.outcome)) } : {}),
      ...(to.deadlineAt ? { deadlineAt: to.deadlineAt } : {}),
      decidedAt: decided ? now : null,
    })
    .where(eq(screening.visitId, visitId))
}

/** Screenings without an answer by their deadline; locked, so that two workers do not both act. */
export async function overdueScreenings(scope: Scope, limit: number): Promise<Screening[]> {
  const rows = await scope.tx
    .select()
    .from(screening)
    .where(and(inArray(screening.status, ['asked', 'asked-again']), lte(screening.deadlineAt, scope.now)))
    .orderBy(asc(screening.deadlineAt))
    .limit(limit)
    .for('update', { skipLocked: true })
  return rows.map((row) => toScreening(scope, row))
}

export interface StoredPlan {
  planId: string
  visitId: string
  patientId: string
  status: (typeof plan.$inferSelect)['status']
  plan: SofteningPlan
  readiness: Readiness | null
  createdAt: Temporal.Instant
}

const toPlan = (row: typeof plan.$inferSelect): StoredPlan => ({
  planId: row.planId,
  visitId: row.visitId,
  patientId: row.patientId,
  status: row.status,
  plan: row.detail as SofteningPlan,
  readiness: row.readinessDetail as Readiness | null,
  createdAt: row.createdAt,
})

/** Puts this plan in the place of the visit's current one, with its dose days. @returns its id */
export async function savePlan(
  scope: Scope,
  visit: { visitId: string; patientId: string },
  detail: SofteningPlan,
): Promise<string> {
  const { tx, clinicId, now } = scope
  await endPlan(scope, visit.visitId, 'replaced')
  const [made] = await tx
    .insert(plan)
    .values({
      clinicId,
      visitId: visit.visitId,
      patientId: visit.patientId,
      status: detail.fit === 'withheld' ? 'withheld' : 'active',
      agent: detail.agent,
      detail,
      firstDay: detail.days[0] ?? null,
      lastDay: detail.days.at(-1) ?? null,
      createdAt: now,
    })
    .returning({ planId: plan.planId })
  const planId = made?.planId as string
  const rows = detail.days.flatMap((day) =>
    detail.ears.map(({ ear }) => ({ clinicId, planId, day, ear, planned: detail.dosesADay })),
  )
  if (rows.length > 0) await tx.insert(doseDay).values(rows)
  return planId
}

export async function endPlan(
  { tx }: Pick<Scope, 'tx'>,
  visitId: string,
  status: 'replaced' | 'cancelled' | 'done',
): Promise<void> {
  await tx
    .update(plan)
    .set({ status })
    .where(and(eq(plan.visitId, visitId), inArray(plan.status, ['active', 'withheld'])))
}

export async function currentPlan({ tx }: Pick<Scope, 'tx'>, visitId: string): Promise<StoredPlan | null> {
  const [row] = await tx
    .select()
    .from(plan)
    .where(and(eq(plan.visitId, visitId), inArray(plan.status, ['active', 'withheld'])))
  return row ? toPlan(row) : null
}

export async function planById({ tx }: Pick<Scope, 'tx'>, planId: string): Promise<StoredPlan | null> {
  const [row] = await tx.select().from(plan).where(eq(plan.planId, planId))
  return row ? toPlan(row) : null
}

/** Current plans by visit. */
export async function plansOf(
  { tx }: Pick<Scope, 'tx'>,
  visitIds: string[],
): Promise<Map<string, StoredPlan>> {
  if (visitIds.length === 0) return new Map()
  const rows = await tx
    .select()
    .from(plan)
    .where(and(inArray(plan.visitId, visitIds), inArray(plan.status, ['active', 'withheld', 'done'])))
    .orderBy(asc(plan.createdAt))
  return new Map(rows.map((row) => [row.visitId, toPlan(row)]))
}

/** Records what the patient said of one day; a later answer of the same day takes the place of an earlier one. */
export async function recordDoses(
  { tx, now }: Scope,
  planId: string,
  day: string,
  said: { ears: Ear[]; done: number | null; replyId: string | null },
): Promise<number> {
  const rows = await tx
    .update(doseDay)
    .set({
      done: said.done === null ? null : sql`least(${said.done}, ${doseDay.planned} * 2)`,
      some: said.done === null,
      replyId: said.replyId,
      answeredAt: now,
    })
    .where(and(eq(doseDay.planId, planId), eq(doseDay.day, day), inArray(doseDay.ear, said.ears)))
    .returning({ day: doseDay.day })
  return rows.length
}

export type DoseDayRow = typeof doseDay.$inferSelect

export function doseDayRows({ tx }: Pick<Scope, 'tx'>, planIds: string[]): Promise<DoseDayRow[]> {
  if (planIds.length === 0) return Promise.resolve([])
  return tx
    .select()
    .from(doseDay)
    .where(inArray(doseDay.planId, planIds))
    .orderBy(asc(doseDay.day), asc(doseDay.ear))
}

/** The days that count so far: answered, or without an answer past `silentAfter(day)`. */
export function knownDays(rows: DoseDayRow[], isSilent: (day: string) => boolean): EarDoseDays[] {
  const ears = new Map<Ear, DoseDay[]>()
  for (const row of rows) {
    const days = ears.get(row.ear) ?? []
    ears.set(row.ear, days)
    const base = { day: row.day, planned: row.planned }
    if (row.done !== null)
      days.push({ ...base, answer: { kind: 'exact', doses: Math.min(row.done, row.planned) } })
    else if (row.some) days.push({ ...base, answer: { kind: 'some' } })
    else if (isSilent(row.day)) days.push({ ...base, answer: { kind: 'silent' } })
  }
  return [...ears].map(([ear, days]) => ({ ear, days }))
}

/** The same days as the prior learns from them: silent by the deadline, with what was said later where it was. */
export function learnedDays(
  rows: DoseDayRow[],
  answerBy: (day: string) => Temporal.Instant,
): { ear: Ear; days: DoseHistory['days'] }[] {
  const isLate = (row: DoseDayRow): boolean =>
    row.answeredAt !== null && row.answeredAt.epochMilliseconds > answerBy(row.day).epochMilliseconds
  const late = new Map(
    rows.filter((row) => row.done !== null && isLate(row)).map((row) => [`${row.ear} ${row.day}`, row]),
  )
  return knownDays(rows, () => true).map(({ ear, days }) => ({
    ear,
    days: days.map((day) => {
      const row = late.get(`${ear} ${day.day}`)
      return row
        ? {
            day: day.day,
            planned: day.planned,
            answer: { kind: 'silent' },
            later: Math.min(row.done ?? 0, row.planned),
          }
        : day
    }),
  }))
}

export async function saveReadiness({ tx, now }: Scope, planId: string, readiness: Readiness): Promise<void> {
  await tx
    .update(plan)
    .set({ readiness: readiness.p, readinessDetail: readiness, readinessAt: now })
    .where(eq(plan.planId, planId))
}

/** Active plans whose last readiness is older than this: silence is an answer too. */
export async function stalePlans(
  { tx, now }: Scope,
  olderThan: Temporal.Instant,
  limit: number,
): Promise<StoredPlan[]> {
  const rows = await tx
    .select()
    .from(plan)
    .where(
      and(
        eq(plan.status, 'active'),
        sql`(${plan.readinessAt} is null or ${plan.readinessAt} < ${olderThan.toString()})`,
        sql`exists (select 1 from visit v where v.visit_id = ${plan.visitId} and v.status = 'booked' and v.start_at > ${now.toString()})`,
      ),
    )
    .orderBy(asc(plan.createdAt))
    .limit(limit)
    .for('update', { skipLocked: true })
  return rows.map(toPlan)
}

/** What the clinic's own history taught, or null before it was first fitted. */
export async function getModel({
  tx,
}: Pick<Scope, 'tx'>): Promise<{ adherence: AdherenceModel; link: SoftnessLink } | null> {
  const [row] = await tx.select().from(clinicModel)
  return row ? { adherence: row.adherence as AdherenceModel, link: row.link as SoftnessLink } : null
}

export async function saveModel(
  { tx, clinicId, now }: Scope,
  model: { adherence: AdherenceModel; link: SoftnessLink },
): Promise<void> {
  const values = { ...model, fittedAt: now }
  await tx
    .insert(clinicModel)
    .values({ clinicId, ...values })
    .onConflictDoUpdate({ target: clinicModel.clinicId, set: values })
}

/** A patient's newest plan that had drops in it, on any visit. */
export async function lastPlanOf({ tx }: Pick<Scope, 'tx'>, patientId: string): Promise<StoredPlan | null> {
  const [row] = await tx
    .select()
    .from(plan)
    .where(and(eq(plan.patientId, patientId), isNotNull(plan.firstDay)))
    .orderBy(desc(plan.createdAt))
    .limit(1)
  return row ? toPlan(row) : null
}

/** No more drops until a clinician says otherwise: the plan stays, its advice does not. */
export async function withholdPlan({ tx }: Scope, stored: StoredPlan, why: string): Promise<void> {
  const detail: SofteningPlan = { ...stored.plan, withheldReason: why }
  await tx.update(plan).set({ status: 'withheld', detail }).where(eq(plan.planId, stored.planId))
}

/** The patient's plans that go on after a visit that was held: they end when the next visit has its own. */
export async function plansOnHeldVisits({ tx }: Pick<Scope, 'tx'>, patientId: string): Promise<StoredPlan[]> {
  const rows = await tx
    .select()
    .from(plan)
    .where(
      and(
        eq(plan.patientId, patientId),
        eq(plan.status, 'active'),
        sql`exists (select 1 from visit v where v.visit_id = ${plan.visitId} and v.status = 'done')`,
      ),
    )
  return rows.map(toPlan)
}
