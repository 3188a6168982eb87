/** One reply on its way: read, judged, acted on. Stored before this; run again by a job where it could not finish. */
import { eq } from 'drizzle-orm'
import { Temporal } from 'temporal-polyfill'
import { recordsOfPatient } from '../aftercare/store.ts'
import { reply } from '../database/schema.ts'
import type { Service } from '../database/service.ts'
import { putOnDesk } from '../desk/store.ts'
import { sendToContact } from '../messages/send.ts'
import { cancelMessages, openQuestions, type Question, questionById } from '../messages/store.ts'
import type { Urgency } from '../protocol/rule.ts'
import { moreUrgent } from '../protocol/rule.ts'
import { readAndJudge } from '../replies/judge.ts'
import type { Judgement, Reading, ReplyContext } from '../replies/types.ts'
import {
  getPatient,
  getVisit,
  type Patient,
  setNumberWrong,
  type Visit,
  visitsOfPatient,
} from '../visits/store.ts'
import { answerReply, isPlainAnswer } from './answers.ts'
import { raiseConcern } from './concerns.ts'
import { type Flow, inFlow } from './context.ts'
import { readPageForm } from './forms.ts'
import { pausePlan } from './plans.ts'
import { type EarlierReply, mainReason, readInputOf } from './reply-case.ts'
import { startMessages, stopMessages } from './stopping.ts'
import { wishesToMove } from './visits.ts'

export interface StoredReading {
  reading: Reading
  judgement: Judgement
}

type ReplyRow = typeof reply.$inferSelect

/** After this many failed readings a human gets the reply as it is. */
const READ_TRIES = 3

/**
 * Reads and acts on one stored reply, once, in one transaction. When the reading fails, the failure is counted
 * and the reply goes to a human in the end. @returns its urgency, or null when it could not be read yet
 */
export async function handleReply(
  service: Service,
  clinicId: string,
  replyId: string,
): Promise<Urgency | null> {
  try {
    return await inFlow(service, clinicId, async (flow) => {
      const [row] = await flow.tx.select().from(reply).where(eq(reply.replyId, replyId)).for('update')
      if (!row) return null
      if (row.readAt) return row.urgency
      return await act(flow, row)
    })
  } catch (error) {
    // The error's own words may quote the patient, so only its kind is kept.
    await readingFailed(service, clinicId, replyId, error instanceof Error ? error.name : typeof error)
    return null
  }
}

async function readingFailed(
  service: Service,
  clinicId: string,
  replyId: string,
  why: string,
): Promise<void> {
  await inFlow(service, clinicId, async (flow) => {
    const [row] = await flow.tx.select().from(reply).where(eq(reply.replyId, replyId)).for('update')
    if (!row || row.readAt) return
    const attempts = row.readAttempts + 1
    await flow.tx.update(reply).set({ readAttempts: attempts }).where(eq(reply.replyId, replyId))
    flow.audit({
      actor: 'service',
      action: 'fail to read reply',
      subject: `reply:${replyId}`,
      detail: { attempts, why: why.slice(0, 120) },
    })
    if (attempts < READ_TRIES) return
    await raiseConcern(flow, {
      patient: row.patientId ? await getPatient(flow, row.patientId) : null,
      replyId,
      source: 'unread',
      urgency: 'today',
      score: 0,
      reason: 'The service could not read this reply: read it yourself.',
    })
    await flow.tx
      .update(reply)
      .set({ readAt: flow.now, urgency: 'unclear' })
      .where(eq(reply.replyId, replyId))
  })
}

async function act(flow: Flow, row: ReplyRow): Promise<Urgency> {
  const body = flow.vault.open(row.bodySealed)
  const form = readPageForm(row.transport, body)
  const patient = row.patientId ? await getPatient(flow, row.patientId) : null
  const open = patient ? await openQuestions(flow, patient.patientId, row.receivedAt) : []
  const linked = row.questionId ? await questionById(flow, row.questionId) : null
  const question = linked ?? open[0] ?? null
  // Only what came by a link is surely about its question; a text may answer any that is open.
  const asked = row.transport.startsWith('link') && linked ? [linked] : open
  const visit = question?.visitId ? await getVisit(flow, question.visitId) : await nearestVisit(flow, patient)
  const context = contextOf(question, visit)
  const { reading, judgement } = await judgeReply(
    flow,
    row,
    form?.text ?? body,
    patient,
    asked,
    visit,
    context,
  )
  // Choices without a word beside them leave nothing to be read: what they mean is judged where they are taken.
  const plain = question !== null && asked.length === 1 && isPlainAnswer(question, body)
  const read = plain || (form && !form.wrote) ? 'none' : judgement.urgency
  const urgency = patient ? read : moreUrgent('unclear', read)
  await flow.tx
    .update(reply)
    .set({
      readAt: flow.now,
      readingSealed: flow.vault.seal(JSON.stringify({ reading, judgement })),
      urgency,
      score: judgement.score,
      protocolVersion: flow.protocolVersion,
      questionId: question?.questionId ?? null,
    })
    .where(eq(reply.replyId, row.replyId))
  flow.audit({
    actor: 'service',
    action: 'read reply',
    patientId: patient?.patientId,
    subject: `reply:${row.replyId}`,
    detail: { urgency, why: judgement.why },
  })
  if (!patient) {
    await stopOrStart(flow, row, null, reading)
    await fromUnknown(flow, row, urgency, judgement)
    return urgency
  }
  // A wish for a visit that answers an invitation is that answer, and no second thing to settle.
  const wished = question?.kind === 'recall' ? { ...reading, reschedule: false } : reading
  await wishes(flow, row, patient, visit, wished)
  // A bare answer to two open questions is nobody's: nothing is made of it.
  const ambiguous = asked.length > 1 && judgement.why.includes('u-two-questions')
  const understood =
    !ambiguous && (await answerReply(flow, { row, patient, visit, question, reading, form, plain }))
  const final = understood ? urgency : moreUrgent('unclear', urgency)
  if (final !== urgency)
    await flow.tx.update(reply).set({ urgency: final }).where(eq(reply.replyId, row.replyId))
  if (final !== 'none') {
    await raiseConcern(flow, {
      patient: await getPatient(flow, patient.patientId).then((fresh) => fresh ?? patient),
      replyId: row.replyId,
      visitId: visit?.visitId ?? null,
      source: 'reply',
      urgency: final,
      score: judgement.score,
      reason:
        mainReason(judgement, flow.rules.urgency) ??
        'The reply does not answer what was asked: a human must read it.',
      distress: reading.findings.some(
        ({ kind, polarity }) => (kind === 'self-harm' || kind === 'distress') && polarity === 'affirmed',
      ),
    })
    await pauseIfUnsafe(flow, visit, patient, final)
  }
  return final
}

/** What bears on urgency besides the words: known risks, the last procedure, the earlier replies after it. */
async function judgeReply(
  flow: Flow,
  row: ReplyRow,
  body: string,
  patient: Patient | null,
  asked: Question[],
  visit: Visit | null,
  context: ReplyContext,
): Promise<StoredReading> {
  const input = readInputOf({
    replyId: row.replyId,
    receivedAt: row.receivedAt,
    text: body,
    context,
    questions: asked.map(questionWords),
    risks: patient?.risks ?? [],
    ears: visit?.ears,
    records: patient ? await recordsOfPatient(flow, patient.patientId) : [],
    replies: patient && context === 'aftercare' ? await readReplies(flow, patient.patientId) : [],
    zone: flow.clinic.zone,
  })
  return readAndJudge(input, flow.rules.urgency)
}

/** How the reader names the questions that were open. */
export function questionWords(question: Question): string {
  const detail = question.detail as { words?: string }
  if (question.kind === 'screening') return detail.words ?? 'screening'
  const names = {
    dose: 'doses',
    softened: 'softened',
    check: 'aftercare-check',
    move: 'move',
    recall: 'move',
  } as const
  return names[question.kind]
}

/** The patient's read replies, oldest first. */
async function readReplies(flow: Flow, patientId: string): Promise<EarlierReply[]> {
  const rows = await flow.tx
    .select()
    .from(reply)
    .where(eq(reply.patientId, patientId))
    .orderBy(reply.receivedAt)
  return rows.flatMap((row) => earlierReply(flow, row) ?? [])
}

/** A stored reply as later ones see it; null while it was never read. */
export function earlierReply({ vault }: Pick<Flow, 'vault'>, row: ReplyRow): EarlierReply | null {
  if (!row.readingSealed) return null
  const { judgement } = JSON.parse(vault.open(row.readingSealed)) as StoredReading
  const { replyId, receivedAt, urgency } = row
  return { replyId, receivedAt, urgency, text: vault.open(row.bodySealed), flags: judgement.flags }
}

function contextOf(question: Question | null, visit: Visit | null): ReplyContext {
  if (question?.kind === 'screening') return 'screening'
  if (question?.kind === 'check' || visit?.status === 'done') return 'aftercare'
  return 'softening'
}

/** The visit that a reply without a question is about: the next one to come, else the last one held. */
async function nearestVisit(flow: Flow, patient: Patient | null): Promise<Visit | null> {
  if (!patient) return null
  const visits = await visitsOfPatient(flow, patient.patientId)
  const held = visits.filter((visit) => visit.status === 'done').at(-1)
  const recent =
    held && Temporal.Instant.compare(held.startAt.add({ hours: 24 * 14 }), flow.now) > 0 ? held : null
  const next = visits.find(
    (visit) => visit.status === 'booked' && Temporal.Instant.compare(visit.startAt, flow.now) > 0,
  )
  return recent ?? next ?? held ?? null
}

/** STOP, START, wrong number, another time, a call: done whatever else the reply says. */
async function wishes(
  flow: Flow,
  row: ReplyRow,
  patient: Patient,
  visit: Visit | null,
  reading: Reading,
): Promise<void> {
  const { patientId } = patient
  const desk = { patientId, visitId: visit?.visitId ?? null }
  await stopOrStart(flow, row, patient, reading)
  if (reading.wrongNumber) {
    await setNumberWrong(flow, patientId)
    await cancelMessages(flow, { patientId })
    await putOnDesk(flow, { dedupe: `wrong-number/${row.replyId}`, kind: 'wrong-number', ...desk })
  }
  if (reading.reschedule)
    await wishesToMove(flow, visit?.status === 'booked' ? visit : null, patient, row.replyId)
  if (reading.callMe) await putOnDesk(flow, { dedupe: `call/${row.replyId}`, kind: 'wishes-a-call', ...desk })
}

async function stopOrStart(
  flow: Flow,
  row: ReplyRow,
  patient: Patient | null,
  reading: Reading,
): Promise<void> {
  // A link is one patient's; a number may be a whole household's.
  const from = row.fromSealed && !row.transport.startsWith('link') ? flow.vault.open(row.fromSealed) : null
  const who = { from, patient, replyId: row.replyId }
  if (reading.stop) await stopMessages(flow, who)
  else if (reading.start) await startMessages(flow, who)
}

/** While a clinician looks at something urgent before the visit, no text may go on advising drops. */
async function pauseIfUnsafe(
  flow: Flow,
  visit: Visit | null,
  patient: Patient,
  urgency: Urgency,
): Promise<void> {
  if (visit?.status !== 'booked' || (urgency !== 'now' && urgency !== 'today')) return
  await pausePlan(
    flow,
    visit,
    patient,
    'The patient wrote of something that a clinician must see before any more drops.',
  )
}

async function fromUnknown(flow: Flow, row: ReplyRow, urgency: Urgency, judgement: Judgement): Promise<void> {
  await raiseConcern(flow, {
    patient: null,
    replyId: row.replyId,
    source: 'unknown-sender',
    urgency: urgency === 'none' ? 'unclear' : urgency,
    score: judgement.score,
    reason:
      mainReason(judgement, flow.rules.urgency) ?? 'From a number that belongs to no patient, or to several.',
  })
  if (!row.fromSealed || !row.fromBlind) return
  // Once a day for a number: two machines must not answer each other for ever.
  const day = flow.now.toZonedDateTimeISO(flow.clinic.zone).toPlainDate().toString()
  await sendToContact(flow, {
    clinic: flow.clinic,
    to: flow.vault.open(row.fromSealed),
    template: 'number-unknown',
    dedupe: `unknown/${row.fromBlind.toString('hex').slice(0, 24)}/${day}`,
    urgent: true,
  })
}

/** Replies that were stored and not read, oldest first: for the job that reads what a crash left behind. */
export async function unreadReplies(flow: Flow, olderThan: Temporal.Instant, limit = 100): Promise<string[]> {
  const rows = await flow.tx.query.reply.findMany({
    columns: { replyId: true },
    where: (table, { and, isNull, lte }) => and(isNull(table.readAt), lte(table.receivedAt, olderThan)),
    orderBy: (table, { asc }) => asc(table.receivedAt),
    limit,
  })
  return rows.map((row) => row.replyId)
}
