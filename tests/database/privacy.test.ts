import { eq } from 'drizzle-orm'
import { expect, test } from 'vitest'
import { retain } from '../../jobs/retain.ts'
import { loadClinic } from '../../src/clinic.ts'
import { columns } from '../../src/database/columns.ts'
import { audit, concern, link, message, patient, reply, visit } from '../../src/database/schema.ts'
import { inClinic } from '../../src/database/service.ts'
import { handleReply } from '../../src/flow/replies.ts'
import { runJob } from '../../src/jobs.ts'
import { receive } from '../../src/messages/inbound.ts'
import { readingGrade } from '../../src/messages/reading-age.ts'
import { consentsOf, currentConsent, recordConsent } from '../../src/privacy/consent.ts'
import { erasePatient } from '../../src/privacy/erase.ts'
import { copyAsText, copyOfPatient } from '../../src/privacy/export.ts'
import { RETENTION } from '../../src/privacy/kinds.ts'
import { PLACES } from '../../src/privacy/places.ts'
import { confirmRetention, retentionInForce } from '../../src/privacy/retention.ts'
import { CLEAR } from '../../src/privacy/store.ts'
import { importRows, staffClinic, visitAndPatient } from '../support/clinic.ts'
import { testDatabase } from '../support/database.ts'
import { webTest } from '../support/web.ts'

const { service, owner, clock, clinicId, addClinic } = await testDatabase()
const people = await staffClinic(service, clinicId)
const web = webTest(service)
const actor = `staff:${people.owner}`
await importRows(service, clinicId, [
  'P1,Isolde Penhallow,07700 900321,isolde@patients.example,1941-05-06,2026-03-16 10:00,30,Ottoline Marsh,removal,both,booked',
  'P2,Corwin Tansley,07700 900322,,1944-05-06,2026-03-17 10:00,30,Ottoline Marsh,removal,left,booked',
  'P3,Juniper Vale,07700 900323,,2019-05-06,2026-03-17 11:00,30,Ottoline Marsh,assessment,left,booked',
  'P4,Absalom Reed,07700 900324,,1950-05-06,2026-03-18 11:00,30,Ottoline Marsh,assessment,left,cancelled',
])
const write = async (from: string, body: string) => {
  const got = await receive(service, clinicId, { transport: 'handset', providerId: body, from, body })
  await handleReply(service, clinicId, got.replyId)
}
await write('+447700900321', 'sudden hearing loss in my left ear since this morning')
await write('+447700900321', 'thank you')
const idOf = async (reference: string) =>
  (await visitAndPatient(service, clinicId, reference)).patient.patientId
const ids = { p1: await idOf('P1'), p2: await idOf('P2'), p3: await idOf('P3') }
const inside = <T>(work: Parameters<typeof inClinic<T>>[2]) => inClinic(service, clinicId, work)

test('every table that holds or points at a patient is in the list of places', async () => {
  const pointing = ['patient_id', 'visit_id', 'plan_id', 'reply_id', 'concern_id']
  const holding = Object.entries(columns)
    .filter(([, of]) => pointing.some((column) => column in of))
    .map(([table]) => table)
  expect(PLACES.map(({ table }) => table).sort()).toEqual(holding.sort())
  for (const { why } of PLACES) expect(why.length).toBeGreaterThan(15)
  // Each kind that has days has somebody who ends it.
  for (const { kind, days } of RETENTION)
    expect(days === null || kind === 'care-record' || kind in CLEAR, kind).toBe(true)
})

test("a patient's copy holds everything of theirs, nothing of another, and no key to their pages", async () => {
  await inside((scope) => recordConsent(scope, ids.p1, { how: 'desk', by: people.desk }))
  const copy = await inside(async (scope) => copyOfPatient(scope, await loadClinic(scope), ids.p1))
  const json = JSON.stringify(copy)
  for (const words of [
    'Isolde Penhallow',
    '+447700900321',
    'isolde@patients.example',
    '1941-05-06',
    'sudden hearing loss',
    'thank you',
  ])
    expect(json).toContain(words)
  for (const words of ['Corwin', '900322', 'sealed', 'blind', '_hash', '/p/'])
    expect(json).not.toContain(words)
  const tables = copy?.sections.filter(({ rows }) => rows.length > 0).map(({ table }) => table)
  expect(tables).toEqual(
    expect.arrayContaining([
      'patient',
      'visit',
      'screening',
      'message',
      'reply',
      'concern',
      'concern_event',
      'question',
      'link',
      'audit',
    ]),
  )
  const held = await inside(async ({ tx }) => [
    await tx.$count(message, eq(message.patientId, ids.p1)),
    await tx.$count(reply, eq(reply.patientId, ids.p1)),
    await tx.$count(audit, eq(audit.patientId, ids.p1)),
  ])
  expect(
    ['message', 'reply', 'audit'].map((t) => copy?.sections.find((s) => s.table === t)?.rows.length),
  ).toEqual(held)
  const text = copyAsText(copy as NonNullable<typeof copy>, 'Europe/London')
  expect(text).toContain('YOU')
  expect(text).toContain('mobile: +447700900321')
  expect(text).toContain('2026-03-16 10:00')
  expect(text).toContain(currentConsent.words)
  expect(text).not.toMatch(/[0-9a-f]{8}-[0-9a-f]{4}-/)
  expect(
    await inside(async (scope) => copyOfPatient(scope, await loadClinic(scope), crypto.randomUUID())),
  ).toBeNull()
})

test('the copy and the erasure are the owner’s, after a fresh sign-in, and stand in the audit', async () => {
  const [boss, clinician, desk] = [
    await web.staff('owner', clinicId),
    await web.staff('clinician', clinicId),
    await web.staff('reception', clinicId),
  ]
  for (const path of [`/trust/patients/${ids.p1}/copy.txt`, `/trust/patients/${ids.p1}/copy.json`]) {
    expect((await clinician.get(path)).status).toBe(403)
    expect((await desk.get(path)).status).toBe(403)
    const file = await boss.get(path)
    expect(file.status).toBe(200)
    expect(file.headers.get('content-disposition')).toMatch(
      /^attachment; filename="patient-copy\.(txt|json)"$/,
    )
    expect(await file.text()).toContain('Isolde Penhallow')
  }
  expect(await inside(({ tx }) => tx.$count(audit, eq(audit.action, 'export patient')))).toBe(2)
  expect((await desk.post(`/trust/patients/${ids.p2}/erase`, { confirm: 'ERASE' })).status).toBe(403)
  clock.advance({ minutes: 6 })
  const stale = await boss.get(`/trust/patients/${ids.p1}/copy.txt`)
  expect(stale.status).toBe(303)
  expect(stale.headers.get('location')).toMatch(/^\/staff\/again/)
})

test('an erasure waits for open concerns and coming visits, then keeps only what the record of care needs', async () => {
  const erase = (id: string) => inside((scope) => erasePatient(scope, id, { actor, reason: 'request' }))
  expect(await erase(ids.p1)).toEqual({
    refused: 'A concern of this patient is open: a clinician closes it first.',
  })
  await owner`update concern set status = 'closed' where patient_id = ${ids.p1}`
  expect(await erase(ids.p1)).toMatchObject({ refused: expect.stringContaining('A visit is still to come') })
  await owner`update visit set status = 'done', start_at = '2026-03-01T10:00Z' where patient_id = ${ids.p1}`
  const result = await erase(ids.p1)
  if (!('done' in result)) throw new Error('refused')
  expect(result.done.whole).toBe(false)
  expect(result.done.keptUntil).toBe('2034-03-02')
  const kept = result.done.kept.map(({ title }) => title)
  expect(kept).toEqual(expect.arrayContaining(['Concerns', 'Visits', 'Who saw or changed your record']))
  for (const { why } of [...result.done.kept, ...result.done.erased]) expect(why).not.toBe('')
  await inside(async ({ tx, vault }) => {
    const [person] = await tx.select().from(patient).where(eq(patient.patientId, ids.p1))
    expect(person).toMatchObject({
      mobileSealed: null,
      mobileBlind: null,
      emailSealed: null,
      emailBlind: null,
    })
    expect(person?.stoppedAt).not.toBeNull()
    expect(vault.open(person?.nameSealed as Buffer)).toBe('Isolde Penhallow')
    expect(await tx.$count(link, eq(link.patientId, ids.p1))).toBe(0)
    const bodies = (await tx.select().from(reply).where(eq(reply.patientId, ids.p1))).map((r) =>
      vault.open(r.bodySealed),
    )
    // The red flag stays, the thanks go.
    expect(bodies.sort()).toEqual(['(erased)', 'sudden hearing loss in my left ear since this morning'])
    const sent = await tx.select().from(message).where(eq(message.patientId, ids.p1))
    expect(sent.length).toBeGreaterThan(1)
    for (const one of sent) {
      expect(vault.open(one.toSealed)).toBe('(erased)')
      expect(vault.open(one.bodySealed) === '(erased)', one.kind).toBe(!one.kind.startsWith('safety-'))
      expect(['queued', 'sending']).not.toContain(one.status)
    }
    expect(await tx.$count(concern, eq(concern.patientId, ids.p1))).toBe(1)
  })
})

test('where no care was given, everything goes but the audit', async () => {
  await owner`update visit set status = 'cancelled' where patient_id = ${ids.p2}`
  await owner`delete from concern where patient_id = ${ids.p2}`
  const result = await inside((scope) => erasePatient(scope, ids.p2, { actor, reason: 'request' }))
  expect(result).toMatchObject({ done: { whole: true, keptUntil: null } })
  for (const { table } of PLACES.filter((p) => p.reach === 'patient_id')) {
    const [row] = await owner.unsafe(`select count(*)::int as n from ${table} where patient_id = '${ids.p2}'`)
    expect(row?.n === 0, table).toBe(table !== 'audit')
  }
  const orphans =
    await owner`select 1 from message where body_sealed is not null and visit_id not in (select visit_id from visit)`
  expect(orphans.length).toBe(0)
})

test('what is past its time goes by the table of kinds; the clinic’s own days count; a child’s record stays', async () => {
  const noted = await inside((scope) =>
    confirmRetention(scope, { kind: 'links', days: 1, staffId: people.owner }),
  )
  expect(noted).toBe(true)
  expect(
    await inside((scope) => confirmRetention(scope, { kind: 'audit', days: 1, staffId: people.owner })),
  ).toBe(false)
  expect(
    await inside((scope) =>
      confirmRetention(scope, { kind: 'care-record', days: 30, staffId: people.owner }),
    ),
  ).toBe(false)
  const links = (await inside(retentionInForce)).find(({ kind }) => kind === 'links')
  expect(links).toMatchObject({ days: 1, confirmed: { confirmedBy: people.owner } })
  const run = () => runJob(service, retain, { transports: {}, spool: '' })
  await run()
  expect(await inside(({ tx }) => tx.$count(patient))).toBe(3)
  const before = await inside(({ tx }) => tx.$count(link))
  expect(before).toBeGreaterThan(0)
  clock.advance({ hours: 24 * 60 })
  await run()
  expect(await inside(({ tx }) => tx.$count(link))).toBe(0)
  expect(await inside(({ tx }) => tx.$count(patient))).toBe(3)
  await owner`update visit set status = 'done' where status = 'booked'`
  await owner`update concern set status = 'closed'`
  clock.advance({ hours: 24 * (2922 + 60) })
  await run()
  const left = await inside(async ({ tx, vault }) =>
    (await tx.select().from(patient)).map((p) => vault.open(p.nameSealed)),
  )
  // Born in 2019: kept to 26.
  expect(left).toEqual(['Juniper Vale'])
  expect(await inside(({ tx }) => tx.$count(visit))).toBe(1)
  expect(await inside(({ tx }) => tx.$count(audit, eq(audit.action, 'end retention')))).toBeGreaterThan(0)
  // Another clinic's days are its own.
  const other = await addClinic('other-days')
  expect((await inClinic(service, other, retentionInForce)).find(({ kind }) => kind === 'links')?.days).toBe(
    30,
  )
})

test('consent is kept with its words and time, once a version', async () => {
  const first = await inside((scope) => recordConsent(scope, ids.p3, { how: 'page' }))
  expect([
    first,
    await inside((scope) => recordConsent(scope, ids.p3, { how: 'desk', by: people.desk })),
  ]).toEqual([true, false])
  expect(await inside((scope) => consentsOf(scope, ids.p3))).toEqual([
    { version: 1, at: clock.now().toString(), how: 'page', by: null },
  ])
})

test('the first page of a link shows the words, and whoever goes on has agreed to them', async () => {
  await importRows(service, clinicId, [
    `P9,Tamsin Roe,07700 900329,,1947-05-06,${clock
      .now()
      .add({ hours: 24 * 20 })
      .toString()
      .slice(0, 10)} 10:00,30,Ottoline Marsh,removal,both,booked`,
  ])
  const person = await idOf('P9')
  const body = await inside(async ({ tx, vault }) => {
    const [first] = await tx.select().from(message).where(eq(message.patientId, person))
    return vault.open(first?.bodySealed as Buffer)
  })
  const path = new URL(/https?:\/\/\S+/.exec(body)?.[0] as string).pathname
  const patientPage = web.nobody()
  const html = await (await patientPage.get(path)).text()
  expect(html).toContain(currentConsent.words)
  await patientPage.post(path, { do: 'fact', year: '1900' })
  expect(await inside((scope) => consentsOf(scope, person))).toEqual([])
  await patientPage.post(path, { do: 'fact', year: '1947' })
  expect(await inside((scope) => consentsOf(scope, person))).toMatchObject([{ version: 1, how: 'page' }])
  expect(readingGrade(currentConsent.words)).toBeLessThanOrEqual(5)
})
