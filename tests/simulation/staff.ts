/** What the invented staff do: clinicians triage and record, the desk moves visits; some days nobody looks. */
import { Temporal } from 'temporal-polyfill'
import type { EarRecord } from '../../src/aftercare/record.ts'
import { isOpen } from '../../src/concerns/deadline.ts'
import { claim, close, queue } from '../../src/concerns/store.ts'
import { demoSettings } from '../../src/demo/people.ts'
import { recordProcedure } from '../../src/flow/aftercare.ts'
import { dayOf, earsOf, type Flow, inFlow } from '../../src/flow/context.ts'
import { MOST_CHOICES, proposeMove } from '../../src/flow/moves.ts'
import { openSlots, proposedMove } from '../../src/softening/moves/store.ts'
import { getScreening, lastPlanOf, plansOf, type StoredPlan } from '../../src/softening/store.ts'
import { Trouble } from '../../src/trouble.ts'
import { visitsBetween } from '../../src/visits/store.ts'
import { type Arrival, arrive, daysAdvisedAtBooking, dosesUnreminded } from './effect.ts'
import { clinicsDay, type SimulatedPatient } from './patients.ts'
import type { World } from './world.ts'

/** On about one day in seven nobody opens the queue: the deadlines must not pass in silence. */
const isNeglected = ({ random, start }: World, now: Temporal.Instant): boolean => {
  const day = start.until(now.toZonedDateTimeISO('Europe/London').toPlainDate(), { largestUnit: 'days' }).days
  return random.fork(`neglect/${day}`).chance(1 / 7)
}

/** Claims and closes what waits, in open hours, most of the time. @returns how many were closed */
export async function triage(world: World): Promise<number> {
  const now = world.clock.now()
  if (!isOpen(now, demoSettings.openingHours) || isNeglected(world, now)) return 0
  return await inFlow(world.service, world.clinicId, async (flow) => {
    let closed = 0
    for (const concern of await queue(flow)) {
      const by = world.staffIds[closed % 2] as string
      if (!world.random.fork(`triage/${now.epochMilliseconds}/${closed}`).chance(0.6)) continue
      if (concern.status === 'open' && (await claim(flow, concern.concernId, by))) {
        if (await close(flow, concern.concernId, by, { outcome: 'advised', note: 'Simulated.' })) closed += 1
      }
    }
    return closed
  })
}

/** Proposes times for the visits of the coming days that will not be ready. @returns how many */
export async function moveUnready(world: World): Promise<number> {
  const { service, clinicId, staffIds } = world
  const unready = await inFlow(service, clinicId, async (flow) => {
    const visits = await visitsBetween(flow, flow.now.add({ hours: 30 }), flow.now.add({ hours: 24 * 5 }))
    const booked = visits.filter((visit) => visit.status === 'booked' && visit.movedCount === 0)
    const plans = await plansOf(
      flow,
      booked.map((visit) => visit.visitId),
    )
    const slots = await openSlots(flow, flow.now.add({ hours: 48 }), flow.now.add({ hours: 24 * 14 }))
    const list = []
    for (const visit of booked) {
      const readiness = plans.get(visit.visitId)?.readiness
      if (
        !readiness ||
        readiness.ready ||
        readiness.basis !== 'doses' ||
        (await proposedMove(flow, visit.visitId))
      )
        continue
      const first = readiness.firstReadyDay
      const later = slots.filter(
        (slot) =>
          first &&
          dayOf(flow, slot.startAt).toString() >= first &&
          Temporal.Instant.compare(slot.startAt, visit.startAt) > 0,
      )
      if (later.length > 0)
        list.push({
          visitId: visit.visitId,
          slotIds: later.slice(0, MOST_CHOICES).map((slot) => slot.slotId),
        })
    }
    return list
  })
  let proposed = 0
  for (const { visitId, slotIds } of unready) {
    try {
      await inFlow(service, clinicId, (flow) =>
        proposeMove(flow, {
          visitId,
          slotIds,
          reason: 'The drops need more days.',
          proposedBy: staffIds[2] ?? null,
          deadlineAt: flow.now.add({ hours: 24 }),
        }),
      )
      proposed += 1
    } catch (error) {
      // A slot that an earlier proposal of this round holds.
      if (!(error instanceof Trouble)) throw error
    }
  }
  return proposed
}

/** Holds the visits whose time has come. The plug is as soft as the true doses made it. */
export async function holdVisits(
  world: World,
  seed: number,
  patients: Map<string, SimulatedPatient>,
): Promise<Arrival[]> {
  return await inFlow(world.service, world.clinicId, async (flow) => {
    const due = await visitsBetween(flow, flow.now.subtract({ hours: 24 * 3 }), flow.now)
    const arrivals: Arrival[] = []
    for (const visit of due) {
      const patient = patients.get(visit.reference)
      if (visit.status !== 'booked' || !patient) continue
      const plan = await lastPlanOf(flow, visit.patientId)
      const doses = trueDoses(patient) + dosesUnasked(flow, patient, plan)
      const end = arrive(seed, visit.reference, doses)
      const ears = earsOf(visit).map((ear) => earRecord(ear, end.softness, end.result))
      await recordProcedure(flow, visit.visitId, { ears }, world.staffIds[0] as string)
      const clinics = world.start.add({ days: clinicsDay(patient) })
      arrivals.push({
        patient,
        doses,
        daysWithout: daysAdvisedAtBooking(world.start, clinics),
        historyKnown: (await getScreening(flow, visit.visitId))?.status !== 'overdue',
      })
    }
    return arrivals
  })
}

/** Days of a running plan on which no text came (STOP, a number that failed): they do as nobody reminds them. */
function dosesUnasked(flow: Flow, patient: SimulatedPatient, plan: StoredPlan | null): number {
  if (plan?.status !== 'active') return 0
  const today = dayOf(flow, flow.now).toString()
  return dosesUnreminded(
    patient,
    plan.plan.days.filter((day) => day < today && !patient.doses.has(day)),
  )
}

const trueDoses = (patient: SimulatedPatient): number =>
  [...patient.doses.values()].reduce((sum, day) => sum + day.done, 0)

function earRecord(
  ear: 'left' | 'right',
  softness: EarRecord['softness'],
  result: EarRecord['result'],
): EarRecord {
  const hard = softness === 'hard-and-dry'
  return {
    ear,
    found: [hard ? 'skin-plug' : 'soft-wax'],
    softness,
    methods: hard ? ['suction', 'instrument'] : ['suction'],
    result,
    canal: hard ? ['sore', 'grazed'] : ['normal'],
    drum: hard ? 'inflamed' : 'normal',
    felt: [hard ? 'pain' : 'nothing'],
    advice: '',
  }
}
