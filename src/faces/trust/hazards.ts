/** The hazard log, to read and to print. */
import type { Context } from 'hono'
import { html } from 'hono/html'
import type { StaffEnv } from '../../access/env.ts'
import { HAZARDS, LIKELIHOOD, type Rating, riskOf, SEVERITY } from '../../safety/hazards.ts'
import { page } from '../shared/layout.ts'
import { trustLinks } from './parts.ts'

const ratingWords = (rating: Rating): string => `${riskOf(rating)} (${rating.likelihood}, ${rating.severity})`

export function hazardsPage(c: Context<StaffEnv>) {
  return page(c, {
    title: 'Hazard log',
    face: 'staff',
    body: html`${trustLinks(c)}
<p class="keel strong"><strong>A draft by the makers of the service.</strong> It stands for nothing until this clinic has gone through it, changed it and adopted it through its own licensed people. It is written in the manner of what published standards for health software ask for (DCB0129, DCB0160, ISO 14971, from memory); it does not show that any of them is met.</p>
<p>Likelihood: ${LIKELIHOOD.join(', ')}. Severity: ${SEVERITY.join(', ')}. Risk is the product of their places: low to 4, middling to 9, high to 15, above that not to be borne. The bands are ours.</p>
${HAZARDS.map(
  (one) => html`<section class="part" id="${one.id}"><h2>${one.id}. ${one.hazard}</h2>
<dl>
<dt>Cause</dt><dd>${one.cause}</dd>
<dt>Harm</dt><dd>${one.harm}</dd>
<dt>Risk before</dt><dd>${ratingWords(one.before)}</dd>
<dt>What the service does</dt><dd>${one.control}</dd>
<dt>Tests that show it</dt><dd><ul>${one.shownBy.map(({ file, title }) => html`<li class="hint">${file}: ${title}</li>`)}</ul></dd>
<dt>Risk after</dt><dd><strong>${ratingWords(one.after)}</strong></dd>
<dt>For the clinic</dt><dd>${one.clinic}</dd>
</dl></section>`,
)}
<h2>Adoption</h2>
<p>Read, changed where needed and adopted for this clinic by:</p>
<p>Name ______________________ Registration ______________ Date ____________ Signature ______________________</p>`,
  })
}
