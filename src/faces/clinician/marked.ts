/** The patient's words, whole and first, with what was read in them marked; and the score with its rules. */
import { html } from 'hono/html'
import type { ReadReply } from '../../flow/patient-record.ts'
import { rulesOf } from '../../protocol/document.ts'
import { type Source, sourceWords, type Urgency } from '../../protocol/rule.ts'
import type { UrgencyRules } from '../../protocol/sections/urgency.ts'
import type { Finding } from '../../replies/types.ts'
import type { Html } from '../shared/layout.ts'
import { capital, findingWords, withinWords } from './words.ts'

export interface Segment {
  text: string
  /** Numbers (from 1) of the findings that these words gave. */
  findings: number[]
}

/** Cuts the text at the edges of the findings; joined again it is the text, whatever the spans. */
export function segments(text: string, spans: readonly { start: number; end: number }[]): Segment[] {
  const inside = spans.map(({ start, end }) => ({
    start: Math.max(0, Math.min(start, text.length)),
    end: Math.max(0, Math.min(end, text.length)),
  }))
  const cuts = [...new Set([0, text.length, ...inside.flatMap(({ start, end }) => [start, end])])].sort(
    (a, b) => a - b,
  )
  return cuts.slice(0, -1).map((from, i) => ({
    text: text.slice(from, cuts[i + 1]),
    findings: inside.flatMap(({ start, end }, n) =>
      start <= from && end >= (cuts[i + 1] as number) && end > start ? [n + 1] : [],
    ),
  }))
}

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
      : segments(
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
            ? html`<mark class="${part.findings.some((n) => isThere(findings[n - 1])) ? '' : 'not-there'}">${part.text}<sup><span class="out-of-sight">see </span>${part.findings.join(', ')}</sup></mark>`
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
  kinds: readonly string[]
}

/** Every rule of the urgency section by its id, with where it really comes from. */
export function ruleLines(rules: UrgencyRules): Map<string, RuleLine> {
  return new Map(
    rulesOf(rules).map(({ id, text, source, values }) => {
      const {
        urgency = null,
        when,
        kinds,
      } = values as {
        urgency?: Urgency
        when?: { kinds?: string[] }
        kinds?: string[]
      }
      return [
        id,
        { id, text, source: sourceWords(source as Source), urgency, kinds: when?.kinds ?? kinds ?? [] },
      ]
    }),
  )
}

const RANK: readonly Urgency[] = ['none', 'unclear', 'soon', 'today', 'now']

/** The strongest rule that held for this finding: it tells why the finding matters. */
function ruleFor(index: number, finding: Finding, reply: ReadReply, rules: Map<string, RuleLine>) {
  const judged = reply.stored?.judgement
  if (!judged) return null
  const own = new Set(judged.points.filter((point) => point.finding === index).map(({ rule }) => rule))
  const held = judged.why
    .map((id) => rules.get(id))
    .filter((rule) => rule !== undefined)
    .filter((rule) => own.has(rule.id) || rule.kinds.includes(finding.kind))
  const rank = (rule: RuleLine) => RANK.indexOf(rule.urgency ?? 'none')
  return held.toSorted((a, b) => rank(b) - rank(a))[0] ?? null
}

/** One plain line a finding: what was read, what the rule asks for, and the rule's source. */
export function findingLines(reply: ReadReply, urgencyRules: UrgencyRules): Html {
  const findings = reply.stored?.reading.findings ?? []
  const rules = ruleLines(urgencyRules)
  const doubts = reply.stored?.reading.doubts ?? []
  if (!reply.stored)
    return html`<p>The service could not read this reply. Only the words count: read them yourself.</p>`
  if (findings.length + doubts.length === 0)
    return html`<p>The service found no symptom in these words. It can miss one: the words count.</p>`
  return html`<ol class="findings">
${findings.map((finding, index) => {
  const active = finding.polarity === 'affirmed' || finding.polarity === 'past'
  const rule = active ? ruleFor(index, finding, reply, rules) : null
  const does = rule?.urgency ? `: ${withinWords[rule.urgency]}` : ''
  return html`<li><q>${finding.words}</q> ${capital(findingWords(finding))}${does}${
    rule ? html`. <span class="small">${rule.text} (${rule.source})</span>` : '.'
  }</li>`
})}
</ol>
${
  doubts.length > 0
    ? html`<p>Not understood, so a person must read it:</p><ul>${doubts.map((doubt) => {
        const rule = rules.get(doubt.rule)
        return html`<li>${doubt.words ? html`<q>${doubt.words}</q> ` : ''}${rule?.text ?? doubt.rule}</li>`
      })}</ul>`
    : ''
}`
}

/** The bands are numbers, not rules: what the judge names when the score reaches one. */
function bandRule(id: string, bands: UrgencyRules['bands']): RuleLine | undefined {
  const urgency = id === 'score-today' ? 'today' : id === 'score-soon' ? 'soon' : null
  if (!urgency) return undefined
  const text = `The score reaches ${bands[urgency]}`
  return { id, text, source: sourceWords({ kind: 'clinic' }), urgency, kinds: [] }
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
<td data-label="Points or least urgency">${points || (rule?.urgency ? `at least: ${withinWords[rule.urgency]}` : '')}</td>
<td data-label="Source">${rule?.source ?? ''}</td></tr>`
  }
  return html`<div class="scroll"><table class="stack"><caption>Score ${judged.score}: every point and every rule that had a say</caption>
<thead><tr><th scope="col">Rule</th><th scope="col">Points or least urgency</th><th scope="col">Source</th></tr></thead><tbody>
${judged.points.map(({ rule, points }) => row(rule, `${points} ${points === 1 ? 'point' : 'points'}`))}
${others.map((id) => row(id, ''))}
</tbody></table></div>
<p class="small">A score of ${urgencyRules.bands.soon} makes a reply soon, ${urgencyRules.bands.today} today; a rule with a least urgency counts whatever the score.</p>`
}
