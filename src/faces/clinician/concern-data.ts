/** What the page of one concern shows, read in one transaction. */
import type { Temporal } from 'temporal-polyfill'
import { auditViews } from '../../access/views.ts'
import { checksOfVisit, recordsOfPatient, type StoredCheck, type StoredEar } from '../../aftercare/store.ts'
import { type Concern, type ConcernEvent, eventsOf, getConcern } from '../../concerns/store.ts'
import type { Flow } from '../../flow/context.ts'
import { type Correction, correctionsOf } from '../../flow/corrections.ts'
import {
  messagesAbout,
  type ReadReply,
  repliesById,
  repliesOf,
  type SentMessage,
} from '../../flow/patient-record.ts'
import { senderOf, stateOf } from '../../flow/triage.ts'
import type { UrgencyRules } from '../../protocol/sections/urgency.ts'
import { protocolVersion } from '../../protocol/store.ts'
import {
  currentPlan,
  type DoseDayRow,
  doseDayRows,
  type Screening,
  type StoredPlan,
  screeningsOf,
} from '../../softening/store.ts'
import { getPatient, getVisit, type Patient, type Visit, visitsOfPatient } from '../../visits/store.ts'
import { type NameOf, staffNames } from './parts.ts'

export interface ConcernData {
  now: Temporal.Instant
  concern: Concern
  patient: Patient | null
  /** Number or address of a sender who is no patient of ours. */
  sender: string | null
  reply: ReadReply | null
  /** The rules that the reply was judged by, and their version. */
  urgencyRules: UrgencyRules
  judgedBy: number
  /** The patient's other replies, newest first. */
  others: ReadReply[]
  visit: Visit | null
  screening: Screening | null
  plan: StoredPlan | null
  doseDays: DoseDayRow[]
  procedures: StoredEar[]
  checks: StoredCheck[]
  sent: SentMessage[]
  events: ConcernEvent[]
  corrections: Correction[]
  /** The drops that this clinic's rules advise: id and name. */
  agents: { id: string; name: string }[]
  nameOf: NameOf
  /** See stateOf: goes into every form. */
  seen: string
}

const OTHERS = 12

export async function loadConcern(
  flow: Flow,
  concernId: string,
  staffId: string,
): Promise<ConcernData | null> {
  const concern = await getConcern(flow, concernId)
  if (!concern) return null
  const { patientId, replyId } = concern
  await auditViews(flow, staffId, [patientId], `concern:${concernId}`)
  const patient = patientId ? await getPatient(flow, patientId) : null
  const reply = replyId ? ((await repliesById(flow, [replyId])).get(replyId) ?? null) : null
  const all = patientId ? await repliesOf(flow, patientId) : []
  const visit = await visitOf(flow, concern)
  const plan = visit ? await currentPlan(flow, visit.visitId) : null
  const judgedBy = reply?.protocolVersion ?? flow.protocolVersion
  const rules = await protocolVersion(flow, judgedBy)
  return {
    now: flow.now,
    concern,
    patient,
    sender: patient ? null : await senderOf(flow, concern),
    reply,
    urgencyRules: rules?.document.urgency ?? flow.rules.urgency,
    judgedBy,
    others: all
      .filter((one) => one.replyId !== replyId)
      .toReversed()
      .slice(0, OTHERS),
    visit,
    screening: visit ? ((await screeningsOf(flow, [visit.visitId])).get(visit.visitId) ?? null) : null,
    plan,
    doseDays: plan ? await doseDayRows(flow, [plan.planId]) : [],
    procedures: patientId ? await recordsOfPatient(flow, patientId) : [],
    checks: visit ? await checksOfVisit(flow, visit.visitId) : [],
    sent: await messagesAbout(flow, concernId),
    events: await eventsOf(flow, concernId),
    corrections: replyId ? await correctionsOf(flow, [replyId]) : [],
    agents: flow.rules.softening.agents
      .filter(({ advised }) => advised)
      .map(({ id, name }) => ({ id, name })),
    nameOf: await staffNames(flow),
    seen: await stateOf(flow, concern),
  }
}

/** The visit that it is about, else the patient's next. */
async function visitOf(flow: Flow, { visitId, patientId }: Concern): Promise<Visit | null> {
  if (visitId) return await getVisit(flow, visitId)
  if (!patientId) return null
  const visits = await visitsOfPatient(flow, patientId)
  return (
    visits.find(
      (one) => one.status === 'booked' && one.startAt.epochMilliseconds > flow.now.epochMilliseconds,
    ) ?? null
  )
}
