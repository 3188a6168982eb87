/** `npm run pictures`: the README's pictures, taken anew from the demo clinic. */
import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { serve } from '@hono/node-server'
import { chromium } from 'playwright-core'
import { promptJobs } from '../../jobs/index.ts'
import { createApp } from '../../src/app.ts'
import { drivenClock } from '../../src/clock.ts'
import { readConfig } from '../../src/config.ts'
import { freePort } from '../../src/database/embedded.ts'
import { openDatabase } from '../../src/database/open.ts'
import { seedDemo } from '../../src/demo/seed.ts'
import { closeLive } from '../../src/faces/shared/live.ts'
import { handleReply } from '../../src/flow/replies.ts'
import { handset } from '../../src/messages/transports/handset.ts'
import { launchBrowser } from '../support/browser.ts'

const folder = new URL('../../src/faces/pictures/', import.meta.url).pathname
const data = mkdtempSync(join(tmpdir(), 'foreaft-pictures-'))
const port = await freePort()
const address = `http://127.0.0.1:${port}`
// Always the same day, so that the pictures change only with the pages.
const clock = drivenClock('2026-11-25T10:45:00Z')
const config = readConfig({ FOREAFT_DATA: data })
const database = await openDatabase(config, clock, address)
const { service, owner } = database
const deps = {
  transports: { handset },
  spool: data,
  onReply: async (on: typeof service, clinicId: string, replyId: string) =>
    void (await handleReply(on, clinicId, replyId)),
}
await seedDemo({ owner, service, jobs: promptJobs, deps })
const app = createApp({ service, config, log: () => {} })
const server = serve({ fetch: app.fetch, hostname: '127.0.0.1', port })
const running = await launchBrowser()
const browser = await chromium.connect(running.wsEndpoint())

async function take(name: string, person: RegExp, path: string, viewport: { width: number; height: number }) {
  const context = await browser.newContext({ viewport, deviceScaleFactor: 1 })
  const page = await context.newPage()
  await page.goto(`${address}/staff/sign-in`)
  await page.getByRole('button', { name: person }).click()
  await page.goto(`${address}${path}`)
  await page.evaluate(() => document.fonts.ready)
  if (path === '/handset') {
    await page.getByRole('link', { name: 'Agnes Thorley' }).click()
    await page.goto(
      `${address}${await page.locator('li', { hasText: 'How many times' }).last().locator('a').getAttribute('href')}`,
    )
  }
  await page.screenshot({ path: join(folder, `${name}.png`) })
  await context.close()
}

try {
  await take('clinician', /Ottoline/, '/clinician', { width: 900, height: 1000 })
  await take('reception', /Posy/, '/reception', { width: 900, height: 1000 })
  await take('patient', /Posy/, '/handset', { width: 390, height: 780 })
} finally {
  await browser.close()
  await running.close()
  closeLive(service)
  server.close()
  await database.close()
  rmSync(data, { recursive: true, force: true })
}
