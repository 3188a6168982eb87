/** The owner's page of who works here: invite, change, give a new way in, end sessions, remove. */
import type { Context } from 'hono'
import { html } from 'hono/html'
import { type CountryCode, parsePhoneNumberFromString } from 'libphonenumber-js'
import { z } from 'zod'
import type { App, StaffEnv } from '../../access/env.ts'
import {
  invitationAddress,
  inviteAgain,
  inviteStaff,
  openInvitations,
  withdrawInvitation,
} from '../../access/invitations.ts'
import { changeDetails, changeRole, type Outcome, removePerson } from '../../access/people.ts'
import { ROLES, roleWords } from '../../access/permissions.ts'
import { refuse, route } from '../../access/route.ts'
import { endSessionsOf } from '../../access/sessions.ts'
import { listStaff, type StaffRow } from '../../access/staff.ts'
import { choices, csrfField, errorSummary, type FormErrors, field, readForm } from '../shared/forms.ts'
import { type Html, page } from '../shared/layout.ts'
import { timeTag } from '../shared/times.ts'
import { within } from './own.ts'

const HOME = '/staff/people'
const FRESH = { fresh: HOME } as const

const name = z.string().trim().min(1, 'Write the name.').max(100, 'At most 100 characters.')
const role = z.enum(ROLES, 'Choose one of the roles.')
const invitationSchema = z.object({ name, email: z.email('Write an email address.').max(254), role })

const detailsSchema = z.object({
  name,
  mobile: z.string().trim().max(30).default(''),
  registration: z.string().trim().max(60).default(''),
  escalationOrder: z
    .string()
    .trim()
    .regex(/^\d{0,3}$/, 'Write a whole number, or nothing.')
    .default(''),
})

export function mountPeople(app: App): void {
  route(app, 'get', HOME, 'staff:manage', (c) => peoplePage(c))

  route(
    app,
    'post',
    '/staff/people/invite',
    'staff:manage',
    async (c) => {
      const form = await readForm(c, invitationSchema)
      if (!form.ok) return peoplePage(c, { errors: form.errors, values: form.values })
      const by = c.get('staff').staffId
      const invited = await within(c, (scope) => inviteStaff(scope, { ...form.data, invitedBy: by }))
      if ('taken' in invited) {
        return peoplePage(c, { errors: { email: 'This address already works here.' }, values: form.data })
      }
      return linkPage(c, form.data.name, invited.token)
    },
    FRESH,
  )

  route(
    app,
    'post',
    '/staff/people/:id/again',
    'staff:manage',
    async (c) => {
      const by = c.get('staff').staffId
      const person = await personOf(c)
      const token = await within(c, (scope) => inviteAgain(scope, person.staffId, by))
      return token ? linkPage(c, person.name, token) : refuse(404, 'There is no such person.')
    },
    FRESH,
  )

  route(
    app,
    'post',
    '/staff/people/:id/role',
    'staff:manage',
    async (c) => {
      const form = await readForm(c, z.object({ role }))
      if (!form.ok) return refuse(400, 'Choose one of the roles.')
      const { staffId } = await personOf(c)
      const by = c.get('staff').staffId
      return back(c, await within(c, (scope) => changeRole(scope, by, staffId, form.data.role)))
    },
    FRESH,
  )

  route(
    app,
    'post',
    '/staff/people/:id/details',
    'staff:manage',
    async (c) => {
      const form = await readForm(c, detailsSchema)
      if (!form.ok) return refuse(422, Object.values(form.errors)[0] ?? 'This form cannot be read.')
      const { staffId } = await personOf(c)
      const { region } = c.get('clinic').settings
      const { mobile, registration, escalationOrder } = form.data
      const number = mobile === '' ? null : mobileOf(mobile, region)
      if (number === undefined) return refuse(422, 'This is not a telephone number.')
      const details = {
        name: form.data.name,
        mobile: number,
        registration: registration || null,
        escalationOrder: escalationOrder === '' ? null : Number(escalationOrder),
      }
      const by = c.get('staff').staffId
      return back(c, await within(c, (scope) => changeDetails(scope, by, staffId, details)))
    },
    FRESH,
  )

  route(
    app,
    'post',
    '/staff/people/:id/end-sessions',
    'staff:manage',
    async (c) => {
      const { staffId } = await personOf(c)
      const actor = `staff:${c.get('staff').staffId}`
      await within(c, async (scope) => {
        await endSessionsOf(scope, staffId)
        scope.audit({ actor, action: 'end sessions', subject: `staff:${staffId}` })
      })
      return c.redirect(HOME, 303)
    },
    FRESH,
  )

  route(
    app,
    'post',
    '/staff/people/:id/remove',
    'staff:manage',
    async (c) => {
      const { staffId } = await personOf(c)
      const by = c.get('staff').staffId
      return back(c, await within(c, (scope) => removePerson(scope, by, staffId)))
    },
    FRESH,
  )

  route(
    app,
    'post',
    '/staff/people/invitations/withdraw',
    'staff:manage',
    async (c) => {
      const form = await readForm(c, z.object({ id: z.string().regex(/^[0-9a-f]{64}$/) }))
      if (!form.ok) return refuse(400, 'This form cannot be read.')
      const actor = `staff:${c.get('staff').staffId}`
      await within(c, async (scope) => {
        await withdrawInvitation(scope, form.data.id)
        scope.audit({ actor, action: 'withdraw invitation' })
      })
      return c.redirect(HOME, 303)
    },
    FRESH,
  )
}

async function personOf(c: Context<StaffEnv, '/staff/people/:id/again'>): Promise<StaffRow> {
  const id = z.uuid().safeParse(c.req.param('id'))
  const people = id.success ? await within(c, listStaff) : []
  return people.find((one) => one.staffId === id.data) ?? refuse(404, 'There is no such person.')
}

function back(c: Context<StaffEnv>, outcome: Outcome) {
  if (outcome === 'last owner') return refuse(409, 'The clinic needs an owner. Make somebody else one first.')
  if (outcome === 'unknown') return refuse(404, 'There is no such person.')
  return c.redirect(HOME, 303)
}

/** In E.164; undefined when it is no number. */
function mobileOf(written: string, region: string): string | undefined {
  const number = parsePhoneNumberFromString(written, region as CountryCode)
  return number?.isPossible() ? number.number : undefined
}

function linkPage(c: Context<StaffEnv>, person: string, token: string) {
  const link = invitationAddress(c.get('service').publicUrl, token)
  return page(c, {
    title: 'A link for one person',
    face: 'staff',
    body: html`<p>Give this to ${person}, and to nobody else, in person or by a way that you trust. It lets in whoever
opens it first, works once, and runs out in three days. It is not shown again.</p>
<p class="words code">${link}</p>
<p><a class="button" href="${HOME}">I have it</a></p>`,
  })
}

interface Mistakes {
  errors: FormErrors
  values: Record<string, string>
}

async function peoplePage(c: Context<StaffEnv>, mistakes?: Mistakes) {
  const zone = c.get('clinic').zone
  const { people, invitations } = await within(c, async (scope) => ({
    people: await listStaff(scope),
    invitations: await openInvitations(scope),
  }))
  const errors = mistakes?.errors ?? {}
  return page(c, {
    title: 'People',
    face: 'staff',
    status: mistakes ? 422 : 200,
    body: html`${errorSummary(errors)}
<ul class="list">${people.map((person) => personItem(c, person))}</ul>
<h2>Invite somebody</h2>
<form method="post" action="/staff/people/invite">${csrfField(c)}
${field({ name: 'name', label: 'Name', value: mistakes?.values.name, error: errors.name, maxlength: 100 })}
${field({ name: 'email', label: 'Email', type: 'email', value: mistakes?.values.email, error: errors.email, maxlength: 254 })}
${choices({
  name: 'role',
  legend: 'Role',
  choices: ROLES.map((value) => ({ value, label: roleWords[value] })),
  chosen: [mistakes?.values.role ?? ''],
  error: errors.role,
  required: true,
})}
<p><button>Make the link</button></p></form>
${
  invitations.length > 0
    ? html`<h2>Links not used yet</h2><ul class="list">${invitations.map(
        (
          open,
        ) => html`<li class="row"><span>${open.name}, ${roleWords[open.role]}, until ${timeTag(open.expiresAt, zone)}</span>
<form method="post" action="/staff/people/invitations/withdraw">${csrfField(c)}
<input type="hidden" name="id" value="${open.id}"><button class="plain">Withdraw</button></form></li>`,
      )}</ul>`
    : ''
}`,
  })
}

function personItem(c: Context<StaffEnv>, person: StaffRow): Html {
  const at = `${HOME}/${person.staffId}`
  const text = (key: string, label: string, value: string | number | null, hint?: string) =>
    html`<div class="field"><label for="${key}-${person.staffId}">${label}</label>
${hint ? html`<p class="hint">${hint}</p>` : ''}
<input id="${key}-${person.staffId}" name="${key}" value="${value ?? ''}" maxlength="100"></div>`
  const action = (path: string, label: string) =>
    html`<form method="post" action="${at}/${path}">${csrfField(c)}<button class="plain">${label}</button></form>`
  return html`<li><details><summary><b>${person.name}</b>, ${roleWords[person.role]}${
    person.escalationOrder === null ? '' : html`, number ${person.escalationOrder} to be told of a concern`
  }</summary>
<p>${person.email}</p>
<form method="post" action="${at}/details">${csrfField(c)}
${text('name', 'Name', person.name)}
${text('mobile', 'Mobile', person.mobile, 'Where a concern that nobody took is told to.')}
${text('registration', 'Registration', person.registration, 'Name and number with the professional body; needed to sign the protocol.')}
${text('escalationOrder', 'Place on the list of whom to tell', person.escalationOrder, '1 is told first. Empty: not on the list.')}
<p><button>Keep these</button></p></form>
<form method="post" action="${at}/role">${csrfField(c)}
<div class="row"><div class="field"><label for="role-${person.staffId}">Role</label>
<select id="role-${person.staffId}" name="role">${ROLES.map(
    (value) =>
      html`<option value="${value}" ${value === person.role ? html`selected` : ''}>${roleWords[value]}</option>`,
  )}</select></div><button class="plain">Change the role</button></div></form>
<div class="row">${action('again', 'Give a new way in')} ${action('end-sessions', 'End all sessions')} ${action('remove', 'No longer works here')}</div>
</details></li>`
}
