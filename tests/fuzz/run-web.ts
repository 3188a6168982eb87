/**
 * `npm run fuzz:web -- --bodies M --pages N --seed S`: M hostile bodies against what reads bodies, then N hostile
 * requests to every page on a scratch database. Ends with one JSON line; exit status 1 where anything failed.
 */
import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { parseArgs } from 'node:util'
import postgres from 'postgres'
import { createClinic } from '../../src/clinic.ts'
import { drivenClock } from '../../src/clock.ts'
import { startEmbedded } from '../../src/database/embedded.ts'
import { migrate } from '../../src/database/migrate.ts'
import { openOwner, openService } from '../../src/database/service.ts'
import { staffClinic } from '../support/clinic.ts'
import { testKeys, testSettings } from '../support/settings.ts'
import { fuzzBodies } from './bodies.ts'
import { linksOf } from './links.ts'
import { fuzzWeb } from './web.ts'

const { values } = parseArgs({
  options: {
    bodies: { type: 'string', default: '100000' },
    pages: { type: 'string', default: '10000' },
    seed: { type: 'string', default: '1' },
  },
})

const folder = mkdtempSync(join(tmpdir(), 'foreaft-fuzz-'))
const server = await startEmbedded({
  folder,
  settings: ['fsync=off', 'synchronous_commit=off', 'full_page_writes=off'],
})
try {
  const admin = postgres(server.url(), { max: 1, onnotice: () => {} })
  await admin.unsafe('create database fuzz')
  await admin.end()
  const owner = openOwner(server.url('fuzz'))
  await migrate(owner)
  const clock = drivenClock('2026-03-02T09:00:00Z')
  const service = openService({
    url: server.url('fuzz'),
    clock,
    masters: testKeys,
    publicUrl: 'http://127.0.0.1:4180',
  })
  const clinicId = await createClinic(owner, testKeys, clock.now(), {
    slug: 'fuzz',
    name: 'Brackwater Ear Rooms',
    zone: 'Europe/London',
    settings: testSettings,
  })
  await staffClinic(service, clinicId)
  const began = performance.now()
  const seconds = () => Math.round((performance.now() - began) / 1000)
  const tell = (what: string) => (done: number) => process.stderr.write(`${what}: ${done}, ${seconds()} s\n`)
  const seed = Number(values.seed)
  const bodies = await fuzzBodies(Number(values.bodies), seed, tell('bodies'))
  const pages = await fuzzWeb({
    service,
    clinicId,
    cases: Number(values.pages),
    seed,
    newLinks: linksOf(service, clinicId),
    progress: tell('pages'),
  })
  const failed = [bodies, pages].some((one) => one.faults.length > 0 || one.good.answered < one.good.sent)
  const short = <R extends { faults: unknown[] }>(one: R) => ({
    ...one,
    faults: one.faults.slice(0, 20),
    faulty: one.faults.length,
  })
  process.stdout.write(
    `${JSON.stringify({ seconds: seconds(), bodies: short(bodies), pages: short(pages) })}\n`,
  )
  process.exitCode = failed ? 1 : 0
  await service.close()
  await owner.end()
} finally {
  await server.stop()
  rmSync(folder, { recursive: true, force: true })
}
