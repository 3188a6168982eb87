/** Parts that several of these pages show. */
import type { Context } from 'hono'
import { html } from 'hono/html'
import type { Temporal } from 'temporal-polyfill'
import type { StaffEnv } from '../../access/env.ts'
import { may } from '../../access/permissions.ts'
import { refuse } from '../../access/route.ts'
import { listStaff } from '../../access/staff.ts'
import type { Scope } from '../../database/service.ts'
import { type Flow, inFlow } from '../../flow/context.ts'
import { soonWords } from '../../messages/words.ts'
import type { Html } from '../shared/layout.ts'
import { deadlineWords } from './words.ts'

export { auditViews } from '../../access/views.ts'

/** One transaction of the signed-in person's clinic. */
export const inClinicOf = <T>(c: Context<StaffEnv>, work: (flow: Flow) => Promise<T>): Promise<T> =>
  inFlow(c.get('service'), c.get('clinicId'), work)

export const mayAct = (c: Context<StaffEnv>): boolean => may(c.get('staff').role, 'concerns:act')

const uuid = /^[0-9a-f]{8}(-[0-9a-f]{4}){3}-[0-9a-f]{12}$/

/** The id in the address; anything else is no page. */
export function idOf(c: Context<StaffEnv>, name: string): string {
  const id = c.req.param(name) ?? ''
  return uuid.test(id) ? id : refuse(404, 'There is no such page.')
}

export type NameOf = (staffId: string | null) => string

/** Names of the staff by id; somebody who has left is said to have. */
export async function staffNames(scope: Scope): Promise<NameOf> {
  const names = new Map((await listStaff(scope)).map((one) => [one.staffId, one.name]))
  return (id) => (id === null ? '' : (names.get(id) ?? 'somebody who has left'))
}

/** The time to act, in words that stay true while the page is open (deadline.js). */
export function dueLine(deadline: Temporal.Instant, now: Temporal.Instant, zone: string): Html {
  const { overdue, words } = deadlineWords(deadline, now, zone)
  const left = deadline.epochMilliseconds - now.epochMilliseconds
  return html`<p class="due ${overdue ? 'overdue' : ''}"><strong><time datetime="${deadline.toString()}" data-left="${left}" data-by="${soonWords(deadline, now, zone)}">${words}</time></strong></p>`
}

/** What was done, said at the top of the page that follows. */
export const doneLine = (words: string | undefined): Html =>
  words ? html`<p class="keel" role="status">${words}</p>` : html``

/** What was not done, and why; nothing was changed. */
export const refusedLine = (words: string | undefined): Html =>
  words ? html`<div class="summary" role="alert"><p><strong>${words}</strong></p></div>` : html``
