/** What the pages of the front desk share: their links, and how an act ends. */
import type { Context } from 'hono'
import { html } from 'hono/html'
import type { StaffEnv } from '../../access/env.ts'
import type { Flow } from '../../flow/context.ts'
import { Trouble } from '../../trouble.ts'
import { doneLine, inClinicOf, refusedLine } from '../clinician/parts.ts'
import type { Html } from '../shared/layout.ts'

const PAGES: [href: string, label: string][] = [
  ['/reception', 'Visits and list'],
  ['/reception/week', 'Best plan'],
  ['/reception/day', 'Day list'],
  ['/reception/slots', 'Open times'],
  ['/reception/import', 'Import visits'],
  ['/reception/find', 'Find a patient'],
]

export const deskLinks = (c: Context<StaffEnv>): Html =>
  html`<nav class="pages no-print" aria-label="Front desk"><ul>${PAGES.map(
    ([href, label]) =>
      html`<li><a href="${href}" ${c.req.path === href ? html`aria-current="page"` : ''}>${label}</a></li>`,
  )}</ul></nav>`

export interface Said {
  done?: string | undefined
  refused?: string | undefined
}

export const saidLines = ({ done, refused }: Said): Html => html`${doneLine(done)}${refusedLine(refused)}`

type Shown = Response | Promise<Response>

/**
 * Does something in one transaction and goes on to a page, or shows why it was not done.
 * `work` gives the path to go on to; `show` shows the page again.
 */
export async function act(
  c: Context<StaffEnv>,
  work: (flow: Flow) => Promise<string>,
  show: (said: Said) => Shown,
): Promise<Response> {
  let to: string
  try {
    to = await inClinicOf(c, work)
  } catch (error) {
    if (!(error instanceof Trouble)) throw error
    return await show({ refused: error.message })
  }
  return c.redirect(to, 303)
}
