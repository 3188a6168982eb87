/** What becomes of the plan's actions: offered to patients, waited for, done at once, or asked for by a call. */
import { Temporal } from 'temporal-polyfill'
import { proposalChoices } from '../softening/moves/choices.ts'
import type { MovesPlan, PlannedVisit } from '../softening/moves/plan.ts'
import { type Move, movesOf } from '../softening/moves/store.ts'
import { Trouble } from '../trouble.ts'
import type { Visit } from '../visits/store.ts'
import { attempt } from './attempt.ts'
import { type Exchange, moveTogether, waitForPlace } from './chains.ts'
import { changeKind } from './change-kind.ts'
import type { Flow } from './context.ts'
import { ANSWER_HOURS, MOST_CHOICES, proposeMove } from './moves.ts'
import {
  answersFor,
  bestPlan,
  isAhead,
  loadWeek,
  NOTICE_HOURS,
  namedRoom,
  slotAt,
  visitOf,
  type Week,
} from './week.ts'

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
        room: namedRoom(planned.room),
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
