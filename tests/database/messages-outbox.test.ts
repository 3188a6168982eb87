import { eq } from 'drizzle-orm'
import { Temporal } from 'temporal-polyfill'
import { beforeEach, expect, test } from 'vitest'
import { verifyAudit } from '../../src/access/audit.ts'
import { audit, message, plan, question } from '../../src/database/schema.ts'
import { inClinic } from '../../src/database/service.ts'
import { deliverDue, receiveReceipt, tidyOutbox } from '../../src/messages/outbox.ts'
import { claimDue, recordOutcomes } from '../../src/messages/outbox-store.ts'
import {
  cancelMessages,
  closeQuestion,
  openQuestions,
  queueMessage,
  withdrawQuestions,
} from '../../src/messages/store.ts'
import { Permanent, Retryable } from '../../src/messages/transports/transport.ts'
import { testDatabase } from '../support/database.ts'
import {
  addMany,
  addMessage,
  addPatient,
  addPlan,
  askDose,
  messagesOf,
  recordingTransport,
  setPatient,
  statusCounts,
  watching,
} from './messages-fixtures.ts'

const { service, clock, addClinic } = await testDatabase('2026-03-02T12:00:00Z')

let clinicId: string
let clinics = 0
beforeEach(async () => {
  clinics += 1
  // Each test at noon of a day of its own, in a clinic of its own.
  clock.set(Temporal.Instant.from('2026-03-02T12:00:00Z').add({ hours: 24 * clinics }))
  clinicId = await addClinic(`outbox-${clinics}`)
})
const within = <T>(work: Parameters<typeof inClinic<T>>[2]) => inClinic(service, clinicId, work)
const deliver = (transport = recordingTransport(), options = watching()) =>
  deliverDue(service, clinicId, { handset: transport }, options)

test('eight workers at once send each message once', async () => {
  await addMany(service, clinicId, 300)
  const transport = recordingTransport(() => new Promise((resolve) => setImmediate(resolve)))
  const deliveries = await Promise.all(
    Array.from({ length: 8 }, () => deliver(transport, watching({ workers: 1, batch: 7 }))),
  )
  expect(transport.sent.length).toBe(300)
  expect(new Set(transport.sent.map(({ id }) => id)).size).toBe(300)
  expect(deliveries.reduce((sum, { sent }) => sum + sent, 0)).toBe(300)
  expect(deliveries.reduce((sum, { late }) => sum + late, 0)).toBe(0)
  expect(await statusCounts(service, clinicId)).toEqual({ sent: 300 })
  expect((await messagesOf(service, clinicId)).every(({ attempts }) => attempts === 1)).toBe(true)
})

test('the audit names each message sent, and its chain holds', async () => {
  await addMany(service, clinicId, 30)
  await deliver(recordingTransport(), watching({ batch: 10 }))
  const entries = await within(({ tx }) => tx.select().from(audit).where(eq(audit.action, 'send messages')))
  const named = entries.flatMap(({ detail }) => (detail as { ids: string[] }).ids)
  const rows = await messagesOf(service, clinicId)
  expect([...named].sort()).toEqual(rows.map(({ messageId }) => messageId).sort())
  expect((await within(verifyAudit)).broken).toBeNull()
})

test('a message of a dead worker comes back when its lease ends, and the dead one can no longer record', async () => {
  await addMany(service, clinicId, 1)
  const leaseUntil = clock.now().add({ seconds: 60 })
  const claim = () =>
    within((scope) => claimDue(scope, { transport: 'handset', limit: 10, leaseUntil, urgentOnly: false }))
  const [dead] = await claim()
  expect(await claim()).toEqual([])
  clock.advance({ seconds: 59 })
  expect(await tidyOutbox(service, clinicId, watching())).toEqual({ requeued: 0, failed: 0, expired: 0 })
  clock.advance({ seconds: 1 })
  expect(await tidyOutbox(service, clinicId, watching())).toEqual({ requeued: 1, failed: 0, expired: 0 })
  const transport = recordingTransport()
  expect(await deliver(transport)).toMatchObject({ sent: 1 })
  expect(transport.sent[0]?.id).toBe(dead?.messageId)
  const late = { messageId: dead?.messageId as string, attempt: 1, status: 'failed' as const, error: 'late' }
  expect((await within((scope) => recordOutcomes(scope, [late]))).size).toBe(0)
  expect(await messagesOf(service, clinicId)).toMatchObject([{ status: 'sent', attempts: 2 }])
})

test('a message that kills its worker each time is given up and reaches a person', async () => {
  await addMany(service, clinicId, 1)
  const watched = watching()
  for (let attempt = 1; attempt <= 12; attempt += 1) {
    const leaseUntil = clock.now().add({ seconds: 60 })
    const claim = await within((scope) =>
      claimDue(scope, { transport: 'handset', limit: 1, leaseUntil, urgentOnly: false }),
    )
    expect(claim.length).toBe(1)
    clock.advance({ seconds: 60 })
    await tidyOutbox(service, clinicId, watched)
  }
  expect(watched.failures).toMatchObject([{ why: 'lease-ended', kind: 'visit-reminder' }])
  expect(await statusCounts(service, clinicId)).toEqual({ failed: 1 })
})

test('a failed try waits 30 seconds times two to the tries, with jitter, and an attempt costs one', async () => {
  await addMany(service, clinicId, 1)
  let failing = true
  const transport = recordingTransport(() => {
    if (failing) throw new Retryable('Busy')
  })
  const start = clock.now()
  expect(await deliver(transport)).toMatchObject({ retried: 1, sent: 0 })
  // 1 s and half of 30 s, then half of 60 s.
  expect(await messagesOf(service, clinicId)).toMatchObject([
    { status: 'queued', attempts: 1, lastError: 'Busy' },
  ])
  clock.advance({ seconds: 15 })
  expect(await deliver(transport)).toMatchObject({ retried: 0, sent: 0 })
  clock.advance({ seconds: 1 })
  expect(await deliver(transport)).toMatchObject({ retried: 1 })
  const [row] = await messagesOf(service, clinicId)
  expect(row?.dueAt.since(start).total('seconds')).toBe(16 + 31)
  failing = false
  clock.advance({ seconds: 31 })
  expect(await deliver(transport)).toMatchObject({ sent: 1 })
  expect(await messagesOf(service, clinicId)).toMatchObject([
    { status: 'sent', attempts: 3, lastError: null },
  ])
})

test('the other side may ask for more patience', async () => {
  await addMany(service, clinicId, 1)
  const transport = recordingTransport(() => {
    throw new Retryable('Slow down', 600)
  })
  await deliver(transport, watching({ random: () => 0 }))
  const [row] = await messagesOf(service, clinicId)
  expect(row?.dueAt.since(clock.now()).total('seconds')).toBe(600)
})

test('a fault of the transport itself is tried again, and nothing of its words is kept', async () => {
  await addMany(service, clinicId, 1)
  const transport = recordingTransport(({ to }) => {
    throw new TypeError(`cannot send to ${to}`)
  })
  expect(await deliver(transport)).toMatchObject({ retried: 1 })
  expect(await messagesOf(service, clinicId)).toMatchObject([{ status: 'queued', lastError: 'TypeError' }])
})

test('a number in the reason of a failure is not kept', async () => {
  await addMany(service, clinicId, 1)
  const transport = recordingTransport(({ to }) => {
    throw new Permanent(`No such number ${to} (ask ada@example.org)`)
  })
  await deliver(transport)
  expect(await messagesOf(service, clinicId)).toMatchObject([{ lastError: 'No such number ... (ask ...' }])
})

test('a final failure and what follows from it commit together or not at all', async () => {
  await addMany(service, clinicId, 3)
  const [doomed] = await messagesOf(service, clinicId)
  const transport = recordingTransport(({ id }) => {
    if (id === doomed?.messageId) throw new Permanent('No such number')
  })
  const broken = watching({
    onFailed: () => Promise.reject(new Error('The desk cannot be written.')),
  })
  await expect(deliver(transport, broken)).rejects.toThrow('The desk')
  // What was sent is recorded all the same, or it would be sent again.
  expect(await statusCounts(service, clinicId)).toEqual({ sending: 1, sent: 2 })
  clock.advance({ seconds: 60 })
  await tidyOutbox(service, clinicId, watching())
  const watched = watching()
  expect(await deliver(transport, watched)).toMatchObject({ failed: 1 })
  expect(watched.failures).toEqual([
    {
      messageId: doomed?.messageId,
      patientId: doomed?.patientId,
      visitId: null,
      kind: 'visit-reminder',
      why: 'No such number',
    },
  ])
  expect(await deliver(transport, watched)).toMatchObject({ failed: 0 })
})

test('after twelve tries a message is given up', async () => {
  await within(async (scope) => {
    await addMessage(scope, await addPatient(scope), {
      expiresAt: scope.now.add({ hours: 24 * 9 }),
      urgent: true,
    })
  })
  const transport = recordingTransport(() => {
    throw new Retryable('Busy')
  })
  const watched = watching()
  for (let i = 1; i <= 12; i += 1) {
    expect(watched.failures.length).toBe(0)
    await deliver(transport, watched)
    clock.advance({ seconds: 121 })
  }
  expect(watched.failures).toMatchObject([{ why: 'Busy' }])
})

test('a try that would come after its time is no longer made: somebody is told at once', async () => {
  await within(async (scope) => {
    await addMessage(scope, await addPatient(scope), { expiresAt: scope.now.add({ seconds: 10 }) })
  })
  const watched = watching()
  const transport = recordingTransport(() => {
    throw new Retryable('Busy')
  })
  expect(await deliver(transport, watched)).toMatchObject({ failed: 1 })
  expect(watched.failures.length).toBe(1)
})

test('what is past its time is never sent, and somebody is told', async () => {
  await addMany(service, clinicId, 2)
  clock.advance({ hours: 24 })
  const transport = recordingTransport()
  const watched = watching({ batch: 1, workers: 1 })
  await deliver(transport, watched)
  expect(transport.sent).toEqual([])
  expect(watched.failures.map(({ why }) => why)).toEqual(['expired', 'expired'])
  expect(await statusCounts(service, clinicId)).toEqual({ expired: 2 })
})

test('what is past its time is closed also where no transport is open', async () => {
  await addMany(service, clinicId, 1)
  clock.advance({ hours: 24 })
  const watched = watching()
  expect(await tidyOutbox(service, clinicId, watched)).toEqual({ requeued: 0, failed: 0, expired: 1 })
  expect(watched.failures.length).toBe(1)
})

test('a STOP between queue and claim holds back all but the answers to what the patient wrote', async () => {
  const to = await within(async (scope) => {
    const to = await addPatient(scope)
    await addMessage(scope, to)
    await addMessage(scope, to, { kind: 'aftercare-check' })
    for (const kind of ['safety-now', 'stop-confirmed', 'clinician-reply'])
      await addMessage(scope, to, { kind })
    await setPatient(scope, to.patientId, { stoppedAt: scope.now })
    return to
  })
  const transport = recordingTransport()
  expect(await deliver(transport)).toMatchObject({ sent: 3, cancelled: 2, failed: 0 })
  const rows = await messagesOf(service, clinicId, to.patientId)
  const kinds = (status: string) => rows.filter((row) => row.status === status).map(({ kind }) => kind)
  expect(kinds('sent').sort()).toEqual(['clinician-reply', 'safety-now', 'stop-confirmed'])
  expect(kinds('cancelled').sort()).toEqual(['aftercare-check', 'visit-reminder'])
})

test('drops are advised only while their plan is active', async () => {
  const texts = await within(async (scope) => {
    const to = await addPatient(scope)
    const statuses = ['active', 'withheld', 'replaced', 'cancelled', 'done'] as const
    for (const status of statuses) {
      const { planId } = await addPlan(scope, to.patientId, status)
      await addMessage(scope, to, { planId, advisesDrops: true, urgent: true, body: `drops ${status}` })
      await addMessage(scope, to, { planId, body: `about ${status}` })
    }
    return statuses
  })
  expect(texts.length).toBe(5)
  const transport = recordingTransport()
  await deliver(transport)
  expect(transport.sent.map(({ body }) => body).sort()).toEqual([
    'about active',
    'about done',
    'about withheld',
    'drops active',
  ])
})

test('a message that advises drops must name its plan', async () => {
  await within(async (scope) => {
    const to = await addPatient(scope)
    await expect(addMessage(scope, to, { advisesDrops: true })).rejects.toThrow('must name the plan')
  })
})

test('a plan that ends while its message waits for another try ends the message too', async () => {
  const planId = await within(async (scope) => {
    const to = await addPatient(scope)
    const { planId } = await addPlan(scope, to.patientId)
    await addMessage(scope, to, { planId, advisesDrops: true })
    return planId
  })
  let calls = 0
  const transport = recordingTransport(() => {
    calls += 1
    throw new Retryable('Busy')
  })
  await deliver(transport)
  await within(({ tx }) => tx.update(plan).set({ status: 'withheld' }).where(eq(plan.planId, planId)))
  clock.advance({ hours: 1 })
  expect(await deliver(transport)).toMatchObject({ cancelled: 1, retried: 0 })
  expect(calls).toBe(1)
})

test('a question that was answered or taken back is not asked', async () => {
  const patients = await within(async (scope) => {
    const made = [await addPatient(scope), await addPatient(scope), await addPatient(scope)]
    for (const to of made) await askDose(scope, to, '2026-03-05', `dose-${to.patientId}`)
    return made
  })
  const [answered, withdrawn, asked] = patients.map(({ patientId }) => patientId) as [string, string, string]
  await within(async (scope) => {
    const [row] = await scope.tx.select().from(question).where(eq(question.patientId, answered))
    await closeQuestion(scope, row?.questionId as string, scope.now)
    expect(await withdrawQuestions(scope, { patientId: withdrawn })).toBe(1)
  })
  await deliver()
  const status = async (id: string) => (await messagesOf(service, clinicId, id))[0]?.status
  expect([await status(answered), await status(withdrawn), await status(asked)]).toEqual([
    'cancelled',
    'cancelled',
    'sent',
  ])
})

test('a wrong number gets nothing more; a number that changed reaches a person', async () => {
  await within(async (scope) => {
    const wrong = await addPatient(scope)
    const moved = await addPatient(scope)
    const gone = await addPatient(scope, { mobile: '+447700900777' })
    await addMessage(scope, wrong)
    await addMessage(scope, moved)
    await addMessage(scope, gone)
    await setPatient(scope, wrong.patientId, { numberWrongAt: scope.now })
    await setPatient(scope, moved.patientId, {
      mobileSealed: scope.vault.seal('+447700900999'),
      updatedAt: scope.now,
    })
    await scope.tx.execute(`delete from patient where patient_id = '${gone.patientId}'`)
  })
  const transport = recordingTransport()
  const watched = watching()
  expect(await deliver(transport, watched)).toMatchObject({ sent: 0, cancelled: 2, failed: 1 })
  expect(watched.failures.map(({ why }) => why)).toEqual(['contact-changed'])
})

test('a row that does not open holds up no other', async () => {
  await addMany(service, clinicId, 3)
  await within(async ({ tx, vault }) => {
    const [row] = await tx.select().from(message)
    const broken = vault.seal('You have a visit.')
    broken.writeUInt8(broken.readUInt8(40) ^ 1, 40)
    await tx
      .update(message)
      .set({ bodySealed: broken })
      .where(eq(message.messageId, row?.messageId as string))
  })
  const watched = watching()
  expect(await deliver(recordingTransport(), watched)).toMatchObject({ sent: 2, failed: 1 })
  expect(watched.failures.map(({ why }) => why)).toEqual(['unreadable'])
})

test('a key that is missing holds up everything and says so', async () => {
  await addMany(service, clinicId, 1)
  await within(({ tx, vault }) => {
    const sealed = vault.seal('You have a visit.')
    sealed.writeUInt32BE(9, 1)
    return tx.update(message).set({ bodySealed: sealed })
  })
  await expect(deliver()).rejects.toThrow('The data key 9 is missing')
  expect(await statusCounts(service, clinicId)).toEqual({ queued: 1 })
})

test('cancelling while a message is being handed over: no second try', async () => {
  await addMany(service, clinicId, 1)
  const [row] = await messagesOf(service, clinicId)
  const transport = recordingTransport(async () => {
    await within((scope) => cancelMessages(scope, { patientId: row?.patientId as string }))
    throw new Retryable('Busy')
  })
  const watched = watching()
  expect(await deliver(transport, watched)).toMatchObject({ cancelled: 1, retried: 0 })
  expect(await statusCounts(service, clinicId)).toEqual({ cancelled: 1 })
  expect(watched.failures).toEqual([])
})

test('cancelling while a worker dies: the message does not come back', async () => {
  await addMany(service, clinicId, 1)
  const [row] = await messagesOf(service, clinicId)
  await within((scope) =>
    claimDue(scope, {
      transport: 'handset',
      limit: 1,
      leaseUntil: scope.now.add({ seconds: 60 }),
      urgentOnly: false,
    }),
  )
  await within((scope) => cancelMessages(scope, { patientId: row?.patientId as string }))
  clock.advance({ seconds: 60 })
  await tidyOutbox(service, clinicId, watching())
  expect(await statusCounts(service, clinicId)).toEqual({ cancelled: 1 })
})

test('cancelling spares the kinds named and what other patients get', async () => {
  const to = await within(async (scope) => {
    const to = await addPatient(scope)
    await addMessage(scope, to)
    await addMessage(scope, to, { kind: 'safety-now' })
    await addMessage(scope, await addPatient(scope))
    return to
  })
  const cancelled = await within((scope) =>
    cancelMessages(scope, { patientId: to.patientId, except: ['safety-now'] }),
  )
  expect(cancelled).toBe(1)
  expect(await statusCounts(service, clinicId)).toEqual({ cancelled: 1, queued: 2 })
  await expect(within((scope) => cancelMessages(scope, {}))).rejects.toThrow('Name whose')
})

test('a real transport stays shut until the protocol is signed; the demo one does not', async () => {
  await addMany(service, clinicId, 1)
  const real = recordingTransport(undefined, { requiresSignature: true })
  expect(await deliver(real)).toMatchObject({ shut: true, sent: 0 })
  expect(await statusCounts(service, clinicId)).toEqual({ queued: 1 })
  expect(await deliver(real, watching({ isSigned: async () => true }))).toMatchObject({
    shut: false,
    sent: 1,
  })
})

test('urgent messages go first, however long the queue', async () => {
  await addMany(service, clinicId, 60)
  clock.advance({ minutes: 1 })
  await within(async (scope) => addMessage(scope, await addPatient(scope), { body: 'urgent', urgent: true }))
  const transport = recordingTransport()
  await deliver(transport, watching({ workers: 1, batch: 10, concurrency: 1 }))
  expect(transport.sent.length).toBe(61)
  expect(transport.sent[0]?.body).toBe('urgent')
})

test('a stop finishes the sends in flight and gives back the rest untried', async () => {
  await addMany(service, clinicId, 20)
  const controller = new AbortController()
  const transport = recordingTransport(async () => {
    await new Promise((resolve) => setTimeout(resolve, 5))
    controller.abort()
    await new Promise((resolve) => setTimeout(resolve, 20))
  })
  const options = watching({ signal: controller.signal, workers: 1, concurrency: 3, batch: 10 })
  expect(await deliver(transport, options)).toMatchObject({ sent: 3, returned: 7 })
  const rows = await messagesOf(service, clinicId)
  expect(rows.filter(({ status }) => status === 'queued').length).toBe(17)
  expect(rows.filter(({ status, attempts }) => status === 'queued' && attempts !== 0)).toEqual([])
  expect(await deliver()).toMatchObject({ sent: 17 })
})

test('a send is not begun that could outlast its lease', async () => {
  await addMany(service, clinicId, 5)
  const transport = recordingTransport(() => clock.advance({ seconds: 18 }))
  expect(await deliver(transport, watching({ workers: 1, concurrency: 1 }))).toMatchObject({
    sent: 2,
    returned: 3,
  })
})

test('a receipt closes a message, also before our own record of it', async () => {
  await addMany(service, clinicId, 2)
  const watched = watching()
  const transport = recordingTransport(async ({ id }) => {
    const [first] = await messagesOf(service, clinicId)
    const status = id === first?.messageId ? 'delivered' : 'failed'
    await receiveReceipt(service, clinicId, { messageId: id, status }, watched)
  })
  expect(await deliver(transport, watched)).toMatchObject({ late: 2 })
  expect(await statusCounts(service, clinicId)).toEqual({ delivered: 1, failed: 1 })
  expect(watched.failures.map(({ why }) => why)).toEqual(['receipt-failed'])
  const unknown = { messageId: '01890000-0000-7000-8000-000000000000', status: 'failed' as const }
  expect(await receiveReceipt(service, clinicId, unknown, watched)).toBe(false)
})

test('the same key is queued once, however many try at once', async () => {
  const to = await within((scope) => addPatient(scope))
  const tries = await Promise.all(
    Array.from({ length: 8 }, () =>
      within((scope) =>
        queueMessage(scope, {
          dedupe: 'one',
          patientId: to.patientId,
          kind: 'visit-reminder',
          channel: 'text',
          to: to.mobile as string,
          body: 'You have a visit.',
          segments: 1,
          dueAt: scope.now,
          expiresAt: scope.now.add({ hours: 1 }),
        }),
      ),
    ),
  )
  expect(tries.filter(Boolean).length).toBe(1)
})

test("one clinic's run touches no message of another", async () => {
  const other = await addClinic(`outbox-other-${clinics}`)
  await addMany(service, clinicId, 3)
  await addMany(service, other, 3)
  await deliver()
  expect(await statusCounts(service, clinicId)).toEqual({ sent: 3 })
  expect(await statusCounts(service, other)).toEqual({ queued: 3 })
})

test('a question counts as asked once its message has left', async () => {
  const to = await within(async (scope) => {
    const to = await addPatient(scope)
    await askDose(scope, to, '2026-03-05', 'dose-1')
    return to
  })
  const open = () => within((scope) => openQuestions(scope, to.patientId, scope.now))
  expect(await open()).toEqual([])
  await deliver()
  expect(await open()).toMatchObject([{ kind: 'dose', day: '2026-03-05' }])
  clock.advance({ hours: 36 })
  expect(await open()).toEqual([])
})
