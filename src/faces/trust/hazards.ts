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
<div class="scroll"><table class="stack"><thead><tr><th scope="col">No</th><th scope="col">Hazard and cause</th><th scope="col">Harm</th><th scope="col">Risk before</th><th scope="col">Control, and the tests that show it</th><th scope="col">Risk after</th><th scope="col">For the clinic</th></tr></thead><tbody>
${HAZARDS.map(
  (one) =>
    html`<tr id="${one.id}"><th scope="row">${one.id}</th><td data-label="Hazard and cause"><strong>${one.hazard}.</strong> ${one.cause}</td><td data-label="Harm">${one.harm}</td><td data-label="Risk before">${ratingWords(one.before)}</td><td data-label="Control">${one.control}<ul>${one.shownBy.map(({ file, title }) => html`<li class="hint">${file}: ${title}</li>`)}</ul></td><td data-label="Risk after">${ratingWords(one.after)}</td><td data-label="For the clinic">${one.clinic}</td></tr>`,
)}</tbody></table></div>
<h2>Adoption</h2>
<p>Read, changed where needed and adopted for this clinic by:</p>
<p>Name ______________________ Registration ______________ Date ____________ Signature ______________________</p>`,
  })
}
