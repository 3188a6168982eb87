/**
 * The look of every page, called Lampblack: soot-dark ink on warm paper, one plum accent, square corners and
 * a thick keel line down the left of whatever wants attention. Urgency is told by a word, by a stair of bars
 * that climbs with it and by its place on the page; colour only repeats it. No pictures, no cards, no badges.
 * Works without scripts; at 320 px everything stands in one column.
 */
import type { Context } from 'hono'
import { html } from 'hono/html'
import type { Banner, StaffMember } from '../../access/env.ts'
import { may } from '../../access/permissions.ts'
import { assetPath } from './assets.ts'
import { navigation } from './navigation.ts'

export type Html = ReturnType<typeof html>
export type Face = 'patient' | 'staff'

export interface PageOptions {
  /** Without the name of the service; never holds anything personal, since tabs and histories keep it. */
  title: string
  face: Face
  body: Html
  /** Parts of the page that renew themselves: see liveRegion. Adds the script. */
  live?: boolean
  /** Further scripts of our own, by the name of their asset. */
  scripts?: string[]
  /** Further style of one face, by the name of its asset. */
  styles?: string[]
  /** Language of the page; 'en' where it is left out. */
  lang?: string
  /** Who speaks, at the top of a patient's page: the clinic's name. */
  heading?: string
  status?: 200 | 400 | 401 | 403 | 404 | 409 | 410 | 413 | 422 | 429 | 500
}

const rightToLeft = new Set(['ar', 'fa', 'he', 'ur'])

/** A whole page; on staff pages with the navigation of the role and what must be said at the top. */
export function page(c: Context, options: PageOptions): Response | Promise<Response> {
  const {
    title,
    face,
    body,
    live = false,
    scripts = [],
    styles = face === 'patient' ? ['patient.css'] : [],
    lang = 'en',
    heading,
    status = 200,
  } = options
  const staff: StaffMember | undefined = face === 'staff' ? c.get('staff') : undefined
  const all = live ? [...scripts, 'live.js'] : scripts
  return c.html(
    html`<!doctype html>
<html lang="${lang}" dir="${rightToLeft.has(lang.split('-')[0] ?? '') ? 'rtl' : 'ltr'}">
<head>
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<meta name="robots" content="noindex">
<title>${title}${face === 'staff' ? ' - Foreaft' : ''}</title>
<link rel="icon" href="${assetPath('icon.svg')}" type="image/svg+xml">
<link rel="stylesheet" href="${assetPath('style.css')}">
${styles.map((name) => html`<link rel="stylesheet" href="${assetPath(name)}">`)}
${all.map((name) => html`<script src="${assetPath(name)}" defer></script>`)}
</head>
<body class="${face}">
<a class="skip" href="#main">${lang.startsWith('en') ? 'Go to the text' : '↓'}</a>
${staff ? staffTop(c, staff) : html`<header class="top"><p class="name">${heading ?? 'Foreaft'}</p></header>`}
${face === 'staff' ? banners(c.get('banners') ?? []) : ''}
<main id="main" tabindex="-1">
<h1>${title}</h1>
${body}
</main>
</body>
</html>`,
    status,
  )
}

function staffTop(c: Context, staff: StaffMember): Html {
  const here = c.req.path
  const links = navigation.filter(
    (entry) => may(staff.role, entry.permission) && (!entry.demo || c.get('clinic').demo),
  )
  const inside = (href: string) => here === href || here.startsWith(`${href}/`)
  const current = links.filter((entry) => inside(entry.href)).sort((a, b) => b.href.length - a.href.length)[0]
  return html`<header class="top">
<p class="name">Foreaft <span class="clinic">${c.get('clinic').name}</span></p>
<nav aria-label="Pages"><ul>
${links.map(
  (entry) =>
    html`<li><a href="${entry.href}" ${entry === current ? html`aria-current="page"` : ''}>${entry.label}</a></li>`,
)}
</ul></nav>
<form method="post" action="/staff/sign-out" class="leave">
<input type="hidden" name="csrf" value="${c.get('csrf')}">
<span>${staff.name}</span> <button class="quiet">Sign out</button>
</form>
</header>`
}

const banners = (list: Banner[]): Html =>
  html`${list.map(
    (
      banner,
    ) => html`<div class="banner ${banner.kind}" role="${banner.kind === 'stalled' ? 'alert' : 'note'}">
<p><strong>${banner.kind === 'stalled' ? 'Something stands still.' : 'Not signed.'}</strong> ${banner.words}</p></div>`,
  )}`

/**
 * A part of the page that is read again when one of `topics` (names of tables, see migrations) changes
 * in this clinic. What somebody is writing in it is never overwritten: they are offered the new state.
 */
export const liveRegion = (id: string, topics: string[], body: Html): Html =>
  html`<section id="${id}" data-live="${topics.join(' ')}">${body}</section>`
