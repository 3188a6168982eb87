/** Setting a password together with an app for codes: the form, and what comes back from it. */
import type { Context } from 'hono'
import { html, raw } from 'hono/html'
import { renderSVG } from 'uqr'
import { z } from 'zod'
import { codeAddress, newCodeSecret, stepOfCode } from '../../access/one-time-codes.ts'
import { hashPassword, PASSWORD_LENGTH, passwordTrouble } from '../../access/password.ts'
import type { Scope } from '../../database/service.ts'
import type { Vault } from '../../database/vault.ts'
import { errorSummary, type FormErrors, field } from '../shared/forms.ts'
import type { Html } from '../shared/layout.ts'

const VALID_MINUTES = 30

const sealedSetup = z.object({ for: z.string(), secret: z.string(), until: z.number() })

/** The secret travels sealed in the form, bound to one person, until its first code proves that the app has it. */
function sealSetup(scope: Scope, subject: string, secret: string): string {
  const until = scope.now.add({ minutes: VALID_MINUTES }).epochMilliseconds
  return scope.vault.seal(JSON.stringify({ for: subject, secret, until })).toString('base64url')
}

function openSetup(vault: Vault, sealed: string, subject: string, now: number): string | undefined {
  try {
    const setup = sealedSetup.parse(JSON.parse(vault.open(Buffer.from(sealed, 'base64url'))))
    return setup.for === subject && setup.until > now ? setup.secret : undefined
  } catch {
    return undefined
  }
}

export interface SetupPerson {
  /** What the secret is bound to: `staff:ID` or `invitation:ID`. */
  subject: string
  email: string
  clinicName: string
}

export interface SetupForm {
  secret: string
  sealed: string
}

/** A new secret, or the one of the form that came back with a mistake. */
export function setupForm(scope: Scope, person: SetupPerson, again?: string): SetupForm {
  const kept = again && openSetup(scope.vault, again, person.subject, scope.now.epochMilliseconds)
  const secret = kept || newCodeSecret()
  return { secret, sealed: kept && again ? again : sealSetup(scope, person.subject, secret) }
}

export function setupFields(person: SetupPerson, setup: SetupForm, errors: FormErrors): Html {
  const picture = renderSVG(codeAddress(setup.secret, person.clinicName, person.email))
  return html`${errorSummary(errors)}
<input type="hidden" name="setup" value="${setup.sealed}">
<input class="out-of-sight" type="email" value="${person.email}" autocomplete="username" readonly tabindex="-1" aria-hidden="true">
${field({
  name: 'password',
  label: 'New password',
  hint: `At least ${PASSWORD_LENGTH.least} characters. Four or five words that have nothing to do with each other are good.`,
  type: 'password',
  autocomplete: 'new-password',
  maxlength: PASSWORD_LENGTH.most * 4,
  error: errors.password,
})}
<h2>Your app for codes</h2>
<p>Open the app that makes your codes on your phone, and let it read this picture.</p>
<div class="qr" role="img" aria-label="Picture for the app; the same key follows as text">${raw(picture)}</div>
<p>Or type this key into it: <span class="code">${(setup.secret.match(/.{4}/g) ?? []).join(' ')}</span></p>
${field({
  name: 'code',
  label: 'The code that it shows now',
  hint: 'Six digits.',
  inputmode: 'numeric',
  autocomplete: 'one-time-code',
  maxlength: 12,
  error: errors.code,
})}`
}

export const setupSchema = z.object({
  setup: z.string().max(2000),
  password: z.string().max(1000),
  code: z.string().max(20),
  current: z.string().max(1000).optional(),
})

export type SetupResult =
  | { ok: true; passwordHash: string; secret: string; step: number }
  | { ok: false; errors: FormErrors }

/** Checks the password and the first code. */
export async function readSetup(
  scope: Scope,
  person: SetupPerson,
  form: z.output<typeof setupSchema>,
  own: string[],
): Promise<SetupResult> {
  const errors: FormErrors = {}
  const trouble = passwordTrouble(form.password, own)
  if (trouble) errors.password = trouble
  const secret = openSetup(scope.vault, form.setup, person.subject, scope.now.epochMilliseconds)
  const step = secret && stepOfCode(secret, form.code, scope.now, null)
  if (!secret) errors.code = 'This page was open for too long. Let the app read the new picture.'
  else if (step === undefined) errors.code = 'This is not the code that belongs to the picture now.'
  if (!secret || typeof step !== 'number' || trouble) return { ok: false, errors }
  return { ok: true, passwordHash: await hashPassword(form.password), secret, step }
}

/** Shown once. */
export const recoveryCodesPage = (codes: string[], next: string): Html =>
  html`<p>Each of these opens once, in place of a code of the app, together with your password. Print them or
write them down, and keep them where you keep keys. They are not shown again.</p>
<ul class="list recovery">${codes.map((code) => html`<li class="code">${code}</li>`)}</ul>
<p class="no-print"><a class="button" href="${next}">I have kept them</a></p>`

export const personWords = (c: Context, name: string, email: string, clinicName: string): string[] => [
  name,
  email,
  clinicName,
  new URL(c.get('service').publicUrl).hostname,
]
