/** Recording a procedure, with what must be known beside it; and what follows from it. */
import type { Context } from 'hono'
import { html } from 'hono/html'
import type { Temporal } from 'temporal-polyfill'
import type { StaffEnv } from '../../access/env.ts'
import { refuse } from '../../access/route.ts'
import { auditViews } from '../../access/views.ts'
import { type Afterwards, afterwards } from '../../aftercare/afterwards.ts'
import {
  checksOfVisit,
  recordsOfPatient,
  recordsOfVisit,
  type StoredCheck,
  type StoredEar,
  takeBackEar,
} from '../../aftercare/store.ts'
import { recordProcedure } from '../../flow/aftercare.ts'
import { dayOf, earsOf, type Flow } from '../../flow/context.ts'
import { soonWords, whenWords } from '../../messages/words.ts'
import { sourceWords } from '../../protocol/rule.ts'
import {
  currentPlan,
  doseDayRows,
  plansOf,
  type Screening,
  type StoredPlan,
  screeningsOf,
} from '../../softening/store.ts'
import type { Ear } from '../../softening/types.ts'
import { Trouble } from '../../trouble.ts'
import { getPatient, getVisit, lockVisit, type Patient, type Visit } from '../../visits/store.ts'
import { csrfField, errorSummary, type FormErrors } from '../shared/forms.ts'
import { type Html, page } from '../shared/layout.ts'
import { notesFromBefore } from './day.ts'
import { historyPart, planPart, proceduresPart } from './known.ts'
import { idOf, inClinicOf, refusedLine } from './parts.ts'
import {
  checkValues,
  earFields,
  emptyValues,
  type ProcedureValues,
  readValues,
  valuesOf,
} from './procedure-form.ts'
import { recordSentences } from './procedure-words.ts'
import { agentWords, capital, earsWords } from './words.ts'

type Ctx = Context<StaffEnv>

interface ProcedureData {
  now: Temporal.Instant
  today: string
  visit: Visit
  patient: Patient
  screening: Screening | null
  plan: StoredPlan | null
  doseDays: Awaited<ReturnType<typeof doseDayRows>>
  before: StoredEar[]
  warnings: string[]
  recorded: StoredEar[]
}

async function load(flow: Flow, visitId: string, staffId: string): Promise<ProcedureData | null> {
  const visit = await getVisit(flow, visitId)
  const patient = visit && (await getPatient(flow, visit.patientId))
  if (!visit || !patient) return null
  await auditViews(flow, staffId, [patient.patientId], `visit:${visitId}`)
  const screening = (await screeningsOf(flow, [visitId])).get(visitId) ?? null
  const plan = (await currentPlan(flow, visitId)) ?? (await plansOf(flow, [visitId])).get(visitId) ?? null
  const records = await recordsOfPatient(flow, patient.patientId)
  return {
    now: flow.now,
    today: dayOf(flow, flow.now).toString(),
    visit,
    patient,
    screening,
    plan,
    doseDays: plan ? await doseDayRows(flow, [plan.planId]) : [],
    before: records.filter((one) => one.visitId !== visitId),
    warnings: [
      ...(screening?.outcome?.clinicianNotes ?? ['The history was never answered: ask in the room.']),
      ...(await notesFromBefore(flow, patient.patientId, visitId)),
    ],
    recorded: await recordsOfVisit(flow, visitId),
  }
}

export async function procedurePage(c: Ctx) {
  return show(c, {})
}

async function show(
  c: Ctx,
  shown: { values?: ProcedureValues; errors?: FormErrors; refused?: string; status?: 409 | 422 },
) {
  const data = await inClinicOf(c, (flow) => load(flow, idOf(c, 'id'), c.get('staff').staffId))
  if (!data) return refuse(404, 'There is no such visit.')
  const { visit, patient, recorded } = data
  if (visit.status === 'cancelled')
    return refuse(409, 'This visit is cancelled: nothing can be recorded for it.')
  const zone = c.get('clinic').zone
  const values =
    shown.values ??
    (recorded.length > 0 ? valuesOf(recorded.map(({ record }) => record)) : emptyValues(earsOf(visit)))
  const { errors = {} } = shown
  return page(c, {
    title: 'Record a procedure',
    face: 'staff',
    status: shown.status ?? 200,
    body: html`${refusedLine(shown.refused)}${errorSummary(errors)}
<p class="lead"><strong>${patient.name}</strong>: ${visit.purpose}, ${earsWords(visit.ears)}, ${whenWords(visit.startAt, zone)}, ${visit.minutes} minutes.</p>
<div class="beside"><section class="warn keel strong" aria-labelledby="before"><h2 id="before">Before you start</h2><ul>${data.warnings.map((line) => html`<li>${line}</li>`)}</ul></section>
<form method="post" action="/clinician/visits/${visit.visitId}/procedure">${csrfField(c)}
<input type="hidden" name="version" value="${versionOf(visit, recorded)}">
${recorded.length > 0 ? html`<p class="keel">This was recorded already. What you save takes its place, and the checks are planned anew.</p>` : ''}
${earFields('left', values.left, errors)}
${earFields('right', values.right, errors)}
<p><button>Save the record</button></p></form>
<aside class="known" aria-label="What is known">
<h3>History</h3>${historyPart(data.screening, patient.risks)}
<h3>Drops</h3>${planPart(data.plan, data.doseDays, data.today)}
<h3>Earlier procedures</h3>${proceduresPart(data.before, zone)}
</aside></div>`,
  })
}

/** Changes with the visit and with every record of it. */
const versionOf = (visit: Visit, recorded: readonly StoredEar[]): string =>
  [visit.version, ...recorded.map(({ doneAt }) => doneAt.epochMilliseconds)].join('.')

async function takeBack(flow: Flow, visit: Visit, ear: Ear, staffId: string): Promise<void> {
  await takeBackEar(flow, visit.visitId, ear)
  flow.audit({
    actor: `staff:${staffId}`,
    action: 'take back ear record',
    patientId: visit.patientId,
    subject: `visit:${visit.visitId}`,
    detail: { ear },
  })
}

export async function procedureAct(c: Ctx) {
  const visitId = idOf(c, 'id')
  const body = await c.req.parseBody({ all: true }).catch(() => refuse(400, 'This form cannot be read.'))
  const values = readValues(body)
  const checked = checkValues(values)
  if ('errors' in checked) return show(c, { values, errors: checked.errors, status: 422 })
  const trouble = await inClinicOf(c, async (flow) => {
    const visit = await lockVisit(flow, visitId)
    if (!visit) throw new Trouble('There is no such visit.')
    const recorded = await recordsOfVisit(flow, visitId)
    if (versionOf(visit, recorded) !== body.version)
      throw new Trouble(
        'This visit has changed since you opened the page: nothing was saved. Look at it, then save again.',
      )
    if (dayOf(flow, visit.startAt).toString() > dayOf(flow, flow.now).toString())
      throw new Trouble('This visit is still to come: nothing can be recorded before its day.')
    for (const { record } of recorded)
      if (!checked.record.ears.some(({ ear }) => ear === record.ear))
        await takeBack(flow, visit, record.ear, c.get('staff').staffId)
    await recordProcedure(flow, visitId, checked.record, c.get('staff').staffId)
    return null
  }).catch((error) => {
    if (error instanceof Trouble) return error.message
    throw error
  })
  if (trouble) return show(c, { values, refused: trouble, status: 409 })
  return c.redirect(`/clinician/visits/${visitId}/recorded`, 303)
}

interface Followed extends ProcedureData {
  after: Afterwards
  checks: StoredCheck[]
}

/** What was recorded and what follows from it: checks, the next plan, the next visit. */
export async function recordedPage(c: Ctx) {
  const data = await inClinicOf(c, async (flow): Promise<Followed | null> => {
    const own = await load(flow, idOf(c, 'id'), c.get('staff').staffId)
    if (!own || own.recorded.length === 0) return null
    const record = { ears: own.recorded.map((one) => one.record) }
    return {
      ...own,
      plan: await currentPlan(flow, own.visit.visitId),
      after: afterwards(record, flow.rules.aftercare),
      checks: await checksOfVisit(flow, own.visit.visitId),
    }
  })
  if (!data) return refuse(404, 'Nothing is recorded for this visit yet.')
  const zone = c.get('clinic').zone
  const { visit, patient, recorded, plan } = data
  const started = plan?.status === 'active' && plan.plan.days.length > 0
  return page(c, {
    title: 'Recorded',
    face: 'staff',
    body: html`<p class="lead"><strong>${patient.name}</strong>, ${whenWords(visit.startAt, zone)}.</p>
<ul>${recorded.map(({ record, difficulty }) => html`<li><strong>${capital(record.ear)} ear (${difficulty}).</strong> ${recordSentences(record)}</li>`)}</ul>
<h2>What follows</h2>
${checksPart(data, zone)}
<h3>Drops from now on</h3>
<ul>${data.after.ears.map(
      ({ ear, softening, reasons }) =>
        html`<li><strong>${capital(ear)} ear:</strong> ${softening === 'start' && !started ? 'drops would be right, but none start: the history does not allow them or is not settled. Decide it on the page of this patient.' : SOFTENING[softening]}${reasons.map((rule) => html` <span class="small">${rule.text} (${sourceWords(rule.source)})</span>`)}</li>`,
    )}</ul>
${
  plan && started
    ? html`<p>The next plan is set: ${agentWords(plan.plan.agent)}, ${plan.plan.days.length} days from ${plan.plan.days[0]}. The patient gets it by text.</p>`
    : ''
}
<h3>Next visit</h3>
${
  data.after.visit
    ? html`<p>Needed: <strong>${data.after.visit.purpose}</strong>, ${earsWords(data.after.visit.ears.length === 2 ? 'both' : (data.after.visit.ears[0] ?? 'both'))}. The front desk looks for a time.</p>
<ul>${data.after.visit.reasons.map((rule) => html`<li>${capital(rule.ear)} ear: ${rule.text} <span class="small">(${sourceWords(rule.source)})</span></li>`)}</ul>`
    : html`<p>None is needed by this record.</p>`
}
${data.after.notes.length > 0 ? html`<h3>For the next clinician</h3><ul>${data.after.notes.map((rule) => html`<li>${capital(rule.ear)} ear: ${rule.text} <span class="small">(${sourceWords(rule.source)})</span></li>`)}</ul>` : ''}
<p class="row no-print"><a class="button" href="/clinician/day">To the day sheet</a> <a class="button plain" href="/clinician/visits/${visit.visitId}/procedure">Mend the record</a> <a class="button plain" href="/clinician/patients/${patient.patientId}">Everything of this patient</a></p>`,
  })
}

const SOFTENING: Record<Afterwards['ears'][number]['softening'], string> = {
  start: 'the next course of drops starts.',
  'ask-clinician': 'no drops before a clinician has decided.',
  withheld: 'no drops in this ear.',
  'not-needed': 'clear: no drops are needed.',
}

function checksPart({ checks, now, patient }: Followed, zone: string): Html {
  const planned = checks.filter(({ status }) => status === 'planned')
  if (planned.length === 0) return html`<p>No check is planned.</p>`
  return html`<h3>Checks</h3>
${patient.stoppedAt ? html`<p class="keel strong"><strong>This patient has stopped our messages: no check will be sent.</strong> Ask them another way.</p>` : ''}
<ol>${planned.map(({ dueAt }) => html`<li>${capital(soonWords(dueAt, now, zone))}</li>`)}</ol>`
}
