// Asks the browser for a passkey and hands what it says to the service.
;(() => {
  const library = window.SimpleWebAuthnBrowser

  const send = async (address, csrf, body) => {
    const answer = await fetch(address, {
      method: 'POST',
      headers: { 'content-type': 'application/json', accept: 'application/json', 'x-csrf': csrf },
      body: JSON.stringify(body),
    })
    if (answer.redirected) {
      location.assign(answer.url)
      return new Promise(() => {})
    }
    const content = await answer.json()
    if (!answer.ok) throw new Error(content.error)
    return content
  }

  const words = (error) => {
    if (error.name === 'NotAllowedError')
      return 'That was stopped, or took too long. Try again when you are ready.'
    if (error.name === 'InvalidStateError') return 'This device already has a passkey for you.'
    return error.message
  }

  for (const box of document.querySelectorAll('[data-passkey]')) {
    const button = box.querySelector('button')
    const trouble = box.querySelector('[data-error]')
    if (!library?.browserSupportsWebAuthn()) {
      trouble.textContent = 'This browser has no passkeys. Use the password, or another browser.'
      continue
    }
    button.disabled = false
    button.addEventListener('click', async () => {
      trouble.textContent = ''
      button.disabled = true
      const { passkey, options, verify, csrf, clinic, next } = box.dataset
      const label = box.querySelector('[data-label]')?.value ?? ''
      try {
        const optionsJSON = await send(options, csrf, { clinic })
        const response =
          passkey === 'create'
            ? await library.startRegistration({ optionsJSON })
            : await library.startAuthentication({ optionsJSON })
        const { to } = await send(verify, csrf, { response, label, clinic, next })
        location.assign(to)
      } catch (error) {
        trouble.textContent = words(error)
        button.disabled = false
      }
    })
  }
})()
