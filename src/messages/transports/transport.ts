/** How a message leaves the house. */
import type { Channel } from '../store.ts'

export interface OutgoingMessage {
  /** Our own id: the transport's reference, the same at every try. */
  id: string
  /** The clinic's short name. */
  clinic: string
  channel: Channel
  /** E.164 number or email address. */
  to: string
  body: string
}

export interface Accepted {
  /** The other side's own reference. */
  ref: string
  /** True where the transport knows that it has arrived, not just that it was taken. */
  delivered?: boolean
}

export interface Transport {
  name: string
  /** A real transport stays shut until a named clinician has signed the protocol. */
  requiresSignature: boolean
  /**
   * Handing over the same id twice must be once wherever the other side allows it.
   * @throws Retryable or Permanent; anything else is taken as Retryable
   */
  send(message: OutgoingMessage, signal: AbortSignal): Promise<Accepted>
  /** Their outcomes are committed: what the transport kept to know a second hand-over may go. */
  settled?(messages: Pick<OutgoingMessage, 'id' | 'clinic'>[]): Promise<void>
}

export type Transports = Readonly<Record<string, Transport>>

/** It may go better later. */
export class Retryable extends Error {
  override name = 'Retryable'
  /** Not before this many seconds, where the other side said so. */
  afterSeconds: number
  constructor(message: string, afterSeconds = 0) {
    super(message)
    this.afterSeconds = afterSeconds
  }
}

/** It will never go: no such number, refused for good. */
export class Permanent extends Error {
  override name = 'Permanent'
}
