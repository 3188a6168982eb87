/** The record of processing, the summary of the assessment and how long each kind is kept: drafts to complete. */
import type { Context } from 'hono'
import { html } from 'hono/html'
import { z } from 'zod'
import type { StaffEnv } from '../../access/env.ts'
import { may } from '../../access/permissions.ts'
import { whenWords } from '../../messages/words.ts'
import { RETENTION } from '../../privacy/kinds.ts'
import { ASSESSMENT, PROCESSING_RECORD, type RecordLine } from '../../privacy/record.ts'
import { confirmRetention, retentionInForce } from '../../privacy/retention.ts'
import { inClinicOf, staffNames } from '../clinician/parts.ts'
import { csrfField, errorSummary, readForm } from '../shared/forms.ts'
import { type Html, page } from '../shared/layout.ts'
import { trustLinks } from './parts.ts'

const lines = (list: readonly RecordLine[]): Html =>
  html`<dl>${list.map(({ question, answer }) => html`<dt>${question}</dt><dd>${answer}</dd>`)}</dl>`

export async function privacyPage(c: Context<StaffEnv>, errors: Record<string, string> = {}) {
  const { zone } = c.get('clinic')
  const { kept, nameOf } = await inClinicOf(c, async (flow) => ({
    kept: new Map((await retentionInForce(flow)).map((one) => [one.kind, one])),
    nameOf: await staffNames(flow),
  }))
  const mayChange = may(c.get('staff').role, 'settings:write')
  return page(c, {
    title: 'Privacy',
    face: 'staff',
    status: Object.keys(errors).length > 0 ? 422 : 200,
    body: html`${trustLinks(c)}${errorSummary(errors)}
<p class="keel"><strong>Drafts.</strong> The clinic completes them, with its own adviser for data protection. What is in [brackets] only the clinic knows. Facts of the law are from memory and for the adviser to check.</p>
<h2>Record of processing</h2>${lines(PROCESSING_RECORD)}
<h2>Summary for the data-protection assessment</h2>${lines(ASSESSMENT)}
<h2>How long each kind is kept</h2>
${RETENTION.map(({ kind, what, counted, ground, source }) => {
  const { days = null, confirmed = null } = kept.get(kind) ?? {}
  return html`<section class="part"><h3>${what}</h3>
<p><strong>${days === null ? 'No days to set' : `${days} days`}</strong>${counted && `, counted from ${counted}`}. ${ground}</p>
<p class="hint">${source} ${confirmed ? `Confirmed by ${nameOf(confirmed.confirmedBy)}, ${whenWords(confirmed.confirmedAt, zone)}.` : ''}</p>
${
  mayChange && days !== null
    ? html`<form method="post" action="/trust/retention" class="row no-print">${csrfField(c)}<input type="hidden" name="kind" value="${kind}">
<label for="days-${kind}">Days</label> <input id="days-${kind}" name="days" inputmode="numeric" value="${days}" maxlength="5" class="year"> <button class="plain">Confirm<span class="out-of-sight">: ${what}</span></button></form>`
    : ''
}</section>`
})}`,
  })
}

const change = z.object({
  kind: z.enum(
    RETENTION.filter(({ days }) => days !== null).map(({ kind }) => kind) as [string, ...string[]],
    {
      error: 'There is no such kind with days to set.',
    },
  ),
  days: z.coerce
    .number({ error: 'Days are a whole number.' })
    .int('Days are a whole number.')
    .min(1, 'At least one day.')
    .max(36525, 'A hundred years at most.'),
})

export async function retentionAct(c: Context<StaffEnv>) {
  const form = await readForm(c, change)
  if (!form.ok) return await privacyPage(c, form.errors)
  const { staffId } = c.get('staff')
  const done = await inClinicOf(c, (flow) => confirmRetention(flow, { ...form.data, staffId }))
  const least = RETENTION.find(({ kind }) => kind === form.data.kind)?.least
  if (!done)
    return await privacyPage(c, { days: `Nothing was changed: at least ${least} days for this kind.` })
  return c.redirect('/trust/privacy', 303)
}
