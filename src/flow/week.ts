/** The coming weeks as the optimiser sees them, its best plan, and the answers for one visit. */
import { Temporal } from 'temporal-polyfill'
import type { OpeningHours, Weekday } from '../concerns/deadline.ts'
import { WEEKDAYS } from '../concerns/deadline.ts'
import type { SofteningRules } from '../protocol/sections/softening.ts'
import { optionsFor, type VisitAnswer } from '../softening/moves/choices.ts'
import { type MovesInput, MovesInputError } from '../softening/moves/input.ts'
import type { Model } from '../softening/moves/model.ts'
import { type MovesPlan, movesModel, planOf } from '../softening/moves/plan.ts'
import { freeSlots, heldOrOpenSlots, type Move, movesOf, type Slot } from '../softening/moves/store.ts'
import { readinessByDay } from '../softening/readiness.ts'
import { chanceSoft } from '../softening/softness.ts'
import {
  doseDayRows,
  knownDays,
  plansOf,
  type Screening,
  type StoredPlan,
  screeningsOf,
} from '../softening/store.ts'
import { lossIfHard } from '../softening/threshold.ts'
import { listPractitioners, type Visit, visitsBetween } from '../visits/store.ts'
import { dayOf, type Flow } from './context.ts'
import { answerBy, modelsOf } from './plans.ts'

/** Notice that a patient is owed before a moved visit. The clinic's choice; no source. */
export const NOTICE_HOURS = 24
/** No visit is longer. */
const MOST_MINUTES = 240

export interface Week {
  /** Booked visits of the horizon, soonest first. */
  visits: Visit[]
  plans: Map<string, StoredPlan>
  screenings: Map<string, Screening>
  moves: Map<string, Move[]>
  free: Slot[]
  practitioners: Map<string, string>
  /** Why a visit is left where it is whatever the plan, by visit. */
  held: Map<string, string>
  /** The optimiser's reading of all this; null where it cannot be read, with the reason in `problem`. */
  model: Model | null
  problem: string | null
}

export const isAhead = (flow: Flow, at: Temporal.Instant): boolean =>
  Temporal.Instant.compare(at, flow.now) > 0

/** Everything that is booked and free from now to the protocol's horizon. */
export async function loadWeek(flow: Flow): Promise<Week> {
  const rules = flow.rules.softening
  const to = dayOf(flow, flow.now)
    .add({ days: rules.readiness.horizonDays.value + 1 })
    .toZonedDateTime(flow.clinic.zone)
    .toInstant()
  const visits = (await visitsBetween(flow, flow.now, to)).filter(
    (visit) => visit.status === 'booked' && isAhead(flow, visit.startAt),
  )
  const ids = visits.map(({ visitId }) => visitId)
  const moves = Map.groupBy(await movesOf(flow, ids), ({ visitId }) => visitId)
  const screenings = await screeningsOf(flow, ids)
  const week: Week = {
    visits,
    plans: await plansOf(flow, ids),
    screenings,
    moves,
    free: await freeSlots(flow, flow.now, to),
    practitioners: new Map((await listPractitioners(flow)).map((one) => [one.practitionerId, one.name])),
    held: new Map(
      visits.flatMap((visit) => {
        const why = heldBecause(screenings.get(visit.visitId), moves.get(visit.visitId) ?? [])
        return why ? [[visit.visitId, why] as const] : []
      }),
    ),
    model: null,
    problem: null,
  }
  try {
    week.model = movesModel(await inputOf(flow, week, await heldOrOpenSlots(flow, flow.now, to)))
  } catch (error) {
    if (!(error instanceof MovesInputError)) throw error
    week.problem = problemWords(error)
  }
  return week
}

function heldBecause(screening: Screening | undefined, moves: readonly Move[]): string | null {
  if (moves.some(({ status }) => status === 'proposed')) return 'a proposal waits for the patient'
  if (moves.some(({ status }) => status === 'waiting')) return 'it waits for the place of another visit'
  if (screening?.status === 'asked' || screening?.status === 'asked-again')
    return 'the patient has not answered the history yet'
  return null
}

const problemWords = ({ problems }: MovesInputError): string =>
  problems
    .slice(0, 5)
    .map(({ mend }) => mend)
    .join('; ')

/** The clinic's costs in the terms of the optimiser: what an ear that is not soft costs beyond a soft one. */
export function costsOf(costs: SofteningRules['readiness']['costs']) {
  const sore = (costs.soreIfHard.value - costs.soreIfSoft.value) * costs.soreEar.value
  return {
    failedVisit: Math.max(0, lossIfHard(costs) - sore),
    soreEar: Math.max(0, sore),
    extraVisit: costs.extraVisit.value,
    move: costs.moving.value,
    waitPerDay: costs.waitPerDay.value,
  }
}

/** Where some rooms are named and one is not, it is its practitioner's own and stands in nobody's way. */
const ROOM_OF = 'room of '

/** The room of a planned visit as it is stored: null where none is named. */
export const namedRoom = (room: string | null): string | null => (room?.startsWith(ROOM_OF) ? null : room)

async function inputOf(flow: Flow, week: Week, listed: readonly Slot[]): Promise<MovesInput> {
  const ready = await readinessOf(flow, week)
  const name = (id: string): string => week.practitioners.get(id) ?? id
  const anyRoom = [...week.visits, ...week.free].some(({ room }) => room !== null)
  const room = (of: { room: string | null; practitionerId: string }) =>
    anyRoom ? { room: of.room ?? `${ROOM_OF}${of.practitionerId}` } : {}
  return {
    now: flow.now.toString(),
    zone: flow.clinic.zone,
    visits: week.visits.map((visit) => ({
      id: visit.reference,
      patient: visit.patientId,
      start: visit.startAt.toString(),
      minutes: visit.minutes,
      practitioner: visit.practitioner,
      ...room(visit),
      purpose: visit.purpose,
      urgency: visit.urgent ? 'urgent' : 'routine',
      pain: visit.inPain,
      moved: visit.movedCount,
      fixed: week.held.has(visit.visitId),
      freeAfterMinutes: gapAfter(visit, week.visits, listed, flow.clinic.settings.openingHours),
      ...(visit.purpose === 'removal' ? { readiness: ready.get(visit.visitId) ?? 0 } : {}),
    })),
    openSlots: week.free.map((slot) => ({
      id: slot.slotId,
      start: slot.startAt.toString(),
      minutes: slot.minutes,
      practitioner: name(slot.practitionerId),
      ...room(slot),
    })),
    rules: {
      costs: costsOf(flow.rules.softening.readiness.costs),
      noticeHours: NOTICE_HOURS,
      // An assessment keeps the time that was booked.
      assessmentMinutes: MOST_MINUTES,
    },
  }
}

/** P(soft enough) by day, by visit. Without drops, the low chance of an ear that had none. */
async function readinessOf(flow: Flow, week: Week): Promise<Map<string, number | Record<string, number>>> {
  const { adherence, link } = await modelsOf(flow)
  const rules = flow.rules.softening
  const today = dayOf(flow, flow.now).toString()
  const stored = [...week.plans.values()]
  const rows = Map.groupBy(
    await doseDayRows(
      flow,
      stored.map(({ planId }) => planId),
    ),
    ({ planId }) => planId,
  )
  const isSilent = (day: string): boolean => Temporal.Instant.compare(answerBy(flow, day), flow.now) <= 0
  return new Map(
    week.visits.map((visit): [string, number | Record<string, number>] => {
      const own = week.plans.get(visit.visitId)
      if (!own || own.status === 'withheld') return [visit.visitId, chanceSoft(link, 0)]
      const doseDays = knownDays(rows.get(own.planId) ?? [], isSilent)
      const days = readinessByDay({ plan: own.plan, doseDays, today }, rules, adherence, link)
      return [visit.visitId, Object.fromEntries(days.map(({ day, p }) => [day, p]))]
    }),
  )
}

const MOST_GAP = 60

/** Minutes after a visit, within opening hours, in which its practitioner has nothing booked, free or on offer. */
function gapAfter(
  visit: Visit,
  visits: readonly Visit[],
  listed: readonly Slot[],
  hours: OpeningHours,
): number {
  const end = visit.startAt.add({ minutes: visit.minutes })
  const local = end.toZonedDateTimeISO(hours.zone)
  const spans = hours.closed.includes(local.toPlainDate().toString())
    ? []
    : hours.week[WEEKDAYS[local.dayOfWeek - 1] as Weekday]
  const clock = local.toPlainTime().toString({ smallestUnit: 'minute' })
  const open = spans.find(({ from, to }) => from <= clock && clock < to)
  if (!open) return 0
  const closes = local.withPlainTime(open.to).toInstant()
  const next = [...visits, ...listed]
    .filter((one) => one.practitionerId === visit.practitionerId)
    .map(({ startAt }) => startAt)
    .filter((at) => Temporal.Instant.compare(at, visit.startAt) > 0)
  const until = [closes, ...next].reduce((a, b) => (Temporal.Instant.compare(a, b) <= 0 ? a : b))
  return Math.max(0, Math.min(MOST_GAP, Math.floor(end.until(until).total('minutes'))))
}

/** The best plan for all of it; null when the bookings cannot be read as a plan. */
export const bestPlan = (week: Week): MovesPlan | null => (week.model ? planOf(week.model) : null)

/** What could be done for one visit, the best first; empty when nothing can be planned. */
export const answersFor = (week: Week, visit: Pick<Visit, 'reference'>): VisitAnswer[] =>
  week.model?.visits.some(({ id }) => id === visit.reference) ? optionsFor(week.model, visit.reference) : []

export const visitOf = (week: Week, reference: string): Visit | undefined =>
  week.visits.find((one) => one.reference === reference)

/** The slot in which a planned time lies whole. */
export const slotAt = (
  week: Week,
  at: { slot: string | null; start: string },
  minutes: number,
): Slot | undefined =>
  week.free.find(
    (slot) =>
      slot.slotId === at.slot &&
      slot.startAt.equals(Temporal.Instant.from(at.start)) &&
      slot.minutes >= minutes,
  )
