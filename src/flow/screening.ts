/** The history before any drops: asked at booking, asked again where unclear, settled by answers or by silence. */
import { Temporal } from 'temporal-polyfill'
import { endDeskItems, putOnDesk } from '../desk/store.ts'
import { withdrawQuestions } from '../messages/store.ts'
import { whenWords } from '../messages/words.ts'
import { clinicianDecides, noAnswerOutcome, questionsFor, screen } from '../softening/screening.ts'
import {
  getScreening,
  overdueScreenings,
  type Screening,
  saveScreening,
  startScreening,
} from '../softening/store.ts'
import type { Drops, ScreeningAnswer, ScreeningOutcome } from '../softening/types.ts'
import { Trouble } from '../trouble.ts'
import { getPatient, getVisit, type Patient, setRisks, type Visit } from '../visits/store.ts'
import { raiseConcern } from './concerns.ts'
import { type Flow, tell } from './context.ts'
import { allowedAt, makePlan } from './plans.ts'

/** Nearer than this a reminder would follow the question too closely. */
const REMIND_FROM_HOURS = 12

/** Names the question that asks for everything on the list that was not answered yet. */
export const THE_REST = 'the-rest'

const hours = (at: Temporal.Instant, count: number): Temporal.Instant => at.add({ hours: count })
const earlier = (a: Temporal.Instant, b: Temporal.Instant): Temporal.Instant =>
  Temporal.Instant.compare(a, b) <= 0 ? a : b

/** Asks the history of a visit that is still to come and that drops are for; `again` marks a further time. */
export async function askHistory(flow: Flow, visit: Visit, patient: Patient, again = ''): Promise<void> {
  const { plan, screening } = flow.rules.softening
  if (!plan.purposes.value.includes(visit.purpose)) return
  if (Temporal.Instant.compare(visit.startAt, flow.now) <= 0) return
  const deadline = earlier(hours(flow.now, screening.deadlineHours.value), visit.startAt)
  await startScreening(flow, visit, deadline)
  const asked = await tell(
    flow,
    patient,
    'screening-invitation',
    { when: whenWords(visit.startAt, flow.clinic.zone) },
    {
      dedupe: `screening/${visit.visitId}/${visit.version}/${again}`,
      visitId: visit.visitId,
      expiresAt: visit.startAt,
      // A late answer still counts, up to the visit itself.
      question: { kind: 'screening', visitId: visit.visitId, closesAt: visit.startAt },
    },
  )
  if ('skipped' in asked) return
  await tell(
    flow,
    patient,
    'screening-all',
    {},
    {
      dedupe: `screening-all/${visit.visitId}/${visit.version}/${again}`,
      visitId: visit.visitId,
      questionId: asked.questionId,
      dueAt: flow.now.add({ minutes: 1 }),
      expiresAt: visit.startAt,
    },
  )
  await remindOfHistory(flow, visit, patient, deadline, asked.questionId)
}

/** Once more, halfway to the deadline, where that is some hours away; it goes with its question. */
async function remindOfHistory(
  flow: Flow,
  visit: Visit,
  patient: Patient,
  deadline: Temporal.Instant,
  questionId: string | null,
): Promise<void> {
  const asked = allowedAt(flow, flow.now)
  const left = asked.until(deadline).total('hours')
  if (left < REMIND_FROM_HOURS) return
  await tell(
    flow,
    patient,
    'screening-reminder',
    {},
    {
      dedupe: `screening-reminder/${visit.visitId}/${visit.version}`,
      visitId: visit.visitId,
      questionId,
      dueAt: asked.add({ minutes: Math.round(left * 30) }),
      expiresAt: deadline,
    },
  )
}

/** Adds answers, judges the history anew and goes on: ask, plan, or give it to a person. */
export async function takeAnswers(
  flow: Flow,
  visit: Visit,
  patient: Patient,
  given: ScreeningAnswer[],
  { byText, replyId = null }: { byText: boolean; replyId?: string | null },
): Promise<ScreeningOutcome | null> {
  const screening = await getScreening(flow, visit.visitId)
  if (!screening || screening.status === 'cancelled' || visit.status !== 'booked') return null
  const answers = [...screening.answers, ...given]
  const outcome = screen(answers, flow.rules.softening)
  // The page asks on by itself under its one question; by text each question is its own.
  if (byText || outcome.settled)
    await withdrawQuestions(flow, { visitId: visit.visitId, kinds: ['screening'] })
  if (outcome.risks.length > 0) {
    await setRisks(flow, patient.patientId, [...new Set([...patient.risks, ...outcome.risks])])
  }
  if (!outcome.settled) {
    return await askOn(flow, visit, patient, screening, answers, outcome, byText)
  }
  await settle(flow, visit, patient, answers, outcome, replyId)
  return outcome
}

/** The next open question by text, or the unclear ones once more in other words. */
async function askOn(
  flow: Flow,
  visit: Visit,
  patient: Patient,
  screening: Screening,
  answers: ScreeningAnswer[],
  outcome: ScreeningOutcome,
  byText: boolean,
): Promise<ScreeningOutcome> {
  const rules = flow.rules.softening
  const open = questionsFor(answers, rules)
  const unanswered = open.filter(({ id }) => outcome.unanswered.includes(id))
  const unclear = open.find(({ id }) => outcome.askAgain.includes(id))
  // What hangs on an answer already given first; then all the rest in one question.
  const followUp = unanswered.find(({ askIf }) => askIf !== undefined)
  const next = followUp ?? unanswered[0] ?? unclear
  const theRest = followUp === undefined && unanswered.length > 1
  const again = unanswered.length === 0
  const deadlineAt = earlier(hours(flow.now, rules.screening.askAgainHours.value), visit.startAt)
  await saveScreening(flow, visit.visitId, {
    status: again ? 'asked-again' : 'asked',
    answers,
    outcome,
    deadlineAt: screening.status === 'overdue' ? visit.startAt : deadlineAt,
  })
  // The link's page asks on by itself.
  if (!next || !byText) return outcome
  const words = again ? next.again : next.text
  await tell(
    flow,
    patient,
    theRest ? 'screening-rest' : again ? 'screening-ask-again' : 'screening-question',
    { question: words },
    {
      dedupe: `screening-ask/${visit.visitId}/${answers.length}/${next.id}`,
      visitId: visit.visitId,
      expiresAt: visit.startAt,
      question: {
        kind: 'screening',
        visitId: visit.visitId,
        closesAt: visit.startAt,
        detail: theRest ? { asks: THE_REST } : { asks: next.id, asked: again ? 2 : 1, words },
      },
    },
  )
  return outcome
}

async function settle(
  flow: Flow,
  visit: Visit,
  patient: Patient,
  answers: ScreeningAnswer[],
  outcome: ScreeningOutcome,
  replyId: string | null,
): Promise<void> {
  await saveScreening(flow, visit.visitId, {
    status: outcome.toPerson ? 'to-person' : 'answered',
    answers,
    outcome,
  })
  await endDeskItems(flow, visit.visitId, ['no-history', 'history-unclear'])
  if (outcome.toPerson) {
    await putOnDesk(flow, {
      dedupe: `history-unclear/${visit.visitId}/${answers.length}`,
      kind: 'history-unclear',
      patientId: patient.patientId,
      visitId: visit.visitId,
      note: outcome.clinicianNotes.join(' '),
      dueAt: visit.startAt,
    })
  }
  // A history that changes the plan is a clinician's to see; a written reply has its own concern already.
  if ((outcome.toPerson || outcome.decision === 'withheld') && replyId === null) {
    await raiseConcern(flow, {
      patient,
      visitId: visit.visitId,
      source: 'screening',
      urgency: 'soon',
      score: 0,
      reason: outcome.clinicianNotes[0] ?? outcome.reasons[0]?.text ?? 'The history needs a person.',
      safetyNet: false,
    })
  }
  await askForTime(flow, visit, outcome)
  await makePlan(flow, visit, patient, outcome)
}

/** The desk is asked to make the visit longer where the history needs it; a longer visit ends that. */
async function askForTime(flow: Flow, visit: Visit, outcome: ScreeningOutcome): Promise<void> {
  const { extraMinutes } = outcome
  if (extraMinutes === 0 || extraMinutes < flow.rules.softening.screening.lengthenFromMinutes.value) return
  await putOnDesk(flow, {
    dedupe: `more-time/${visit.visitId}/${extraMinutes}`,
    kind: 'more-time',
    patientId: visit.patientId,
    visitId: visit.visitId,
    note: `${extraMinutes} minutes more than such a visit usually takes; ${visit.minutes} are booked.`,
    dueAt: visit.startAt,
  })
}

/** A clinician settles what drops this patient may have. @throws Trouble when there is no screening */
export async function decideHistory(
  flow: Flow,
  visit: Visit,
  patient: Patient,
  decision: { agent: Drops | 'none'; staffId: string; by: string; why: string },
): Promise<void> {
  const screening = await getScreening(flow, visit.visitId)
  if (!screening) throw new Trouble('The history of this visit was never asked.')
  const judged = screening.outcome ?? screen(screening.answers, flow.rules.softening)
  const outcome = clinicianDecides(judged, decision, flow.rules.softening)
  await saveScreening(flow, visit.visitId, { status: 'answered', outcome })
  await askForTime(flow, visit, outcome)
  await withdrawQuestions(flow, { visitId: visit.visitId, kinds: ['screening'] })
  await endDeskItems(flow, visit.visitId, ['no-history', 'history-unclear'])
  flow.audit({
    actor: `staff:${decision.staffId}`,
    action: 'decide drops',
    patientId: patient.patientId,
    subject: `visit:${visit.visitId}`,
    detail: { agent: decision.agent },
  })
  await makePlan(flow, visit, patient, outcome)
}

/** Histories without an answer by their deadline: no drops, and reception hears of it. @returns how many */
export async function lapseHistories(flow: Flow, limit = 100): Promise<number> {
  const due = await overdueScreenings(flow, limit)
  for (const screening of due) {
    const visit = await getVisit(flow, screening.visitId)
    const patient = await getPatient(flow, screening.patientId)
    if (!visit || !patient || visit.status !== 'booked') {
      await saveScreening(flow, screening.visitId, { status: 'cancelled' })
      continue
    }
    const outcome = noAnswerOutcome(flow.rules.softening, screening.answers)
    await saveScreening(flow, visit.visitId, { status: 'overdue', outcome })
    await askForTime(flow, visit, outcome)
    await putOnDesk(flow, {
      dedupe: `no-history/${visit.visitId}/${screening.askedAt.epochMilliseconds}`,
      kind: 'no-history',
      patientId: patient.patientId,
      visitId: visit.visitId,
      dueAt: visit.startAt,
    })
    await tell(
      flow,
      patient,
      'no-drops-yet',
      { when: whenWords(visit.startAt, flow.clinic.zone) },
      {
        dedupe: `no-drops-yet/${visit.visitId}/${screening.askedAt.epochMilliseconds}`,
        visitId: visit.visitId,
        expiresAt: visit.startAt,
      },
    )
  }
  return due.length
}
