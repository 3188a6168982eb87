/** What is known besides the words: history, plan and dose days, procedure, earlier replies as a trend. */
import { html } from 'hono/html'
import { Temporal } from 'temporal-polyfill'
import type { StoredCheck, StoredEar } from '../../aftercare/store.ts'
import type { ReadReply } from '../../flow/patient-record.ts'
import { dayWords, whenWords } from '../../messages/words.ts'
import { percent } from '../../softening/day-sheet.ts'
import type { DoseDayRow, Screening, StoredPlan } from '../../softening/store.ts'
import type { Readiness } from '../../softening/types.ts'
import type { Html } from '../shared/layout.ts'
import { urgencyMark } from '../shared/urgency.ts'
import { recordSentences } from './procedure-words.ts'
import { agentWords, capital, historyWords, kindWords, planStatusWords } from './words.ts'

export function historyPart(screening: Screening | null, risks: readonly string[]): Html {
  const outcome = screening?.outcome
  return html`${
    risks.length > 0
      ? html`<p>Known: <strong>${risks.map(historyWords).join('; ')}</strong>.</p>`
      : html`<p>No risk is known. What was never asked is not known.</p>`
  }
${
  screening
    ? html`<p>History before drops: ${
        {
          asked: 'asked, no answer yet',
          'asked-again': 'asked once more, not clear yet',
          answered: 'settled',
          'to-person': 'a person must settle it',
          overdue: 'not answered in time',
          cancelled: 'ended with the visit',
        }[screening.status]
      }.</p>`
    : html`<p>No history was asked for this visit.</p>`
}
${
  screening && screening.answers.length > 0
    ? html`<details><summary>The answers, word for word</summary><ul>${lastAnswers(screening).map(
        ({ question, answer, words }) =>
          html`<li>${capital(question.replaceAll('-', ' '))}: <strong>${answer}</strong>${words ? html` <q>${words}</q>` : ''}</li>`,
      )}</ul></details>`
    : ''
}
${outcome && outcome.clinicianNotes.length > 0 ? html`<ul>${outcome.clinicianNotes.map((note) => html`<li>${note}</li>`)}</ul>` : ''}`
}

const lastAnswers = (screening: Screening) => [
  ...new Map(screening.answers.map((answer) => [answer.question, answer])).values(),
]

export function planPart(stored: StoredPlan | null, days: readonly DoseDayRow[], today: string): Html {
  if (!stored) return html`<p>No plan of drops for this visit.</p>`
  const { plan, status, readiness } = stored
  const held = status === 'withheld' || plan.fit === 'withheld'
  return html`<p>${
    held
      ? html`<strong>No drops.</strong> ${plan.withheldReason ?? ''}`
      : plan.days.length === 0
        ? 'No drops are planned before this visit.'
        : html`${capital(agentWords(plan.agent))}, ${plan.dropsADose} drops, ${plan.dosesADay} times a day, ${plan.days.length} days (${planStatusWords[status]}).`
  }</p>
${doseTable(days, today, status)}
${readiness && !held ? readinessPart(readiness) : ''}`
}

/** A row a day: what was planned and what the patient said, per ear. */
export function doseTable(days: readonly DoseDayRow[], today: string, status: StoredPlan['status']): Html {
  if (days.length === 0) return html``
  const ears = [...new Set(days.map(({ ear }) => ear))].sort()
  const byDay = Map.groupBy(days, ({ day }) => day)
  const said = (row: DoseDayRow | undefined, day: string): string => {
    if (!row) return ''
    if (row.done !== null) return `${row.done} of ${row.planned}`
    if (row.some) return `yes, no number (${row.planned} planned)`
    if (status === 'withheld' && day >= today) return 'held back'
    if (status !== 'active' && day >= today) return 'no longer planned'
    return day < today ? 'no answer' : day === today ? 'not answered yet' : 'to come'
  }
  return html`<div class="scroll"><table class="stack"><caption>Doses done, as the patient says</caption>
<thead><tr><th scope="col">Day</th>${ears.map((ear) => html`<th scope="col">${capital(ear)} ear</th>`)}</tr></thead><tbody>
${[...byDay].map(
  ([day, rows]) => html`<tr><td data-label="Day">${dayWords(Temporal.PlainDate.from(day))}</td>
${ears.map(
  (ear) =>
    html`<td data-label="${capital(ear)} ear">${said(
      rows.find((row) => row.ear === ear),
      day,
    )}</td>`,
)}</tr>`,
)}
</tbody></table></div>`
}

export function readinessPart(readiness: Readiness): Html {
  if (readiness.basis === 'not-needed') return html``
  return html`<p><strong>Soft enough at the visit: ${percent(readiness.p)}.</strong> ${
    readiness.ready ? 'Over' : 'Under'
  } the clinic's threshold of ${percent(readiness.threshold)}.${
    readiness.ears.length > 0
      ? html` ${readiness.ears.map(
          ({ ear, doses }) =>
            `${capital(ear)} ear: ${Math.round(doses.mean * 10) / 10} of ${doses.outOf} doses most likely done; 9 times in 10 between ${doses.low} and ${doses.high}. `,
        )}`
      : ''
  }</p>
<details><summary>Why</summary><ul>${readiness.grounds.map((line) => html`<li>${line}</li>`)}</ul></details>`
}

export function proceduresPart(records: readonly StoredEar[], zone: string, limit = 4): Html {
  if (records.length === 0) return html`<p>Nothing was recorded of a procedure here yet.</p>`
  return html`<ul>${records
    .slice(0, limit)
    .map(
      (one) =>
        html`<li><strong>${whenWords(one.doneAt, zone)}, ${one.record.ear} ear (${one.difficulty}).</strong> ${recordSentences(one.record)}</li>`,
    )}</ul>`
}

const CHECKS: Record<StoredCheck['status'], string> = {
  planned: 'to be asked',
  answered: 'answered',
  missed: 'NO ANSWER',
  cancelled: 'not asked',
}

/** The checks after the procedure: a silence is seen here. */
export function checksPart(checks: readonly StoredCheck[], zone: string): Html {
  if (checks.length === 0) return html``
  return html`<p>Checks:</p><ol>${checks.map(({ dueAt, status }) => html`<li>${whenWords(dueAt, zone)}: ${CHECKS[status]}</li>`)}</ol>`
}

/** Earlier replies, newest first, in columns that can be compared. */
export function trendTable(current: ReadReply | null, others: readonly ReadReply[], zone: string): Html {
  if (others.length === 0) return html`<p>No other reply of this patient yet.</p>`
  const all = [...(current ? [current] : []), ...others].toSorted(
    (a, b) => b.receivedAt.epochMilliseconds - a.receivedAt.epochMilliseconds,
  )
  return html`<div class="scroll"><table class="stack"><caption>Replies so far, newest first</caption>
<thead><tr><th scope="col">When</th><th scope="col">Pain</th><th scope="col">There then</th><th scope="col">Said not to be there</th><th scope="col">Read as</th><th scope="col">Words</th></tr></thead><tbody>
${all.map((reply) => {
  const findings = reply.stored?.reading.findings ?? []
  const pain = findings.find(({ kind, polarity }) => kind === 'pain' && polarity === 'affirmed')
  const kinds = (polarity: string) =>
    [...new Set(findings.filter((one) => one.polarity === polarity).map(({ kind }) => kindWords(kind)))].join(
      ', ',
    )
  return html`<tr><td data-label="When">${whenWords(reply.receivedAt, zone)}${reply === current ? html` <strong>(this one)</strong>` : ''}</td>
<td data-label="Pain">${pain?.severity ? `${pain.severity.value} of 10` : pain ? 'yes' : findings.some((one) => one.kind === 'pain' && one.polarity === 'denied') ? 'none' : 'not said'}</td>
<td data-label="There then">${kinds('affirmed') || 'nothing found'}</td>
<td data-label="Said not to be there">${kinds('denied')}</td>
<td data-label="Read as">${reply.urgency ? urgencyMark(reply.urgency) : 'not read'}</td>
<td data-label="Words">${reply.words.length > 160 ? `${reply.words.slice(0, 157)}...` : reply.words || '(ticked answers only)'}</td></tr>`
})}
</tbody></table></div>`
}
