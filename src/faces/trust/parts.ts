/** Links between the pages of trust, and what several of them show. */
import type { Context } from 'hono'
import { html } from 'hono/html'
import type { StaffEnv } from '../../access/env.ts'
import { may, type Permission } from '../../access/permissions.ts'
import type { Html } from '../shared/layout.ts'

const PAGES: [href: string, label: string, permission: Permission][] = [
  ['/trust', 'Overview', 'operations:read'],
  ['/trust/audit', 'Who did what', 'audit:read'],
  ['/trust/hazards', 'Hazards', 'operations:read'],
  ['/trust/privacy', 'Privacy', 'operations:read'],
]

export const trustLinks = (c: Context<StaffEnv>): Html =>
  html`<nav class="no-print" aria-label="Records and safety"><p class="row">${PAGES.filter(
    ([, , permission]) => may(c.get('staff').role, permission),
  ).map(
    ([href, label]) =>
      html`<a class="button plain" href="${href}" ${c.req.path === href ? html`aria-current="page"` : ''}>${label}</a>`,
  )}</p></nav>`
