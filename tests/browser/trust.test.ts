/** The owner looks at the records in a real browser, narrow and wide, and erases a patient. */
import { mkdirSync } from 'node:fs'
import { AxeBuilder } from '@axe-core/playwright'
import type { Page } from 'playwright-core'
import { expect, test } from 'vitest'
import { startSession } from '../../src/access/sessions.ts'
import { inClinic } from '../../src/database/service.ts'
import { importRows, staffClinic, visitAndPatient } from '../support/clinic.ts'
import { testDatabase } from '../support/database.ts'
import { testPages } from '../support/pages.ts'

const db = await testDatabase('2026-03-02T09:00:00Z')
const { clinicId } = db
const staff = await staffClinic(db.service, clinicId)
const row = (status: string) =>
  `B1,Isolde Penhallow,07700 900361,isolde@patients.example,1941-05-06,2026-03-16 10:00,30,Ottoline Marsh,removal,both,${status}`
await importRows(db.service, clinicId, [row('booked')])
const { patient } = await visitAndPatient(db.service, clinicId, 'B1')
const { service, address, open } = await testPages(db)

async function sound(page: Page, name: string): Promise<void> {
  const folder = process.env.FOREAFT_PICTURES
  if (folder) {
    mkdirSync(folder, { recursive: true })
    await page.screenshot({ path: `${folder}/${name}.png`, fullPage: true })
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

for (const width of [320, 1280]) {
  test(`the records are sound at ${width} px`, async () => {
    const { context, page, faults } = await open({ viewport: { width, height: 900 } })
    const token = await inClinic(service, clinicId, (scope) => startSession(scope, staff.owner, 'test'))
    await context.addCookies([{ name: 'foreaft', value: `${clinicId}.${token}`, url: address }])
    for (const path of [
      '',
      '/audit',
      '/hazards',
      '/privacy',
      `/patients/${patient.patientId}`,
      `/patients/${patient.patientId}/erase`,
      `/patients/${patient.patientId}/consent`,
    ]) {
      await page.goto(`${address}/trust${path}`)
      await sound(page, `${width}-trust${path.replaceAll('/', '-').replace(patient.patientId, 'one')}`)
    }
    expect(faults).toEqual([])
  })
}

test('a patient is found by number and erased; the report says what stays', async () => {
  const { context, page, faults } = await open({ viewport: { width: 320, height: 900 } })
  const token = await inClinic(service, clinicId, (scope) => startSession(scope, staff.owner, 'test'))
  await context.addCookies([{ name: 'foreaft', value: `${clinicId}.${token}`, url: address }])
  await page.goto(`${address}/trust/audit`)
  await page.getByLabel('One patient').fill('07700 900361')
  await page.getByRole('button', { name: 'Find' }).click()
  await page.getByRole('heading', { name: 'Isolde Penhallow' }).waitFor()
  await page.getByRole('link', { name: 'Erase' }).click()
  await page.getByLabel('To erase, write ERASE').fill('ERASE')
  await page.getByRole('button', { name: 'Erase now' }).click()
  await page.getByText('A visit is still to come').first().waitFor()
  await sound(page, 'erase-refused')
  await importRows(service, clinicId, [row('cancelled')])
  await page.getByLabel('To erase, write ERASE').fill('ERASE')
  await page.getByRole('button', { name: 'Erase now' }).click()
  await page.getByText('Everything but the record of who saw it was erased.').waitFor()
  await sound(page, 'erased')
  expect(faults).toEqual([])
})
