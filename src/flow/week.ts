/** The coming weeks as the optimiser sees them, its best plan, and what becomes of an accepted action. */
import { Temporal } from 'temporal-polyfill'
import type { OpeningHours, Weekday } from '../concerns/deadline.ts'
import { WEEKDAYS } from '../concerns/deadline.ts'
import type { SofteningRules } from '../protocol/sections/softening.ts'
import { optionsFor, proposalChoices, type VisitAnswer } from '../softening/moves/choices.ts'
import { type MovesInput, MovesInputError } from '../softening/moves/input.ts'
import type { Model } from '../softening/moves/model.ts'
import { type MovesPlan, movesModel, type PlannedVisit, planOf } from '../softening/moves/plan.ts'
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
import { Trouble } from '../trouble.ts'
import { listPractitioners, type Visit, visitsBetween } from '../visits/store.ts'
import { attempt } from './attempt.ts'
import { type Exchange, moveTogether, waitForPlace } from './chains.ts'
import { dayOf, type Flow } from './context.ts'
import { ANSWER_HOURS, changeKind, MOST_CHOICES, proposeMove } from './moves.ts'
import { answerBy, modelsOf } from './plans.ts'

/** Notice that a patient is owed before a moved visit. The clinic's choice; no source. */
const NOTICE_HOURS = 24
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

const isAhead = (flow: Flow, at: Temporal.Instant): boolean => Temporal.Instant.compare(at, flow.now) > 0

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

async function inputOf(flow: Flow, week: Week, listed: readonly Slot[]): Promise<MovesInput> {
  const ready = await readinessOf(flow, week)
  const name = (id: string): string => week.practitioners.get(id) ?? id
  const roomed = [...week.visits, ...week.free].every(({ room }) => room !== null)
  const room = (of: { room: string | null }) => (roomed && of.room !== null ? { room: of.room } : {})
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

/** How an accepted action is carried out. */
export type Way =
  | { way: 'propose'; slotIds: string[] }
  /** Asked when the other visit has left its place. */
  | { way: 'wait'; for: Visit }
  | { way: 'change'; kind: 'lengthen'; minutes: number }
  | { way: 'change'; kind: 'assessment' }
  /** Several must change at the same moment: only by agreement with all of them. */
  | { way: 'together'; visits: Visit[] }
  | { way: 'blocked'; why: string }

const visitOf = (week: Week, reference: string): Visit | undefined =>
  week.visits.find((one) => one.reference === reference)

/** The slot in which a planned time lies whole. */
const slotAt = (week: Week, at: { slot: string | null; start: string }, minutes: number): Slot | undefined =>
  week.free.find(
    (slot) =>
      slot.slotId === at.slot &&
      slot.startAt.equals(Temporal.Instant.from(at.start)) &&
      slot.minutes >= minutes,
  )

/** Who must leave before this one can come, as far as it goes; null when it comes back to itself. */
function chainOf(plan: MovesPlan, planned: PlannedVisit): PlannedVisit[] | null {
  const byId = new Map(plan.visits.map((one) => [one.id, one]))
  const chain: PlannedVisit[] = []
  for (let at: PlannedVisit | undefined = planned; at && at.after.length > 0; ) {
    if (at.after.length > 1) return null
    at = byId.get(at.after[0] as string)
    if (!at || at === planned || chain.includes(at)) return null
    chain.push(at)
  }
  return chain
}

export function wayOf(week: Week, plan: MovesPlan, planned: PlannedVisit): Way {
  const { model } = week
  if (!model || planned.action === 'stay') return { way: 'blocked', why: 'It stays where it is.' }
  if (planned.action === 'assessment') return { way: 'change', kind: 'assessment' }
  if (planned.action === 'lengthen') {
    return planned.after.length === 0
      ? { way: 'change', kind: 'lengthen', minutes: planned.minutes }
      : { way: 'blocked', why: `First visit ${planned.after.join(' and ')} must have moved.` }
  }
  const others = proposalChoices(model, plan, planned.id, MOST_CHOICES).filter(
    ({ after }) => after.length === 0,
  )
  if (planned.after.length === 0) {
    const slotIds = others.flatMap((choice) => slotAt(week, choice, planned.minutes)?.slotId ?? [])
    if (slotIds.length > 0) return { way: 'propose', slotIds }
    return {
      way: 'blocked',
      why: 'This time lies across several open times: make one open time of them, then look again.',
    }
  }
  const chain = chainOf(plan, planned)
  const place = chain?.[0]
  const fits =
    place &&
    place.was.start === planned.start &&
    place.was.practitioner === planned.practitioner &&
    place.was.minutes >= planned.minutes
  const before = place && visitOf(week, place.id)
  if (chain && fits && before && chain.every((one) => ['move', 'take-freed'].includes(one.action)))
    return { way: 'wait', for: before }
  const group = plan.groups.find(({ group }) => group === planned.group)
  return {
    way: 'together',
    visits: (group?.visits ?? []).flatMap((reference) => visitOf(week, reference) ?? []),
  }
}

/** What the patient is told of the reason: the drops, or that it helps the day. */
export function reasonFor(planned: Pick<PlannedVisit, 'readiness'>, now: number | null): string {
  const softer = planned.readiness !== null && now !== null && planned.readiness > now
  return softer ? 'The drops need more days to work.' : 'It helps us to fit each visit in.'
}

const readinessNow = (week: Week, planned: PlannedVisit): number | null =>
  visitOf(week, planned.id)
    ? (week.plans.get(visitOf(week, planned.id)?.visitId ?? '')?.readiness?.p ?? null)
    : null

/**
 * Carries out one action of the best plan. @throws Trouble when the plan has another action for it by now, or it
 * cannot be done by a proposal
 */
export async function acceptAction(
  flow: Flow,
  visitId: string,
  seen: string,
  staffId: string,
): Promise<Way['way']> {
  const week = await loadWeek(flow)
  const plan = bestPlan(week)
  const visit = week.visits.find((one) => one.visitId === visitId)
  const planned = plan?.visits.find(({ id }) => id === visit?.reference)
  if (!plan || !visit || !planned || stampOf(planned) !== seen)
    throw new Trouble('The best plan has changed since you opened it: look at it again.')
  const way = wayOf(week, plan, planned)
  await carryOut(flow, week, visit, planned, way, staffId)
  return way.way
}

/** Names an action, to see whether it is still the same one. */
export const stampOf = ({ action, start, practitioner, minutes }: PlannedVisit): string =>
  `${action} ${start} ${practitioner} ${minutes}`

async function carryOut(
  flow: Flow,
  week: Week,
  visit: Visit,
  planned: PlannedVisit,
  way: Way,
  staffId: string,
): Promise<void> {
  const reason = reasonFor(planned, readinessNow(week, planned))
  switch (way.way) {
    case 'propose':
      await proposeMove(flow, {
        visitId: visit.visitId,
        slotIds: way.slotIds,
        reason,
        proposedBy: staffId,
        deadlineAt: flow.now.add({ hours: ANSWER_HOURS }),
      })
      return
    case 'wait':
      return await waitForPlace(flow, visit.visitId, way.for, { reason, staffId })
    case 'change':
      return await changeKind(flow, visit.visitId, way, staffId)
    case 'together':
      throw new Trouble('These change places at the same moment: ring them all, then move them together.')
    case 'blocked':
      throw new Trouble(way.why)
  }
}

export interface AcceptedAll {
  /** Each action that was carried out, and how. */
  done: { reference: string; way: Way['way'] }[]
  left: { reference: string; why: string }[]
}

/** Carries out every action of the best plan that can go by itself; the rest is said. */
export async function acceptAll(flow: Flow, staffId: string): Promise<AcceptedAll> {
  const week = await loadWeek(flow)
  const plan = bestPlan(week)
  if (!plan) throw new Trouble(`The week cannot be planned: ${week.problem}.`)
  const result: AcceptedAll = { done: [], left: [] }
  // Those who leave first, so that who waits for them finds them asked.
  const changed = plan.visits
    .filter(({ action }) => action !== 'stay')
    .map((planned) => ({ planned, chain: chainOf(plan, planned)?.length ?? 0 }))
    .toSorted((a, b) => a.chain - b.chain)
  for (const { planned } of changed) {
    const visit = visitOf(week, planned.id)
    if (!visit) continue
    const way = wayOf(week, plan, planned)
    const refused = await attempt(flow, (step) => carryOut(step, week, visit, planned, way, staffId))
    if (refused === null) result.done.push({ reference: planned.id, way: way.way })
    else result.left.push({ reference: planned.id, why: refused })
  }
  return result
}

/** The visits of one group of the plan change places at once, every patient having agreed. @throws Trouble */
export async function acceptTogether(
  flow: Flow,
  group: number,
  seen: string,
  staffId: string,
): Promise<void> {
  const week = await loadWeek(flow)
  const plan = bestPlan(week)
  const members = plan?.visits.filter((one) => one.group === group) ?? []
  if (!plan || members.length === 0 || groupStamp(members) !== seen)
    throw new Trouble('The best plan has changed since you opened it: look at it again.')
  const byName = new Map([...week.practitioners].map(([id, name]) => [name, id]))
  const exchanges: Exchange[] = []
  for (const planned of members) {
    const visit = visitOf(week, planned.id)
    if (!visit) throw new Trouble('One of these visits is gone: look at the week again.')
    if (planned.action === 'assessment')
      await changeKind(flow, visit.visitId, { kind: 'assessment' }, staffId)
    else if (planned.action === 'lengthen') continue
    else
      exchanges.push({
        visitId: visit.visitId,
        startAt: Temporal.Instant.from(planned.start),
        practitionerId: byName.get(planned.practitioner) ?? visit.practitionerId,
        room: planned.room,
        slotId: slotAt(week, planned, planned.minutes)?.slotId ?? null,
      })
  }
  await moveTogether(flow, exchanges, staffId)
  for (const planned of members.filter(({ action }) => action === 'lengthen')) {
    const visit = visitOf(week, planned.id)
    if (visit) await changeKind(flow, visit.visitId, { kind: 'lengthen', minutes: planned.minutes }, staffId)
  }
}

export const groupStamp = (members: readonly PlannedVisit[]): string => members.map(stampOf).join('; ')

/** After a proposal that nobody answered: once more, with the next best times. @returns whether it was asked */
export async function proposeAgain(flow: Flow, lapsed: Move): Promise<boolean> {
  if (lapsed.kind !== 'move') return false
  const before = (await movesOf(flow, [lapsed.visitId])).filter(({ status }) => status === 'expired')
  if (before.length !== 1) return false
  const week = await loadWeek(flow)
  const visit = week.visits.find(({ visitId }) => visitId === lapsed.visitId)
  if (!visit || !isAhead(flow, visit.startAt.subtract({ hours: NOTICE_HOURS }))) return false
  const offered = new Set(lapsed.choices.map(({ slotId }) => slotId))
  const slotIds = answersFor(week, visit)
    .filter((answer) => answer.action === 'move' && answer.saving > 0)
    .flatMap((answer) => slotAt(week, answer, visit.minutes)?.slotId ?? [])
    .filter((slotId) => !offered.has(slotId))
    .slice(0, MOST_CHOICES)
  if (slotIds.length === 0) return false
  const refused = await attempt(flow, (step) =>
    proposeMove(step, {
      visitId: visit.visitId,
      slotIds,
      reason: lapsed.reason,
      proposedBy: lapsed.proposedBy,
      deadlineAt: step.now.add({ hours: ANSWER_HOURS }),
    }),
  )
  return refused === null
}
