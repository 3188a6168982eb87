/** The page for what did not work: one clear sentence, an id to quote, no detail. */
import type { Context } from 'hono'
import { html } from 'hono/html'
import { type PageOptions, page } from './layout.ts'

export function troublePage(c: Context, status: number, sentence: string): Response | Promise<Response> {
  const quote = c.get('requestId')
  if (wantsJson(c)) return c.json({ error: sentence, quote }, status as 400)
  const forPatient = c.req.path.startsWith('/p/')
  return page(c, {
    title: status >= 500 ? 'That did not work' : 'This cannot be shown',
    face: forPatient ? 'patient' : 'staff',
    status: status as NonNullable<PageOptions['status']>,
    body: html`<p>${sentence}</p>
${
  forPatient
    ? html`<p>If it cannot wait, do not wait for this page: ring or text the clinic, or call the emergency number.</p>`
    : html`<p><a href="/staff">Go to your first page</a></p>`
}
<p class="small">If you ask us about this, quote <b>${quote}</b>.</p>`,
  })
}

const wantsJson = (c: Context) =>
  c.req.header('accept')?.includes('application/json') === true ||
  c.req.header('content-type')?.startsWith('application/json') === true
