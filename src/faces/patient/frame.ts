/** What every page of a patient's link has: the clinic's name, one thing, the ways out, the caution at the foot. */
import type { Context } from 'hono'
import { html } from 'hono/html'
import { pages } from '../../../templates/pages-en.ts'
import type { Env } from '../../access/env.ts'
import type { Clinic } from '../../clinic.ts'
import { pageText } from '../../messages/render.ts'
import { clinicValues } from '../../messages/send.ts'
import { type Html, type PageOptions, page } from '../shared/layout.ts'

export interface Sheet {
  /** Names nothing personal: tabs and histories keep it. */
  title: string
  body: Html
  status?: NonNullable<PageOptions['status']>
  /** This sheet is itself one of the ways out. */
  isWay?: boolean
}

export interface Frame {
  /** Null where the address names no clinic of ours. */
  clinic: Clinic | null
  /** What stands after /p/; null where it opens nothing. */
  text: string | null
}

export function show(c: Context<Env>, { clinic, text }: Frame, sheet: Sheet): Response | Promise<Response> {
  return page(c, {
    face: 'patient',
    title: sheet.title,
    heading: clinic?.name ?? '',
    ...(sheet.status && { status: sheet.status }),
    body: html`${sheet.body}
${text === null ? '' : ways(text, sheet.isWay === true)}
${clinic ? caution(clinic) : ''}`,
  })
}

const ways = (
  text: string,
  fromWay: boolean,
): Html => html`<nav class="ways" aria-label="${pages.shared.others}">
<h2>${pages.shared.others}</h2>
<ul>
${fromWay ? html`<li><a href="/p/${text}">${pages.shared.first}</a></li>` : ''}
<li><a href="/p/${text}/words">${pages.shared.writeWords}</a></li>
<li><a href="/p/${text}/stop">${pages.shared.stopTexts}</a></li>
</ul></nav>`

function caution(clinic: Clinic): Html {
  const values = { ...clinicValues(clinic), textRelay: clinic.settings.textRelay }
  const { notEmergency, urgent, contact, relay } = pages.shared
  return html`<section class="caution">
${[notEmergency, urgent, contact, relay].map((words) => html`<p>${pageText(words, values)}</p>`)}
</section>`
}

/** A number to tap, where it is one. */
export function callButton(number: string, words: string, { strong = false } = {}): Html {
  const dial = number.replace(/[^\d+]/g, '')
  return dial.length < 2 || /[A-Za-z]/.test(number)
    ? html`<p><strong>${words}</strong></p>`
    : html`<p><a class="button ${strong ? 'strong' : 'plain'}" href="tel:${dial}">${words}</a></p>`
}

/** Each sentence on a line of its own, so that a tired eye finds the next one. */
export const sentences = (text: string): Html =>
  html`${text.split(/(?<=[.?!]) (?=[A-Z])/).map((one) => html`<p>${one}</p>`)}`

/** A link that opens nothing: the same page whatever the reason, with the clinic's public numbers only. */
export function gone(c: Context<Env>, clinic: Clinic | null): Response | Promise<Response> {
  const { heading, gone: words, call } = pages.link
  return show(
    c,
    { clinic, text: null },
    {
      title: heading,
      status: 410,
      body: html`<p>${words}</p>${clinic ? html`<p>${pageText(call, clinicValues(clinic))}</p>` : ''}`,
    },
  )
}
