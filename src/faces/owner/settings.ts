/** The clinic's settings as a form: how it is reached, when it is open, how texts go out. */
import type { Context } from 'hono'
import { html } from 'hono/html'
import { z } from 'zod'
import type { StaffEnv } from '../../access/env.ts'
import { type ClinicSettings, loadClinic, saveSettings, settingsSchema } from '../../clinic.ts'
import { WEEKDAYS } from '../../concerns/deadline.ts'
import { inClinic } from '../../database/service.ts'
import { doneLine } from '../clinician/parts.ts'
import { capital } from '../clinician/words.ts'
import { csrfField, errorSummary, type FormErrors, field, readForm, textArea } from '../shared/forms.ts'
import { type Html, page } from '../shared/layout.ts'
import { ownerLinks } from './parts.ts'

type Values = Record<string, string>

const TRANSPORTS: Record<string, string> = {
  handset: 'The demo handset: nothing leaves this machine',
  spool: 'Files in the spool folder, for a script of your own',
}

const TEXTS: [name: keyof ClinicSettings & string, label: string, hint: string][] = [
  ['phone', "The clinic's telephone number", 'As patients read it'],
  ['textRelay', 'Text relay', 'How somebody who cannot hear a telephone reaches the clinic'],
  ['emergencyNumber', 'Emergency number', "The country's own"],
  ['urgentAdvice', 'Urgent advice', 'Where to turn when the clinic is shut and it cannot wait'],
  ['crisisNumber', 'In despair', 'Somebody to talk to, as patients read it'],
]

const spansText = (spans: readonly { from: string; to: string }[]): string =>
  spans.map(({ from, to }) => `${from}-${to}`).join(', ')

function valuesOf(settings: ClinicSettings): Values {
  const { openingHours, quietHours, sessions } = settings
  return {
    ...Object.fromEntries(TEXTS.map(([name]) => [name, String(settings[name])])),
    ...Object.fromEntries(WEEKDAYS.map((day) => [day, spansText(openingHours.week[day])])),
    closed: openingHours.closed.join('\n'),
    quietFrom: quietHours.from,
    quietTo: quietHours.to,
    transport: settings.transport,
    region: settings.region,
    language: settings.language,
    idleMinutes: sessions ? String(sessions.idleMinutes) : '',
    absoluteHours: sessions ? String(sessions.absoluteHours) : '',
  }
}

const split = (text: string, by: RegExp): string[] =>
  text
    .split(by)
    .map((part) => part.trim())
    .filter(Boolean)

/** A time as it is often written: 8:30 means 08:30. */
const clock = (text: string): string => text.trim().replace(/^(\d):/, '0$1:')

function spansOf(text: string): { from: string; to: string }[] {
  return split(text, /[,;\n]/).map((part) => {
    const [from = '', to = ''] = part.split(/\s*(?:-|–|to)\s*/)
    return { from: clock(from), to: clock(to) }
  })
}

const number = (text: string): number | undefined => (text.trim() === '' ? undefined : Number(text))

/** The settings that the form means, the rest as they are. */
function settingsOf(values: Values, before: ClinicSettings): unknown {
  const text = (name: string): string => values[name]?.trim() ?? ''
  const [idleMinutes, absoluteHours] = [number(text('idleMinutes')), number(text('absoluteHours'))]
  const { sessions: _before, ...rest } = before
  return {
    ...rest,
    ...Object.fromEntries(TEXTS.map(([name]) => [name, text(name)])),
    openingHours: {
      ...before.openingHours,
      week: Object.fromEntries(WEEKDAYS.map((day) => [day, spansOf(text(day))])),
      closed: split(text('closed'), /[\s,;]+/),
    },
    quietHours: { from: clock(text('quietFrom')), to: clock(text('quietTo')) },
    transport: text('transport'),
    region: text('region').toUpperCase(),
    language: text('language'),
    ...(idleMinutes === undefined && absoluteHours === undefined
      ? {}
      : { sessions: { idleMinutes, absoluteHours } }),
  }
}

/** The field of the form that a path of the settings stands in. */
function fieldOf(path: readonly PropertyKey[]): string {
  const [first, second, third] = path.map(String)
  if (first === 'openingHours') return second === 'week' ? (third ?? 'monday') : 'closed'
  if (first === 'quietHours') return second === 'to' ? 'quietTo' : 'quietFrom'
  if (first === 'sessions') return second ?? 'idleMinutes'
  return first ?? ''
}

const OWN_WORDS: Record<string, string> = {
  transport: 'Choose how texts leave.',
  region: 'Write the two letters of the country, such as GB.',
  language: 'Write a language code, such as en.',
  closed: 'Write each day as 2026-12-25, one a line.',
  idleMinutes: 'Give 5 to 60 minutes and 1 to 24 hours, or leave both empty.',
  absoluteHours: 'Give 5 to 60 minutes and 1 to 24 hours, or leave both empty.',
}

function errorsOf(error: z.ZodError): FormErrors {
  const errors: FormErrors = {}
  for (const { path, message } of error.issues) {
    const name = fieldOf(path)
    const isText = TEXTS.some(([text]) => text === name)
    errors[name] ??= OWN_WORDS[name] ?? (isText ? 'Fill this in: patients are told it.' : message)
  }
  return errors
}

export function settingsPage(
  c: Context<StaffEnv>,
  { values = valuesOf(c.get('clinic').settings), errors = {} }: { values?: Values; errors?: FormErrors } = {},
) {
  const { clinic } = { clinic: c.get('clinic') }
  const wrong = Object.keys(errors).length > 0
  const line = (name: string, label: string, more: { hint?: string; type?: 'number' | 'text' } = {}): Html =>
    field({ name, label, value: values[name], error: errors[name], ...more })
  return page(c, {
    title: 'Settings',
    face: 'staff',
    status: wrong ? 422 : 200,
    body: html`${ownerLinks(c)}
${doneLine(c.req.query('done') === 'saved' && !wrong ? 'Saved. What is sent from now on follows these settings.' : undefined)}${errorSummary(errors)}
<p><strong>${clinic.name}</strong>, time zone ${clinic.zone}. The clinical numbers are not here: they are in the <a href="/protocol">rules</a>, which a clinician signs.</p>
<form method="post" action="/owner/settings">${csrfField(c)}
<h2>How patients reach the clinic</h2>${TEXTS.map(([name, label, hint]) => line(name, label, { hint }))}
<h2>When somebody is there</h2>
<p>Deadlines of concerns run in these hours. Write each day such as 08:30-12:30, 13:15-17:30; leave a day empty when the clinic is shut.</p>
${WEEKDAYS.map((day) => field({ name: day, label: capital(day), value: values[day], error: errors[day], required: false }))}
${textArea({ name: 'closed', label: 'Days on which the clinic is shut', hint: 'One a line, such as 2026-12-25', value: values.closed, error: errors.closed, required: false, rows: 3, maxlength: 5000 })}
<h2>When no text is sent</h2><p>Only what is urgent goes out between these times.</p>
${line('quietFrom', 'From', { hint: 'Such as 20:00' })}${line('quietTo', 'Until', { hint: 'Such as 08:00' })}
<h2>Texts</h2>
<div class="field ${errors.transport ? 'wrong' : ''}"><label for="transport">How texts leave and arrive</label>${errors.transport ? html`<p class="error">${errors.transport}</p>` : ''}
<select id="transport" name="transport">${settingsSchema.shape.transport.options.map((id) => html`<option value="${id}" ${values.transport === id ? html`selected` : ''}>${TRANSPORTS[id] ?? id}</option>`)}</select></div>
${line('region', 'Country of numbers without a country code', { hint: 'Two letters, such as GB' })}
${line('language', 'Language of messages', { hint: 'Where a patient has none of their own, such as en' })}
<h2>Signing out by itself</h2>
${field({ name: 'idleMinutes', label: 'After this many minutes without a page', type: 'number', required: false, value: values.idleMinutes, error: errors.idleMinutes, hint: '5 to 60; empty for the usual' })}
${field({ name: 'absoluteHours', label: 'After this many hours in any case', type: 'number', required: false, value: values.absoluteHours, error: errors.absoluteHours, hint: '1 to 24; empty for the usual' })}
<button>Save</button></form>`,
  })
}

export async function settingsAct(c: Context<StaffEnv>) {
  const form = await readForm(c, z.record(z.string(), z.string()))
  const values = form.ok ? form.data : form.values
  if (!form.ok) return await settingsPage(c, { values, errors: { '': 'This form cannot be read.' } })
  const errors = await inClinic(c.get('service'), c.get('clinicId'), async (scope): Promise<FormErrors> => {
    const before = (await loadClinic(scope)).settings
    const read = settingsSchema.safeParse(settingsOf(values, before))
    if (!read.success) return errorsOf(read.error)
    const changed = [...new Set([...Object.keys(before), ...Object.keys(read.data)])].filter(
      (key) =>
        JSON.stringify(before[key as keyof ClinicSettings]) !==
        JSON.stringify(read.data[key as keyof ClinicSettings]),
    )
    await saveSettings(scope, read.data)
    scope.audit({
      actor: `staff:${c.get('staff').staffId}`,
      action: 'change settings',
      detail: { fields: changed },
    })
    return {}
  })
  if (Object.keys(errors).length > 0) return await settingsPage(c, { values, errors })
  return c.redirect('/owner/settings?done=saved', 303)
}
