/** A check after the visit: five short questions, read as one text. */
import { html } from 'hono/html'
import { checkQuestions, pages } from '../../../templates/pages-en.ts'
import { checkFormSchema, checkSentences } from '../../flow/forms.ts'
import { pageText } from '../../messages/render.ts'
import { keptTitle, whatNow } from './after.ts'
import { form, mend, type Option, optionsField, wordsField } from './form.ts'
import type { Sheet } from './frame.ts'
import type { Action, Page } from './page.ts'
import type { Reader } from './reader.ts'
import { overSheet } from './words.ts'

const { pain, discharge, hearing, dizziness, other } = checkQuestions

const optionsOf = (answers: Record<string, string>): Option[] =>
  Object.entries(answers).map(([value, label]) => ({ value, label }))

const PAIN: Option[] = Array.from({ length: 11 }, (_, i) => ({ value: String(i), label: String(i) }))

export const checkPage: Page = (reader) => (reader.over ? overSheet() : checkSheet(reader))

function checkSheet({ text }: Reader, error = ''): Sheet {
  const numbered = (number: number): { above: string } => ({
    above: pageText(pages.check.progress, { number, count: 5 }),
  })
  return {
    title: pages.check.heading,
    ...(error && { status: 422 as const }),
    body: html`${error ? mend(error) : ''}<p>${pages.check.intro}</p>
${form(
  text,
  'check',
  html`${optionsField({ name: 'pain', legend: pain.ask, hint: pain.help, options: PAIN, shape: 'numbers', ...numbered(1) })}
${optionsField({ name: 'discharge', legend: discharge.ask, hint: discharge.help, options: optionsOf(discharge.answers), several: true, ...numbered(2) })}
${optionsField({ name: 'hearing', legend: hearing.ask, hint: hearing.help, options: optionsOf(hearing.answers), ...numbered(3) })}
${optionsField({ name: 'dizziness', legend: dizziness.ask, options: optionsOf(dizziness.answers), ...numbered(4) })}
<p class="above">${numbered(5).above}</p>
${wordsField({ label: other.ask, hint: other.help })}
<button>${pages.shared.send}</button>`,
)}`,
  }
}

export const checkAction: Action = {
  read(reader, fields) {
    if (reader.question?.kind !== 'check') return overSheet()
    const given = (name: string) => (fields.one(name) ? { [name]: fields.one(name) } : {})
    const checked = checkFormSchema.safeParse({
      ...given('pain'),
      ...given('hearing'),
      ...given('dizziness'),
      discharge: fields.all('discharge').filter(Boolean),
      words: fields.one('words'),
    })
    // An answer that the form does not offer must not take the others with it.
    const body = checked.success ? checkSentences(checked.data) : fields.one('words').trim()
    return body ? { body, aboutQuestion: true } : checkSheet(reader, pages.shared.required)
  },
  after: ({ flow }, outcome) => ({
    title: keptTitle(outcome),
    body: whatNow(flow, outcome, html`<p>${pages.check.stored}</p>`),
  }),
}
