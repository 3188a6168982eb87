/**
 * What the service changed, in a model: unsoftened arrivals and failed visits with it and without it, for the
 * same patients and the same draws. Without it nobody is reminded (the odds of a dose are lower by the odds
 * ratio of text reminders on adherence, 1.68 after correction for publication bias: Thakkar et al., JAMA
 * Intern Med 2016) and no visit is moved. It is a model: it shows that the parts work together, not what a
 * clinic will see.
 */
import { wilson } from '../../src/evidence/statistics.ts'
import { seededRandom } from '../../src/random.ts'
import { drawDoses, drawOutcome, drawSoftness, INVENTED_PATIENTS } from '../../src/softening/model.ts'
import type { Softness } from '../../src/softening/types.ts'
import { doseDraws, type SimulatedPatient } from './patients.ts'

const REMINDER_ODDS_RATIO = 1.68

export interface Arrival {
  patient: SimulatedPatient
  /** Doses really done, with the service. */
  doses: number
  /** Day of the visit as first booked: without the service nothing is moved. */
  bookedFor: string
}

export interface VisitEnd {
  softness: Softness
  result: 'cleared' | 'part-cleared' | 'not-cleared'
}

/** The same draw for the same patient, whatever came before. */
export function arrive(seed: number, reference: string, doses: number): VisitEnd {
  const random = seededRandom(`${seed}/arrive/${reference}`)
  const softness = drawSoftness(random, doses, INVENTED_PATIENTS)
  return { softness, result: drawOutcome(random, softness, INVENTED_PATIENTS) }
}

/** The same draws, dose by dose, with the lower chance, on the days before the visit as first booked. */
function dosesWithoutReminders({ patient, bookedFor }: Arrival): number {
  const odds = patient.theta / Math.max(1e-9, 1 - patient.theta) / REMINDER_ODDS_RATIO
  const days = [...patient.doses].filter(([day]) => day < bookedFor)
  return days.reduce(
    (sum, [day, { planned }]) => sum + drawDoses(doseDraws(patient, day), odds / (1 + odds), planned),
    0,
  )
}

export function effectTable(seed: number, arrivals: readonly Arrival[]): string {
  const ends = {
    'with the service': arrivals.map((one) => arrive(seed, one.patient.reference, one.doses)),
    'without it': arrivals.map((one) => arrive(seed, one.patient.reference, dosesWithoutReminders(one))),
  }
  const share = (list: readonly VisitEnd[], is: (end: VisitEnd) => boolean): string => {
    const k = list.filter(is).length
    if (list.length === 0) return 'none'
    const { low, high } = wilson(k, list.length)
    return `${k}/${list.length} = ${percent(k / list.length)} (${percent(low)} to ${percent(high)})`
  }
  const rows = Object.entries(ends).map(
    ([name, list]) =>
      `  ${name.padEnd(18)}unsoftened ${share(list, (end) => end.softness === 'hard-and-dry')}; not cleared ${share(list, (end) => end.result !== 'cleared')}`,
  )
  return ['A model, not a measurement (95 % Wilson intervals; same patients, same draws):', ...rows].join(
    '\n',
  )
}

const percent = (x: number): string => `${Math.round(x * 100)} %`
