/** Concerns on their way: opened with a deadline and a safety net, told on, never left in silence. */
import type { Temporal } from 'temporal-polyfill'
import { listStaff, type StaffRow } from '../access/staff.ts'
import { claimLapsesAt, concernDeadline, whomToTell } from '../concerns/deadline.ts'
import {
  addEvent,
  type Concern,
  claimedPastDeadline,
  dueForTelling,
  giveNotice,
  markTold,
  type NewConcern,
  openConcern,
  release,
  toldOf,
} from '../concerns/store.ts'
import type { TemplateId } from '../messages/render.ts'
import { sendToStaff } from '../messages/send.ts'
import { soonWords } from '../messages/words.ts'
import { getPatient, type Patient } from '../visits/store.ts'
import { type Flow, tell } from './context.ts'

export type ConcernRequest = Omit<NewConcern, 'warnAt' | 'deadlineAt' | 'patientId'> & {
  patient: Patient | null
  /** Despair or self-harm: other words than for the body. */
  distress?: boolean
  /** False where the patient wrote nothing that this would answer (a silence). */
  safetyNet?: boolean
}

/** Opens the concern, tells the first person on the clinic's list and sends the patient the safety net at once. */
export async function raiseConcern(flow: Flow, request: ConcernRequest): Promise<Concern> {
  const { patient, distress = false, safetyNet = true, ...fields } = request
  const due = concernDeadline(
    fields.urgency,
    flow.now,
    flow.clinic.settings.openingHours,
    flow.rules.aftercare,
  )
  const { concern, fresh, raised } = await openConcern(flow, {
    ...fields,
    patientId: patient?.patientId ?? null,
    warnAt: due.warnAt,
    deadlineAt: due.deadline,
  })
  if (!fresh && !raised) return concern
  if (patient && safetyNet) {
    const { zone } = flow.clinic
    const kind = distress
      ? 'safety-distress'
      : (`safety-${concern.urgency}${due.inHours ? '' : '-closed'}` as TemplateId)
    await tell(
      flow,
      patient,
      kind,
      {
        readBy: soonWords(due.deadline, flow.now, zone),
        nextLook: soonWords(due.nextLookAt, flow.now, zone),
      },
      {
        dedupe: `${kind}/${concern.concernId}`,
        concernId: concern.concernId,
        visitId: fields.visitId,
        urgent: true,
      },
    )
  }
  await tellStaff(flow, concern, 'opened')
  return concern
}

type Stage = 'opened' | 'near' | 'past'

const STAFF_TEXT: Record<Stage, TemplateId> = {
  opened: 'staff-concern-opened',
  near: 'staff-concern-near',
  past: 'staff-concern-past',
}

async function tellStaff(flow: Flow, concern: Concern, stage: Stage): Promise<void> {
  const staff = await listStaff(flow)
  const list = staff.filter((one) => one.escalationOrder !== null)
  const byId = new Map(staff.map((one) => [one.staffId, one]))
  const order = list.map((one) => one.staffId)
  const { people, markForOwner } = whomToTell(
    stage,
    order,
    await toldOf(flow, concern.concernId),
    flow.rules.aftercare,
  )
  const owners = markForOwner ? staff.filter((one) => one.role === 'owner') : []
  const told = await giveNotice(flow, {
    staffIds: people,
    concernId: concern.concernId,
    kind: stage,
    dedupe: `${stage}/${concern.concernId}/${concern.urgency}`,
  })
  const ownersTold = await giveNotice(flow, {
    staffIds: owners.map((one) => one.staffId),
    concernId: concern.concernId,
    kind: 'owner',
    dedupe: `owner/${concern.concernId}/${concern.urgency}`,
  })
  for (const staffId of told) await writeToStaff(flow, concern, byId.get(staffId), STAFF_TEXT[stage])
  for (const staffId of ownersTold)
    await writeToStaff(flow, concern, byId.get(staffId), 'staff-concern-owner')
  await addEvent(
    flow,
    concern.concernId,
    null,
    `told (${stage})`,
    [...told, ...ownersTold].map((id) => byId.get(id)?.name).join(', '),
  )
}

async function writeToStaff(
  flow: Flow,
  concern: Concern,
  person: StaffRow | undefined,
  template: TemplateId,
): Promise<void> {
  if (!person) return
  await sendToStaff(flow, {
    clinic: flow.clinic,
    staff: person,
    template,
    values: {
      urgency: concern.urgency.toUpperCase(),
      deadline: soonWords(concern.deadlineAt, flow.now, flow.clinic.zone),
      link: `${flow.publicUrl}/clinician/concerns/${concern.concernId}`,
    },
    dedupe: `${template}/${concern.concernId}/${concern.urgency}/${person.staffId}`,
    concernId: concern.concernId,
    urgent: true,
  })
}

/** Tells on every concern that is near or past its deadline. @returns how many were told of */
export async function watchConcerns(flow: Flow, limit = 100): Promise<number> {
  let count = 0
  for (const concern of await claimedPastDeadline(flow, limit)) {
    if (!(await claimHasLapsed(flow, concern))) continue
    await release(flow, concern.concernId, null)
    count += 1
  }
  for (const concern of await dueForTelling(flow, limit)) {
    const past = !isBefore(flow.now, concern.deadlineAt)
    const stage = past ? 'past' : 'near'
    await tellStaff(flow, concern, stage)
    if (past) await tellOverdue(flow, concern)
    await markTold(flow, concern.concernId, stage)
    count += 1
  }
  return count
}

/** Nobody has read it: the patient must know, and turn elsewhere. */
async function tellOverdue(flow: Flow, concern: Concern): Promise<void> {
  if (!concern.patientId || !concern.replyId || (concern.urgency !== 'now' && concern.urgency !== 'today'))
    return
  const patient = await getPatient(flow, concern.patientId)
  if (!patient) return
  const hours = flow.clinic.settings.openingHours
  const { nextLookAt } = concernDeadline(concern.urgency, flow.now, hours, flow.rules.aftercare)
  await tell(
    flow,
    patient,
    'safety-overdue',
    { nextLook: soonWords(nextLookAt, flow.now, flow.clinic.zone) },
    { dedupe: `overdue/${concern.concernId}/${concern.urgency}`, concernId: concern.concernId, urgent: true },
  )
}

const isBefore = (a: Temporal.Instant, b: Temporal.Instant): boolean =>
  a.epochMilliseconds < b.epochMilliseconds

async function claimHasLapsed(flow: Flow, concern: Concern): Promise<boolean> {
  if (!concern.claimedAt) return true
  const { urgency, claimedAt, deadlineAt } = concern
  const hours = flow.clinic.settings.openingHours
  return !isBefore(flow.now, claimLapsesAt(urgency, claimedAt, deadlineAt, hours, flow.rules.aftercare))
}
