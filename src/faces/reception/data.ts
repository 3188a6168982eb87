/** What the front desk sees of visits: read only. */
import { desc, eq } from 'drizzle-orm'
import type { Temporal } from 'temporal-polyfill'
import { message } from '../../database/schema.ts'
import type { Scope } from '../../database/service.ts'
import { dayOf, type Flow } from '../../flow/context.ts'
import { loadWeek, type Week } from '../../flow/week.ts'
import type { Move } from '../../softening/moves/store.ts'
import { type DoseDayRow, doseDayRows, type Screening, type StoredPlan } from '../../softening/store.ts'
import { getPatients, type Patient, type Visit } from '../../visits/store.ts'
import { type State, stateOf } from './words.ts'

export interface DeskVisit {
  visit: Visit
  patient: Patient | undefined
  plan: StoredPlan | undefined
  screening: Screening | undefined
  days: DoseDayRow[]
  moves: Move[]
  state: State
}

export interface DeskWeek {
  week: Week
  visits: DeskVisit[]
  today: string
  now: Temporal.Instant
}

/** The visits of the coming weeks, soonest first, with all that bears on them. */
export async function deskWeek(flow: Flow): Promise<DeskWeek> {
  const week = await loadWeek(flow)
  const patients = await getPatients(
    flow,
    week.visits.map(({ patientId }) => patientId),
  )
  const plans = [...week.plans.values()].map(({ planId }) => planId)
  const days = Map.groupBy(await doseDayRows(flow, plans), ({ planId }) => planId)
  const visits = week.visits.map((visit): DeskVisit => {
    const plan = week.plans.get(visit.visitId)
    const screening = week.screenings.get(visit.visitId)
    return {
      visit,
      patient: patients.get(visit.patientId),
      plan,
      screening,
      days: plan ? (days.get(plan.planId) ?? []) : [],
      moves: week.moves.get(visit.visitId) ?? [],
      state: stateOf(visit, plan, screening),
    }
  })
  return { week, visits, today: dayOf(flow, flow.now).toString(), now: flow.now }
}

export interface MessageState {
  kind: string
  status: (typeof message.$inferSelect)['status']
  channel: string
  dueAt: Temporal.Instant
  sentAt: Temporal.Instant | null
}

/** How each message about a visit went, newest first; never what is in it. */
export const messageStates = ({ tx }: Pick<Scope, 'tx'>, visitId: string): Promise<MessageState[]> =>
  tx
    .select({
      kind: message.kind,
      status: message.status,
      channel: message.channel,
      dueAt: message.dueAt,
      sentAt: message.sentAt,
    })
    .from(message)
    .where(eq(message.visitId, visitId))
    .orderBy(desc(message.dueAt), desc(message.messageId))
    .limit(200)
