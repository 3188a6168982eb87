/** Finds a patient by their number or address, or a visit by the clinic's own number for it. */
import type { Context } from 'hono'
import { html } from 'hono/html'
import { parsePhoneNumberFromString } from 'libphonenumber-js/max'
import { z } from 'zod'
import type { StaffEnv } from '../../access/env.ts'
import type { Flow } from '../../flow/context.ts'
import { patientsWithContact } from '../../messages/store.ts'
import { whenWords } from '../../messages/words.ts'
import {
  getPatient,
  type Patient,
  type Visit,
  visitByReference,
  visitsOfPatient,
} from '../../visits/store.ts'
import { auditViews, inClinicOf } from '../clinician/parts.ts'
import { capital, earsWords, statusWords } from '../clinician/words.ts'
import { csrfField, field, readForm } from '../shared/forms.ts'
import { type Html, page } from '../shared/layout.ts'
import { deskLinks, saidLines } from './parts.ts'

interface Found {
  patient: Patient
  visits: Visit[]
}

/** The blind index is looked up by the whole number, so part of one finds nothing. */
async function find(flow: Flow, words: string, staffId: string): Promise<Found[]> {
  const number = parsePhoneNumberFromString(words, flow.clinic.settings.region as 'GB')
  const contact = words.includes('@') ? words.toLowerCase() : number?.isPossible() ? number.number : null
  const ids = contact ? await patientsWithContact(flow, contact) : []
  const visit = await visitByReference(flow, words)
  if (visit) ids.push(visit.patientId)
  const found: Found[] = []
  for (const id of new Set(ids)) {
    const patient = await getPatient(flow, id)
    if (patient) found.push({ patient, visits: await visitsOfPatient(flow, id) })
  }
  await auditViews(
    flow,
    staffId,
    found.map(({ patient }) => patient.patientId),
    'found by number',
  )
  return found
}

const wanted = z.object({
  words: z
    .string({ error: 'Write a number, an address or a reference.' })
    .trim()
    .min(1, 'Write a number, an address or a reference.')
    .max(200, 'That is too long.'),
})

/** A post, so that no number stands in an address. */
export async function findPage(c: Context<StaffEnv>) {
  const form = c.req.method === 'POST' ? await readForm(c, wanted) : null
  const found = form?.ok
    ? await inClinicOf(c, (flow) => find(flow, form.data.words, c.get('staff').staffId))
    : null
  const { zone } = c.get('clinic')
  const refused = form && !form.ok ? Object.values(form.errors)[0] : undefined
  return page(c, {
    title: 'Find a patient',
    face: 'staff',
    status: refused ? 422 : 200,
    body: html`${deskLinks(c)}${saidLines({ refused })}
<form method="post" action="/reception/find">${csrfField(c)}
${field({ name: 'words', label: 'Mobile number, email address or the number of a visit', hint: 'Write the whole of it. Names are kept sealed, so nobody can be found by name.', type: 'search', autocomplete: 'off', maxlength: 200 })}
<button>Find</button></form>
${found ? foundPart(found, zone) : ''}`,
  })
}

function foundPart(found: readonly Found[], zone: string): Html {
  if (found.length === 0)
    return html`<p class="keel" role="status">Nobody here has this number, address or reference.</p>`
  return html`<div role="status">${found.map(
    ({ patient, visits }) => html`<h2>${patient.name}</h2>
<p>${patient.birthDate ? `Born ${patient.birthDate}. ` : ''}${[patient.mobile, patient.email].filter(Boolean).join(', ')}. <a href="/clinician/patients/${patient.patientId}">What has happened so far</a></p>
<ul class="list">${visits.toReversed().map((visit) => html`<li><a href="/reception/visits/${visit.visitId}">${whenWords(visit.startAt, zone)} ${visit.startAt.toZonedDateTimeISO(zone).year}</a>: ${capital(visit.purpose)}, ${earsWords(visit.ears)}, ${visit.practitioner} (${statusWords[visit.status]}, ${visit.reference})</li>`)}</ul>`,
  )}</div>`
}
