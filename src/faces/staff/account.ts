/** One's own sign-in: passkeys, password and codes, recovery codes, sessions. */
import type { Context } from 'hono'
import { html } from 'hono/html'
import { z } from 'zod'
import { waysOf } from '../../access/credentials.ts'
import type { App, StaffEnv } from '../../access/env.ts'
import { partyOf } from '../../access/origin.ts'
import {
  addPasskey,
  listPasskeys,
  readRegistration,
  registrationOptions,
  removePasskey,
} from '../../access/passkeys.ts'
import { refuse, route } from '../../access/route.ts'
import { endSession, endSessionsOf, listSessions } from '../../access/sessions.ts'
import { findStaff } from '../../access/staff.ts'
import { csrfField, readForm } from '../shared/forms.ts'
import { readJson } from '../shared/json.ts'
import { page } from '../shared/layout.ts'
import { timeTag } from '../shared/times.ts'
import { audit, HOME, within } from './own.ts'
import { passkeyButton, passkeyScripts } from './passkey-button.ts'

const PASSKEYS = '/staff/account/passkeys'

export function mountAccount(app: App): void {
  route(app, 'get', HOME, 'account', accountPage)

  route(app, 'get', PASSKEYS, 'account', passkeysPage, { fresh: true })

  route(
    app,
    'post',
    '/staff/account/passkeys/options',
    'account',
    async (c) => {
      const party = partyOf(c) ?? refuse(400, 'Passkeys do not work under this address.')
      const { staffId, name } = c.get('staff')
      const options = await within(c, async (scope) => {
        const email = (await findStaff(scope, staffId))?.email ?? ''
        return await registrationOptions(scope, party, { staffId, email, name })
      })
      return c.json(options)
    },
    { fresh: PASSKEYS },
  )

  const newPasskey = z.object({ response: z.unknown(), label: z.string().trim().max(60).default('') })
  route(
    app,
    'post',
    '/staff/account/passkeys/add',
    'account',
    async (c) => {
      const body = await readJson(c, newPasskey)
      const party = partyOf(c) ?? refuse(400, 'Passkeys do not work under this address.')
      const { staffId } = c.get('staff')
      const added = await within(c, async (scope) => {
        const credential = await readRegistration(scope, party, staffId, body.response)
        if (!credential) return false
        audit(c, scope, 'add passkey')
        await endSessionsOf(scope, staffId, c.get('sessionHash'))
        return await addPasskey(scope, staffId, credential, body.label || 'Passkey')
      })
      if (!added) return refuse(422, 'This passkey could not be added. Try once more.')
      return c.json({ to: PASSKEYS })
    },
    { fresh: PASSKEYS },
  )

  route(
    app,
    'post',
    '/staff/account/passkeys/remove',
    'account',
    async (c) => {
      const form = await readForm(c, z.object({ id: z.string().max(2000) }))
      if (!form.ok) return refuse(400, 'This form cannot be read.')
      const { staffId } = c.get('staff')
      const result = await within(c, async (scope) => {
        const ways = await waysOf(scope, staffId)
        if (!ways.password && ways.passkeys < 2) return 'last'
        if (!(await removePasskey(scope, staffId, form.data.id))) return 'unknown'
        await endSessionsOf(scope, staffId, c.get('sessionHash'))
        audit(c, scope, 'remove passkey')
        return 'done'
      })
      if (result === 'last') return refuse(409, 'This is your only way in. Add another before you remove it.')
      if (result === 'unknown') return refuse(404, 'There is no such passkey.')
      return c.redirect(PASSKEYS, 303)
    },
    { fresh: PASSKEYS },
  )

  route(
    app,
    'post',
    '/staff/account/sessions/end',
    'account',
    async (c) => {
      const form = await readForm(c, z.object({ id: z.string().regex(/^[0-9a-f]{64}$|^others$/) }))
      if (!form.ok) return refuse(400, 'This form cannot be read.')
      const { staffId } = c.get('staff')
      await within(c, async (scope) => {
        if (form.data.id === 'others') await endSessionsOf(scope, staffId, c.get('sessionHash'))
        else {
          const own = (await listSessions(scope, staffId)).some((line) => line.id === form.data.id)
          if (own) await endSession(scope, Buffer.from(form.data.id, 'hex'))
        }
        audit(c, scope, 'end session')
      })
      return c.redirect(HOME, 303)
    },
    { fresh: HOME },
  )
}

async function accountPage(c: Context<StaffEnv>) {
  const { staffId, name } = c.get('staff')
  const zone = c.get('clinic').zone
  const own = c.get('sessionHash').toString('hex')
  const { ways, sessions } = await within(c, async (scope) => ({
    ways: await waysOf(scope, staffId),
    sessions: await listSessions(scope, staffId),
  }))
  return page(c, {
    title: 'Your sign-in',
    face: 'staff',
    body: html`<p>${name}</p>
<h2>Passkeys</h2>
<p>${ways.passkeys === 0 ? 'You have none.' : `You have ${ways.passkeys}.`} A passkey lets you in with the lock of your
own device, and cannot be given away by mistake.</p>
<p><a class="button" href="${PASSKEYS}">${ways.passkeys === 0 ? 'Add a passkey' : 'See and change your passkeys'}</a></p>
<h2>Password and codes</h2>
<p>${ways.password ? 'You have a password, and an app that makes codes.' : 'You have no password.'}</p>
<p><a class="button plain" href="/staff/account/password">${ways.password ? 'Change the password and the app' : 'Set a password and an app'}</a></p>
${
  ways.password
    ? html`<p>${ways.recoveryCodes} recovery codes are left.</p>
<form method="post" action="/staff/account/recovery-codes">${csrfField(c)}<p><button class="plain">Make ten new recovery codes</button></p></form>
${
  ways.passkeys > 0
    ? html`<form method="post" action="/staff/account/password/remove">${csrfField(c)}<p><button class="quiet">Remove the password</button></p></form>`
    : ''
}`
    : ''
}
<h2>Where you are signed in</h2>
<ul class="list">${sessions.map(
      (line) => html`<li class="row"><span>${line.device}, since ${timeTag(line.createdAt, zone)},
last used ${timeTag(line.seenAt, zone)}${line.id === own ? html` <b>(here)</b>` : ''}</span>
${
  line.id === own
    ? ''
    : html`<form method="post" action="/staff/account/sessions/end">${csrfField(c)}
<input type="hidden" name="id" value="${line.id}"><button class="plain">End it</button></form>`
}</li>`,
    )}</ul>
${
  sessions.length > 1
    ? html`<form method="post" action="/staff/account/sessions/end">${csrfField(c)}
<input type="hidden" name="id" value="others"><p><button>End all but this one</button></p></form>`
    : ''
}`,
  })
}

async function passkeysPage(c: Context<StaffEnv>) {
  const zone = c.get('clinic').zone
  const keys = await within(c, (scope) => listPasskeys(scope, c.get('staff').staffId))
  return page(c, {
    title: 'Your passkeys',
    face: 'staff',
    scripts: passkeyScripts,
    body: html`<ul class="list">${keys.map(
      (key) => html`<li class="row"><span>${key.label}, added ${timeTag(key.createdAt, zone)}, ${
        key.usedAt ? html`last used ${timeTag(key.usedAt, zone)}` : 'not used yet'
      }</span>
<form method="post" action="/staff/account/passkeys/remove">${csrfField(c)}
<input type="hidden" name="id" value="${key.id}"><button class="plain">Remove</button></form></li>`,
    )}</ul>
<h2>Add one</h2>
${
  partyOf(c)
    ? passkeyButton({
        ask: 'create',
        options: '/staff/account/passkeys/options',
        verify: '/staff/account/passkeys/add',
        label: 'Add a passkey on this device',
        csrf: c.get('csrf'),
        named: true,
      })
    : html`<p>Passkeys need a name in the address, such as localhost on this machine.</p>`
}
<p><a href="${HOME}">Back to your sign-in</a></p>`,
  })
}
