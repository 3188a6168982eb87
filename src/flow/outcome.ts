/** What became of one reply, for the page that sent it: whether it was read, and what the patient is told then. */
import { eq } from 'drizzle-orm'
import type { Temporal } from 'temporal-polyfill'
import { concernDeadline } from '../concerns/deadline.ts'
import { concern, reply } from '../database/schema.ts'
import { renderMessage, type TemplateId } from '../messages/render.ts'
import { plainPunctuation } from '../messages/segments.ts'
import { clinicValues } from '../messages/send.ts'
import { soonWords } from '../messages/words.ts'
import type { Urgency } from '../protocol/rule.ts'
import type { Flow } from './context.ts'
import type { StoredReading } from './replies.ts'

export interface Outcome {
  receivedAt: Temporal.Instant
  /** Null while nobody and nothing has read it. */
  reading: StoredReading['reading'] | null
  read: boolean
  urgency: Urgency
  distress: boolean
}

export async function outcomeOf(flow: Flow, replyId: string): Promise<Outcome | null> {
  const [row] = await flow.tx.select().from(reply).where(eq(reply.replyId, replyId))
  if (!row) return null
  const [raised] = await flow.tx.select().from(concern).where(eq(concern.replyId, replyId))
  const reading = row.readingSealed
    ? (JSON.parse(flow.vault.open(row.readingSealed)) as StoredReading).reading
    : null
  return {
    receivedAt: row.receivedAt,
    reading,
    read: row.readAt !== null,
    urgency: raised?.urgency ?? row.urgency ?? 'unclear',
    distress: isDistress(reading),
  }
}

export const isDistress = (reading: StoredReading['reading'] | null): boolean =>
  reading?.findings.some(
    ({ kind, polarity }) => (kind === 'self-harm' || kind === 'distress') && polarity === 'affirmed',
  ) ?? false

/** The text that is sent for this urgency, without the clinic's name before it. */
export function safetyWords(
  flow: Flow,
  { urgency, distress, receivedAt }: Pick<Outcome, 'urgency' | 'distress' | 'receivedAt'>,
): string | null {
  if (urgency === 'none') return null
  const { settings, zone } = flow.clinic
  const due = concernDeadline(urgency, receivedAt, settings.openingHours, flow.rules.aftercare)
  const template: TemplateId = distress
    ? 'safety-distress'
    : `safety-${urgency}${due.inHours ? '' : '-closed'}`
  const values = clinicValues(flow.clinic)
  const { text } = renderMessage(template, {
    ...values,
    readBy: soonWords(due.deadline, flow.now, zone),
    nextLook: soonWords(due.nextLookAt, flow.now, zone),
  })
  const prefix = plainPunctuation(`${values.clinic}: `)
  return text.startsWith(prefix) ? text.slice(prefix.length) : text
}

/** When a person is next there to look, and whether that is now. */
export function nextLook(flow: Flow): { open: boolean; words: string } {
  const { settings, zone } = flow.clinic
  const due = concernDeadline('unclear', flow.now, settings.openingHours, flow.rules.aftercare)
  return { open: due.inHours, words: soonWords(due.nextLookAt, flow.now, zone) }
}
