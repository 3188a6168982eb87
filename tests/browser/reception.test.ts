/** The front desk and the owner in a real browser, narrow and wide: acts done by hand, pages sound for everybody. */
import { mkdirSync } from 'node:fs'
import { AxeBuilder } from '@axe-core/playwright'
import type { BrowserContext, Page } from 'playwright-core'
import { Temporal } from 'temporal-polyfill'
import { expect, test } from 'vitest'
import { deliver } from '../../jobs/deliver.ts'
import { startSession } from '../../src/access/sessions.ts'
import type { EarRecord } from '../../src/aftercare/record.ts'
import { inClinic } from '../../src/database/service.ts'
import { putOnDesk } from '../../src/desk/store.ts'
import { recordProcedure } from '../../src/flow/aftercare.ts'
import { inFlow } from '../../src/flow/context.ts'
import { answerMove } from '../../src/flow/moves.ts'
import { noteDoses } from '../../src/flow/plans.ts'
import { takeAnswers } from '../../src/flow/screening.ts'
import { movesOf } from '../../src/softening/moves/store.ts'
import { noToAll } from '../../src/softening/screening.ts'
import { currentPlan } from '../../src/softening/store.ts'
import { importRows, openSlot, runJobs, staffClinic, visitAndPatient } from '../support/clinic.ts'
import { testDatabase } from '../support/database.ts'
import { testPages } from '../support/pages.ts'

const db = await testDatabase('2026-02-02T09:00:00Z')
const { clinicId } = db
const staff = await staffClinic(db.service, clinicId)
const softness = ['soft', 'hard-and-dry', 'firm', 'soft'] as const
const result = ['cleared', 'not-cleared', 'part-cleared', 'cleared'] as const

async function book(ref: string, name: string, start: string, answered = true) {
  const line = `${ref},${name},07700 9006${ref.slice(1)},,1940-01-01,${start},30,${Number(ref.slice(1)) % 2 ? 'Ottoline Marsh' : 'Fenwick Adair'},removal,both,`
  expect((await importRows(db.service, clinicId, [line])).problems).toEqual([])
  const { visit, patient } = await visitAndPatient(db.service, clinicId, ref)
  if (answered)
    await inFlow(db.service, clinicId, (flow) =>
      takeAnswers(flow, visit, patient, noToAll(flow.rules.softening), { byText: true }),
    )
  return visit
}

const ear = (i: number): EarRecord => ({
  ear: 'left',
  found: ['hard-wax'],
  softness: softness[i % 4] ?? 'soft',
  methods: ['suction'],
  result: result[i % 4] ?? 'cleared',
  canal: ['normal'],
  drum: 'normal',
  felt: ['nothing'],
  advice: '',
})

// A month that has been, for the evidence.
for (let i = 0; i < 12; i += 1) {
  const day = Temporal.PlainDate.from('2026-02-03').add({ days: 2 * i })
  const visit = await book(`P${10 + i}`, `Held ${i}`, `${day}T10:00`, i % 3 > 0)
  await runJobs(db.service, [deliver])
  db.clock.set(Temporal.Instant.from(`${day}T10:30:00Z`))
  await inFlow(db.service, clinicId, (flow) =>
    recordProcedure(flow, visit.visitId, { ears: [ear(i)] }, staff.first),
  )
}
db.clock.set(Temporal.Instant.from('2026-03-02T09:00:00Z'))
// Two who need more days, one without an answer to the history, one who is on time.
for (const [ref, name, start] of [
  ['V31', 'Bartholomew Featherstonehaugh-Quill', '2026-03-04T10:00'],
  ['V33', 'Agnes Thorley', '2026-03-05T10:00'],
] as const) {
  const visit = await book(ref, name, start)
  const plan = await inFlow(db.service, clinicId, (flow) => currentPlan(flow, visit.visitId))
  await inFlow(db.service, clinicId, (flow) =>
    noteDoses(flow, plan?.planId as string, '2026-03-02', { ears: null, done: 2, replyId: null }),
  )
}
await book('V34', 'Clementine Oke', '2026-03-12T10:00')
await book('V36', 'Edith Fallow', '2026-03-13T11:00', false)
for (const [day, time] of [
  ['09', '10:00'],
  ['10', '10:00'],
  ['11', '10:00'],
  ['12', '14:00'],
  ['16', '10:00'],
])
  await openSlot(db.service, clinicId, `2026-03-${day}T${time}:00Z`)
await inFlow(db.service, clinicId, async (flow) => {
  const { patient, visit } = await visitAndPatient(db.service, clinicId, 'V36')
  const about = { patientId: patient.patientId, visitId: visit.visitId }
  await putOnDesk(flow, {
    dedupe: 'a',
    kind: 'wishes-a-call',
    ...about,
    dueAt: flow.now.subtract({ hours: 1 }),
  })
})
await runJobs(db.service, [deliver])

const { service, clock, address, open } = await testPages(db, { jobLimits: { deliver: 3600 } })
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
  test(`every page of the front desk and of the owner is sound, ${size}`, async () => {
    const { context, page, faults } = await open({ viewport })
    await signIn(context, staff.desk)
    await page.goto(`${address}/reception`)
    for (const summary of await page.locator('details:not([open]) > summary').all()) await summary.click()
    await sound(page, `${size}-front`)
    for (const [path, name] of [
      ['/reception/week', 'plan'],
      ['/reception/day?day=2026-03-04', 'day'],
      ['/reception/slots', 'slots'],
      ['/reception/import', 'import'],
      ['/reception/find', 'find'],
    ] as const) {
      await page.goto(`${address}${path}`)
      await sound(page, `${size}-${name}`)
    }
    const { visit } = await visitAndPatient(service, clinicId, 'V31')
    await page.goto(`${address}/reception/visits/${visit.visitId}`)
    await sound(page, `${size}-visit`)
    await page.goto(`${address}/reception`)
    await page
      .getByRole('link', { name: /Book a visit/ })
      .first()
      .click()
    await page.getByRole('heading', { name: 'Book a visit' }).waitFor()
    await sound(page, `${size}-book`)
    await context.clearCookies()
    await signIn(context, staff.owner)
    for (const [path, name] of [
      ['/owner', 'evidence'],
      ['/owner/jobs', 'jobs'],
      ['/owner/settings', 'settings'],
    ] as const) {
      await page.goto(`${address}${path}`)
      await sound(page, `${size}-${name}`)
    }
    expect(faults).toEqual([])
  })
}

test('a receptionist accepts an action, the patient answers, and the open page follows', async () => {
  const { context, page, faults } = await open({ viewport: widths.wide })
  await signIn(context, staff.desk)
  await page.goto(`${address}/reception/week`)
  const { visit } = await visitAndPatient(service, clinicId, 'V31')
  await page.getByRole('button', { name: /^Offer .*Bartholomew/ }).click()
  await page.getByText('The times are held, and the patient is asked.').waitFor()
  await page.goto(`${address}/reception/visits/${visit.visitId}`)
  await page.getByText('asked; no answer yet').waitFor()
  // The patient answers while the page stands open.
  const move = (await inFlow(service, clinicId, (flow) => movesOf(flow, [visit.visitId]))).at(-1)
  await inFlow(service, clinicId, (flow) => answerMove(flow, move?.moveId as string, 0))
  await page.getByText('taken by the patient').waitFor({ timeout: 10_000 })
  expect((await visitAndPatient(service, clinicId, 'V31')).visit.startAt.toString()).toBe(
    move?.choices[0]?.startAt,
  )

  await page.goto(`${address}/reception/slots`)
  await page.getByLabel('Day', { exact: true }).fill('2026-03-17')
  await page.getByLabel('Times of day').fill('09:00, 09:40')
  await page.getByRole('button', { name: 'Open these times' }).press('Enter')
  await page.getByText('Opened.').waitFor()
  await page.getByRole('button', { name: /Take away Tuesday 17 March, 9:40am/ }).click()
  await page.getByText('Taken away.').waitFor()

  await page.goto(`${address}/reception/import`)
  await page.getByLabel('CSV file').setInputFiles({
    name: 'visits.csv',
    mimeType: 'text/csv',
    buffer: Buffer.from(
      'reference,name,mobile,start,minutes,practitioner,purpose,ears\nN1,Nora Flint,07700 900777,2026-03-20T09:00,30,Ottoline Marsh,removal,left\nN2,No Time,07700 900778,soon,30,Ottoline Marsh,removal,left\n',
    ),
  })
  await page.getByRole('button', { name: 'Import' }).click()
  await page.getByText('2 rows: 1 booked, 0 changed, 0 cancelled, 0 as before, 1 to mend.').waitFor()
  await sound(page, 'wide-imported')
  await page.goto(`${address}/reception/find`)
  await page.getByLabel(/Mobile number/).fill('07700 900777')
  await page.getByRole('button', { name: 'Find' }).click()
  await page.getByRole('heading', { name: 'Nora Flint' }).waitFor()
  expect(page.url()).not.toContain('900777')
  await sound(page, 'wide-found')
  expect(faults).toEqual([])
})

test('the pages work without scripts, and the settings say what to mend', async () => {
  const { context, page } = await open({ viewport: widths.narrow, javaScriptEnabled: false })
  await signIn(context, staff.owner)
  await page.goto(`${address}/owner/settings`)
  await page.getByLabel('Monday').fill('17:00-09:00')
  await page.getByRole('button', { name: 'Save' }).click()
  await page.getByText('Please mend this:').waitFor()
  expect(await page.getByLabel('Monday').inputValue()).toBe('17:00-09:00')
  await page.getByLabel('Monday').fill('08:30-12:30, 13:15-17:30')
  await page.getByRole('button', { name: 'Save' }).click()
  await page.getByText('Saved.').waitFor()
  clock.advance({ minutes: 1 })
  await page.goto(`${address}/reception`)
  await page.getByRole('button', { name: /Settled ?: The patient wishes to be called/ }).click()
  await page.getByText('Settled.', { exact: true }).waitFor()
})
