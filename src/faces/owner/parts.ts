/** Links between the owner's pages. */
import type { Context } from 'hono'
import { html } from 'hono/html'
import type { StaffEnv } from '../../access/env.ts'
import { may, type Permission } from '../../access/permissions.ts'
import type { Html } from '../shared/layout.ts'

const PAGES: [href: string, label: string, permission: Permission][] = [
  ['/owner', 'Evidence', 'evidence:read'],
  ['/owner/jobs', 'Jobs', 'operations:read'],
  ['/owner/settings', 'Settings', 'settings:write'],
]

export const ownerLinks = (c: Context<StaffEnv>): Html =>
  html`<nav class="pages no-print" aria-label="The clinic"><ul>${PAGES.filter(([, , permission]) =>
    may(c.get('staff').role, permission),
  ).map(
    ([href, label]) =>
      html`<li><a href="${href}" ${c.req.path === href ? html`aria-current="page"` : ''}>${label}</a></li>`,
  )}</ul></nav>`
