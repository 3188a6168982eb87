import { AxeBuilder } from '@axe-core/playwright'
import type { Page } from 'playwright-core'
import { expect, test } from 'vitest'
import { inviteStaff } from '../../src/access/invitations.ts'
import { passkey, signInChallenge } from '../../src/database/schema.ts'
import { inClinic } from '../../src/database/service.ts'
import { startProtocol } from '../../src/protocol/store.ts'
import { testDatabase } from '../support/database.ts'
import { testPages } from '../support/pages.ts'

const db = await testDatabase()
const { address, service, clock, open } = await testPages(db)
await inClinic(service, db.clinicId, startProtocol)

/** A device with a lock of its own, whose person always says yes (W3C Web Authentication, section 11). */
async function device(page: Page, { verifies = true } = {}) {
  const cdp = await page.context().newCDPSession(page)
  await cdp.send('WebAuthn.enable', { enableUI: false })
  const { authenticatorId } = await cdp.send('WebAuthn.addVirtualAuthenticator', {
    options: {
      protocol: 'ctap2',
      transport: 'internal',
      hasResidentKey: true,
      hasUserVerification: true,
      isUserVerified: verifies,
      automaticPresenceSimulation: true,
    },
  })
  return { cdp, authenticatorId }
}

const violations = async (page: Page) =>
  (
    await new AxeBuilder({ page: page as never })
      .withTags(['wcag2a', 'wcag2aa', 'wcag21aa', 'wcag22aa'])
      .analyze()
  ).violations.map((one) => `${one.id}: ${one.nodes[0]?.html}`)

test('an invited person makes a passkey, signs out and in with it, confirms with it, and adds and removes one', async () => {
  const invited = await inClinic(service, db.clinicId, (scope) =>
    inviteStaff(scope, { name: 'Gwendal Ruck', email: 'gwendal@clinic.example', role: 'owner' }),
  )
  if ('taken' in invited) throw new Error('taken')
  const { page, faults } = await open()
  const { cdp, authenticatorId } = await device(page)
  const credentials = async () => (await cdp.send('WebAuthn.getCredentials', { authenticatorId })).credentials

  await page.goto(`${address}/staff/join/${invited.token}`)
  expect(await violations(page)).toEqual([])
  await page.getByLabel('A name for this passkey').fill('Desk')
  await page.getByRole('button', { name: 'Make a passkey on this device' }).click()
  await page.waitForURL(`${address}/owner`)
  const [first] = await credentials()
  expect(first).toMatchObject({ rpId: 'localhost', isResidentCredential: true })

  await page.goto(`${address}/staff/account`)
  expect(await violations(page)).toEqual([])
  expect(await page.getByText('You have 1.').count()).toBe(1)
  await page.getByRole('button', { name: 'Sign out' }).click()
  await page.waitForURL(`${address}/staff/sign-in`)
  expect(await violations(page)).toEqual([])
  await page.goto(`${address}/staff/account`)
  await page.getByRole('button', { name: 'Sign in with a passkey' }).click()
  await page.waitForURL(`${address}/staff/account`)

  clock.advance({ minutes: 6 })
  await page.getByRole('link', { name: 'See and change your passkeys' }).click()
  expect(await page.title()).toContain('Confirm that it is you')
  const before = await page.context().cookies()
  await page.getByRole('button', { name: 'Confirm with your passkey' }).click()
  await page.waitForURL(`${address}/staff/account/passkeys`)
  const after = await page.context().cookies()
  expect(after[0]).toMatchObject({ httpOnly: true, sameSite: 'Lax', path: '/' })
  expect(after[0]?.value).not.toBe(before[0]?.value)
  expect(await page.getByText('Desk, added').count()).toBe(1)

  // The only way in stays.
  await page.getByRole('button', { name: 'Remove' }).click()
  expect(await page.getByText('This is your only way in').count()).toBe(1)

  // The same device is not added twice; another is.
  await page.goto(`${address}/staff/account/passkeys`)
  await page.getByRole('button', { name: 'Add a passkey on this device' }).click()
  await page.getByText('This device already has a passkey for you.').waitFor()
  await cdp.send('WebAuthn.removeVirtualAuthenticator', { authenticatorId })
  await device(page)
  await page.getByLabel('A name for this passkey').fill('Laptop <b>')
  await page.getByRole('button', { name: 'Add a passkey on this device' }).click()
  await page.getByText('Laptop <b>, added').waitFor()
  await page.getByRole('listitem').filter({ hasText: 'Desk' }).getByRole('button', { name: 'Remove' }).click()
  await page.getByText('Desk, added').waitFor({ state: 'detached' })

  // The removed one opens nothing any more.
  await page.getByRole('button', { name: 'Sign out' }).click()
  const rows = await inClinic(service, db.clinicId, ({ tx }) => tx.select().from(passkey))
  expect(rows.map((row) => row.label)).toEqual(['Laptop <b>'])
  expect(faults).toEqual([])
})

test('what a device answered opens once, and not without its lock', async () => {
  const invited = await inClinic(service, db.clinicId, (scope) =>
    inviteStaff(scope, { name: 'Posy Tallentire', email: 'posy@clinic.example', role: 'reception' }),
  )
  if ('taken' in invited) throw new Error('taken')
  const { page, context } = await open()
  const { cdp, authenticatorId } = await device(page)
  await page.goto(`${address}/staff/join/${invited.token}`)
  await page.getByRole('button', { name: 'Make a passkey on this device' }).click()
  await page.waitForURL(`${address}/reception`)
  await context.clearCookies()

  await page.goto(`${address}/staff/sign-in`)
  const answered = page.waitForRequest((request) => request.url().endsWith('/staff/sign-in/passkey'))
  await page.getByRole('button', { name: 'Sign in with a passkey' }).click()
  const body = (await answered).postData() as string
  await page.waitForURL(`${address}/reception`)
  await context.clearCookies()
  const send = (data: string, headers = {}) =>
    page.request.post(`${address}/staff/sign-in/passkey`, {
      data,
      headers: { 'content-type': 'application/json', accept: 'application/json', ...headers },
    })
  const again = await send(body)
  expect(again.status()).toBe(401)
  expect(await again.json()).toMatchObject({ error: 'This passkey did not let you in.' })
  expect(await context.cookies()).toEqual([])

  // A fresh answer, kept from the service until now: good as it is, worthless with any part changed.
  const keep = async () => {
    let kept = ''
    await page.route('**/staff/sign-in/passkey', (route) => {
      kept = route.request().postData() ?? ''
      return route.fulfill({ status: 401, json: { error: 'Kept.' } })
    })
    await page.goto(`${address}/staff/sign-in`)
    await page.getByRole('button', { name: 'Sign in with a passkey' }).click()
    await page.getByText('Kept.').waitFor()
    await page.unroute('**/staff/sign-in/passkey')
    return JSON.parse(kept) as { response: { id: string; response: Record<string, string> } }
  }
  for (const part of ['clientDataJSON', 'authenticatorData', 'signature', 'userHandle']) {
    const answer = await keep()
    const whole = answer.response.response[part] as string
    answer.response.response[part] = whole.slice(0, -4) + (whole.endsWith('AAAA') ? 'BBBB' : 'AAAA')
    expect((await send(JSON.stringify(answer))).status(), part).toBe(401)
  }
  const late = await keep()
  clock.advance({ minutes: 6 })
  expect((await send(JSON.stringify(late))).status(), 'after its five minutes').toBe(401)
  const good = await keep()
  expect((await send(JSON.stringify(good), { 'sec-fetch-site': 'cross-site' })).status()).toBe(403)
  expect((await send(JSON.stringify(good))).status()).toBe(200)
  await context.clearCookies()

  // The device does not check who holds it.
  await cdp.send('WebAuthn.setUserVerified', { authenticatorId, isUserVerified: false })
  await page.goto(`${address}/staff/sign-in`)
  await page.getByRole('button', { name: 'Sign in with a passkey' }).click()
  await page.getByText('That was stopped, or took too long.').waitFor()
  expect(await context.cookies()).toEqual([])

  // A challenge that nobody answers within five minutes is dead.
  const asked = await page.request.post(`${address}/staff/sign-in/passkey/options`, {
    data: '{}',
    headers: { 'content-type': 'application/json' },
  })
  expect(asked.status()).toBe(200)
  clock.advance({ minutes: 6 })
  await page.request.post(`${address}/staff/sign-in/passkey/options`, {
    data: '{}',
    headers: { 'content-type': 'application/json' },
  })
  const left = await inClinic(service, db.clinicId, ({ tx }) => tx.select().from(signInChallenge))
  expect(left).toHaveLength(1)
})

test('the pages work at 320 px without sideways scroll, without scripts, and with targets of 44 px', async () => {
  const { page } = await open({ viewport: { width: 320, height: 640 }, javaScriptEnabled: false })
  for (const path of ['/staff/sign-in', '/nowhere']) {
    await page.goto(`${address}${path}`)
    const wide = await page.locator('html').evaluate((html) => html.scrollWidth)
    expect(wide, path).toBeLessThanOrEqual(320)
    for (const target of await page.locator('button:visible, input:visible').all()) {
      expect((await target.boundingBox())?.height, path).toBeGreaterThanOrEqual(44)
    }
  }
})
