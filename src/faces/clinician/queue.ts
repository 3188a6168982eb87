/** The queue: everything that a clinician must act on, by deadline. */
import type { Context } from 'hono'
import { html } from 'hono/html'
import type { Temporal } from 'temporal-polyfill'
import type { StaffEnv } from '../../access/env.ts'
import { auditViews } from '../../access/views.ts'
import { type Concern, type Notice, noticesOf, queue } from '../../concerns/store.ts'
import type { Flow } from '../../flow/context.ts'
import { type ReadReply, repliesById } from '../../flow/patient-record.ts'
import { soonWords } from '../../messages/words.ts'
import { getPatients, type Patient } from '../../visits/store.ts'
import { csrfField } from '../shared/forms.ts'
import { type Html, liveRegion, page } from '../shared/layout.ts'
import { urgencyMark } from '../shared/urgency.ts'
import { patientWords } from './marked.ts'
import { doneLine, dueLine, inClinicOf, mayAct, type NameOf, staffNames } from './parts.ts'
import { capital, sourceOfConcern } from './words.ts'

interface QueueData {
  now: Temporal.Instant
  concerns: Concern[]
  patients: Map<string, Patient>
  replies: Map<string, ReadReply>
  notices: Notice[]
  nameOf: NameOf
}

async function loadQueue(flow: Flow, staffId: string): Promise<QueueData> {
  const concerns = await queue(flow)
  const ids = (of: (one: Concern) => string | null) => concerns.map(of).filter((id) => id !== null)
  const patientIds = ids(({ patientId }) => patientId)
  await auditViews(flow, staffId, patientIds, 'queue')
  return {
    now: flow.now,
    concerns,
    patients: await getPatients(flow, patientIds),
    replies: await repliesById(
      flow,
      ids(({ replyId }) => replyId),
    ),
    notices: await noticesOf(flow, staffId),
    nameOf: await staffNames(flow),
  }
}

const TOLD: Record<string, string> = {
  opened: 'You are first on the list for a concern',
  near: 'A concern is near its time and nobody has it',
  past: 'A concern is past its time and nobody has it',
  owner: 'A concern is past its time: marked for the owner',
  'audit-broken': 'The record of who did what was changed from outside: call whoever runs the service',
  'job-late': 'A job did not run or failed (backup, audit, retention or keys): look at Jobs',
  stalled: 'Part of the service stands still: read and telephone patients by hand',
}

export async function queuePage(c: Context<StaffEnv>) {
  const data = await inClinicOf(c, (flow) => loadQueue(flow, c.get('staff').staffId))
  const zone = c.get('clinic').zone
  const { concerns, notices, now, nameOf } = data
  return page(c, {
    title: 'Concerns',
    face: 'staff',
    live: true,
    scripts: ['deadline.js'],
    body: html`${doneLine(c.req.query('done') === 'corrected' ? 'Kept: this was read wrongly.' : undefined)}
${liveRegion(
  'queue',
  ['concern', 'notice'],
  html`${noticesPart(c, notices, now, zone)}
<p>${countWords(data, c.get('staff').staffId)}</p>
<ol class="list queue">${concerns.map((concern) => item(c, concern, data, zone, nameOf))}</ol>`,
)}
${mayAct(c) ? html`<p class="no-print"><a href="/clinician/corrections.jsonl">What was read wrongly, as a file</a> <span class="small">(asks you to sign in again; names and numbers are taken out, but read it before it leaves the clinic)</span></p>` : ''}`,
  })
}

function countWords({ concerns, now }: QueueData, me: string): string {
  if (concerns.length === 0) return 'Nothing waits here now. Replies that come in later appear by themselves.'
  const overdue = concerns.filter(({ deadlineAt }) => deadlineAt.epochMilliseconds <= now.epochMilliseconds)
  const mine = concerns.filter(({ claimedBy }) => claimedBy === me)
  return [
    `${concerns.length} ${concerns.length === 1 ? 'waits' : 'wait'}, the soonest due first.`,
    overdue.length > 0 ? `${overdue.length} OVERDUE.` : '',
    mine.length > 0 ? `You have ${mine.length}.` : '',
  ]
    .filter(Boolean)
    .join(' ')
}

function item(
  c: Context<StaffEnv>,
  concern: Concern,
  { patients, replies, now }: QueueData,
  zone: string,
  nameOf: NameOf,
): Html {
  const patient = concern.patientId ? patients.get(concern.patientId) : undefined
  const reply = concern.replyId ? replies.get(concern.replyId) : undefined
  const to = `/clinician/concerns/${concern.concernId}`
  const mine = concern.claimedBy === c.get('staff').staffId
  return html`<li class="urgency-${concern.urgency}" id="concern-${concern.concernId}">
${reply ? patientWords(reply) : html`<p class="lead">No words: this comes from ${sourceOfConcern[concern.source]}.</p>`}
<p>${urgencyMark(concern.urgency)}</p>
${dueLine(concern.deadlineAt, now, zone)}
<p>${capital(concern.reason)}</p>
<p><strong>${patient?.name ?? 'A number that belongs to no patient'}</strong>${reply ? `, ${soonWords(reply.receivedAt, now, zone)}` : ''}.
${concern.status === 'open' ? 'Nobody has it yet.' : mine ? html`<strong>You have it.</strong>` : html`<strong>${nameOf(concern.claimedBy)}</strong> has it.`}</p>
<div class="row"><a class="button plain" href="${to}">Open<span class="out-of-sight"> the concern of ${patient?.name ?? 'an unknown sender'}</span></a>
${
  concern.status === 'open' && mayAct(c)
    ? html`<form method="post" action="${to}/claim">${csrfField(c)}<button>Take it<span class="out-of-sight">: ${patient?.name ?? 'an unknown sender'}</span></button></form>`
    : ''
}</div></li>`
}

function noticesPart(c: Context<StaffEnv>, notices: Notice[], now: Temporal.Instant, zone: string): Html {
  if (notices.length === 0) return html``
  return html`<div class="keel strong"><h2>You were told</h2><ul>${notices.map(
    ({ kind, concernId, at }) =>
      html`<li>${concernId ? html`<a href="/clinician/concerns/${concernId}">${TOLD[kind] ?? kind}</a>` : (TOLD[kind] ?? kind)}, ${soonWords(at, now, zone)}</li>`,
  )}</ul>
<form method="post" action="/clinician/notices">${csrfField(c)}<button class="plain">I have seen these</button></form></div>`
}
