/** The button that asks the browser for a passkey, or for a new one; passkey.js does the talking. */
import { html } from 'hono/html'
import type { Html } from '../shared/layout.ts'

export const passkeyScripts = ['webauthn.js', 'passkey.js']

export interface PasskeyButton {
  ask: 'get' | 'create'
  options: string
  verify: string
  label: string
  csrf?: string
  clinic?: string
  next?: string
  /** A name for the new passkey is asked for. */
  named?: boolean
}

export const passkeyButton = (b: PasskeyButton): Html =>
  html`<div data-passkey="${b.ask}" data-options="${b.options}" data-verify="${b.verify}"
 data-csrf="${b.csrf ?? ''}" data-clinic="${b.clinic ?? ''}" data-next="${b.next ?? ''}">
${
  b.named
    ? html`<div class="field"><label for="passkey-label">A name for this passkey</label>
<p class="hint" id="passkey-label-hint">So that you know it again, such as "front desk computer".</p>
<input id="passkey-label" data-label maxlength="60" aria-describedby="passkey-label-hint"></div>`
    : ''
}
<p><button type="button" disabled>${b.label}</button></p>
<p class="error" role="alert" data-error></p>
<noscript><p>A passkey needs scripts, which are off in this browser. Use the password below.</p></noscript>
</div>`

/** Where the page's address is one that passkeys cannot have. */
export const noPasskeyHere = (port: string): Html =>
  html`<p class="hint">Passkeys need a name in the address. On this machine open
<b>http://localhost${port ? `:${port}` : ''}</b> instead.</p>`
