/** From a template to a queued message: the words, the channel, the hour, the question it asks and its link. */
import { randomUUID } from 'node:crypto'
import { Temporal } from 'temporal-polyfill'
import { draftLink, renewLinks, revokeLinks } from '../access/links.ts'
import type { Clinic } from '../clinic.ts'
import type { Scope } from '../database/service.ts'
import { AFTER_STOP, URGENT } from './kinds.ts'
import { nextAllowed } from './quiet-hours.ts'
import { renderMessage, type TemplateId, templateOf } from './render.ts'
import { countSegments } from './segments.ts'
import {
  type Channel,
  cancelMessages,
  insertMessage,
  type NewQuestion,
  openQuestion,
  queuedMessages,
  rewriteMessage,
} from './store.ts'
import { placeholdersOf, type TemplateValues } from './template.ts'

export interface Recipient {
  patientId: string
  name: string
  mobile: string | null
  email: string | null
  language: string
  stoppedAt: Temporal.Instant | null
  /** Since when somebody else is known to have the number: then only the email address is used. */
  numberWrongAt?: Temporal.Instant | null
}

export interface StaffRecipient {
  staffId: string
  name: string
  mobile: string | null
  email: string | null
}

interface Letter {
  clinic: Clinic
  template: TemplateId
  /** The clinic's own name and numbers are filled in; a value here goes before them. */
  values?: TemplateValues
  dedupe: string
  /** Now where it is left out; moved out of quiet hours unless urgent. */
  dueAt?: Temporal.Instant | undefined
  /** A day after it is due where it is left out. */
  expiresAt?: Temporal.Instant | undefined
  visitId?: string | null | undefined
  concernId?: string | null | undefined
  /** By the template where it is left out. */
  urgent?: boolean | undefined
}

export interface PatientLetter extends Letter {
  patient: Recipient
  /** The question that this message asks; it is opened when the message is due. */
  question?: Omit<NewQuestion, 'questionId' | 'patientId' | 'askedAt'> | undefined
  /** A question that is open already and is asked again, as a reminder does. */
  questionId?: string | null | undefined
  planId?: string | null | undefined
  day?: string | null | undefined
  advisesDrops?: boolean | undefined
  /** How long its link works: until the question closes, or else a fortnight. */
  linkUntil?: Temporal.Instant | undefined
}

export interface StaffLetter extends Letter {
  staff: StaffRecipient
}

/** `already`: this key was sent before. `too-late`: it would expire before it may go out. */
export type Skipped = 'already' | 'stopped' | 'no-contact' | 'too-late'
export type Queued = { messageId: string; questionId: string | null } | { skipped: Skipped }

/**
 * Queues one message to a patient in this transaction. Whoever calls must look at `skipped`: `no-contact`
 * and `too-late` mean that the patient is not told. @throws Error when a value of the template is missing
 */
export async function sendToPatient(scope: Scope, letter: PatientLetter): Promise<Queued> {
  const { patient, template, question } = letter
  if (patient.stoppedAt && !AFTER_STOP.has(template)) return { skipped: 'stopped' }
  const contact = contactOf(patient.numberWrongAt ? { ...patient, mobile: null } : patient)
  if (!contact) return { skipped: 'no-contact' }
  const placed = place(scope, letter, question?.closesAt)
  if (!placed) return { skipped: 'too-late' }

  const questionId = question ? randomUUID() : (letter.questionId ?? null)
  const about = {
    visitId: letter.visitId ?? question?.visitId,
    planId: letter.planId ?? question?.planId,
    day: letter.day ?? question?.day,
  }
  const link = wantsLink(template, patient.language, letter.values) ? await draftLink(scope) : null
  const messageId = await insertMessage(scope, {
    ...about,
    ...placed,
    ...contact,
    ...worded(letter, contact.channel, patient.language, link?.url),
    dedupe: letter.dedupe,
    patientId: patient.patientId,
    questionId,
    concernId: letter.concernId,
    kind: template,
    advisesDrops: letter.advisesDrops,
  })
  if (messageId === null) return { skipped: 'already' }
  const { patientId } = patient
  if (question && questionId) {
    await openQuestion(scope, { ...question, ...about, questionId, patientId, askedAt: placed.dueAt })
  }
  await link?.save({
    patientId,
    purpose: questionId ? 'question' : 'visit',
    questionId,
    contact: contact.to,
    expiresAt: letter.linkUntil ?? question?.closesAt ?? placed.dueAt.add({ hours: 24 * 14 }),
  })
  return { messageId, questionId }
}

/** Queues one message to somebody of the staff; urgent ones (see kinds.ts) wait for no hour. */
export async function sendToStaff(scope: Scope, letter: StaffLetter): Promise<Queued> {
  const { clinic, staff, template } = letter
  const contact = contactOf(staff)
  if (!contact) return { skipped: 'no-contact' }
  const placed = place(scope, letter)
  if (!placed) return { skipped: 'too-late' }
  const messageId = await insertMessage(scope, {
    ...placed,
    ...contact,
    ...worded(letter, contact.channel, clinic.settings.language),
    dedupe: letter.dedupe,
    staffId: staff.staffId,
    visitId: letter.visitId,
    concernId: letter.concernId,
    kind: template,
  })
  return messageId === null ? { skipped: 'already' } : { messageId, questionId: null }
}

export interface ContactLetter extends Letter {
  /** A number or address that belongs to no patient that we know. */
  to: string
}

/** Answers a sender whom we do not know. Say nothing in it about any patient. */
export async function sendToContact(scope: Scope, letter: ContactLetter): Promise<Queued> {
  const placed = place(scope, letter)
  if (!placed) return { skipped: 'too-late' }
  const channel = letter.to.includes('@') ? 'email' : 'text'
  const messageId = await insertMessage(scope, {
    ...placed,
    ...worded(letter, channel, letter.clinic.settings.language),
    channel,
    to: letter.to,
    dedupe: letter.dedupe,
    concernId: letter.concernId,
    kind: letter.template,
  })
  return messageId === null ? { skipped: 'already' } : { messageId, questionId: null }
}

/**
 * After a patient's number or address has changed: the old links end, and what is queued goes to the new one
 * with fresh links. @returns how many messages; null when there is no way left to write, and they are cancelled
 */
export async function readdressMessages(
  scope: Scope,
  patient: Pick<Recipient, 'patientId' | 'mobile' | 'email'>,
): Promise<number | null> {
  const { patientId } = patient
  const contact = contactOf(patient)
  await revokeLinks(scope, { patientId })
  if (!contact) {
    await cancelMessages(scope, { patientId })
    return null
  }
  const queued = await queuedMessages(scope, patientId)
  for (const { messageId, body } of queued) {
    const renewed = await renewLinks(scope, body, contact.to)
    const segments = contact.channel === 'text' ? countSegments(renewed) : 0
    await rewriteMessage(scope, messageId, { ...contact, body: renewed, segments })
  }
  return queued.length
}

/** Text first: the patients hear badly, and a text is read most. */
function contactOf({ mobile, email }: Pick<Recipient, 'mobile' | 'email'>): {
  channel: Channel
  to: string
} | null {
  if (mobile) return { channel: 'text', to: mobile }
  return email ? { channel: 'email', to: email } : null
}

const wantsLink = (template: TemplateId, language: string, values: TemplateValues = {}): boolean =>
  values.link === undefined && placeholdersOf(templateOf(template, language).text).includes('link')

function worded(
  { clinic, template, values }: Letter,
  channel: Channel,
  language: string,
  link?: string,
): { body: string; segments: number } {
  const { text, segments } = renderMessage(
    template,
    { ...clinicValues(clinic), ...(link && { link }), ...values },
    language,
  )
  return { body: text, segments: channel === 'text' ? segments : 0 }
}

/** What every text may name of the clinic. */
export const clinicValues = ({ name, settings }: Clinic): TemplateValues => ({
  clinic: name,
  phone: settings.phone,
  emergencyNumber: settings.emergencyNumber,
  urgentNumber: settings.urgentAdvice,
  crisisNumber: settings.crisisNumber,
})

/** When it may go out; null when it would be over by then. */
function place(
  { now }: Scope,
  { clinic, template, dueAt = now, expiresAt, urgent = URGENT.has(template) }: Letter,
  closesAt?: Temporal.Instant,
): { dueAt: Temporal.Instant; expiresAt: Temporal.Instant; urgent: boolean } | null {
  const due = urgent ? dueAt : nextAllowed(dueAt, clinic.zone, clinic.settings.quietHours)
  const last = expiresAt ?? closesAt ?? due.add({ hours: 24 })
  return Temporal.Instant.compare(due, last) < 0 ? { dueAt: due, expiresAt: last, urgent } : null
}
