import postgres from 'postgres'
import { afterAll, expect, test } from 'vitest'
import { ROLES } from '../../src/access/permissions.ts'
import { routesOf } from '../../src/access/route.ts'
import { ensureLogin, SERVICE_LOGIN, SERVICE_ROLE } from '../../src/database/migrate.ts'
import { importRows, staffClinic, visitAndPatient } from '../support/clinic.ts'
import { testDatabase } from '../support/database.ts'
import { webTest } from '../support/web.ts'

const { owner, service, url, clinicId, addClinic } = await testDatabase()
await staffClinic(service, clinicId)
await importRows(service, clinicId, [
  'T1,Isolde Penhallow,07700 900341,,1941-05-06,2026-03-16 10:00,30,Ottoline Marsh,removal,both,booked',
])
const other = await addClinic('other-tenant')
await staffClinic(service, other)
const tables = (
  await owner<
    { name: string }[]
  >`select tablename as name from pg_tables where schemaname = 'public' and tablename <> 'migration'`
).map(({ name }) => name)

// The service's own login, as openDatabase makes it on the embedded server.
const password = 'only-for-this-test'
await ensureLogin(owner, password)
const address = new URL(url)
address.username = SERVICE_LOGIN
address.password = password
const raw = postgres(address.href, {
  max: 1,
  onnotice: () => {},
  connection: { role: SERVICE_ROLE } as Record<string, string>,
})
afterAll(() => raw.end())

test('the service’s role can neither pass by row security, nor change a table, nor read what was migrated', async () => {
  const roles = await owner`select rolname, rolsuper, rolbypassrls, rolcreaterole, rolcreatedb, rolreplication
    from pg_roles where rolname in (${SERVICE_ROLE}, ${SERVICE_LOGIN})`
  expect(roles.length).toBe(2)
  for (const role of roles)
    expect(role).toMatchObject({
      rolsuper: false,
      rolbypassrls: false,
      rolcreaterole: false,
      rolcreatedb: false,
      rolreplication: false,
    })
  expect(
    await owner`select 1 from pg_class where relowner = (select oid from pg_roles where rolname = ${SERVICE_ROLE})`,
  ).toHaveLength(0)
  expect(
    await owner`select 1 from pg_auth_members m join pg_roles r on r.oid = m.member where r.rolname = ${SERVICE_ROLE}`,
  ).toHaveLength(0)
  const refused = [
    'select * from migration',
    'alter table patient disable row level security',
    'alter table patient no force row level security',
    'drop policy clinic_only on patient',
    'create policy open on patient using (true)',
    'alter table audit disable trigger all',
    'create table mine (x int)',
    "create function app_clinic() returns uuid language sql as 'select null::uuid'",
    'drop table patient',
    'truncate patient',
    'update audit set actor = actor',
    'delete from audit',
    "insert into clinic_directory (slug, created_at) values ('x', now())",
    `alter role ${SERVICE_ROLE} bypassrls`,
    'set role postgres',
    'set session authorization postgres',
    'set row_security = off; select * from patient',
    "select pg_read_file('PG_VERSION')",
    "copy patient to program 'cat'",
    'select rolpassword from pg_authid',
  ]
  for (const statement of refused)
    await expect(raw.unsafe(statement), statement).rejects.toMatchObject({
      code: expect.stringMatching(/^(42501|42710|42P01|28000|42883)$/),
    })
  // Out of its role it is no more than its role.
  await raw.unsafe('set role none')
  expect(await raw`select 1 from patient`).toHaveLength(0)
  await raw.unsafe(`set role ${SERVICE_ROLE}`)
})

test('every table: without a clinic no row, as another clinic only its own, and nothing can be written across', async () => {
  expect(tables.length).toBeGreaterThan(30)
  await raw.unsafe('set row_security = on')
  for (const table of tables) {
    const all = Number(
      (await owner.unsafe(`select count(*) as n from ${table} where clinic_id = '${clinicId}'`))[0]?.n,
    )
    const [none] = await raw.unsafe(`select count(*)::int as n from ${table}`)
    expect(none?.n, table).toBe(table === 'clinic_directory' ? 2 : 0)
    await raw.begin(async (tx) => {
      await tx`select set_config('app.clinic', ${other}, true)`
      const [cross] = await tx.unsafe(
        `select count(*)::int as n from ${table} where clinic_id = '${clinicId}'`,
      )
      expect(cross?.n, table).toBe(table === 'clinic_directory' ? 1 : 0)
      if (table !== 'clinic_directory' && table !== 'audit') {
        const touched = await tx.unsafe(
          `update ${table} set clinic_id = clinic_id where clinic_id = '${clinicId}'`,
        )
        expect(touched.count, table).toBe(0)
        const gone = await tx.unsafe(`delete from ${table} where clinic_id = '${clinicId}'`)
        expect(gone.count, table).toBe(0)
      }
    })
    if (all > 0 && table !== 'clinic_directory' && table !== 'audit') {
      // A row of this clinic cannot be handed to the other.
      await expect(
        raw.begin(async (tx) => {
          await tx`select set_config('app.clinic', ${clinicId}, true)`
          const moved = await tx.unsafe(`update ${table} set clinic_id = '${other}'`)
          expect(moved.count).toBeGreaterThan(0)
        }),
        table,
      ).rejects.toMatchObject({ code: expect.stringMatching(/^(42501|23503|23505)$/) })
    }
  }
})

test('a clinic that is none, or half a clinic, sees nothing and says so', async () => {
  for (const name of ['', crypto.randomUUID()]) {
    const rows = await raw.begin(async (tx) => {
      await tx`select set_config('app.clinic', ${name}, true)`
      return await tx`select 1 from patient`
    })
    expect(rows).toHaveLength(0)
  }
  await expect(
    raw.begin(async (tx) => {
      await tx`select set_config('app.clinic', 'x or true', true)`
      return await tx`select 1 from patient`
    }),
  ).rejects.toMatchObject({ code: '22P02' })
  // The setting ends with its transaction: the next user of this connection has no clinic.
  await raw.begin((tx) => tx`select set_config('app.clinic', ${clinicId}, true)`)
  expect(await raw`select 1 from patient`).toHaveLength(0)
})

test('no route shows a patient of this clinic to any role of the other, under any of this clinic’s ids', async () => {
  const { visit, patient } = await visitAndPatient(service, clinicId, 'T1')
  const web = webTest(service)
  const routes = routesOf(web.app).filter(({ method, path }) => method === 'get' && path !== '/live')
  const sees: string[] = []
  let asked = 0
  for (const role of ROLES) {
    const person = await web.staff(role, other)
    for (const { path } of routes) {
      if (!path.includes(':')) continue
      for (const id of [patient.patientId, visit.visitId]) {
        const answer = await person.get(path.replaceAll(/:\w+(\{[^}]*\})?\??/g, id))
        asked += 1
        const text = await answer.text()
        if (/Penhallow|900341/.test(text) || answer.status >= 500)
          sees.push(`${role} ${path} ${answer.status}`)
      }
    }
  }
  expect(asked).toBeGreaterThan(40)
  expect(sees).toEqual([])
  // The same look finds it where it may be found.
  const own = await web.staff('owner', clinicId)
  expect(await (await own.get(`/trust/patients/${patient.patientId}`)).text()).toContain('Penhallow')
})
