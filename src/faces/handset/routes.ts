/** The demo's handset: here one plays a patient, who reads texts, taps their links and texts back. */
import { randomBytes } from 'node:crypto'
import type { Context } from 'hono'
import { html } from 'hono/html'
import { z } from 'zod'
import type { App, StaffEnv } from '../../access/env.ts'
import { refuse, route } from '../../access/route.ts'
import { auditViews } from '../../access/views.ts'
import { type Flow, inFlow } from '../../flow/context.ts'
import { MOST_WORDS, replyWords } from '../../flow/forms.ts'
import { handleReply } from '../../flow/replies.ts'
import { receive } from '../../messages/inbound.ts'
import { openQuestions } from '../../messages/store.ts'
import { type ThreadItem, threadHeads, threadOf } from '../../messages/thread.ts'
import { getPatient, getPatients, type Patient } from '../../visits/store.ts'
import { csrfField, errorSummary, type FormErrors, readForm, textArea } from '../shared/forms.ts'
import { type Html, page } from '../shared/layout.ts'
import { timeTag, timeWords } from '../shared/times.ts'
import { isJump, isShiftable, JUMPS, type Jumper, playTo, targetOf } from './clock.ts'
import { quickAnswers } from './quick.ts'

const TRANSPORT = 'handset'

export function mount(app: App): void {
  route(app, 'get', '/handset', 'handset', list)
  route(app, 'post', '/handset/clock', 'handset', jump)
  route(app, 'get', '/handset/:patient', 'handset', (c) => showThread(c, c.req.param('patient')))
  route(app, 'post', '/handset/:patient', 'handset', (c) => textBack(c, c.req.param('patient')))
}

type Ask = Context<StaffEnv>

async function list(c: Ask): Promise<Response> {
  const { zone } = c.get('clinic')
  const rows = await inFlow(c.get('service'), c.get('clinicId'), async (flow) => {
    const heads = await threadHeads(flow)
    const ids = heads.map(({ patientId }) => patientId)
    const patients = await getPatients(flow, ids)
    await auditViews(flow, c.get('staff').staffId, ids, 'handset list')
    return heads.flatMap((head) => {
      const patient = patients.get(head.patientId)
      return patient ? [{ ...head, name: patient.name }] : []
    })
  })
  return await page(c, {
    title: 'Demo handset',
    face: 'staff',
    styles: ['handset.css'],
    body: html`<p>Choose the patient whose telephone you want to hold. Everybody here is invented, and nothing leaves this machine.</p>
${clockPart(c)}
${rows.length === 0 ? html`<p>No patient has a text yet: import a visit first.</p>` : ''}
<ul class="list holders">
${rows.map(
  ({ patientId, name, lastAt, nextAt }) => html`<li><a class="holder" href="/handset/${patientId}">${name}</a>
${lastAt ? html`<span>Last text ${timeTag(lastAt, zone)}.</span>` : html`<span>No text yet.</span>`}
${nextAt ? html`<span>Next ${timeTag(nextAt, zone)}.</span>` : ''}</li>`,
)}
</ul>`,
  })
}

/** The demo's time, and the ways to move it on where it can be moved. */
function clockPart(c: Ask, patientId?: string): Html {
  const { clock } = c.get('service')
  const { zone } = c.get('clinic')
  return html`<section class="clock keel" aria-label="The demo's clock">
<p>The demo's clock says <strong>${timeWords(clock.now(), zone)}</strong>.</p>
${
  isShiftable(clock)
    ? html`<form method="post" action="/handset/clock" class="row">${csrfField(c)}
${patientId ? html`<input type="hidden" name="patient" value="${patientId}">` : ''}
${Object.entries(JUMPS).map(([id, words]) => html`<button class="plain" name="to" value="${id}">${words}</button>`)}
</form>`
    : ''
}
</section>`
}

interface Thread {
  patient: Patient
  items: ThreadItem[]
  quick: string[]
  ask: (question: string) => string
}

async function readThread(c: Ask, patientId: string): Promise<Thread> {
  const found = await inFlow(c.get('service'), c.get('clinicId'), async (flow: Flow) => {
    const patient = await getPatient(flow, patientId)
    if (!patient) return null
    flow.audit({
      actor: `staff:${c.get('staff').staffId}`,
      action: 'view handset',
      patientId: patient.patientId,
    })
    const [question] = await openQuestions(flow, patient.patientId, flow.now)
    const { questions } = flow.rules.softening.screening
    const ask = (id: string): string => questions.find((one) => one.id === id)?.text ?? id
    return { patient, items: await threadOf(flow, patient.patientId), quick: quickAnswers(question), ask }
  })
  return found ?? refuse(404, 'There is no such patient.')
}

async function showThread(
  c: Ask,
  patientId: string,
  { errors = {}, words = '' }: { errors?: FormErrors; words?: string } = {},
): Promise<Response> {
  const { patient, items, quick, ask } = await readThread(c, patientId)
  const { zone } = c.get('clinic')
  const { publicUrl } = c.get('service')
  const formId = randomBytes(12).toString('base64url')
  const hidden = html`${csrfField(c)}<input type="hidden" name="form" value="${formId}">`
  return await page(c, {
    title: 'Demo handset: one telephone',
    face: 'staff',
    styles: ['handset.css'],
    ...(Object.keys(errors).length > 0 && { status: 422 as const }),
    body: html`<h2>${patient.name}</h2>
<p><a href="/handset">Another patient</a></p>
${clockPart(c, patient.patientId)}
${patient.birthDate ? html`<p class="small">Born in ${patient.birthDate.slice(0, 4)}: some pages ask for the year.</p>` : ''}
${patient.stoppedAt ? html`<p><strong>Has stopped our texts.</strong></p>` : ''}
${items.length === 0 ? html`<p>No text has arrived yet. Move the clock on.</p>` : ''}
<ol class="thread" aria-label="Texts, oldest first">
${items.map((item) => bubble(item, zone, publicUrl, ask))}
</ol>
${errorSummary(errors)}
<section aria-label="Text back">
${
  quick.length > 0
    ? html`<form method="post" class="row quick" aria-label="Answers at hand">${hidden}
${quick.map((one) => html`<button class="plain" name="body" value="${one}">${one}</button>`)}</form>`
    : ''
}
<form method="post" id="write">${hidden}
${textArea({ name: 'body', label: 'Text back to the clinic', value: words, error: errors.body, maxlength: MOST_WORDS, rows: 3 })}
<button>Send the text</button>
</form>
</section>
<p id="end"><a href="/handset/${patient.patientId}">Look for new texts</a></p>`,
  })
}

function bubble(
  { at, from, body, by, id }: ThreadItem,
  zone: string,
  publicUrl: string,
  ask: (question: string) => string,
): Html {
  const who =
    from === 'clinic' ? 'From the clinic' : by.startsWith('link') ? 'Sent from a page' : 'From the patient'
  return html`<li class="${from}" id="t-${id}"><p class="who">${who}, ${timeTag(at, zone)}</p>
<p class="said">${from === 'clinic' ? withLinks(body, publicUrl) : replyWords(by, body, ask)}</p></li>`
}

/** Our own addresses can be tapped; every other one stays as words. */
function withLinks(body: string, publicUrl: string): Html {
  const parts = body.split(/(https?:\/\/[^\s<>"]*[\w/=-])/)
  return html`${parts.map((part) =>
    part.startsWith(`${publicUrl}/`)
      ? html`<a href="${part.slice(publicUrl.length)}" target="_blank" rel="noopener">${part}</a>`
      : part,
  )}`
}

const textSchema = z.object({
  body: z
    .string()
    .trim()
    .min(1, { error: 'Write the text first.' })
    .max(MOST_WORDS, { error: `At most ${MOST_WORDS} characters.` }),
  form: z.string().regex(/^[\w-]{8,40}$/, { error: 'Open the page again.' }),
})

async function textBack(c: Ask, patientId: string): Promise<Response> {
  const read = await readForm(c, textSchema)
  if (!read.ok) return await showThread(c, patientId, { errors: read.errors, words: read.values.body ?? '' })
  const service = c.get('service')
  const clinicId = c.get('clinicId')
  const patient = await inFlow(service, clinicId, (flow) => getPatient(flow, patientId))
  if (!patient) return refuse(404, 'There is no such patient.')
  const from = patient.mobile ?? patient.email
  const { replyId } = await receive(service, clinicId, {
    transport: TRANSPORT,
    providerId: `${patient.patientId}/${read.data.form}`,
    from,
    body: read.data.body,
    // Without a number a text could not come; here the patient is known by the page.
    ...(from === null && { patientId: patient.patientId }),
  })
  await handleReply(service, clinicId, replyId)
  // What is answered at once arrives at once.
  await c.get('runJobs')?.()
  return c.redirect(`/handset/${patient.patientId}#end`, 303)
}

const jumpSchema = z.object({
  to: z.string().refine(isJump, { error: 'There is no such jump.' }),
  patient: z.uuid().optional(),
})

async function jump(c: Ask): Promise<Response> {
  const read = await readForm(c, jumpSchema)
  if (!read.ok) return refuse(422, 'There is no such jump.')
  const { to, patient } = read.data
  const jumper: Jumper = {
    service: c.get('service'),
    clinicId: c.get('clinicId'),
    zone: c.get('clinic').zone,
    patientId: patient,
    runJobs: c.get('runJobs'),
  }
  if (!isShiftable(jumper.service.clock)) return refuse(409, 'The clock shows real time and cannot be moved.')
  const target = await targetOf(to, jumper)
  if (target && !(await playTo(target, jumper))) {
    return refuse(409, 'The clock shows real time and cannot be moved.')
  }
  return c.redirect(patient ? `/handset/${patient}#end` : '/handset', 303)
}
