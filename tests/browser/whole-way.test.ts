/** From an imported visit to a closed concern, by hand in a real browser: the main job, end to end. */
import { Temporal } from 'temporal-polyfill'
import { expect, test } from 'vitest'
import { deliver } from '../../jobs/deliver.ts'
import { startSession } from '../../src/access/sessions.ts'
import { inClinic } from '../../src/database/service.ts'
import { HEADER, openSlot, runJobs, staffClinic, visitAndPatient } from '../support/clinic.ts'
import { testDatabase } from '../support/database.ts'
import { testPages } from '../support/pages.ts'

// A Monday morning.
const db = await testDatabase('2026-03-02T09:00:00Z')
const { clinicId } = db
const staff = await staffClinic(db.service, clinicId)
// The handset is there in a demo clinic only.
await db.owner.begin(async (tx) => {
  await tx`select set_config('app.clinic', ${clinicId}, true)`
  await tx`update clinic set demo = true`
})
const { service, clock, address, open } = await testPages(db)

const MOBILE = '07700 900555'
const FILE = `${HEADER}
W-1,Winifred Oakes,${MOBILE},,1944-05-02,2026-03-09T10:00,30,Ottoline Marsh,removal,right,
W-2,Nobody At All,0123,,,2026-03-09T25:00,30,Ottoline Marsh,removal,right,
`

/** Somebody's window; each look signs in anew, since sessions end with the hours that pass here. */
async function windowOf(staffId: string) {
  const opened = await open({ viewport: { width: 1100, height: 900 } })
  const look = async (path: string) => {
    const token = await inClinic(service, clinicId, (scope) => startSession(scope, staffId, 'test'))
    await opened.context.addCookies([{ name: 'foreaft', value: `${clinicId}.${token}`, url: address }])
    await opened.page.goto(`${address}${path}`)
  }
  return { ...opened, look }
}

const later = async (at: string) => {
  clock.set(Temporal.Instant.from(at))
  await runJobs(service, [deliver])
}

test('import, history, drops, readiness, a move, the procedure, a worrying answer, triage', async () => {
  const desk = await windowOf(staff.desk)
  await desk.look(`/reception/import`)
  await desk.page
    .getByLabel('CSV file')
    .setInputFiles({ name: 'visits.csv', mimeType: 'text/csv', buffer: Buffer.from(FILE) })
  await desk.page.locator('form:has(#file) button').click()
  await desk.page.getByText('is not a telephone number').waitFor()
  const { visit, patient } = await visitAndPatient(service, clinicId, 'W-1')

  // The patient answers the history on the handset.
  await later('2026-03-02T09:05:00Z')
  const hand = await windowOf(staff.desk)
  const handset = `/handset/${patient.patientId}`
  await hand.look(handset)
  await hand.page.getByText('Have you ever had any of these?').waitFor()
  const send = async (words: string) => {
    await hand.look(handset)
    await hand.page.locator('textarea').fill(words)
    await hand.page.getByRole('button', { name: 'Send the text' }).click()
    await hand.page.getByText(words, { exact: true }).first().waitFor()
  }
  await send('NONE')

  // The daily question, answered by the link's two taps; the readiness follows.
  await later('2026-03-04T19:00:00Z')
  await hand.look(handset)
  const readiness = async () => {
    await desk.look(`/reception/visits/${visit.visitId}`)
    return /(\d+) %/.exec((await desk.page.locator('main').textContent()) ?? '')?.[1]
  }
  const before = await readiness()
  const link = hand.page.locator('a[href*="/p/"]').last()
  const told = await open({ viewport: { width: 320, height: 700 } })
  await told.page.goto(`${address}${await link.getAttribute('href')}`)
  await told.page.getByRole('button', { name: /^0/ }).first().click()
  await told.page.waitForLoadState()
  expect(await readiness()).not.toBe(before)

  // The desk proposes another time, and the patient takes it by text.
  await openSlot(service, clinicId, '2026-03-12T10:00:00Z')
  await desk.look(`/reception/visits/${visit.visitId}`)
  await desk.page
    .getByLabel(/12 March/)
    .first()
    .check()
  await desk.page.getByRole('button', { name: 'Offer these times' }).click()
  await desk.page.waitForLoadState()
  await later('2026-03-05T09:00:00Z')
  await send('1')
  expect((await visitAndPatient(service, clinicId, 'W-1')).visit.startAt.toString()).toBe(
    '2026-03-12T10:00:00Z',
  )

  // The clinician records a hard removal.
  clock.set(Temporal.Instant.from('2026-03-12T10:30:00Z'))
  const clinician = await windowOf(staff.first)
  await clinician.look(`/clinician/visits/${visit.visitId}/procedure`)
  const ear = clinician.page.getByRole('region', { name: 'Right ear' })
  for (const words of ['Hard and dry', 'Hard wax', 'Suction', 'Cleared', 'Grazed', 'Inflamed', 'Pain']) {
    await ear.getByText(words, { exact: true }).click()
  }
  await clinician.page.getByRole('button', { name: 'Save the record' }).click()
  await clinician.page.getByText('What follows').waitFor()

  // The check comes, and the answer cannot wait.
  await later('2026-03-13T10:30:00Z')
  await send('it has got much worse, 8 out of 10 and yellow stuff is coming out')
  await hand.page.getByText('We are not an emergency service').last().waitFor()

  await clinician.look(`/clinician`)
  const item = clinician.page.locator('[id^="concern-"]').filter({ hasText: 'yellow stuff' })
  await item.getByRole('button', { name: /Take it/ }).click()
  await clinician.page.getByText('You have this concern now.').waitFor()
  await clinician.page.getByLabel('To be seen here today').check()
  await clinician.page.getByLabel('Note', { exact: true }).fill('Seen at noon.')
  await clinician.page.getByRole('button', { name: 'Close it' }).click()
  await clinician.page.getByText('Closed.', { exact: true }).waitFor()
  const concerns = await inClinic(service, clinicId, ({ tx }) => tx.query.concern.findMany())
  expect(concerns.filter((one) => one.patientId === patient.patientId && one.status !== 'closed')).toEqual([])
  // A page left open while days pass loses its session, and its live updates with it.
  for (const one of [desk, hand, told, clinician]) {
    expect(one.faults.filter((fault) => !fault.startsWith('EventSource'))).toEqual([])
  }
}, 180_000)
