/** A section of the rules as a form, and the form back into a document. Pure. */
import { html } from 'hono/html'
import type { ProtocolDocument, RuleRow } from '../../protocol/document.ts'
import { type Source, URGENCIES } from '../../protocol/rule.ts'
import type { Html } from '../shared/layout.ts'
import { keyWords, type SectionPart, valueWords } from './protocol-words.ts'
import { capital } from './words.ts'

const SOURCE_KINDS: Record<Source['kind'], string> = {
  published: 'Published: cited below',
  'common-practice': 'Common practice, no source',
  clinic: "The clinic's setting",
}

/** `typed` holds what was sent and did not fit, by field name. */
export function sectionFields({ rules, loose }: SectionPart, typed: Record<string, string>): Html {
  return html`${rules.map((rule) => ruleFields(rule, typed))}
${
  loose.length > 0
    ? html`<fieldset class="field rule"><legend>Words and values without a rule of their own</legend>${loose.map(({ path, value }) => valueField(path, path.split('.').slice(1).map(keyWords).join(', '), value, typed))}</fieldset>`
    : ''
}`
}

function ruleFields(rule: RuleRow, typed: Record<string, string>): Html {
  const { path, text, source, values } = rule
  const kind = typed[`${path}.source.kind`] ?? source.kind
  return html`<fieldset class="field rule" id="${path}"><legend>${rule.id}</legend>
${valueField(`${path}.text`, 'The rule in a sentence', text, typed)}
${Object.entries(values).map(([key, value]) => valueField(`${path}.${key}`, capital(keyWords(key)), value, typed))}
<label>Where it comes from <select name="${path}.source.kind">${Object.entries(SOURCE_KINDS).map(([value, words]) => option(value, words, kind))}</select></label>
${valueField(`${path}.source.cite`, 'The source, where published', source.kind === 'published' ? source.cite : '', typed)}
</fieldset>`
}

const option = (value: string, words: string, chosen: string): Html =>
  html`<option value="${value}" ${value === chosen ? html`selected` : ''}>${words}</option>`

type Shape = 'yes-no' | 'urgency' | 'number' | 'text' | 'list' | 'group' | 'json'

/** How a value is written in the form; the form is read back by the same shape. */
function shapeOf(value: unknown, path: string): Shape {
  if (typeof value === 'boolean') return 'yes-no'
  if (typeof value === 'number') return 'number'
  if (typeof value === 'string')
    return path.endsWith('.urgency') && (URGENCIES as readonly string[]).includes(value) ? 'urgency' : 'text'
  if (Array.isArray(value) && value.every((one) => typeof one === 'string' && !/[,\n]/.test(one)))
    return 'list'
  const group = value !== null && typeof value === 'object' && !Array.isArray(value)
  return group ? 'group' : 'json'
}

function valueField(name: string, label: string, value: unknown, typed: Record<string, string>): Html {
  const sent = typed[name]
  switch (shapeOf(value, name)) {
    case 'yes-no': {
      const chosen = sent ?? String(value)
      return html`<label>${label} <select name="${name}">${option('true', 'yes', chosen)}${option('false', 'no', chosen)}</select></label>`
    }
    case 'urgency': {
      const chosen = sent ?? String(value)
      return html`<label>${label} <select name="${name}">${URGENCIES.map((one) => option(one, one, chosen))}</select></label>`
    }
    case 'number':
      return html`<label>${label} <input name="${name}" inputmode="decimal" value="${sent ?? String(value)}"></label>`
    case 'list':
      return html`<label>${label}, with commas between <input name="${name}" value="${sent ?? (value as string[]).join(', ')}"></label>`
    case 'group':
      return html`<details><summary>${label}: ${valueWords(value)}</summary>${Object.entries(value as object).map(([key, inner]) => valueField(`${name}.${key}`, capital(keyWords(key)), inner, typed))}</details>`
    case 'json':
      return html`<label>${label}, as JSON <textarea name="${name}" rows="2">${sent ?? JSON.stringify(value)}</textarea></label>`
    default:
      return String(value).length <= 60
        ? html`<label>${label} <input name="${name}" value="${sent ?? String(value)}"></label>`
        : html`<label>${label} <textarea name="${name}" rows="2">${sent ?? String(value)}</textarea></label>`
  }
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
  const put = (path: string, before: unknown): void => {
    if (shapeOf(before, path) === 'group') {
      for (const [key, inner] of Object.entries(before as object)) put(`${path}.${key}`, inner)
      return
    }
    const sent = fields[path]
    if (sent === undefined) return
    const read = readAs(shapeOf(before, path), sent)
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

function readAs(shape: Shape, sent: string): Read {
  const words = sent.replace(/\r\n/g, '\n').trim()
  switch (shape) {
    case 'yes-no':
      return { value: words === 'true' }
    case 'number':
      return words !== '' && Number.isFinite(Number(words))
        ? { value: Number(words) }
        : { problem: `"${sent}" is not a number.` }
    case 'list':
      return {
        value: words
          .split(',')
          .map((one) => one.trim())
          .filter(Boolean),
      }
    case 'json':
      try {
        return { value: JSON.parse(words) as unknown }
      } catch {
        return { problem: 'This is not JSON: look for a missing comma, quote or bracket.' }
      }
    default:
      return { value: words }
  }
}

// The paths come from the document itself, never from the request.
function setAt(document: unknown, path: string[], value: unknown): void {
  let at = document as Record<string, unknown>
  for (const key of path.slice(0, -1)) at = at[key] as Record<string, unknown>
  at[path.at(-1) as string] = value
}
