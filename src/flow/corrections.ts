/** Where clinicians say that a reply was read wrongly: kept, acted on where it was missed, and exported. */
import { asc, eq } from 'drizzle-orm'
import { addEvent, type Concern } from '../concerns/store.ts'
import { correction, reply } from '../database/schema.ts'
import type { Scope } from '../database/service.ts'
import { moreUrgent, type Urgency } from '../protocol/rule.ts'
import { Trouble } from '../trouble.ts'
import { getPatient } from '../visits/store.ts'
import { raiseConcern } from './concerns.ts'
import type { Flow } from './context.ts'
import type { StoredReading } from './replies.ts'
import { scrub } from './scrub.ts'
import type { Clinician } from './triage.ts'

/**
 * Keeps that a reply was read wrongly. What should have been more urgent opens or raises its concern;
 * nothing is ever lowered or closed by a correction.
 */
export async function correctReading(
  flow: Flow,
  replyId: string,
  who: Clinician,
  { right, note }: { right: Urgency; note: string },
): Promise<void> {
  const [row] = await flow.tx.select().from(reply).where(eq(reply.replyId, replyId)).for('update')
  if (!row) throw new Trouble('There is no such reply.')
  const was = row.urgency ?? 'unclear'
  await flow.tx.insert(correction).values({
    clinicId: flow.clinicId,
    replyId,
    byStaff: who.staffId,
    wasUrgency: was,
    rightUrgency: right,
    noteSealed: note ? flow.vault.seal(note) : null,
    createdAt: flow.now,
  })
  flow.audit({
    actor: `staff:${who.staffId}`,
    action: 'correct reading',
    patientId: row.patientId ?? undefined,
    subject: `reply:${replyId}`,
    detail: { was, right },
  })
  const [about] = await concernOfReply(flow, replyId)
  if (about)
    await addEvent(flow, about.concernId, who.staffId, 'read wrongly', `was ${was}, should be ${right}`)
  // A closed concern was judged by a person already.
  if (right === 'none' || moreUrgent(right, was) === was || about?.status === 'closed') return
  await raiseConcern(flow, {
    patient: row.patientId ? await getPatient(flow, row.patientId) : null,
    replyId,
    visitId: about?.visitId ?? null,
    source: about?.source ?? 'reply',
    urgency: right,
    score: row.score ?? 0,
    reason: 'A clinician says that this was read wrongly and is more urgent.',
  })
}

const concernOfReply = ({ tx }: Pick<Flow, 'tx'>, replyId: string): Promise<Concern[]> =>
  tx.query.concern.findMany({ where: (table, q) => q.eq(table.replyId, replyId) })

export interface Correction {
  replyId: string
  byStaff: string
  was: string
  right: Urgency
  note: string
  at: string
}

/** What clinicians said of the readings of these replies, oldest first. */
export async function correctionsOf(
  { tx, vault }: Pick<Scope, 'tx' | 'vault'>,
  replyIds: string[],
): Promise<Correction[]> {
  if (replyIds.length === 0) return []
  const rows = await tx.query.correction.findMany({
    where: (table, q) => q.inArray(table.replyId, replyIds),
    orderBy: (table, q) => [q.asc(table.createdAt), q.asc(table.correctionId)],
  })
  return rows.map((row) => ({
    replyId: row.replyId,
    byStaff: row.byStaff,
    was: row.wasUrgency,
    right: row.rightUrgency,
    note: row.noteSealed ? vault.open(row.noteSealed) : '',
    at: row.createdAt.toString(),
  }))
}

/**
 * One JSON line a corrected reply, in the shape of the labelled corpus; the last correction of a reply counts.
 * The patient's and the staff's names, numbers and addresses are taken out; names of others may remain, so a
 * person must read it before it leaves the clinic. @returns the lines, each with its end
 */
export async function exportCorrections(
  flow: Flow,
  staffNames: string[],
  byStaff: string,
): Promise<string[]> {
  const rows = await flow.tx
    .select({ correction, reply })
    .from(correction)
    .innerJoin(reply, eq(reply.replyId, correction.replyId))
    .orderBy(asc(correction.createdAt), asc(correction.correctionId))
  const newest = new Map(rows.map((row) => [row.reply.replyId, row]))
  const lines: string[] = []
  for (const { correction: corrected, reply: row } of newest.values()) {
    const patient = row.patientId ? await getPatient(flow, row.patientId) : null
    const names = patient ? [...staffNames, patient.name] : staffNames
    const stored = row.readingSealed
      ? (JSON.parse(flow.vault.open(row.readingSealed)) as StoredReading)
      : null
    const text = stored?.reading.text ?? flow.vault.open(row.bodySealed)
    const questions = [...new Set(stored?.reading.questions.map(({ kind }) => kind) ?? [])]
    const note = corrected.noteSealed ? flow.vault.open(corrected.noteSealed) : ''
    lines.push(
      `${JSON.stringify({
        id: `correction-${corrected.correctionId}`,
        context: stored?.reading.context ?? 'aftercare',
        text: scrub(text, names),
        ...(questions.length > 0 ? { question: questions.length === 1 ? questions[0] : questions } : {}),
        ...(patient && patient.risks.length > 0 ? { risk: patient.risks } : {}),
        expect: { urgency: corrected.rightUrgency },
        note: scrub(note, names) || `read as ${corrected.wasUrgency}`,
      })}\n`,
    )
  }
  flow.audit({
    actor: `staff:${byStaff}`,
    action: 'export corrections',
    detail: { lines: lines.length },
  })
  return lines
}
