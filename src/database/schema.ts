/** The tables as the queries see them; a test holds this file against the migrated database. */

import { sql } from 'drizzle-orm'
import {
  bigint,
  boolean,
  customType,
  date,
  doublePrecision,
  integer,
  jsonb,
  pgTable,
  text,
  uuid,
} from 'drizzle-orm/pg-core'
import { Temporal } from 'temporal-polyfill'

/** timestamptz as Temporal.Instant; the session's zone is UTC. */
export const instant = customType<{ data: Temporal.Instant; driverData: string }>({
  dataType: () => 'timestamptz',
  toDriver: (value) => value.toString(),
  fromDriver: (value) => Temporal.Instant.from(value),
})

/** Ciphertext (columns *_sealed) or a keyed hash (columns *_blind and *_hash). */
export const bytes = customType<{ data: Buffer; driverData: Buffer }>({ dataType: () => 'bytea' })

export const clinicDirectory = pgTable('clinic_directory', {
  clinicId: uuid().primaryKey().default(sql`uuidv7()`),
  slug: text().notNull(),
  createdAt: instant().notNull(),
})

export const clinic = pgTable('clinic', {
  clinicId: uuid().primaryKey(),
  name: text().notNull(),
  zone: text().notNull(),
  settings: jsonb().$type<unknown>().notNull(),
  demo: boolean().notNull().default(false),
  createdAt: instant().notNull(),
})

export const dataKey = pgTable('data_key', {
  clinicId: uuid().notNull(),
  keyId: integer().notNull(),
  masterId: text().notNull(),
  wrapped: bytes().notNull(),
  createdAt: instant().notNull(),
  retiredAt: instant(),
})

export const staff = pgTable('staff', {
  clinicId: uuid().notNull(),
  staffId: uuid().notNull().default(sql`uuidv7()`),
  nameSealed: bytes().notNull(),
  emailSealed: bytes().notNull(),
  emailBlind: bytes().notNull(),
  mobileSealed: bytes(),
  role: text({ enum: ['clinician', 'reception', 'owner'] }).notNull(),
  registration: text(),
  escalationOrder: integer(),
  passwordHash: text(),
  totpSealed: bytes(),
  totpLastStep: bigint({ mode: 'number' }),
  createdAt: instant().notNull(),
  leftAt: instant(),
})

export const passkey = pgTable('passkey', {
  clinicId: uuid().notNull(),
  credentialId: text().notNull(),
  staffId: uuid().notNull(),
  publicKey: bytes().notNull(),
  counter: bigint({ mode: 'number' }).notNull(),
  transports: jsonb().$type<unknown>().notNull().default([]),
  label: text().notNull(),
  createdAt: instant().notNull(),
  usedAt: instant(),
})

export const recoveryCode = pgTable('recovery_code', {
  clinicId: uuid().notNull(),
  staffId: uuid().notNull(),
  codeHash: bytes().notNull(),
  usedAt: instant(),
})

export const invitation = pgTable('invitation', {
  clinicId: uuid().notNull(),
  tokenHash: bytes().notNull(),
  emailSealed: bytes().notNull(),
  nameSealed: bytes().notNull(),
  role: text({ enum: ['clinician', 'reception', 'owner'] }).notNull(),
  invitedBy: uuid(),
  createdAt: instant().notNull(),
  expiresAt: instant().notNull(),
  usedAt: instant(),
  staffId: uuid(),
})

export const session = pgTable('session', {
  clinicId: uuid().notNull(),
  sessionHash: bytes().notNull(),
  staffId: uuid().notNull(),
  createdAt: instant().notNull(),
  seenAt: instant().notNull(),
  expiresAt: instant().notNull(),
  reauthAt: instant(),
  revokedAt: instant(),
  device: text().notNull().default(''),
})

export const signInChallenge = pgTable('sign_in_challenge', {
  clinicId: uuid().notNull(),
  challengeHash: bytes().notNull(),
  purpose: text({ enum: ['sign in', 'confirm', 'add passkey'] }).notNull(),
  staffId: uuid(),
  expiresAt: instant().notNull(),
})

export const rateLimit = pgTable('rate_limit', {
  clinicId: uuid().notNull(),
  subject: bytes().notNull(),
  windowStart: instant().notNull(),
  hits: integer().notNull(),
  blockedUntil: instant(),
})

export const protocol = pgTable('protocol', {
  clinicId: uuid().notNull(),
  version: integer().notNull(),
  document: jsonb().$type<unknown>().notNull(),
  note: text().notNull(),
  createdAt: instant().notNull(),
  createdBy: uuid(),
  signedAt: instant(),
  signedBy: uuid(),
  signedName: text(),
  signedRegistration: text(),
})

export const practitioner = pgTable('practitioner', {
  clinicId: uuid().notNull(),
  practitionerId: uuid().notNull().default(sql`uuidv7()`),
  name: text().notNull(),
  staffId: uuid(),
})

export const patient = pgTable('patient', {
  clinicId: uuid().notNull(),
  patientId: uuid().notNull().default(sql`uuidv7()`),
  identityBlind: bytes().notNull(),
  nameSealed: bytes().notNull(),
  mobileSealed: bytes(),
  mobileBlind: bytes(),
  emailSealed: bytes(),
  emailBlind: bytes(),
  birthDateSealed: bytes(),
  language: text().notNull().default('en'),
  risksSealed: bytes(),
  stoppedAt: instant(),
  numberWrongAt: instant(),
  consent: jsonb().$type<unknown>(),
  createdAt: instant().notNull(),
  updatedAt: instant().notNull(),
})

export const visit = pgTable('visit', {
  clinicId: uuid().notNull(),
  visitId: uuid().notNull().default(sql`uuidv7()`),
  reference: text().notNull(),
  patientId: uuid().notNull(),
  practitionerId: uuid().notNull(),
  startAt: instant().notNull(),
  minutes: integer().notNull(),
  purpose: text({ enum: ['assessment', 'removal', 'recheck'] }).notNull(),
  ears: text({ enum: ['left', 'right', 'both'] }).notNull(),
  room: text(),
  status: text({ enum: ['booked', 'cancelled', 'done', 'missed'] }).notNull(),
  urgent: boolean().notNull().default(false),
  inPain: boolean().notNull().default(false),
  recurrent: boolean().notNull().default(false),
  movedCount: integer().notNull().default(0),
  version: integer().notNull().default(1),
  imported: jsonb().$type<unknown>(),
  bookedAt: instant().notNull(),
  updatedAt: instant().notNull(),
})

export const screening = pgTable('screening', {
  clinicId: uuid().notNull(),
  visitId: uuid().notNull(),
  patientId: uuid().notNull(),
  status: text({ enum: ['asked', 'asked-again', 'answered', 'to-person', 'overdue', 'cancelled'] }).notNull(),
  askedAt: instant().notNull(),
  deadlineAt: instant().notNull(),
  answersSealed: bytes(),
  outcomeSealed: bytes(),
  decidedAt: instant(),
})

export const plan = pgTable('plan', {
  clinicId: uuid().notNull(),
  planId: uuid().notNull().default(sql`uuidv7()`),
  visitId: uuid().notNull(),
  patientId: uuid().notNull(),
  status: text({ enum: ['active', 'withheld', 'replaced', 'cancelled', 'done'] }).notNull(),
  agent: text().notNull(),
  detail: jsonb().$type<unknown>().notNull(),
  firstDay: date({ mode: 'string' }),
  lastDay: date({ mode: 'string' }),
  readiness: doublePrecision(),
  readinessDetail: jsonb().$type<unknown>(),
  readinessAt: instant(),
  createdAt: instant().notNull(),
})

export const clinicModel = pgTable('clinic_model', {
  clinicId: uuid().primaryKey(),
  adherence: jsonb().$type<unknown>().notNull(),
  link: jsonb().$type<unknown>().notNull(),
  fittedAt: instant().notNull(),
})

export const question = pgTable('question', {
  clinicId: uuid().notNull(),
  questionId: uuid().notNull().default(sql`uuidv7()`),
  patientId: uuid().notNull(),
  kind: text({ enum: ['screening', 'dose', 'softened', 'check', 'move', 'recall'] }).notNull(),
  visitId: uuid(),
  planId: uuid(),
  checkId: uuid(),
  moveId: uuid(),
  day: date({ mode: 'string' }),
  detail: jsonb().$type<unknown>().notNull().default({}),
  askedAt: instant().notNull(),
  closesAt: instant().notNull(),
  answeredAt: instant(),
  withdrawnAt: instant(),
})

export const message = pgTable('message', {
  clinicId: uuid().notNull(),
  messageId: uuid().notNull().default(sql`uuidv7()`),
  dedupe: text().notNull(),
  patientId: uuid(),
  staffId: uuid(),
  visitId: uuid(),
  planId: uuid(),
  questionId: uuid(),
  concernId: uuid(),
  kind: text().notNull(),
  day: date({ mode: 'string' }),
  channel: text({ enum: ['text', 'email'] }).notNull(),
  toSealed: bytes().notNull(),
  bodySealed: bytes().notNull(),
  segments: integer().notNull(),
  advisesDrops: boolean().notNull().default(false),
  urgent: boolean().notNull().default(false),
  dueAt: instant().notNull(),
  expiresAt: instant().notNull(),
  status: text({ enum: ['queued', 'sending', 'sent', 'delivered', 'failed', 'cancelled', 'expired'] })
    .notNull()
    .default('queued'),
  transport: text(),
  attempts: integer().notNull().default(0),
  leaseUntil: instant(),
  providerRef: text(),
  lastError: text(),
  sentAt: instant(),
  createdAt: instant().notNull(),
})

export const link = pgTable('link', {
  clinicId: uuid().notNull(),
  linkHash: bytes().notNull(),
  patientId: uuid().notNull(),
  questionId: uuid(),
  purpose: text({ enum: ['question', 'visit', 'stop'] }).notNull(),
  contactBlind: bytes(),
  createdAt: instant().notNull(),
  expiresAt: instant().notNull(),
  revokedAt: instant(),
  factTries: integer().notNull().default(0),
  factGivenAt: instant(),
})

export const reply = pgTable('reply', {
  clinicId: uuid().notNull(),
  replyId: uuid().notNull().default(sql`uuidv7()`),
  transport: text().notNull(),
  providerId: text().notNull(),
  fromSealed: bytes(),
  fromBlind: bytes(),
  patientId: uuid(),
  questionId: uuid(),
  bodySealed: bytes().notNull(),
  receivedAt: instant().notNull(),
  readAt: instant(),
  readAttempts: integer().notNull().default(0),
  readingSealed: bytes(),
  urgency: text({ enum: ['none', 'unclear', 'soon', 'today', 'now'] }),
  score: integer(),
  protocolVersion: integer(),
})

export const correction = pgTable('correction', {
  clinicId: uuid().notNull(),
  correctionId: uuid().notNull().default(sql`uuidv7()`),
  replyId: uuid().notNull(),
  byStaff: uuid().notNull(),
  wasUrgency: text().notNull(),
  rightUrgency: text({ enum: ['none', 'unclear', 'soon', 'today', 'now'] }).notNull(),
  noteSealed: bytes(),
  createdAt: instant().notNull(),
})

export const doseDay = pgTable('dose_day', {
  clinicId: uuid().notNull(),
  planId: uuid().notNull(),
  day: date({ mode: 'string' }).notNull(),
  ear: text({ enum: ['left', 'right'] }).notNull(),
  planned: integer().notNull(),
  done: integer(),
  some: boolean().notNull().default(false),
  replyId: uuid(),
  answeredAt: instant(),
})

export const slot = pgTable('slot', {
  clinicId: uuid().notNull(),
  slotId: uuid().notNull().default(sql`uuidv7()`),
  practitionerId: uuid().notNull(),
  startAt: instant().notNull(),
  minutes: integer().notNull(),
  room: text(),
  status: text({ enum: ['open', 'held', 'taken', 'withdrawn'] }).notNull(),
  heldBy: uuid(),
  heldUntil: instant(),
  visitId: uuid(),
})

export const move = pgTable('move', {
  clinicId: uuid().notNull(),
  moveId: uuid().notNull().default(sql`uuidv7()`),
  visitId: uuid().notNull(),
  patientId: uuid().notNull(),
  kind: text({ enum: ['move', 'lengthen', 'assessment', 'keep'] }).notNull(),
  status: text({
    enum: ['waiting', 'proposed', 'accepted', 'declined', 'expired', 'withdrawn', 'done'],
  }).notNull(),
  choices: jsonb().$type<unknown>().notNull(),
  chosen: integer(),
  reason: text().notNull(),
  proposedBy: uuid(),
  proposedAt: instant().notNull(),
  deadlineAt: instant().notNull(),
  answeredAt: instant(),
})

export const procedureRecord = pgTable('procedure_record', {
  clinicId: uuid().notNull(),
  recordId: uuid().notNull().default(sql`uuidv7()`),
  visitId: uuid().notNull(),
  patientId: uuid().notNull(),
  ear: text({ enum: ['left', 'right'] }).notNull(),
  byStaff: uuid().notNull(),
  doneAt: instant().notNull(),
  softness: text().notNull(),
  result: text().notNull(),
  difficulty: text().notNull(),
  detailSealed: bytes().notNull(),
})

export const aftercareCheck = pgTable('aftercare_check', {
  clinicId: uuid().notNull(),
  checkId: uuid().notNull().default(sql`uuidv7()`),
  visitId: uuid().notNull(),
  patientId: uuid().notNull(),
  number: integer().notNull(),
  dueAt: instant().notNull(),
  status: text({ enum: ['planned', 'answered', 'missed', 'cancelled'] }).notNull(),
  difficulty: text().notNull(),
  answeredAt: instant(),
})

export const concern = pgTable('concern', {
  clinicId: uuid().notNull(),
  concernId: uuid().notNull().default(sql`uuidv7()`),
  patientId: uuid(),
  replyId: uuid(),
  visitId: uuid(),
  source: text({ enum: ['reply', 'silence', 'screening', 'unknown-sender', 'unread'] }).notNull(),
  urgency: text({ enum: ['unclear', 'soon', 'today', 'now'] }).notNull(),
  score: integer().notNull(),
  reason: text().notNull(),
  openedAt: instant().notNull(),
  warnAt: instant().notNull(),
  deadlineAt: instant().notNull(),
  status: text({ enum: ['open', 'claimed', 'closed'] }).notNull(),
  claimedBy: uuid(),
  claimedAt: instant(),
  warnedAt: instant(),
  escalatedAt: instant(),
  closedAt: instant(),
  closedBy: uuid(),
  outcome: text(),
})

export const concernEvent = pgTable('concern_event', {
  clinicId: uuid().notNull(),
  concernId: uuid().notNull(),
  eventId: uuid().notNull().default(sql`uuidv7()`),
  at: instant().notNull(),
  byStaff: uuid(),
  kind: text().notNull(),
  noteSealed: bytes(),
})

export const deskItem = pgTable('desk_item', {
  clinicId: uuid().notNull(),
  itemId: uuid().notNull().default(sql`uuidv7()`),
  dedupe: text().notNull(),
  kind: text().notNull(),
  patientId: uuid(),
  visitId: uuid(),
  noteSealed: bytes(),
  openedAt: instant().notNull(),
  dueAt: instant(),
  doneAt: instant(),
  doneBy: uuid(),
})

export const notice = pgTable('notice', {
  clinicId: uuid().notNull(),
  noticeId: uuid().notNull().default(sql`uuidv7()`),
  dedupe: text().notNull(),
  staffId: uuid().notNull(),
  concernId: uuid(),
  kind: text().notNull(),
  at: instant().notNull(),
  seenAt: instant(),
})

export const auditHead = pgTable('audit_head', {
  clinicId: uuid().primaryKey(),
  seq: bigint({ mode: 'number' }).notNull(),
  hash: bytes().notNull(),
})

export const audit = pgTable('audit', {
  clinicId: uuid().notNull(),
  seq: bigint({ mode: 'number' }).notNull(),
  at: instant().notNull(),
  actor: text().notNull(),
  action: text().notNull(),
  patientId: uuid(),
  subject: text(),
  detail: jsonb().$type<unknown>().notNull(),
  previousHash: bytes().notNull(),
  hash: bytes().notNull(),
})

export const retention = pgTable('retention', {
  clinicId: uuid().notNull(),
  kind: text().notNull(),
  days: integer().notNull(),
  confirmedBy: uuid().notNull(),
  confirmedAt: instant().notNull(),
})

export const jobRun = pgTable('job_run', {
  clinicId: uuid().notNull(),
  job: text().notNull(),
  startedAt: instant().notNull(),
  finishedAt: instant(),
  done: integer().notNull().default(0),
  error: text(),
})
