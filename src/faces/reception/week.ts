/** The best plan for the coming weeks: each action with its reason, what it saves, and a button to accept it. */
import type { Context } from 'hono'
import { html } from 'hono/html'
import { Temporal } from 'temporal-polyfill'
import { z } from 'zod'
import type { StaffEnv } from '../../access/env.ts'
import type { Flow } from '../../flow/context.ts'
import { bestPlan, loadWeek, type Week } from '../../flow/week.ts'
import {
  type AcceptedAll,
  acceptAction,
  acceptAll,
  acceptTogether,
  groupStamp,
  stampOf,
  type Way,
  wayOf,
} from '../../flow/week-acts.ts'
import { whenWords } from '../../messages/words.ts'
import type { MovesPlan, PlanGroup, PlannedVisit } from '../../softening/moves/plan.ts'
import { movesOf } from '../../softening/moves/store.ts'
import { Trouble } from '../../trouble.ts'
import { getPatients, type Visit } from '../../visits/store.ts'
import { auditViews, idOf, inClinicOf } from '../clinician/parts.ts'
import { csrfField, readForm } from '../shared/forms.ts'
import { type Html, liveRegion, page } from '../shared/layout.ts'
import { withoutKeys } from './answers.ts'
import { act, deskLinks, type Said, saidLines } from './parts.ts'
import { moveLine } from './words.ts'

const DONE: Record<string, string> = {
  propose: 'The times are held, and the patient is asked.',
  wait: 'Noted. The patient is asked as soon as the place is free.',
  change: 'Done. The patient is told.',
  together: 'Moved. Every patient is told the new time.',
}

interface Shown {
  visit: Visit
  name: string
  planned: PlannedVisit
  way: Way
}

interface WeekData {
  week: Week
  plan: MovesPlan | null
  changes: Shown[]
  stays: Shown[]
  pending: { visit: Visit; name: string; line: string }[]
}

async function loadPlan(flow: Flow, staffId: string): Promise<WeekData> {
  const week = await loadWeek(flow)
  const plan = bestPlan(week)
  const ids = week.visits.map(({ patientId }) => patientId)
  const patients = await getPatients(flow, ids)
  await auditViews(flow, staffId, ids, 'week plan')
  const byReference = new Map(week.visits.map((visit) => [visit.reference, visit]))
  const nameOf = (visit: Visit): string => patients.get(visit.patientId)?.name ?? 'No name'
  const shown = (plan?.visits ?? []).flatMap((planned): Shown[] => {
    const visit = byReference.get(planned.id)
    return visit && plan ? [{ visit, name: nameOf(visit), planned, way: wayOf(week, plan, planned) }] : []
  })
  const moves = await movesOf(
    flow,
    week.visits.map(({ visitId }) => visitId),
  )
  return {
    week,
    plan,
    changes: shown.filter(({ planned }) => planned.action !== 'stay'),
    stays: shown.filter(({ planned, visit }) => planned.action === 'stay' && visit.purpose === 'removal'),
    pending: moves
      .filter(({ status }) => status === 'proposed' || status === 'waiting')
      .flatMap((move) => {
        const visit = week.visits.find(({ visitId }) => visitId === move.visitId)
        return visit ? [{ visit, name: nameOf(visit), line: moveLine(move, flow.clinic.zone) }] : []
      }),
  }
}

export async function weekPage(c: Context<StaffEnv>, said: Said & { all?: AcceptedAll } = {}) {
  const data = await inClinicOf(c, (flow) => loadPlan(flow, c.get('staff').staffId))
  const { zone } = c.get('clinic')
  const { plan, week, changes, stays, pending } = data
  const free = changes.some(({ way }) => way.way !== 'together' && way.way !== 'blocked')
  return page(c, {
    title: 'The best plan',
    face: 'staff',
    live: true,
    status: said.refused ? 409 : 200,
    body: html`${deskLinks(c)}${saidLines({ done: DONE[c.req.query('done') ?? ''], ...said })}
${said.all ? allPart(said.all) : ''}
${liveRegion(
  'plan',
  ['move'],
  html`${plan ? html`<p><strong>${plan.summary}</strong></p>` : html`<p class="keel strong"><strong>The weeks cannot be planned until this is mended:</strong> ${week.problem}.</p>`}
<p class="small">Costs are the clinic's own, from its rules: a failed visit, an extra visit, a sore ear, the trouble of moving, each day of waiting. Chances come from what the patients say of their drops. The plan is worked out anew each time you look.</p>
${free && changes.length > 1 ? html`<form method="post" action="/reception/week/all" class="act">${csrfField(c)}<button>Accept all that can go by itself</button></form>` : ''}
${groupsPart(c, data, zone)}
${
  pending.length === 0
    ? ''
    : html`<h2>Asked already</h2><p>These stay as they are until the patient has answered.</p><ul class="list">${pending.map(
        ({ visit, name, line }) =>
          html`<li><a href="/reception/visits/${visit.visitId}">${name}</a>, ${whenWords(visit.startAt, zone)}. ${line}.</li>`,
      )}</ul>`
}
${
  stays.length === 0
    ? ''
    : html`<details><summary>Why the other removals stay (${stays.length})</summary><ul>${stays.map(
        ({ visit, name, planned }) =>
          html`<li><a href="/reception/visits/${visit.visitId}">${name}</a>, ${whenWords(visit.startAt, zone)}: ${withoutKeys(week.held.get(visit.visitId) ? `Stays because ${week.held.get(visit.visitId)}.` : planned.reason)}</li>`,
      )}</ul></details>`
}`,
)}`,
  })
}

const round = (value: number): string => String(Math.round(value * 10) / 10)

function groupsPart(c: Context<StaffEnv>, { plan, changes }: WeekData, zone: string): Html {
  if (!plan) return html``
  return html`<ol class="list">${plan.groups.map((group) => {
    const own = changes.filter(({ planned }) => planned.group === group.group)
    const together = own.some(({ way }) => way.way === 'together')
    return html`<li>${own.map((one) => oneChange(c, one, zone, together))}
${own.length > 1 ? html`<p>Together these save ${round(group.saving)}.</p>` : html`<p>Saves ${round(group.saving)}.</p>`}
${together ? togetherForm(c, group, own) : ''}</li>`
  })}</ol>`
}

function oneChange(
  c: Context<StaffEnv>,
  { visit, name, planned, way }: Shown,
  zone: string,
  together: boolean,
): Html {
  return html`<h2><a href="/reception/visits/${visit.visitId}">${name}</a>, ${whenWords(visit.startAt, zone)}</h2>
<p>${withoutKeys(planned.reason)}</p>
${together ? '' : html`<p class="small">${wayWords(way)}</p>`}
${
  together || way.way === 'blocked' || way.way === 'together'
    ? ''
    : html`<form method="post" action="/reception/week/${visit.visitId}/accept" class="act">${csrfField(c)}
<input type="hidden" name="seen" value="${stampOf(planned)}"><button>${acceptWords(planned, zone)}<span class="out-of-sight">: ${name}</span></button></form>`
}`
}

function acceptWords(planned: PlannedVisit, zone: string): string {
  if (planned.action === 'assessment') return 'Turn into an assessment'
  if (planned.action === 'lengthen') return `Make it ${planned.minutes} minutes`
  return `Offer ${whenWords(Temporal.Instant.from(planned.start), zone)}`
}

function wayWords(way: Way): string {
  switch (way.way) {
    case 'propose':
      return way.slotIds.length === 1
        ? 'The patient is asked. The time is held until they answer.'
        : `The patient can choose from ${way.slotIds.length} times, which are held until they answer.`
    case 'wait':
      return `This place is still taken (${way.for.reference}). The patient is asked only when it is free, which is once that patient has moved.`
    case 'change':
      return 'It is done at once, and the patient is told.'
    case 'blocked':
      return way.why
    case 'together':
      return ''
  }
}

function togetherForm(c: Context<StaffEnv>, group: PlanGroup, own: readonly Shown[]): Html {
  return html`<div class="keel"><p>These change places, so none of them is free before all have agreed, and nobody is asked by text. Ring each patient. When all have said yes, move them in one step.</p>
<form method="post" action="/reception/week/together" class="act">${csrfField(c)}<input type="hidden" name="group" value="${group.group}">
<input type="hidden" name="seen" value="${groupStamp(own.map(({ planned }) => planned))}">
<label class="choice"><input type="checkbox" name="agreed" value="yes" required><span>All of them have agreed: ${own.map(({ name }) => name).join(', ')}</span></label>
<button>Move them all now</button></form></div>`
}

function allPart({ done, left }: AcceptedAll): Html {
  return html`<section class="keel" role="status"><p><strong>${done.length} of ${done.length + left.length} accepted.</strong></p>
${left.length > 0 ? html`<ul>${left.map(({ reference, why }) => html`<li>${reference}: ${why}</li>`)}</ul>` : ''}</section>`
}

export async function acceptAct(c: Context<StaffEnv>) {
  const visitId = idOf(c, 'id')
  const form = await readForm(c, z.object({ seen: z.string().max(500) }))
  if (!form.ok) return await weekPage(c, { refused: 'Look at the plan and accept an action there.' })
  return await act(
    c,
    async (flow) =>
      `/reception/week?done=${await acceptAction(flow, visitId, form.data.seen, c.get('staff').staffId)}`,
    (said) => weekPage(c, said),
  )
}

export async function acceptAllAct(c: Context<StaffEnv>) {
  try {
    return await weekPage(c, {
      all: await inClinicOf(c, (flow) => acceptAll(flow, c.get('staff').staffId)),
    })
  } catch (error) {
    if (!(error instanceof Trouble)) throw error
    return await weekPage(c, { refused: error.message })
  }
}

const together = z.object({
  group: z.coerce.number({ error: 'Look at the plan again.' }).int(),
  seen: z.string({ error: 'Look at the plan again.' }).max(5000),
  agreed: z.literal('yes', { error: 'Tick that every patient has agreed.' }),
})

export async function togetherAct(c: Context<StaffEnv>) {
  const form = await readForm(c, together)
  if (!form.ok) return await weekPage(c, { refused: Object.values(form.errors)[0] })
  return await act(
    c,
    async (flow) => {
      await acceptTogether(flow, form.data.group, form.data.seen, c.get('staff').staffId)
      return '/reception/week?done=together'
    },
    (said) => weekPage(c, said),
  )
}
