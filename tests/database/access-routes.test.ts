import { createHash } from 'node:crypto'
import { expect, test } from 'vitest'
import { jobs } from '../../jobs/index.ts'
import { demoOnly, may, type Permission, permissions, ROLES } from '../../src/access/permissions.ts'
import { routesOf } from '../../src/access/route.ts'
import { endSessionsOf } from '../../src/access/sessions.ts'
import { inClinic } from '../../src/database/service.ts'
import { startProtocol } from '../../src/protocol/store.ts'
import { openSlot, runJobs, staffClinic } from '../support/clinic.ts'
import { testDatabase } from '../support/database.ts'
import { type Person, webTest } from '../support/web.ts'
import { answerHistory, book, writes } from './clinician-fixtures.ts'

const { service, clock, clinicId, owner: db, addClinic } = await testDatabase()
const newClinic = async (slug: string) => {
  const id = await addClinic(slug)
  await inClinic(service, id, startProtocol)
  return id
}
await inClinic(service, clinicId, startProtocol)
const web = webTest(service)
const routes = routesOf(web.app)
const guarded = routes.filter((entry) => entry.gate !== 'public' && entry.gate !== 'patient-link')

/** The route's address with `id` for each of its parameters. */
const fill = (path: string, id: string) => path.replaceAll(/:\w+(\{[^}]*\})?\??/g, id)
const ask = (person: Person, entry: (typeof routes)[number], id: string = crypto.randomUUID()) =>
  entry.method === 'get' ? person.get(fill(entry.path, id)) : person.post(fill(entry.path, id))

// Streams never end by themselves.
const endless = new Set(['/live'])

test('every route of the app names its permission', () => {
  const named = new Set(routes.map((entry) => `${entry.method.toUpperCase()} ${entry.path}`))
  const mounted = web.app.routes.filter((entry) => entry.method !== 'ALL')
  expect(mounted.length).toBeGreaterThan(30)
  for (const entry of mounted)
    expect(named, `${entry.method} ${entry.path}`).toContain(`${entry.method} ${entry.path}`)
  for (const entry of guarded) expect(Object.keys(permissions), entry.path).toContain(entry.gate)
  // What is added to the app by hand, beside `route`, is found by the same look.
  const { app } = webTest(service)
  app.get('/by-hand', (c) => c.text('open'))
  const own = new Set(routesOf(app).map((entry) => `${entry.method.toUpperCase()} ${entry.path}`))
  const missed = app.routes.filter((e) => e.method !== 'ALL' && !own.has(`${e.method} ${e.path}`))
  expect(missed.map((e) => e.path)).toEqual(['/by-hand'])
})

test('only these are open to everybody', () => {
  const open = routes
    .filter((entry) => entry.gate === 'public')
    .map((entry) => `${entry.method} ${entry.path}`)
  expect(open.sort()).toEqual([
    'get /',
    'get /assets/:name',
    'get /staff/join/:token',
    'get /staff/sign-in',
    'post /staff/join/:token',
    'post /staff/join/:token/passkey',
    'post /staff/join/:token/passkey/options',
    'post /staff/sign-in',
    'post /staff/sign-in/demo',
    'post /staff/sign-in/passkey',
    'post /staff/sign-in/passkey/options',
  ])
  for (const entry of routes.filter((one) => one.gate === 'patient-link'))
    expect(entry.path).toMatch(/^\/p\//)
})

test('nobody, an ended session and another clinic’s cookie open none of the guarded routes', async () => {
  const other = await newClinic('matrix-other')
  const ended = await web.staff('owner', clinicId)
  const cookie = ended.cookie
  await inClinic(service, clinicId, (scope) => endSessionsOf(scope, ended.staffId))
  const crossed = await web.staff('owner', other)
  const mixed = crossed.cookie.replace(other, clinicId)
  for (const entry of guarded) {
    for (const header of [undefined, cookie, mixed]) {
      const person = web.nobody()
      if (header) person.cookie = header
      const answer = await ask(person, entry)
      const what = `${entry.method} ${entry.path} ${header}`
      if (entry.method === 'get') {
        expect(answer.status, what).toBe(303)
        expect(answer.headers.get('location'), what).toMatch(/^\/staff\/sign-in\?next=/)
      } else expect(answer.status, what).toBe(401)
      expect((await answer.text()).length, what).toBeLessThan(5000)
    }
  }
})

test('each role opens what the table says, and nothing else', async () => {
  const demo = await newClinic('matrix-demo')
  await db`update clinic set demo = true where clinic_id = ${demo}`
  for (const role of ROLES) {
    let here = await web.staff(role, clinicId)
    let there = await web.staff(role, demo)
    for (const entry of guarded) {
      if (endless.has(entry.path)) continue
      // Some of these end the session.
      if (!here.cookie) here = await web.staff(role, clinicId)
      if (!there.cookie) there = await web.staff(role, demo)
      const permission = entry.gate as Permission
      const what = `${role}: ${entry.method} ${entry.path}`
      if (entry.method === 'post') {
        const without = await here.post(fill(entry.path, crypto.randomUUID()), { csrf: '' })
        expect(without.status, what).toBe(demoOnly.has(permission) ? 404 : 403)
      }
      if (demoOnly.has(permission)) expect((await ask(here, entry)).status, what).toBe(404)
      const answer = await ask(demoOnly.has(permission) ? there : here, entry)
      if (may(role, permission)) {
        expect(answer.status, what).not.toBe(403)
        expect(answer.status, what).not.toBe(401)
        expect(answer.status, what).toBeLessThan(500)
        expect(answer.headers.get('location') ?? '', what).not.toContain('/staff/sign-in?')
      } else expect(answer.status, what).toBe(403)
    }
  }
}, 240_000)

test('what asks for a fresh sign-in does so on every such route', async () => {
  const fresh = guarded.filter((entry) => entry.options.fresh)
  expect(fresh.length).toBeGreaterThan(10)
  for (const entry of fresh) {
    const role = ROLES.find((one) => may(one, entry.gate as Permission)) as (typeof ROLES)[number]
    const person = await web.staff(role, clinicId)
    clock.advance({ minutes: 6 })
    const answer = await ask(person, entry)
    expect(answer.headers.get('location'), entry.path).toMatch(/^\/staff\/again\?next=/)
    const next =
      new URLSearchParams((answer.headers.get('location') as string).split('?')[1]).get('next') ?? ''
    const lands = routes.some(
      (one) => one.method === 'get' && new RegExp(`^${one.path.replaceAll(/:\w+/g, '[^/]+')}$`).test(next),
    )
    expect(lands, `${entry.path} comes back to ${next}`).toBe(true)
  }
})

test('an id of another clinic opens nothing, shows nothing and changes nothing', async () => {
  const far = await addClinic('matrix-far')
  await staffClinic(service, far)
  const start = (days: number, time: string) =>
    `${clock
      .now()
      .add({ hours: 24 * days })
      .toString()
      .slice(0, 10)}T${time}`
  const marks = ['Zephyrine Quillfeather', 'Barnaby Thistlewood']
  const booked = await book(service, far, { name: marks[0] as string, start: start(6, '10:00') })
  await book(service, far, { name: marks[1] as string, start: start(8, '11:00') })
  await answerHistory(service, far, booked.reference)
  await writes(service, far, booked.mobile, 'My face has dropped on one side')
  await openSlot(service, far, `${start(7, '09:00')}:00Z`)
  await runJobs(service, jobs)
  const tables = await db<{ name: string; columns: string[] }[]>`
    select table_name as name, array_agg(column_name::text) as columns from information_schema.columns
    where table_schema = 'public' and udt_name = 'uuid' and table_name <> 'clinic_directory' group by 1`
  const ids = new Set<string>()
  // What addresses name; the other tables' rows are reached through these.
  const named = new Set([
    'patient',
    'visit',
    'question',
    'reply',
    'concern',
    'slot',
    'practitioner',
    'staff',
    'desk_item',
    'move',
  ])
  for (const { name, columns } of tables.filter((one) => named.has(one.name))) {
    const rows = await db`select * from ${db(name)} where clinic_id = ${far} limit 1`
    for (const row of rows)
      for (const column of columns) if (typeof row[column] === 'string') ids.add(row[column])
  }
  ids.delete(far)
  expect(ids.size).toBeGreaterThan(6)
  const print = async () => {
    const hash = createHash('sha256')
    for (const { name } of tables) {
      if (name === 'rate_limit' || name === 'session') continue
      hash.update(
        JSON.stringify(
          await db`select row_to_json(t)::text as row from ${db(name)} t where clinic_id = ${far} order by 1`,
        ),
      )
    }
    return hash.digest('hex')
  }
  const before = await print()
  const withId = guarded.filter((entry) => entry.path.includes(':'))
  const roleFor = (entry: (typeof routes)[number]) =>
    ROLES.find((one) => may(one, entry.gate as Permission)) as (typeof ROLES)[number]
  const shows = async (person: Person, entry: (typeof routes)[number], id: string) => {
    const answer = await ask(person, entry, id)
    expect(answer.status, `${entry.method} ${entry.path} with ${id}`).toBeLessThan(500)
    const text = await answer.text()
    return marks.some((mark) => text.includes(mark))
  }
  const strangers = new Map(
    await Promise.all(ROLES.map(async (role) => [role, await web.staff(role, clinicId)] as const)),
  )
  for (const entry of withId) {
    for (const id of ids) {
      const stranger = strangers.get(roleFor(entry)) as Person
      expect(await shows(stranger, entry, id), `${entry.method} ${entry.path} with ${id}`).toBe(false)
    }
  }
  expect(await print()).toBe(before)
  // The same look by their own clinic does show them: the test is not looking at nothing.
  let shown = 0
  for (const entry of withId.filter((one) => one.method === 'get')) {
    const own = await web.staff(roleFor(entry), far)
    for (const id of ids) if (await shows(own, entry, id)) shown += 1
  }
  expect(shown).toBeGreaterThan(0)
}, 240_000)
