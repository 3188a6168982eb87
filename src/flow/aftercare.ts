/** From the procedure record to the checks, the next plan and the next visit; and what silence after it means. */
import { Temporal } from 'temporal-polyfill'
import { afterwards } from '../aftercare/afterwards.ts'
import { checkPlan, silenceRule } from '../aftercare/checks.ts'
import { difficulty, earDifficulty } from '../aftercare/difficulty.ts'
import type { EarRecord, ProcedureRecord } from '../aftercare/record.ts'
import {
  cancelChecks,
  checksOfVisit,
  insertCheck,
  recordsOfPatient,
  saveEar,
  setCheckMissed,
  unansweredChecks,
} from '../aftercare/store.ts'
import { silenceIsOpen } from '../concerns/store.ts'
import { putOnDesk } from '../desk/store.ts'
import { cancelMessages, withdrawQuestions } from '../messages/store.ts'
import { dayWords, earWords, timesWords } from '../messages/words.ts'
import type { DifficultyLevel } from '../protocol/sections/aftercare.ts'
import { type NextPlan, nextPlan } from '../softening/afterwards.ts'
import { planSoftening } from '../softening/plan.ts'
import { endPlan, getScreening, savePlan } from '../softening/store.ts'
import type { Ear } from '../softening/types.ts'
import { Trouble } from '../trouble.ts'
import {
  changeVisit,
  getPatient,
  getVisit,
  lockVisit,
  type Patient,
  setRisks,
  type Visit,
} from '../visits/store.ts'
import { raiseConcern } from './concerns.ts'
import { dayOf, type Flow, tell } from './context.ts'
import { dosesBefore, refreshReadiness, tellPlan } from './plans.ts'
import { withdrawMove } from './visits.ts'

/** How long a check may still be answered after it counts as unanswered, hours. */
const LATE_HOURS = 24 * 7

/** Stores what was found and done, ends the plan, plans the checks and whatever the ears still need. */
export async function recordProcedure(
  flow: Flow,
  visitId: string,
  record: ProcedureRecord,
  staffId: string,
): Promise<void> {
  const visit = await lockVisit(flow, visitId)
  if (!visit || visit.status === 'cancelled')
    throw new Trouble('This visit is cancelled: nothing can be recorded for it.')
  const patient = await getPatient(flow, visit.patientId)
  if (!patient) throw new Trouble('This visit has no patient any more.')
  const rules = flow.rules.aftercare
  const level = difficulty(record, rules).level
  const earlier = (await recordsOfPatient(flow, patient.patientId)).filter((one) => one.visitId !== visitId)
  for (const ear of record.ears) {
    await saveEar(flow, visit, {
      record: ear,
      difficulty: earDifficulty(ear, rules).level,
      byStaff: staffId,
      doneAt: doneAt(flow, visit),
    })
  }
  const done = visit.status === 'done' ? visit : await changeVisit(flow, visit, { status: 'done' })
  await withdrawMove(flow, visitId)
  await withdrawQuestions(flow, { visitId })
  await cancelMessages(flow, { visitId })
  await cancelChecks(flow, visitId)
  await endPlan(flow, visitId, 'done')
  flow.audit({
    actor: `staff:${staffId}`,
    action: 'record procedure',
    patientId: patient.patientId,
    subject: `visit:${visitId}`,
    detail: { difficulty: level, results: record.ears.map((ear) => ear.result) },
  })
  await noteDrum(flow, patient, record)
  await planChecks(flow, done, patient, record, level)
  const deadSkinBefore = earlier.some((one) => one.record.found.includes('skin-plug'))
  await goOn(flow, done, patient, record, deadSkinBefore)
}

/** A hole seen in the drum is a risk from now on, for the drops and for reading replies. */
async function noteDrum(flow: Flow, patient: Patient, record: ProcedureRecord): Promise<void> {
  const seen = record.ears.flatMap(({ drum }) =>
    drum === 'perforated'
      ? ['perforation', 'recent-perforation']
      : drum === 'healed-perforation'
        ? ['perforation']
        : [],
  )
  if (seen.length > 0) await setRisks(flow, patient.patientId, [...new Set([...patient.risks, ...seen])])
}

/** A record may be written hours after the visit: checks, recall and evidence count from the visit itself. */
function doneAt(flow: Flow, visit: Visit): Temporal.Instant {
  const end = visit.startAt.add({ minutes: visit.minutes })
  return Temporal.Instant.compare(end, flow.now) < 0 ? end : flow.now
}

async function planChecks(
  flow: Flow,
  visit: Visit,
  patient: Patient,
  record: ProcedureRecord,
  level: DifficultyLevel,
): Promise<void> {
  const { zone, settings } = flow.clinic
  const times = { doneAt: doneAt(flow, visit), recordedAt: flow.now, zone, quietHours: settings.quietHours }
  for (const check of checkPlan(record, times, flow.rules.aftercare)) {
    const { visitId } = visit
    const checkId = await insertCheck(flow, {
      visitId,
      patientId: patient.patientId,
      number: check.number,
      dueAt: check.due,
      difficulty: level,
    })
    await askCheck(flow, visit, patient, { checkId, due: check.due, ears: earWords(check.ears) })
  }
}

/** The check's text when it is due, and one reminder halfway to where it counts as unanswered. */
export async function askCheck(
  flow: Flow,
  { visitId }: Visit,
  patient: Patient,
  { checkId, due, ears }: { checkId: string; due: Temporal.Instant; ears: string },
  again = '',
): Promise<void> {
  const answerBy = due.add({ hours: flow.rules.aftercare.answerWithin.hours })
  const key = `${checkId}/${due.epochMilliseconds}/${again}`
  const asked = await tell(
    flow,
    patient,
    'aftercare-check',
    { ears },
    {
      dedupe: `check/${key}`,
      visitId,
      dueAt: due,
      expiresAt: answerBy,
      question: { kind: 'check', visitId, checkId, closesAt: answerBy.add({ hours: LATE_HOURS }) },
    },
  )
  if ('skipped' in asked) return
  await tell(
    flow,
    patient,
    'aftercare-reminder',
    { ears },
    {
      dedupe: `check-reminder/${key}`,
      visitId,
      questionId: asked.questionId,
      dueAt: due.add({ minutes: Math.round(due.until(answerBy).total('minutes') / 2) }),
      expiresAt: answerBy,
    },
  )
}

/** What the ears still need: the next plan, the next visit, and a word to reception. */
async function goOn(
  flow: Flow,
  visit: Visit,
  patient: Patient,
  record: ProcedureRecord,
  deadSkinBefore: boolean,
): Promise<void> {
  const after = afterwards(record, flow.rules.aftercare)
  if (!after.visit) return
  const next = nextPlan(
    {
      day: dayOf(flow, flow.now).toString(),
      ears: record.ears.map(({ ear, result, canal, drum, found }) => ({
        ear,
        result,
        canal: worstCanal(canal),
        drum,
        deadSkinPlug: found.includes('skin-plug'),
      })),
      deadSkinBefore,
    },
    flow.rules.softening,
  )
  const ears = after.ears.filter((ear) => ear.softening === 'start').map(({ ear }) => ear)
  const started = next && ears.length > 0 && (await startNextPlan(flow, visit, patient, next, ears))
  if (!started) {
    await tell(
      flow,
      patient,
      'next-visit',
      { ears: earWords(after.visit.ears) },
      { dedupe: `next-visit/${visit.visitId}/${visit.version}`, visitId: visit.visitId },
    )
  }
  await putOnDesk(flow, {
    dedupe: `needs-visit/${visit.visitId}`,
    kind: 'needs-visit',
    patientId: patient.patientId,
    visitId: visit.visitId,
    note: `${after.visit.purpose}, ${earWords(after.visit.ears)}${next ? `, not before ${next.visitFrom}` : ''}`,
  })
}

const CANAL_ORDER = ['normal', 'sore', 'grazed', 'bleeding'] as const

const worstCanal = (canal: EarRecord['canal']): (typeof CANAL_ORDER)[number] =>
  CANAL_ORDER.toReversed().find((word) => canal.includes(word)) ?? 'normal'

/** The next plan hangs on the finished visit until the next one is booked. @returns whether drops are advised */
async function startNextPlan(
  flow: Flow,
  visit: Visit,
  patient: Patient,
  next: NextPlan,
  ears: Ear[],
): Promise<boolean> {
  const screening = await getScreening(flow, visit.visitId)
  if (!screening?.outcome || screening.outcome.decision === 'withheld') return false
  const { zone } = flow.clinic
  const from = Temporal.PlainDate.from(next.dropsFrom).toZonedDateTime(zone).toInstant()
  const detail = planSoftening(
    {
      outcome: screening.outcome,
      visitStart: Temporal.PlainDate.from(next.visitFrom)
        .toZonedDateTime({ timeZone: zone, plainTime: '12:00' })
        .toInstant(),
      zone,
      now: from,
      purpose: 'removal',
      ears,
      urgent: false,
      previousDoses: await dosesBefore(flow, patient.patientId),
      recurrentDeadSkin: next.recurrentDeadSkin,
    },
    flow.rules.softening,
  )
  if (detail.days.length === 0) return false
  const planId = await savePlan(flow, visit, detail)
  const agent = flow.rules.softening.agents.find((row) => row.id === detail.agent)
  await tell(
    flow,
    patient,
    'next-plan',
    {
      ears: earWords(ears),
      agent: agent?.name ?? detail.agent,
      firstDay: dayWords(Temporal.PlainDate.from(detail.days[0] as string)),
      drops: detail.dropsADose,
      doses: timesWords(detail.dosesADay),
    },
    { dedupe: `next-plan/${planId}`, visitId: visit.visitId, planId, advisesDrops: true },
  )
  await tellPlan(flow, visit.visitId, patient, planId, detail, null)
  await refreshReadiness(flow, planId)
  return true
}

/** Checks that stayed without an answer; after a difficult procedure silence opens a concern. @returns how many */
export async function lapseChecks(flow: Flow, limit = 100): Promise<number> {
  const rules = flow.rules.aftercare
  const dueBy = flow.now.subtract({ hours: rules.answerWithin.hours })
  const lapsed = await unansweredChecks(flow, dueBy, limit)
  for (const check of lapsed) {
    await setCheckMissed(flow, check.checkId)
    const checks = await checksOfVisit(flow, check.visitId)
    const silence = silenceRule(
      checks.map((one) => ({
        number: one.number,
        answerBy: one.dueAt.add({ hours: rules.answerWithin.hours }),
        answered: one.status === 'answered',
        cancelled: one.status === 'cancelled',
      })),
      check.difficulty as DifficultyLevel,
      flow.now,
      rules,
    )
    const visit = await getVisit(flow, check.visitId)
    const patient = await getPatient(flow, check.patientId)
    if (!silence || !visit || !patient) continue
    if (silence.reaches === 'clinician') {
      if (await silenceIsOpen(flow, visit.visitId)) continue
      await raiseConcern(flow, {
        patient,
        visitId: visit.visitId,
        source: 'silence',
        urgency: silence.urgency,
        score: silence.unanswered.length,
        reason: `${silence.unanswered.length} checks without an answer. ${silence.rule.text}`,
        safetyNet: false,
      })
    } else {
      await putOnDesk(flow, {
        dedupe: `no-check-answer/${check.visitId}/${silence.unanswered.length}`,
        kind: 'no-check-answer',
        patientId: patient.patientId,
        visitId: visit.visitId,
        note: silence.rule.text,
      })
    }
  }
  return lapsed.length
}
