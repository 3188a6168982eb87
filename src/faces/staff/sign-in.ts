/** Coming in, confirming that it is still you, and leaving. */
import type { Context } from 'hono'
import { html } from 'hono/html'
import { z } from 'zod'
import { waysOf } from '../../access/credentials.ts'
import type { App, Env, StaffEnv } from '../../access/env.ts'
import { countTry, limits } from '../../access/limits.ts'
import { addressOf, hostOf, partyOf } from '../../access/origin.ts'
import { assertionOptions, readAssertion } from '../../access/passkeys.ts'
import { roleWords } from '../../access/permissions.ts'
import { refuse, route, safePath } from '../../access/route.ts'
import { enterSession, giveCookie, readCookie, takeCookie } from '../../access/session-request.ts'
import { endSession, hashToken, rotateSession } from '../../access/sessions.ts'
import { confirmPassword, deviceWords, enter, signInWithPassword } from '../../access/sign-in.ts'
import { listStaff } from '../../access/staff.ts'
import { inClinic } from '../../database/service.ts'
import { csrfField, errorSummary, field, readForm } from '../shared/forms.ts'
import { readJson } from '../shared/json.ts'
import { page } from '../shared/layout.ts'
import { noPasskeyHere, passkeyButton, passkeyScripts } from './passkey-button.ts'
import { type ClinicChoice, chooseClinic, demoIsOpen } from './which-clinic.ts'

/** The same for whatever was wrong, and for an account that is shut for a while. */
const REFUSED =
  'That did not let you in. Check what you wrote and try again. After five tries the door stays shut for a quarter of an hour.'

const formSchema = z.object({
  email: z.string().max(254).default(''),
  password: z.string().max(1000).default(''),
  code: z.string().max(60).default(''),
  clinic: z.string().max(100).optional(),
  next: z.string().max(500).optional(),
})

const passkeySchema = z.object({
  response: z.unknown().optional(),
  label: z.string().max(60).optional(),
  clinic: z.string().max(100).optional(),
  next: z.string().max(500).optional(),
})

const demoSchema = z.object({
  staff: z.uuid(),
  clinic: z.string().max(100).optional(),
  next: z.string().max(500).optional(),
})

export function mountSignIn(app: App): void {
  route(app, 'get', '/staff/sign-in', 'public', async (c) => {
    const next = safePath(c.req.query('next'), '/staff')
    if (await enterSession(c, { touch: false })) return c.redirect(next, 303)
    return signInPage(c, await chooseClinic(c, c.req.query('clinic')), next)
  })

  route(app, 'post', '/staff/sign-in', 'public', async (c) => {
    const form = await readForm(c, formSchema)
    if (!form.ok) return refuse(400, 'This form cannot be read.')
    const { email, password, code, clinic: written } = form.data
    const next = safePath(form.data.next, '/staff')
    const choice = await chooseClinic(c, written)
    if (!choice.clinic) return signInPage(c, choice, next, REFUSED)
    const { clinicId } = choice.clinic
    const device = deviceWords(c.req.header('user-agent'))
    const attempt = { email, password, code, address: addressOf(c), device }
    const result = await signInWithPassword(c.get('service'), clinicId, attempt)
    if (!result.in) return signInPage(c, choice, next, REFUSED)
    return await letIn(c, clinicId, result.token, next)
  })

  route(app, 'post', '/staff/sign-in/demo', 'public', async (c) => {
    const form = await readForm(c, demoSchema)
    if (!form.ok) return refuse(400, 'This form cannot be read.')
    const { clinic } = await chooseClinic(c, form.data.clinic)
    if (!clinic || !demoIsOpen(c, clinic)) return refuse(404, 'There is no such page.')
    const token = await inClinic(c.get('service'), clinic.clinicId, async (scope) => {
      const person = (await listStaff(scope)).find((one) => one.staffId === form.data.staff)
      return person && (await enter(scope, person.staffId, 'demo', deviceWords(c.req.header('user-agent'))))
    })
    if (!token) return refuse(404, 'There is no such person in the demo.')
    return await letIn(c, clinic.clinicId, token, safePath(form.data.next, '/staff'))
  })

  route(app, 'post', '/staff/sign-in/passkey/options', 'public', async (c) => {
    const { clinicId } = await clinicForPasskey(c)
    const party = partyOf(c) ?? refuse(400, 'Passkeys do not work under this address.')
    return c.json(
      await inClinic(c.get('service'), clinicId, (scope) => assertionOptions(scope, party, 'sign in')),
    )
  })

  route(app, 'post', '/staff/sign-in/passkey', 'public', async (c) => {
    const { clinicId, body } = await clinicForPasskey(c)
    const party = partyOf(c) ?? refuse(400, 'Passkeys do not work under this address.')
    const token = await inClinic(c.get('service'), clinicId, async (scope) => {
      const staffId = await readAssertion(scope, party, 'sign in', body.response)
      return staffId && (await enter(scope, staffId, 'passkey', deviceWords(c.req.header('user-agent'))))
    })
    if (!token) return refuse(401, 'This passkey did not let you in.')
    await dropOld(c)
    giveCookie(c, clinicId, token)
    return c.json({ to: safePath(body.next, '/staff') })
  })

  route(app, 'post', '/staff/sign-out', 'account', async (c) => {
    await inClinic(c.get('service'), c.get('clinicId'), async (scope) => {
      await endSession(scope, c.get('sessionHash'))
      scope.audit({ actor: actorOf(c), action: 'sign out', subject: actorOf(c) })
    })
    takeCookie(c)
    // What this browser still holds of the pages goes with the session.
    c.header('clear-site-data', '"cache", "storage"')
    return c.redirect('/staff/sign-in', 303)
  })

  route(app, 'get', '/staff/again', 'account', (c) => againPage(c, safePath(c.req.query('next'), '/staff')))

  route(app, 'post', '/staff/again', 'account', async (c) => {
    const form = await readForm(c, formSchema)
    if (!form.ok) return refuse(400, 'This form cannot be read.')
    const next = safePath(form.data.next, '/staff')
    const { staffId } = c.get('staff')
    const right =
      demoIsOpen(c, c.get('clinic')) ||
      (await confirmPassword(c.get('service'), c.get('clinicId'), staffId, form.data.password))
    if (!right)
      return againPage(
        c,
        next,
        'That was not right. After five tries the door stays shut for a quarter of an hour.',
      )
    await confirm(c, 'password')
    return c.redirect(next, 303)
  })

  route(app, 'post', '/staff/again/passkey/options', 'account', async (c) => {
    const party = partyOf(c) ?? refuse(400, 'Passkeys do not work under this address.')
    const { staffId } = c.get('staff')
    return c.json(
      await inClinic(c.get('service'), c.get('clinicId'), (scope) =>
        assertionOptions(scope, party, 'confirm', staffId),
      ),
    )
  })

  route(app, 'post', '/staff/again/passkey', 'account', async (c) => {
    const body = await readJson(c, passkeySchema)
    const party = partyOf(c) ?? refuse(400, 'Passkeys do not work under this address.')
    const { staffId } = c.get('staff')
    const right = await inClinic(c.get('service'), c.get('clinicId'), (scope) =>
      readAssertion(scope, party, 'confirm', body.response, staffId),
    )
    if (!right) return refuse(422, 'This passkey is not yours, or did not answer in time.')
    await confirm(c, 'passkey')
    return c.json({ to: safePath(body.next, '/staff') })
  })
}

const actorOf = (c: Context<StaffEnv>) => `staff:${c.get('staff').staffId}`

/** A session that this browser still had ends; the new one has a new token. */
async function letIn(c: Context<Env>, clinicId: string, token: string, next: string): Promise<Response> {
  await dropOld(c)
  giveCookie(c, clinicId, token)
  return c.redirect(next, 303)
}

async function dropOld(c: Context<Env>): Promise<void> {
  const old = readCookie(c)
  if (!old || !(await enterSession(c, { touch: false }))) return
  await inClinic(c.get('service'), old.clinicId, (scope) => endSession(scope, hashToken(old.token)))
}

async function confirm(c: Context<StaffEnv>, way: string): Promise<void> {
  const token = await inClinic(c.get('service'), c.get('clinicId'), async (scope) => {
    scope.audit({ actor: actorOf(c), action: 'confirm who it is', subject: actorOf(c), detail: { way } })
    return await rotateSession(scope, c.get('sessionHash'))
  })
  giveCookie(c, c.get('clinicId'), token)
}

async function clinicForPasskey(c: Context<Env>) {
  const body = await readJson(c, passkeySchema)
  const { clinic } = await chooseClinic(c, body.clinic)
  if (!clinic) return refuse(401, 'This passkey did not let you in.')
  const tried = await inClinic(c.get('service'), clinic.clinicId, (scope) =>
    countTry(scope, 'challenge', addressOf(c), limits.challenge),
  )
  if (!tried.allowed) return refuse(429, 'Too many tries from here. Wait five minutes.')
  return { clinicId: clinic.clinicId, body }
}

async function signInPage(c: Context<Env>, choice: ClinicChoice, next: string, trouble?: string) {
  const { clinic, slug, several } = choice
  const demoStaff =
    clinic && demoIsOpen(c, clinic) ? await inClinic(c.get('service'), clinic.clinicId, listStaff) : []
  const hidden = html`<input type="hidden" name="next" value="${next}">
${several && clinic ? html`<input type="hidden" name="clinic" value="${slug}">` : ''}`
  return page(c, {
    title: 'Sign in',
    face: 'staff',
    status: trouble ? 401 : 200,
    scripts: passkeyScripts,
    body: html`${clinic ? html`<p>${clinic.name}</p>` : ''}
${trouble ? errorSummary({ '': trouble }) : ''}
${
  demoStaff.length > 0
    ? html`<div class="keel"><h2>This is a demo</h2><p>Nobody here is real, and nothing leaves this machine. Come in as:</p>
${demoStaff.map(
  (person) => html`<form method="post" action="/staff/sign-in/demo">${hidden}
<input type="hidden" name="staff" value="${person.staffId}">
<p><button>Come in as ${person.name} (${roleWords[person.role]})</button></p></form>`,
)}</div>`
    : ''
}
${
  several && !clinic
    ? html`<form method="get" action="/staff/sign-in"><input type="hidden" name="next" value="${next}">
${field({ name: 'clinic', label: "Your clinic's short name", value: slug, maxlength: 100 })}
<p><button>Go on</button></p></form>`
    : html`<h2>With your passkey</h2>
${
  partyOf(c)
    ? passkeyButton({
        ask: 'get',
        options: '/staff/sign-in/passkey/options',
        verify: '/staff/sign-in/passkey',
        label: 'Sign in with a passkey',
        clinic: slug,
        next,
      })
    : noPasskeyHere(portOf(c))
}
<h2>With password and code</h2>
<form method="post" action="/staff/sign-in">${hidden}
${field({ name: 'email', label: 'Email', type: 'email', autocomplete: 'username', maxlength: 254 })}
${field({ name: 'password', label: 'Password', type: 'password', autocomplete: 'current-password', maxlength: 1000 })}
${field({
  name: 'code',
  label: 'Code',
  hint: 'The six digits that your app shows, or one of your recovery codes.',
  autocomplete: 'one-time-code',
  maxlength: 60,
})}
<p><button>Sign in</button></p></form>
<p class="small">Lost your passkey, phone or password? Ask the owner of your clinic for a new link.</p>`
}`,
  })
}

async function againPage(c: Context<StaffEnv>, next: string, trouble?: string) {
  const ways = await inClinic(c.get('service'), c.get('clinicId'), (scope) =>
    waysOf(scope, c.get('staff').staffId),
  )
  return page(c, {
    title: 'Confirm that it is you',
    face: 'staff',
    status: trouble ? 422 : 200,
    scripts: passkeyScripts,
    body: html`<p>What follows asks for it again, even though you are signed in.</p>
${trouble ? errorSummary({ '': trouble }) : ''}
${
  ways.passkeys > 0 && partyOf(c)
    ? passkeyButton({
        ask: 'get',
        options: '/staff/again/passkey/options',
        verify: '/staff/again/passkey',
        label: 'Confirm with your passkey',
        csrf: c.get('csrf'),
        next,
      })
    : ''
}
${
  demoIsOpen(c, c.get('clinic'))
    ? html`<form method="post" action="/staff/again">${csrfField(c)}<input type="hidden" name="next" value="${next}">
<p>This is a demo: nothing more is asked.</p><p><button>It is me</button></p></form>`
    : ways.password
      ? html`<form method="post" action="/staff/again">${csrfField(c)}<input type="hidden" name="next" value="${next}">
${field({ name: 'password', label: 'Password', type: 'password', autocomplete: 'current-password', maxlength: 1000 })}
<p><button>Confirm</button></p></form>`
      : ''
}
<p><a href="/staff">Leave it</a></p>`,
  })
}

const portOf = (c: Context) => new URL(`http://${hostOf(c).host}`).port
