/** Sends what is due: claims a batch, hands it over, records what became of it. Safe to run anywhere, often. */
import { setTimeout as sleep } from 'node:timers/promises'
import type { Temporal } from 'temporal-polyfill'
import { loadClinic } from '../clinic.ts'
import { inClinic, type Scope, type Service } from '../database/service.ts'
import { Trouble } from '../trouble.ts'
import { type Attempting, sendOne } from './attempt.ts'
import { MAX_ATTEMPTS } from './backoff.ts'
import {
  type ClaimedMessage,
  claimDue,
  clinicSlug,
  expireMessages,
  type Outcome,
  type Receipt,
  recordOutcomes,
  recordReceipt,
  releaseLeases,
  type UndeliveredMessage,
} from './outbox-store.ts'
import { isQuiet } from './quiet-hours.ts'
import type { Transport, Transports } from './transports/transport.ts'

export type { UndeliveredMessage } from './outbox-store.ts'

const LEASE_SECONDS = 60
/** After a crash, what was sent since the last record is doubtful. */
const RECORD_EVERY_MS = 1000

export interface DeliverOptions {
  /** Whether a named clinician has signed the protocol in force; asked only for transports that need it. */
  isSigned(scope: Scope): Promise<boolean>
  /** Runs in the transaction in which a message is given up: a person must reach the patient another way. */
  onFailed(scope: Scope, message: UndeliveredMessage): Promise<void>
  random?: () => number
  /** Messages a claim. */
  batch?: number
  workers?: number
  /** Sends at once, by each worker. */
  concurrency?: number
  /** No claim and no send is begun after it; sends in flight end, the rest goes back. */
  signal?: AbortSignal
}

export interface Delivery {
  sent: number
  retried: number
  failed: number
  cancelled: number
  /** Went back untried: the service stops, or the lease or the open hours ended. */
  returned: number
  /** Outcomes of messages that had been claimed anew meanwhile. */
  late: number
  /** The transport waits for a signature. */
  shut: boolean
}

type Counted = Exclude<keyof Delivery, 'shut'>

export async function deliverDue(
  service: Service,
  clinicId: string,
  transports: Transports,
  options: DeliverOptions,
): Promise<Delivery> {
  const delivery: Delivery = {
    sent: 0,
    retried: 0,
    failed: 0,
    cancelled: 0,
    returned: 0,
    late: 0,
    shut: false,
  }
  const { clinic, slug, transport, isShut } = await inClinic(service, clinicId, async (scope) => {
    const clinic = await loadClinic(scope)
    const transport = transports[clinic.settings.transport]
    if (!transport) throw new Trouble(`There is no transport "${clinic.settings.transport}".`)
    const isShut = transport.requiresSignature && !(await options.isSigned(scope))
    return { clinic, slug: await clinicSlug(scope), transport, isShut }
  })
  if (isShut) return { ...delivery, shut: true }
  const quiet = { second: Number.NaN, is: false }
  const run: Run = { service, clinic, slug, transport, options, delivery, quiet }
  const workers = await Promise.allSettled(Array.from({ length: options.workers ?? 2 }, () => work(run)))
  const fault = workers.find((worker) => worker.status === 'rejected')
  if (fault) throw fault.reason
  return delivery
}

interface Run extends Attempting {
  options: DeliverOptions
  delivery: Delivery
}

async function work(run: Run): Promise<void> {
  const { service, clinic, transport, options } = run
  const limit = options.batch ?? 50
  while (!options.signal?.aborted) {
    const leaseUntil = service.clock.now().add({ seconds: LEASE_SECONDS })
    const claimed = await inClinic(service, clinic.clinicId, (scope) =>
      claimDue(scope, {
        transport: transport.name,
        limit,
        leaseUntil,
        urgentOnly: isQuiet(scope.now, clinic.zone, clinic.settings.quietHours),
      }),
    )
    if (claimed.length > 0) await handOver(run, claimed, leaseUntil)
    if (claimed.length < limit) return
  }
}

/** Sends a batch, a few at once, and records outcomes in groups. */
async function handOver(run: Run, messages: ClaimedMessage[], leaseUntil: Temporal.Instant): Promise<void> {
  const outcomes: Outcome[] = []
  const byId = new Map(messages.map((message) => [message.messageId, message]))
  let recordedAt = performance.now()
  const record = async (tries: number) => {
    recordedAt = performance.now()
    let fault: unknown = null
    for (const group of groupsOf(outcomes.splice(0))) {
      try {
        await recordGroup(run, group, byId, fault ? 1 : tries)
      } catch (error) {
        fault ??= error
        outcomes.push(...group)
      }
    }
    if (fault && tries > 1) throw fault
  }
  const queue = messages.values()
  const lanes = Array.from({ length: Math.min(run.options.concurrency ?? 10, messages.length) }, async () => {
    for (const message of queue) {
      outcomes.push(await sendOne(run, message, leaseUntil))
      if (performance.now() - recordedAt > RECORD_EVERY_MS) await record(1)
    }
  })
  await Promise.all(lanes)
  await record(4)
}

/** What failed is recorded one by one: should telling somebody of it break, nothing else is in doubt. */
function groupsOf(outcomes: Outcome[]): Outcome[][] {
  const failed = outcomes.filter(isGivenUp)
  const rest = outcomes.filter((outcome) => !isGivenUp(outcome))
  return [...(rest.length > 0 ? [rest] : []), ...failed.map((outcome) => [outcome])]
}

const isGivenUp = ({ status }: Outcome): boolean => status === 'failed' || status === 'expired'

async function recordGroup(
  run: Run,
  group: Outcome[],
  byId: Map<string, ClaimedMessage>,
  tries: number,
): Promise<void> {
  const { service, clinic, slug, transport, options, delivery } = run
  const became = await withTries(tries, () =>
    inClinic(service, clinic.clinicId, async (scope) => {
      const became = await recordOutcomes(scope, group)
      const ids = (...statuses: string[]) =>
        group.map((o) => o.messageId).filter((id) => statuses.includes(became.get(id) ?? ''))
      const givenUp = ids('failed', 'expired')
      await tellFailed(
        scope,
        givenUp.map((id) => undeliveredOf(byId.get(id) as ClaimedMessage, group)),
        options,
      )
      auditIds(scope, 'send messages', ids('sent', 'delivered'), transport)
      auditIds(scope, 'cancel messages', ids('cancelled'), transport)
      return became
    }),
  )
  for (const outcome of group) delivery[countOf(outcome, became.get(outcome.messageId))] += 1
  const sent = group.filter(({ status }) => status === 'sent' || status === 'delivered')
  await transport.settled?.(sent.map(({ messageId }) => ({ id: messageId, clinic: slug })))
}

function auditIds(scope: Scope, action: string, ids: string[], { name }: Transport): void {
  if (ids.length > 0)
    scope.audit({ actor: 'job:deliver', action, subject: `transport:${name}`, detail: { ids } })
}

const COUNTS: Readonly<Record<string, Counted>> = {
  sent: 'sent',
  delivered: 'sent',
  queued: 'retried',
  failed: 'failed',
  expired: 'failed',
  cancelled: 'cancelled',
}

const countOf = ({ untried }: Outcome, became = ''): Counted =>
  untried && became === 'queued' ? 'returned' : (COUNTS[became] ?? 'late')

const undeliveredOf = (message: ClaimedMessage, group: Outcome[]): UndeliveredMessage => ({
  messageId: message.messageId,
  patientId: message.patientId,
  visitId: message.visitId,
  kind: message.kind,
  why: group.find(({ messageId }) => messageId === message.messageId)?.error ?? 'failed',
})

// The database may restart under us; what was sent must not be forgotten for that.
async function withTries<T>(tries: number, work: () => Promise<T>): Promise<T> {
  for (let attempt = 1; ; attempt += 1) {
    try {
      return await work()
    } catch (error) {
      if (attempt >= tries) throw error
      await sleep(250 * 2 ** attempt)
    }
  }
}

async function tellFailed(
  scope: Scope,
  failed: readonly UndeliveredMessage[],
  { onFailed }: Pick<DeliverOptions, 'onFailed'>,
): Promise<void> {
  for (const message of failed) {
    await onFailed(scope, message)
    scope.audit({
      actor: 'job:deliver',
      action: 'give up message',
      patientId: message.patientId ?? undefined,
      subject: `message:${message.messageId}`,
      detail: { why: message.why, kind: message.kind },
    })
  }
}

/** Takes back messages of workers that died, and closes what is past its time. */
export async function tidyOutbox(
  service: Service,
  clinicId: string,
  options: Pick<DeliverOptions, 'onFailed'>,
): Promise<{ requeued: number; failed: number; expired: number }> {
  return await inClinic(service, clinicId, async (scope) => {
    const released = await releaseLeases(scope, { maxAttempts: MAX_ATTEMPTS, limit: 500 })
    const expired = await expireMessages(scope, { limit: 500 })
    await tellFailed(scope, [...released.failed, ...expired], options)
    if (released.requeued.length > 0)
      scope.audit({ actor: 'job:deliver', action: 'take back messages', detail: { ids: released.requeued } })
    return { requeued: released.requeued.length, failed: released.failed.length, expired: expired.length }
  })
}

/** @returns whether the message is known */
export async function receiveReceipt(
  service: Service,
  clinicId: string,
  receipt: Receipt,
  options: Pick<DeliverOptions, 'onFailed'>,
): Promise<boolean> {
  return await inClinic(service, clinicId, async (scope) => {
    const { known, failed } = await recordReceipt(scope, receipt)
    if (failed) await tellFailed(scope, [failed], options)
    return known
  })
}
