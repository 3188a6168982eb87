/** After a removal: what the next plan needs, and when to invite the patient back. Pure. */
import { Temporal } from 'temporal-polyfill'
import type { SofteningRules } from '../protocol/sections/softening.ts'
import { reasonOf } from './screening.ts'
import type { Ear, IsoDay, Reason } from './types.ts'

/** What the clinician recorded of one ear, as far as the next plan needs it. */
export interface EarResult {
  ear: Ear
  result: 'cleared' | 'part-cleared' | 'not-cleared'
  canal: 'normal' | 'sore' | 'grazed' | 'bleeding'
  drum: 'normal' | 'inflamed' | 'skin-adherent' | 'perforated' | 'healed-perforation' | 'not-seen'
  deadSkinPlug: boolean
}

export interface NextPlan {
  /** Ears that need another visit. */
  ears: Ear[]
  /** Ears of those for which drops wait for a clinician's word. */
  withheldEars: Ear[]
  /** First day on which drops may go in. */
  dropsFrom: IsoDay
  /** First day on which the next visit makes sense. */
  visitFrom: IsoDay
  recurrentDeadSkin: boolean
  reasons: Reason[]
}

const DRUMS_THAT_WITHHOLD: readonly EarResult['drum'][] = ['perforated', 'healed-perforation', 'inflamed']

/**
 * What a part-cleared or not-cleared ear starts; null when every ear is cleared. The most damaged canal
 * sets the rest before drops. `deadSkinBefore` tells that an earlier visit also found a dead-skin plug.
 */
export function nextPlan(
  record: { day: IsoDay; ears: EarResult[]; deadSkinBefore: boolean },
  rules: SofteningRules,
): NextPlan | null {
  const open = record.ears.filter((ear) => ear.result !== 'cleared')
  if (open.length === 0) return null
  const { restDays, partCleared, notCleared, drumWithholds, wholePlanWait } = rules.nextPlan
  const withheld = open.filter((ear) => DRUMS_THAT_WITHHOLD.includes(ear.drum))
  const rests = open.flatMap((ear) => (ear.canal === 'normal' ? [] : [restDays[ear.canal]]))
  const rest = Math.max(1, ...rests.map((rule) => rule.value))
  const dropsFrom = Temporal.PlainDate.from(record.day).add({ days: rest })
  const reasons = [
    ...(open.some((ear) => ear.result === 'part-cleared') ? [partCleared] : []),
    ...(open.some((ear) => ear.result === 'not-cleared') ? [notCleared] : []),
    ...new Set(rests),
    ...(withheld.length > 0 ? [drumWithholds] : []),
  ]
  const deadSkin = record.deadSkinBefore && open.some((ear) => ear.deadSkinPlug)
  const planDays = deadSkin
    ? Math.max(rules.plan.deadSkinDays.value, wholePlanWait.value)
    : wholePlanWait.value
  return {
    ears: open.map((ear) => ear.ear),
    withheldEars: withheld.map((ear) => ear.ear),
    dropsFrom: dropsFrom.toString(),
    visitFrom: dropsFrom.add({ days: planDays }).toString(),
    recurrentDeadSkin: deadSkin,
    reasons: [...reasons.map(reasonOf), ...(deadSkin ? [reasonOf(rules.plan.deadSkinDays)] : [])],
  }
}

export interface Recall {
  intervalDays: number
  /** Own intervals that it was learned from; 0 when it is the clinic's usual one. */
  ownIntervals: number
  visitAround: IsoDay
  inviteOn: IsoDay
  /** First day of drops before that visit. */
  softeningFrom: IsoDay
  words: string
}

/**
 * When to invite a patient back: the geometric mean of their own intervals between removals, drawn towards
 * the clinic's usual interval (which weighs as `defaultWeight` intervals), held within the protocol's
 * bounds. The geometric mean, because intervals are positive and a few are very long. Visits less than the
 * shortest interval apart are one episode (a part-cleared ear seen again), counted from its last visit.
 * Null without any removal.
 */
export function recallInterval(removalDays: readonly IsoDay[], rules: SofteningRules): Recall | null {
  const { defaultDays, shortestDays, longestDays, defaultWeight, inviteDaysBefore } = rules.recall
  const days = [...new Set(removalDays)].toSorted().map((day) => Temporal.PlainDate.from(day))
  const last = days.at(-1)
  if (!last) return null
  const gaps = days
    .slice(1)
    .map((day, i) => (days[i] as Temporal.PlainDate).until(day).days)
    .filter((gap) => gap >= shortestDays.value)
  const weight = gaps.length + defaultWeight.value
  const usual = defaultWeight.value * Math.log(defaultDays.value)
  const learned =
    weight === 0
      ? defaultDays.value
      : Math.exp((usual + gaps.reduce((sum, gap) => sum + Math.log(gap), 0)) / weight)
  const intervalDays = Math.round(Math.min(longestDays.value, Math.max(shortestDays.value, learned)))
  const visit = last.add({ days: intervalDays })
  const softeningDays = rules.agents.find((agent) => agent.advised)?.days ?? 0
  const inviteBefore = Math.max(inviteDaysBefore.value, softeningDays)
  const words =
    gaps.length === 0
      ? `The clinic's usual interval of ${intervalDays} days: this patient has no interval of their own yet.`
      : `About every ${intervalDays} days, learned from ${gaps.length === 1 ? '1 interval' : `${gaps.length} intervals`} of their own and the clinic's usual ${defaultDays.value} days.`
  return {
    intervalDays,
    ownIntervals: gaps.length,
    visitAround: visit.toString(),
    inviteOn: visit.subtract({ days: inviteBefore }).toString(),
    softeningFrom: visit.subtract({ days: softeningDays }).toString(),
    words,
  }
}
