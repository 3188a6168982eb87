/** Patients' pages in a real browser: without scripts, on a small telephone, with large text, and for assistive technology. */
import { mkdirSync } from 'node:fs'
import { AxeBuilder } from '@axe-core/playwright'
import type { Page } from 'playwright-core'
import { afterAll, beforeAll, expect, test } from 'vitest'
import { deliver } from '../../jobs/deliver.ts'
import { createClinic } from '../../src/clinic.ts'
import { recordProcedure } from '../../src/flow/aftercare.ts'
import { inFlow } from '../../src/flow/context.ts'
import { proposeMove } from '../../src/flow/moves.ts'
import { book, linkIn, planFor } from '../database/patient-fixtures.ts'
import { openSlot, runJobs, staffClinic } from '../support/clinic.ts'
import { testDatabase, testKeys, testSettings } from '../support/database.ts'
import { testPages } from '../support/pages.ts'
import { webTest } from '../support/web.ts'

// Monday.
const db = await testDatabase('2026-03-02T09:00:00Z')
const { address, service, open } = await testPages(db)
const { clinicId } = db

/** Where pictures of the pages go, for whoever wants to look at them. */
const pictures = process.env.FOREAFT_PICTURES
const SMALL = { width: 320, height: 640 }

const links: Record<string, string> = {}
beforeAll(async () => {
  if (pictures) mkdirSync(pictures, { recursive: true })
  const { first } = await staffClinic(service, clinicId)
  const asked = await book(service, clinicId, 'B1')
  links.history = await linkIn(service, clinicId, asked.patient.patientId, 'screening-invitation')
  await book(service, clinicId, 'B2')
  const planned = await planFor(service, clinicId, 'B2')
  links.dose = await linkIn(service, clinicId, planned.patient.patientId, 'dose-question')
  links.visit = await linkIn(service, clinicId, planned.patient.patientId, 'visit-reminder')
  const treated = await book(service, clinicId, 'B3', { purpose: 'recheck', start: '2026-03-04T10:00' })
  await inFlow(service, clinicId, (flow) =>
    recordProcedure(
      flow,
      treated.visit.visitId,
      {
        ears: [
          {
            ear: 'left',
            found: ['hard-wax'],
            softness: 'firm',
            methods: ['suction'],
            result: 'cleared',
            canal: ['sore'],
            drum: 'normal',
            felt: ['nothing'],
            advice: '',
          },
        ],
      },
      first,
    ),
  )
  links.check = await linkIn(service, clinicId, treated.patient.patientId, 'aftercare-check')
  const moved = await book(service, clinicId, 'B4', { start: '2026-03-19T10:00' })
  const slotIds = [
    await openSlot(service, clinicId, '2026-03-20T10:00:00Z'),
    await openSlot(service, clinicId, '2026-03-23T14:30:00Z'),
    await openSlot(service, clinicId, '2026-03-25T09:00:00Z'),
  ]
  await inFlow(service, clinicId, (flow) =>
    proposeMove(flow, {
      visitId: moved.visit.visitId,
      slotIds,
      reason: 'Your drops need more days.',
      proposedBy: null,
      deadlineAt: flow.now.add({ hours: 24 }),
    }),
  )
  links.move = await linkIn(service, clinicId, moved.patient.patientId, 'move-proposal')
})

/** What is wrong with the page as it stands, for each of the demands on it. */
async function faultsOf(page: Page, name: string): Promise<string[]> {
  const { violations } = await new AxeBuilder({ page: page as never })
    .withTags(['wcag2a', 'wcag2aa', 'wcag21aa', 'wcag22aa', 'best-practice'])
    .analyze()
  const seen = await page.evaluate(() => {
    const wide = document.documentElement.scrollWidth - document.documentElement.clientWidth
    const targets = [
      ...document.querySelectorAll('a[href], button, input:not([type=hidden]), textarea, label.choice'),
    ]
      .filter((one) => !one.closest('label.choice') || one.matches('label.choice'))
      .filter((one) => !one.classList.contains('skip'))
    const small = targets.flatMap((one) => {
      const { width, height } = one.getBoundingClientRect()
      return height < 48 || width < 48 ? [`${one.outerHTML.slice(0, 80)} is ${width} x ${height}`] : []
    })
    const tiny = [...document.querySelectorAll('p, li, label, legend, button, a, span')].flatMap((one) =>
      Number.parseFloat(getComputedStyle(one).fontSize) < 20 && (one.textContent ?? '').trim()
        ? [`small text: ${one.textContent?.slice(0, 40)}`]
        : [],
    )
    return { wide, small, tiny }
  })
  if (pictures) {
    const { width } = page.viewportSize() ?? { width: 0 }
    await page.screenshot({ path: `${pictures}/${name}-${width}.png`, fullPage: true })
  }
  return [
    ...violations.map((one) => `${one.id}: ${one.nodes[0]?.html}`),
    ...(seen.wide > 0 ? [`${seen.wide} px too wide`] : []),
    ...seen.small,
    ...seen.tiny,
  ].map((fault) => `${name}: ${fault}`)
}

afterAll(() => {
  // Cleared, so that a later file does not inherit it.
  for (const key of Object.keys(links)) delete links[key]
})

for (const [device, viewport] of [
  ['a small telephone', SMALL],
  ['a desk', { width: 1280, height: 900 }],
] as const) {
  test(`on ${device}: each page is wide enough, large enough and without a violation`, async () => {
    const { page, faults } = await open({ viewport })
    const found: string[] = []
    const look = async (name: string) => found.push(...(await faultsOf(page, name)))

    await page.goto(`${address}/p/${links.dose}`)
    await look('dose')
    await page.goto(`${address}/p/${links.dose}/ears`)
    await look('ears')
    await page.goto(`${address}/p/${links.dose}/words`)
    await look('words')
    await page.goto(`${address}/p/${links.dose}/stop`)
    await look('stop')
    await page.goto(`${address}/p/brackwater.AAAAAAAAAAAAAAAAAAAAAA`)
    await look('gone')
    await page.goto(`${address}/p/${links.history}`)
    await look('gate')
    await page.getByLabel('What year were you born in?').fill('1931')
    await page.getByRole('button', { name: 'Go on' }).click()
    await look('wrong-year')
    await page.getByLabel('What year were you born in?').fill('1941')
    await page.getByRole('button', { name: 'Go on' }).click()
    await look('history')
    for (const link of ['visit', 'move'] as const) {
      await page.goto(`${address}/p/${links[link]}`)
      await page.getByLabel('What year were you born in?').fill('1941')
      await page.getByRole('button', { name: 'Go on' }).click()
      await look(link)
    }
    await page.goto(`${address}/p/${links.check}`)
    await look('check')
    await page.getByRole('button', { name: 'Send my answers' }).click()
    await look('check-empty')
    expect(found).toEqual([])
    expect(faults).toEqual([])
  })
}

test('with text twice as large as usual on the smallest telephone nothing runs off the side', async () => {
  const { page } = await open({ viewport: SMALL })
  const wide: string[] = []
  for (const name of ['dose', 'check', 'visit', 'move', 'history'] as const) {
    await page.goto(`${address}/p/${links[name]}`)
    if (await page.getByLabel('What year were you born in?').count()) {
      await page.getByLabel('What year were you born in?').fill('1941')
      await page.getByRole('button', { name: 'Go on' }).click()
    }
    await page.evaluate(() => {
      document.documentElement.style.setProperty('font-size', '200%')
    })
    const over = await page.evaluate(
      () => document.documentElement.scrollWidth - document.documentElement.clientWidth,
    )
    if (pictures) await page.screenshot({ path: `${pictures}/${name}-twice.png`, fullPage: true })
    if (over > 0) wide.push(`${name}: ${over} px`)
  }
  expect(wide).toEqual([])
})

test('scripts switched off: drops in two taps, a history to its end, a new time, a worrying check', async () => {
  const { page, faults } = await open({ viewport: SMALL, javaScriptEnabled: false })
  await page.goto(`${address}/p/${links.dose}`)
  await page.getByRole('button', { name: '2 times', exact: true }).click()
  await page.getByText('We have noted drops twice for').waitFor()
  if (pictures) await page.screenshot({ path: `${pictures}/dose-noted-320.png`, fullPage: true })

  await page.goto(`${address}/p/${links.history}`)
  await page.getByLabel('What year were you born in?').fill('1941')
  await page.getByRole('button', { name: 'Go on' }).click()
  for (const group of await page.getByRole('group').all())
    await group.getByText('No', { exact: true }).click()
  await page.getByRole('group', { name: 'hole in your eardrum' }).getByText('Yes').click()
  await page.getByRole('group', { name: 'grommets' }).getByText('Not sure').click()
  await page.getByRole('button', { name: 'Send my answers' }).click()
  if (pictures) await page.screenshot({ path: `${pictures}/history-more-320.png`, fullPage: true })
  expect(await page.getByRole('group').count()).toBe(3)
  await page.getByText('Here it is in other words.').waitFor()
  await page.getByRole('group', { name: 'last 6 months' }).getByText('No', { exact: true }).click()
  await page.getByRole('group', { name: 'has closed' }).getByText('Yes').click()
  await page.getByRole('group', { name: 'small tube' }).getByText('No', { exact: true }).click()
  await page.getByRole('button', { name: 'Send my answers' }).click()
  await page.getByText('We will text you about your drops.').waitFor()

  await page.goto(`${address}/p/${links.move}`)
  await page.getByLabel('What year were you born in?').fill('1941')
  await page.getByRole('button', { name: 'Go on' }).click()
  await page.getByRole('button', { name: 'Monday 23 March, 2:30pm' }).click()
  await page.getByText('Your visit is now on Monday 23 March, 2:30pm.').waitFor()
  if (pictures) await page.screenshot({ path: `${pictures}/move-taken-320.png`, fullPage: true })

  await page.goto(`${address}/p/${links.check}`)
  await page.getByRole('group', { name: 'pain' }).getByText('9', { exact: true }).click()
  await page
    .getByLabel('Is there anything else')
    .fill('I cannot stand up, the room is spinning and I keep being sick')
  await page.getByRole('button', { name: 'Send my answers' }).click()
  await page.getByRole('heading', { name: 'Please read this now' }).waitFor()
  expect(await page.getByRole('link', { name: 'Call 999' }).getAttribute('href')).toBe('tel:999')
  if (pictures) await page.screenshot({ path: `${pictures}/check-now-320.png`, fullPage: true })
  expect(faults).toEqual([])
})

test('the demo handset: a text arrives, is answered with one tap, and its link opens beside it', async () => {
  const demo = await createClinic(db.owner, testKeys, db.clock.now(), {
    slug: 'demo-rooms',
    name: 'Brackwater Ear Rooms',
    zone: 'Europe/London',
    demo: true,
    settings: testSettings,
  })
  await staffClinic(service, demo)
  const { patient } = await book(service, demo, 'H1', { name: 'Ambrose Invented' })
  await runJobs(service, [deliver])
  const person = await webTest(service).staff('reception', demo)
  const [name = '', value = ''] = person.cookie.split('=')
  for (const [device, viewport] of [
    ['320', SMALL],
    ['1280', { width: 1280, height: 900 }],
  ] as const) {
    const { page, context, faults } = await open({ viewport })
    await context.addCookies([{ name, value, url: address }])
    await page.goto(`${address}/handset`)
    await page.getByRole('link', { name: 'Ambrose Invented' }).waitFor()
    const found = async () =>
      (
        await new AxeBuilder({ page: page as never })
          .withTags(['wcag2a', 'wcag2aa', 'wcag21aa', 'wcag22aa'])
          .analyze()
      ).violations.map((one) => `${one.id}: ${one.nodes[0]?.html}`)
    expect(await found()).toEqual([])
    if (pictures) await page.screenshot({ path: `${pictures}/handset-list-${device}.png`, fullPage: true })
    await page.getByRole('link', { name: 'Ambrose Invented' }).click()
    await page.getByText('First we need to ask about your ears.').waitFor()
    if (device === '320') {
      await page.getByRole('button', { name: 'NONE' }).click()
      await page.getByText('From the patient').waitFor()
    }
    expect(await found()).toEqual([])
    expect(await page.evaluate(() => document.documentElement.scrollWidth)).toBeLessThanOrEqual(
      viewport.width,
    )
    if (pictures) await page.screenshot({ path: `${pictures}/handset-${device}.png`, fullPage: true })
    const opened = context.waitForEvent('page')
    await page.locator('.thread a').first().click()
    await (await opened).getByLabel('What year were you born in?').waitFor()
    expect(faults).toEqual([])
  }
  expect(patient.name).toBe('Ambrose Invented')
})

test('by keyboard alone: the focus is seen, and each answer can be given', async () => {
  const { page } = await open({ viewport: { width: 1280, height: 900 } })
  await page.goto(`${address}/p/${links.dose}`)
  await page.keyboard.press('Tab')
  await page.keyboard.press('Tab')
  const outline = await page.evaluate(() => getComputedStyle(document.activeElement as Element).outlineStyle)
  expect(outline).toBe('solid')
  await page.keyboard.press('Enter')
  await page.getByText('We have noted no drops for').waitFor()
})
