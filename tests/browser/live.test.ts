import { html } from 'hono/html'
import { expect, test } from 'vitest'
import { route } from '../../src/access/route.ts'
import { endSessionsOf } from '../../src/access/sessions.ts'
import { deskItem } from '../../src/database/schema.ts'
import { inClinic } from '../../src/database/service.ts'
import { page as layout, liveRegion } from '../../src/faces/shared/layout.ts'
import { testDatabase } from '../support/database.ts'
import { testPages } from '../support/pages.ts'
import { webTest } from '../support/web.ts'

const db = await testDatabase()
const { address, app, service, open } = await testPages(db)

route(app, 'get', '/test/items', 'account', async (c) => {
  const items = await inClinic(service, db.clinicId, ({ tx }) => tx.select().from(deskItem))
  const region = (id: string, topics: string[]) =>
    liveRegion(
      id,
      topics,
      html`<p>${items.length} items</p><form><label for="${id}-note">Note</label><input id="${id}-note" value=""></form>`,
    )
  const body = html`${region('own', ['desk_item'])}${region('other', ['concern'])}`
  return layout(c, { title: 'Items', face: 'staff', live: true, body })
})

const add = (dedupe: string) =>
  inClinic(service, db.clinicId, ({ tx, now }) =>
    tx.insert(deskItem).values({ clinicId: db.clinicId, dedupe, kind: 'test', openedAt: now }),
  )

test('an open page shows what changed, keeps what is being written, and leaves with the session', async () => {
  const { page, context, faults } = await open()
  const person = await webTest(service).staff('reception', db.clinicId)
  const [name, value] = person.cookie.split('=') as [string, string]
  await context.addCookies([{ name, value, url: address }])
  // The first word of the stream makes the page read once more, in case something changed just before.
  const again = page.waitForResponse(
    (response) => response.url() === `${address}/test/items` && response.request().resourceType() === 'fetch',
  )
  await page.goto(`${address}/test/items`)
  await again
  const own = page.locator('#own')
  expect(await own.getByText('0 items').count()).toBe(1)
  await add('one')
  await own.getByText('1 items').waitFor()
  // The part that listens for something else stays as it was.
  expect(await page.locator('#other').getByText('0 items').count()).toBe(1)

  await own.getByLabel('Note').fill('half a sentence')
  await add('two')
  await own.getByText('This has changed since you opened it.').waitFor()
  expect(await own.getByLabel('Note').inputValue()).toBe('half a sentence')
  expect(await own.getByText('1 items').count()).toBe(1)
  await own.getByRole('button', { name: 'Show how it is now' }).click()
  await own.getByText('2 items').waitFor()

  // While the service does not answer, the page says that it may be old, and mends itself after.
  await page.route('**/test/items', (request) => request.fulfill({ status: 500, body: '' }))
  await add('three')
  await page.locator('body.line-down').waitFor()
  await page.unroute('**/test/items')
  await own.getByText('3 items').waitFor({ timeout: 20_000 })
  await page.locator('body:not(.line-down)').waitFor()

  // After the session ended, the next change takes the page to the sign-in.
  await inClinic(service, db.clinicId, (scope) => endSessionsOf(scope, person.staffId))
  await add('four')
  await page.waitForURL(/\/staff\/sign-in/)
  expect(faults.filter((fault) => !/status of 500/.test(fault))).toEqual([])
})
