/** What a procedure leads to: the next softening, the next visit, and what the next clinician should know. */
import { type AftercareRules, DROPS_ADVICE, type DropsAdvice } from '../protocol/sections/aftercare.ts'
import type { Ear, VisitPurpose } from '../softening/types.ts'
import { type EarReason, earDifficulty, holds, reasonFor } from './difficulty.ts'
import type { EarRecord, ProcedureRecord } from './record.ts'

export interface EarAfterwards {
  ear: Ear
  /** What drops may do in this ear from now on, whether or not any are planned. */
  drops: DropsAdvice
  /** `start` the next plan; `ask-clinician` before any; `withheld`: none; `not-needed`: the ear is clear. */
  softening: 'start' | 'ask-clinician' | 'withheld' | 'not-needed'
  reasons: EarReason[]
}

export interface NextVisit {
  purpose: VisitPurpose
  ears: Ear[]
  reasons: EarReason[]
}

export interface Afterwards {
  ears: EarAfterwards[]
  /** The visit to ask the patient for, or null. */
  visit: NextVisit | null
  notes: EarReason[]
}

export function afterwards(record: ProcedureRecord, rules: AftercareRules): Afterwards {
  return {
    ears: record.ears.map((ear) => earAfterwards(ear, rules)),
    visit: nextVisit(record, rules),
    notes: record.ears.flatMap((ear) =>
      rules.notes.filter(({ when }) => holds(when, ear)).map((rule) => reasonFor(rule, ear.ear)),
    ),
  }
}

/** The strictest row about drops wins. */
function earAfterwards(ear: EarRecord, rules: AftercareRules): EarAfterwards {
  const level = earDifficulty(ear, rules).level
  const held = rules.drops.filter(({ when }) => holds(when, ear, level))
  const drops = held.reduce<DropsAdvice>(
    (strictest, rule) =>
      DROPS_ADVICE.indexOf(rule.drops) > DROPS_ADVICE.indexOf(strictest) ? rule.drops : strictest,
    'allowed',
  )
  return {
    ear: ear.ear,
    drops,
    softening: ear.result === 'cleared' ? 'not-needed' : drops === 'allowed' ? 'start' : drops,
    reasons: held.map((rule) => reasonFor(rule, ear.ear)),
  }
}

/** The strongest purpose first: an ear that must be looked at is not booked for removal. */
const STRENGTH: readonly VisitPurpose[] = ['recheck', 'removal', 'assessment']

/** One visit serves both ears, for the strongest purpose of the two; null when neither needs one. */
export function nextVisit(record: ProcedureRecord, rules: AftercareRules): NextVisit | null {
  const needs = record.ears.flatMap((ear) => {
    const level = earDifficulty(ear, rules).level
    return rules.visits
      .filter(({ when }) => holds(when, ear, level))
      .map((rule) => ({ purpose: rule.purpose, ear: ear.ear, reason: reasonFor(rule, ear.ear) }))
  })
  const strongest = needs
    .map(({ purpose }) => purpose)
    .sort((a, b) => STRENGTH.indexOf(b) - STRENGTH.indexOf(a))[0]
  if (strongest === undefined) return null
  return {
    purpose: strongest,
    ears: [...new Set(needs.map(({ ear }) => ear))],
    reasons: needs.map(({ reason }) => reason),
  }
}

/** The purpose to ask a visit for, or null when none is needed. */
export const nextVisitPurpose = (record: ProcedureRecord, rules: AftercareRules): VisitPurpose | null =>
  nextVisit(record, rules)?.purpose ?? null
