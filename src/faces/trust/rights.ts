/** A patient's rights: their copy, erasure, and what they agreed to. */
import type { Context } from 'hono'
import { html } from 'hono/html'
import { z } from 'zod'
import type { StaffEnv } from '../../access/env.ts'
import { refuse } from '../../access/route.ts'
import { consentsOf, currentConsent, recordConsent } from '../../privacy/consent.ts'
import { erasePatient } from '../../privacy/erase.ts'
import { copyAsText, copyOfPatient, type PatientCopy } from '../../privacy/export.ts'
import { PLACES } from '../../privacy/places.ts'
import { erasureLines } from '../../privacy/words.ts'
import { getPatient } from '../../visits/store.ts'
import { idOf, inClinicOf } from '../clinician/parts.ts'
import { csrfField, errorSummary, field, readForm } from '../shared/forms.ts'
import { page } from '../shared/layout.ts'
import { trustLinks } from './parts.ts'

const actorOf = (c: Context<StaffEnv>): string => `staff:${c.get('staff').staffId}`

async function copyFor(c: Context<StaffEnv>): Promise<PatientCopy> {
  const id = idOf(c, 'id')
  const copy = await inClinicOf(c, async (flow) => {
    const made = await copyOfPatient(flow, flow.clinic, id)
    if (made) flow.audit({ actor: actorOf(c), action: 'export patient', patientId: id })
    return made
  })
  return copy ?? refuse(404, 'There is no such page.')
}

const file = (name: string, type: string): Record<string, string> => ({
  'content-type': type,
  'content-disposition': `attachment; filename="${name}"`,
})

export async function copyJson(c: Context<StaffEnv>) {
  const copy = await copyFor(c)
  return c.body(
    `${JSON.stringify(copy, null, 2)}\n`,
    200,
    file('patient-copy.json', 'application/json; charset=utf-8'),
  )
}

export async function copyText(c: Context<StaffEnv>) {
  const copy = await copyFor(c)
  return c.body(
    copyAsText(copy, c.get('clinic').zone),
    200,
    file('patient-copy.txt', 'text/plain; charset=utf-8'),
  )
}

const confirmed = z.object({
  confirm: z.string().refine((word) => word.trim() === 'ERASE', 'Write ERASE, in capitals.'),
})

export async function erasePage(c: Context<StaffEnv>, errors: Record<string, string> = {}) {
  const id = idOf(c, 'id')
  const name = await inClinicOf(c, async (flow) => {
    const patient = await getPatient(flow, id)
    if (patient) flow.audit({ actor: actorOf(c), action: 'view patient', patientId: id, subject: 'erase' })
    return patient?.name
  })
  if (!name) return refuse(404, 'There is no such page.')
  const of = (which: 'erased' | 'kept' | 'partly') => PLACES.filter(({ onRequest }) => onRequest === which)
  return page(c, {
    title: 'Erase a patient',
    face: 'staff',
    status: Object.keys(errors).length > 0 ? 422 : 200,
    body: html`${trustLinks(c)}${errorSummary(errors)}
<h2>${name}</h2>
<p>This cannot be taken back. Where no care was given, everything goes but the audit. Where care was given, the record of care is kept as law and safety ask, until its time is over:</p>
<h3>Goes</h3><ul>${[...of('erased'), ...of('partly')].map(({ title, why }) => html`<li>${title}. ${why}</li>`)}</ul>
<h3>Stays</h3><ul>${of('kept').map(({ title, why }) => html`<li>${title}. ${why}</li>`)}</ul>
<p>What must stay in a single case is for the clinic and its own adviser to say.</p>
<form method="post" action="/trust/patients/${id}/erase">${csrfField(c)}
${field({ name: 'confirm', label: 'To erase, write ERASE', error: errors.confirm, maxlength: 20 })}
<button>Erase now</button></form>`,
  })
}

export async function eraseAct(c: Context<StaffEnv>) {
  const form = await readForm(c, confirmed)
  if (!form.ok) return await erasePage(c, form.errors)
  const id = idOf(c, 'id')
  const result = await inClinicOf(c, (flow) =>
    erasePatient(flow, id, { actor: actorOf(c), reason: 'request' }),
  )
  if ('refused' in result) {
    if (result.refused === 'There is no such patient.') return refuse(404, 'There is no such page.')
    return await erasePage(c, { confirm: `Nothing was erased. ${result.refused}` })
  }
  return page(c, {
    title: 'Erased',
    face: 'staff',
    body: html`${trustLinks(c)}<p>Print this for the answer to the patient: it is shown once.</p>
<ul>${erasureLines(result.done).map((line) => html`<li>${line}</li>`)}</ul>`,
  })
}

export async function consentPage(c: Context<StaffEnv>) {
  const id = idOf(c, 'id')
  const found = await inClinicOf(c, async (flow) => {
    const patient = await getPatient(flow, id)
    if (patient) flow.audit({ actor: actorOf(c), action: 'view patient', patientId: id, subject: 'consent' })
    return patient && { name: patient.name, consents: await consentsOf(flow, id) }
  })
  if (!found) return refuse(404, 'There is no such page.')
  const has = found.consents.some(({ version }) => version === currentConsent.version)
  return page(c, {
    title: 'Agreed to be written to',
    face: 'staff',
    body: html`<h2>${found.name}</h2>
<p>Read these words to the patient, or show them:</p><p class="keel">${currentConsent.words}</p>
${
  has
    ? html`<p>Noted already.</p>`
    : html`<form method="post" action="/trust/patients/${id}/consent">${csrfField(c)}<button>The patient agrees</button></form>`
}`,
  })
}

export async function consentAct(c: Context<StaffEnv>) {
  const id = idOf(c, 'id')
  const { staffId } = c.get('staff')
  const isHere = await inClinicOf(c, async (flow) => {
    if (!(await getPatient(flow, id))) return false
    await recordConsent(flow, id, { how: 'desk', by: staffId })
    return true
  })
  return isHere ? c.redirect(`/trust/patients/${id}/consent`, 303) : refuse(404, 'There is no such page.')
}
