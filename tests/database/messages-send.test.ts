import { Temporal } from 'temporal-polyfill'
import { beforeEach, expect, test } from 'vitest'
import { openLink } from '../../src/access/links.ts'
import { loadClinic } from '../../src/clinic.ts'
import { link, question } from '../../src/database/schema.ts'
import { inClinic } from '../../src/database/service.ts'
import { AFTER_STOP, URGENT } from '../../src/messages/kinds.ts'
import { deliverDue } from '../../src/messages/outbox.ts'
import { TEMPLATE_IDS, templateOf } from '../../src/messages/render.ts'
import { readdressMessages, sendToContact, sendToPatient, sendToStaff } from '../../src/messages/send.ts'
import { testDatabase } from '../support/database.ts'
import {
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
  clinicId = await addClinic(`send-${clinics}`)
})
const within = <T>(work: Parameters<typeof inClinic<T>>[2]) => inClinic(service, clinicId, work)
const deliver = (transport = recordingTransport(), options = watching()) =>
  deliverDue(service, clinicId, { handset: transport }, options)
const at = (text: string) => clock.set(Temporal.Instant.from(text))
const london = (instant: Temporal.Instant) =>
  instant.toZonedDateTimeISO('Europe/London').toPlainDateTime().toString({ smallestUnit: 'minute' })

// Quiet from 20:00 to 08:00, Europe/London. The clock of this file only goes forward, so the days stand in order.

test('a message names the clinic and is due now, in open hours', async () => {
  const to = await within((scope) => addPatient(scope))
  const queued = await within((scope) => askDose(scope, to, '2026-03-02', 'dose'))
  const [row] = await messagesOf(service, clinicId)
  expect(queued).toEqual({ messageId: row?.messageId, questionId: row?.questionId })
  expect(row?.dueAt.toString()).toBe('2026-03-02T12:00:00Z')
  const transport = recordingTransport()
  await deliver(transport)
  expect(transport.sent[0]).toMatchObject({ to: to.mobile, channel: 'text', clinic: `send-${clinics}` })
  expect(transport.sent[0]?.body).toMatch(
    /^Brackwater Ear Rooms: How many times did you put drops in today\?/,
  )
})

test('its link opens its question, for the patient it was sent to', async () => {
  const to = await within((scope) => addPatient(scope))
  await within((scope) => askDose(scope, to, '2026-03-02', 'dose'))
  const transport = recordingTransport()
  await deliver(transport)
  const address = /http:\/\/127\.0\.0\.1:4180\/p\/(\S+)/.exec(transport.sent[0]?.body ?? '')
  const [asked] = await within(({ tx }) => tx.select().from(question))
  expect(await openLink(service, address?.[1] as string)).toMatchObject({
    clinicId,
    link: { patientId: to.patientId, purpose: 'question', questionId: asked?.questionId },
  })
})

test('one key, eight at once: one message, one question, one link', async () => {
  const to = await within((scope) => addPatient(scope))
  const tries = await Promise.all(
    Array.from({ length: 8 }, () => within((scope) => askDose(scope, to, '2026-03-02', 'same'))),
  )
  expect(tries.filter((queued) => 'messageId' in queued).length).toBe(1)
  expect(tries.filter((queued) => 'skipped' in queued && queued.skipped === 'already').length).toBe(7)
  const kept = await within(async ({ tx }) => [
    await tx.select().from(question),
    await tx.select().from(link),
  ])
  expect(kept.map((rows) => rows.length)).toEqual([1, 1])
})

test('a reminder asks the same question again and opens no second one', async () => {
  await within(async (scope) => {
    const to = await addPatient(scope)
    const clinic = await loadClinic(scope)
    const first = await askDose(scope, to, '2026-03-02', 'first')
    const questionId = 'questionId' in first ? first.questionId : null
    const again = await sendToPatient(scope, {
      clinic,
      patient: to,
      template: 'aftercare-reminder',
      values: { ears: 'left ear' },
      dedupe: 'second',
      questionId,
    })
    expect(again).toMatchObject({ questionId })
    expect((await scope.tx.select().from(question)).length).toBe(1)
    expect((await scope.tx.select().from(link)).map((row) => row.questionId)).toEqual([
      questionId,
      questionId,
    ])
  })
})

test('without a mobile number, or with a wrong one, the email address serves; without either it is said', async () => {
  await within(async (scope) => {
    const clinic = await loadClinic(scope)
    const send = (patient: Parameters<typeof sendToPatient>[1]['patient'], dedupe: string) =>
      sendToPatient(scope, { clinic, patient, template: 'start-confirmed', dedupe })
    const byEmail = await addPatient(scope, { mobile: null, email: 'ada@example.org' })
    await send(byEmail, 'email')
    await send({ ...byEmail, mobile: '+447700900001', numberWrongAt: scope.now }, 'wrong')
    const neither = await addPatient(scope, { mobile: null })
    expect(await send(neither, 'neither')).toEqual({ skipped: 'no-contact' })
  })
  const transport = recordingTransport()
  await deliver(transport)
  expect(transport.sent.map(({ channel, to }) => `${channel} ${to}`)).toEqual([
    'email ada@example.org',
    'email ada@example.org',
  ])
})

test('a stopped patient gets only the kinds that answer what they wrote', async () => {
  await within(async (scope) => {
    const clinic = await loadClinic(scope)
    const patient = { ...(await addPatient(scope)), stoppedAt: scope.now }
    expect(await askDose(scope, patient, '2026-03-02', 'dose')).toEqual({ skipped: 'stopped' })
    expect(
      await sendToPatient(scope, { clinic, patient, template: 'stop-confirmed', dedupe: 'stop' }),
    ).toHaveProperty('messageId')
  })
})

test('every safety-net text is urgent and reaches a stopped patient; no other ordinary text does', () => {
  for (const id of TEMPLATE_IDS) {
    const isSafety = id.startsWith('safety-')
    expect(AFTER_STOP.has(id), id).toBe(
      isSafety || ['stop-confirmed', 'start-confirmed', 'clinician-reply'].includes(id),
    )
    expect(URGENT.has(id), id).toBe(isSafety || id.startsWith('staff-concern-'))
    if (AFTER_STOP.has(id)) expect(templateOf(id).audience, id).toBe('patient')
  }
})

test('what would be over before it may go out is not queued, and the caller is told', async () => {
  at('2026-03-02T21:00:00Z')
  const to = await within((scope) => addPatient(scope))
  const closesAt = Temporal.Instant.from('2026-03-02T23:00:00Z')
  expect(await within((scope) => askDose(scope, to, '2026-03-02', 'dose', { closesAt }))).toEqual({
    skipped: 'too-late',
  })
  expect(await messagesOf(service, clinicId)).toEqual([])
})

test('in quiet hours only urgent messages go out; the rest waits for their end', async () => {
  await within(async (scope) => {
    await addMessage(scope, await addPatient(scope), { body: 'ordinary' })
    await addMessage(scope, await addPatient(scope), { body: 'urgent', urgent: true })
  })
  const transport = recordingTransport()
  expect(await deliver(transport)).toMatchObject({ sent: 1 })
  expect(transport.sent.map(({ body }) => body)).toEqual(['urgent'])
  at('2026-03-03T07:59:59Z')
  expect(await deliver(transport)).toMatchObject({ sent: 0 })
  at('2026-03-03T08:00:00Z')
  expect(await deliver(transport)).toMatchObject({ sent: 1 })
})

test('quiet hours that begin during a batch stop the rest of it', async () => {
  at('2026-03-03T19:59:55Z')
  await within(async (scope) => {
    for (let i = 0; i < 4; i += 1) await addMessage(scope, await addPatient(scope))
  })
  const transport = recordingTransport(() => clock.advance({ seconds: 3 }))
  expect(await deliver(transport, watching({ workers: 1, concurrency: 1 }))).toMatchObject({
    sent: 2,
    returned: 2,
  })
  expect(await statusCounts(service, clinicId)).toEqual({ sent: 2, queued: 2 })
})

test('a late try falls into quiet hours and waits for their end', async () => {
  at('2026-03-04T19:59:30Z')
  await within(async (scope) => addMessage(scope, await addPatient(scope)))
  let calls = 0
  const transport = recordingTransport(() => {
    calls += 1
    if (calls === 1) throw new Error('down')
  })
  await deliver(transport, watching({ random: () => 0.99 }))
  at('2026-03-04T20:30:00Z')
  expect(await deliver(transport)).toMatchObject({ sent: 0, retried: 0 })
  at('2026-03-05T08:00:00Z')
  expect(await deliver(transport)).toMatchObject({ sent: 1 })
})

// Clocks of Europe/London: forward on 29 March 2026 and back on 25 October 2026, both at 01:00 UTC (tz database).
test('on the morning when the clocks go forward, quiet hours end at eight by the wall clock', async () => {
  at('2026-03-28T21:00:00Z')
  await within(async (scope) => {
    await askDose(scope, await addPatient(scope), '2026-03-28', 'spring')
  })
  const [row] = await messagesOf(service, clinicId)
  expect(row?.dueAt.toString()).toBe('2026-03-29T07:00:00Z')
  expect(london(row?.dueAt as Temporal.Instant)).toBe('2026-03-29T08:00')
  at('2026-03-29T06:59:59Z')
  expect(await deliver()).toMatchObject({ sent: 0 })
  at('2026-03-29T07:00:00Z')
  expect(await deliver()).toMatchObject({ sent: 1 })
})

test('in the night when the clocks go back, the hour that comes twice is quiet both times', async () => {
  at('2026-10-24T19:30:00Z')
  await within(async (scope) => {
    await askDose(scope, await addPatient(scope), '2026-10-24', 'autumn')
    await addMessage(scope, await addPatient(scope), { dueAt: Temporal.Instant.from('2026-10-25T00:30:00Z') })
  })
  for (const time of ['2026-10-25T00:30:00Z', '2026-10-25T01:30:00Z', '2026-10-25T07:30:00Z']) {
    at(time)
    expect(await deliver(), time).toMatchObject({ sent: 0 })
  }
  at('2026-10-25T08:00:00Z')
  expect(london(clock.now())).toBe('2026-10-25T08:00')
  expect(await deliver()).toMatchObject({ sent: 2 })
})

test('a notice to staff is urgent when it is about a concern, and waits otherwise', async () => {
  at('2026-10-26T22:00:00Z')
  await within(async (scope) => {
    const clinic = await loadClinic(scope)
    const staff = { staffId: clinicId, name: 'Invented', mobile: '+447700900500', email: null }
    const values = {
      urgency: 'today',
      deadline: '9:00am',
      link: 'https://clinic.example/c',
      count: '2 texts',
    }
    await sendToStaff(scope, { clinic, staff, template: 'staff-concern-past', values, dedupe: 'past' })
    await sendToStaff(scope, { clinic, staff, template: 'staff-delivery-failed', values, dedupe: 'failed' })
  })
  const transport = recordingTransport()
  await deliver(transport)
  expect(transport.sent.map(({ body }) => body)).toEqual([expect.stringContaining('OVERDUE')])
  const rows = await messagesOf(service, clinicId)
  expect(rows.map(({ dueAt }) => dueAt.toString())).toEqual(['2026-10-26T22:00:00Z', '2026-10-27T08:00:00Z'])
})

test('a sender whom nobody knows is answered without a patient', async () => {
  at('2026-10-27T12:00:00Z')
  await within(async (scope) => {
    const clinic = await loadClinic(scope)
    await sendToContact(scope, { clinic, to: '+447700900321', template: 'number-unknown', dedupe: 'unknown' })
  })
  const transport = recordingTransport()
  await deliver(transport)
  expect(transport.sent).toMatchObject([{ to: '+447700900321', channel: 'text' }])
  expect(await messagesOf(service, clinicId)).toMatchObject([{ patientId: null, kind: 'number-unknown' }])
})

test('advice to use drops carries its plan and dies with it', async () => {
  await within(async (scope) => {
    const to = await addPatient(scope)
    const { planId, visitId } = await addPlan(scope, to.patientId, 'withheld')
    const letter = {
      clinic: await loadClinic(scope),
      patient: to,
      template: 'dose-reminder' as const,
      values: { ears: 'left ear' },
      advisesDrops: true,
    }
    await expect(sendToPatient(scope, { ...letter, dedupe: 'no plan' })).rejects.toThrow('must name the plan')
    await sendToPatient(scope, { ...letter, dedupe: 'plan', planId, visitId })
  })
  expect(await deliver()).toMatchObject({ sent: 0, cancelled: 1 })
})

test('after a change of number, what is queued goes to the new one with a fresh link; the old link is dead', async () => {
  const to = await within((scope) => addPatient(scope))
  await within((scope) => askDose(scope, to, '2026-10-27', 'before'))
  const old = await within(async ({ vault }) =>
    vault.open((await messagesOf(service, clinicId))[0]?.bodySealed as Buffer),
  )
  await within(async (scope) => {
    const mobile = '+447700900655'
    const { vault } = scope
    await setPatient(scope, to.patientId, {
      mobileSealed: vault.seal(mobile),
      mobileBlind: vault.blind(mobile),
    })
    expect(await readdressMessages(scope, { ...to, mobile })).toBe(1)
  })
  const transport = recordingTransport()
  const watched = watching()
  expect(await deliver(transport, watched)).toMatchObject({ sent: 1, failed: 0 })
  const sent = transport.sent[0]
  expect(sent?.to).toBe('+447700900655')
  const textOf = (body: string) => /\/p\/(\S+)/.exec(body)?.[1] as string
  expect(sent?.body.replace(textOf(sent.body), '')).toBe(old.replace(textOf(old), ''))
  expect(await openLink(service, textOf(old))).toEqual({ gone: 'revoked' })
  expect(await openLink(service, textOf(sent?.body as string))).toMatchObject({
    link: { patientId: to.patientId, purpose: 'question' },
  })
})

test('when no number and no address is left, what is queued is cancelled and the caller is told', async () => {
  const to = await within((scope) => addPatient(scope))
  await within((scope) => askDose(scope, to, '2026-10-27', 'before'))
  expect(await within((scope) => readdressMessages(scope, { ...to, mobile: null }))).toBeNull()
  expect(await statusCounts(service, clinicId)).toEqual({ cancelled: 1 })
})
