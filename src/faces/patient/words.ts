/** The ways out of every page: free words to the clinic, and an end to its texts. */
import { html } from 'hono/html'
import { pages } from '../../../templates/pages-en.ts'
import { nextLook } from '../../flow/outcome.ts'
import { pageText } from '../../messages/render.ts'
import { keptTitle, keptWords, whatNow } from './after.ts'
import { form, mend, wordsField } from './form.ts'
import type { Sheet } from './frame.ts'
import type { Action, Page } from './page.ts'
import type { Reader } from './reader.ts'

/** A question that was taken back, or that this link never had. */
export const overSheet = (): Sheet => ({
  title: pages.over.heading,
  body: html`<p>${pages.over.gone}</p>`,
})

export const wordsPage: Page = (reader) => wordsSheet(reader)

export function wordsSheet({ flow, text }: Reader, error = '', value = ''): Sheet {
  const { heading, label, help, open, closed, send } = pages.words
  const look = nextLook(flow)
  return {
    title: heading,
    isWay: true,
    ...(error && { status: 422 as const }),
    body: html`${error ? mend(error) : ''}
${form(
  text,
  'words',
  html`${wordsField({ label, hint: help, rows: 6, value })}
<p>${look.open ? open : pageText(closed, { nextLook: look.words })}</p>
<button>${send}</button>`,
)}`,
  }
}

export const wordsAction: Action = {
  read(reader, fields) {
    const body = fields.one('words').trim()
    if (!body) return wordsSheet(reader, pages.words.required)
    return { body, aboutQuestion: reader.question !== null && !reader.over }
  },
  after: ({ flow }, outcome) => ({
    title: keptTitle(outcome),
    isWay: true,
    body: whatNow(flow, outcome, keptWords()),
  }),
}

export const stopPage: Page = (reader) => stopSheet(reader)

function stopSheet({ text }: Reader): Sheet {
  const { heading, about, stop, start } = pages.messages
  return {
    title: heading,
    isWay: true,
    body: html`<p>${about}</p>
${form(
  text,
  'stop',
  html`<button name="want" value="stop">${stop}</button>
<button class="plain" name="want" value="start">${start}</button>`,
)}`,
  }
}

/** The very words that a text would hold. */
const WISHES = { stop: 'STOP', start: 'START' } as const

export const stopAction: Action = {
  read(reader, fields) {
    const want = fields.one('want')
    if (want !== 'stop' && want !== 'start') return stopSheet(reader)
    return { body: WISHES[want], aboutQuestion: reader.question !== null && !reader.over }
  },
  after({ flow, patient }, outcome, fields) {
    const { stopped, started, unsure } = pages.messages
    const wantsStop = fields.one('want') === 'stop'
    const done = outcome.read && (patient.stoppedAt !== null) === wantsStop
    return {
      title: pages.messages.heading,
      isWay: true,
      body: done
        ? html`<p>${wantsStop ? stopped : started}</p>`
        : whatNow(flow, outcome, html`<p>${pages.kept.words}</p><p>${unsure}</p>`),
    }
  },
}
