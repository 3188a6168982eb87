/**
 * The data of the softening room. Everything here survives JSON: calendar days are 'YYYY-MM-DD' in the
 * clinic's zone, instants are ISO strings in UTC, local times are 'HH:MM'.
 */

export const EARS = ['left', 'right'] as const
export type Ear = (typeof EARS)[number]

/** What can be put into an ear to soften a plug; `none` when no drops are advised. */
export const DROPS = ['olive-oil', 'almond-oil', 'sodium-bicarbonate', 'saline', 'water'] as const
export type Drops = (typeof DROPS)[number]
export type Agent = Drops | 'none'

/** Kinds of history that weigh on a plan or on the urgency of a reply. */
export const HISTORY_KINDS = [
  'perforation',
  'recent-perforation',
  'surgery',
  'grommets',
  'infection',
  'discharge',
  'allergy',
  'drops-reaction',
  'only-hearing-ear',
  'immunocompromised',
  'anticoagulant',
  'diabetes',
] as const
export type HistoryKind = (typeof HISTORY_KINDS)[number]

export const VISIT_PURPOSES = ['assessment', 'removal', 'recheck'] as const
export type VisitPurpose = (typeof VISIT_PURPOSES)[number]

export type IsoDay = string
export type IsoInstant = string
export type LocalTime = string

/** A rule that had a say, with its own words and its source in words. */
export interface Reason {
  rule: string
  text: string
  source: string
}

// Screening

export const ANSWERS = ['yes', 'no', 'unsure'] as const
export type ScreeningAnswerValue = (typeof ANSWERS)[number]

/** One answer to one question. */
export interface ScreeningAnswer {
  question: string
  answer: ScreeningAnswerValue
  /** 2 once the second wording was asked; after that an unclear answer goes to a person. */
  asked: 1 | 2
  /** The patient's own words, where they wrote any; shown to the clinician, never judged here. */
  words?: string
}

export const SCREENING_DECISIONS = ['as-planned', 'other-agent', 'withheld'] as const
export type ScreeningDecision = (typeof SCREENING_DECISIONS)[number]

export interface ScreeningOutcome {
  decision: ScreeningDecision
  agent: Agent
  /** Every agent that the answers leave allowed, best first; empty when withheld. */
  allowed: Drops[]
  reasons: Reason[]
  clinicianNotes: string[]
  /** Minutes that the visit should be longer than usual. */
  extraMinutes: number
  /** Dead skin is to be expected: the plan is the longer one. */
  longerPlan: boolean
  /** Ids of the questions whose second wording is to be sent now. */
  askAgain: string[]
  /** Ids of the questions that apply and have no answer yet. */
  unanswered: string[]
  /** True when a person at the clinic must look before anything goes on. */
  toPerson: boolean
  risks: HistoryKind[]
  /** False while something is still to be asked: until then nothing is advised. */
  settled: boolean
}

// The plan

export interface EarPlan {
  ear: Ear
  /** Doses done before a moved visit that are recent enough to count. */
  keptDoses: number
  /** Doses that the days of this plan still hold. */
  plannedDoses: number
}

export const PLAN_FITS = ['full', 'short', 'nothing-fits', 'withheld', 'not-for-this-visit'] as const
export type PlanFit = (typeof PLAN_FITS)[number]

export interface SofteningPlan {
  agent: Agent
  dropsADose: number
  dosesADay: number
  /** Calendar days in the clinic's zone, in order; empty when there is nothing to do at home. */
  days: IsoDay[]
  /** Days that a whole plan would hold. */
  wantedDays: number
  /** What was done before this plan, as it was given; the next plan needs it too. */
  previousDoses: PreviousDoses[]
  /** Days with drops before this plan that count towards the agent's longest course. */
  courseDaysBefore: number
  /** The last day with drops before this plan, or null. */
  lastDropDay: IsoDay | null
  visitDay: IsoDay
  ears: EarPlan[]
  fit: PlanFit
  /** Plain sentences for the patient, in order. */
  instructions: string[]
  /** When to stop and whom to tell, in plain sentences. */
  stopRules: string[]
  reasons: Reason[]
  withheldReason: string | null
}

/** Doses done on a day of an earlier plan. */
export interface PreviousDoses {
  day: IsoDay
  ear: Ear
  doses: number
  /**
   * Drops may have gone in, but no dose of this day counts: nothing was said of it, or a removal lies
   * between. It still counts towards the agent's longest course.
   */
  usedOnly?: true
}

export interface Reminder {
  day: IsoDay
  kind: 'dose-reminder' | 'dose-question'
  at: IsoInstant
}

// Adherence

/**
 * What is known of one ear on one calendar day of a plan. `exact`: the patient gave a number; `some`: they
 * said yes, or some, without a number; `silent`: asked, and no answer by the deadline.
 */
export interface DoseDay {
  day: IsoDay
  planned: number
  answer: { kind: 'exact'; doses: number } | { kind: 'some' } | { kind: 'silent' }
}

/** A patient's finished plan, as the prior learns from it. */
export interface DoseHistory {
  days: Array<
    DoseDay & {
      /** What was learned later of a silent day (a late answer, or asked at the visit). */ later?: number
    }
  >
}

/**
 * The clinic's model of adherence. Each due dose is done with a chance theta ~ Beta(a, b), one theta a
 * patient; a day on which a share x of the doses was done stays silent with chance
 * silentNone + (silentAll - silentNone) x.
 */
export interface AdherenceModel {
  a: number
  b: number
  silentNone: number
  silentAll: number
  /** Chance that a dose not done is reported as done; the clinic's setting. */
  overclaim: number
  /** Patients whose history it was fitted on; 0 for the weak default. */
  patients: number
}

/** The link from doses to softness: P(soft enough | doses e) = 1 / (1 + exp(-(intercept + slope e))). */
export interface SoftnessLink {
  intercept: number
  slope: number
  /** Outcomes it was fitted on; 0 for the weak default. */
  outcomes: number
}

export const SOFTNESS = ['soft', 'firm', 'hard-and-dry'] as const
export type Softness = (typeof SOFTNESS)[number]

// Readiness

export interface EarDoseDays {
  ear: Ear
  /** Plan days that have been answered, or whose question is past its deadline. */
  days: DoseDay[]
}

export interface ReadinessInput {
  plan: SofteningPlan
  /** Today in the clinic's zone. */
  today: IsoDay
  /** One entry an ear of the plan; an ear without days has said nothing yet. */
  doseDays: EarDoseDays[]
}

export interface EarReadiness {
  ear: Ear
  p: number
  /** P(at least the clinic's number of doses by the visit). */
  pEnoughDoses: number
  /** Doses done up to now: mean and exact 90 % interval. */
  doses: { mean: number; low: number; high: number; outOf: number }
  /** Doses still to come in the plan. */
  dosesLeft: number
}

export interface Readiness {
  /** The less ready ear decides. */
  p: number
  ears: EarReadiness[]
  grounds: string[]
  /** Doses that must still really be done to pass the threshold; null when none must, or none can help. */
  stillNeeded: { doses: number; days: number } | null
  /** First day on which a visit would pass the threshold if the plan goes on; null when none within the horizon. */
  firstReadyDay: IsoDay | null
  threshold: number
  ready: boolean
  /** Whether doing every remaining dose before the visit as booked would reach the threshold. */
  canStillGetThere: boolean
  /** `no-drops`: none are advised, so none can make this ear ready. `not-needed`: the visit needs none. */
  basis: 'doses' | 'no-drops' | 'not-needed'
}

export interface DayReadiness {
  day: IsoDay
  p: number
}
