/** Softening plans: calendar days in the clinic's zone, and the texts of each day. Pure. */
import { Temporal } from 'temporal-polyfill'
import type { AgentRule, SofteningRules } from '../protocol/sections/softening.ts'
import { reasonOf } from './screening.ts'
import type {
  Ear,
  EarDoseDays,
  IsoDay,
  PreviousDoses,
  Reason,
  ScreeningOutcome,
  SofteningPlan,
  VisitPurpose,
} from './types.ts'

export interface PlanRequest {
  outcome: ScreeningOutcome
  visitStart: Temporal.Instant | string
  /** IANA zone of the clinic. */
  zone: string
  now: Temporal.Instant | string
  purpose: VisitPurpose
  ears: Ear[]
  urgent: boolean
  /** Doses done for this ear trouble before the visit was moved; empty for a first plan. */
  previousDoses: PreviousDoses[]
  recurrentDeadSkin: boolean
}

const daysBetween = (from: Temporal.PlainDate, to: Temporal.PlainDate): number => from.until(to).days

/**
 * The last days of an unbroken run: walking back from `anchor`, a day belongs while the days without drops
 * between it and the next are at most `gap`.
 */
function runBefore(days: readonly Temporal.PlainDate[], anchor: Temporal.PlainDate, gap: number) {
  const run: Temporal.PlainDate[] = []
  let next = anchor
  for (const day of days.toSorted(Temporal.PlainDate.compare).toReversed()) {
    if (Temporal.PlainDate.compare(day, anchor) >= 0) continue
    if (daysBetween(day, next) - 1 > gap) break
    run.push(day)
    next = day
  }
  return run
}

/** Doses of one ear that still count for drops that begin on `anchor`. */
function keptDoses(
  previous: readonly PreviousDoses[],
  ear: Ear,
  anchor: Temporal.PlainDate,
  gap: number,
): number {
  const done = previous.filter((dose) => dose.ear === ear && dose.doses > 0 && !dose.usedOnly)
  const run = new Set(
    runBefore(
      done.map((dose) => Temporal.PlainDate.from(dose.day)),
      anchor,
      gap,
    ).map(String),
  )
  return done.filter((dose) => run.has(dose.day)).reduce((sum, dose) => sum + dose.doses, 0)
}

const lastDropDay = (previous: readonly PreviousDoses[]): IsoDay | null =>
  previous
    .filter((dose) => dose.doses > 0 && !dose.usedOnly)
    .map((dose) => dose.day)
    .toSorted()
    .at(-1) ?? null

interface Fitted {
  days: Temporal.PlainDate[]
  kept: Map<Ear, number>
  courseDaysBefore: number
  /** True when the agent's longest course left fewer days than there was room for. */
  limited: boolean
}

/**
 * The fewest days, ending on `last` and not before `first`, that make the course whole together with the
 * doses that still count; where none do, those that come nearest. The number of days moves the start and so
 * decides which earlier doses count and how much of the agent's longest course is used: hence the search.
 */
function fitDays(
  request: PlanRequest,
  agent: AgentRule,
  wanted: number,
  first: Temporal.PlainDate,
  last: Temporal.PlainDate,
  rules: SofteningRules['plan'],
): Fitted {
  const dropDays = [
    ...new Set(
      request.previousDoses.filter((dose) => dose.doses > 0 || dose.usedOnly).map((dose) => dose.day),
    ),
  ].map((day) => Temporal.PlainDate.from(day))
  const fitted = (count: number): Omit<Fitted, 'limited'> & { least: number } => {
    const start = last.subtract({ days: count - 1 })
    const kept = new Map(
      request.ears.map((ear) => [
        ear,
        keptDoses(request.previousDoses, ear, start, rules.keepDoseDays.value),
      ]),
    )
    return {
      days: Array.from({ length: count }, (_, i) => start.add({ days: i })),
      kept,
      courseDaysBefore: runBefore(dropDays, start, rules.courseGapDays.value).length,
      least: Math.min(...kept.values()) + count * agent.dosesADay,
    }
  }
  const room = Math.max(0, Math.min(wanted, daysBetween(first, last) + 1))
  let nearest = fitted(0)
  let limited = false
  for (let count = 0; count <= room; count++) {
    const one = fitted(count)
    if (count > 0 && count + one.courseDaysBefore > agent.maxDays) {
      limited = true
      continue
    }
    if (one.least >= wanted * agent.dosesADay) return { ...one, limited: false }
    if (one.least >= nearest.least) nearest = one
  }
  return { ...nearest, limited }
}

/**
 * The plan for one visit: what to put in, on which days, how, when to stop, and why so.
 * Throws a RangeError without any ear, or where an instant or the zone is no such thing.
 */
export function planSoftening(request: PlanRequest, rules: SofteningRules): SofteningPlan {
  const { outcome, zone, ears } = request
  if (ears.length === 0) throw new RangeError('A softening plan needs at least one ear.')
  const visitDay = Temporal.Instant.from(request.visitStart).toZonedDateTimeISO(zone).toPlainDate()
  const agent = rules.agents.find((row) => row.id === outcome.agent)
  const none = (fit: SofteningPlan['fit'], reasons: Reason[], withheldReason: string | null) => ({
    agent: 'none' as const,
    dropsADose: 0,
    dosesADay: 0,
    days: [],
    wantedDays: 0,
    previousDoses: request.previousDoses,
    courseDaysBefore: 0,
    lastDropDay: null,
    visitDay: visitDay.toString(),
    ears: ears.map((ear) => ({ ear, keptDoses: 0, plannedDoses: 0 })),
    fit,
    instructions: [],
    stopRules: [],
    reasons,
    withheldReason,
  })
  if (outcome.decision === 'withheld' || !outcome.settled || !agent)
    return none('withheld', outcome.reasons, outcome.reasons.map((reason) => reason.text).join('; '))
  if (!rules.plan.purposes.value.includes(request.purpose))
    return none('not-for-this-visit', [reasonOf(rules.plan.purposes)], null)

  const now = Temporal.Instant.from(request.now).toZonedDateTimeISO(zone)
  const today = now.toPlainDate()
  const inTime =
    Temporal.PlainTime.compare(
      now.toPlainTime(),
      Temporal.PlainTime.from(rules.plan.startTodayUntil.value),
    ) <= 0
  const first = inTime ? today : today.add({ days: 1 })
  const last = rules.plan.includeVisitDay.value ? visitDay : visitDay.subtract({ days: 1 })
  const deadSkin = request.recurrentDeadSkin || outcome.longerPlan
  const longer = deadSkin && rules.plan.deadSkinDays.value > agent.days
  const wanted = Math.min(agent.maxDays, longer ? rules.plan.deadSkinDays.value : agent.days)
  const { days, kept, courseDaysBefore, limited } = fitDays(request, agent, wanted, first, last, rules.plan)

  const plannedDoses = days.length * agent.dosesADay
  const least = Math.min(...kept.values())
  const whole = plannedDoses + least >= wanted * agent.dosesADay
  const fit = whole ? 'full' : days.length > 0 || least > 0 ? 'short' : 'nothing-fits'
  const reasons = [reasonOf(agent)]
  if (longer) reasons.push(reasonOf(rules.plan.deadSkinDays))
  if (least > 0) reasons.push(reasonOf(rules.plan.keepDoseDays))
  if (limited) reasons.push(reasonOf(rules.plan.courseGapDays))
  else if (!whole) reasons.push(reasonOf(days.length > 0 ? rules.plan.shortNotice : rules.plan.sameDay))
  if (request.urgent) reasons.push(reasonOf(rules.plan.urgentVisit))
  const advise = days.length > 0
  return {
    agent: agent.id,
    dropsADose: agent.dropsADose,
    dosesADay: agent.dosesADay,
    days: days.map(String),
    wantedDays: wanted,
    previousDoses: request.previousDoses,
    courseDaysBefore,
    lastDropDay: lastDropDay(request.previousDoses),
    visitDay: visitDay.toString(),
    ears: ears.map((ear) => ({ ear, keptDoses: kept.get(ear) ?? 0, plannedDoses })),
    fit,
    instructions: advise
      ? [
          ...rules.plan.howToUse.lines.map((line) => line.replace('{drops}', String(agent.dropsADose))),
          ...agent.instructions,
        ]
      : [],
    stopRules: advise ? rules.plan.stopRules.lines : [],
    reasons,
    withheldReason: null,
  }
}

/**
 * Doses that the answers vouch for: a bare "yes" counts as one. A silent day vouches for none, but drops may
 * have gone in on it.
 */
export function dosesVouchedFor(doseDays: readonly EarDoseDays[]): PreviousDoses[] {
  return doseDays.flatMap(({ ear, days }) =>
    days.map(({ day, answer }): PreviousDoses => {
      if (answer.kind === 'silent') return { day, ear, doses: 0, usedOnly: true }
      return { day, ear, doses: answer.kind === 'exact' ? answer.doses : 1 }
    }),
  )
}

/**
 * All that the next plan must know of this one: what was done before it, what its answers vouch for, and its
 * days up to `today` of which nothing is known yet.
 */
export function previousDosesOf(
  plan: SofteningPlan,
  doseDays: readonly EarDoseDays[],
  today: IsoDay,
): PreviousDoses[] {
  const known = dosesVouchedFor(doseDays)
  const said = new Set(known.map(({ ear, day }) => `${ear} ${day}`))
  const open = plan.ears.flatMap(({ ear }) =>
    plan.days
      .filter((day) => day <= today && !said.has(`${ear} ${day}`))
      .map((day): PreviousDoses => ({ day, ear, doses: 0, usedOnly: true })),
  )
  return [...plan.previousDoses, ...known, ...open]
}

/** Doses before a removal: what is left in the ear has not had them, but the skin of the ear has. */
export const beforeRemoval = (previous: readonly PreviousDoses[]): PreviousDoses[] =>
  previous.map((dose) => ({ ...dose, usedOnly: true }))

/** The plan after the visit was moved: what was done and is recent enough stays. */
export function replan(
  request: Omit<PlanRequest, 'previousDoses'>,
  before: { plan: SofteningPlan; doseDays: readonly EarDoseDays[] },
  rules: SofteningRules,
): SofteningPlan {
  const today = Temporal.Instant.from(request.now).toZonedDateTimeISO(request.zone).toPlainDate().toString()
  const previousDoses = previousDosesOf(before.plan, before.doseDays, today)
  return planSoftening({ ...request, previousDoses }, rules)
}
