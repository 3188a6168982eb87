/** What follows from a visit that is booked, changed, moved or cancelled; and the import of many. */
import type { Readable } from 'node:stream'
import { Temporal } from 'temporal-polyfill'
import { cancelChecks } from '../aftercare/store.ts'
import { codeOf, type Service } from '../database/service.ts'
import { endDeskItems, putOnDesk } from '../desk/store.ts'
import { readdressMessages } from '../messages/send.ts'
import { cancelMessages, withdrawQuestions } from '../messages/store.ts'
import { whenWords } from '../messages/words.ts'
import { proposedMove, releaseSlots, settleMove, waitingMoves } from '../softening/moves/store.ts'
import { getScreening, type Screening, saveScreening } from '../softening/store.ts'
import { Trouble } from '../trouble.ts'
import type { RowProblem, VisitRow } from '../visits/columns.ts'
import { readVisits } from '../visits/csv.ts'
import { getPatient, type Patient, putVisit, type Visit, type VisitChange } from '../visits/store.ts'
import { type Flow, inFlow, tell } from './context.ts'
import { allowedAt, cancelPlan, makePlan } from './plans.ts'
import { askHistory } from './screening.ts'

/** Stores one row and does all that follows from it, in the transaction of the flow. */
export async function takeVisit(flow: Flow, row: VisitRow): Promise<VisitChange> {
  const change = await putVisit(flow, row)
  const patient = await getPatient(flow, change.visit.patientId)
  if (!patient) return change
  if (change.kind === 'booked') await visitBooked(flow, change.visit, patient)
  else if (change.kind === 'cancelled') await visitCancelled(flow, change.visit, patient)
  else if (change.kind === 'changed') await visitChanged(flow, change, patient)
  return change
}

const isToCome = (flow: Flow, visit: Visit): boolean => Temporal.Instant.compare(visit.startAt, flow.now) > 0

async function visitBooked(flow: Flow, visit: Visit, patient: Patient): Promise<void> {
  if (!isToCome(flow, visit)) return
  await askHistory(flow, visit, patient)
  await remindOfVisit(flow, visit, patient)
}

/** One text on the day before, at the hour of the evening question, where there still is one. */
export async function remindOfVisit(flow: Flow, visit: Visit, patient: Patient, again = ''): Promise<void> {
  const dueAt = allowedAt(flow, visit.startAt.subtract({ hours: 24 }))
  if (Temporal.Instant.compare(dueAt, flow.now) <= 0) return
  await tell(
    flow,
    patient,
    'visit-reminder',
    { when: whenWords(visit.startAt, flow.clinic.zone) },
    {
      dedupe: `visit-reminder/${visit.visitId}/${visit.version}/${again}`,
      visitId: visit.visitId,
      dueAt,
      expiresAt: visit.startAt,
      linkUntil: visit.startAt,
    },
  )
}

export async function visitCancelled(flow: Flow, visit: Visit, patient: Patient): Promise<void> {
  const wasToCome = isToCome(flow, visit)
  await cancelPlan(flow, visit.visitId)
  await withdrawMove(flow, visit.visitId)
  if (await getScreening(flow, visit.visitId))
    await saveScreening(flow, visit.visitId, { status: 'cancelled' })
  await withdrawQuestions(flow, { visitId: visit.visitId })
  await cancelMessages(flow, { visitId: visit.visitId })
  await cancelChecks(flow, visit.visitId)
  if (!wasToCome) return
  await tell(
    flow,
    patient,
    'visit-cancelled',
    { when: whenWords(visit.startAt, flow.clinic.zone) },
    { dedupe: `visit-cancelled/${visit.visitId}/${visit.version}`, visitId: visit.visitId },
  )
}

/** A proposal that the clinic itself has overtaken: its slots are open again. */
export async function withdrawMove(flow: Flow, visitId: string): Promise<void> {
  for (const { moveId } of await waitingMoves(flow, visitId)) await settleMove(flow, moveId, 'withdrawn')
  const open = await proposedMove(flow, visitId)
  if (!open) return
  await settleMove(flow, open.moveId, 'withdrawn')
  await releaseSlots(flow, open.moveId)
  await withdrawQuestions(flow, { moveId: open.moveId })
}

async function visitChanged(
  flow: Flow,
  change: Extract<VisitChange, { kind: 'changed' }>,
  patient: Patient,
): Promise<void> {
  const { visit, before, moved, contactChanged } = change
  if (contactChanged) await contactMoved(flow, visit, patient)
  const planMatters =
    moved ||
    before.ears !== visit.ears ||
    before.purpose !== visit.purpose ||
    before.recurrent !== visit.recurrent
  if (moved) {
    await withdrawMove(flow, visit.visitId)
    await tell(
      flow,
      patient,
      'visit-moved',
      { when: whenWords(visit.startAt, flow.clinic.zone) },
      {
        dedupe: `visit-moved/${visit.visitId}/${visit.version}`,
        visitId: visit.visitId,
        expiresAt: visit.startAt,
      },
    )
  }
  if (visit.minutes > before.minutes) await endDeskItems(flow, visit.visitId, ['more-time'])
  if (planMatters) await followMove(flow, visit, patient, moved)
}

/** The plan, the reminder and the history's deadline move with the visit. */
export async function followMove(flow: Flow, visit: Visit, patient: Patient, moved: boolean): Promise<void> {
  if (moved) {
    await cancelMessages(flow, { visitId: visit.visitId, except: KEEP_ON_MOVE })
    await remindOfVisit(flow, visit, patient)
  }
  const screening = await getScreening(flow, visit.visitId)
  const wanted = flow.rules.softening.plan.purposes.value.includes(visit.purpose)
  if (!isToCome(flow, visit) || (!wanted && !(screening && isAnswered(screening)))) {
    await cancelPlan(flow, visit.visitId)
    if (screening && !isAnswered(screening)) await leaveHistory(flow, visit)
    return
  }
  if (!screening || screening.status === 'cancelled') return await askHistory(flow, visit, patient)
  if (screening.outcome && isAnswered(screening))
    return void (await makePlan(flow, visit, patient, screening.outcome, { changed: true }))
  // A new time is a new chance to answer, also for a history that stayed without an answer.
  if (moved) await askHistory(flow, visit, patient)
}

const isAnswered = ({ status, outcome }: Screening): boolean =>
  status !== 'overdue' && outcome?.settled === true

/** Drops are not for this visit any more, so nobody is asked, nor told that an answer is missing. */
async function leaveHistory(flow: Flow, visit: Visit): Promise<void> {
  await saveScreening(flow, visit.visitId, { status: 'cancelled' })
  await withdrawQuestions(flow, { visitId: visit.visitId, kinds: ['screening'] })
  await endDeskItems(flow, visit.visitId, ['no-history', 'history-unclear'])
}

const KEEP_ON_MOVE = [
  'visit-booked',
  'visit-moved',
  'move-accepted',
  'move-declined',
  'move-too-late',
  'visit-changed',
  'stop-confirmed',
  'start-confirmed',
  'clinician-reply',
  'reply-received',
  'safety-now',
  'safety-now-closed',
  'safety-today',
  'safety-today-closed',
  'safety-soon',
  'safety-soon-closed',
  'safety-unclear',
  'safety-unclear-closed',
  'safety-distress',
]

/** The old number must not open the patient's pages, nor get what is queued: all of it goes to the new one. */
async function contactMoved(flow: Flow, visit: Visit, patient: Patient): Promise<void> {
  const queued = await readdressMessages(flow, patient)
  if (queued !== null) return await askAtNewContact(flow, visit, patient)
  await putOnDesk(flow, {
    dedupe: `no-way-to-write/${visit.visitId}/${visit.version}`,
    kind: 'no-way-to-write',
    patientId: patient.patientId,
    visitId: visit.visitId,
  })
}

/** What was asked at the old number and not answered is asked at the new one. */
async function askAtNewContact(flow: Flow, visit: Visit, patient: Patient): Promise<void> {
  const screening = await getScreening(flow, visit.visitId)
  if (screening?.status !== 'asked' && screening?.status !== 'asked-again') return
  await withdrawQuestions(flow, { visitId: visit.visitId, kinds: ['screening'] })
  await askHistory(flow, visit, patient, 'new-contact')
}

/** Tells reception that the patient wishes another time; the visit stands until then. */
export async function wishesToMove(
  flow: Flow,
  visit: Visit | null,
  patient: Patient,
  replyId: string,
): Promise<void> {
  await putOnDesk(flow, {
    dedupe: `wishes-to-move/${replyId}`,
    kind: 'wishes-to-move',
    patientId: patient.patientId,
    visitId: visit?.visitId ?? null,
    dueAt: visit?.startAt ?? null,
  })
  if (!visit) return
  await tell(
    flow,
    patient,
    'move-request-received',
    { when: whenWords(visit.startAt, flow.clinic.zone) },
    { dedupe: `move-request/${replyId}`, visitId: visit.visitId },
  )
}

export interface ImportReport {
  rows: number
  booked: number
  changed: number
  cancelled: number
  same: number
  problems: RowProblem[]
}

const BATCH = 50
/** Batches under way at once: most of an import is waiting for the database. */
const LANES = 4

interface NumberedRow {
  line: number
  row: VisitRow
}

// The database's own words hold the row's values, so only its code is told.
const whyNotStored = (error: unknown): string =>
  error instanceof Trouble
    ? error.message
    : `could not be stored (${codeOf(error) || 'fault'}): import the file again; if it stays so, tell whoever runs the service`

async function storeBatch(
  service: Service,
  clinicId: string,
  rows: readonly NumberedRow[],
  report: ImportReport,
): Promise<void> {
  const store = (some: readonly NumberedRow[]) =>
    inFlow(service, clinicId, async (flow) => {
      const kinds: VisitChange['kind'][] = []
      for (const { row } of some) kinds.push((await takeVisit(flow, row)).kind)
      return kinds
    })
  try {
    for (const kind of await store(rows)) report[kind] += 1
  } catch {
    // One row of the batch cannot be stored: each by itself, so that only that one is left out.
    for (const one of rows) {
      try {
        for (const kind of await store([one])) report[kind] += 1
      } catch (error) {
        report.problems.push({
          line: one.line,
          field: 'row',
          message: whyNotStored(error),
        })
      }
    }
  }
}

/**
 * Imports a visits file. Good rows go in, in batches, each row whole or not at all; bad rows are reported.
 * A row that cannot be stored never takes others with it.
 */
export async function importVisits(
  service: Service,
  clinicId: string,
  input: Readable,
  onProgress: (done: number) => void = () => {},
): Promise<ImportReport> {
  const context = await inFlow(service, clinicId, async ({ clinic }) => ({
    zone: clinic.zone,
    region: clinic.settings.region,
    language: clinic.settings.language,
  }))
  const report: ImportReport = { rows: 0, booked: 0, changed: 0, cancelled: 0, same: 0, problems: [] }
  const lanes = new Set<Promise<void>>()
  let stored = 0
  let batch: NumberedRow[] = []
  const flush = async () => {
    const lane = storeBatch(service, clinicId, batch, report).finally(() => lanes.delete(lane))
    stored += batch.length
    batch = []
    lanes.add(lane)
    if (lanes.size >= LANES) await Promise.race(lanes)
    onProgress(stored)
  }
  for await (const item of readVisits(input, context)) {
    report.rows += 1
    if ('problems' in item) report.problems.push(...item.problems)
    else batch.push(item)
    if (batch.length >= BATCH) await flush()
  }
  if (batch.length > 0) await flush()
  await Promise.all(lanes)
  report.problems.sort((a, b) => a.line - b.line)
  onProgress(report.rows)
  return report
}
