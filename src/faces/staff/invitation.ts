/** An invited person's first page: make a passkey, or set a password with an app for codes. */
import type { Context } from 'hono'
import { html } from 'hono/html'
import { z } from 'zod'
import { newRecoveryCodes, setPasswordAndCodes } from '../../access/credentials.ts'
import type { App, Env } from '../../access/env.ts'
import {
  acceptInvitation,
  findInvitation,
  invitedId,
  type OpenInvitation,
  readInvitationToken,
} from '../../access/invitations.ts'
import { countTry, limits } from '../../access/limits.ts'
import { addressOf, partyOf } from '../../access/origin.ts'
import { addPasskey, readRegistration, registrationOptions } from '../../access/passkeys.ts'
import { roleWords } from '../../access/permissions.ts'
import { refuse, route } from '../../access/route.ts'
import { clinicIsHere, giveCookie } from '../../access/session-request.ts'
import { deviceWords, enter } from '../../access/sign-in.ts'
import { type Clinic, loadClinic } from '../../clinic.ts'
import { inClinic, type Scope } from '../../database/service.ts'
import { type FormErrors, readForm } from '../shared/forms.ts'
import { readJson } from '../shared/json.ts'
import { page } from '../shared/layout.ts'
import {
  personWords,
  readSetup,
  recoveryCodesPage,
  type SetupPerson,
  setupFields,
  setupForm,
  setupSchema,
} from './code-setup.ts'
import { passkeyButton, passkeyScripts } from './passkey-button.ts'

const PATH = '/staff/join/:token'
type Here = Context<Env, typeof PATH>

const OVER =
  'This link has been used, has run out, or was never right. Ask the owner of your clinic for a new one.'

export function mountInvitation(app: App): void {
  route(app, 'get', PATH, 'public', (c) => invitationPage(c, {}))

  route(app, 'post', PATH, 'public', async (c) => {
    const form = await readForm(c, setupSchema)
    if (!form.ok) return refuse(400, 'This form cannot be read.')
    const { clinicId, secret } = await open(c)
    const result = await inClinic(c.get('service'), clinicId, async (scope) => {
      const { found, clinic } = await invited(scope, secret)
      const own = personWords(c, found.name, found.email, clinic.name)
      const setup = await readSetup(scope, personOf(found, clinic), form.data, own)
      if (!setup.ok) return setup
      const staffId = (await acceptInvitation(scope, secret)) ?? refuse(410, OVER)
      await setPasswordAndCodes(scope, staffId, setup)
      const codes = await newRecoveryCodes(scope, staffId)
      return { ok: true as const, codes, session: await enter(scope, staffId, 'invitation', device(c)) }
    })
    if (!result.ok) return invitationPage(c, result.errors, form.data.setup)
    giveCookie(c, clinicId, result.session)
    return page(c, {
      title: 'Your recovery codes',
      face: 'staff',
      body: recoveryCodesPage(result.codes, '/staff'),
    })
  })

  route(app, 'post', '/staff/join/:token/passkey/options', 'public', async (c) => {
    const party = partyOf(c) ?? refuse(400, 'Passkeys do not work under this address.')
    const { clinicId, secret } = await open(c)
    const options = await inClinic(c.get('service'), clinicId, async (scope) => {
      const { found } = await invited(scope, secret)
      return await registrationOptions(scope, party, {
        staffId: invitedId(found),
        email: found.email,
        name: found.name,
      })
    })
    return c.json(options)
  })

  route(app, 'post', '/staff/join/:token/passkey', 'public', async (c) => {
    const body = await readJson(c, z.object({ response: z.unknown(), label: z.string().max(60).optional() }))
    const party = partyOf(c) ?? refuse(400, 'Passkeys do not work under this address.')
    const { clinicId, secret } = await open(c)
    const session = await inClinic(c.get('service'), clinicId, async (scope) => {
      const { found } = await invited(scope, secret)
      const credential = await readRegistration(scope, party, invitedId(found), body.response)
      if (!credential) return undefined
      const staffId = (await acceptInvitation(scope, secret)) ?? refuse(410, OVER)
      await addPasskey(scope, staffId, credential, body.label?.trim() || 'First passkey')
      return await enter(scope, staffId, 'invitation', device(c))
    })
    if (!session) return refuse(422, 'This passkey could not be added. Try once more.')
    giveCookie(c, clinicId, session)
    return c.json({ to: '/staff' })
  })
}

const device = (c: Context) => deviceWords(c.req.header('user-agent'))

const personOf = (found: OpenInvitation, clinic: Clinic): SetupPerson => ({
  subject: `invitation:${found.id}`,
  email: found.email,
  clinicName: clinic.name,
})

/** The two halves of the link, counted against guessing. */
async function open(c: Here): Promise<{ clinicId: string; secret: string }> {
  const { clinicId, secret } = readInvitationToken(c.req.param('token')) ?? refuse(410, OVER)
  if (!(await clinicIsHere(c.get('service'), clinicId))) return refuse(410, OVER)
  const tried = await inClinic(c.get('service'), clinicId, (scope) =>
    countTry(scope, 'invitation', addressOf(c), limits.invitation),
  )
  if (!tried.allowed) return refuse(429, 'Too many tries from here. Wait a quarter of an hour.')
  return { clinicId, secret }
}

async function invited(scope: Scope, secret: string): Promise<{ found: OpenInvitation; clinic: Clinic }> {
  const found = (await findInvitation(scope, secret)) ?? refuse(410, OVER)
  return { found, clinic: await loadClinic(scope) }
}

async function invitationPage(c: Here, errors: FormErrors, again?: string) {
  const { clinicId, secret } = await open(c)
  const { found, person, setup } = await inClinic(c.get('service'), clinicId, async (scope) => {
    const { found, clinic } = await invited(scope, secret)
    const person = personOf(found, clinic)
    return { found, person, setup: setupForm(scope, person, again) }
  })
  const here = `/staff/join/${c.req.param('token')}`
  return page(c, {
    title: 'Your way in',
    face: 'staff',
    status: Object.keys(errors).length > 0 ? 422 : 200,
    scripts: passkeyScripts,
    body: html`<p>${found.name}, ${person.clinicName} lets you in as <b>${roleWords[found.role]}</b>. Choose how you will sign in.</p>
<h2>With a passkey</h2>
<p>The best way: the lock of your own device, nothing to remember.</p>
${
  partyOf(c)
    ? passkeyButton({
        ask: 'create',
        options: `${here}/passkey/options`,
        verify: `${here}/passkey`,
        label: 'Make a passkey on this device',
        named: true,
      })
    : html`<p>Passkeys need a name in the address, such as localhost on this machine.</p>`
}
<h2>Or with a password and codes</h2>
<form method="post" action="${here}">${setupFields(person, setup, errors)}
<p><button>Set both and come in</button></p></form>`,
  })
}
