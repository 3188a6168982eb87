/** Forms: the fields as every face shows them, and reading them back. */
import type { Context } from 'hono'
import { html } from 'hono/html'
import type { z } from 'zod'
import { refuse } from '../../access/route.ts'
import type { Html } from './layout.ts'

/** Goes into every form of a signed-in page. */
export const csrfField = (c: Context): Html =>
  html`<input type="hidden" name="csrf" value="${c.get('csrf')}">`

export type FormErrors = Record<string, string>

export type FormResult<T> =
  | { ok: true; data: T }
  | { ok: false; errors: FormErrors; values: Record<string, string> }

/**
 * The form of this request, checked. Empty fields come as ''; a repeated field `name[]` as a list; a file as
 * File. Errors are one sentence a field. A body that is no form at all is refused.
 */
export async function readForm<S extends z.ZodType>(c: Context, schema: S): Promise<FormResult<z.output<S>>> {
  const body = await c.req.parseBody({ all: false }).catch(() => refuse(400, 'This form cannot be read.'))
  const { csrf: _token, ...fields } = body
  const result = schema.safeParse(fields)
  if (result.success) return { ok: true, data: result.data }
  const errors: FormErrors = {}
  for (const issue of result.error.issues) errors[String(issue.path[0] ?? '')] ??= issue.message
  const values = Object.fromEntries(
    Object.entries(fields).filter((entry): entry is [string, string] => typeof entry[1] === 'string'),
  )
  return { ok: false, errors, values }
}

export interface FieldOptions {
  name: string
  label: string
  hint?: string
  type?: 'text' | 'email' | 'password' | 'tel' | 'date' | 'time' | 'datetime-local' | 'number' | 'search'
  value?: string | undefined
  error?: string | undefined
  required?: boolean
  autocomplete?: string
  inputmode?: 'numeric' | 'text' | 'tel'
  maxlength?: number
}

export function field(options: FieldOptions): Html {
  const { name, label, hint, type = 'text', value = '', error, required = true } = options
  const { autocomplete, inputmode, maxlength = 500 } = options
  const about = [hint && `${name}-hint`, error && `${name}-error`].filter(Boolean).join(' ')
  return html`<div class="field ${error ? 'wrong' : ''}">
<label for="${name}">${label}</label>
${hint ? html`<p class="hint" id="${name}-hint">${hint}</p>` : ''}
${error ? html`<p class="error" id="${name}-error">${error}</p>` : ''}
<input id="${name}" name="${name}" type="${type}" value="${type === 'password' ? '' : value}" maxlength="${maxlength}"
${required ? html`required` : ''} ${autocomplete ? html`autocomplete="${autocomplete}"` : ''}
${inputmode ? html`inputmode="${inputmode}"` : ''} ${about ? html`aria-describedby="${about}"` : ''} ${error ? html`aria-invalid="true"` : ''}>
</div>`
}

export interface TextAreaOptions {
  name: string
  label: string
  hint?: string
  value?: string | undefined
  error?: string | undefined
  required?: boolean
  rows?: number
  maxlength?: number
}

export function textArea(options: TextAreaOptions): Html {
  const { name, label, hint, value = '', error, required = true, rows = 4, maxlength = 2000 } = options
  const about = [hint && `${name}-hint`, error && `${name}-error`].filter(Boolean).join(' ')
  return html`<div class="field ${error ? 'wrong' : ''}">
<label for="${name}">${label}</label>
${hint ? html`<p class="hint" id="${name}-hint">${hint}</p>` : ''}
${error ? html`<p class="error" id="${name}-error">${error}</p>` : ''}
<textarea id="${name}" name="${name}" rows="${rows}" maxlength="${maxlength}" ${required ? html`required` : ''}
${about ? html`aria-describedby="${about}"` : ''} ${error ? html`aria-invalid="true"` : ''}>${value}</textarea>
</div>`
}

export interface Choice {
  value: string
  label: string
  hint?: string
}

export interface ChoicesOptions {
  name: string
  legend: string
  choices: Choice[]
  /** One (round) or several (square). */
  several?: boolean
  chosen?: string[]
  error?: string | undefined
  required?: boolean
}

/** Large radio buttons or tick boxes, the whole line being the target. */
export function choices(options: ChoicesOptions): Html {
  const { name, legend, several = false, chosen = [], error, required = false } = options
  return html`<fieldset class="field ${error ? 'wrong' : ''}"><legend>${legend}</legend>
${error ? html`<p class="error" id="${name}-error">${error}</p>` : ''}
${options.choices.map(
  ({ value, label, hint }) => html`<label class="choice">
<input type="${several ? 'checkbox' : 'radio'}" name="${name}" value="${value}" ${chosen.includes(value) ? html`checked` : ''} ${required && !several ? html`required` : ''}>
<span>${label}${hint ? html` <span class="hint">${hint}</span>` : ''}</span></label>`,
)}
</fieldset>`
}

/** Says at the top what to mend, with a way to each field. */
export function errorSummary(errors: FormErrors): Html {
  const list = Object.entries(errors)
  if (list.length === 0) return html``
  return html`<div class="summary" role="alert"><p><strong>Please mend this:</strong></p><ul>
${list.map(([name, words]) => html`<li>${name ? html`<a href="#${name}">${words}</a>` : words}</li>`)}
</ul></div>`
}
