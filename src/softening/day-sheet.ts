/** What the clinician should know before a visit, on one printable line. */
import type { Ear, Readiness, ScreeningOutcome, SofteningPlan, VisitPurpose } from './types.ts'

export interface DaySheetVisit {
  /** Local time, 'HH:MM'. */
  time: string
  name: string
  purpose: VisitPurpose
  ears: Ear[]
  lengthMinutes: number
}

const oneLine = (text: string): string => text.replace(/[\s\p{Cc}]+/gu, ' ').trim()
export const percent = (p: number): string => `${Math.round(p * 100)} %`
const earsWords = (ears: readonly Ear[]): string =>
  ears.length === 2 ? 'both ears' : ears.length === 1 ? `${ears[0]} ear` : 'ear not given'

function dropsWords(outcome: ScreeningOutcome | null, plan: SofteningPlan | null): string {
  if (!outcome) return 'HISTORY NOT ASKED'
  if (!outcome.settled) return 'HISTORY OPEN, no drops advised'
  if (outcome.decision === 'withheld') return 'NO DROPS'
  if (
    !plan ||
    plan.agent === 'none' ||
    (plan.days.length === 0 && plan.ears.every((ear) => ear.keptDoses === 0))
  )
    return 'no drops before this visit'
  return `${plan.agent.replaceAll('-', ' ')}, ${plan.days.length} days`
}

/**
 * One line without breaks: time, name, purpose and ears; drops; readiness; every note of the screening;
 * the longer visit. Warnings are words, never colour.
 */
export function daySheetLine(
  visit: DaySheetVisit,
  outcome: ScreeningOutcome | null,
  plan: SofteningPlan | null = null,
  readiness: Readiness | null = null,
): string {
  const parts = [
    `${visit.time} ${visit.name}, ${visit.purpose}, ${earsWords(visit.ears)}, ${visit.lengthMinutes} min`,
    dropsWords(outcome, plan),
    readiness?.basis === 'doses' ? `soft enough: ${percent(readiness.p)}` : '',
    ...(outcome?.clinicianNotes ?? []),
    outcome && outcome.extraMinutes > 0 ? `allow ${outcome.extraMinutes} min more` : '',
    outcome?.toPerson ? 'A PERSON MUST SETTLE THE HISTORY' : '',
  ]
  return parts.map(oneLine).filter(Boolean).join(' | ')
}
