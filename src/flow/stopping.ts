/** STOP and START: at once, for everybody whose texts come to that number, and told to the clinic. */
import { Temporal } from 'temporal-polyfill'
import { checksOfVisit } from '../aftercare/store.ts'
import { putOnDesk } from '../desk/store.ts'
import { cancelMessages, patientsWithContact, withdrawQuestions } from '../messages/store.ts'
import { earWords } from '../messages/words.ts'
import { getScreening } from '../softening/store.ts'
import { getPatient, type Patient, setStopped, type Visit, visitsOfPatient } from '../visits/store.ts'
import { askCheck } from './aftercare.ts'
import { earsOf, type Flow, tell } from './context.ts'
import { makePlan } from './plans.ts'
import { askHistory } from './screening.ts'
import { remindOfVisit } from './visits.ts'

/** Whose texts come to the number or address that wrote; the known patient among them. */
async function sharers(flow: Flow, from: string | null, patient: Patient | null): Promise<Patient[]> {
  const ids = from ? await patientsWithContact(flow, from) : []
  const all = [...new Set([...(patient ? [patient.patientId] : []), ...ids])]
  const found = await Promise.all(all.map((id) => getPatient(flow, id)))
  return found.filter((one) => one !== null)
}

/** Ends every text to that number. Visits stay booked; what was asked is asked no more. */
export async function stopMessages(
  flow: Flow,
  { from, patient, replyId }: { from: string | null; patient: Patient | null; replyId: string },
): Promise<void> {
  const stopped = await sharers(flow, from, patient)
  for (const one of stopped) {
    const { patientId } = one
    await setStopped(flow, patientId, flow.now)
    await cancelMessages(flow, { patientId, except: ['stop-confirmed', 'clinician-reply'] })
    await putOnDesk(flow, { dedupe: `stopped/${replyId}/${patientId}`, kind: 'stopped-messages', patientId })
  }
  const first = stopped[0]
  if (first) {
    const stoppedNow = { ...first, stoppedAt: flow.now }
    await tell(flow, stoppedNow, 'stop-confirmed', {}, { dedupe: `stop/${replyId}`, urgent: true })
  }
}

/** Texts again, and with them what is still to come: the history, the plan, the reminder, the checks. */
export async function startMessages(
  flow: Flow,
  { from, patient, replyId }: { from: string | null; patient: Patient | null; replyId: string },
): Promise<void> {
  const stopped = (await sharers(flow, from, patient)).filter((one) => one.stoppedAt)
  for (const one of stopped) {
    await setStopped(flow, one.patientId, null)
    const started = { ...one, stoppedAt: null }
    if (one === stopped[0])
      await tell(flow, started, 'start-confirmed', {}, { dedupe: `start/${replyId}`, urgent: true })
    for (const visit of await visitsOfPatient(flow, one.patientId))
      await resume(flow, visit, started, replyId)
  }
}

async function resume(flow: Flow, visit: Visit, patient: Patient, again: string): Promise<void> {
  if (visit.status === 'done') return await resumeChecks(flow, visit, patient, again)
  if (visit.status !== 'booked' || Temporal.Instant.compare(visit.startAt, flow.now) <= 0) return
  const screening = await getScreening(flow, visit.visitId)
  if (screening?.status === 'asked' || screening?.status === 'asked-again') {
    await withdrawQuestions(flow, { visitId: visit.visitId, kinds: ['screening'] })
    await askHistory(flow, visit, patient, again)
  } else if (screening?.outcome?.settled) {
    await makePlan(flow, visit, patient, screening.outcome, { changed: true })
  }
  await remindOfVisit(flow, visit, patient, again)
}

async function resumeChecks(flow: Flow, visit: Visit, patient: Patient, again: string): Promise<void> {
  for (const check of await checksOfVisit(flow, visit.visitId)) {
    if (check.status !== 'planned' || Temporal.Instant.compare(check.dueAt, flow.now) <= 0) continue
    await askCheck(
      flow,
      visit,
      patient,
      { checkId: check.checkId, due: check.dueAt, ears: earWords(earsOf(visit)) },
      again,
    )
  }
}
