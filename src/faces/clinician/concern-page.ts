/** The page of one concern: the patient's words, what was read in them, what is known, what can be done. */
import type { Context } from 'hono'
import { html } from 'hono/html'
import { Temporal } from 'temporal-polyfill'
import type { StaffEnv } from '../../access/env.ts'
import { may } from '../../access/permissions.ts'
import { OUTCOME_IDS, OUTCOMES, outcomeWords } from '../../flow/triage.ts'
import { soonWords, whenWords } from '../../messages/words.ts'
import { URGENCIES, type Urgency } from '../../protocol/rule.ts'
import { choices, csrfField, textArea } from '../shared/forms.ts'
import { type Html, liveRegion, page } from '../shared/layout.ts'
import { urgencyMark, urgencyWords } from '../shared/urgency.ts'
import type { ConcernData } from './concern-data.ts'
import { checksPart, historyPart, planPart, proceduresPart, trendTable } from './known.ts'
import { findingLines, patientWords, scoreTable } from './marked.ts'
import { doneLine, dueLine, mayAct, refusedLine } from './parts.ts'
import { agentWords, capital, earsWords, messageStatusWords, sourceOfConcern, statusWords } from './words.ts'

export interface Shown {
  done?: string | undefined
  refused?: string | undefined
  status?: 200 | 409 | 422
  /** What was typed and not taken, by field: it is shown again. */
  typed?: Record<string, string>
}

export const DONE: Record<string, string> = {
  claimed: 'You have this concern now.',
  'given-back': 'Given back: it is open for everybody again.',
  written: 'Your text is on its way to the patient.',
  noted: 'Your note is kept.',
  closed: 'Closed.',
  drops: 'Your decision about drops is kept, and the patient is told by text.',
  corrected: 'Kept: this was read wrongly. The concern itself stays as it is until you close it.',
}

export function concernPage(c: Context<StaffEnv>, data: ConcernData, shown: Shown = {}) {
  const { concern, now } = data
  const zone = c.get('clinic').zone
  const mine = concern.status === 'claimed' && concern.claimedBy === c.get('staff').staffId
  return page(c, {
    title: 'Concern',
    face: 'staff',
    live: true,
    scripts: ['deadline.js'],
    status: shown.status ?? 200,
    body: html`${refusedLine(shown.refused)}${doneLine(shown.done)}
${liveRegion(
  'concern',
  ['concern'],
  html`${wordsPart(data, zone)}
<div class="keel ${concern.status !== 'closed' && (concern.urgency === 'now' || concern.urgency === 'today') ? 'strong' : ''}">
<p>${urgencyMark(concern.urgency)}</p>
${
  concern.status === 'closed'
    ? html`<p><strong>Closed</strong>${concern.closedAt ? ` ${soonWords(concern.closedAt, now, zone)}` : ''} by ${data.nameOf(concern.closedBy)}: ${outcomeWords(concern.outcome)}.</p>`
    : dueLine(concern.deadlineAt, now, zone)
}
<p>${capital(concern.reason)}</p>
<p>${heldLine(data, mine, zone)}</p>
</div>
${readPart(c, data, zone)}
${mayAct(c) ? actions(c, data, mine, shown.typed ?? {}) : ''}`,
)}
<h2>What is known</h2>
${knownPart(data, zone)}
${data.reply ? scoreTable(data.reply, data.urgencyRules) : ''}
${data.reply ? html`<p class="small">Judged by version ${data.judgedBy} of the <a href="/protocol">clinic's rules</a>.</p>` : ''}
${sentPart(data, zone)}
${eventsPart(data, zone)}
${mayAct(c) && data.visit ? dropsPart(c, data, zone) : ''}
`,
  })
}

function wordsPart({ reply, patient, sender, concern, now }: ConcernData, zone: string): Html {
  const who = patient
    ? html`<a href="/clinician/patients/${patient.patientId}">${patient.name}</a>`
    : sender
      ? html`${sender}, who is no patient that we know`
      : 'nobody in particular'
  if (!reply)
    return html`<p class="lead"><strong>${who}</strong> wrote nothing here: this comes from ${sourceOfConcern[concern.source]}.</p>`
  return html`${patientWords(reply)}
<p class="lead">From <strong>${who}</strong>, ${soonWords(reply.receivedAt, now, zone)}. ${askedWords(reply.stored?.reading.questions ?? [])}</p>`
}

function readPart(c: Context<StaffEnv>, data: ConcernData, zone: string): Html {
  const { reply, urgencyRules } = data
  if (!reply) return html``
  return html`<h2>What was read in these words</h2>
${findingLines(reply, urgencyRules)}
${may(c.get('staff').role, 'replies:correct') ? wrongPart(c, data, zone) : ''}`
}

const askedWords = (questions: readonly { kind: string }[]): string => {
  const kinds = [...new Set(questions.map(({ kind }) => kind.replaceAll('-', ' ')))]
  return kinds.length > 0 ? `Asked before it: ${kinds.join(', ')}.` : 'No question was open.'
}

const heldLine = ({ concern, nameOf, now }: ConcernData, mine: boolean, zone: string): Html => {
  if (concern.status === 'closed') return html``
  if (concern.status === 'open') return html`Nobody has it yet.`
  if (mine) return html`<strong>You have it.</strong>`
  const since = concern.claimedAt ? `, since ${soonWords(concern.claimedAt, now, zone)}` : ''
  return html`<strong>${nameOf(concern.claimedBy)} has it</strong>${since}.`
}

function actions(
  c: Context<StaffEnv>,
  data: ConcernData,
  mine: boolean,
  typed: Record<string, string>,
): Html {
  const { concern } = data
  const to = `/clinician/concerns/${concern.concernId}`
  if (concern.status === 'closed') return html``
  if (concern.status === 'open')
    return html`<form method="post" action="${to}/claim">${csrfField(c)}<button>Take it</button></form>`
  if (!mine) return html`<p>Only the person who has it can act on it. Ask them to give it back.</p>`
  const hidden = html`${csrfField(c)}<input type="hidden" name="seen" value="${data.seen}">`
  return html`<h2>Act</h2>
<form method="post" action="${to}/write">${hidden}
${textArea({ name: 'words', label: 'Write to the patient', hint: writeHint(data), maxlength: 600, rows: 3, value: typed.words, error: typed['words-error'] })}
<p><button>See the text before it goes</button></p></form>
<form method="post" action="${to}/close">${hidden}
<div class="tight">${choices({
    name: 'outcome',
    legend: 'What came of it',
    choices: OUTCOME_IDS.map((value) => ({ value, label: OUTCOMES[value].words })),
    chosen: typed.outcome ? [typed.outcome] : [],
    error: typed['outcome-error'],
    required: true,
  })}</div>
${textArea({ name: 'note', label: 'Note', hint: 'For colleagues; the patient does not see it.', required: false, rows: 2, value: typed.note, error: typed['note-error'] })}
<p class="row"><button>Close it</button> <button class="plain" formaction="${to}/note" formnovalidate>Keep the note, leave it open</button></p></form>
<form method="post" action="${to}/release">${csrfField(c)}<button class="quiet">Give it back</button></form>`
}

const writeHint = ({ patient, sender }: ConcernData): string => {
  if (patient?.stoppedAt)
    return 'This patient has stopped our messages. Your answer to what they wrote still goes.'
  if (!patient && !sender) return 'There is nobody to write to here.'
  return 'Short and plain. The clinic, your name and the emergency number are put around it.'
}

function knownPart(data: ConcernData, zone: string): Html {
  const { patient, visit, now } = data
  const today = now.toZonedDateTimeISO(zone).toPlainDate().toString()
  if (!patient) return html`<p>No patient of ours has this number or address, or several share it.</p>`
  return html`
<h3>Visit</h3>
<p>${visit ? `${capital(visit.purpose)}, ${earsWords(visit.ears)}, ${whenWords(visit.startAt, zone)} with ${visit.practitioner} (${statusWords[visit.status]}).` : 'No visit is booked.'}
<a href="/clinician/patients/${patient.patientId}">Everything of this patient on one page</a></p>
<h3>History</h3>
${historyPart(data.screening, patient.risks)}
<h3>Drops</h3>
${planPart(data.plan, data.doseDays, today)}
<h3>What was done</h3>
${proceduresPart(data.procedures, zone)}
${checksPart(data.checks, zone)}
<h3>Replies</h3>
${trendTable(data.reply, data.others, zone)}
<h3>The score of this reply</h3>`
}

function sentPart({ sent, now }: ConcernData, zone: string): Html {
  return html`<h2>Texts about this</h2>
${
  sent.length === 0
    ? html`<p>No text about this concern went to the patient.</p>`
    : html`<ul class="list">${sent.map(
        (one) =>
          html`<li><p>${one.body}</p><p class="small">${messageStatusWords[one.status]}${one.sentAt ? `, ${soonWords(one.sentAt, now, zone)}` : ''}</p></li>`,
      )}</ul>`
}`
}

function eventsPart({ events, nameOf, now }: ConcernData, zone: string): Html {
  return html`<h2>What has happened</h2>
<ol class="list">${events.map(
    ({ at, byStaff, kind, note }) =>
      html`<li><strong>${EVENTS[kind] ?? capital(kind)}</strong>${byStaff ? ` by ${nameOf(byStaff)}` : ''}, ${soonWords(at, now, zone)}.${note ? html` ${capital(note)}` : ''}</li>`,
  )}</ol>`
}

const EVENTS: Record<string, string> = {
  claimed: 'Taken',
  'told (opened)': 'Colleagues told',
  'told (near)': 'Colleagues told: near its time',
  'told (past)': 'Colleagues told: past its time',
  'claim lapsed': 'Open again: it was taken and nothing followed',
}

/** A clinician settles the drops: none, or one of the clinic's agents; the plan and its texts follow. */
export function dropsPart(
  c: Context<StaffEnv>,
  data: Pick<ConcernData, 'visit' | 'screening' | 'plan' | 'agents' | 'now'> & {
    concern?: ConcernData['concern']
  },
  zone: string,
): Html {
  const { visit, screening, plan, agents, now } = data
  if (visit?.status !== 'booked' || !screening) return html``
  if (visit.startAt.epochMilliseconds <= now.epochMilliseconds) return html``
  const held = plan?.status === 'withheld' || plan?.plan.fit === 'withheld'
  return html`<h2>Allow or forbid drops</h2>
<form method="post" action="/clinician/visits/${visit.visitId}/drops">${csrfField(c)}
<input type="hidden" name="plan" value="${planState(plan)}">
${data.concern ? html`<input type="hidden" name="concern" value="${data.concern.concernId}">` : ''}
<p>For the visit on ${whenWords(visit.startAt, zone)}. Now: <strong>${!plan ? 'nothing planned' : held ? 'no drops' : agentWords(plan.plan.agent)}</strong>${held && plan?.plan.withheldReason ? ` (${plan.plan.withheldReason})` : ''}. What you choose makes the plan anew, and the patient gets it by text.</p>
<div class="tight">${choices({
    name: 'agent',
    legend: 'Drops for this visit',
    required: true,
    choices: [
      ...agents.map(({ id, name }) => ({ value: id, label: `Allow ${name}` })),
      { value: 'none', label: 'No drops' },
    ],
  })}</div>
${noteBox('why', 'Reason', true)}
<p><button class="plain">Decide</button></p></form>`
}

/** Changes with every new plan and with every pause of it. */
export const planState = (plan: ConcernData['plan']): string =>
  plan ? `${plan.planId}.${plan.status}` : 'none'

function wrongPart(c: Context<StaffEnv>, { reply, corrections, nameOf }: ConcernData, zone: string): Html {
  if (!reply) return html``
  return html`${corrections.map(
    ({ byStaff, was, right, note, at }) =>
      html`<p class="keel">${nameOf(byStaff)}: read as "${urgencyWords[was as keyof typeof urgencyWords] ?? was}", should be "${urgencyWords[right]}". ${note} <span class="small">${whenWords(Temporal.Instant.from(at), zone)}</span></p>`,
  )}
${wronglyForm(c, reply.replyId, reply.urgency ?? 'unclear')}`
}

/** Its label is around it, since a page may hold several. */
const noteBox = (name: string, label: string, required: boolean): Html =>
  html`<label class="field"><strong>${label}</strong>
<textarea name="${name}" rows="2" maxlength="500" ${required ? html`required` : ''}></textarea></label>`

const SHOULD_BE: Record<Urgency, string> = {
  now: 'Now',
  today: 'Today',
  soon: 'Soon',
  unclear: 'For a person to read',
  none: 'Nothing to act on',
}

/** One press says how it should have been read. */
export function wronglyForm(c: Context<StaffEnv>, replyId: string, was: string): Html {
  return html`<form method="post" action="/clinician/replies/${replyId}/wrong">${csrfField(c)}
<input type="hidden" name="back" value="${c.req.path}">
<p class="row"><span><strong>Read wrongly?</strong> It should be:</span> ${URGENCIES.toReversed()
    .filter((urgency) => urgency !== was)
    .map(
      (urgency) => html`<button class="quiet" name="right" value="${urgency}">${SHOULD_BE[urgency]}</button>`,
    )}</p>
<details><summary>Say why; and what a press does</summary>
${noteBox('note', 'Why, if you want to say', false)}
<p>Your correction is kept to better the reading. What should be more urgent is put before the clinicians; nothing is lowered or closed by it.</p></details></form>`
}
