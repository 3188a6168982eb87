/** One try to hand over one message, and what became of it. */
import { Temporal } from 'temporal-polyfill'
import type { Clinic } from '../clinic.ts'
import { codeOf, type Service } from '../database/service.ts'
import { MAX_ATTEMPTS, retryDelay } from './backoff.ts'
import { BARS, type ClaimedMessage, type Outcome } from './outbox-store.ts'
import { isQuiet } from './quiet-hours.ts'
import { Permanent, Retryable, type Transport } from './transports/transport.ts'

const SEND_TIMEOUT_MS = 20_000
/** A send is begun only while it must end before the lease does. */
const LEASE_MARGIN_MS = 25_000

export interface Attempting {
  service: Service
  clinic: Clinic
  /** The clinic's short name. */
  slug: string
  transport: Transport
  options: { random?: () => number; signal?: AbortSignal }
  /** Whether it was quiet in that second. */
  quiet: { second: number; is: boolean }
}

export async function sendOne(
  run: Attempting,
  message: ClaimedMessage,
  leaseUntil: Temporal.Instant,
): Promise<Outcome> {
  const { service, slug, transport, options } = run
  const { messageId, attempt, channel, to, body, urgent, bar } = message
  if (bar) return { messageId, attempt, status: BARS[bar], error: bar, untried: true }
  const now = service.clock.now()
  const isLate = now.epochMilliseconds + LEASE_MARGIN_MS > leaseUntil.epochMilliseconds
  if (options.signal?.aborted || isLate || (!urgent && isQuietNow(run, now)))
    return { messageId, attempt, status: 'queued', untried: true }
  try {
    const outgoing = { id: messageId, clinic: slug, channel, to, body }
    const { ref, delivered } = await inTime((signal) => transport.send(outgoing, signal))
    return { messageId, attempt, status: delivered ? 'delivered' : 'sent', ref }
  } catch (error) {
    return afterError(run, message, error)
  }
}

/** Asked once a second, which is exact: quiet hours begin and end on a minute. */
function isQuietNow({ clinic, quiet }: Attempting, now: Temporal.Instant): boolean {
  const second = Math.floor(now.epochMilliseconds / 1000)
  if (second !== quiet.second) {
    quiet.is = isQuiet(now, clinic.zone, clinic.settings.quietHours)
    quiet.second = second
  }
  return quiet.is
}

async function inTime<T>(send: (signal: AbortSignal) => Promise<T>): Promise<T> {
  const controller = new AbortController()
  let timer: NodeJS.Timeout | undefined
  const late = new Promise<never>((_, reject) => {
    timer = setTimeout(() => {
      controller.abort()
      reject(new Retryable('No answer in time'))
    }, SEND_TIMEOUT_MS)
  })
  try {
    return await Promise.race([send(controller.signal), late])
  } finally {
    clearTimeout(timer)
  }
}

function afterError({ service, options }: Attempting, message: ClaimedMessage, error: unknown): Outcome {
  const { messageId, attempt, urgent, expiresAt } = message
  const failed: Outcome = { messageId, attempt, status: 'failed', error: reasonOf(error) }
  if (error instanceof Permanent || attempt >= MAX_ATTEMPTS) return failed
  const after = error instanceof Retryable ? error.afterSeconds : 0
  const milliseconds = retryDelay(attempt, urgent, options.random ?? Math.random, after)
  const dueAt = service.clock.now().add({ milliseconds })
  return Temporal.Instant.compare(dueAt, Temporal.Instant.from(expiresAt)) < 0
    ? { ...failed, status: 'queued', dueAt }
    : failed
}

/** What may be kept of an error: a transport's own words without numbers and addresses, else kind and code. */
function reasonOf(error: unknown): string {
  if (error instanceof Permanent || error instanceof Retryable)
    return error.message.replace(/\S+@\S+|\+?\d[\d ]{4,}\d/g, '...').slice(0, 200)
  return error instanceof Error ? `${error.name} ${codeOf(error)}`.trim() : typeof error
}
