/** The forms of a patient's link: read back without trust, shown large. */
import type { Context } from 'hono'
import { html } from 'hono/html'
import { pages } from '../../../templates/pages-en.ts'
import type { Env } from '../../access/env.ts'
import { refuse } from '../../access/route.ts'
import { MOST_WORDS } from '../../flow/forms.ts'
import type { Html } from '../shared/layout.ts'
import { newFormId } from './reader.ts'

export interface Form {
  one(name: string): string
  all(name: string): string[]
  names: string[]
}

export async function readFields(c: Context<Env>): Promise<Form> {
  const body = await c.req.parseBody({ all: true }).catch(() => refuse(400, 'This form cannot be read.'))
  const all = (name: string): string[] =>
    (Object.hasOwn(body, name) ? [body[name]].flat() : [])
      .filter((value) => typeof value === 'string')
      .map((value) => value.replace(/\r\n?/g, '\n'))
  return { all, one: (name) => all(name).at(-1) ?? '', names: Object.keys(body) }
}

/** A form of the page at `text`; `act` says what is done with it. */
export const form = (
  text: string,
  act: string,
  body: Html,
): Html => html`<form method="post" action="/p/${text}">
<input type="hidden" name="do" value="${act}">
<input type="hidden" name="form" value="${newFormId()}">
${body}
</form>`

export interface WordsOptions {
  label?: string
  hint?: string
  value?: string
  rows?: number
}

export function wordsField({ label, hint, value = '', rows = 4 }: WordsOptions = {}): Html {
  return html`<div class="field">
<label for="words">${label ?? pages.shared.ownWords}</label>
<p class="hint" id="words-hint">${hint ?? pages.shared.mayBeEmpty}</p>
<textarea id="words" name="words" rows="${rows}" maxlength="${MOST_WORDS}" aria-describedby="words-hint">${value}</textarea>
</div>`
}

export interface Option {
  value: string
  label: string
}

export interface OptionsField {
  name: string
  legend: string
  hint?: string
  options: Option[]
  chosen?: string[]
  several?: boolean
  /** `row`: short answers side by side where there is room; `numbers`: a grid of digits. */
  shape?: 'list' | 'row' | 'numbers'
  /** Stands above the legend, such as which question of how many it is. */
  above?: string
}

/** Radio buttons or tick boxes of which the whole tile is the target. */
export function optionsField(field: OptionsField): Html {
  const { name, legend, hint, options, chosen = [], several = false, shape = 'list', above } = field
  const id = name.replace(/\W/g, '-')
  return html`<fieldset class="field options ${shape}" ${hint ? html`aria-describedby="${id}-hint"` : ''}>
<legend>${above ? html`<span class="above">${above}</span>` : ''}${legend}</legend>
${hint ? html`<p class="hint" id="${id}-hint">${hint}</p>` : ''}
<div class="tiles">
${options.map(
  ({ value, label }) =>
    html`<label class="choice"><input type="${several ? 'checkbox' : 'radio'}" name="${name}" value="${value}" ${chosen.includes(value) ? html`checked` : ''}><span>${label}</span></label>`,
)}
</div>
</fieldset>`
}

/** Says what to mend, where something was sent that cannot be taken. */
export const mend = (words: string): Html => html`<div class="summary" role="alert"><p>${words}</p></div>`
