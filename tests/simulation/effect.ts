/**
 * What the service changed, in a model: unsoftened arrivals and failed visits with it and without it, for the same
 * patients, the same visits and the same draws. Without it every patient is told at booking to use the drops that
 * the protocol puts first, on its days before the visit as booked; nobody asks a history, nobody is reminded (the
 * odds of a dose are lower by the odds ratio of text reminders on adherence, 1.68 after correction for publication
 * bias: Thakkar et al., JAMA Intern Med 2016), and no visit is moved because of the drops. So those whom the
 * service tells to use none count against it as unsoftened; what it spares them is the last row. It is a model: it
 * shows that the parts work together, not what a clinic will see.
 */
import type { Temporal } from 'temporal-polyfill'
import { wilson } from '../../src/evidence/statistics.ts'
import { softeningDefaults } from '../../src/protocol/sections/softening.ts'
import { seededRandom } from '../../src/random.ts'
import { drawDoses, drawOutcome, drawSoftness, INVENTED_PATIENTS } from '../../src/softening/model.ts'
import type { Softness } from '../../src/softening/types.ts'
import { doseDraws, type SimulatedPatient } from './patients.ts'

const REMINDER_ODDS_RATIO = 1.68

export interface Arrival {
  patient: SimulatedPatient
  /** Doses really done, with the service. */
  doses: number
  /** The days, oldest first, on which drops would have gone in at home without the service. */
  daysWithout: string[]
  /** Whether the history was settled in time; where not, the service advised no drops. */
  historyKnown: boolean
}

export interface VisitEnd {
  softness: Softness
  result: 'cleared' | 'part-cleared' | 'not-cleared'
}

/** The same draws for the same patient, whatever came before: what one draw uses does not shift the next. */
export function arrive(seed: number, reference: string, doses: number): VisitEnd {
  const random = seededRandom(`${seed}/arrive/${reference}`)
  const softness = drawSoftness(random.fork('softness'), doses, INVENTED_PATIENTS)
  return { softness, result: drawOutcome(random.fork('outcome'), softness, INVENTED_PATIENTS) }
}

/** The days that the advice at booking names: the first agent's, before the visit, not before the booking. */
export function daysAdvisedAtBooking(bookedOn: Temporal.PlainDate, visitDay: Temporal.PlainDate): string[] {
  const count = Math.min(AGENT.days, Math.max(0, bookedOn.until(visitDay).days))
  return Array.from({ length: count }, (_, i) => visitDay.subtract({ days: count - i }).toString())
}

const [AGENT] = softeningDefaults.agents.filter(({ advised }) => advised) as [
  (typeof softeningDefaults.agents)[number],
]

/** The same draws, dose by dose, with the lower chance of a patient whom nobody reminds. */
export function dosesUnreminded(patient: SimulatedPatient, days: readonly string[]): number {
  const odds = patient.theta / Math.max(1e-9, 1 - patient.theta) / REMINDER_ODDS_RATIO
  return days.reduce(
    (sum, day) => sum + drawDoses(doseDraws(patient, day), odds / (1 + odds), AGENT.dosesADay),
    0,
  )
}

/** One row a side and one for what the drops could have harmed; then how many visits went each way. */
export function effectTable(seed: number, arrivals: readonly Arrival[]): string {
  const sides = arrivals.map(({ patient, doses, daysWithout, historyKnown }) => {
    const unreminded = dosesUnreminded(patient, daysWithout)
    return {
      patient,
      historyKnown,
      with: { doses, ...arrive(seed, patient.reference, doses) },
      without: { doses: unreminded, ...arrive(seed, patient.reference, unreminded) },
    }
  })
  type Side = (typeof sides)[number]
  const share = (list: readonly Side[], is: (side: Side) => boolean): string => {
    const k = list.filter(is).length
    if (list.length === 0) return 'none'
    const { low, high } = wilson(k, list.length)
    return `${k}/${list.length} = ${percent(k / list.length)} (${percent(low)} to ${percent(high)})`
  }
  const row = (name: 'with' | 'without', list: readonly Side[]): string =>
    `  ${`${name} the service`.padEnd(21)}unsoftened ${share(list, (one) => isHard(one[name]))}; not cleared ${share(list, (one) => hasFailed(one[name]))}`
  const forbidden = sides.filter(({ patient }) => patient.contraindicated)
  const advised = sides.filter(({ patient }) => !patient.contraindicated)
  const spared = (name: 'with' | 'without'): string => share(forbidden, (one) => one[name].doses > 0)
  return [
    'A model, not a measurement (95 % Wilson intervals; the same patients, visits and draws):',
    `All ${sides.length} visits that were held, those for which the service advised no drops included:`,
    row('with', sides),
    row('without', sides),
    `  each visit by itself: ${paired(sides, isHard, 'unsoftened')}; ${paired(sides, hasFailed, 'not cleared')}`,
    `The ${advised.length} of them whose ears may have drops (${advised.filter((one) => !one.historyKnown).length} never answered the history, so that the service advised none):`,
    row('with', advised),
    row('without', advised),
    `The ${forbidden.length} whose ears must not have drops, and had some: with the service ${spared('with')}; without it ${spared('without')}`,
  ].join('\n')

  function paired(list: readonly Side[], is: (end: VisitEnd) => boolean, what: string): string {
    const better = list.filter((one) => is(one.without) && !is(one.with)).length
    const worse = list.filter((one) => !is(one.without) && is(one.with)).length
    const changed = better + worse
    if (changed === 0) return `none changed sides as to "${what}"`
    const { low, high } = wilson(better, changed)
    return `${better} no longer ${what}, ${worse} now ${what} (${percent(low)} to ${percent(high)} of those that changed got better)`
  }
}

const isHard = ({ softness }: VisitEnd): boolean => softness === 'hard-and-dry'
const hasFailed = ({ result }: VisitEnd): boolean => result !== 'cleared'
const percent = (x: number): string => `${Math.round(x * 100)} %`
