import { existsSync, mkdtempSync, readFileSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { eq } from 'drizzle-orm'
import { afterAll, expect, test } from 'vitest'
import { jobLimits, jobs, slowJobLimits } from '../../jobs/index.ts'
import { watchSlowJobs } from '../../jobs/watch.ts'
import { notice, staff } from '../../src/database/schema.ts'
import { inClinic, openService } from '../../src/database/service.ts'
import { startWatch } from '../../src/flow/watch.ts'
import { type Job, runJob } from '../../src/jobs.ts'
import { receive } from '../../src/messages/inbound.ts'
import type { OutgoingMessage, Transport } from '../../src/messages/transports/transport.ts'
import { staffClinic } from '../support/clinic.ts'
import { testDatabase } from '../support/database.ts'
import { webTest } from '../support/web.ts'

const { service, clock, clinicId, owner, url, addClinic } = await testDatabase()
const people = await staffClinic(service, clinicId)
await inClinic(service, clinicId, ({ tx, vault }) =>
  tx
    .update(staff)
    .set({ mobileSealed: vault.seal('+447700900777') })
    .where(eq(staff.staffId, people.owner)),
)
const folder = mkdtempSync(join(tmpdir(), 'foreaft-watch-'))
afterAll(() => rmSync(folder, { recursive: true, force: true }))

const handed: OutgoingMessage[] = []
let down = false
const phone: Transport = {
  name: 'handset',
  requiresSignature: false,
  send: async (message) => {
    if (down) throw new Error('no line')
    handed.push(message)
    return { ref: message.id }
  },
}
const lines: string[] = []
const file = join(folder, 'stands-still')
const deps = {
  transports: { handset: phone },
  limits: jobLimits,
  file,
  write: (line: string) => void lines.push(line),
}

/** Every job that must not stand still, but for those named. */
async function runAllBut(...stalled: string[]): Promise<void> {
  for (const name of Object.keys(jobLimits)) {
    if (stalled.includes(name)) continue
    const done: Job = { name, schedule: '* * * * *', run: async () => 0 }
    await runJob(service, done, { transports: {}, spool: '' })
  }
}
const fresh = () => {
  handed.splice(0)
  lines.splice(0)
}
const noticesOf = (kind: string) =>
  inClinic(service, clinicId, ({ tx }) => tx.select().from(notice).where(eq(notice.kind, kind)))

test('while all runs, nobody is told and no file lies there', async () => {
  await runAllBut()
  const watch = startWatch(service, deps, null)
  expect(await watch.look()).toEqual([{ slug: 'brackwater', stalls: [], told: 0, failed: [] }])
  expect([handed, lines, existsSync(file)]).toEqual([[], [], false])
})

test('each job that must not stand still is watched, and a stalled one is told past the outbox, on the pages, in the log and in a file', async () => {
  for (const job of ['deliver', 'read-replies', 'watch-concerns'])
    expect(Object.keys(jobLimits)).toContain(job)
  const names = jobs.map(({ name }) => name)
  for (const name of [...Object.keys(jobLimits), ...Object.keys(slowJobLimits)]) expect(names).toContain(name)
  const watch = startWatch(service, deps, null)
  const web = webTest(service, { jobLimits })
  for (const name of Object.keys(jobLimits)) {
    fresh()
    clock.advance({ minutes: 40 })
    await runAllBut(name)
    const [found] = await watch.look()
    expect(found).toMatchObject({ stalls: [name], told: 3, failed: [] })
    // The owner by text, the clinicians by the address that they have; reception cannot act on it.
    expect(handed.map(({ to }) => to).sort()).toEqual([
      '+447700900777',
      'fenwick@brackwater.example',
      'ottoline@brackwater.example',
    ])
    for (const { body } of handed) {
      expect(body).toContain(name)
      expect(body.length).toBeLessThanOrEqual(160)
    }
    expect(lines[0]).toContain(`STANDS STILL at brackwater: ${name}`)
    expect(readFileSync(file, 'utf8')).toContain(name)
    const person = await web.staff('reception', clinicId)
    expect(await (await person.get('/reception')).text()).toContain(
      `Part of the service stands still (${name})`,
    )
    await watch.look()
    expect(handed.length).toBe(3)
    await runAllBut()
    await watch.look()
    expect(existsSync(file)).toBe(false)
  }
  const told = await noticesOf('stalled')
  expect(new Set(told.map(({ staffId }) => staffId))).toEqual(
    new Set([people.first, people.second, people.owner]),
  )
})

test('in service, only what two looks in a row have seen is told: a machine that slept catches up', async () => {
  const watch = startWatch(service, { ...deps, confirm: true }, null)
  fresh()
  clock.advance({ minutes: 31 })
  expect((await watch.look())[0]?.stalls).toEqual([])
  await runAllBut('deliver')
  expect((await watch.look())[0]).toMatchObject({ stalls: ['deliver'], told: 3 })
  await runAllBut()
  expect((await watch.look())[0]?.stalls).toEqual([])
})

test('it is said again while it goes on', async () => {
  const watch = startWatch(service, deps, null)
  fresh()
  clock.advance({ minutes: 31 })
  await runAllBut('deliver')
  await watch.look()
  clock.advance({ minutes: 31 })
  await runAllBut('deliver')
  await watch.look()
  expect(handed.length).toBe(6)
  await runAllBut()
})

test('jobs that run and do nothing are seen by the work that lies', async () => {
  const watch = startWatch(service, deps, null)
  fresh()
  await receive(service, clinicId, {
    transport: 'handset',
    providerId: 'w-1',
    from: '+447700900701',
    body: 'my ear bleeds',
  })
  clock.advance({ minutes: 6 })
  await runAllBut()
  expect((await watch.look())[0]).toMatchObject({ stalls: ['reading'], told: 3 })
  await owner`update reply set read_at = received_at`
  clock.advance({ minutes: 31 })
  await runAllBut()
  expect((await watch.look())[0]?.stalls).toEqual([])
  await owner`insert into concern (clinic_id, source, urgency, score, reason, opened_at, warn_at, deadline_at, status)
    values (${clinicId}, 'reply', 'now', 9, 'test', now(), now(), '2026-03-02T09:00Z', 'open')`
  expect((await watch.look())[0]?.stalls).toEqual(['escalation'])
  await owner`delete from concern`
})

test('where the database does not answer, those known from before are told all the same', async () => {
  const own = openService({
    url,
    clock,
    masters: service.masters,
    publicUrl: service.publicUrl,
    connections: 1,
  })
  const watch = startWatch(own, deps, null)
  await runAllBut()
  await watch.look()
  fresh()
  await own.close()
  const [found] = await watch.look()
  expect(found).toMatchObject({ slug: 'brackwater', stalls: ['the database'], told: 3 })
  await watch.look()
  expect(handed.length).toBe(3)
  expect(lines[0]).toContain('STANDS STILL at brackwater: the database')
})

test('a transport that is down, or shut until the rules are signed, is said in the log; the pages tell all the same', async () => {
  fresh()
  clock.advance({ minutes: 62 })
  await runAllBut('deliver')
  down = true
  const [found] = await startWatch(service, deps, null).look()
  expect(found?.told).toBe(0)
  expect(found?.failed.length).toBe(3)
  expect(lines[0]).toContain('did not leave')
  expect(lines[0]).not.toMatch(/900777|ottoline/)
  down = false
  clock.advance({ minutes: 62 })
  await runAllBut('deliver')
  const real = { ...phone, requiresSignature: true }
  const [shut] = await startWatch(service, { ...deps, transports: { handset: real } }, null).look()
  expect(shut).toMatchObject({ told: 0, failed: ['the transport is shut until the rules are signed'] })
  expect(handed).toEqual([])
  expect((await noticesOf('stalled')).length).toBeGreaterThan(6)
  await runAllBut()
})

test('one clinic that stands still is no other clinic’s', async () => {
  const other = await addClinic('other-watch')
  await staffClinic(service, other)
  fresh()
  clock.advance({ minutes: 62 })
  await runAllBut()
  await owner`update job_run set finished_at = finished_at - interval '1 hour' where clinic_id = ${other} and job = 'deliver'`
  const found = await startWatch(service, deps, null).look()
  expect(found.map(({ slug, stalls }) => [slug, stalls])).toEqual([
    ['brackwater', []],
    ['other-watch', ['deliver']],
  ])
})

test('a backup or a check that did not come is told to the owner once a day', async () => {
  const slow = watchSlowJobs(() => slowJobLimits)
  const run = () =>
    runJob(service, slow, { transports: {}, spool: '' }, { clinics: [{ clinicId, slug: 'brackwater' }] })
  await run()
  expect(await noticesOf('job-late')).toEqual([])
  clock.advance({ hours: 40 })
  expect((await run())[0]?.done).toBe(Object.keys(slowJobLimits).length)
  await run()
  expect((await noticesOf('job-late')).map(({ staffId }) => staffId)).toEqual([people.owner])
})
