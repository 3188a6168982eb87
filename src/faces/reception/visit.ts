/** One visit at the front desk: whom it is for, how the softening goes, what was sent, and what can be done. */
import type { Context } from 'hono'
import { html } from 'hono/html'
import { Temporal } from 'temporal-polyfill'
import type { StaffEnv } from '../../access/env.ts'
import { refuse } from '../../access/route.ts'
import { listStaff } from '../../access/staff.ts'
import { dayOf, type Flow } from '../../flow/context.ts'
import { ANSWER_HOURS, MOST_CHOICES } from '../../flow/moves.ts'
import { answersFor, loadWeek, type Week } from '../../flow/week.ts'
import { dayWords, soonWords, whenWords } from '../../messages/words.ts'
import { type Move, movesOf, type Slot } from '../../softening/moves/store.ts'
import {
  type DoseDayRow,
  doseDayRows,
  plansOf,
  type Screening,
  type StoredPlan,
  screeningsOf,
} from '../../softening/store.ts'
import { getPatient, getVisit, type Patient, type Visit } from '../../visits/store.ts'
import { doseTable } from '../clinician/known.ts'
import { auditViews, idOf, inClinicOf } from '../clinician/parts.ts'
import { agentWords, capital, earsWords, messageStatusWords, statusWords } from '../clinician/words.ts'
import { csrfField, field } from '../shared/forms.ts'
import { type Html, liveRegion, page } from '../shared/layout.ts'
import { answersPart } from './answers.ts'
import { type MessageState, messageStates } from './data.ts'
import { deskLinks, type Said, saidLines } from './parts.ts'
import { messageKindWords, moveLine, readinessLines } from './words.ts'

export const VISIT_DONE: Record<string, string> = {
  proposed: 'The times are held, and the patient is asked.',
  moved: 'Moved. The patient is told, and the drops follow.',
  longer: 'Made longer. The patient is told.',
  assessment: 'Turned into an assessment. The patient is told.',
  kept: 'Kept as it is.',
  cancelled: 'Cancelled. The patient is told.',
  withdrawn: 'The proposal is taken back. The times are free again.',
  booked: 'Booked. The patient is told.',
}

interface VisitData {
  visit: Visit
  patient: Patient
  plan: StoredPlan | undefined
  screening: Screening | undefined
  days: DoseDayRow[]
  moves: Move[]
  messages: MessageState[]
  week: Week
  names: Map<string, string>
  today: string
  now: Temporal.Instant
}

async function loadVisit(flow: Flow, visitId: string, staffId: string): Promise<VisitData | null> {
  const visit = await getVisit(flow, visitId)
  const patient = visit && (await getPatient(flow, visit.patientId))
  if (!visit || !patient) return null
  await auditViews(flow, staffId, [patient.patientId], `visit:${visitId}`)
  const plan = (await plansOf(flow, [visitId])).get(visitId)
  return {
    visit,
    patient,
    plan,
    screening: (await screeningsOf(flow, [visitId])).get(visitId),
    days: plan ? await doseDayRows(flow, [plan.planId]) : [],
    moves: await movesOf(flow, [visitId]),
    messages: await messageStates(flow, visitId),
    week: await loadWeek(flow),
    names: new Map((await listStaff(flow)).map((one) => [one.staffId, one.name])),
    today: dayOf(flow, flow.now).toString(),
    now: flow.now,
  }
}

export async function visitPage(c: Context<StaffEnv>, said: Said = {}) {
  const id = idOf(c, 'id')
  const data = await inClinicOf(c, (flow) => loadVisit(flow, id, c.get('staff').staffId))
  if (!data) return refuse(404, 'There is no such visit.')
  const { zone } = c.get('clinic')
  const { visit, patient, plan, screening, days, today, now } = data
  const canChange = visit.status === 'booked' && Temporal.Instant.compare(visit.startAt, now) > 0
  return page(c, {
    title: 'One visit',
    face: 'staff',
    live: true,
    status: said.refused ? 409 : 200,
    body: html`${deskLinks(c)}
${saidLines({ done: VISIT_DONE[c.req.query('done') ?? ''], ...said })}
${liveRegion(
  'visit',
  ['move'],
  html`<p class="lead"><strong>${patient.name}</strong>${patient.birthDate ? `, born ${patient.birthDate}` : ''}. ${[patient.mobile, patient.email].filter(Boolean).join(', ') || 'No number or address.'}</p>
${patient.stoppedAt ? html`<p class="keel strong"><strong>Has stopped our messages.</strong> Ring or write by hand.</p>` : ''}
${patient.numberWrongAt ? html`<p class="keel strong"><strong>Somebody else has this number.</strong> Nothing is texted to it.</p>` : ''}
<p class="no-print"><a href="/trust/patients/${patient.patientId}/consent">Has the patient agreed to be written to?</a></p>
<dl><dt>When</dt><dd>${whenWords(visit.startAt, zone)}, ${visit.minutes} minutes (${statusWords[visit.status]})</dd>
${moreTimeWords(data) ? html`<dt>Time needed</dt><dd>${moreTimeWords(data)}</dd>` : ''}
<dt>With</dt><dd>${visit.practitioner}${visit.room ? `, room ${visit.room}` : ''}</dd>
<dt>For</dt><dd>${capital(visit.purpose)}, ${earsWords(visit.ears)}${visit.urgent ? ', urgent' : ''}${visit.inPain ? ', in pain' : ''}</dd>
<dt>The clinic's number for it</dt><dd>${visit.reference}</dd>
${visit.movedCount > 0 ? html`<dt>Moved</dt><dd>${visit.movedCount === 1 ? 'once' : `${visit.movedCount} times`}</dd>` : ''}</dl>
<h2>Softening</h2>${visit.status === 'booked' ? readinessLines(plan, screening, days, today).map((line) => html`<p>${line}</p>`) : ''}
${planPart(plan)}${doseTable(days, today, plan?.status ?? 'active')}
${movesPart(c, data, zone)}`,
)}
${canChange ? changePart(c, data, zone) : ''}
<h2>Messages about this visit</h2>${messagesPart(data.messages, zone)}
<p class="small">The words that patients write, and what is found in their ears, are for the clinicians and not on this page.</p>`,
  })
}

/** Minutes that the history asks for and that nobody has added yet. */
const moreTime = ({ screening, moves }: VisitData): number =>
  moves.some(({ kind, status }) => kind === 'lengthen' && status === 'done')
    ? 0
    : (screening?.outcome?.extraMinutes ?? 0)

function moreTimeWords(data: VisitData): string {
  const more = moreTime(data)
  return more === 0 ? '' : `${more} minutes more than such a visit usually takes, says the history.`
}

function planPart(stored: StoredPlan | undefined): Html {
  const days = stored?.plan.days ?? []
  if (!stored || stored.status === 'withheld' || days.length === 0) return html``
  const day = (iso: string | undefined) => (iso ? dayWords(Temporal.PlainDate.from(iso)) : '')
  return html`<p>${capital(agentWords(stored.plan.agent))}, ${stored.plan.dosesADay} times a day, from ${day(days[0])} to ${day(days.at(-1))}.</p>`
}

function movesPart(c: Context<StaffEnv>, { moves, names, now, visit }: VisitData, zone: string): Html {
  if (moves.length === 0) return html``
  return html`<h2>Changes and proposals</h2><ul class="list">${moves.map(
    (
      move,
    ) => html`<li><p>${whenWords(move.proposedAt, zone)}${move.proposedBy ? `, ${names.get(move.proposedBy) ?? 'somebody who has left'}` : ''}: ${moveLine(move, zone)}.
${move.status === 'proposed' ? html`<strong>Answer by ${soonWords(move.deadlineAt, now, zone)}.</strong>` : ''}</p>
${
  move.status === 'proposed' || move.status === 'waiting'
    ? html`<form method="post" action="/reception/visits/${visit.visitId}/withdraw" class="act">${csrfField(c)}<button class="plain">Take this proposal back</button></form>`
    : ''
}</li>`,
  )}</ul>`
}

function changePart(c: Context<StaffEnv>, data: VisitData, zone: string): Html {
  const { visit, week, moves } = data
  const to = `/reception/visits/${visit.visitId}`
  const pending = moves.some(({ status }) => status === 'proposed' || status === 'waiting')
  const fitting = week.free.filter(({ minutes }) => minutes >= visit.minutes)
  const answers = pending ? [] : answersFor(week, visit)
  return html`<section class="no-print">
${answers.length > 0 ? html`<h2>Possible answers, best first</h2>${answersPart(c, visit, answers, zone)}` : ''}
<h2>Offer other times</h2>
${
  pending
    ? html`<p>A proposal is open. Take it back before you offer other times.</p>`
    : fitting.length === 0
      ? html`<p>No open time is long enough. <a href="/reception/slots">Open more times</a></p>`
      : html`<form method="post" action="${to}/propose" class="act">${csrfField(c)}
<fieldset class="field"><legend>Choose one to ${MOST_CHOICES}. They are held until the patient answers.</legend>
${fitting.slice(0, 30).map((slot) => slotChoice(slot, week, zone, 'checkbox'))}</fieldset>
<div class="field"><label for="hours">The patient has this many hours to answer</label><input id="hours" name="hours" type="number" min="1" max="168" value="${ANSWER_HOURS}" required></div>
<button>Offer these times</button></form>`
}
<h2>Move it now</h2><p>Where the patient has agreed, say on the telephone. They are sent the new time.</p>
${
  fitting.length === 0
    ? html`<p>No open time is long enough.</p>`
    : html`<form method="post" action="${to}/move" class="act">${csrfField(c)}<div class="field"><label for="slot">New time</label><select id="slot" name="slot">
${fitting.map((slot) => html`<option value="${slot.slotId}">${slotWords(slot, week, zone)}</option>`)}</select></div>
<button class="plain">Move it to this time</button></form>`
}
<h2>Change or keep it</h2>
<form method="post" action="${to}/lengthen" class="row act">${csrfField(c)}${field({ name: 'minutes', label: 'New length in minutes', type: 'number', value: String(visit.minutes + (moreTime(data) || 15)) })}<button class="plain">Make it longer</button></form>
${visit.purpose === 'removal' ? html`<form method="post" action="${to}/assessment" class="act">${csrfField(c)}<p>An assessment looks at the ears and plans; they may not be cleared that day. <button class="plain">Turn into an assessment</button></p></form>` : ''}
<form method="post" action="${to}/keep" class="row act">${csrfField(c)}${field({ name: 'why', label: 'Keep it because', maxlength: 200 })}<button class="plain">Keep it as urgent</button></form>
<h2>Cancel it</h2>
<form method="post" action="${to}/cancel" class="act">${csrfField(c)}
<label class="choice"><input type="checkbox" name="sure" value="yes" required><span>Yes, cancel this visit. The patient is told, and the drops end.</span></label>
<label class="choice"><input type="checkbox" name="open" value="yes" checked><span>Open this time for others</span></label>
<button class="plain">Cancel the visit</button></form></section>`
}

export const slotWords = (slot: Slot, week: Pick<Week, 'practitioners'>, zone: string): string =>
  `${whenWords(slot.startAt, zone)}, ${slot.minutes} minutes, ${week.practitioners.get(slot.practitionerId) ?? ''}${slot.room ? `, room ${slot.room}` : ''}`

export const slotChoice = (
  slot: Slot,
  week: Pick<Week, 'practitioners'>,
  zone: string,
  type: 'checkbox' | 'radio',
): Html =>
  html`<label class="choice"><input type="${type}" name="${type === 'checkbox' ? 'slot[]' : 'slot'}" value="${slot.slotId}"><span>${slotWords(slot, week, zone)}</span></label>`

function messagesPart(messages: readonly MessageState[], zone: string): Html {
  if (messages.length === 0) return html`<p>None.</p>`
  return html`<div class="scroll"><table class="stack"><caption>Newest first</caption>
<thead><tr><th scope="col">When</th><th scope="col">What about</th><th scope="col">By</th><th scope="col">How it went</th></tr></thead><tbody>
${messages.map(
  ({ kind, status, channel, dueAt, sentAt }) =>
    html`<tr><td data-label="When">${whenWords(sentAt ?? dueAt, zone)}</td><td data-label="What about">${capital(messageKindWords(kind))}</td><td data-label="By">${channel}</td><td data-label="How it went">${messageStatusWords[status]}</td></tr>`,
)}</tbody></table></div>`
}
