/** A section of the rules as a form, and the form back into a document. Pure. */
import { html } from 'hono/html'
import type { ProtocolDocument, RuleRow } from '../../protocol/document.ts'
import type { Source } from '../../protocol/rule.ts'
import type { Html } from '../shared/layout.ts'
import { keyWords, type SectionPart } from './protocol-words.ts'

const SOURCE_KINDS: Record<Source['kind'], string> = {
  published: 'Published: cited beside',
  'common-practice': 'Common practice, no source',
  clinic: "The clinic's setting",
}

/** `typed` holds what was sent and did not fit, by field name. */
export function sectionFields({ rules, loose }: SectionPart, typed: Record<string, string>): Html {
  return html`${rules.map((rule) => ruleFields(rule, typed))}
${
  loose.length > 0
    ? html`<fieldset class="field"><legend>Words and values without a rule of their own</legend>${loose.map(({ path, value }) => valueField(path, path.split('.').slice(1).map(keyWords).join(', '), value, typed))}</fieldset>`
    : ''
}`
}

function ruleFields(rule: RuleRow, typed: Record<string, string>): Html {
  const { path, text, source, values } = rule
  const kind = typed[`${path}.source.kind`] ?? source.kind
  return html`<fieldset class="field rule" id="${path}"><legend>${rule.id}</legend>
${valueField(`${path}.text`, 'The rule in a sentence', text, typed)}
${Object.entries(values).map(([key, value]) => valueField(`${path}.${key}`, keyWords(key), value, typed))}
<label>Where it comes from <select name="${path}.source.kind">${Object.entries(SOURCE_KINDS).map(
    ([value, words]) =>
      html`<option value="${value}" ${value === kind ? html`selected` : ''}>${words}</option>`,
  )}</select></label>
${valueField(`${path}.source.cite`, 'The source, where published', source.kind === 'published' ? source.cite : '', typed)}
</fieldset>`
}

/** Numbers, words and yes or no as themselves; anything else as JSON. */
function valueField(name: string, label: string, value: unknown, typed: Record<string, string>): Html {
  const sent = typed[name]
  if (typeof value === 'boolean') {
    const chosen = sent ?? String(value)
    return html`<label>${label} <select name="${name}"><option value="true" ${chosen === 'true' ? html`selected` : ''}>yes</option><option value="false" ${chosen === 'false' ? html`selected` : ''}>no</option></select></label>`
  }
  if (typeof value === 'number')
    return html`<label>${label} <input name="${name}" inputmode="decimal" value="${sent ?? String(value)}"></label>`
  if (typeof value === 'string' && value.length <= 60)
    return html`<label>${label} <input name="${name}" value="${sent ?? value}"></label>`
  const words = sent ?? (typeof value === 'string' ? value : JSON.stringify(value))
  return html`<label>${label} <textarea name="${name}" rows="2">${words}</textarea></label>`
}

export interface Problem {
  path: string
  message: string
}

/** The document with the fields of the form put in; what cannot be read as its kind is a problem. */
export function withFields(
  base: ProtocolDocument,
  part: SectionPart,
  fields: Record<string, string>,
): { document: unknown; problems: Problem[] } {
  const document = structuredClone(base) as unknown
  const problems: Problem[] = []
  const put = (path: string, before: unknown) => {
    const sent = fields[path]
    if (sent === undefined) return
    const read = readAs(before, sent)
    if ('problem' in read) problems.push({ path, message: read.problem })
    else setAt(document, path.split('.'), read.value)
  }
  for (const { path, value } of part.loose) put(path, value)
  for (const rule of part.rules) {
    put(`${rule.path}.text`, rule.text)
    for (const [key, value] of Object.entries(rule.values)) put(`${rule.path}.${key}`, value)
    const kind = fields[`${rule.path}.source.kind`]
    if (kind === undefined) continue
    const cite = (fields[`${rule.path}.source.cite`] ?? '').trim()
    if (kind === 'published' && cite.length < 3)
      problems.push({
        path: `${rule.path}.source.cite`,
        message: 'Name the source, or choose another origin.',
      })
    setAt(document, [...rule.path.split('.'), 'source'], kind === 'published' ? { kind, cite } : { kind })
  }
  return { document, problems }
}

type Read = { value: unknown } | { problem: string }

function readAs(before: unknown, sent: string): Read {
  if (typeof before === 'boolean') return { value: sent === 'true' }
  if (typeof before === 'number') {
    const number = Number(sent.trim())
    return sent.trim() !== '' && Number.isFinite(number)
      ? { value: number }
      : { problem: `"${sent}" is not a number.` }
  }
  if (typeof before === 'string') return { value: sent.replace(/\r\n/g, '\n').trim() }
  try {
    return { value: JSON.parse(sent) as unknown }
  } catch {
    return { problem: 'This is not JSON: look for a missing comma, quote or bracket.' }
  }
}

// The paths come from the document itself, never from the request.
function setAt(document: unknown, path: string[], value: unknown): void {
  let at = document as Record<string, unknown>
  for (const key of path.slice(0, -1)) at = at[key] as Record<string, unknown>
  at[path.at(-1) as string] = value
}
