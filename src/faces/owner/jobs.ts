/** When each job of the service last ran for this clinic, and whether it stands still. */
import type { Context } from 'hono'
import { html } from 'hono/html'
import type { StaffEnv } from '../../access/env.ts'
import { jobStates } from '../../evidence/store.ts'
import { whenWords } from '../../messages/words.ts'
import { inClinicOf } from '../clinician/parts.ts'
import { spanWords } from '../clinician/words.ts'
import { page } from '../shared/layout.ts'
import { ownerLinks } from './parts.ts'

export async function jobsPage(c: Context<StaffEnv>) {
  const { zone } = c.get('clinic')
  const limits = c.get('jobLimits')
  const { jobs, now } = await inClinicOf(c, async (flow) => ({ jobs: await jobStates(flow), now: flow.now }))
  return page(c, {
    title: 'Jobs',
    face: 'staff',
    body: html`${ownerLinks(c)}
<p>What the service does by itself. Where one stands still, every page of the staff says so.</p>
${
  jobs.length === 0
    ? html`<p class="keel strong"><strong>No job has run yet for this clinic.</strong> If this stays so, the service is not running its jobs.</p>`
    : html`<div class="scroll"><table class="stack"><thead><tr><th scope="col">Job</th><th scope="col">Began</th><th scope="col">Ended</th><th scope="col" class="number">Things done</th><th scope="col">State</th></tr></thead><tbody>
${jobs.map(({ job, startedAt, finishedAt, done, error }) => {
  const age = now.epochMilliseconds - (finishedAt ?? startedAt).epochMilliseconds
  const limit = limits[job]
  const late = limit !== undefined && age > limit * 1000
  return html`<tr><th scope="row">${job}</th><td data-label="Began">${whenWords(startedAt, zone)}</td><td data-label="Ended">${finishedAt ? whenWords(finishedAt, zone) : 'running, or it died'}</td><td data-label="Things done" class="number">${done}</td>
<td data-label="State">${late ? html`<strong>STANDS STILL: nothing ended for ${spanWords(age)}</strong>` : error ? html`<strong>Failed: ${error}</strong>` : 'runs'}</td></tr>`
})}</tbody></table></div>`
}`,
  })
}
