/** The rules' document as a person reads it: headings, values and sources in plain words. */
import { html } from 'hono/html'
import { looseValues } from '../../protocol/changes.ts'
import type { ProtocolDocument, RuleRow } from '../../protocol/document.ts'
import { rulesOf } from '../../protocol/document.ts'
import { sourceWords } from '../../protocol/rule.ts'
import type { Html } from '../shared/layout.ts'
import { capital } from './words.ts'

/** `softening.plan`: the parts that are shown, and edited, one at a time. */
export const SECTIONS = {
  'softening.screening': 'History before drops',
  'softening.agents': 'Drops',
  'softening.plan': 'The plan of drops',
  'softening.reminders': 'Reminders and questions',
  'softening.adherence': 'How many doses were really done',
  'softening.readiness': 'Readiness',
  'softening.recall': 'Recall',
  'softening.nextPlan': 'The next plan after a procedure',
  'urgency.points': 'Points for what a reply says',
  'urgency.riskPoints': 'Points for known risks',
  'urgency.floors': 'Red flags: the least urgency',
  'urgency.trends': 'Trends over several replies',
  'urgency.history': 'History told in a reply',
  'urgency.doubts': 'When a person must read it',
  'urgency.numbers': 'Numbers of the urgency rules',
  'aftercare.difficulty': 'How hard a removal was',
  'aftercare.schedule': 'When checks are asked',
  'aftercare.silence': 'Checks without an answer',
  'aftercare.drops': 'Drops after a procedure',
  'aftercare.visits': 'When a further visit is needed',
  'aftercare.notes': 'Notes for the next clinician',
  'aftercare.deadlines': 'Deadlines of concerns',
  'aftercare.escalation': 'Whom to tell',
  other: 'Other rules',
} as const
export type SectionId = keyof typeof SECTIONS
export const SECTION_IDS = Object.keys(SECTIONS) as SectionId[]

const AFTERCARE_HOMES: Record<string, SectionId> = {
  'aftercare.hardTogether': 'aftercare.difficulty',
  'aftercare.checkGap': 'aftercare.schedule',
  'aftercare.answerWithin': 'aftercare.silence',
  'aftercare.silenceUrgency': 'aftercare.silence',
  'aftercare.warnFraction': 'aftercare.escalation',
}

/** Where a rule or a value stands, by its path; every path has a home. */
export function sectionOf(path: string): SectionId {
  const head = path.split('.').slice(0, 2).join('.')
  if (Object.hasOwn(SECTIONS, head)) return head as SectionId
  if (Object.hasOwn(AFTERCARE_HOMES, head)) return AFTERCARE_HOMES[head] as SectionId
  return path.startsWith('urgency.') ? 'urgency.numbers' : 'other'
}

export interface SectionPart {
  rules: RuleRow[]
  loose: { path: string; value: unknown }[]
}

export function partsOf(document: ProtocolDocument): Map<SectionId, SectionPart> {
  const parts = new Map<SectionId, SectionPart>(SECTION_IDS.map((id) => [id, { rules: [], loose: [] }]))
  for (const rule of rulesOf(document)) parts.get(sectionOf(rule.path))?.rules.push(rule)
  for (const loose of looseValues(document)) parts.get(sectionOf(loose.path))?.loose.push(loose)
  return parts
}

/** `usualSorenessDays` as "usual soreness days". */
export const keyWords = (key: string): string =>
  key
    .replace(/([a-z])([A-Z])/gu, '$1 $2')
    .replaceAll('-', ' ')
    .toLowerCase()

/** A value in words: lists with commas, "yes" and "no", nothing for what says nothing. */
export function valueWords(value: unknown): string {
  if (value === null || value === undefined) return 'none'
  if (typeof value === 'boolean') return value ? 'yes' : 'no'
  if (Array.isArray(value)) return value.map(valueWords).join(', ')
  if (typeof value === 'object')
    return Object.entries(value)
      .filter(([, inner]) => !isEmpty(inner))
      .map(([key, inner]) => `${keyWords(key)}: ${valueWords(inner)}`)
      .join('; ')
  return String(value)
}

const isEmpty = (value: unknown): boolean =>
  value === null || value === false || (Array.isArray(value) && value.length === 0)

/** A line a value. */
const numbersOf = (rule: RuleRow): Html =>
  html`${Object.entries(rule.values)
    .filter(([, value]) => !isEmpty(value))
    .map(([key, value]) => html`<div>${capital(keyWords(key))}: ${valueWords(value)}</div>`)}`

export function sectionTable({ rules, loose }: SectionPart): Html {
  return html`${
    rules.length > 0
      ? html`<div class="scroll"><table class="stack"><thead><tr><th scope="col">Rule</th><th scope="col">Numbers and conditions</th><th scope="col">Source</th></tr></thead><tbody>
${rules.map(
  (
    rule,
  ) => html`<tr id="rule-${rule.path}"><td data-label="Rule">${rule.text} <code class="small">${rule.id}</code></td>
<td data-label="Numbers and conditions">${numbersOf(rule)}</td><td data-label="Source">${sourceWords(rule.source)}</td></tr>`,
)}</tbody></table></div>`
      : ''
  }${
    loose.length > 0
      ? html`<details ${rules.length === 0 ? html`open` : ''}><summary>${rules.length === 0 ? 'Values' : 'Words and values without a rule of their own'}</summary><dl>${loose.map(
          ({ path, value }) =>
            html`<dt>${path.split('.').slice(1).map(keyWords).join(', ')}</dt><dd>${valueWords(value)}</dd>`,
        )}</dl></details>`
      : ''
  }`
}
