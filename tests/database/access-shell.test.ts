import { expect, test } from 'vitest'
import { createApp } from '../../src/app.ts'
import { readConfig } from '../../src/config.ts'
import { testDatabase } from '../support/database.ts'

const { service } = await testDatabase()
const app = createApp({ service, config: readConfig({}) })

test('a page needs a session, an unknown page says so', async () => {
  const none = await app.request('/staff')
  expect(none.status).toBe(303)
  expect(none.headers.get('location')).toBe('/staff/sign-in?next=%2Fstaff')
  const lost = await app.request('/nowhere')
  expect(lost.status).toBe(404)
  expect(await lost.text()).toContain('There is no such page.')
  expect(lost.headers.get('content-security-policy')).toContain("script-src 'self'")
  expect((await app.request('/assets/style.css')).headers.get('content-type')).toContain('text/css')
  expect((await app.request('/assets/webauthn.js')).status).toBe(200)
})
