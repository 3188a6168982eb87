/** Inviting returners back: at the interval learned from their own removals, once an interval. */
import { sql } from 'drizzle-orm'
import { Temporal } from 'temporal-polyfill'
import { putOnDesk } from '../desk/store.ts'
import { closeQuestion, type Question } from '../messages/store.ts'
import { dayWords } from '../messages/words.ts'
import type { Reading } from '../replies/types.ts'
import { type Recall, recallInterval } from '../softening/afterwards.ts'
import { getPatient, type Patient } from '../visits/store.ts'
import { dayOf, type Flow, tell } from './context.ts'
import { allowedAt } from './plans.ts'

/** How long an invitation may be answered, days. */
const ANSWER_DAYS = 42
/** An invitation that could not go out for this long is not sent late. */
const SEND_DAYS = 7

interface Returner {
  patientId: string
  /** Days of removals, in the clinic's zone, in any order. */
  removals: string[]
}

/**
 * Patients with a removal, without a visit to come and without an invitation since that removal; in order of their
 * key, after `after`. Those who stopped our messages are left alone.
 */
async function returners(flow: Flow, after: string | null, limit: number): Promise<Returner[]> {
  const rows = await flow.tx.execute<{ patient_id: string; removals: string[] }>(
    sql`select v.patient_id, array_agg(distinct to_char(r.done_at at time zone ${flow.clinic.zone}, 'YYYY-MM-DD')) as removals
      from procedure_record r
      join visit v on v.clinic_id = r.clinic_id and v.visit_id = r.visit_id and v.purpose = 'removal'
      join patient p on p.clinic_id = v.clinic_id and p.patient_id = v.patient_id and p.stopped_at is null
      where v.patient_id > ${after ?? '00000000-0000-0000-0000-000000000000'}::uuid
      group by v.clinic_id, v.patient_id
      having not exists (select 1 from visit n where n.clinic_id = v.clinic_id and n.patient_id = v.patient_id
          and n.status = 'booked' and n.start_at > ${flow.now.toString()}::timestamptz)
        and not exists (select 1 from message m where m.clinic_id = v.clinic_id and m.patient_id = v.patient_id
          and m.kind = 'recall-invitation' and m.created_at > max(r.done_at))
      order by v.patient_id limit ${limit}`,
  )
  return rows.map(({ patient_id, removals }) => ({ patientId: patient_id, removals }))
}

export interface RecallBatch {
  invited: number
  /** The last patient looked at; null when there are no more. */
  next: string | null
}

/** Invites those of the next patients whose time has come. */
export async function inviteReturners(flow: Flow, after: string | null, limit: number): Promise<RecallBatch> {
  const batch = await returners(flow, after, limit)
  const today = dayOf(flow, flow.now)
  let invited = 0
  for (const { patientId, removals } of batch) {
    const recall = recallInterval(removals, flow.rules.softening)
    if (!recall || recall.inviteOn > today.toString()) continue
    const patient = await getPatient(flow, patientId)
    if (patient && (await invite(flow, patient, recall, removals.toSorted().at(-1) as string))) invited += 1
  }
  return { invited, next: batch.length === limit ? (batch.at(-1)?.patientId ?? null) : null }
}

async function invite(flow: Flow, patient: Patient, recall: Recall, last: string): Promise<boolean> {
  const dueAt = allowedAt(flow, flow.now)
  const queued = await tell(
    flow,
    patient,
    'recall-invitation',
    { interval: sinceWords(Temporal.PlainDate.from(last), dayOf(flow, flow.now)) },
    {
      dedupe: `recall/${patient.patientId}/${last}`,
      dueAt,
      expiresAt: dueAt.add({ hours: 24 * SEND_DAYS }),
      question: {
        kind: 'recall',
        closesAt: flow.now.add({ hours: 24 * ANSWER_DAYS }),
        detail: { around: recall.visitAround, words: recall.words },
      },
    },
  )
  if ('skipped' in queued) return false
  flow.audit({
    actor: 'job:recall',
    action: 'invite back',
    patientId: patient.patientId,
    detail: { intervalDays: recall.intervalDays, ownIntervals: recall.ownIntervals },
  })
  return true
}

/** "9 months", "2 years": whole ones, rounded down; weeks in the first two months. */
export function sinceWords(from: Temporal.PlainDate, to: Temporal.PlainDate): string {
  const { months } = from.until(to, { largestUnit: 'months' })
  if (months >= 24) return `${Math.floor(months / 12)} years`
  if (months >= 2) return `${months} months`
  const weeks = Math.floor(from.until(to, { largestUnit: 'days' }).days / 7)
  return weeks === 1 ? '1 week' : `${weeks} weeks`
}

/** A yes goes to reception, who books; a no ends it. @returns false when the words say neither */
export async function answerRecall(
  flow: Flow,
  { patient, reading }: { patient: Patient; reading: Reading },
  question: Question,
): Promise<boolean> {
  const { around, words } = question.detail as { around?: string; words?: string }
  // To a proposed time a no asks for another; here it only says no.
  if (reading.yesNo === 'no') {
    await closeQuestion(flow, question.questionId, flow.now)
    return true
  }
  if (reading.yesNo === 'yes' || reading.reschedule) {
    await closeQuestion(flow, question.questionId, flow.now)
    await putOnDesk(flow, {
      dedupe: `recall-answered/${question.questionId}`,
      kind: 'recall-answered',
      patientId: patient.patientId,
      note: around ? `Around ${dayWords(Temporal.PlainDate.from(around))}. ${words ?? ''}` : '',
    })
    return true
  }
  return reading.findings.length > 0 || reading.callMe
}
