/** Moves into a place that another patient still has: they wait until it is free, and move on when it is. */
import { Temporal } from 'temporal-polyfill'
import { putOnDesk } from '../desk/store.ts'
import { whenWords } from '../messages/words.ts'
import {
  addSlot,
  insertMove,
  lockSlots,
  type Move,
  proposedMove,
  settleMove,
  slotsIn,
  waitingMoves,
} from '../softening/moves/store.ts'
import { Trouble } from '../trouble.ts'
import { changeVisit, getPatient, lockVisit, type Visit, visitsBetween } from '../visits/store.ts'
import { attempt } from './attempt.ts'
import { type Flow, tell } from './context.ts'
import { ANSWER_HOURS, isBooked, proposeMove, takeTime } from './moves.ts'
import { followMove, withdrawMove } from './visits.ts'

/** A time of a practitioner that a visit is to have. */
export interface Place {
  startAt: Temporal.Instant
  practitionerId: string
  room: string | null
}

const startOf = (move: Move): Temporal.Instant => Temporal.Instant.from(move.choices[0]?.startAt as string)

/** Whether this waiting move is for the place that this visit has or had. */
const isFor = (move: Move, place: Place): boolean =>
  move.choices[0]?.practitionerId === place.practitionerId && startOf(move).equals(place.startAt)

/** Notes that this visit is to be offered the place of another as soon as that one has moved away. */
export async function waitForPlace(
  flow: Flow,
  visitId: string,
  place: Place,
  { reason, staffId }: { reason: string; staffId: string },
): Promise<void> {
  const visit = await lockVisit(flow, visitId)
  if (visit?.status !== 'booked') throw new Trouble('Only a booked visit can be moved.')
  if ((await proposedMove(flow, visitId)) || (await waitingMoves(flow, visitId)).length > 0)
    throw new Trouble('This visit has a proposal that waits already.')
  await insertMove(flow, {
    visitId,
    patientId: visit.patientId,
    kind: 'move',
    status: 'waiting',
    choices: [
      {
        slotId: null,
        startAt: place.startAt.toString(),
        practitionerId: place.practitionerId,
        minutes: visit.minutes,
      },
    ],
    reason,
    proposedBy: staffId,
    proposedAt: flow.now,
    deadlineAt: place.startAt,
  })
  flow.audit({
    actor: `staff:${staffId}`,
    action: 'let move wait',
    patientId: visit.patientId,
    subject: `visit:${visitId}`,
  })
}

/** A place is free: whoever waits for it is asked now. @returns whether somebody was */
export async function continueChain(flow: Flow, freed: Place): Promise<boolean> {
  const waiting = (await waitingMoves(flow)).filter((move) => isFor(move, freed))
  let asked = false
  for (const move of waiting) {
    await settleMove(flow, move.moveId, 'withdrawn')
    const refused = await attempt(flow, async (step) => {
      const slots = await slotsIn(step, {
        practitionerId: freed.practitionerId,
        from: freed.startAt,
        to: freed.startAt.add({ minutes: 1 }),
      })
      const slot = slots.find((one) => one.status === 'open' && one.startAt.equals(freed.startAt))
      if (!slot) throw new Trouble('The place is not free.')
      await proposeMove(step, {
        visitId: move.visitId,
        slotIds: [slot.slotId],
        reason: move.reason,
        proposedBy: move.proposedBy,
        deadlineAt: step.now.add({ hours: ANSWER_HOURS }),
      })
    })
    asked ||= refused === null
    if (refused !== null) await sayItEnded(flow, move)
  }
  return asked
}

/** A visit stays where it is: nobody need wait for its place any more, nor for those that waited on them. */
export async function endWaiting(flow: Flow, stays: Place & { visitId: string }): Promise<void> {
  for (const move of (await waitingMoves(flow)).filter((one) => isFor(one, stays))) {
    await settleMove(flow, move.moveId, 'withdrawn')
    await sayItEnded(flow, move)
    const visit = await lockVisit(flow, move.visitId)
    if (visit) await endWaiting(flow, visit)
  }
}

/** Ends what waits for a place that nobody is asked to leave any more. */
export async function endIdleWaits(flow: Flow): Promise<void> {
  const waiting = await waitingMoves(flow)
  for (const move of waiting) {
    const at = startOf(move)
    const there = (await visitsBetween(flow, at, at.add({ seconds: 1 }))).find(
      (one) => one.status === 'booked' && isFor(move, one),
    )
    const leaves =
      there &&
      ((await proposedMove(flow, there.visitId)) !== null ||
        waiting.some((one) => one.visitId === there.visitId))
    if (leaves && Temporal.Instant.compare(at, flow.now) > 0) continue
    await settleMove(flow, move.moveId, 'withdrawn')
    await sayItEnded(flow, move)
  }
}

const sayItEnded = (flow: Flow, move: Move): Promise<void> =>
  putOnDesk(flow, {
    dedupe: `waiting-ended/${move.moveId}`,
    kind: 'move-declined',
    patientId: move.patientId,
    visitId: move.visitId,
    note: 'It waited for the place of another visit, which did not become free. This patient was not asked.',
  })

/** One of several visits that change places at once. */
export interface Exchange extends Place {
  visitId: string
  /** The open slot that it takes, where it is one. */
  slotId: string | null
}

/**
 * Several visits take each other's places at once, by agreement with every patient (say, on the telephone).
 * All of it or nothing. @throws Trouble when a place is not free but for these visits
 */
export async function moveTogether(flow: Flow, exchanges: Exchange[], staffId: string): Promise<void> {
  const inOrder = exchanges.toSorted((a, b) => (a.visitId < b.visitId ? -1 : 1))
  const visits = new Map<string, Visit>()
  for (const { visitId } of inOrder) {
    const visit = await lockVisit(flow, visitId)
    if (visit?.status !== 'booked' || Temporal.Instant.compare(visit.startAt, flow.now) <= 0)
      throw new Trouble('One of these visits is not booked any more: look at the week again.')
    visits.set(visitId, visit)
  }
  const of = (one: Exchange): Visit => visits.get(one.visitId) as Visit
  const slots = await lockSlots(
    flow,
    inOrder.flatMap(({ slotId }) => slotId ?? []),
  )
  const ids = inOrder.map(({ visitId }) => visitId)
  for (const one of inOrder) {
    const { minutes, patientId } = of(one)
    const slot = slots.find(({ slotId }) => slotId === one.slotId)
    const free = one.slotId === null || (slot?.status === 'open' && slot.minutes >= minutes)
    if (
      !free ||
      (await isBooked(flow, { ...one, minutes, patientId }, ids)) ||
      inOrder.some((b) => clash(one, b, of))
    )
      throw new Trouble('One of these times is no longer free: look at the week again.')
  }
  for (const { visitId } of inOrder) await withdrawMove(flow, visitId)
  for (const one of inOrder) {
    const before = of(one)
    const patient = await getPatient(flow, before.patientId)
    if (!patient) throw new Trouble('One of these visits has no patient any more.')
    const slot = slots.find(({ slotId }) => slotId === one.slotId)
    if (slot) await takeTime(flow, slot, before)
    const after = await changeVisit(flow, before, {
      startAt: one.startAt,
      practitionerId: one.practitionerId,
      room: one.room,
      movedCount: before.movedCount + 1,
    })
    await insertMove(flow, {
      visitId: one.visitId,
      patientId: patient.patientId,
      kind: 'move',
      status: 'done',
      choices: [],
      reason: 'Agreed with the patients.',
      proposedBy: staffId,
      proposedAt: flow.now,
      deadlineAt: flow.now,
      answeredAt: flow.now,
    })
    flow.audit({
      actor: `staff:${staffId}`,
      action: 'move visit',
      patientId: patient.patientId,
      subject: `visit:${one.visitId}`,
    })
    await followMove(flow, after, patient, true)
    await tell(
      flow,
      patient,
      'visit-moved',
      { when: whenWords(after.startAt, flow.clinic.zone) },
      {
        dedupe: `visit-moved/${one.visitId}/${after.version}`,
        visitId: one.visitId,
        expiresAt: after.startAt,
      },
    )
  }
  for (const { startAt, practitionerId, minutes, room } of visits.values()) {
    const place = { startAt, practitionerId, room }
    const taken = inOrder.some((one) => overlap({ ...place, minutes }, { ...one, minutes: of(one).minutes }))
    if (taken) continue
    await addSlot(flow, { ...place, minutes })
    await continueChain(flow, place)
  }
}

const overlap = (a: Place & { minutes: number }, b: Place & { minutes: number }): boolean =>
  (a.practitionerId === b.practitionerId || (a.room !== null && a.room === b.room)) &&
  Temporal.Instant.compare(a.startAt, b.startAt.add({ minutes: b.minutes })) < 0 &&
  Temporal.Instant.compare(b.startAt, a.startAt.add({ minutes: a.minutes })) < 0

const clash = (a: Exchange, b: Exchange, of: (one: Exchange) => Visit): boolean =>
  a !== b && overlap({ ...a, minutes: of(a).minutes }, { ...b, minutes: of(b).minutes })
