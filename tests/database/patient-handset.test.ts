/** The demo's handset on the real database: texts in order, links that open, texting back, and the clock moved on. */
import { mkdtempSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { jobs } from '../../jobs/index.ts'
import { createClinic } from '../../src/clinic.ts'
import { openService } from '../../src/database/service.ts'
import { shiftableClock } from '../../src/demo/clock.ts'
import { quickAnswers } from '../../src/faces/handset/quick.ts'
import { messagesOf, runJobs, staffClinic, visitAndPatient } from '../support/clinic.ts'
import { testDatabase, testKeys, testSettings } from '../support/database.ts'
import { type Person, webTest } from '../support/web.ts'
import { book, planFor, telephone, wordsOf } from './patient-fixtures.ts'

const db = await testDatabase()
const clock = shiftableClock(mkdtempSync(join(tmpdir(), 'foreaft-clock-')))
const service = openService({
  url: db.url,
  clock,
  masters: testKeys,
  publicUrl: 'http://127.0.0.1:4180',
  connections: 8,
})
afterAll(() => service.close())

const { app, staff } = webTest(service, { runJobs: () => runJobs(service, jobs) })
let clinicId = ''
let desk: Person
const day = (inDays: number, time: string): string =>
  `${clock.now().toZonedDateTimeISO('Europe/London').toPlainDate().add({ days: inDays })}T${time}`

beforeAll(async () => {
  // A weekday at noon, whenever this is run: opening and quiet hours are then the same each time.
  const now = clock.now().toZonedDateTimeISO('Europe/London')
  const noon = now
    .toPlainDate()
    .add({ days: 8 - now.dayOfWeek })
    .toZonedDateTime({ timeZone: 'Europe/London', plainTime: '12:00' })
  clock.shiftTo(noon.toInstant())
  clinicId = await createClinic(db.owner, testKeys, clock.now(), {
    slug: 'demo-rooms',
    name: 'Brackwater Ear Rooms',
    zone: 'Europe/London',
    demo: true,
    settings: testSettings,
  })
  await staffClinic(service, clinicId)
  await staffClinic(service, db.clinicId)
  desk = await staff('reception', clinicId)
})

const formId = (html: string) => /name="form" value="([^"]+)"/.exec(html)?.[1] ?? ''
const bubbles = (html: string) =>
  [...html.matchAll(/<li class="(clinic|patient)"[\s\S]*?<p class="said">([\s\S]*?)<\/p>/g)].map((one) => ({
    from: one[1],
    said: wordsOf(one[2] ?? '').trim(),
  }))

describe('who may hold it', () => {
  test('nobody without a session, and nobody where the clinic is none of the demo', async () => {
    expect((await app.request('/handset')).status).toBe(303)
    const real = await db.addClinic('real-rooms')
    await staffClinic(service, real)
    for (const role of ['clinician', 'reception', 'owner'] as const) {
      const person = await staff(role, real)
      expect((await person.get('/handset')).status).toBe(404)
      expect((await person.post('/handset/clock', { to: 'hour' })).status).toBe(404)
      expect((await (await staff(role, clinicId)).get('/handset')).status).toBe(200)
    }
  })

  test('a patient of another clinic is not there', async () => {
    const other = await createClinic(db.owner, testKeys, clock.now(), {
      slug: 'next-rooms',
      name: 'Next Ear Rooms',
      zone: 'Europe/London',
      demo: true,
      settings: testSettings,
    })
    await staffClinic(service, other)
    const { patient } = await book(service, other, 'X1', { start: day(9, '10:00') })
    expect((await desk.get(`/handset/${patient.patientId}`)).status).toBe(404)
    expect(
      (await desk.post(`/handset/${patient.patientId}`, { body: 'hello', form: 'AAAAAAAA' })).status,
    ).toBe(404)
    expect((await desk.get('/handset/not-an-id')).status).toBe(400)
  })
})

test('texts stand in the order of their arrival, their links open the pages, and what waits is not shown', async () => {
  const { patient } = await book(service, clinicId, 'T1', {
    start: day(9, '10:00'),
    name: 'Ambrose Invented',
  })
  const path = `/handset/${patient.patientId}`
  expect(bubbles(await (await desk.get(path)).text())).toEqual([])
  await runJobs(service, jobs)
  expect(await (await desk.get('/handset')).text()).toContain('Ambrose Invented')
  const html = await (await desk.get(path)).text()
  const [first, ...rest] = bubbles(html)
  expect(first?.said).toContain('First we need to ask about your ears.')
  expect(rest.every(({ from }) => from === 'clinic')).toBe(true)
  expect(html).not.toContain('Your visit is on')
  const href = /href="(\/p\/[^"]+)"/.exec(html)?.[1] as string
  expect((await telephone(app, href.slice(3)).get()).html).toContain('name="year"')
  expect(html).toContain('Born in 1941')
})

test('a text back is stored, read and answered; the same form twice is one; it follows what it answers', async () => {
  const { patient } = await visitAndPatient(service, clinicId, 'T1')
  const path = `/handset/${patient.patientId}`
  clock.shiftTo(clock.now().add({ minutes: 2 }))
  await runJobs(service, jobs)
  const before = await (await desk.get(path)).text()
  expect(before).toContain('value="NONE"')
  const form = formId(before)
  expect((await desk.post(path, { body: 'NONE', form })).status).toBe(303)
  expect((await desk.post(path, { body: 'NONE', form })).status).toBe(303)
  const after = bubbles(await (await desk.get(path)).text())
  expect(after.filter(({ from }) => from === 'patient')).toEqual([{ from: 'patient', said: 'NONE' }])
  expect(
    (await messagesOf(service, clinicId))
      .filter((one) => one.patientId === patient.patientId)
      .map(({ kind }) => kind),
  ).toContain('plan-start')
  expect((await desk.post(path, { body: ' ', form: 'ABCDEFGH' })).status).toBe(422)
})

test('words cannot become markup, and only our own addresses become links', async () => {
  const { patient } = await visitAndPatient(service, clinicId, 'T1')
  const path = `/handset/${patient.patientId}`
  await desk.post(path, {
    body: '<img src=x onerror=alert(1)> http://elsewhere.example/p/x',
    form: 'QQQQQQQQ',
  })
  const html = await (await desk.get(path)).text()
  expect(html).toContain('&lt;img src=x')
  expect(html).not.toMatch(/href="[^"]*elsewhere/)
})

describe('the clock', () => {
  test('is moved on step by step, the jobs with it, and whoever is signed in stays so', async () => {
    await book(service, clinicId, 'T2', { start: day(3, '15:00'), ears: 'left' })
    const { patient } = await planFor(service, clinicId, 'T2')
    const path = `/handset/${patient.patientId}`
    const before = clock.now()
    expect(
      (await desk.post('/handset/clock', { to: 'morning', patient: patient.patientId })).headers.get(
        'location',
      ),
    ).toBe(`${path}#end`)
    const now = clock.now().toZonedDateTimeISO('Europe/London')
    expect(now.toPlainDate().toString()).toBe(
      before.toZonedDateTimeISO('Europe/London').toPlainDate().add({ days: 1 }).toString(),
    )
    expect([now.hour, now.minute]).toEqual([9, 0])
    // The evening question of the first day went out on its evening: it was not jumped over.
    const said = bubbles(await (await desk.get(path)).text()).map((one) => one.said)
    expect(said.filter((one) => one.includes('How many times did you put drops in today?'))).toHaveLength(1)
    expect(said.some((one) => one.includes('Time for drops'))).toBe(true)
  })

  test('to the next text to this patient: then it is there, with answers at hand', async () => {
    const { patient } = await visitAndPatient(service, clinicId, 'T2')
    const path = `/handset/${patient.patientId}`
    const count = bubbles(await (await desk.get(path)).text()).length
    await desk.post('/handset/clock', { to: 'next', patient: patient.patientId })
    const html = await (await desk.get(path)).text()
    expect(bubbles(html).length).toBeGreaterThan(count)
    for (const number of ['0', '1', '2']) expect(html).toContain(`name="body" value="${number}"`)
  })

  test('an hour on is an hour; a jump that is none is refused', async () => {
    const before = clock.now()
    await desk.post('/handset/clock', { to: 'hour' })
    expect(Math.round(before.until(clock.now()).total('minutes'))).toBe(60)
    expect((await desk.post('/handset/clock', { to: 'yesterday' })).status).toBe(422)
    expect((await desk.post('/handset/clock', { to: 'constructor' })).status).toBe(422)
  })

  test('without a clock that can be moved there is nothing to tap, and a post is refused', async () => {
    const still = openService({
      url: db.url,
      clock: { now: () => clock.now() },
      masters: testKeys,
      publicUrl: 'http://127.0.0.1:4180',
      connections: 3,
    })
    const other = webTest(still)
    const person = await other.staff('owner', clinicId)
    const html = await (await person.get('/handset')).text()
    expect(html).not.toContain('/handset/clock')
    expect((await person.post('/handset/clock', { to: 'hour' })).status).toBe(409)
    await still.close()
  })

  test('a clock that is locked, because a real clinic is there, stays where it is', async () => {
    const locked = shiftableClock(mkdtempSync(join(tmpdir(), 'foreaft-clock-')))
    locked.lock()
    expect(locked.shiftTo(locked.now().add({ hours: 1 }))).toBe(false)
  })
})

test('answers at hand fit the question that is open', () => {
  const question = (kind: string, detail: object = {}) =>
    ({ kind, detail }) as Parameters<typeof quickAnswers>[0]
  expect(quickAnswers(undefined)).toEqual([])
  expect(quickAnswers(question('dose', { doses: 3 }))).toEqual(['0', '1', '2', '3'])
  expect(quickAnswers(question('move', { choices: 2 }))).toEqual(['1', '2', 'NO'])
  expect(quickAnswers(question('screening'))).toEqual(['NONE'])
  expect(quickAnswers(question('screening', { asks: 'grommets' }))).toEqual(['YES', 'NO', 'NOT SURE'])
  expect(quickAnswers(question('check')).length).toBeGreaterThan(0)
})
