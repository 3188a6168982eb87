/** The procedure's form: its fields an ear, read back so that nothing typed is lost. Pure but for the request. */
import { html } from 'hono/html'
import { type EarRecord, earRecordSchema, type ProcedureRecord } from '../../aftercare/record.ts'
import { EARS, type Ear } from '../../softening/types.ts'
import type { FormErrors } from '../shared/forms.ts'
import type { Html } from '../shared/layout.ts'
import { RECORD_WORDS } from './procedure-words.ts'
import { capital } from './words.ts'

const FIELDS = {
  softness: { legend: 'How soft on arrival', several: false, missing: 'Say how soft it was on arrival.' },
  found: { legend: 'What was there', several: true, missing: '' },
  methods: { legend: 'How it was removed', several: true, missing: '' },
  result: { legend: 'Result', several: false, missing: 'Say how it ended.' },
  canal: { legend: 'Canal afterwards', several: true, missing: '' },
  drum: {
    legend: 'Drum as seen',
    several: false,
    missing: 'Say how the drum looked, or that it was not seen.',
  },
  felt: { legend: 'What the patient felt', several: true, missing: '' },
} as const
type Field = keyof typeof FIELDS

/** What is in the form, ear by ear, as it was ticked and typed. */
export type EarValues = Record<Field, string[]> & { recorded: boolean; advice: string }
export type ProcedureValues = Record<Ear, EarValues>

const empty = (recorded: boolean): EarValues => ({
  recorded,
  advice: '',
  softness: [],
  found: [],
  methods: [],
  result: [],
  canal: [],
  drum: [],
  felt: [],
})

export const emptyValues = (ears: readonly Ear[]): ProcedureValues => ({
  left: empty(ears.includes('left')),
  right: empty(ears.includes('right')),
})

/** The values of a record that is to be mended. */
export function valuesOf(records: readonly EarRecord[]): ProcedureValues {
  const values = emptyValues([])
  for (const record of records) {
    const { softness, result, drum, found, methods, canal, felt, advice } = record
    values[record.ear] = {
      recorded: true,
      advice,
      softness: [softness],
      result: [result],
      drum: [drum],
      found: [...found],
      methods: [...methods],
      canal: [...canal],
      felt: [...felt],
    }
  }
  return values
}

export function readValues(body: Record<string, unknown>): ProcedureValues {
  const list = (name: string): string[] =>
    [body[name], body[`${name}[]`]].flat().filter((value): value is string => typeof value === 'string')
  const ear = (name: Ear): EarValues => ({
    recorded: list(`${name}-recorded`).length > 0,
    advice: list(`${name}-advice`)[0] ?? '',
    ...(Object.fromEntries(
      (Object.keys(FIELDS) as Field[]).map((field) => [field, list(`${name}-${field}`)]),
    ) as Record<Field, string[]>),
  })
  return { left: ear('left'), right: ear('right') }
}

export type Checked = { record: ProcedureRecord } | { errors: FormErrors }

/** The record, or one clear sentence a field (named `left-softness` and so on). */
export function checkValues(values: ProcedureValues): Checked {
  const errors: FormErrors = {}
  const ears: EarRecord[] = []
  for (const ear of EARS) {
    const { recorded, advice, ...lists } = values[ear]
    const anything = advice.trim() !== '' || Object.values(lists).some((list) => list.length > 0)
    if (!recorded) {
      if (anything)
        errors[`${ear}-recorded`] =
          `Something is filled in for the ${ear} ear: tick that it was treated, or empty it.`
      continue
    }
    const parsed = earRecordSchema.safeParse({
      ear,
      found: lists.found,
      softness: lists.softness[0],
      methods: lists.methods,
      result: lists.result[0],
      canal: lists.canal,
      drum: lists.drum[0],
      felt: lists.felt,
      advice,
    })
    if (parsed.success) ears.push(parsed.data)
    else
      for (const { path, message } of parsed.error.issues) {
        const field = String(path[0])
        const missing = Object.hasOwn(FIELDS, field) ? FIELDS[field as Field].missing : ''
        errors[`${ear}-${field}`] ??= `${capital(ear)} ear: ${missing || message}`
      }
  }
  if (Object.keys(errors).length > 0) return { errors }
  if (ears.length === 0) return { errors: { 'left-recorded': 'Record at least one ear.' } }
  return { record: { ears } }
}

export function earFields(ear: Ear, values: EarValues, errors: FormErrors): Html {
  return html`<section class="ear" aria-labelledby="${ear}-heading"><h2 id="${ear}-heading">${capital(ear)} ear</h2>
<div id="${ear}-recorded">${errorLine(`${ear}-recorded`, errors)}
<label class="choice"><input type="checkbox" name="${ear}-recorded" value="yes" ${values.recorded ? html`checked` : ''}><span>This ear was treated or looked at</span></label></div>
${(Object.keys(FIELDS) as Field[]).map((field) => picks(ear, field, values[field], errors))}
<div id="${ear}-advice" class="field"><label for="${ear}-advice-text">Advice given</label>
${errorLine(`${ear}-advice`, errors)}
<textarea id="${ear}-advice-text" name="${ear}-advice" rows="2" maxlength="2000">${values.advice}</textarea></div>
</section>`
}

const errorLine = (name: string, errors: FormErrors): Html =>
  errors[name] ? html`<p class="error">${errors[name]}</p>` : html``

/** One tap a choice; the whole plate is the target. */
function picks(ear: Ear, field: Field, chosen: string[], errors: FormErrors): Html {
  const { legend, several } = FIELDS[field]
  const name = `${ear}-${field}`
  const words: Record<string, string> = RECORD_WORDS[field]
  return html`<fieldset id="${name}" class="field picks ${errors[name] ? 'wrong' : ''}"><legend>${legend}${several ? html` <span class="hint">(as many as fit)</span>` : ''}</legend>
${errorLine(name, errors)}
<div class="plates">${Object.entries(words).map(
    ([value, label]) =>
      html`<label class="choice"><input type="${several ? 'checkbox' : 'radio'}" name="${several ? `${name}[]` : name}" value="${value}" ${chosen.includes(value) ? html`checked` : ''}><span>${label}</span></label>`,
  )}</div></fieldset>`
}
