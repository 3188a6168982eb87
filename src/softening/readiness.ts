/** How likely the ear is soft enough at the visit, why, and what would still make it so. Pure. */
import { Temporal } from 'temporal-polyfill'
import type { SofteningRules } from '../protocol/sections/softening.ts'
import {
  type Adherence,
  atLeast,
  countInterval,
  meanOf,
  meanTheta,
  posterior,
  predictFuture,
  predictTotal,
} from './adherence.ts'
import { percent } from './day-sheet.ts'
import { chanceSoft, chanceSoftOver, defaultLink } from './softness.ts'
import { thresholdFor } from './threshold.ts'
import type {
  AdherenceModel,
  DayReadiness,
  EarPlan,
  IsoDay,
  Readiness,
  ReadinessInput,
  SoftnessLink,
} from './types.ts'

const daysBetween = (from: IsoDay, to: IsoDay): number =>
  Temporal.PlainDate.from(from).until(Temporal.PlainDate.from(to)).days

/** What a visit on some day could still see: whether the doses so far count, and the days with drops left. */
interface Course {
  pastCounts: boolean
  daysLeft: number
}

/**
 * The course that a visit on each day would see if the plan goes on. Up to the visit as booked these are the
 * plan's own days. A later visit adds days, up to a whole plan (`usual`) or to the agent's longest course
 * (`longest`). Doses done do not count after a gap longer than the protocol's, and a limited agent may
 * start afresh after its pause.
 */
function coursesOf(
  input: ReadinessInput,
  rules: SofteningRules,
  reach: 'usual' | 'longest',
): (day: IsoDay) => Course {
  const { plan, today } = input
  const all = input.doseDays.flatMap((ear) => ear.days)
  const recorded = new Set(all.map((dose) => dose.day))
  const open = plan.days.filter((day) => !recorded.has(day))
  const lastDone = [
    plan.lastDropDay,
    ...all.filter(({ answer }) => answer.kind !== 'exact' || answer.doses > 0).map(({ day }) => day),
  ]
    .filter((day) => day !== null)
    .toSorted()
    .at(-1)
  const from = [today, plan.visitDay].toSorted().at(-1) as IsoDay
  const sinceDone = lastDone === undefined ? Number.POSITIVE_INFINITY : daysBetween(lastDone, from)
  const longest = rules.agents.find((row) => row.id === plan.agent)?.maxDays ?? 0
  const whole = reach === 'longest' ? longest : Math.min(longest, plan.wantedDays)
  const used = plan.courseDaysBefore + recorded.size

  return (day) => {
    const own = open.filter((planDay) => planDay < day).length
    if (day <= plan.visitDay) return { pastCounts: true, daysLeft: own }
    const ahead = Math.max(0, daysBetween(from, day))
    const room = own + ahead
    /** Days without drops when the last `count` days before the visit are used. */
    const gap = (count: number): number => sinceDone + ahead - count - 1
    const fresh = Math.min(whole, room)
    const going = Math.min(room, Math.max(own, Math.min(whole, longest - used)))
    const daysLeft = gap(fresh) > rules.plan.courseGapDays.value ? Math.max(fresh, own) : going
    return { pastCounts: gap(daysLeft) <= rules.plan.keepDoseDays.value || lastDone === undefined, daysLeft }
  }
}

interface EarState {
  plan: EarPlan
  adherence: Adherence
}

function earStates(input: ReadinessInput, model: AdherenceModel): EarState[] {
  return input.plan.ears.map((plan) => {
    const days = input.doseDays.find((one) => one.ear === plan.ear)?.days ?? []
    return { plan, adherence: posterior(days, model) }
  })
}

const shift = (distribution: readonly number[], by: number): number[] => [
  ...new Array<number>(by).fill(0),
  ...distribution,
]

/** P(doses by a visit), with the doses still to come as this patient is expected to do them. */
function dosesBy({ plan, adherence }: EarState, course: Course, dosesADay: number): number[] {
  const future = course.daysLeft * dosesADay
  return course.pastCounts
    ? shift(predictTotal(adherence, future), plan.keptDoses)
    : predictFuture(adherence, future)
}

/** P(doses by a visit) if `more` doses are really done on top of those so far. */
const dosesWith = ({ plan, adherence }: EarState, pastCounts: boolean, more: number): number[] =>
  pastCounts ? shift(adherence.done, plan.keptDoses + more) : shift([1], more)

const least = (values: readonly number[]): number => Math.min(1, ...values)

const horizon = (input: ReadinessInput, rules: SofteningRules): IsoDay[] => {
  const today = Temporal.PlainDate.from(input.today)
  return Array.from({ length: rules.readiness.horizonDays.value + 1 }, (_, days) =>
    today.add({ days }).toString(),
  )
}

const needsDrops = (input: ReadinessInput): boolean =>
  input.plan.fit !== 'withheld' && input.plan.fit !== 'not-for-this-visit' && input.plan.agent !== 'none'

/**
 * P(soft enough) for a visit on each of `days` (the protocol's horizon when absent), the plan going on until
 * then; the less ready ear decides. Without drops it is the same low chance on every day.
 */
export function readinessByDay(
  input: ReadinessInput,
  rules: SofteningRules,
  model: AdherenceModel,
  link: SoftnessLink = defaultLink(rules.readiness),
  days: readonly IsoDay[] = horizon(input, rules),
): DayReadiness[] {
  if (input.plan.fit === 'not-for-this-visit') return days.map((day) => ({ day, p: 1 }))
  if (!needsDrops(input)) return days.map((day) => ({ day, p: chanceSoft(link, 0) }))
  const states = earStates(input, model)
  const courseOn = coursesOf(input, rules, 'usual')
  const chances = new Map<string, number>()
  return days.map((day) => {
    const course = courseOn(day)
    const key = `${course.pastCounts} ${course.daysLeft}`
    const known = chances.get(key)
    if (known !== undefined) return { day, p: known }
    const doses = states.map((state) => dosesBy(state, course, input.plan.dosesADay))
    const p = least(doses.map((dist) => chanceSoftOver(link, dist)))
    chances.set(key, p)
    return { day, p }
  })
}

/** The best chance that a visit on `day` could have: every dose that can still be done is done. */
export function reachable(
  input: ReadinessInput,
  day: IsoDay,
  rules: SofteningRules,
  model: AdherenceModel,
  link: SoftnessLink = defaultLink(rules.readiness),
): number {
  if (!needsDrops(input)) return input.plan.fit === 'not-for-this-visit' ? 1 : chanceSoft(link, 0)
  const course = coursesOf(input, rules, 'longest')(day)
  const more = course.daysLeft * input.plan.dosesADay
  return least(
    earStates(input, model).map((state) => chanceSoftOver(link, dosesWith(state, course.pastCounts, more))),
  )
}

/** Fewest further doses, really done, that lift every ear to the threshold; null when `most` do not. */
function dosesStillNeeded(
  states: readonly EarState[],
  link: SoftnessLink,
  threshold: number,
  most: number,
): number | null {
  for (let more = 0; more <= most; more++) {
    const p = least(states.map((state) => chanceSoftOver(link, dosesWith(state, true, more))))
    if (p >= threshold) return more
  }
  return null
}

function without(input: ReadinessInput, link: SoftnessLink, threshold: number): Readiness {
  const notNeeded = input.plan.fit === 'not-for-this-visit'
  const grounds = notNeeded
    ? ['This visit is not prepared with drops.']
    : [
        `No drops are advised: ${input.plan.withheldReason ?? 'none is allowed'}.`,
        'Drops can not make this ear ready. Choose an assessment, a longer visit, or another way to remove it.',
      ]
  return {
    p: notNeeded ? 1 : chanceSoft(link, 0),
    ears: [],
    grounds,
    stillNeeded: null,
    firstReadyDay: null,
    threshold,
    ready: notNeeded,
    canStillGetThere: notNeeded,
    basis: notNeeded ? 'not-needed' : 'no-drops',
  }
}

const doseWords = (n: number): string => (n === 1 ? '1 dose' : `${n} doses`)
const dayWords = (n: number): string => (n === 1 ? '1 day' : `${n} days`)
const range = (low: number, high: number): string => (low === high ? `${low}` : `${low} to ${high}`)

/** Readiness for the visit as booked, with its grounds in plain sentences. */
export function readiness(
  input: ReadinessInput,
  rules: SofteningRules,
  model: AdherenceModel,
  link: SoftnessLink = defaultLink(rules.readiness),
): Readiness {
  const { plan } = input
  const cut = thresholdFor(rules, model, link)
  if (!needsDrops(input)) return without(input, link, cut.value)

  const enough = rules.readiness.enoughDoses.value
  const course = coursesOf(input, rules, 'usual')(plan.visitDay)
  const dosesLeft = course.daysLeft * plan.dosesADay
  const states = earStates(input, model)
  const ears = states.map((state) => {
    const total = dosesBy(state, course, plan.dosesADay)
    const { low, high } = countInterval(state.adherence.done)
    return {
      ear: state.plan.ear,
      p: chanceSoftOver(link, total),
      pEnoughDoses: atLeast(total, enough),
      doses: { mean: meanOf(state.adherence.done), low, high, outOf: state.adherence.due },
      dosesLeft,
    }
  })
  const p = least(ears.map((ear) => ear.p))
  const agent = rules.agents.find((row) => row.id === plan.agent)
  const most = (agent?.maxDays ?? 0) * plan.dosesADay
  const needed = dosesStillNeeded(states, link, cut.value, Math.max(most, dosesLeft))
  const firstReady = readinessByDay(input, rules, model, link).find((one) => one.p >= cut.value)

  const grounds = ears.flatMap((ear, i) => {
    const kept = (states[i] as EarState).plan.keptDoses
    return [
      ...(kept > 0
        ? [`${doseWords(kept)} from before the visit was moved still count (${ear.ear} ear).`]
        : []),
      ear.doses.outOf === 0
        ? `No answer is due yet for the ${ear.ear} ear.`
        : `Of ${doseWords(ear.doses.outOf)} due so far in the ${ear.ear} ear, ${range(ear.doses.low, ear.doses.high)} were done (9 times in 10).`,
      `Chance of at least ${doseWords(enough)} in the ${ear.ear} ear by the visit: ${percent(ear.pEnoughDoses)}; that the ear is soft enough: ${percent(ear.p)}.`,
    ]
  })
  const theta = states[0] ? meanTheta(states[0].adherence) : 0
  grounds.push(
    dosesLeft === 0
      ? 'No dose is left in the plan before the visit.'
      : `${doseWords(dosesLeft)} on ${dayWords(course.daysLeft)} are still to come; this patient is expected to do ${percent(theta)} of them.`,
    link.outcomes === 0
      ? 'The link from doses to softness is a starting guess: the clinic has too few results of its own.'
      : `The link from doses to softness is learned from ${link.outcomes} results of the clinic.`,
    `${doseWords(enough)} is the clinic's setting: no guideline sets a minimum for suction, published courses run from 6 to 20 doses.`,
    cut.words,
  )
  return {
    p,
    ears,
    grounds,
    stillNeeded:
      needed === null || needed === 0 ? null : { doses: needed, days: Math.ceil(needed / plan.dosesADay) },
    firstReadyDay: firstReady?.day ?? null,
    threshold: cut.value,
    ready: p >= cut.value,
    canStillGetThere: needed !== null && needed <= dosesLeft,
    basis: 'doses',
  }
}
