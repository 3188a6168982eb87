/** The front desk books and cancels by hand: the visit that must follow another, and the one that will not be held. */
import { randomUUID } from 'node:crypto'
import { Temporal } from 'temporal-polyfill'
import { afterwards } from '../aftercare/afterwards.ts'
import { recordsOfPatient, recordsOfVisit } from '../aftercare/store.ts'
import { type DeskItem, endDeskItems, settleDeskItem } from '../desk/store.ts'
import { whenWords } from '../messages/words.ts'
import { nextPlan } from '../softening/afterwards.ts'
import { addSlot, lockSlots } from '../softening/moves/store.ts'
import { plansOnHeldVisits, saveScreening, screeningsOf, startScreening } from '../softening/store.ts'
import { Trouble } from '../trouble.ts'
import { bookVisit, changeVisit, getPatient, getVisit, lockVisit, type Visit } from '../visits/store.ts'
import { continueChain } from './chains.ts'
import { dayOf, type Flow, tell } from './context.ts'
import { isBooked, takeTime } from './moves.ts'
import { makePlan } from './plans.ts'
import { askHistory } from './screening.ts'
import { remindOfVisit, visitCancelled } from './visits.ts'

/** What is to be booked, and from which day on. */
export interface NeededVisit {
  patientId: string
  purpose: Visit['purpose']
  ears: Visit['ears']
  minutes: number
  /** First day on which it makes sense, YYYY-MM-DD. */
  from: string
  /** The visit that it follows, where there is one. */
  after: Visit | null
}

const CANAL_ORDER = ['bleeding', 'grazed', 'sore'] as const

/** What a desk item asks for: from the last record where there is one, else as the last visit was. */
export async function neededVisit(
  flow: Flow,
  item: Pick<DeskItem, 'patientId' | 'visitId' | 'kind'>,
): Promise<NeededVisit | null> {
  if (!item.patientId) return null
  const after = item.visitId ? await getVisit(flow, item.visitId) : null
  const today = dayOf(flow, flow.now).toString()
  const usual: NeededVisit = {
    patientId: item.patientId,
    purpose: item.kind === 'recall-answered' ? 'removal' : 'recheck',
    ears: after?.ears ?? 'both',
    minutes: after?.minutes ?? 30,
    from: today,
    after,
  }
  if (item.kind !== 'needs-visit' || after?.status !== 'done') return usual
  const stored = await recordsOfVisit(flow, after.visitId)
  const wanted = afterwards({ ears: stored.map(({ record }) => record) }, flow.rules.aftercare).visit
  if (!wanted) return usual
  const earlier = (await recordsOfPatient(flow, after.patientId)).filter(
    ({ visitId }) => visitId !== after.visitId,
  )
  const next = nextPlan(
    {
      day: dayOf(flow, stored[0]?.doneAt ?? flow.now).toString(),
      ears: stored.map(({ record: { ear, result, canal, drum, found } }) => ({
        ear,
        result,
        canal: CANAL_ORDER.find((word) => canal.includes(word)) ?? 'normal',
        drum,
        deadSkinPlug: found.includes('skin-plug'),
      })),
      deadSkinBefore: earlier.some(({ record }) => record.found.includes('skin-plug')),
    },
    flow.rules.softening,
  )
  return {
    ...usual,
    purpose: wanted.purpose,
    ears: wanted.ears.length === 2 ? 'both' : (wanted.ears[0] ?? usual.ears),
    from: [today, next?.visitFrom ?? today].toSorted().at(-1) as string,
  }
}

export interface Booking {
  needed: NeededVisit
  slotId: string
  item: Pick<DeskItem, 'itemId'> | null
  staffId: string
}

/**
 * Books the visit into an open slot, tells the patient, and goes on as for any new visit; a plan that runs after
 * the last visit moves onto this one. @throws Trouble when the slot is not free
 */
export async function bookNeeded(flow: Flow, { needed, slotId, item, staffId }: Booking): Promise<Visit> {
  const patient = await getPatient(flow, needed.patientId)
  if (!patient) throw new Trouble('This patient is not known any more.')
  const [slot] = await lockSlots(flow, [slotId])
  if (
    slot?.status !== 'open' ||
    slot.minutes < needed.minutes ||
    Temporal.Instant.compare(slot.startAt, flow.now) <= 0 ||
    (await isBooked(flow, { ...slot, minutes: needed.minutes, patientId: needed.patientId }, []))
  )
    throw new Trouble('That time is no longer free: choose another.')
  const visit = await bookVisit(flow, {
    reference: `${needed.after?.reference ?? 'DESK'}-${randomUUID().slice(0, 8)}`,
    patientId: patient.patientId,
    practitionerId: slot.practitionerId,
    startAt: slot.startAt,
    minutes: needed.minutes,
    purpose: needed.purpose,
    ears: needed.ears,
    room: slot.room,
  })
  await takeTime(flow, slot, visit)
  if (item && !(await settleDeskItem(flow, item.itemId, staffId)))
    throw new Trouble('This was settled by somebody else just now.')
  if (needed.after) await endDeskItems(flow, needed.after.visitId, ['needs-visit'])
  flow.audit({
    actor: `staff:${staffId}`,
    action: 'book visit by hand',
    patientId: patient.patientId,
    subject: `visit:${visit.visitId}`,
  })
  await tell(
    flow,
    patient,
    'visit-booked',
    { when: whenWords(visit.startAt, flow.clinic.zone) },
    {
      dedupe: `visit-booked/${visit.visitId}`,
      visitId: visit.visitId,
      expiresAt: visit.startAt,
      linkUntil: visit.startAt,
    },
  )
  const running = (await plansOnHeldVisits(flow, patient.patientId)).at(-1)
  const history = running && (await screeningsOf(flow, [running.visitId])).get(running.visitId)
  // The history that allowed the running drops is days old and still holds; else it is asked anew.
  if (history?.outcome?.settled && flow.rules.softening.plan.purposes.value.includes(visit.purpose)) {
    await startScreening(flow, visit, visit.startAt)
    await saveScreening(flow, visit.visitId, {
      status: 'answered',
      answers: history.answers,
      outcome: history.outcome,
    })
    await makePlan(flow, visit, patient, history.outcome, { changed: true })
  } else await askHistory(flow, visit, patient)
  await remindOfVisit(flow, visit, patient)
  return visit
}

/** Cancels a booked visit, tells the patient and, where wished, opens its time. @throws Trouble when it is not booked */
export async function cancelVisit(
  flow: Flow,
  visitId: string,
  { staffId, openItsTime }: { staffId: string; openItsTime: boolean },
): Promise<void> {
  const visit = await lockVisit(flow, visitId)
  if (visit?.status !== 'booked' || Temporal.Instant.compare(visit.startAt, flow.now) <= 0)
    throw new Trouble('Only a booked visit that is still to come can be cancelled.')
  const patient = await getPatient(flow, visit.patientId)
  if (!patient) throw new Trouble('This visit has no patient any more.')
  const after = await changeVisit(flow, visit, { status: 'cancelled' })
  flow.audit({
    actor: `staff:${staffId}`,
    action: 'cancel visit',
    patientId: patient.patientId,
    subject: `visit:${visitId}`,
  })
  await visitCancelled(flow, after, patient)
  if (!openItsTime) return
  const { practitionerId, startAt, minutes, room } = visit
  await addSlot(flow, { practitionerId, startAt, minutes, room })
  await continueChain(flow, visit)
}
