/** A proposed move on its way: slots held, the patient asked, the answer carried out once and whole. */
import { sql } from 'drizzle-orm'
import { Temporal } from 'temporal-polyfill'
import { endDeskItems, putOnDesk } from '../desk/store.ts'
import type { Skipped } from '../messages/send.ts'
import { withdrawQuestions } from '../messages/store.ts'
import { optionWords, soonWords, whenWords } from '../messages/words.ts'
import {
  addSlot,
  expiredMoves,
  holdSlots,
  insertMove,
  lockMove,
  lockSlots,
  type Move,
  type MoveChoice,
  proposedMove,
  releaseSlots,
  type Slot,
  settleMove,
  takeSlot,
} from '../softening/moves/store.ts'
import { Trouble } from '../trouble.ts'
import { changeVisit, getPatient, lockVisit, type Patient, type Visit } from '../visits/store.ts'
import { continueChain, endIdleWaits, endWaiting } from './chains.ts'
import { type Flow, tell } from './context.ts'
import { followMove, withdrawMove } from './visits.ts'

/** Times in one proposal at most. */
export const MOST_CHOICES = 3

/** How long a patient usually has to answer. */
export const ANSWER_HOURS = 24

const BUSY = 'That time is no longer free: choose another.'

export interface Proposal {
  visitId: string
  slotIds: string[]
  reason: string
  proposedBy: string | null
  /** When an unanswered proposal ends. */
  deadlineAt: Temporal.Instant
}

/** Holds the slots and asks the patient. @throws Trouble when a slot is not free or the visit cannot be moved */
export async function proposeMove(
  flow: Flow,
  { visitId, slotIds, reason, proposedBy, deadlineAt }: Proposal,
): Promise<string> {
  if (slotIds.length < 1 || slotIds.length > MOST_CHOICES)
    throw new Trouble('Choose one to three times to propose.')
  const visit = await lockVisit(flow, visitId)
  if (visit?.status !== 'booked') throw new Trouble('Only a booked visit can be moved.')
  if (await proposedMove(flow, visitId))
    throw new Trouble('This visit has a proposal that waits for its answer.')
  const patient = await getPatient(flow, visit.patientId)
  if (!patient) throw new Trouble('This visit has no patient any more.')
  const slots = await lockSlots(flow, slotIds)
  const free = slots.filter(
    (slot) => slot.status === 'open' && slot.minutes >= visit.minutes && isFuture(flow, slot.startAt),
  )
  if (free.length !== slotIds.length) throw new Trouble(BUSY)
  for (const slot of free) if (await isBooked(flow, timeIn(slot, visit), [visitId])) throw new Trouble(BUSY)
  const choices: MoveChoice[] = free
    .toSorted((a, b) => Temporal.Instant.compare(a.startAt, b.startAt))
    .map(({ slotId, startAt, practitionerId }) => ({
      slotId,
      startAt: startAt.toString(),
      practitionerId,
      minutes: visit.minutes,
    }))
  const first = Temporal.Instant.from(choices[0]?.startAt as string)
  const closesAt = [deadlineAt, first, visit.startAt].reduce((a, b) =>
    Temporal.Instant.compare(a, b) <= 0 ? a : b,
  )
  const moveId = await insertMove(flow, {
    visitId,
    patientId: patient.patientId,
    kind: 'move',
    status: 'proposed',
    choices,
    reason,
    proposedBy,
    proposedAt: flow.now,
    deadlineAt: closesAt,
  })
  await holdSlots(flow, slotIds, moveId, closesAt)
  flow.audit({
    actor: proposedBy ? `staff:${proposedBy}` : 'service',
    action: 'propose move',
    patientId: patient.patientId,
    subject: `visit:${visitId}`,
    detail: { choices: choices.length },
  })
  const { zone } = flow.clinic
  const asked = await tell(
    flow,
    patient,
    'move-proposal',
    {
      when: whenWords(visit.startAt, zone),
      reason,
      options: optionWords(
        choices.map((choice) => Temporal.Instant.from(choice.startAt)),
        zone,
      ),
      answerBy: soonWords(closesAt, flow.now, zone),
    },
    {
      dedupe: `move/${moveId}`,
      visitId,
      expiresAt: closesAt,
      question: { kind: 'move', visitId, moveId, closesAt, detail: { choices: choices.length } },
    },
  )
  if ('skipped' in asked) throw new Trouble(NOT_ASKED[asked.skipped])
  return moveId
}

/** Nothing is held for a patient who cannot be asked. */
const NOT_ASKED: Record<Skipped, string> = {
  stopped: 'This patient has stopped our messages: ring, then move the visit now.',
  'no-contact': 'There is no number or address to ask this patient by: find one, or move the visit now.',
  'too-late': 'There is no time left to ask by message: ring, then move the visit now.',
  already: 'This patient was asked about these times just now.',
}

/** What this visit would take up in that open time. */
const timeIn = (
  { practitionerId, startAt, room }: Slot,
  { minutes, patientId }: Pick<Visit, 'minutes' | 'patientId'>,
): WantedTime => ({ practitionerId, startAt, minutes, room, patientId })

const isFuture = (flow: Flow, at: Temporal.Instant): boolean => Temporal.Instant.compare(at, flow.now) > 0

export type MoveAnswer = 'accepted' | 'declined' | 'too-late'

/** The patient's answer: `chosen` counts from 0; null keeps the old time. */
export async function answerMove(flow: Flow, moveId: string, chosen: number | null): Promise<MoveAnswer> {
  const move = await lockMove(flow, moveId)
  const visit = move && (await lockVisit(flow, move.visitId))
  const patient = move && (await getPatient(flow, move.patientId))
  if (!move || !visit || !patient) return 'too-late'
  const choice = chosen === null ? null : move.choices[chosen]
  const overdue = !isFuture(flow, move.deadlineAt)
  if (move.status !== 'proposed' || overdue || visit.status !== 'booked' || choice === undefined) {
    await answered(flow, visit, patient, move, 'move-too-late')
    return 'too-late'
  }
  await withdrawQuestions(flow, { moveId })
  if (choice === null) {
    await settleMove(flow, moveId, 'declined')
    await releaseSlots(flow, moveId)
    await putOnDesk(flow, {
      dedupe: `move-declined/${moveId}`,
      kind: 'move-declined',
      patientId: patient.patientId,
      visitId: visit.visitId,
      dueAt: visit.startAt,
    })
    await endWaiting(flow, visit)
    await answered(flow, visit, patient, move, 'move-declined')
    return 'declined'
  }
  const [slot] = await lockSlots(flow, [choice.slotId as string])
  if (
    slot?.status !== 'held' ||
    slot.heldBy !== moveId ||
    (await isBooked(flow, timeIn(slot, visit), [visit.visitId]))
  ) {
    await settleMove(flow, moveId, 'expired')
    await releaseSlots(flow, moveId)
    await answered(flow, visit, patient, move, 'move-too-late')
    return 'too-late'
  }
  await takeTime(flow, slot, visit)
  await settleMove(flow, moveId, 'accepted', chosen)
  await releaseSlots(flow, moveId)
  const after = await moveVisit(flow, visit, patient, slot)
  await answered(flow, after, patient, move, 'move-accepted')
  return 'accepted'
}

/** A rest of open time that is shorter serves nobody, minutes. The clinic's visits are longer. */
const SHORTEST_REST = 10

/** Takes an open time for a visit; what the visit does not need of it stays open. */
export async function takeTime(
  flow: Flow,
  slot: Slot,
  { visitId, minutes }: Pick<Visit, 'visitId' | 'minutes'>,
): Promise<void> {
  await takeSlot(flow, slot.slotId, visitId)
  const rest = slot.minutes - minutes
  if (rest < SHORTEST_REST) return
  const { practitionerId, room } = slot
  await addSlot(flow, { practitionerId, startAt: slot.startAt.add({ minutes }), minutes: rest, room })
}

/** The visit takes the slot's time; its old time becomes an open slot; plan and messages follow. */
async function moveVisit(
  flow: Flow,
  visit: Visit,
  patient: Patient,
  to: { startAt: Temporal.Instant; practitionerId: string; room: string | null },
): Promise<Visit> {
  const after = await changeVisit(flow, visit, {
    startAt: to.startAt,
    practitionerId: to.practitionerId,
    room: to.room,
    movedCount: visit.movedCount + 1,
  })
  if (isFuture(flow, visit.startAt)) {
    const { practitionerId, startAt, minutes, room } = visit
    await addSlot(flow, { practitionerId, startAt, minutes, room })
    await continueChain(flow, visit)
  }
  await endDeskItems(flow, visit.visitId, [
    'wishes-to-move',
    'no-move-answer',
    'move-declined',
    'moved-by-clinic',
  ])
  await followMove(flow, after, patient, true)
  return after
}

async function answered(
  flow: Flow,
  visit: Visit,
  patient: Patient,
  move: Move,
  template: 'move-accepted' | 'move-declined' | 'move-too-late',
): Promise<void> {
  await tell(
    flow,
    patient,
    template,
    { when: whenWords(visit.startAt, flow.clinic.zone) },
    { dedupe: `${template}/${move.moveId}/${flow.now.epochMilliseconds}`, visitId: visit.visitId },
  )
  flow.audit({
    actor: `patient:${patient.patientId}`,
    action: template.replace('-', ' '),
    patientId: patient.patientId,
    subject: `visit:${visit.visitId}`,
  })
}

/** A time that a visit is to have; with a room where one is named, and the patient where one is known. */
export interface WantedTime {
  practitionerId: string
  startAt: Temporal.Instant
  minutes: number
  room: string | null
  patientId: string | null
}

/**
 * Whether the practitioner, the room or the patient has a booked visit but these at that time; asked under a lock
 * of each of the three, so that two who want overlapping times queue.
 */
export async function isBooked(flow: Flow, at: WantedTime, exceptVisits: string[]): Promise<boolean> {
  const { practitionerId, room, patientId } = at
  const locks = [practitionerId, room && `${flow.clinicId} ${room}`, patientId].flatMap((key) => key ?? [])
  for (const key of locks)
    await flow.tx.execute(sql`select pg_advisory_xact_lock(hashtextextended(${key}, 7))`)
  const rows = await flow.tx.execute(sql`select 1 from visit
    where (practitioner_id = ${practitionerId} or room = ${room} or patient_id = ${patientId})
    and status = 'booked'
    and not (visit_id = any(${sql.param(`{${exceptVisits.join(',')}}`)}::uuid[]))
    and tstzrange(start_at, start_at + minutes * interval '1 minute')
     && tstzrange(${at.startAt.toString()}::timestamptz, ${at.startAt.toString()}::timestamptz + ${at.minutes} * interval '1 minute')
    limit 1`)
  return rows.length > 0
}

/** The desk moves a visit at once, by agreement (say, on the telephone). @throws Trouble when the slot is not free */
export async function moveNow(flow: Flow, visitId: string, slotId: string, staffId: string): Promise<Visit> {
  const visit = await lockVisit(flow, visitId)
  if (visit?.status !== 'booked') throw new Trouble('Only a booked visit can be moved.')
  const patient = await getPatient(flow, visit.patientId)
  const [slot] = await lockSlots(flow, [slotId])
  if (
    !patient ||
    slot?.status !== 'open' ||
    slot.minutes < visit.minutes ||
    (await isBooked(flow, timeIn(slot, visit), [visitId]))
  ) {
    throw new Trouble(BUSY)
  }
  await withdrawMove(flow, visitId)
  await takeTime(flow, slot, visit)
  const after = await moveVisit(flow, visit, patient, slot)
  await insertMove(flow, {
    visitId,
    patientId: patient.patientId,
    kind: 'move',
    status: 'done',
    choices: [],
    reason: 'Agreed with the patient.',
    proposedBy: staffId,
    proposedAt: flow.now,
    deadlineAt: flow.now,
    answeredAt: flow.now,
  })
  flow.audit({
    actor: `staff:${staffId}`,
    action: 'move visit',
    patientId: patient.patientId,
    subject: `visit:${visitId}`,
  })
  await tell(
    flow,
    patient,
    'visit-moved',
    { when: whenWords(after.startAt, flow.clinic.zone) },
    { dedupe: `visit-moved/${visitId}/${after.version}`, visitId, expiresAt: after.startAt },
  )
  return after
}

/**
 * Proposals that nobody answered: their slots are open again. `again` may ask once more with other times;
 * else reception calls. @returns how many
 */
export async function lapseMoves(
  flow: Flow,
  limit = 100,
  again: (flow: Flow, move: Move) => Promise<boolean> = async () => false,
): Promise<number> {
  const due = await expiredMoves(flow, limit)
  for (const move of due) {
    await settleMove(flow, move.moveId, 'expired')
    await releaseSlots(flow, move.moveId)
    await withdrawQuestions(flow, { moveId: move.moveId })
    if (await again(flow, move)) continue
    await putOnDesk(flow, {
      dedupe: `no-move-answer/${move.moveId}`,
      kind: 'no-move-answer',
      patientId: move.patientId,
      visitId: move.visitId,
    })
    const visit = await lockVisit(flow, move.visitId)
    if (visit) await endWaiting(flow, visit)
  }
  await endIdleWaits(flow)
  return due.length
}
