/** Patients, visits, plans and messages as rows, for the tests of sending and receiving. */
import { randomUUID } from 'node:crypto'
import { eq, sql } from 'drizzle-orm'
import type { Temporal } from 'temporal-polyfill'
import { loadClinic } from '../../src/clinic.ts'
import { message, patient, plan, practitioner, visit } from '../../src/database/schema.ts'
import { inClinic, type Scope, type Service } from '../../src/database/service.ts'
import type { DeliverOptions, UndeliveredMessage } from '../../src/messages/outbox.ts'
import { type Recipient, sendToPatient } from '../../src/messages/send.ts'
import { type NewMessage, queueMessage } from '../../src/messages/store.ts'
import type { OutgoingMessage, Transport } from '../../src/messages/transports/transport.ts'

/** Numbers from the range reserved for fiction. */
export const mobileOf = (n: number): string => `+4477009${String(n).padStart(5, '0')}`

let counter = 0

export async function addPatient(
  scope: Scope,
  given: { mobile?: string | null; email?: string | null; birthDate?: string | null } = {},
): Promise<Recipient & { mobile: string | null }> {
  const { tx, clinicId, vault, now } = scope
  counter += 1
  const mobile = given.mobile === undefined ? mobileOf(counter % 1000) : given.mobile
  const email = given.email ?? null
  const birthDate = given.birthDate === undefined ? '1941-06-02' : given.birthDate
  const [row] = await tx
    .insert(patient)
    .values({
      clinicId,
      identityBlind: vault.blind(randomUUID()),
      nameSealed: vault.seal('Ada Invented'),
      mobileSealed: mobile ? vault.seal(mobile) : null,
      mobileBlind: mobile ? vault.blind(mobile) : null,
      emailSealed: email ? vault.seal(email) : null,
      emailBlind: email ? vault.blind(email) : null,
      birthDateSealed: birthDate ? vault.seal(birthDate) : null,
      createdAt: now,
      updatedAt: now,
    })
    .returning({ id: patient.patientId })
  const patientId = row?.id as string
  return { patientId, name: 'Ada Invented', mobile, email, language: 'en', stoppedAt: null }
}

export async function addPlan(
  scope: Scope,
  patientId: string,
  status: (typeof plan.$inferSelect)['status'] = 'active',
): Promise<{ visitId: string; planId: string }> {
  const { tx, clinicId, now } = scope
  const [who] = await tx
    .insert(practitioner)
    .values({ clinicId, name: 'P. Invented' })
    .onConflictDoUpdate({
      target: [practitioner.clinicId, practitioner.name],
      set: { name: 'P. Invented' },
    })
    .returning({ id: practitioner.practitionerId })
  const [booked] = await tx
    .insert(visit)
    .values({
      clinicId,
      reference: randomUUID(),
      patientId,
      practitionerId: who?.id as string,
      startAt: now.add({ hours: 24 * 6 }),
      minutes: 30,
      purpose: 'removal',
      ears: 'left',
      status: 'booked',
      bookedAt: now,
      updatedAt: now,
    })
    .returning({ id: visit.visitId })
  const visitId = booked?.id as string
  const [made] = await tx
    .insert(plan)
    .values({ clinicId, visitId, patientId, status, agent: 'olive-oil', detail: {}, createdAt: now })
    .returning({ id: plan.planId })
  return { visitId, planId: made?.id as string }
}

/** A plain message to the patient, due now. */
export async function addMessage(
  scope: Scope,
  to: Recipient,
  given: Partial<NewMessage> = {},
): Promise<void> {
  await queueMessage(scope, {
    dedupe: randomUUID(),
    patientId: to.patientId,
    kind: 'visit-reminder',
    channel: 'text',
    to: to.mobile as string,
    body: 'You have a visit.',
    segments: 1,
    dueAt: scope.now,
    expiresAt: scope.now.add({ hours: 24 }),
    ...given,
  })
}

/** Many patients with one due message each. */
export async function addMany(service: Service, clinicId: string, count: number): Promise<void> {
  await inClinic(service, clinicId, async (scope) => {
    for (let i = 0; i < count; i += 1) await addMessage(scope, await addPatient(scope))
  })
}

/** The daily question of a plan, with its message and link. */
export async function askDose(
  scope: Scope,
  to: Recipient,
  day: string,
  dedupe: string,
  times: { dueAt?: Temporal.Instant; closesAt?: Temporal.Instant } = {},
): ReturnType<typeof sendToPatient> {
  return await sendToPatient(scope, {
    clinic: await loadClinic(scope),
    patient: to,
    template: 'dose-question',
    values: { doses: 2 },
    dedupe,
    dueAt: times.dueAt,
    question: { kind: 'dose', day, closesAt: times.closesAt ?? scope.now.add({ hours: 36 }) },
  })
}

export interface RecordingTransport extends Transport {
  sent: OutgoingMessage[]
}

/** A transport that keeps what it was given; `behave` may throw or wait. */
export function recordingTransport(
  behave: (message: OutgoingMessage) => void | Promise<void> = () => {},
  options: Partial<Transport> = {},
): RecordingTransport {
  const sent: OutgoingMessage[] = []
  return {
    name: 'handset',
    requiresSignature: false,
    ...options,
    sent,
    send: async (given) => {
      await behave(given)
      sent.push(given)
      return { ref: `ref-${given.id}` }
    },
  }
}

export interface Watched extends DeliverOptions {
  failures: UndeliveredMessage[]
}

export function watching(options: Partial<DeliverOptions> = {}): Watched {
  const failures: UndeliveredMessage[] = []
  return {
    isSigned: async () => false,
    onFailed: async (_, failed) => void failures.push(failed),
    random: () => 0.5,
    ...options,
    failures,
  }
}

export type MessageRow = typeof message.$inferSelect

export function messagesOf(service: Service, clinicId: string, patientId?: string): Promise<MessageRow[]> {
  return inClinic(service, clinicId, ({ tx }) =>
    tx
      .select()
      .from(message)
      .where(patientId ? eq(message.patientId, patientId) : sql`true`)
      .orderBy(message.createdAt, message.messageId),
  )
}

export async function statusCounts(service: Service, clinicId: string): Promise<Record<string, number>> {
  const rows = await messagesOf(service, clinicId)
  const counts: Record<string, number> = {}
  for (const { status } of rows) counts[status] = (counts[status] ?? 0) + 1
  return counts
}

export const setPatient = (
  { tx }: Scope,
  patientId: string,
  set: Partial<typeof patient.$inferInsert>,
): Promise<unknown> => tx.update(patient).set(set).where(eq(patient.patientId, patientId))
