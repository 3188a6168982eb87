/** What a clinician does with a concern: takes it, writes, notes, records the outcome and closes. */
import { createHash } from 'node:crypto'
import { eq, sql } from 'drizzle-orm'
import { addEvent, type Concern, claim, close, eventsOf, getConcern, release } from '../concerns/store.ts'
import { reply } from '../database/schema.ts'
import type { Scope } from '../database/service.ts'
import { putOnDesk } from '../desk/store.ts'
import { type Queued, sendToContact, sendToPatient } from '../messages/send.ts'
import { Trouble } from '../trouble.ts'
import { getPatient } from '../visits/store.ts'
import type { Flow } from './context.ts'

export interface Clinician {
  staffId: string
  name: string
}

/** What came of a concern. `visit`: the front desk is asked for one, within this many days. */
export const OUTCOMES = {
  advised: { words: 'Told what to do at home', visit: null },
  expected: { words: 'As expected after the removal; told when to write again', visit: null },
  'visit-today': { words: 'To be seen here today', visit: 0 },
  'visit-soon': { words: 'To be seen here in the next days', visit: 5 },
  emergency: { words: 'Sent to emergency care', visit: null },
  specialist: { words: 'Sent to an ear specialist', visit: null },
  'own-doctor': { words: 'Sent to their own doctor', visit: null },
  'drops-decided': { words: 'Only the drops had to be decided', visit: null },
  'front-desk': { words: 'Not about health: for the front desk', visit: null },
  'not-reached': { words: 'Could not be reached', visit: null },
  other: { words: 'Something else', visit: null },
} as const satisfies Record<string, { words: string; visit: number | null }>
export type Outcome = keyof typeof OUTCOMES
export const OUTCOME_IDS = Object.keys(OUTCOMES) as [Outcome, ...Outcome[]]

export const outcomeWords = (id: string | null): string =>
  id === null ? '' : Object.hasOwn(OUTCOMES, id) ? OUTCOMES[id as Outcome].words : id

/** Closing with one of these says nothing by itself: the note must. */
const NEEDS_NOTE: ReadonlySet<Outcome> = new Set(['not-reached', 'other'])

/**
 * A short text that changes with whatever a clinician must have seen before acting: the state of the concern,
 * what colleagues did and what the patient wrote since.
 */
export async function stateOf(scope: Pick<Scope, 'tx' | 'vault'>, concern: Concern): Promise<string> {
  const events = await eventsOf(scope, concern.concernId)
  const newest = concern.patientId ? await newestReply(scope, concern.patientId) : (concern.replyId ?? '')
  const acts = events.filter(({ byStaff }) => byStaff !== null).length
  return [concern.status, concern.claimedBy ?? '', concern.urgency, acts, newest].join('.')
}

async function newestReply({ tx }: Pick<Scope, 'tx'>, patientId: string): Promise<string> {
  const rows = await tx.query.reply.findMany({
    columns: { replyId: true },
    where: (table, q) => q.eq(table.patientId, patientId),
    orderBy: (table, q) => q.desc(table.receivedAt),
    limit: 1,
  })
  return rows[0]?.replyId ?? ''
}

/** Why an act did not happen; nothing was changed. `by` holds the concern now, or closed it. */
export type Refused =
  | { refused: 'held'; by: string }
  | { refused: 'not-held' }
  | { refused: 'closed'; by: string | null }
  | { refused: 'changed' }
export type Done = { done: true }

export async function takeConcern(flow: Flow, concernId: string, who: Clinician): Promise<Done | Refused> {
  if (await claim(flow, concernId, who.staffId)) return { done: true }
  const now = await mustFind(flow, concernId)
  // The same button twice, or a page from before one's own claim: the claim stands.
  if (now.status === 'claimed' && now.claimedBy === who.staffId) return { done: true }
  return refusedBy(now)
}

const refusedBy = (now: Concern): Refused => {
  if (now.status === 'closed') return { refused: 'closed', by: now.closedBy }
  return now.claimedBy ? { refused: 'held', by: now.claimedBy } : { refused: 'not-held' }
}

async function mustFind(flow: Pick<Flow, 'tx'>, concernId: string): Promise<Concern> {
  const found = await getConcern(flow, concernId)
  if (!found) throw new Trouble('There is no such concern.')
  return found
}

/** The concern, locked, if this person holds it and nothing changed since their page was made. */
async function held(
  flow: Flow,
  concernId: string,
  who: Clinician,
  seen: string,
): Promise<{ concern: Concern } | Refused> {
  await flow.tx.execute(lockConcern(concernId))
  const concern = await mustFind(flow, concernId)
  if (concern.status !== 'claimed' || concern.claimedBy !== who.staffId) return refusedBy(concern)
  if ((await stateOf(flow, concern)) !== seen) return { refused: 'changed' }
  return { concern }
}

const lockConcern = (concernId: string) =>
  sql`select 1 from concern where concern_id = ${concernId} for update`

export async function giveBack(flow: Flow, concernId: string, who: Clinician): Promise<Done | Refused> {
  if (await release(flow, concernId, who.staffId)) return { done: true }
  return refusedBy(await mustFind(flow, concernId))
}

/** Keeps a line of what was tried or seen, without closing. */
export async function noteOn(
  flow: Flow,
  concernId: string,
  who: Clinician,
  { note, seen }: { note: string; seen: string },
): Promise<Done | Refused> {
  const own = await held(flow, concernId, who, seen)
  if ('refused' in own) return own
  await addEvent(flow, concernId, who.staffId, 'noted', note)
  flow.audit({
    actor: `staff:${who.staffId}`,
    action: 'note on concern',
    patientId: own.concern.patientId ?? undefined,
    subject: `concern:${concernId}`,
  })
  return { done: true }
}

/** Writes to whoever the concern is about, also after STOP; a second press of the same page sends nothing more. */
export async function writeToPatient(
  flow: Flow,
  concernId: string,
  who: Clinician,
  { words, seen }: { words: string; seen: string },
): Promise<Queued | Refused> {
  const own = await held(flow, concernId, who, seen)
  const pressed = createHash('sha256')
    .update(JSON.stringify([who.staffId, seen, words]))
    .digest('hex')
  const dedupe = `clinician-reply/${concernId}/${pressed}`
  if ('refused' in own) {
    const again = await wasWritten(flow, dedupe)
    return again ? { skipped: 'already' } : own
  }
  const { concern } = own
  const letter = {
    clinic: flow.clinic,
    template: 'clinician-reply' as const,
    values: { clinician: who.name, words },
    dedupe,
    concernId,
    visitId: concern.visitId,
    // A person sends this now, on purpose: it waits for no morning.
    urgent: true,
  }
  const queued = await sendTo(flow, concern, letter)
  if ('skipped' in queued) return queued
  await addEvent(flow, concernId, who.staffId, 'wrote to the patient', words)
  flow.audit({
    actor: `staff:${who.staffId}`,
    action: 'write to patient',
    patientId: concern.patientId ?? undefined,
    subject: `concern:${concernId}`,
  })
  return queued
}

async function wasWritten({ tx }: Pick<Flow, 'tx'>, dedupe: string): Promise<boolean> {
  const rows = await tx.query.message.findMany({
    columns: { messageId: true },
    where: (table, q) => q.eq(table.dedupe, dedupe),
  })
  return rows.length > 0
}

type ReplyLetter = Omit<Parameters<typeof sendToPatient>[1], 'patient'>

async function sendTo(flow: Flow, concern: Concern, letter: ReplyLetter): Promise<Queued> {
  const patient = concern.patientId ? await getPatient(flow, concern.patientId) : null
  if (patient) return await sendToPatient(flow, { ...letter, patient })
  const to = await senderOf(flow, concern)
  return to ? await sendToContact(flow, { ...letter, to }) : { skipped: 'no-contact' }
}

/** The number or address that a reply without a patient came from. */
export async function senderOf(
  { tx, vault }: Pick<Scope, 'tx' | 'vault'>,
  concern: Pick<Concern, 'replyId'>,
): Promise<string | null> {
  if (!concern.replyId) return null
  const [row] = await tx.select().from(reply).where(eq(reply.replyId, concern.replyId))
  return row?.fromSealed ? vault.open(row.fromSealed) : null
}

/** Records what came of it and closes. @throws Trouble when the outcome needs a note and has none */
export async function closeConcern(
  flow: Flow,
  concernId: string,
  who: Clinician,
  { outcome, note, seen }: { outcome: Outcome; note: string; seen: string },
): Promise<Done | Refused> {
  if (NEEDS_NOTE.has(outcome) && note.trim().length < 3)
    throw new Trouble('Say in the note what was tried or done, so that the next person knows.')
  const own = await held(flow, concernId, who, seen)
  if ('refused' in own) return own
  const { concern } = own
  await close(flow, concernId, who.staffId, { outcome, note })
  const { visit, words } = OUTCOMES[outcome]
  if (visit !== null || outcome === 'front-desk') {
    await putOnDesk(flow, {
      dedupe: `triage/${concernId}`,
      kind: visit === null ? 'wishes-a-call' : 'needs-visit',
      patientId: concern.patientId,
      visitId: concern.visitId,
      note: `From the clinician: ${words}.`,
      ...(visit === null ? {} : { dueAt: flow.now.add({ hours: 24 * visit }) }),
    })
  }
  return { done: true }
}
