import { setTimeout as sleep } from 'node:timers/promises'
import { beforeEach, expect, test } from 'vitest'
import { deliver } from '../../jobs/deliver.ts'
import { tidy } from '../../jobs/tidy-outbox.ts'
import { jobRuns } from '../../src/database/job-runs.ts'
import { inClinic } from '../../src/database/service.ts'
import { deskItems } from '../../src/desk/store.ts'
import { type Job, type JobDeps, runJob, startJobs } from '../../src/jobs.ts'
import type { LogFields } from '../../src/log.ts'
import { handset } from '../../src/messages/transports/handset.ts'
import { Permanent } from '../../src/messages/transports/transport.ts'
import { startProtocol } from '../../src/protocol/store.ts'
import { testDatabase } from '../support/database.ts'
import { addMany, messagesOf, recordingTransport } from './messages-fixtures.ts'

const { service, clock, addClinic } = await testDatabase('2026-03-02T12:00:00Z')

const logged: { event: string; fields: LogFields | undefined }[] = []
const deps: JobDeps = {
  transports: { handset },
  spool: '/nowhere',
  log: (_, event, fields) => void logged.push({ event, fields }),
}
let a: { clinicId: string; slug: string }
let b: { clinicId: string; slug: string }
let clinics = 0
beforeEach(async () => {
  clinics += 1
  logged.length = 0
  a = { slug: `jobs-a-${clinics}`, clinicId: await addClinic(`jobs-a-${clinics}`) }
  b = { slug: `jobs-b-${clinics}`, clinicId: await addClinic(`jobs-b-${clinics}`) }
})
const runsOf = (clinicId: string) => inClinic(service, clinicId, jobRuns)
const jobOf = (run: Job['run'], given: Partial<Job> = {}): Job => ({
  name: 'try',
  schedule: '* * * * * *',
  run,
  ...given,
})
const both = () => ({ clinics: [a, b] })

test('a run leaves its beginning, its end and its count for each clinic', async () => {
  const job = jobOf(async () => {
    clock.advance({ seconds: 2 })
    return 7
  })
  const begun = clock.now()
  await runJob(service, job, deps, { clinics: [a] })
  expect(await runsOf(a.clinicId)).toMatchObject([{ job: 'try', done: 7, error: null }])
  const [run] = await runsOf(a.clinicId)
  expect(run?.startedAt.equals(begun)).toBe(true)
  expect(run?.finishedAt?.equals(begun.add({ seconds: 2 }))).toBe(true)
  expect(await runsOf(b.clinicId)).toEqual([])
})

test('it runs for every clinic when none is named', async () => {
  const seen: string[] = []
  await runJob(
    service,
    jobOf(async (_, clinic) => seen.push(clinic.slug)),
    deps,
  )
  expect(seen).toContain(a.slug)
  expect(seen).toContain(b.slug)
})

test("one clinic's fault does not touch the next, is logged by kind alone, and stays to be seen", async () => {
  const job = jobOf(async (_, { clinicId }) => {
    if (clinicId === a.clinicId) throw new TypeError('Ada wrote: my ear hurts')
    return 1
  })
  const results = await runJob(service, job, deps, both())
  expect(results.map(({ clinicId, error }) => [clinicId, error === null])).toEqual(
    expect.arrayContaining([
      [a.clinicId, false],
      [b.clinicId, true],
    ]),
  )
  expect(await runsOf(a.clinicId)).toMatchObject([{ error: 'TypeError' }])
  expect((await runsOf(a.clinicId))[0]?.finishedAt).not.toBeNull()
  expect(await runsOf(b.clinicId)).toMatchObject([{ done: 1, error: null }])
  expect(logged.map(({ event }) => event)).toEqual(['job failed'])
  expect(JSON.stringify(logged)).not.toContain('Ada')
})

test('a later good run clears the fault of an earlier one', async () => {
  await runJob(
    service,
    jobOf(() => Promise.reject(new Error('once'))),
    deps,
    { clinics: [a] },
  )
  await runJob(
    service,
    jobOf(async () => 1),
    deps,
    { clinics: [a] },
  )
  expect(await runsOf(a.clinicId)).toMatchObject([{ error: null, done: 1 }])
})

test('only one process runs a job for a clinic at a time, unless it is made for several', async () => {
  let inside = 0
  let most = 0
  const busy = async () => {
    inside += 1
    most = Math.max(most, inside)
    await sleep(50)
    inside -= 1
    return 1
  }
  const run = (job: Job) =>
    Promise.all([1, 2, 3].map(() => runJob(service, job, deps, { clinics: [a] }))).then((all) =>
      all.flat().map(({ done }) => done),
    )
  expect((await run(jobOf(busy))).sort()).toEqual([1, null, null])
  expect(most).toBe(1)
  most = 0
  expect(await run(jobOf(busy, { name: 'shared', parallel: true }))).toEqual([1, 1, 1])
  expect(most).toBe(3)
})

test('a run whose process died is taken over after a minute', async () => {
  const never = new Promise<number>(() => {})
  void runJob(
    service,
    jobOf(() => never),
    deps,
    { clinics: [a] },
  )
  while ((await runsOf(a.clinicId)).length === 0) await sleep(5)
  const next = () =>
    runJob(
      service,
      jobOf(async () => 1),
      deps,
      { clinics: [a] },
    )
  expect(await next()).toMatchObject([{ done: null }])
  expect(await runsOf(a.clinicId)).toMatchObject([{ finishedAt: null }])
  clock.advance({ seconds: 60 })
  expect(await next()).toMatchObject([{ done: 1 }])
})

test('ticks never overlap in one process, and stopping waits for what runs', async () => {
  let inside = 0
  let most = 0
  let ended = 0
  const slow = jobOf(
    async (_, { clinicId }, { signal }) => {
      if (clinicId !== a.clinicId) return 0
      inside += 1
      most = Math.max(most, inside)
      await sleep(2300)
      inside -= 1
      ended += 1
      return signal.aborted ? 1 : 0
    },
    { parallel: true },
  )
  const runner = startJobs(service, [slow], deps)
  while (inside === 0) await sleep(20)
  // Long enough for a second tick while the first run goes on.
  await sleep(1200)
  await runner.stopJobs()
  expect(most).toBe(1)
  expect(ended).toBe(1)
  expect(await runsOf(a.clinicId)).toMatchObject([{ done: 1 }])
  await sleep(1100)
  expect(ended).toBe(1)
})

test('the delivery job sends on the handset without a signature, and the message itself is the handset', async () => {
  await inClinic(service, a.clinicId, startProtocol)
  await addMany(service, a.clinicId, 3)
  await runJob(service, deliver, deps, { clinics: [a] })
  const rows = await messagesOf(service, a.clinicId)
  expect(rows.map(({ status, transport }) => `${status} ${transport}`)).toEqual(
    Array(3).fill('delivered handset'),
  )
})

test('what the delivery job cannot bring there lies on the desk once', async () => {
  await inClinic(service, a.clinicId, startProtocol)
  await addMany(service, a.clinicId, 1)
  const broken = recordingTransport(() => {
    throw new Permanent('No such number')
  })
  await runJob(service, deliver, { ...deps, transports: { handset: broken } }, { clinics: [a] })
  await runJob(service, tidy, deps, { clinics: [a] })
  const [row] = await messagesOf(service, a.clinicId)
  expect(await inClinic(service, a.clinicId, deskItems)).toMatchObject([
    { kind: 'delivery-failed', patientId: row?.patientId, note: 'visit-reminder: No such number' },
  ])
})

test('a clinic that names a transport which is not there keeps its messages, and the fault is seen', async () => {
  await addMany(service, a.clinicId, 1)
  await runJob(service, deliver, { ...deps, transports: {} }, { clinics: [a] })
  expect(await runsOf(a.clinicId)).toMatchObject([{ error: 'Trouble' }])
  expect(await messagesOf(service, a.clinicId)).toMatchObject([{ status: 'queued' }])
})
