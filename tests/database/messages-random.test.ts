import fc from 'fast-check'
import { Temporal } from 'temporal-polyfill'
import { expect, test } from 'vitest'
import { verifyAudit } from '../../src/access/audit.ts'
import { inClinic, type Scope } from '../../src/database/service.ts'
import { AFTER_STOP } from '../../src/messages/kinds.ts'
import { deliverDue, tidyOutbox } from '../../src/messages/outbox.ts'
import { claimDue } from '../../src/messages/outbox-store.ts'
import { isQuiet } from '../../src/messages/quiet-hours.ts'
import type { TemplateId } from '../../src/messages/render.ts'
import type { Recipient } from '../../src/messages/send.ts'
import { cancelMessages } from '../../src/messages/store.ts'
import { Permanent, Retryable } from '../../src/messages/transports/transport.ts'
import { testDatabase } from '../support/database.ts'
import {
  addMessage,
  addPatient,
  messagesOf,
  recordingTransport,
  setPatient,
  statusCounts,
  watching,
} from './messages-fixtures.ts'

const { service, clock, addClinic } = await testDatabase('2026-03-02T12:00:00Z')
const PATIENTS = 5
const QUIET = { from: '20:00', to: '08:00' }

type Step =
  | { kind: 'queue'; who: number; template: TemplateId; hours: number }
  | { kind: 'deliver'; workers: number; fates: number[] }
  | { kind: 'die'; limit: number }
  | { kind: 'tidy' }
  | { kind: 'wait'; minutes: number }
  | { kind: 'stop' | 'cancel'; who: number }

const who = fc.nat(PATIENTS - 1)
const step: fc.Arbitrary<Step> = fc.oneof(
  {
    weight: 5,
    arbitrary: fc.record({
      kind: fc.constant('queue' as const),
      who,
      template: fc.constantFrom<TemplateId>(
        'visit-reminder',
        'dose-question',
        'safety-now',
        'clinician-reply',
      ),
      hours: fc.integer({ min: 1, max: 30 }),
    }),
  },
  {
    weight: 4,
    arbitrary: fc.record({
      kind: fc.constant('deliver' as const),
      workers: fc.integer({ min: 1, max: 3 }),
      fates: fc.array(fc.nat(9), { minLength: 1, maxLength: 8 }),
    }),
  },
  {
    weight: 1,
    arbitrary: fc.record({ kind: fc.constant('die' as const), limit: fc.integer({ min: 1, max: 3 }) }),
  },
  { weight: 1, arbitrary: fc.constant({ kind: 'tidy' as const }) },
  {
    weight: 3,
    arbitrary: fc.record({ kind: fc.constant('wait' as const), minutes: fc.integer({ min: 1, max: 300 }) }),
  },
  { weight: 1, arbitrary: fc.record({ kind: fc.constantFrom('stop' as const, 'cancel' as const), who }) },
)

let runs = 0

/** Plays the steps, lets everything come to its end, and checks what must hold whatever happened. */
async function play(steps: Step[]): Promise<void> {
  runs += 1
  const clinicId = await addClinic(`random-${runs}`)
  const within = <T>(work: (scope: Scope) => Promise<T>) => inClinic(service, clinicId, work)
  const patients: Recipient[] = []
  const stopped = new Set<string>()
  const accepted: { id: string; at: Temporal.Instant; stopped: ReadonlySet<string> }[] = []
  let fates: number[] = []
  const transport = recordingTransport(async ({ id }) => {
    await new Promise((resolve) => setImmediate(resolve))
    const fate = fates.length > 0 ? fates[accepted.length % fates.length] : 9
    if (fate === 0) throw new Permanent('No such number')
    if (fate === 1) throw new Retryable('Busy')
    if (fate === 2) throw new TypeError('broken')
    accepted.push({ id, at: clock.now(), stopped: new Set(stopped) })
  })
  const watched = watching()
  const deliver = (workers: number) =>
    deliverDue(service, clinicId, { handset: transport }, { ...watched, workers, batch: 3 })
  await within(async (scope) => {
    for (let i = 0; i < PATIENTS; i += 1) patients.push(await addPatient(scope))
  })

  for (const one of steps) {
    if (one.kind === 'queue') {
      const { template, hours } = one
      const urgent = template === 'safety-now'
      await within((scope) =>
        addMessage(scope, patients[one.who] as Recipient, {
          kind: template,
          urgent,
          expiresAt: scope.now.add({ hours }),
        }),
      )
    } else if (one.kind === 'deliver') {
      fates = one.fates
      await deliver(one.workers)
    } else if (one.kind === 'die') {
      await within((scope) =>
        claimDue(scope, {
          transport: 'handset',
          limit: one.limit,
          leaseUntil: scope.now.add({ seconds: 60 }),
          urgentOnly: isQuiet(scope.now, 'Europe/London', QUIET),
        }),
      )
    } else if (one.kind === 'tidy') await tidyOutbox(service, clinicId, watched)
    else if (one.kind === 'wait') clock.advance({ minutes: one.minutes })
    else {
      const { patientId } = patients[one.who] as Recipient
      if (one.kind === 'cancel') await within((scope) => cancelMessages(scope, { patientId }))
      else {
        stopped.add(patientId)
        await within((scope) => setPatient(scope, patientId, { stoppedAt: scope.now }))
      }
    }
  }
  fates = []
  const isOver = async () => {
    const { queued = 0, sending = 0 } = await statusCounts(service, clinicId)
    return queued + sending === 0
  }
  for (let i = 0; i < 100 && !(await isOver()); i += 1) {
    await tidyOutbox(service, clinicId, watched)
    await deliver(2)
    clock.advance({ minutes: 30 })
  }

  const rows = await messagesOf(service, clinicId)
  const byId = new Map(rows.map((row) => [row.messageId, row]))
  const ended = ['sent', 'failed', 'expired', 'cancelled']
  expect(rows.filter(({ status }) => !ended.includes(status))).toEqual([])
  expect(new Set(accepted.map(({ id }) => id)).size).toBe(accepted.length)
  expect(accepted.map(({ id }) => id).sort()).toEqual(
    rows
      .filter(({ status }) => status === 'sent')
      .map(({ messageId }) => messageId)
      .sort(),
  )
  for (const { id, at, stopped } of accepted) {
    const row = byId.get(id)
    const isAfterStop = stopped.has(row?.patientId as string)
    expect(isAfterStop && !AFTER_STOP.has(row?.kind as TemplateId), 'sent after STOP').toBe(false)
    expect(!row?.urgent && isQuiet(at, 'Europe/London', QUIET), 'sent in quiet hours').toBe(false)
    expect(Temporal.Instant.compare(at, row?.expiresAt as Temporal.Instant), 'sent after its time').toBe(-1)
  }
  const givenUp = rows.filter(({ status }) => status === 'failed' || status === 'expired')
  expect(watched.failures.map(({ messageId }) => messageId).sort(), 'a person is told once').toEqual(
    givenUp.map(({ messageId }) => messageId).sort(),
  )
  expect((await within(verifyAudit)).broken).toBeNull()
}

test('whatever happens in whatever order: each message ends once, and somebody hears of each that did not go', async () => {
  await fc.assert(fc.asyncProperty(fc.array(step, { minLength: 5, maxLength: 25 }), play), {
    numRuns: 20,
    seed: 20260302,
    endOnFailure: true,
  })
})
