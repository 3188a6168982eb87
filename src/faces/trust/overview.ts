/** The way in to the records of trust. */
import type { Context } from 'hono'
import { html } from 'hono/html'
import type { StaffEnv } from '../../access/env.ts'
import { may } from '../../access/permissions.ts'
import { page } from '../shared/layout.ts'
import { trustLinks } from './parts.ts'

export function overviewPage(c: Context<StaffEnv>) {
  const mayAudit = may(c.get('staff').role, 'audit:read')
  return page(c, {
    title: 'Records and safety',
    face: 'staff',
    body: html`${trustLinks(c)}
<ul>
${mayAudit ? html`<li><a href="/trust/audit">Who did what</a>: every view of a patient, decision, message and sign-off; who saw one patient; a patient’s copy and erasure.</li>` : ''}
<li><a href="/trust/hazards">Hazards</a>: what could go wrong and what holds it back.</li>
<li><a href="/trust/privacy">Privacy</a>: the record of processing, the assessment, and how long each kind of data is kept.</li>
<li><a href="/owner/jobs">Jobs</a>: whether reading, sending, escalation, backup and checks run.</li>
</ul>`,
  })
}
