/**
 * A model of patients, for the simulation and for checking the mathematics against a known truth. It is a
 * model: its numbers are invented unless a source stands beside them, and nothing it prints is evidence of
 * what happens in a clinic.
 *
 *   behaviour  theta ~ Beta(a, b), one a patient; each dose is done with chance theta   (form: common; a, b invented)
 *   answers    a day stays silent with s(d) between silentNone and silentAll; a dose not done is claimed
 *              with chance overclaim; some answers are a bare yes                        (all invented)
 *   softness   soft enough with chance logistic(intercept + slope doses); such an ear is soft or firm, any
 *              other is hard and dry                                                     (all invented)
 *   outcome    cleared, part-cleared or not cleared, by softness. Soft and firm ears together are cleared
 *              with chance 0.91, the share cleared by suction in J Laryngol Otol 2014 (n=159); the rest invented
 */
import type { Random } from '../random.ts'
import { silentChance } from './adherence.ts'
import { chanceSoft } from './softness.ts'
import type { AdherenceModel, DoseDay, IsoDay, Softness, SoftnessLink } from './types.ts'

export interface PatientModel {
  adherence: AdherenceModel
  /** Chance that an answer of at least one dose is a bare yes without a number. */
  bareYes: number
  link: SoftnessLink
  /** Chance that an ear that is soft enough is firm rather than soft. */
  firmIfSoftEnough: number
  /** Chance of [cleared, part-cleared]; the rest is not cleared. */
  outcomeBySoftness: Record<Softness, [cleared: number, partCleared: number]>
}

/** The model as simulated. Invented where the list above says so. */
export const INVENTED_PATIENTS: PatientModel = {
  adherence: { a: 2.4, b: 0.8, silentNone: 0.55, silentAll: 0.2, overclaim: 0, patients: 0 },
  bareYes: 0.15,
  link: { intercept: -1, slope: 0.32, outcomes: 0 },
  firmIfSoftEnough: 0.3,
  outcomeBySoftness: { soft: [0.94, 0.05], firm: [0.84, 0.12], 'hard-and-dry': [0.4, 0.35] },
}

/** How often this patient does a dose. */
export const drawTheta = (random: Random, model: PatientModel): number =>
  random.beta(model.adherence.a, model.adherence.b)

/** Doses really done on a day. */
export const drawDoses = (random: Random, theta: number, planned: number): number =>
  random.binomial(planned, theta)

/** What the patient says of a day on which `done` of `planned` doses were done. */
export function drawAnswer(
  random: Random,
  done: number,
  planned: number,
  model: PatientModel,
): DoseDay['answer'] {
  if (random.chance(silentChance(model.adherence, done, planned))) return { kind: 'silent' }
  const claimed = done + random.binomial(planned - done, model.adherence.overclaim)
  if (claimed > 0 && random.chance(model.bareYes)) return { kind: 'some' }
  return { kind: 'exact', doses: claimed }
}

export interface TrueDoseDays {
  theta: number
  /** Doses really done, a day. */
  done: number[]
  days: DoseDay[]
}

/** A whole plan as it really went, and what was said of it. */
export function drawPlan(
  random: Random,
  days: readonly IsoDay[],
  dosesADay: number,
  model: PatientModel,
): TrueDoseDays {
  const theta = drawTheta(random, model)
  const done = days.map(() => drawDoses(random, theta, dosesADay))
  return {
    theta,
    done,
    days: days.map((day, i) => ({
      day,
      planned: dosesADay,
      answer: drawAnswer(random, done[i] as number, dosesADay, model),
    })),
  }
}

/** What the clinician finds on arrival. */
export function drawSoftness(random: Random, doses: number, model: PatientModel): Softness {
  if (!random.chance(chanceSoft(model.link, doses))) return 'hard-and-dry'
  return random.chance(model.firmIfSoftEnough) ? 'firm' : 'soft'
}

/** How the removal ends. */
export function drawOutcome(
  random: Random,
  softness: Softness,
  model: PatientModel,
): 'cleared' | 'part-cleared' | 'not-cleared' {
  const [cleared, partCleared] = model.outcomeBySoftness[softness]
  const u = random.uniform()
  return u < cleared ? 'cleared' : u < cleared + partCleared ? 'part-cleared' : 'not-cleared'
}
