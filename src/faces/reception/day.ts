/** The day as a list to print: who comes when, for how long, and how to reach them. Nothing clinical. */
import type { Context } from 'hono'
import { html } from 'hono/html'
import { Temporal } from 'temporal-polyfill'
import type { StaffEnv } from '../../access/env.ts'
import { dayOf, type Flow } from '../../flow/context.ts'
import { dayWords, timeWords } from '../../messages/words.ts'
import { movesOf } from '../../softening/moves/store.ts'
import { plansOf, screeningsOf } from '../../softening/store.ts'
import { getPatients, type Patient, type Visit, visitsBetween } from '../../visits/store.ts'
import { auditViews, inClinicOf } from '../clinician/parts.ts'
import { capital, earsWords, statusWords } from '../clinician/words.ts'
import { page } from '../shared/layout.ts'
import { deskLinks } from './parts.ts'
import { type State, stateOf } from './words.ts'

interface Line {
  visit: Visit
  patient: Patient | undefined
  state: State
  pending: boolean
}

async function linesOf(flow: Flow, day: Temporal.PlainDate, staffId: string): Promise<Line[]> {
  const { zone } = flow.clinic
  const start = (date: Temporal.PlainDate) => date.toZonedDateTime(zone).toInstant()
  const visits = await visitsBetween(flow, start(day), start(day.add({ days: 1 })))
  const ids = visits.map(({ visitId }) => visitId)
  const patientIds = visits.map(({ patientId }) => patientId)
  const patients = await getPatients(flow, patientIds)
  const plans = await plansOf(flow, ids)
  const screenings = await screeningsOf(flow, ids)
  const moves = await movesOf(flow, ids)
  await auditViews(flow, staffId, patientIds, 'day list')
  return visits.map((visit) => ({
    visit,
    patient: patients.get(visit.patientId),
    state: stateOf(visit, plans.get(visit.visitId), screenings.get(visit.visitId)),
    pending: moves.some(({ visitId, status }) => visitId === visit.visitId && status === 'proposed'),
  }))
}

const STATES: Record<State, string> = {
  'not-ready': 'not soft enough: see the visit',
  ready: 'likely to be soft enough',
  open: 'history not answered yet',
  'not-needed': '',
}

export async function dayPage(c: Context<StaffEnv>) {
  const asked = readDay(c.req.query('day') ?? '')
  const { zone } = c.get('clinic')
  const { day, today, lines } = await inClinicOf(c, async (flow) => {
    const now = dayOf(flow, flow.now)
    const wanted = asked ?? now
    return { day: wanted, today: now, lines: await linesOf(flow, wanted, c.get('staff').staffId) }
  })
  const link = (to: Temporal.PlainDate, words: string) =>
    html`<a class="button plain" href="/reception/day?day=${to.toString()}">${words}</a>`
  const byPractitioner = Map.groupBy(lines, ({ visit }) => visit.practitioner)
  return page(c, {
    title: `Day list: ${dayWords(day)} ${day.year}`,
    face: 'staff',
    body: html`${deskLinks(c)}
<div class="row no-print">${link(day.subtract({ days: 1 }), 'The day before')} ${day.equals(today) ? '' : link(today, 'Today')} ${link(day.add({ days: 1 }), 'The day after')}
<form method="get" action="/reception/day" class="row"><label>Another day <input type="date" name="day" value="${day.toString()}"></label> <button class="plain">Show</button></form></div>
${lines.length === 0 ? html`<p>No visits on this day.</p>` : ''}
${[...byPractitioner].map(
  ([practitioner, own]) => html`<h2>${practitioner}</h2>
<div class="scroll"><table class="stack"><thead><tr><th scope="col">Time</th><th scope="col">Patient</th><th scope="col">Visit</th><th scope="col">Softening</th></tr></thead><tbody>
${own.map(
  ({ visit, patient, state, pending }) =>
    html`<tr><td data-label="Time">${timeWords(visit.startAt.toZonedDateTimeISO(zone).toPlainTime())}, ${visit.minutes} min</td>
<td data-label="Patient"><a href="/reception/visits/${visit.visitId}">${patient?.name ?? 'No name'}</a><br>${patient?.mobile ?? patient?.email ?? 'no number or address'}${patient?.stoppedAt ? html` <strong>(stopped our messages)</strong>` : ''}</td>
<td data-label="Visit">${visit.status === 'booked' ? '' : html`<strong>${capital(statusWords[visit.status] ?? visit.status)}.</strong> `}${capital(visit.purpose)}, ${earsWords(visit.ears)}${visit.room ? `, room ${visit.room}` : ''}${visit.urgent ? ', urgent' : ''}</td>
<td data-label="Softening">${visit.status === 'booked' ? STATES[state] : ''}${pending ? html` <strong>Asked about another time.</strong>` : ''}</td></tr>`,
)}</tbody></table></div>`,
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
