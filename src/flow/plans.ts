/** From a settled history to a plan with all its messages, in one transaction; and what the dose days say since. */
import { Temporal } from 'temporal-polyfill'
import { recordsOfPatient } from '../aftercare/store.ts'
import { endDeskItems, putOnDesk } from '../desk/store.ts'
import { nextAllowed } from '../messages/quiet-hours.ts'
import { cancelMessages, withdrawQuestions } from '../messages/store.ts'
import { dayWords, earWords, timesWords, whenWords } from '../messages/words.ts'
import { beforeRemoval, planSoftening, previousDosesOf } from '../softening/plan.ts'
import { defaultModel } from '../softening/prior.ts'
import { readiness } from '../softening/readiness.ts'
import { instantOutsideQuiet, remindersFor } from '../softening/reminders.ts'
import { defaultLink } from '../softening/softness.ts'
import {
  currentPlan,
  doseDayRows,
  endPlan,
  getModel,
  knownDays,
  lastPlanOf,
  planById,
  plansOnHeldVisits,
  recordDoses,
  savePlan,
  saveReadiness,
  withholdPlan,
} from '../softening/store.ts'
import type {
  AdherenceModel,
  Ear,
  EarDoseDays,
  PreviousDoses,
  ScreeningOutcome,
  SofteningPlan,
  SoftnessLink,
} from '../softening/types.ts'
import type { Patient, Visit } from '../visits/store.ts'
import { dayOf, earsOf, type Flow, tell } from './context.ts'

/** The plan's messages that are not asked again once the plan has gone. */
const PLAN_MESSAGES_STAY = ['plan-withheld', 'plan-paused', 'plan-changed'] as const

/** Plans the drops for this visit from the history's outcome; takes the place of any earlier plan. */
export async function makePlan(
  flow: Flow,
  visit: Visit,
  patient: Patient,
  outcome: ScreeningOutcome,
  { changed = false }: { changed?: boolean } = {},
): Promise<SofteningPlan> {
  const previousDoses = await dosesBefore(flow, patient.patientId)
  await dropPlanMessages(flow, visit.visitId)
  for (const { visitId } of await plansOnHeldVisits(flow, patient.patientId)) {
    await dropPlanMessages(flow, visitId)
    await endPlan(flow, visitId, 'replaced')
  }
  const detail = planSoftening(
    {
      outcome,
      visitStart: visit.startAt,
      zone: flow.clinic.zone,
      now: flow.now,
      purpose: visit.purpose,
      ears: earsOf(visit),
      urgent: visit.urgent,
      previousDoses,
      recurrentDeadSkin: visit.recurrent || (await deadSkinKeepsComing(flow, visit)),
    },
    flow.rules.softening,
  )
  const planId = await savePlan(flow, visit, detail)
  flow.audit({
    actor: 'service',
    action: 'plan drops',
    patientId: patient.patientId,
    subject: `visit:${visit.visitId}`,
    detail: { fit: detail.fit, agent: detail.agent, days: detail.days.length },
  })
  await endDeskItems(flow, visit.visitId, ['drops-withheld'])
  if (detail.fit === 'withheld') await tellWithheld(flow, visit, patient, planId, detail)
  else if (detail.days.length === 0) {
    await tell(
      flow,
      patient,
      'plan-none-needed',
      { when: whenWords(visit.startAt, flow.clinic.zone) },
      { dedupe: `plan-none/${planId}`, visitId: visit.visitId, planId },
    )
  } else await tellPlan(flow, visit.visitId, patient, planId, detail, changed ? visit : null)
  await refreshReadiness(flow, planId)
  return detail
}

/** Two earlier visits or more found a plug of dead skin in an ear that this one is for. */
async function deadSkinKeepsComing(flow: Flow, visit: Visit): Promise<boolean> {
  const found = (await recordsOfPatient(flow, visit.patientId)).filter(
    ({ visitId, record }) => visitId !== visit.visitId && record.found.includes('skin-plug'),
  )
  const visits = (ear: Ear): number =>
    new Set(found.filter(({ record }) => record.ear === ear).map(({ visitId }) => visitId)).size
  return earsOf(visit).some((ear) => visits(ear) >= 2)
}

/**
 * What the patient's last plan leaves to the next, whichever visit it was for. A plan that ended with its
 * removal has softened what is gone: it only counts towards how long an agent was used.
 */
export async function dosesBefore(flow: Flow, patientId: string): Promise<PreviousDoses[]> {
  const last = await lastPlanOf(flow, patientId)
  if (!last) return []
  const today = dayOf(flow, flow.now).toString()
  const previous = previousDosesOf(last.plan, await daysKnown(flow, last.planId), today)
  return last.status === 'done' ? beforeRemoval(previous) : previous
}

/** Ends the plan of a visit that will not be held, and everything queued for it. */
export async function cancelPlan(flow: Flow, visitId: string): Promise<void> {
  await dropPlanMessages(flow, visitId)
  await endPlan(flow, visitId, 'cancelled')
}

async function dropPlanMessages(flow: Flow, visitId: string): Promise<void> {
  const before = await currentPlan(flow, visitId)
  if (!before) return
  await withdrawQuestions(flow, { planId: before.planId, kinds: ['dose', 'softened'] })
  await cancelMessages(flow, { planId: before.planId })
}

async function tellWithheld(
  flow: Flow,
  visit: Visit,
  patient: Patient,
  planId: string,
  detail: SofteningPlan,
) {
  await tell(
    flow,
    patient,
    'plan-withheld',
    {
      reason: 'Your answers tell us that drops may not be right for this ear.',
      when: whenWords(visit.startAt, flow.clinic.zone),
    },
    { dedupe: `plan-withheld/${planId}`, visitId: visit.visitId, planId },
  )
  await putOnDesk(flow, {
    dedupe: `drops-withheld/${planId}`,
    kind: 'drops-withheld',
    patientId: patient.patientId,
    visitId: visit.visitId,
    note: detail.withheldReason ?? '',
    dueAt: visit.startAt,
  })
}

/** The plan itself, then each day's reminder and question. `moved` is the visit when its move changed the plan. */
export async function tellPlan(
  flow: Flow,
  visitId: string,
  patient: Patient,
  planId: string,
  detail: SofteningPlan,
  moved: Visit | null,
): Promise<void> {
  const { zone, settings } = flow.clinic
  const [first, last] = [detail.days[0] as string, detail.days.at(-1) as string]
  const agent = flow.rules.softening.agents.find((row) => row.id === detail.agent)
  const values = {
    agent: agent?.name ?? detail.agent,
    ears: earWords(detail.ears.map(({ ear }) => ear)),
    firstDay: dayWords(Temporal.PlainDate.from(first)),
    lastDay: dayWords(Temporal.PlainDate.from(last)),
    drops: detail.dropsADose,
    doses: timesWords(detail.dosesADay),
    minutes: '5 to 10',
  }
  const plan = { visitId, planId, advisesDrops: true, expiresAt: endOfDay(last, zone) }
  const evening = flow.rules.softening.reminders.doseQuestionAt.value
  const dayBefore = Temporal.PlainDate.from(first).subtract({ days: 1 }).toString()
  const wished = instantOutsideQuiet(dayBefore, evening, zone, settings.quietHours) ?? flow.now
  const dueAt = Temporal.Instant.compare(wished, flow.now) > 0 ? wished : flow.now
  if (moved) {
    const when = whenWords(moved.startAt, zone)
    await tell(
      flow,
      patient,
      'plan-changed',
      { ...values, when },
      { ...plan, dedupe: `plan-changed/${planId}` },
    )
  } else {
    await tell(flow, patient, 'plan-start', values, { ...plan, dueAt, dedupe: `plan-start/${planId}` })
  }
  if (detail.agent === 'almond-oil') {
    await tell(
      flow,
      patient,
      'plan-allergy',
      {},
      { ...plan, dueAt, advisesDrops: false, dedupe: `plan-allergy/${planId}` },
    )
  }
  const when = { zone, quiet: settings.quietHours, now: flow.now }
  for (const reminder of remindersFor(detail, when, flow.rules.softening)) {
    const due = Temporal.Instant.from(reminder.at)
    const closesAt = answerBy(flow, reminder.day)
    const asks = reminder.kind === 'dose-question'
    await tell(
      flow,
      patient,
      reminder.kind,
      { ears: values.ears, doses: detail.dosesADay },
      {
        dedupe: `${reminder.kind}/${planId}/${reminder.day}`,
        visitId,
        planId,
        day: reminder.day,
        dueAt: due,
        // A reminder of yesterday's drops is worse than none.
        expiresAt: endOfDay(reminder.day, zone),
        advisesDrops: true,
        ...(asks
          ? {
              question: {
                kind: 'dose',
                visitId,
                planId,
                day: reminder.day,
                closesAt,
                detail: { doses: detail.dosesADay },
              },
            }
          : { linkUntil: closesAt }),
      },
    )
  }
}

const endOfDay = (day: string, zone: string): Temporal.Instant =>
  Temporal.PlainDate.from(day).add({ days: 1 }).toZonedDateTime(zone).toInstant()

/** From here on a day without an answer counts as silent. */
export function answerBy(flow: Pick<Flow, 'clinic' | 'rules'>, day: string): Temporal.Instant {
  const { reminders } = flow.rules.softening
  return Temporal.PlainDate.from(day)
    .toZonedDateTime({
      timeZone: flow.clinic.zone,
      plainTime: Temporal.PlainTime.from(reminders.doseQuestionAt.value),
    })
    .toInstant()
    .add({ hours: reminders.answerDeadlineHours.value })
}

/** The clinic's models: learned, or the documented weak defaults. */
export async function modelsOf(
  flow: Pick<Flow, 'tx' | 'rules'>,
): Promise<{ adherence: AdherenceModel; link: SoftnessLink }> {
  const { adherence, readiness: rules } = flow.rules.softening
  return (await getModel(flow)) ?? { adherence: defaultModel(adherence), link: defaultLink(rules) }
}

/** What is known of a plan's days at this instant. */
export async function daysKnown(flow: Flow, planId: string): Promise<EarDoseDays[]> {
  const rows = await doseDayRows(flow, [planId])
  return knownDays(rows, (day) => Temporal.Instant.compare(answerBy(flow, day), flow.now) <= 0)
}

/** Computes the readiness anew from the plan's days and stores it with its grounds. */
export async function refreshReadiness(flow: Flow, planId: string): Promise<void> {
  const stored = await planById(flow, planId)
  if (!stored) return
  const { adherence, link } = await modelsOf(flow)
  const input = {
    plan: stored.plan,
    doseDays: await daysKnown(flow, planId),
    today: dayOf(flow, flow.now).toString(),
  }
  await saveReadiness(flow, planId, readiness(input, flow.rules.softening, adherence, link))
}

/** Stores what the patient said of a day and computes the readiness anew. `done` null: some, without a number. */
export async function noteDoses(
  flow: Flow,
  planId: string,
  day: string,
  said: { ears: Ear[] | null; done: number | null; replyId: string | null },
): Promise<void> {
  const stored = await planById(flow, planId)
  if (!stored) return
  const ears = said.ears ?? stored.plan.ears.map(({ ear }) => ear)
  await recordDoses(flow, planId, day, { ...said, ears })
  await refreshReadiness(flow, planId)
}

/** Stops the drops until a clinician says otherwise, because of what the patient wrote. */
export async function pausePlan(flow: Flow, visit: Visit, patient: Patient, why: string): Promise<boolean> {
  const stored = await currentPlan(flow, visit.visitId)
  if (stored?.status !== 'active' || stored.plan.days.length === 0) return false
  await withdrawQuestions(flow, { planId: stored.planId, kinds: ['dose', 'softened'] })
  await cancelMessages(flow, { planId: stored.planId, except: [...PLAN_MESSAGES_STAY] })
  await withholdPlan(flow, stored, why)
  await putOnDesk(flow, {
    dedupe: `drops-paused/${stored.planId}`,
    kind: 'drops-withheld',
    patientId: patient.patientId,
    visitId: visit.visitId,
    note: why,
    dueAt: visit.startAt,
  })
  flow.audit({
    actor: 'service',
    action: 'pause drops',
    patientId: patient.patientId,
    subject: `visit:${visit.visitId}`,
  })
  return true
}

/** An hour at which a text may go out: this instant, or the end of the quiet hours. */
export const allowedAt = (flow: Flow, at: Temporal.Instant): Temporal.Instant =>
  nextAllowed(at, flow.clinic.zone, flow.clinic.settings.quietHours)
