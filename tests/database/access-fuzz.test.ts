import { expect, test } from 'vitest'
import { verifyAudit } from '../../src/access/audit.ts'
import { inClinic } from '../../src/database/service.ts'
import { fuzzBodies } from '../fuzz/bodies.ts'
import { linksOf } from '../fuzz/links.ts'
import { fuzzWeb } from '../fuzz/web.ts'
import { staffClinic } from '../support/clinic.ts'
import { testDatabase } from '../support/database.ts'

const { service, clinicId } = await testDatabase()

// `npm run fuzz:web` does the same with as many cases as one likes.
test('hostile requests to every route: no crash, no 5xx, and good ones answered between them', async () => {
  await staffClinic(service, clinicId)
  const report = await fuzzWeb({
    service,
    clinicId,
    cases: 800,
    seed: 4,
    newLinks: linksOf(service, clinicId),
  })
  expect(report.faults).toEqual([])
  expect(report.good.answered).toBe(report.good.sent)
  expect(report.routes).toBeGreaterThan(40)
  // Hostile requests that got as far as a page or an answer to a form, not only to the guard.
  const acted = [200, 303, 409, 422].reduce((sum, status) => sum + (report.status[status] ?? 0), 0)
  expect(acted / report.cases).toBeGreaterThan(0.15)
  expect((await inClinic(service, clinicId, verifyAudit)).broken).toBeNull()
}, 180_000)

test('hostile forms, JSON and CSV: each is read or refused, and no good one between them is lost', async () => {
  const report = await fuzzBodies(6000, 5)
  expect(report.faults).toEqual([])
  expect(report.good).toEqual({ sent: 120, answered: 120 })
  for (const status of [200, 400, 422])
    expect(report.status[status] ?? 0, String(status)).toBeGreaterThan(500)
}, 180_000)
