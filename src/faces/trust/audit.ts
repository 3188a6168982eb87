/** Who did what in this clinic, and who saw one patient. The list names no patient: to look at one is a view. */
import type { Context } from 'hono'
import { html } from 'hono/html'
import { z } from 'zod'
import { verifyAudit } from '../../access/audit.ts'
import type { StaffEnv } from '../../access/env.ts'
import { refuse } from '../../access/route.ts'
import { plainContact } from '../../messages/contact.ts'
import { patientsWithContact } from '../../messages/store.ts'
import { whenWords } from '../../messages/words.ts'
import { CONSENT_WORDS, consentsOf } from '../../privacy/consent.ts'
import { getPatient, visitByReference } from '../../visits/store.ts'
import { idOf, inClinicOf, type NameOf, staffNames } from '../clinician/parts.ts'
import { csrfField, errorSummary, field, readForm } from '../shared/forms.ts'
import { type Html, page } from '../shared/layout.ts'
import { trustLinks } from './parts.ts'
import { type AuditRow, auditPage, entriesOf, lastVerified, PAGE_SIZE } from './store.ts'

/** `staff:ID` by name, a job or the service by its own. */
const actorWords = (actor: string, nameOf: NameOf): string => {
  const [kind = '', rest = ''] = actor.split(/:(.*)/s)
  if (kind === 'staff') return nameOf(rest)
  if (kind === 'patient') return 'the patient'
  return kind === 'job' ? `the service (${rest})` : kind === 'service' ? 'the service' : actor
}

function detailWords(detail: unknown): string {
  if (detail === null || typeof detail !== 'object') return ''
  return Object.entries(detail)
    .map(([key, value]) => `${key} ${Array.isArray(value) ? `(${value.length})` : String(value)}`)
    .join(', ')
}

interface Shown {
  rows: AuditRow[]
  nameOf: NameOf
  zone: string
}

function table({ rows, nameOf, zone }: Shown, withPatient: boolean): Html {
  return html`<div class="scroll" tabindex="0" role="region" aria-label="Entries"><table class="stack"><thead><tr><th scope="col" class="number">No</th><th scope="col">When</th><th scope="col">Who</th><th scope="col">What</th>${withPatient ? html`<th scope="col">Patient</th>` : ''}<th scope="col">Of it</th></tr></thead><tbody>
${rows.map(
  (row) =>
    html`<tr><td data-label="No" class="number">${row.seq}</td><td data-label="When"><time datetime="${row.at.toString()}">${whenWords(row.at, zone)}</time></td><td data-label="Who">${actorWords(row.actor, nameOf)}</td><td data-label="What">${row.action}</td>${
      withPatient
        ? html`<td data-label="Patient">${row.patientId ? html`<a href="/trust/patients/${row.patientId}">Who saw them</a>` : ''}</td>`
        : ''
    }<td data-label="Of it">${[row.subject?.split(':')[0], detailWords(row.detail)].filter(Boolean).join(': ')}</td></tr>`,
)}</tbody></table></div>`
}

const beforeOf = (c: Context<StaffEnv>): number | null => {
  const text = c.req.query('before') ?? ''
  return /^\d{1,15}$/.test(text) ? Number(text) : null
}

const older = (rows: AuditRow[], path: string): Html =>
  rows.length === PAGE_SIZE
    ? html`<p class="no-print"><a class="button plain" href="${path}?before=${rows.at(-1)?.seq}">Older entries</a></p>`
    : html``

export async function auditListPage(c: Context<StaffEnv>, verdict?: Html) {
  const { zone } = c.get('clinic')
  const found = await inClinicOf(c, async (flow) => {
    const rows = await auditPage(flow, { before: beforeOf(c) })
    flow.audit({ actor: `staff:${c.get('staff').staffId}`, action: 'view audit' })
    return {
      rows,
      nameOf: await staffNames(flow),
      verified: await lastVerified(flow),
    }
  })
  const last = found.verified
  return page(c, {
    title: 'Who did what',
    face: 'staff',
    body: html`${trustLinks(c)}
<p>Each entry is hashed over the one before it: one that is changed or left out breaks the chain, and the break is named.</p>
${
  verdict ??
  html`<p class="keel ${last?.error ? 'strong' : ''}">${
    last === null
      ? 'Not walked yet by the service.'
      : last.error
        ? html`<strong>The chain is broken</strong> (walked ${whenWords(last.at, zone)}). Call whoever runs the service; npm run audit names the entry.`
        : html`Last walked ${whenWords(last.at, zone)}: whole.`
  }</p>`
}
<form method="post" action="/trust/audit/verify" class="no-print">${csrfField(c)}<button class="plain">Walk the chain now</button></form>
${findForm(c)}
${table({ ...found, zone }, true)}
${older(found.rows, '/trust/audit')}`,
  })
}

export async function verifyAct(c: Context<StaffEnv>) {
  const { entries, broken } = await inClinicOf(c, verifyAudit)
  return await auditListPage(
    c,
    broken
      ? html`<div class="summary" role="alert"><p><strong>Broken at entry ${broken.seq}: ${broken.why}.</strong> The ${entries} before it are whole. Call whoever runs the service.</p></div>`
      : html`<p class="keel" role="status">${entries} entries, whole.</p>`,
  )
}

const findForm = (c: Context<StaffEnv>, error?: string, value?: string): Html =>
  html`<form method="post" action="/trust/find" class="no-print">${csrfField(c)}
${field({ name: 'words', label: 'One patient', hint: 'Mobile number, email address, or the booking reference of a visit.', value, error, maxlength: 200 })}
<button class="plain">Find</button></form>`

const wanted = z.object({
  words: z.string().trim().min(1, 'Write a number, an address or a reference.').max(200, 'That is too long.'),
})

/** A post, so that no number stands in an address. */
export async function findAct(c: Context<StaffEnv>) {
  const form = await readForm(c, wanted)
  const patientId = form.ok
    ? await inClinicOf(c, async (flow) => {
        const visit = await visitByReference(flow, form.data.words)
        const contact = plainContact(form.data.words, flow.clinic.settings.region)
        return visit?.patientId ?? (await patientsWithContact(flow, contact))[0] ?? null
      })
    : null
  if (patientId) return c.redirect(`/trust/patients/${patientId}`, 303)
  const errors = form.ok ? { words: 'No patient has this number, address or reference.' } : form.errors
  return page(c, {
    title: 'Who did what',
    face: 'staff',
    status: 422,
    body: html`${trustLinks(c)}${errorSummary(errors)}${findForm(c, errors.words, form.ok ? form.data.words : form.values.words)}`,
  })
}

/** Who saw this patient, what was decided and what was sent: on one page. */
export async function whoSawPage(c: Context<StaffEnv>) {
  const id = idOf(c, 'id')
  const { zone } = c.get('clinic')
  const { staffId } = c.get('staff')
  const found = await inClinicOf(c, async (flow) => {
    const patient = await getPatient(flow, id)
    const rows = await entriesOf(flow, id, beforeOf(c))
    if (!patient && rows.length === 0) return null
    flow.audit({
      actor: `staff:${staffId}`,
      action: 'view patient',
      patientId: id,
      subject: 'who saw this patient',
    })
    return {
      rows,
      name: patient?.name ?? 'erased',
      isHere: patient !== null,
      nameOf: await staffNames(flow),
      consents: patient ? await consentsOf(flow, id) : [],
    }
  })
  if (!found) return refuse(404, 'There is no such page.')
  const { rows, name, isHere, nameOf, consents } = found
  const seenBy = new Map<string, number>()
  for (const row of rows.filter(({ action }) => action === 'view patient')) {
    const who = actorWords(row.actor, nameOf)
    seenBy.set(who, (seenBy.get(who) ?? 0) + 1)
  }
  return page(c, {
    title: 'Who saw this patient',
    face: 'staff',
    body: html`${trustLinks(c)}
<h2>${name}</h2>
<p>Your own look at this page is an entry too.</p>
<h3>Seen by${rows.length === PAGE_SIZE ? ', in the entries below' : ''}</h3>
${
  seenBy.size === 0
    ? html`<p>Nobody yet.</p>`
    : html`<ul>${[...seenBy].map(([who, times]) => html`<li>${who}: ${times} ${times === 1 ? 'time' : 'times'}</li>`)}</ul>`
}
<h3>Agreed to be written to</h3>
${
  consents.length === 0
    ? html`<p>Nothing is noted.</p>`
    : html`<ul>${consents.map(
        (one) =>
          html`<li>${one.at.slice(0, 16).replace('T', ' ')} (UTC), ${one.how === 'page' ? 'on the first page of a link' : one.how === 'text' ? 'by answering the first text' : `told at the desk${one.by ? ` to ${nameOf(one.by)}` : ''}`}: “${CONSENT_WORDS.find(({ version }) => version === one.version)?.words ?? ''}”</li>`,
      )}</ul>`
}
<h3>All entries</h3>
${table({ rows, nameOf, zone }, false)}
${older(rows, `/trust/patients/${id}`)}
${
  isHere
    ? html`<h3 class="no-print">What the patient may ask for</h3>
<p class="row no-print"><a class="button plain" href="/trust/patients/${id}/copy.txt">A copy to read</a> <a class="button plain" href="/trust/patients/${id}/copy.json">The same as data</a> <a class="button plain" href="/trust/patients/${id}/erase">Erase</a></p>
<p class="no-print">Look through a copy before you hand it over: notes may speak of somebody else.</p>`
    : ''
}`,
  })
}
