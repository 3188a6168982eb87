/** What a reader is told of what they sent: that it is kept, and what to do now. Nothing that reassures. */
import { html } from 'hono/html'
import { pages } from '../../../templates/pages-en.ts'
import type { Flow } from '../../flow/context.ts'
import { nextLook, type Outcome, safetyWords } from '../../flow/outcome.ts'
import { pageText } from '../../messages/render.ts'
import { clinicValues } from '../../messages/send.ts'
import type { Html } from '../shared/layout.ts'
import { callButton, sentences } from './frame.ts'

/** What cannot wait is not headed with thanks. */
export const keptTitle = ({ read, urgency, distress }: Outcome): string =>
  read && (distress || urgency === 'now' || urgency === 'today')
    ? pages.kept.headingUrgent
    : pages.kept.heading

/** `done`: what is said where nothing that was sent asks for more. */
export function whatNow(flow: Flow, outcome: Outcome, done: Html): Html {
  if (!outcome.read) return unread(flow)
  const words = safetyWords(flow, outcome)
  if (words === null) return done
  // Where every minute counts, the number to tap comes before the words.
  const first = outcome.urgency === 'now' || outcome.distress
  const buttons = calls(flow, outcome)
  return html`<div class="keel strong">${first ? buttons : ''}${sentences(words)}${first ? '' : buttons}</div>`
}

function unread(flow: Flow): Html {
  const { words, unread } = pages.kept
  return html`<div class="keel strong"><p>${words}</p><p>${unread}</p>${lookLine(flow)}</div>`
}

/** When a person is there, said plainly. */
export function lookLine(flow: Flow): Html {
  const look = nextLook(flow)
  const { open, closed } = pages.kept
  return html`<p>${look.open ? open : pageText(closed, { nextLook: look.words })}</p>`
}

function calls(flow: Flow, { urgency, distress }: Outcome): Html {
  const values = clinicValues(flow.clinic)
  const { emergencyNumber, urgentAdvice, crisisNumber } = flow.clinic.settings
  const now = urgency === 'now' || distress
  const emergency = callButton(emergencyNumber, pageText(pages.kept.callNow, values), { strong: now })
  if (distress) return html`${emergency}${callButton(crisisNumber, pageText(pages.kept.callCrisis, values))}`
  if (now) return emergency
  return html`${callButton(urgentAdvice, pageText(pages.kept.callUrgent, values))}${emergency}`
}

/** What is said of free words that ask for nothing more. */
export const keptWords = (): Html =>
  html`<p>${pages.kept.words}</p><p>${pages.kept.worse}</p><p>${pages.kept.close}</p>`
