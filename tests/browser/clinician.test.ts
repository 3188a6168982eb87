/** A clinician triages a concern from the queue to its close in a real browser, narrow and wide, and records a visit. */
import { mkdirSync } from 'node:fs'
import { AxeBuilder } from '@axe-core/playwright'
import type { BrowserContext, Page } from 'playwright-core'
import { expect, test } from 'vitest'
import { startSession } from '../../src/access/sessions.ts'
import { getConcern } from '../../src/concerns/store.ts'
import { inClinic } from '../../src/database/service.ts'
import { inFlow } from '../../src/flow/context.ts'
import { defaultProtocol } from '../../src/protocol/document.ts'
import { draftProtocol } from '../../src/protocol/store.ts'
import { answerHistory, book, writes } from '../database/clinician-fixtures.ts'
import { staffClinic } from '../support/clinic.ts'
import { testDatabase } from '../support/database.ts'
import { testPages } from '../support/pages.ts'

const db = await testDatabase('2026-03-02T09:00:00Z')
const { clinicId } = db
const staff = await staffClinic(db.service, clinicId)
const maud = await book(db.service, clinicId, { name: 'Maud Pellow', start: '2026-03-12T10:00' })
await answerHistory(db.service, clinicId, maud.reference)
const { service, address, open } = await testPages(db)

const widths = { narrow: { width: 320, height: 800 }, wide: { width: 1280, height: 900 } }

async function signIn(context: BrowserContext, staffId: string): Promise<void> {
  const token = await inClinic(service, clinicId, (scope) => startSession(scope, staffId, 'test'))
  await context.addCookies([{ name: 'foreaft', value: `${clinicId}.${token}`, url: address }])
}

/** No fault that axe can see, nothing wider than the screen; kept as a picture where a folder is named. */
async function sound(page: Page, name: string): Promise<void> {
  const folder = process.env.FOREAFT_PICTURES
  if (folder) {
    mkdirSync(folder, { recursive: true })
    await page.screenshot({ path: `${folder}/${name}.png`, fullPage: true })
    const [width, height] = [page.viewportSize()?.width ?? 0, 1500]
    for (const part of [0, 1, 2, 3, 4])
      await page
        .screenshot({
          path: `${folder}/${name}-${part}.png`,
          fullPage: true,
          clip: { x: 0, y: part * height, width, height },
        })
        .catch(() => {})
  }
  const { violations } = await new AxeBuilder({ page: page as never })
    .withTags(['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa'])
    .analyze()
  expect(
    violations.map(({ id, nodes }) => `${name}: ${id} ${nodes[0]?.html}`),
    name,
  ).toEqual([])
  const wide = await page.evaluate(() => document.documentElement.scrollWidth - window.innerWidth)
  expect(wide, `${name} is wider than the screen`).toBeLessThanOrEqual(0)
}

for (const [size, viewport] of Object.entries(widths)) {
  test(`a concern goes from the queue to closed, ${size}`, async () => {
    const { context, page, faults } = await open({ viewport })
    await signIn(context, staff.first)
    await page.goto(`${address}/clinician`)
    // Written while the page stands open: it comes by itself.
    const { concernId } = await writes(
      service,
      clinicId,
      maud.mobile,
      'Since yesterday I cannot hear with my right ear, it went all of a sudden. No pain. Bit dizzy when I stand up.',
    )
    const item = page.locator(`#concern-${concernId}`)
    await item.waitFor({ timeout: 10_000 })
    await sound(page, `${size}-queue`)
    await item.getByRole('button', { name: /Take it/ }).press('Enter')
    await page.getByText('You have this concern now.').waitFor()
    await sound(page, `${size}-concern`)
    await page
      .getByLabel('Write to the patient')
      .fill('Please come in today at 2:30pm. Do not drive yourself.')
    await page.getByRole('button', { name: 'See the text before it goes' }).click()
    await page.getByText('from Ottoline Marsh: Please come in today').waitFor()
    await sound(page, `${size}-send`)
    await page.getByRole('button', { name: 'Send it' }).click()
    await page.getByText('Your text is on its way to the patient.').waitFor()
    await page.getByLabel('To be seen here today').check()
    await page.getByLabel('Note', { exact: true }).fill('Seen at 2:30')
    await page.getByRole('button', { name: 'Close it' }).click()
    await page.getByText('Closed.', { exact: true }).waitFor()
    await sound(page, `${size}-closed`)
    expect(await inFlow(service, clinicId, (flow) => getConcern(flow, concernId))).toMatchObject({
      status: 'closed',
      outcome: 'visit-today',
    })
    await page.goto(`${address}/clinician/patients/${maud.patient.patientId}`)
    await sound(page, `${size}-patient`)
    expect(faults).toEqual([])
  })
}

test('the rules are readable and editable on a narrow screen', async () => {
  const { context, page, faults } = await open({ viewport: widths.narrow })
  await signIn(context, staff.first)
  await page.goto(`${address}/protocol`)
  await sound(page, 'narrow-rules')
  await page.goto(`${address}/protocol/1/edit?part=urgency.trends`)
  await sound(page, 'narrow-edit')
  const draft = structuredClone(defaultProtocol)
  draft.urgency.bands.today += 2
  for (const row of draft.urgency.floors) if (row.id === 'f-ringing') row.urgency = 'now'
  const version = await inClinic(service, clinicId, (scope) =>
    draftProtocol(scope, { document: draft, note: 'Ringing at once', by: staff.second }),
  )
  await writes(service, clinicId, maud.mobile, 'I have had a ringing noise since Sunday')
  await page.goto(`${address}/protocol/${version}`)
  await page.getByText('What changed since version 1').waitFor()
  await page.getByRole('link', { name: 'Try it on the stored replies' }).click()
  await page.getByText(/judged: \d+ would change/).waitFor()
  await sound(page, 'narrow-replay')
  await page.setViewportSize(widths.wide)
  await sound(page, 'wide-replay')
  await page.goto(`${address}/protocol/${version}/sign`)
  await sound(page, 'wide-sign')
  await page.goto(`${address}/protocol/${version}/upload`)
  await sound(page, 'wide-upload')
  expect(faults).toEqual([])
})

test('a colleague sees at once who has it; typed words survive what changes around them', async () => {
  const one = await open({ viewport: widths.wide })
  const two = await open({ viewport: widths.wide })
  await signIn(one.context, staff.first)
  await signIn(two.context, staff.second)
  const { concernId } = await writes(service, clinicId, maud.mobile, 'sore, 5 out of 10')
  await two.page.goto(`${address}/clinician/concerns/${concernId}`)
  await two.page.getByText('Nobody has it yet.').waitFor()
  await one.page.goto(`${address}/clinician/concerns/${concernId}`)
  await one.page.getByRole('button', { name: 'Take it' }).click()
  await two.page.getByText('Ottoline Marsh has it').waitFor({ timeout: 10_000 })
  await one.page.getByLabel('Write to the patient').fill('How is it now?')
  await writes(service, clinicId, maud.mobile, 'now it is 8 out of 10 and throbbing')
  await one.page.getByText('This has changed since you opened it.').waitFor({ timeout: 10_000 })
  expect(await one.page.getByLabel('Write to the patient').inputValue()).toBe('How is it now?')
})

test('without scripts the queue, the claim and the record work', async () => {
  const { context, page } = await open({ viewport: widths.narrow, javaScriptEnabled: false })
  const { concernId } = await writes(service, clinicId, maud.mobile, 'brown smelly stuff on the pillow')
  await signIn(context, staff.second)
  await page.goto(`${address}/clinician`)
  await page
    .locator(`#concern-${concernId}`)
    .getByRole('button', { name: /Take it/ })
    .click()
  await page.getByText('You have this concern now.').waitFor()
})

test('the day sheet prints a line a patient, and a visit is recorded by taps', async () => {
  const { visit, patient } = await book(service, clinicId, {
    name: 'Emrys Tolland',
    start: '2026-03-02T11:00',
  })
  for (const [size, viewport] of Object.entries(widths).toReversed()) {
    const { context, page } = await open({ viewport })
    await signIn(context, staff.first)
    await page.goto(`${address}/clinician/day`)
    await sound(page, `${size}-day`)
    await page.emulateMedia({ media: 'print' })
    await sound(page, `${size}-day-print`)
    await page.emulateMedia({ media: 'screen' })
    await page.goto(`${address}/clinician/visits/${visit.visitId}/procedure`)
    await page.getByRole('button', { name: 'Save the record' }).click()
    await page.getByText('Please mend this').waitFor()
    await sound(page, `${size}-procedure-errors`)
    const ears = size === 'narrow' ? ['Left', 'Right'] : []
    for (const ear of ears) {
      const part = page.getByRole('region', { name: `${ear} ear` })
      for (const label of [
        'Hard and dry',
        'Hard wax',
        'Suction',
        'Part-cleared',
        'Sore',
        'Not seen',
        'Discomfort',
      ])
        await part.getByText(label, { exact: true }).click()
    }
    if (ears.length === 0) continue
    await page.getByRole('button', { name: 'Save the record' }).click()
    await page.getByText('What follows').waitFor()
    await sound(page, `${size}-recorded`)
  }
  expect(patient.name).toBe('Emrys Tolland')
})
