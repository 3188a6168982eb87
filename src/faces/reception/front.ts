/** The front desk's first page: what a person must settle, and the visits that will not be soft enough. */
import type { Context } from 'hono'
import { html } from 'hono/html'
import { Temporal } from 'temporal-polyfill'
import type { StaffEnv } from '../../access/env.ts'
import { DESK_KINDS, type DeskItem, type DeskKind, deskItems, settleDeskItem } from '../../desk/store.ts'

import { answersFor, type Week } from '../../flow/week.ts'
import { dayWords, soonWords, timeWords, whenWords } from '../../messages/words.ts'
import { Trouble } from '../../trouble.ts'
import { getPatients, type Patient } from '../../visits/store.ts'
import { auditViews, idOf, inClinicOf } from '../clinician/parts.ts'
import { earsWords } from '../clinician/words.ts'
import { csrfField } from '../shared/forms.ts'
import { type Html, liveRegion, page } from '../shared/layout.ts'
import { answersPart } from './answers.ts'
import { type DeskVisit, type DeskWeek, deskWeek } from './data.ts'
import { act, deskLinks, type Said, saidLines } from './parts.ts'
import { moveLine, noteWords, readinessLines, WHAT_TO_DO } from './words.ts'

/** Answers are worked out for the soonest of the list; further down a link leads to them. */
const WITH_ANSWERS = 10
/** For the first of them they are seen without a click. */
const OPENED = 3

export const FRONT_DONE: Record<string, string> = {
  settled: 'Settled.',
  booked: 'Booked. The patient is told.',
}

interface Front extends DeskWeek {
  items: DeskItem[]
  patients: Map<string, Patient>
}

export async function frontPage(c: Context<StaffEnv>, said: Said = {}) {
  const { zone } = c.get('clinic')
  const data = await inClinicOf(c, async (flow): Promise<Front> => {
    const desk = await deskWeek(flow)
    const items = await deskItems(flow)
    const patientIds = items.flatMap(({ patientId }) => patientId ?? [])
    await auditViews(
      flow,
      c.get('staff').staffId,
      [...patientIds, ...desk.visits.map(({ visit }) => visit.patientId)],
      'front desk',
    )
    return { ...desk, items, patients: await getPatients(flow, patientIds) }
  })
  const notReady = data.visits.filter(({ state }) => state === 'not-ready')
  return page(c, {
    title: 'Front desk',
    face: 'staff',
    live: true,
    status: said.refused ? 409 : 200,
    body: html`${deskLinks(c)}
${saidLines({ done: FRONT_DONE[c.req.query('done') ?? ''], ...said })}
${liveRegion(
  'front-desk',
  ['desk_item', 'move'],
  html`${topLine(data, notReady.length)}
<h2 id="not-soft">Visits that will not be soft enough</h2>
${notReady.length === 0 ? html`<p>None of the coming visits, as far as is known.</p>` : html`<p>Soonest first. <a href="/reception/week">The best plan for all of them together</a></p>`}
${data.week.problem ? html`<p class="keel">Other times cannot be worked out until this is mended: ${data.week.problem}.</p>` : ''}
<ol class="list">${notReady.map((one, i) => notReadyItem(c, one, data, zone, i))}</ol>
<h2 id="list">Your list</h2>${listPart(c, data, zone)}
<h2 id="rest">The other visits</h2>${restPart(data, zone)}`,
)}`,
  })
}

function topLine({ items, now }: Front, notReady: number): Html {
  const things = [...Map.groupBy(items, sameThing).values()]
  const overdue = things.filter((same) => same.some((item) => isOverdue(item, now))).length
  return html`<p><a href="#not-soft">${notReady === 1 ? '1 coming visit' : `${notReady} coming visits`} will not be soft enough</a>.
<a href="#list">${things.length === 1 ? '1 thing is' : `${things.length} things are`} on your list</a>${overdue > 0 ? html`, <strong>${overdue} OVERDUE</strong>` : ''}.</p>`
}

const isOverdue = ({ dueAt }: DeskItem, now: Temporal.Instant): boolean =>
  dueAt !== null && Temporal.Instant.compare(dueAt, now) <= 0

/** The same trouble of the same visit is one thing to settle, however often it came. */
const sameThing = ({ kind, patientId, visitId }: DeskItem): string => `${kind} ${patientId} ${visitId}`

function listPart(c: Context<StaffEnv>, { items, patients, now }: Front, zone: string): Html {
  if (items.length === 0) return html`<p>Nothing to settle now.</p>`
  const things = [...Map.groupBy(items, sameThing).values()]
  return html`<p>${things.length === 1 ? '1 thing waits.' : `${things.length} things wait.`}</p>
<ol class="list">${things.map((same) => {
    const [item] = same as [DeskItem]
    const patient = item.patientId ? patients.get(item.patientId) : undefined
    const late = isOverdue(item, now)
    const what = DESK_KINDS[item.kind] ?? item.kind
    const notes = [...new Set(same.map(noteWords).filter(Boolean))]
    return html`<li><p><strong>${what}</strong>${same.length > 1 ? ` (${same.length} times)` : ''}</p>
<p>${patient ? html`${patient.name}, ${patient.mobile ?? patient.email ?? 'no number or address'}.` : 'No patient is known.'}
${item.dueAt ? html`${late ? html`<strong>OVERDUE: due ${soonWords(item.dueAt, now, zone)}.</strong>` : `Before ${soonWords(item.dueAt, now, zone)}.`}` : ''}</p>
<p>${WHAT_TO_DO[item.kind] ?? ''}${notes.slice(0, 3).map((note) => html` <span class="small">${note}</span>`)}</p>
<div class="row">${item.visitId ? html`<a class="button plain" href="/reception/visits/${item.visitId}">Open the visit<span class="out-of-sight"> of ${patient?.name ?? 'nobody known'}</span></a>` : ''}
${item.patientId && BOOKS.has(item.kind) ? html`<a class="button plain" href="/reception/items/${item.itemId}/book">Book a visit<span class="out-of-sight"> for ${patient?.name ?? 'nobody known'}</span></a>` : ''}
<form method="post" action="/reception/items/${item.itemId}/settle">${csrfField(c)}<button class="plain">Settled<span class="out-of-sight">: ${what}, ${patient?.name ?? ''}</span></button></form></div></li>`
  })}</ol>`
}

/** Items from which a visit can be booked. */
const BOOKS: ReadonlySet<DeskKind> = new Set(['needs-visit', 'recall-answered', 'wishes-to-move'])

function notReadyItem(
  c: Context<StaffEnv>,
  one: DeskVisit,
  { week, today, now }: DeskWeek,
  zone: string,
  place: number,
): Html {
  const { visit, patient, plan, screening, days, moves } = one
  const pending = moves.findLast(({ status }) => status === 'proposed' || status === 'waiting')
  const kept = moves.findLast(({ kind }) => kind === 'keep')
  const name = patient?.name ?? 'No name'
  return html`<li id="visit-${visit.visitId}"><h3>${name}, ${whenWords(visit.startAt, zone)}</h3>
<p>${visit.minutes} minutes with ${visit.practitioner}, ${earsWords(visit.ears)}.${visit.urgent ? html` <strong>Urgent.</strong>` : ''}${visit.inPain ? html` <strong>In pain: never later.</strong>` : ''}</p>
${readinessLines(plan, screening, days, today).map((line) => html`<p>${line}</p>`)}
${plan?.readiness && plan.readiness.basis === 'doses' ? html`<details><summary>How this is known</summary><ul>${plan.readiness.grounds.map((line) => html`<li>${line}</li>`)}</ul></details>` : ''}
${
  pending
    ? html`<p class="keel"><strong>${moveLine(pending, zone)}</strong>${pending.status === 'proposed' ? html` Answer by ${soonWords(pending.deadlineAt, now, zone)}.` : ''}</p>`
    : kept
      ? html`<p class="keel">${moveLine(kept, zone)}</p>`
      : place < WITH_ANSWERS
        ? html`<details ${place < OPENED ? html`open` : ''}><summary>Possible answers, best first</summary>${answersOf(c, week, one, zone)}</details>`
        : ''
}
<p><a href="/reception/visits/${visit.visitId}">Open the visit<span class="out-of-sight"> of ${name}</span></a></p></li>`
}

const answersOf = (c: Context<StaffEnv>, week: Week, { visit }: DeskVisit, zone: string): Html =>
  answersPart(c, visit, answersFor(week, visit), zone)

const STATE_WORDS = {
  'not-ready': 'will not be soft enough',
  ready: 'likely to be soft enough',
  open: 'history not answered yet',
  'not-needed': 'needs no softening',
}

function restPart({ visits }: DeskWeek, zone: string): Html {
  const rest = visits.filter(({ state }) => state !== 'not-ready')
  if (rest.length === 0) return html`<p>No other visits are booked.</p>`
  const byDay = Map.groupBy(rest, ({ visit }) =>
    visit.startAt.toZonedDateTimeISO(zone).toPlainDate().toString(),
  )
  return html`${[...byDay].map(
    ([day, own]) => html`<h3>${dayWords(Temporal.PlainDate.from(day))}</h3>
<ul class="list">${own.map(({ visit, patient, plan, state, moves }) => {
      const pending = moves.findLast(({ status }) => status === 'proposed' || status === 'waiting')
      const p = plan?.readiness?.basis === 'doses' ? ` (${Math.round(plan.readiness.p * 100)} %)` : ''
      return html`<li>${timeWords(visit.startAt.toZonedDateTimeISO(zone).toPlainTime())} <a href="/reception/visits/${visit.visitId}">${patient?.name ?? 'No name'}</a>, ${visit.purpose}, ${earsWords(visit.ears)}, ${visit.practitioner}: ${STATE_WORDS[state]}${p}.${pending ? ` ${moveLine(pending, zone)}.` : ''}</li>`
    })}</ul>`,
  )}`
}

export const settleAct = (c: Context<StaffEnv>) =>
  act(
    c,
    async (flow) => {
      const items = await deskItems(flow)
      const item = items.find(({ itemId }) => itemId === idOf(c, 'id'))
      if (!item) throw new Trouble('That was settled before, or is not on the list.')
      for (const one of items.filter((other) => sameThing(other) === sameThing(item)))
        await settleDeskItem(flow, one.itemId, c.get('staff').staffId)
      return '/reception?done=settled'
    },
    (said) => frontPage(c, said),
  )
