/** The patient's words, whole and first, with what was read in them marked; and the score with its rules. */
import { html } from 'hono/html'
import type { ReadReply } from '../../flow/patient-record.ts'
import { rulesOf } from '../../protocol/document.ts'
import { sourceWords, type Urgency } from '../../protocol/rule.ts'
import type { UrgencyRules } from '../../protocol/sections/urgency.ts'
import { markText } from '../../replies/mark.ts'
import { urgencyWords } from '../../replies/reasons.ts'
import type { Finding, Reading } from '../../replies/types.ts'
import type { Html } from '../shared/layout.ts'
import { capital, historyWords } from './words.ts'

/** A reply in the patient's own words; nothing of ours stands before them. */
export function patientWords(reply: ReadReply): Html {
  const findings = reply.stored?.reading.findings ?? []
  const read = reply.stored?.reading.text.trim() ?? ''
  // What was read may be a part of what was sent (a page's own words): the marks move with it.
  const shift = read === '' ? -1 : reply.words.indexOf(reply.stored?.reading.text ?? '')
  const own = reply.words
  const marked =
    shift < 0
      ? [{ text: own, findings: [] }]
      : markText(
          own,
          findings.map(({ start, end }) => ({ start: start + shift, end: end + shift })),
        )
  return html`${
    reply.ticked.length > 0
      ? html`<p class="small">Answered on the page: ${reply.ticked.map(({ question, answer }) => `${question.replaceAll('-', ' ')}: ${answer}`).join('; ')}.</p>`
      : ''
  }<blockquote class="words">${
    own.trim() === ''
      ? html`<em>(no words)</em>`
      : marked.map((part) =>
          part.findings.length > 0
            ? html`<mark${part.findings.some((index) => isThere(findings[index])) ? '' : html` class="not-there"`}>${part.text}<sup><span class="out-of-sight">see </span>${part.findings.map((index) => index + 1).join(', ')}</sup></mark>`
            : part.text,
        )
  }</blockquote>`
}

const isThere = (finding: Finding | undefined): boolean => finding?.polarity === 'affirmed'

interface RuleLine {
  id: string
  text: string
  source: string
  urgency: Urgency | null
}

/** Every rule of the urgency section by its id, with where it really comes from. */
function ruleLines(rules: UrgencyRules): Map<string, RuleLine> {
  return new Map(
    rulesOf(rules).map(({ id, text, source, values }) => {
      const { urgency = null } = values as { urgency?: Urgency }
      return [id, { id, text, source: sourceWords(source), urgency }]
    }),
  )
}

/** One plain line a finding: what was read, who must act, and the rule's source; then what else was read. */
export function findingLines(reply: ReadReply, urgencyRules: UrgencyRules): Html {
  if (!reply.stored)
    return html`<p>The service could not read this reply. Only the words count: read them yourself.</p>`
  const { reading, judgement } = reply.stored
  const { findings, doubts } = reading
  const rules = ruleLines(urgencyRules)
  const further = judgement.reasons.slice(findings.length)
  const also = alsoRead(reading)
  return html`${
    findings.length > 0
      ? html`<ol class="findings">${findings.map(({ words }, index) => html`<li><q>${words}</q> ${capital(judgement.reasons[index] ?? '')}</li>`)}</ol>`
      : html`<p>The service found no symptom in these words. It can miss one: the words count.</p>`
  }
${further.length > 0 ? html`<p>Seen over several replies:</p><ul>${further.map((line) => html`<li>${capital(line)}</li>`)}</ul>` : ''}
${also.length > 0 ? html`<p>Also read: ${also.join('; ')}.</p>` : ''}
${
  doubts.length > 0
    ? html`<p>Not understood, so a person must read it:</p><ul>${doubts.map(({ words, rule }) => html`<li>${words ? html`<q>${words}</q> ` : ''}${rules.get(rule)?.text ?? rule}</li>`)}</ul>`
    : ''
}`
}

/** What was understood besides symptoms. */
function alsoRead(reading: Reading): string[] {
  const { doses, softened, history, language } = reading
  return [
    doses === null ? '' : `doses done: ${doses}`,
    softened === null ? '' : softened ? 'feels softer' : 'does not feel softer',
    ...history.map(
      ({ kind, polarity }) =>
        `${historyWords(kind)}${polarity === 'denied' ? ': no' : polarity === 'past' ? ': in the past' : ''}`,
    ),
    reading.stop ? 'wishes no more messages' : '',
    reading.start ? 'wishes messages again' : '',
    reading.reschedule ? 'wishes another time' : '',
    reading.callMe ? 'wishes to be called' : '',
    reading.wrongNumber ? 'says that the number is wrong' : '',
    language === 'en' ? '' : `perhaps another language (${language})`,
  ].filter(Boolean)
}

/** The bands are numbers, not rules: what the judge names when the score reaches one. */
function bandRule(id: string, bands: UrgencyRules['bands']): RuleLine | undefined {
  const urgency = id === 'score-today' ? 'today' : id === 'score-soon' ? 'soon' : null
  if (!urgency) return undefined
  const text = `The score reaches ${bands[urgency]}`
  return { id, text, source: sourceWords({ kind: 'clinic' }), urgency }
}

/** The score, every point with its rule, and every rule that had a say. */
export function scoreTable(reply: ReadReply, urgencyRules: UrgencyRules): Html {
  const judged = reply.stored?.judgement
  if (!judged) return html``
  const rules = ruleLines(urgencyRules)
  const pointRules = new Set(judged.points.map(({ rule }) => rule))
  const others = judged.why.filter((id) => !pointRules.has(id))
  const { bands } = urgencyRules
  const row = (id: string, points: string) => {
    const rule = rules.get(id) ?? bandRule(id, bands)
    return html`<tr><td data-label="Rule">${rule?.text ?? id} <code class="small">${id}</code></td>
<td data-label="Points or least urgency">${points || (rule?.urgency ? `at least: ${urgencyWords(rule.urgency)}` : '')}</td>
<td data-label="Source">${rule?.source ?? ''}</td></tr>`
  }
  return html`<div class="scroll"><table class="stack"><caption>Score ${judged.score}: every point and every rule that had a say</caption>
<thead><tr><th scope="col">Rule</th><th scope="col">Points or least urgency</th><th scope="col">Source</th></tr></thead><tbody>
${judged.points.map(({ rule, points }) => row(rule, `${points} ${points === 1 ? 'point' : 'points'}`))}
${others.map((id) => row(id, ''))}
</tbody></table></div>
<p class="small">A score of ${urgencyRules.bands.soon} makes a reply soon, ${urgencyRules.bands.today} today; a rule with a least urgency counts whatever the score.</p>`
}
