/** The day sheet: one printable line a patient, with what a clinician must know before the visit. */
import type { Context } from 'hono'
import { html } from 'hono/html'
import { Temporal } from 'temporal-polyfill'
import type { StaffEnv } from '../../access/env.ts'
import { may } from '../../access/permissions.ts'
import { auditViews } from '../../access/views.ts'
import { afterwards } from '../../aftercare/afterwards.ts'
import { recordsOfPatient } from '../../aftercare/store.ts'
import { dayOf, earsOf, type Flow } from '../../flow/context.ts'
import { dayWords } from '../../messages/words.ts'
import { daySheetLine } from '../../softening/day-sheet.ts'
import { plansOf, type Screening, type StoredPlan, screeningsOf } from '../../softening/store.ts'
import type { ScreeningOutcome } from '../../softening/types.ts'
import { getPatients, type Visit, visitsBetween } from '../../visits/store.ts'
import { page } from '../shared/layout.ts'
import { inClinicOf } from './parts.ts'

interface Line {
  visit: Visit
  text: string
}

/** What the last procedures of this patient tell the next clinician. */
export async function notesFromBefore(flow: Flow, patientId: string, visitId: string): Promise<string[]> {
  const records = (await recordsOfPatient(flow, patientId)).filter((one) => one.visitId !== visitId)
  const last = records.filter((one) => one.visitId === records[0]?.visitId)
  if (last.length === 0) return []
  const { notes } = afterwards({ ears: last.map(({ record }) => record) }, flow.rules.aftercare)
  return notes.map(({ text, ear }) => `${ear} ear last time: ${text}`)
}

/** The history's outcome as it stands now: a pause by a clinician's concern is no advice to use drops. */
export function standingOutcome(
  screening: Screening | undefined,
  plan: StoredPlan | undefined,
): ScreeningOutcome | null {
  const outcome = screening?.outcome ?? null
  if (!outcome || plan?.status !== 'withheld' || outcome.decision === 'withheld') return outcome
  return {
    ...outcome,
    decision: 'withheld',
    clinicianNotes: [...outcome.clinicianNotes, plan.plan.withheldReason ?? 'The drops are paused.'],
  }
}

async function linesOf(flow: Flow, day: Temporal.PlainDate, staffId: string): Promise<Line[]> {
  const { zone } = flow.clinic
  const start = (date: Temporal.PlainDate) => date.toZonedDateTime(zone).toInstant()
  const all = await visitsBetween(flow, start(day), start(day.add({ days: 1 })))
  const visits = all.filter(({ status }) => status !== 'cancelled')
  const ids = visits.map(({ visitId }) => visitId)
  const patientIds = visits.map(({ patientId }) => patientId)
  const [patients, screenings, plans] = [
    await getPatients(flow, patientIds),
    await screeningsOf(flow, ids),
    await plansOf(flow, ids),
  ]
  await auditViews(flow, staffId, patientIds, 'day sheet')
  const lines: Line[] = []
  for (const visit of visits) {
    const stored = plans.get(visit.visitId)
    const outcome = standingOutcome(screenings.get(visit.visitId), stored)
    const line = daySheetLine(
      {
        time: visit.startAt.toZonedDateTimeISO(zone).toPlainTime().toString({ smallestUnit: 'minute' }),
        name: patients.get(visit.patientId)?.name ?? 'No name',
        purpose: visit.purpose,
        ears: earsOf(visit),
        lengthMinutes: visit.minutes,
      },
      outcome,
      stored?.plan ?? null,
      stored?.readiness ?? null,
    )
    const before = await notesFromBefore(flow, visit.patientId, visit.visitId)
    lines.push({ visit, text: [line, ...before].join(' | ') })
  }
  return lines
}

export async function dayPage(c: Context<StaffEnv>) {
  const asked = c.req.query('day') ?? ''
  const { day, today, lines } = await inClinicOf(c, async (flow) => {
    const now = dayOf(flow, flow.now)
    const wanted = readDay(asked) ?? now
    return { day: wanted, today: now, lines: await linesOf(flow, wanted, c.get('staff').staffId) }
  })
  const records = may(c.get('staff').role, 'procedure:write')
  const byPractitioner = Map.groupBy(lines, ({ visit }) => visit.practitioner)
  const link = (to: Temporal.PlainDate, words: string) =>
    html`<a class="button plain" href="/clinician/day?day=${to.toString()}">${words}</a>`
  return page(c, {
    title: `Day sheet: ${dayWords(day)} ${day.year}`,
    face: 'staff',
    body: html`
<div class="row no-print">${link(day.subtract({ days: 1 }), 'The day before')} ${day.equals(today) ? '' : link(today, 'Today')} ${link(day.add({ days: 1 }), 'The day after')}
<form method="get" action="/clinician/day" class="row"><label>Another day <input type="date" name="day" value="${day.toString()}"></label> <button class="plain">Show</button></form></div>
${lines.length === 0 ? html`<p>No visits on this day.</p>` : ''}
${[...byPractitioner].map(
  ([practitioner, own]) => html`<h2>${practitioner}</h2>
<ol class="list day">${own.map(
    ({
      visit,
      text,
    }) => html`<li>${text}${visit.status === 'done' ? ' | RECORDED' : visit.status === 'missed' ? ' | DID NOT COME' : ''}
<span class="no-print row"><a href="/clinician/patients/${visit.patientId}">Everything of this patient</a>
${
  records && visit.status !== 'missed'
    ? html`<a class="button plain" href="/clinician/visits/${visit.visitId}/procedure">${visit.status === 'done' ? 'Mend the record' : 'Record the procedure'}</a>`
    : ''
}</span></li>`,
  )}</ol>`,
)}`,
  })
}

function readDay(text: string): Temporal.PlainDate | null {
  if (!/^\d{4}-\d{2}-\d{2}$/.test(text)) return null
  try {
    return Temporal.PlainDate.from(text)
  } catch {
    return null
  }
}
