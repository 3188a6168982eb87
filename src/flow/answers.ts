/** What a reply answers: the day's doses, the history, a proposed time, a check. */

import { answerCheck } from '../aftercare/store.ts'
import type { reply } from '../database/schema.ts'
import type { Question } from '../messages/store.ts'
import { cancelMessages, closeQuestion } from '../messages/store.ts'
import { recordConsent } from '../privacy/consent.ts'
import { readReply } from '../replies/read.ts'
import type { Reading } from '../replies/types.ts'
import { partsByEar } from '../softening/ear-parts.ts'
import { answersFromHistory, noToAll } from '../softening/screening.ts'
import { getScreening } from '../softening/store.ts'
import type { Ear, HistoryKind, ScreeningAnswer } from '../softening/types.ts'
import { getVisit, type Patient, type Visit } from '../visits/store.ts'
import { type Flow, tell } from './context.ts'
import type { DosesSaid, PageForm } from './forms.ts'
import { answerMove } from './moves.ts'
import { noteDoses } from './plans.ts'
import { answerRecall } from './recall.ts'
import { THE_REST, takeAnswers } from './screening.ts'

export interface Answering {
  row: typeof reply.$inferSelect
  patient: Patient
  visit: Visit | null
  question: Question | null
  reading: Reading
  /** What a page with choices sent, where the reply came from one. */
  form: PageForm | null
  /** Nothing but yes, no or not sure to one question of the history. */
  plain: boolean
}

const PLAIN_ANSWER =
  /^(yes|yep|yeah|y|no|nope|n|none|not sure|unsure|i'?m not sure|don'?t know|i don'?t know|dunno)[\s.!]*$/i

const PLAIN_NONE = /^(no|nope|n|none)[\s.!]*$/i

const PLAIN_CHOICE =
  /^((number|option|time)\s*)?[1-3]((st|nd|rd)?( (one|please|pls|thanks|thank you))?)[\s.!]*$/i

/** Such an answer was offered, so it needs no human to be understood: what it means, its question says. */
export function isPlainAnswer({ kind, detail }: Pick<Question, 'kind' | 'detail'>, text: string): boolean {
  const words = text.trim()
  const { asks } = detail as { asks?: string }
  // Of the whole list a bare "yes" does not say which.
  if (kind === 'screening') return (!asks || asks === THE_REST ? PLAIN_NONE : PLAIN_ANSWER).test(words)
  return (
    kind === 'move' &&
    (PLAIN_CHOICE.test(words) || /^(no|yes|nope|yep)( (please|thanks|thank you))?[\s.!]*$/i.test(words))
  )
}

/** Carries the answer out. @returns false when the reply leaves its question without an answer */
export async function answerReply(flow: Flow, answering: Answering): Promise<boolean> {
  const { question, reading, form } = answering
  await newHistory(flow, answering)
  if (!question) return true
  // A choice on a page says what it says, whatever the words beside it.
  if (form?.doses && question.kind === 'dose') return await dosesChosen(flow, answering, question, form.doses)
  if (form?.history && question.kind === 'screening')
    return await historyChosen(flow, answering, question, form.history)
  if (form?.move !== undefined && question.kind === 'move') {
    if (question.moveId) await answerMove(flow, question.moveId, form.move === 0 ? null : form.move - 1)
    return true
  }
  // Something else was said: the question stays open, and nothing is made of the words.
  if (reading.stop || reading.start || reading.wrongNumber) return true
  switch (question.kind) {
    case 'dose':
      return await doses(flow, answering, question)
    case 'screening':
      return await history(flow, answering, question)
    case 'move':
      return await moved(flow, answering, question)
    case 'recall':
      return await answerRecall(flow, answering, question)
    case 'check':
      await closeQuestion(flow, question.questionId, flow.now)
      await cancelMessages(flow, { questionId: question.questionId })
      if (question.checkId) await answerCheck(flow, question.checkId)
      return true
    default:
      await closeQuestion(flow, question.questionId, flow.now)
      return true
  }
}

async function dosesChosen(
  flow: Flow,
  { row }: Answering,
  { questionId, planId, day }: Question,
  chosen: readonly DosesSaid[],
): Promise<boolean> {
  if (!planId || !day) return true
  for (const said of chosen) await noteDoses(flow, planId, day, { ...said, replyId: row.replyId })
  await closeQuestion(flow, questionId, flow.now)
  return true
}

async function historyChosen(
  flow: Flow,
  { patient, reading }: Answering,
  { visitId }: Question,
  chosen: ScreeningAnswer[],
): Promise<boolean> {
  const visit = visitId ? await getVisit(flow, visitId) : null
  // What the words beside the choices tell counts too: against a "no" it makes the answer unclear.
  const answers = [...chosen, ...answersFromHistory(kindsTold(reading))]
  if (visit) await takeAnswers(flow, visit, patient, answers, { byText: false, replyId: null })
  return true
}

const kindsTold = (reading: Reading): HistoryKind[] => [
  ...new Set(reading.history.filter(({ polarity }) => polarity !== 'denied').map(({ kind }) => kind)),
]

/** Doses of each ear where the text gives both a number of their own; the reader reads each part by itself. */
function dosesByEar(text: string): { ears: Ear[]; done: number }[] | null {
  const said = (partsByEar(text) ?? []).flatMap(({ ear, words }) => {
    const { doses: done } = readReply({ context: 'softening', text: words, question: 'doses' })
    return done === null ? [] : [{ ears: [ear], done }]
  })
  return said.length === 2 ? said : null
}

const apartWords = (said: readonly { ears: Ear[]; done: number }[]): string =>
  said.map(({ ears, done }) => `${done} for the ${ears.join()} ear`).join(' and ')

async function doses(flow: Flow, { row, patient, reading }: Answering, question: Question): Promise<boolean> {
  if (!question.planId || !question.day) return true
  const done = reading.doses ?? (reading.yesNo === 'no' ? 0 : null)
  const some = done === null && reading.yesNo === 'yes'
  if (done === null && !some) {
    // Words about something else (a symptom, a wish) are acted on elsewhere; the day stays without an answer.
    return (
      reading.findings.length > 0 ||
      reading.reschedule ||
      reading.callMe ||
      reading.doubts.length > 0 ||
      reading.thanks
    )
  }
  const one: Ear[] | null = reading.sideAnswer && reading.sideAnswer !== 'both' ? [reading.sideAnswer] : null
  const apart = row.transport === 'link' ? null : dosesByEar(flow.vault.open(row.bodySealed))
  for (const said of apart ?? [{ ears: one, done }])
    await noteDoses(flow, question.planId, question.day, { ...said, replyId: row.replyId })
  await closeQuestion(flow, question.questionId, flow.now)
  if (done !== null && row.transport !== 'link') {
    await tell(
      flow,
      patient,
      'dose-thanks',
      {
        answer: apart ? apartWords(apart) : String(done),
        day: question.day === today(flow) ? 'today' : question.day,
      },
      {
        dedupe: `dose-thanks/${row.replyId}`,
        visitId: question.visitId,
        expiresAt: flow.now.add({ hours: 1 }),
      },
    )
  }
  return true
}

const today = (flow: Flow): string => flow.now.toZonedDateTimeISO(flow.clinic.zone).toPlainDate().toString()

async function history(flow: Flow, answering: Answering, question: Question): Promise<boolean> {
  const { row, patient, reading, plain } = answering
  const visit = question.visitId ? await getVisit(flow, question.visitId) : null
  if (!visit) return true
  // A wish for another time or for a call says nothing of ears; with a bare "no" in it, a human reads which.
  const wishes = reading.reschedule || reading.callMe
  if (wishes && kindsTold(reading).length === 0) return reading.yesNo === null
  // The words of consent stand in the invitation that this answers.
  await recordConsent(flow, patient.patientId, { how: 'text' })
  const said = screeningAnswers(flow, reading, question)
  // A NONE to the rest of the list says nothing of what was told before it.
  const before = new Set((await getScreening(flow, visit.visitId))?.answers.map((one) => one.question))
  const given = said.filter(
    (one) => one.answer !== 'no' || one.question === asksOf(question) || !before.has(one.question),
  )
  if (given.length === 0) return reading.findings.length > 0 || reading.doubts.length > 0
  await takeAnswers(flow, visit, patient, given, { byText: true, replyId: plain ? null : row.replyId })
  return true
}

const asksOf = (question: Question): string | undefined => (question.detail as { asks?: string }).asks

/** The answers that a reply gives: to the one question asked by text, or to the whole list. */
export function screeningAnswers(
  flow: Pick<Flow, 'rules'>,
  reading: Reading,
  question: Question,
): ScreeningAnswer[] {
  const { asks, asked = 1 } = question.detail as { asks?: string; asked?: 1 | 2 }
  const told = answersFromHistory(kindsTold(reading), asked)
  if (!asks || asks === THE_REST) {
    return reading.yesNo === 'no' ? mergeNo(noToAll(flow.rules.softening), told) : told
  }
  const answer = reading.yesNo ?? (told.some(({ question: id }) => id === asks) ? 'yes' : 'unsure')
  const own: ScreeningAnswer = { question: asks, answer, asked, words: reading.text.slice(0, 500) }
  return [...told.filter(({ question: id }) => id !== asks), own]
}

const mergeNo = (no: ScreeningAnswer[], yes: ScreeningAnswer[]): ScreeningAnswer[] => {
  const said = new Set(yes.map(({ question }) => question))
  return [...no.filter(({ question }) => !said.has(question)), ...yes]
}

/** History that turns up in any reply counts, whatever was asked: a hole in the drum told late still stops drops. */
async function newHistory(flow: Flow, { row, patient, visit, question, reading }: Answering): Promise<void> {
  if (question?.kind === 'screening' || visit?.status !== 'booked') return
  const told = reading.history
    .filter(({ polarity }) => polarity === 'present')
    .map(({ kind }) => kind as HistoryKind)
  if (told.length === 0 || !(await getScreening(flow, visit.visitId))) return
  await takeAnswers(flow, visit, patient, answersFromHistory(told), { byText: true, replyId: row.replyId })
}

async function moved(flow: Flow, { reading, plain }: Answering, question: Question): Promise<boolean> {
  if (!question.moveId) return true
  const { choices = 1 } = question.detail as { choices?: number }
  const number = plain ? Number(/[1-3]/.exec(reading.text)?.[0] ?? Number.NaN) : reading.number
  if (number !== null && Number.isInteger(number) && number >= 1 && number <= choices) {
    await answerMove(flow, question.moveId, number - 1)
    return true
  }
  const yesNo = plain ? (/^(no|nope)/i.test(reading.text.trim()) ? 'no' : 'yes') : reading.yesNo
  if (yesNo === 'no') {
    await answerMove(flow, question.moveId, null)
    return true
  }
  if (yesNo === 'yes' && choices === 1) {
    await answerMove(flow, question.moveId, 0)
    return true
  }
  return reading.findings.length > 0 || reading.reschedule || reading.callMe
}
