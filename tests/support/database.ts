/** A fresh migrated database with one clinic, under a driven clock. */
import { randomBytes } from 'node:crypto'
import postgres, { type Sql } from 'postgres'
import { afterAll, inject } from 'vitest'
import { type ClinicSettings, createClinic } from '../../src/clinic.ts'
import { type DrivenClock, drivenClock } from '../../src/clock.ts'
import { openOwner, openService, type Service } from '../../src/database/service.ts'
import { TEMPLATE } from './server.ts'
import { testKeys, testSettings } from './settings.ts'

export { testKeys, testSettings }

export interface TestDatabase {
  url: string
  owner: Sql
  service: Service
  clock: DrivenClock
  clinicId: string
  /** A further clinic on the same database. */
  addClinic(slug: string, settings?: Partial<ClinicSettings>): Promise<string>
}

/** Call at the top of a test file; closed after its tests. `start` is where the driven clock begins. */
export async function testDatabase(start = '2026-03-02T09:00:00Z'): Promise<TestDatabase> {
  const server = inject('serverUrl')
  const name = `t_${randomBytes(6).toString('hex')}`
  const admin = postgres(server, { max: 1, onnotice: () => {} })
  await admin.unsafe(`create database ${name} template ${TEMPLATE}`)
  await admin.end()
  const url = server.replace(/\/[^/]*$/, `/${name}`)
  const owner = openOwner(url)
  const clock = drivenClock(start)
  const service = openService({
    url,
    clock,
    masters: testKeys,
    publicUrl: 'http://127.0.0.1:4180',
    connections: 8,
  })
  const addClinic = (slug: string, settings: Partial<ClinicSettings> = {}) =>
    createClinic(owner, testKeys, clock.now(), {
      slug,
      name: 'Brackwater Ear Rooms',
      zone: 'Europe/London',
      settings: { ...testSettings, ...settings },
    })
  const clinicId = await addClinic('brackwater')
  afterAll(async () => {
    await service.close()
    await owner.end()
  })
  return { url, owner, service, clock, clinicId, addClinic }
}
