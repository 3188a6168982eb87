/** The other answers to a visit that will not be ready: longer, an assessment, or kept because it is urgent. */
import { endDeskItems } from '../desk/store.ts'
import { cancelMessages } from '../messages/store.ts'
import { whenWords } from '../messages/words.ts'
import { addSlot, insertMove, slotsIn, withdrawSlot } from '../softening/moves/store.ts'
import { Trouble } from '../trouble.ts'
import { changeVisit, getPatient, lockVisit, type Visit } from '../visits/store.ts'
import { type Flow, tell } from './context.ts'
import { isBooked } from './moves.ts'
import { followMove, withdrawMove } from './visits.ts'

export type Change =
  | { kind: 'lengthen'; minutes: number }
  | { kind: 'assessment' }
  | { kind: 'keep'; why: string }

/** The other answers to a visit that will not be ready: longer, an assessment, or kept because it is urgent. */
export async function changeKind(
  flow: Flow,
  visitId: string,
  change: Change,
  staffId: string,
): Promise<void> {
  const visit = await lockVisit(flow, visitId)
  if (visit?.status !== 'booked') throw new Trouble('Only a booked visit can be changed.')
  const patient = await getPatient(flow, visit.patientId)
  if (!patient) throw new Trouble('This visit has no patient any more.')
  await withdrawMove(flow, visitId)
  await insertMove(flow, {
    visitId,
    patientId: patient.patientId,
    kind: change.kind,
    status: 'done',
    choices: [],
    reason: change.kind === 'keep' ? change.why : change.kind,
    proposedBy: staffId,
    proposedAt: flow.now,
    deadlineAt: flow.now,
    answeredAt: flow.now,
  })
  flow.audit({
    actor: `staff:${staffId}`,
    action: `${change.kind} visit`,
    patientId: patient.patientId,
    subject: `visit:${visitId}`,
  })
  if (change.kind === 'keep') return void (await changeVisit(flow, visit, { urgent: true }))
  if (change.kind === 'lengthen') {
    const more = { ...visit, minutes: change.minutes }
    if (change.minutes <= visit.minutes || change.minutes > 240)
      throw new Trouble('Give a length longer than now, 240 minutes at most.')
    if (await isBooked(flow, more, [visitId]))
      throw new Trouble('The next visit of this practitioner, in this room or of this patient is in the way.')
    await useOpenTime(flow, visit, change.minutes)
    const longer = await changeVisit(flow, visit, { minutes: change.minutes })
    await endDeskItems(flow, visitId, ['more-time'])
    await tell(
      flow,
      patient,
      'visit-changed',
      {
        when: whenWords(longer.startAt, flow.clinic.zone),
        change: `It will take ${change.minutes} minutes.`,
      },
      { dedupe: `visit-changed/${visitId}/${longer.version}`, visitId, expiresAt: longer.startAt },
    )
    return
  }
  const after = await changeVisit(flow, visit, { purpose: 'assessment' })
  await cancelMessages(flow, { visitId, except: ['visit-reminder'] })
  await followMove(flow, after, patient, false)
  await tell(
    flow,
    patient,
    'visit-changed',
    {
      when: whenWords(after.startAt, flow.clinic.zone),
      change: 'We will look at your ears and plan with you. We may not clear them that day.',
    },
    { dedupe: `visit-changed/${visitId}/${after.version}`, visitId, expiresAt: after.startAt },
  )
}

/** The open time that a longer visit takes up is offered to nobody else; what is held for a patient stays theirs. */
async function useOpenTime(flow: Flow, visit: Visit, minutes: number): Promise<void> {
  const from = visit.startAt.add({ minutes: visit.minutes })
  const to = visit.startAt.add({ minutes })
  for (const slot of await slotsIn(flow, { practitionerId: visit.practitionerId, from, to })) {
    if (slot.status === 'held')
      throw new Trouble('The time after this visit is being offered to another patient.')
    await withdrawSlot(flow, slot.slotId)
    const left = to.until(slot.startAt.add({ minutes: slot.minutes })).total('minutes')
    if (left >= 5)
      await addSlot(flow, {
        practitionerId: slot.practitionerId,
        startAt: to,
        minutes: left,
        room: slot.room,
      })
  }
}
