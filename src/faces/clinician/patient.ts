/** Everything of one patient on one page, in the order in which it happened. */
import type { Context } from 'hono'
import { html } from 'hono/html'
import { Temporal } from 'temporal-polyfill'
import type { StaffEnv } from '../../access/env.ts'
import { may } from '../../access/permissions.ts'
import { refuse } from '../../access/route.ts'
import { auditViews } from '../../access/views.ts'
import { dayOf } from '../../flow/context.ts'
import { correctionsOf } from '../../flow/corrections.ts'
import { type PatientRecord, patientRecord } from '../../flow/patient-record.ts'
import { outcomeWords } from '../../flow/triage.ts'
import { dayWords, timeWords, whenWords } from '../../messages/words.ts'
import type { UrgencyRules } from '../../protocol/sections/urgency.ts'
import { currentPlan, screeningsOf } from '../../softening/store.ts'
import { type Html, page } from '../shared/layout.ts'
import { urgencyMark, urgencyWords } from '../shared/urgency.ts'
import { DONE, dropsPart, wronglyForm } from './concern-page.ts'
import { doseTable, historyPart, readinessPart } from './known.ts'
import { findingLines, patientWords } from './marked.ts'
import { doneLine, idOf, inClinicOf, type NameOf, staffNames } from './parts.ts'
import { recordSentences } from './procedure-words.ts'
import {
  agentWords,
  capital,
  checkStatusWords,
  earsWords,
  messageStatusWords,
  planStatusWords,
  sourceOfConcern,
  statusWords,
} from './words.ts'

interface Happening {
  at: Temporal.Instant
  what: string
  body: Html
}

interface Showing {
  zone: string
  today: string
  nameOf: NameOf
  rules: UrgencyRules
  /** Readings, concerns and what was found are for clinicians' eyes. */
  clinical: boolean
  wrong: (replyId: string, was: string) => Html
}

export async function patientPage(c: Context<StaffEnv>) {
  const id = idOf(c, 'id')
  const { role, staffId } = c.get('staff')
  const zone = c.get('clinic').zone
  const clinical = may(role, 'replies:read')
  const data = await inClinicOf(c, async (flow) => {
    const record = await patientRecord(flow, id)
    if (!record) return null
    await auditViews(flow, staffId, [id], 'patient')
    const next = record.visits.find(
      (visit) => visit.status === 'booked' && visit.startAt.epochMilliseconds > flow.now.epochMilliseconds,
    )
    return {
      record,
      now: flow.now,
      today: dayOf(flow, flow.now).toString(),
      nameOf: await staffNames(flow),
      rules: flow.rules.urgency,
      agents: flow.rules.softening.agents
        .filter(({ advised }) => advised)
        .map(({ id: agent, name }) => ({ id: agent, name })),
      corrections: await correctionsOf(
        flow,
        record.replies.map(({ replyId }) => replyId),
      ),
      next: next ?? null,
      nextPlan: next ? await currentPlan(flow, next.visitId) : null,
      nextScreening: next ? ((await screeningsOf(flow, [next.visitId])).get(next.visitId) ?? null) : null,
    }
  })
  if (!data) return refuse(404, 'There is no such patient.')
  const { record, now } = data
  const { patient } = record
  const corrected = new Map(data.corrections.map((one) => [one.replyId, one]))
  const showing: Showing = {
    zone,
    today: data.today,
    nameOf: data.nameOf,
    rules: data.rules,
    clinical,
    wrong: (replyId, was) => {
      const before = corrected.get(replyId)
      return may(role, 'replies:correct')
        ? html`${before ? html`<p>${data.nameOf(before.byStaff)}: should be "${urgencyWords[before.right]}".</p>` : ''}${wronglyForm(c, replyId, was)}`
        : html``
    },
  }
  const happened = happenings(record, showing)
  const past = happened.filter(({ at }) => at.epochMilliseconds <= now.epochMilliseconds)
  const toCome = happened.filter(({ at }) => at.epochMilliseconds > now.epochMilliseconds)
  return page(c, {
    title: 'One patient',
    face: 'staff',
    body: html`${doneLine(DONE[c.req.query('done') ?? ''])}
<p class="lead"><strong>${patient.name}</strong>${patient.birthDate ? `, born ${patient.birthDate}` : ''}. ${[patient.mobile, patient.email].filter(Boolean).join(', ') || 'No number or address.'}</p>
${patient.stoppedAt ? html`<p class="keel strong"><strong>Has stopped our messages</strong> (${whenWords(patient.stoppedAt, zone)}).</p>` : ''}
${patient.numberWrongAt ? html`<p class="keel strong"><strong>Somebody else has this number</strong> (${whenWords(patient.numberWrongAt, zone)}).</p>` : ''}
${clinical ? historyPart(data.nextScreening ?? [...record.screenings.values()].at(-1) ?? null, patient.risks) : ''}
${may(role, 'concerns:act') ? dropsPart(c, { visit: data.next, screening: data.nextScreening, plan: data.nextPlan, agents: data.agents, now }, zone) : ''}
<h2>What is to come</h2>
${timeline(toCome, zone)}
<h2>What has happened</h2>
${timeline(past, zone)}
${neverSent(record, zone)}`,
  })
}

/** By day, oldest first; the times stand before each line. */
function timeline(list: Happening[], zone: string): Html {
  if (list.length === 0) return html`<p>Nothing.</p>`
  const days = Map.groupBy(
    list.toSorted((a, b) => Temporal.Instant.compare(a.at, b.at)),
    ({ at }) => at.toZonedDateTimeISO(zone).toPlainDate().toString(),
  )
  return html`${[...days].map(
    ([day, own]) => html`<h3>${dayWords(Temporal.PlainDate.from(day))} ${day.slice(0, 4)}</h3>
<ol class="list">${own.map(
      ({ at, what, body }) =>
        html`<li><p><strong>${timeWords(at.toZonedDateTimeISO(zone).toPlainTime())} ${what}</strong></p>${body}</li>`,
    )}</ol>`,
  )}`
}

function happenings(record: PatientRecord, showing: Showing): Happening[] {
  return [
    ...visitLines(record, showing),
    ...replyLines(record, showing),
    ...(showing.clinical ? [...concernLines(record, showing), ...procedureLines(record, showing)] : []),
    ...planLines(record, showing),
    ...messageLines(record),
    ...checkLines(record),
  ]
}

const visitLines = ({ visits }: PatientRecord, { zone }: Showing): Happening[] =>
  visits.flatMap((visit) => [
    {
      at: visit.bookedAt,
      what: 'Visit booked',
      body: html`<p>${capital(visit.purpose)}, ${earsWords(visit.ears)}, for ${whenWords(visit.startAt, zone)}${visit.movedCount > 0 ? ` (moved ${visit.movedCount === 1 ? 'once' : `${visit.movedCount} times`} since)` : ''}.</p>`,
    },
    {
      at: visit.startAt,
      what: `Visit: ${statusWords[visit.status]}`,
      body: html`<p>${capital(visit.purpose)}, ${earsWords(visit.ears)}, ${visit.minutes} minutes with ${visit.practitioner}.</p>`,
    },
  ])

function planLines({ plans, doseDays }: PatientRecord, { today }: Showing): Happening[] {
  return plans.map((stored) => {
    const { plan, status, readiness, createdAt, planId } = stored
    const held = status === 'withheld' || plan.fit === 'withheld'
    const words = held
      ? `No drops. ${plan.withheldReason ?? ''}`
      : plan.days.length === 0
        ? 'No drops before this visit.'
        : `${capital(agentWords(plan.agent))}, ${plan.dosesADay} times a day on ${plan.days.length} days.`
    return {
      at: createdAt,
      what: `Plan of drops: ${planStatusWords[status]}`,
      body: html`<p>${words}</p>
${doseTable(
  doseDays.filter((row) => row.planId === planId),
  today,
  status,
)}
${readiness && !held && status !== 'replaced' ? readinessPart(readiness) : ''}`,
    }
  })
}

/** A text that never went is nothing that happened: those are listed by themselves. */
const wentOrGoes = ({ status }: PatientRecord['messages'][number]): boolean =>
  status !== 'cancelled' && status !== 'expired'

const messageLines = ({ messages }: PatientRecord): Happening[] =>
  messages.filter(wentOrGoes).map(({ dueAt, sentAt, status, body }) => ({
    at: sentAt ?? dueAt,
    what: `Text to the patient: ${messageStatusWords[status]}`,
    body: html`<p>${body}</p>`,
  }))

function neverSent({ messages }: PatientRecord, zone: string): Html {
  const list = messages.filter((one) => !wentOrGoes(one))
  if (list.length === 0) return html``
  return html`<h2>Texts that were not sent</h2>
<details><summary>${list.length === 1 ? '1 text' : `${list.length} texts`}, taken back or too late</summary>
<ul class="list">${list.map(({ dueAt, status, body }) => html`<li><p>${body}</p><p class="small">${capital(messageStatusWords[status] ?? status)}; it was for ${whenWords(dueAt, zone)}.</p></li>`)}</ul></details>`
}

const replyLines = ({ replies }: PatientRecord, { rules, clinical, wrong }: Showing): Happening[] =>
  replies.map((reply) => ({
    at: reply.receivedAt,
    what: 'The patient wrote',
    body: clinical
      ? html`${patientWords(reply)}${findingLines(reply, rules)}
<p>${reply.urgency ? urgencyMark(reply.urgency) : 'Not read yet.'}</p>${wrong(reply.replyId, reply.urgency ?? 'unclear')}`
      : html`<p>Kept for the clinicians.</p>`,
  }))

const concernLines = ({ concerns }: PatientRecord, { zone, nameOf }: Showing): Happening[] =>
  concerns.map(({ concern, events }) => ({
    at: concern.openedAt,
    what: `Concern from ${sourceOfConcern[concern.source]}`,
    body: html`<p>${urgencyMark(concern.urgency)}</p><p>${concern.reason}
<a href="/clinician/concerns/${concern.concernId}">${concern.status === 'closed' ? `Closed by ${nameOf(concern.closedBy)}: ${outcomeWords(concern.outcome)}` : 'Still open'}</a></p>
<details><summary>Step by step</summary><ul>${events.map(({ at, kind, byStaff, note }) => html`<li>${whenWords(at, zone)}: ${kind}${byStaff ? ` by ${nameOf(byStaff)}` : ''}. ${note}</li>`)}</ul></details>`,
  }))

const procedureLines = ({ procedures }: PatientRecord, { nameOf }: Showing): Happening[] =>
  procedures.map(({ doneAt, record, difficulty, byStaff }) => ({
    at: doneAt,
    what: `Procedure, ${record.ear} ear (${difficulty})`,
    body: html`<p>${recordSentences(record)}</p><p class="small">Recorded by ${nameOf(byStaff)}.</p>`,
  }))

const checkLines = ({ checks }: PatientRecord): Happening[] =>
  checks.map(({ dueAt, number, status, answeredAt }) => ({
    at: answeredAt ?? dueAt,
    what: `Check ${number}: ${checkStatusWords[status] ?? status}`,
    body: html``,
  }))
