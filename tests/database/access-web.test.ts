import { expect, test } from 'vitest'
import { route } from '../../src/access/route.ts'
import { readConfig } from '../../src/config.ts'
import { protocol } from '../../src/database/schema.ts'
import { inClinic, openService } from '../../src/database/service.ts'
import { logTo } from '../../src/log.ts'
import { testDatabase, testKeys } from '../support/database.ts'
import { webTest } from '../support/web.ts'

const { service, clock, clinicId, url, owner: db, addClinic } = await testDatabase()
const lines: string[] = []
const web = webTest(service)
const loud = webTest(service, { log: logTo((line) => void lines.push(line)) })

// Pages that only these tests have.
const secret = 'Hazel Brook +447700900123 has pain'
route(loud.app, 'get', '/test/fault', 'public', () => {
  throw new Error(`Failed query: select 1 params: ${secret}`)
})
route(loud.app, 'post', '/test/fault/:token', 'public', async (c) => {
  throw Object.assign(new Error(await c.req.text()), { cause: new Error(secret) })
})
route(loud.app, 'get', '/test/number', 'public', async (c) => {
  await service.sql`select ${c.req.query('n') ?? ''}::int`
  return c.text('fine')
})
let done = 0
route(loud.app, 'post', '/test/act', 'account', (c) => {
  done += 1
  return c.text('done')
})
route(loud.app, 'post', '/test/large', 'account', async (c) => c.text(String((await c.req.text()).length)), {
  body: 1_000_000,
})

test('every answer carries the headers: pages, errors, redirects, files', async () => {
  const person = await web.staff('owner', clinicId)
  const answers = await Promise.all([
    web.nobody().get('/staff/sign-in'),
    web.nobody().get('/nowhere'),
    web.nobody().get('/staff/account'),
    web.nobody().get('/assets/style.css'),
    web.nobody().post('/staff/sign-in', { email: 'x' }),
    web.nobody().post('/staff/sign-in', { email: 'x' }, { 'sec-fetch-site': 'cross-site' }),
    person.get('/staff/account'),
    person.get('/staff/people'),
    loud.nobody().get('/test/fault'),
    web.nobody().json('/staff/sign-in/passkey/options', {}),
  ])
  for (const answer of answers) {
    const policy = answer.headers.get('content-security-policy') ?? ''
    for (const part of [
      "default-src 'none'",
      "script-src 'self'",
      "style-src 'self'",
      "frame-ancestors 'none'",
    ])
      expect(policy).toContain(part)
    for (const part of ["object-src 'none'", "base-uri 'none'", "form-action 'self'"])
      expect(policy).toContain(part)
    expect(policy).not.toMatch(/unsafe|\*|http/)
    expect(answer.headers.get('x-content-type-options')).toBe('nosniff')
    expect(answer.headers.get('referrer-policy')).toBe('no-referrer')
    expect(answer.headers.get('cross-origin-opener-policy')).toBe('same-origin')
    expect(answer.headers.get('permissions-policy')).toContain('camera=()')
    expect(answer.headers.get('access-control-allow-origin')).toBeNull()
    // Plain http is this machine only, which cannot have it.
    expect(answer.headers.get('strict-transport-security')).toBeNull()
  }
})

test('only style, scripts and the icon may be kept by a browser', async () => {
  const person = await web.staff('owner', clinicId)
  for (const path of ['/staff/account', '/staff/sign-in', '/nowhere']) {
    expect((await person.get(path)).headers.get('cache-control'), path).toBe('no-store')
  }
  const page = await (await web.nobody().get('/staff/sign-in')).text()
  const files = [...page.matchAll(/(?:href|src)="(\/assets\/[^"]+)"/g)].map((match) => match[1] as string)
  expect(files.length).toBeGreaterThan(3)
  for (const file of files) {
    const answer = await web.nobody().get(file)
    expect(answer.status, file).toBe(200)
    expect(answer.headers.get('cache-control'), file).toContain('immutable')
  }
  expect((await web.nobody().get('/assets/style.css?v=old')).headers.get('cache-control')).toBe('no-cache')
  for (const name of ['..%2Froutes.ts', 'routes.ts', '%2e%2e/layout.ts', 'style.css%00', '__proto__']) {
    expect((await web.nobody().get(`/assets/${name}`)).status, name).toBe(404)
  }
})

test('no page has script or style in it', async () => {
  const person = await web.staff('owner', clinicId)
  for (const path of [
    '/staff/sign-in',
    '/staff/account',
    '/staff/people',
    '/staff/account/password',
    '/staff/account/passkeys',
  ]) {
    const text = await (await person.get(path)).text()
    expect(text, path).not.toMatch(/<script(?![^>]* src=)|<style|\sstyle=|\son[a-z]+=|javascript:/i)
  }
})

test('another site’s page cannot act for somebody who is signed in', async () => {
  const person = await loud.staff('owner', clinicId)
  const refused: Record<string, string>[] = [
    { 'sec-fetch-site': 'cross-site' },
    { 'sec-fetch-site': 'same-site' },
    { 'sec-fetch-site': 'none' },
    { 'sec-fetch-site': 'cross-site', origin: 'http://127.0.0.1:4180' },
  ]
  for (const headers of refused) expect((await person.post('/test/act', {}, headers)).status).toBe(403)
  const raw = (headers: Record<string, string>, body: string) =>
    loud.app.request('/test/act', {
      method: 'POST',
      headers: { host: '127.0.0.1:4180', cookie: person.cookie, ...headers },
      body,
    })
  const form = { 'content-type': 'application/x-www-form-urlencoded' }
  const token = `csrf=${encodeURIComponent(person.csrf())}`
  const attempts: [Record<string, string>, string][] = [
    [{ ...form, origin: 'https://other.example' }, token],
    [{ ...form, origin: 'http://127.0.0.1:9' }, token],
    [{ ...form, origin: 'not an origin' }, token],
    [{ ...form, origin: 'null' }, 'csrf=guess'],
    [{ ...form, 'sec-fetch-site': 'same-origin' }, ''],
    [{ ...form, 'sec-fetch-site': 'same-origin' }, 'csrf='],
    [{ ...form, 'sec-fetch-site': 'same-origin' }, `${token}x`],
    [{ ...form, 'sec-fetch-site': 'same-origin' }, `${token}&${token}x`],
    [{ 'content-type': 'text/plain', origin: 'null' }, token],
    [{ 'content-type': 'text/plain' }, token],
    [{ 'content-type': 'application/json', origin: 'null' }, '{}'],
    [{ 'content-type': 'application/json', origin: 'https://other.example' }, '{}'],
    [{ 'content-type': 'application/json', 'sec-fetch-site': 'same-origin', 'x-csrf': 'guess' }, '{}'],
    [{ origin: 'http://127.0.0.1:4180' }, ''],
    [{ 'content-type': 'multipart/form-data; boundary=x', 'sec-fetch-site': 'same-origin' }, 'broken'],
  ]
  for (const [headers, body] of attempts) {
    expect((await raw(headers, body)).status, JSON.stringify([headers, body])).toBe(403)
  }
  expect(done).toBe(0)
  const allowed: [Record<string, string>, string][] = [
    [{ ...form, 'sec-fetch-site': 'same-origin' }, token],
    [{ ...form, origin: 'http://127.0.0.1:4180' }, token],
    [{ ...form, origin: 'null' }, token],
    [{ 'content-type': 'application/json', 'sec-fetch-site': 'same-origin' }, '{}'],
    [{ 'content-type': 'text/csv' }, 'a,b'],
  ]
  for (const [headers, body] of allowed) expect((await raw(headers, body)).status).toBe(200)
  expect(done).toBe(allowed.length)
  // A form token belongs to one session.
  const other = await loud.staff('owner', clinicId)
  expect((await person.post('/test/act', { csrf: other.csrf() })).status).toBe(403)
})

test('another site’s page cannot sign somebody in either', async () => {
  for (const headers of [{ 'sec-fetch-site': 'cross-site' }, { 'sec-fetch-site': '', origin: 'null' }]) {
    const answer = await web
      .nobody()
      .post('/staff/sign-in', { email: 'x' }, headers as Record<string, string>)
    expect(answer.status).toBe(403)
  }
})

test('a body is read up to the size that its page takes', async () => {
  const person = await loud.staff('owner', clinicId)
  const big = 'x'.repeat(70_000)
  expect((await person.post('/test/act', { big })).status).toBe(413)
  expect((await web.nobody().post('/staff/sign-in', { email: big })).status).toBe(413)
  expect((await person.json('/test/large', big)).status).toBe(200)
  expect((await person.json('/test/large', 'x'.repeat(1_000_001))).status).toBe(413)
  // Also where no length was told.
  const stream = new Blob(['x'.repeat(200_000)]).stream()
  const init = { method: 'POST', body: stream, duplex: 'half', headers: { 'content-type': 'text/csv' } }
  const request = new Request('http://127.0.0.1:4180/staff/sign-in', init as RequestInit)
  expect((await web.app.fetch(request)).status).toBe(413)
})

test('a fault shows a sentence and an id; the log has the id and the place, and nothing of the person', async () => {
  const answers = [
    await loud.nobody().get(`/test/fault?name=${encodeURIComponent(secret)}`),
    await loud.nobody().post('/test/fault/a-secret-token', { text: secret }),
  ]
  for (const answer of answers) {
    expect(answer.status).toBe(500)
    const text = await answer.text()
    const id = /quote <b>([0-9a-f]{8})<\/b>/.exec(text)?.[1] as string
    expect(text).not.toMatch(/Hazel|7700|select 1|\.ts|Error/)
    const line = lines.find((one) => one.includes(id)) as string
    expect(JSON.parse(line)).toMatchObject({ level: 'error', event: 'request failed', request: id })
    expect(line).toContain('access-web.test.ts')
  }
  expect(lines.map((line) => JSON.parse(line).route)).toContain('/test/fault/:token')
  expect(lines.join('')).not.toMatch(/Hazel|7700|a-secret-token|has pain|\?name/)
  const json = await loud.nobody().get('/test/fault', { accept: 'application/json' })
  expect(Object.keys((await json.json()) as object)).toEqual(['error', 'quote'])
})

test('what was refused is in the log, with who and which route, and without what was sent', async () => {
  const person = await web.staff('reception', clinicId)
  web.logged.length = 0
  await person.get('/staff/people')
  await web.nobody().post('/staff/sign-out')
  await person.post('/staff/sign-out', { csrf: 'guess' }, { 'sec-fetch-site': 'cross-site' })
  expect(
    web.logged.map(({ event, fields }) => [event, fields?.route, fields?.status, fields?.staff]),
  ).toEqual([
    ['request refused', '/staff/people', 403, person.staffId],
    ['request refused', '/staff/sign-out', 401, undefined],
    ['request refused', '/staff/sign-out', 403, undefined],
  ])
  expect(JSON.stringify(web.logged)).not.toContain('guess')
})

test('what the database cannot read came in wrong: no fault of the service', async () => {
  for (const n of ['x', '99999999999999', '1.5', '%00', '']) {
    expect((await loud.nobody().get(`/test/number?n=${n}`)).status, n).toBe(400)
  }
  expect((await loud.nobody().get('/test/number?n=5')).status).toBe(200)
})

test('after signing in nobody is sent elsewhere', async () => {
  const person = await web.staff('owner', clinicId)
  for (const next of [
    'https://other.example',
    '//other.example',
    '/\\other.example',
    '/\t/other.example',
    'x',
  ]) {
    const signIn = await person.get(`/staff/sign-in?next=${encodeURIComponent(next)}`)
    expect(signIn.status).toBe(303)
    const to = new URL(signIn.headers.get('location') as string, 'http://127.0.0.1:4180')
    expect(to.host, next).toBe('127.0.0.1:4180')
    const page = await (await web.nobody().get(`/staff/sign-in?next=${encodeURIComponent(next)}`)).text()
    expect(page).not.toContain('other.example"')
  }
  const kept = await person.get('/staff/sign-in?next=%2Freception%3Fday%3D2026-03-02')
  expect(kept.headers.get('location')).toBe('/reception?day=2026-03-02')
})

test('every staff page says that the protocol is not signed, until it is; and that a job stands still', async () => {
  const clinic = await addClinic('banners')
  const stalled = webTest(service, { jobLimits: { deliver: 120 } })
  const person = await stalled.staff('reception', clinic)
  const text = async () => (await person.get('/staff/account')).text()
  expect(await text()).toContain('Only the demo handset sends')
  expect(await text()).not.toContain('stands still')
  await inClinic(service, clinic, ({ tx, now }) =>
    tx.insert(protocol).values({
      clinicId: clinic,
      version: 1,
      document: {},
      note: 'test',
      createdAt: now,
      signedAt: now,
      signedName: 'Fenwick Adair',
    }),
  )
  expect(await text()).not.toContain('Only the demo handset sends')
  // A job that never ran, since the clinic is here.
  clock.advance({ minutes: 2, seconds: 1 })
  expect(await text()).toContain('Part of the service stands still (deliver)')
  await db`insert into job_run (clinic_id, job, started_at, finished_at)
    values (${clinic}, 'deliver', ${clock.now().toString()}, ${clock.now().toString()})`
  clock.advance({ minutes: 2 })
  expect(await text()).not.toContain('stands still')
  clock.advance({ seconds: 1 })
  expect(await text()).toContain('Part of the service stands still (deliver)')
})

test('the demo lets in without proof, on this machine and under its names only', async () => {
  const demo = await addClinic('demo')
  await db`select set_config('app.clinic', ${demo}, false)`
  await db`update clinic set demo = true where clinic_id = ${demo}`
  const person = await web.staff('clinician', demo, 'Fenwick Adair')
  const enter = (headers: Record<string, string> = {}, from = web, clinic = 'demo') =>
    from.nobody().post('/staff/sign-in/demo', { staff: person.staffId, clinic }, headers)
  expect(await (await web.nobody().get('/staff/sign-in?clinic=demo')).text()).toContain(
    'Come in as Fenwick Adair',
  )
  expect((await enter()).status).toBe(303)
  // A page elsewhere whose name was made to point here.
  expect((await enter({ host: 'other.example:4180' })).status).toBe(404)
  expect((await enter({ host: '127.0.0.1.other.example' })).status).toBe(404)
  const open = webTest(service, { config: readConfig({ FOREAFT_HOST: '0.0.0.0' }) })
  expect((await enter({}, open)).status).toBe(404)
  const real = await web.staff('clinician', clinicId)
  const other = await web.nobody().post('/staff/sign-in/demo', { staff: real.staffId, clinic: 'brackwater' })
  expect(other.status).toBe(404)
  const crossed = await web.nobody().post('/staff/sign-in/demo', { staff: real.staffId, clinic: 'demo' })
  expect(crossed.status).toBe(404)
})

test('over https every answer holds browsers to it', async () => {
  const secure = openService({
    url,
    clock,
    masters: testKeys,
    publicUrl: 'https://clinic.example',
    connections: 2,
  })
  const over = webTest(secure)
  for (const path of ['/staff/sign-in', '/nowhere', '/assets/style.css']) {
    const header = (await over.nobody().get(path)).headers.get('strict-transport-security') ?? ''
    expect(Number(/max-age=(\d+)/.exec(header)?.[1]), path).toBeGreaterThanOrEqual(31_536_000)
  }
  await secure.close()
})
