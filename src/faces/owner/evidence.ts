/** The owner's evidence: what a period changed against the one before it, never without its uncertainty. */
import type { Context } from 'hono'
import { html, raw } from 'hono/html'
import { Temporal } from 'temporal-polyfill'
import type { StaffEnv } from '../../access/env.ts'
import { may } from '../../access/permissions.ts'
import { pChartSvg } from '../../evidence/chart.ts'
import {
  type Delays,
  MEASURES,
  type Measured,
  type MeasureName,
  type MeasureTable,
  type Share,
  type WeekChart,
} from '../../evidence/measures.ts'
import { comparisonWords, percent } from '../../evidence/statistics.ts'
import type { MoveRow } from '../../evidence/store.ts'
import { dayOf } from '../../flow/context.ts'
import { type Evidence, evidenceOf, type Period } from '../../flow/evidence.ts'
import { dayWords, soonWords, whenWords } from '../../messages/words.ts'
import { inClinicOf } from '../clinician/parts.ts'
import { agentWords, capital, spanWords } from '../clinician/words.ts'
import { type Html, page } from '../shared/layout.ts'
import { urgencyMark } from '../shared/urgency.ts'
import { ownerLinks } from './parts.ts'

const USUAL_DAYS = 28
const MOST_DAYS = 731

/** The period asked for in the address; the last four weeks where it is no period. */
export function periodOf(
  query: { from?: string | undefined; to?: string | undefined },
  today: Temporal.PlainDate,
): Period {
  const read = (text: string | undefined): Temporal.PlainDate | null => {
    if (!text || !/^\d{4}-\d{2}-\d{2}$/.test(text)) return null
    try {
      return Temporal.PlainDate.from(text)
    } catch {
      return null
    }
  }
  const [from, to] = [read(query.from), read(query.to)]
  const usual = { from: today.subtract({ days: USUAL_DAYS - 1 }), to: today }
  if (!from || !to || Temporal.PlainDate.compare(from, to) > 0) return usual
  return from.until(to, { largestUnit: 'days' }).days < MOST_DAYS ? { from, to } : usual
}

const periodWords = ({ from, to }: Period): string =>
  `${dayWords(from)} ${from.year} to ${dayWords(to)} ${to.year}`

export async function evidencePage(c: Context<StaffEnv>) {
  const { zone } = c.get('clinic')
  const { evidence, now } = await inClinicOf(c, async (flow) => ({
    evidence: await evidenceOf(flow, periodOf(c.req.query(), dayOf(flow, flow.now))),
    now: flow.now,
  }))
  const { period, before } = evidence
  return page(c, {
    title: 'Evidence',
    face: 'staff',
    body: html`${ownerLinks(c)}
<form method="get" action="/owner" class="row act no-print"><label>From <input type="date" name="from" value="${period.from.toString()}"></label>
<label>to <input type="date" name="to" value="${period.to.toString()}"></label> <button class="plain">Show</button></form>
<p><strong>${periodWords(period)}</strong>, against the period before: ${periodWords(before)}.</p>
<p class="small">Every share stands with the range in which the true one may lie (Wilson, 95 %). A change between two periods shows that they differ, not why.</p>
${may(c.get('staff').role, 'export') ? html`<p class="no-print"><a href="/owner/evidence.csv?from=${period.from.toString()}&amp;to=${period.to.toString()}">These numbers as a file</a> <span class="small">(asks you to sign in again)</span></p>` : ''}
${overduePart(evidence, now, zone)}
${(['unsoftened', 'failed', 'lost', 'taken'] as const).map((name) => measurePart(name, evidence))}
${queuePart(evidence)}${modelsPart(evidence, zone)}`,
  })
}

function overduePart({ overdue, now: { escalated } }: Evidence, now: Temporal.Instant, zone: string): Html {
  return html`<h2>Concerns past their time</h2>
${
  overdue.length === 0
    ? html`<p>None is open past its deadline now.</p>`
    : html`<div class="keel strong"><p><strong>${overdue.length === 1 ? '1 concern is' : `${overdue.length} concerns are`} past the deadline and not closed. Marked for you.</strong></p>
<ul>${overdue.map(({ concernId, urgency, deadlineAt, status }) => html`<li>${urgencyMark(urgency)} <a href="/clinician/concerns/${concernId}">Due ${soonWords(deadlineAt, now, zone)}</a>, ${spanWords(now.epochMilliseconds - deadlineAt.epochMilliseconds)} ago; ${status === 'open' ? 'nobody has it' : 'somebody has it'}.</li>`)}</ul></div>`
}
<p>In this period ${escalated === 1 ? '1 concern' : `${escalated} concerns`} passed the deadline before anybody took ${escalated === 1 ? 'it' : 'them'}.</p>`
}

function measurePart(name: MeasureName, evidence: Evidence): Html {
  const table = evidence.measures[name]
  const chart = name === 'unsoftened' || name === 'failed' ? evidence.charts[name] : null
  const { minutes } = evidence.now
  return html`<section aria-labelledby="${name}"><h2 id="${name}">${MEASURES[name]}</h2>
${sharePart(table.all)}
${name === 'lost' ? html`<p>${minutes.lost} of ${minutes.all} minutes in the chair were spent at such visits; in the period before, ${evidence.then.minutes.lost} of ${evidence.then.minutes.all}.</p>` : ''}
${name === 'taken' ? html`<p>${offerWords(evidence.now.moves)} In the period before: ${offerWords(evidence.then.moves)}</p><p class="small">Offers that still wait for an answer, or that the clinic took back, are left out.</p>` : ''}
${groupTable(name, table)}
${chart ? chartPart(name, chart) : ''}</section>`
}

function offerWords(moves: readonly MoveRow[]): string {
  const count = (status: MoveRow['status']): number => moves.filter((one) => one.status === status).length
  return `${moves.length} offered: ${count('accepted')} taken, ${count('declined')} kept their time, ${count('expired')} did not answer, ${count('proposed')} still open, ${count('withdrawn')} taken back.`
}

function sharePart({ now, before, change }: Measured): Html {
  return html`<p><strong>${now.share === null ? 'No cases' : `${percent(now.share)} (${now.events} of ${now.total})`}.</strong> ${now.small.words}
Before: ${before.share === null ? 'no cases' : `${percent(before.share)} (${before.events} of ${before.total})`}.
${change ? comparisonWords(change) : ''}</p>`
}

const shareCell = (share: Share): string =>
  share.share === null || share.interval === null
    ? 'no cases'
    : `${percent(share.share)} (${share.events} of ${share.total}), ${percent(share.interval.low)} to ${percent(share.interval.high)}`

const SMALL = {
  none: '',
  'very-few': 'too few to judge',
  few: 'a small number',
  wide: 'a wide range',
  enough: '',
}

function groupTable(name: MeasureName, { byPractitioner, byAgent }: MeasureTable): Html {
  const rows = [
    ...byPractitioner,
    ...byAgent.map(([agent, measured]): [string, Measured] => [capital(agentWords(agent)), measured]),
  ]
  if (rows.length === 0) return html``
  return html`<div class="scroll"><table class="stack"><caption>By practitioner and by what was used at home</caption>
<thead><tr><th scope="col">Whose, or what</th><th scope="col">This period</th><th scope="col">The period before</th><th scope="col">To note</th></tr></thead><tbody>
${rows.map(
  ([label, { now, before }]) =>
    html`<tr><th scope="row" data-label="${MEASURES[name]}">${label}</th><td data-label="This period">${shareCell(now)}</td><td data-label="The period before">${shareCell(before)}</td><td data-label="To note">${SMALL[now.small.flag]}</td></tr>`,
)}</tbody></table></div>`
}

function chartPart(name: MeasureName, { chart, weeks }: WeekChart): Html {
  const labels = weeks.map((week) => {
    const day = Temporal.PlainDate.from(week)
    return `${day.day}/${day.month}`
  })
  const svg = pChartSvg(chart, {
    id: `chart-${name}`,
    title: `${MEASURES[name]}, by week`,
    measure: MEASURES[name].toLowerCase(),
    labels,
  })
  return html`<div class="scroll">${raw(svg)}</div>
<p class="small">A point a week, both periods. Within the dashed limits (three standard errors, Shewhart) a week differs from the others no more than chance alone would make it.</p>
<details><summary>The numbers of this chart</summary><div class="scroll"><table class="stack"><thead><tr><th scope="col">Week from</th><th scope="col" class="number">Cases</th><th scope="col" class="number">Out of</th><th scope="col" class="number">Share</th><th scope="col" class="number">Limits</th><th scope="col">Beyond them</th></tr></thead><tbody>
${chart.points.map(
  ({ events, total, share, lower, upper, out }, i) =>
    html`<tr><td data-label="Week from">${weeks[i]}</td><td data-label="Cases" class="number">${events}</td><td data-label="Out of" class="number">${total}</td><td data-label="Share" class="number">${percent(share)}</td><td data-label="Limits" class="number">${percent(lower)} to ${percent(upper)}</td><td data-label="Beyond them">${out ?? 'no'}</td></tr>`,
)}</tbody></table></div></details>`
}

const minutesWords = (minutes: number | null): string =>
  minutes === null ? 'not reached: too many were never taken' : spanWords(minutes * 60_000)

function queuePart({ now, then }: Evidence): Html {
  const row = (label: string, ours: string, before: string): Html =>
    html`<tr><th scope="row">${label}</th><td data-label="This period">${ours}</td><td data-label="The period before">${before}</td></tr>`
  const words = (of: (delays: Delays) => string): [string, string] => [of(now.delays), of(then.delays)]
  return html`<h2>Replies and the queue</h2><div class="scroll"><table class="stack">
<thead><tr><th scope="col">What</th><th scope="col">This period</th><th scope="col">The period before</th></tr></thead><tbody>
${row('Replies that came in', String(now.replies.all), String(then.replies.all))}
${row('Of those read, urgent (now or today)', shareCell(now.urgent), shareCell(then.urgent))}
${row('Unclear, so a person reads them', String(now.replies.unclear), String(then.replies.unclear))}
${row('Concerns opened', ...words(({ opened }) => String(opened)))}
${row('Not taken by anybody yet', ...words(({ notTaken }) => String(notTaken)))}
${row('Until somebody took it: half of them within', ...words(({ opened, median }) => (opened === 0 ? 'no concerns' : minutesWords(median))))}
${row('95 of 100 within', ...words(({ opened, p95 }) => (opened === 0 ? 'no concerns' : minutesWords(p95))))}
${row('Taken before the deadline', ...words(({ inTime }) => shareCell(inTime)))}
</tbody></table></div>
<p>${now.delays.inTime.small.words}</p>`
}

function modelsPart({ predictions, models }: Evidence, zone: string): Html {
  const { adherence, link, fittedAt } = models
  return html`<h2>How good the predictions were</h2>
${
  predictions === null
    ? html`<p>No ear in this period had a prediction that could be scored.</p>`
    : html`<p>${predictions.words.replace(' visits ', ' ears ')}</p>
<div class="scroll"><table class="stack"><caption>Predicted and found, ear by ear</caption><thead><tr><th scope="col">Predicted between</th><th scope="col" class="number">Ears</th><th scope="col" class="number">Predicted on average</th><th scope="col">Found soft enough</th></tr></thead><tbody>
${predictions.bands.map(
  ({ from, to, n, predicted, observed, low, high }) =>
    html`<tr><td data-label="Predicted between">${percent(from)} and ${percent(to)}</td><td data-label="Ears" class="number">${n}</td><td data-label="Predicted on average" class="number">${percent(predicted)}</td><td data-label="Found soft enough">${percent(observed)}, ${percent(low)} to ${percent(high)}</td></tr>`,
)}</tbody></table></div>`
}
<h3>What they rest on</h3>
<ul><li>${
    adherence.patients === 0
      ? "How patients do their drops: a starting guess, since too few of the clinic's own plans have ended."
      : `How patients do their drops: learned from ${adherence.patients} finished plans. On average ${percent(adherence.a / (adherence.a + adherence.b))} of the doses are done.`
  }</li>
<li>${
    link.outcomes === 0
      ? "What doses do to an ear: a starting guess, since too few of the clinic's own results are there."
      : `What doses do to an ear: learned from ${link.outcomes} results that clinicians recorded.`
  }</li>
<li>${fittedAt ? `Last learned ${whenWords(fittedAt, zone)}.` : 'Not learned yet: the night job does it.'}</li></ul>`
}
