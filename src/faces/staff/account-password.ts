/** One's own password, app for codes and recovery codes. */
import type { Context } from 'hono'
import { html } from 'hono/html'
import { newRecoveryCodes, removePassword, setPasswordAndCodes, waysOf } from '../../access/credentials.ts'
import type { App, StaffEnv } from '../../access/env.ts'
import { refuse, route } from '../../access/route.ts'
import { endSessionsOf } from '../../access/sessions.ts'
import { confirmPassword } from '../../access/sign-in.ts'
import { findStaff } from '../../access/staff.ts'
import type { Scope } from '../../database/service.ts'
import { csrfField, type FormErrors, field, readForm } from '../shared/forms.ts'
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
import { audit, HOME, within } from './own.ts'

export function mountPassword(app: App): void {
  route(app, 'get', '/staff/account/password', 'account', (c) => passwordPage(c, {}), { fresh: true })

  route(app, 'post', '/staff/account/password', 'account', changePassword, { fresh: true })

  route(
    app,
    'post',
    '/staff/account/password/remove',
    'account',
    async (c) => {
      const { staffId } = c.get('staff')
      const done = await within(c, async (scope) => {
        if ((await waysOf(scope, staffId)).passkeys === 0) return false
        await removePassword(scope, staffId)
        await endSessionsOf(scope, staffId, c.get('sessionHash'))
        audit(c, scope, 'remove password')
        return true
      })
      if (!done) return refuse(409, 'This is your only way in. Add a passkey before you remove it.')
      return c.redirect(HOME, 303)
    },
    { fresh: HOME },
  )

  route(
    app,
    'post',
    '/staff/account/recovery-codes',
    'account',
    async (c) => {
      const { staffId } = c.get('staff')
      const codes = await within(c, async (scope) => {
        if (!(await waysOf(scope, staffId)).password) return undefined
        audit(c, scope, 'make recovery codes')
        return await newRecoveryCodes(scope, staffId)
      })
      if (!codes) return refuse(409, 'Recovery codes go with a password. Set one first.')
      return page(c, { title: 'Your recovery codes', face: 'staff', body: recoveryCodesPage(codes, HOME) })
    },
    { fresh: HOME },
  )
}

async function personOf(c: Context<StaffEnv>, scope: Scope): Promise<SetupPerson> {
  const { staffId } = c.get('staff')
  const email = (await findStaff(scope, staffId))?.email ?? ''
  return { subject: `staff:${staffId}`, email, clinicName: c.get('clinic').name }
}

async function passwordPage(c: Context<StaffEnv>, errors: FormErrors, again?: string) {
  const { person, setup, ways } = await within(c, async (scope) => {
    const person = await personOf(c, scope)
    const ways = await waysOf(scope, c.get('staff').staffId)
    return { person, ways, setup: setupForm(scope, person, again) }
  })
  return page(c, {
    title: ways.password ? 'Change the password and the app' : 'Set a password and an app',
    face: 'staff',
    status: Object.keys(errors).length > 0 ? 422 : 200,
    body: html`<form method="post" action="/staff/account/password">${csrfField(c)}
${
  ways.password
    ? field({
        name: 'current',
        label: 'Password until now',
        type: 'password',
        autocomplete: 'current-password',
        maxlength: 1000,
        error: errors.current,
      })
    : ''
}
${setupFields(person, setup, errors)}
<p><button>Set both</button></p></form>
<p><a href="${HOME}">Leave it as it is</a></p>`,
  })
}

async function changePassword(c: Context<StaffEnv>) {
  const form = await readForm(c, setupSchema)
  if (!form.ok) return refuse(400, 'This form cannot be read.')
  const service = c.get('service')
  const clinicId = c.get('clinicId')
  const { staffId, name } = c.get('staff')
  const ways = await within(c, (scope) => waysOf(scope, staffId))
  if (ways.password && !(await confirmPassword(service, clinicId, staffId, form.data.current ?? ''))) {
    return passwordPage(c, { current: 'This is not your password until now.' }, form.data.setup)
  }
  const result = await within(c, async (scope) => {
    const person = await personOf(c, scope)
    const own = personWords(c, name, person.email, person.clinicName)
    const setup = await readSetup(scope, person, form.data, own)
    if (!setup.ok) return setup
    await setPasswordAndCodes(scope, staffId, setup)
    await endSessionsOf(scope, staffId, c.get('sessionHash'))
    audit(c, scope, 'set password and codes')
    return { ok: true as const, codes: await newRecoveryCodes(scope, staffId) }
  })
  if (!result.ok) return passwordPage(c, result.errors, form.data.setup)
  return page(c, { title: 'Your recovery codes', face: 'staff', body: recoveryCodesPage(result.codes, HOME) })
}
