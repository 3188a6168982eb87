/** The service on a real port and a browser that looks at it, for the tests that need both. */
import { serve } from '@hono/node-server'
import { type Browser, type BrowserContext, chromium, type Page } from 'playwright-core'
import { afterAll, inject } from 'vitest'
import type { App } from '../../src/access/env.ts'
import { type AppOptions, createApp } from '../../src/app.ts'
import { type DrivenClock, drivenClock } from '../../src/clock.ts'
import { readConfig } from '../../src/config.ts'
import { freePort } from '../../src/database/embedded.ts'
import { openService, type Service } from '../../src/database/service.ts'
import { closeLive } from '../../src/faces/shared/live.ts'
import { type TestDatabase, testKeys } from './database.ts'

export interface TestPages {
  /** Without a slash at the end; its host is `localhost`, under which passkeys work. */
  address: string
  /** Takes further routes until its first request. */
  app: App
  service: Service
  clock: DrivenClock
  browser: Browser
  /** A new browser with no cookies, and its page. What goes wrong in the page fails the test that reads `faults`. */
  open(
    options?: Parameters<Browser['newContext']>[0],
  ): Promise<{ context: BrowserContext; page: Page; faults: string[] }>
}

/** Call at the top of a test file, after testDatabase; everything is closed after its tests. */
export async function testPages(db: TestDatabase, options: Partial<AppOptions> = {}): Promise<TestPages> {
  const port = await freePort()
  const address = `http://localhost:${port}`
  const clock = drivenClock(db.clock.now())
  const service = openService({ url: db.url, clock, masters: testKeys, publicUrl: address, connections: 6 })
  const app = createApp({ service, config: readConfig({}), log: () => {}, ...options })
  const server = serve({ fetch: app.fetch, hostname: '127.0.0.1', port })
  const browser = await chromium.connect(inject('browserUrl'))
  const contexts: BrowserContext[] = []
  afterAll(async () => {
    for (const context of contexts) await context.close().catch(() => {})
    await browser.close()
    closeLive(service)
    server.close()
    if ('closeAllConnections' in server) server.closeAllConnections()
    await service.close()
  })
  const open: TestPages['open'] = async (contextOptions = {}) => {
    const context = await browser.newContext(contextOptions)
    contexts.push(context)
    const page = await context.newPage()
    const faults: string[] = []
    page.on('pageerror', (error) => faults.push(`error: ${error.message}`))
    page.on('console', (message) => {
      if (message.type() === 'error' && !/status of 4\d\d/.test(message.text())) faults.push(message.text())
    })
    page.on('request', (request) => {
      if (!request.url().startsWith(address)) faults.push(`asked elsewhere: ${request.url()}`)
    })
    return { context, page, faults }
  }
  return { address, app, service, clock, browser, open }
}
