/** Whoever is shown a patient is in the audit for it: every page, every role, by what stands on the page. */
import { and, eq } from 'drizzle-orm'
import { expect, test } from 'vitest'
import { deliver } from '../../jobs/deliver.ts'
import { ROLES } from '../../src/access/permissions.ts'
import { routesOf } from '../../src/access/route.ts'
import { audit } from '../../src/database/schema.ts'
import { inClinic } from '../../src/database/service.ts'
import { handleReply } from '../../src/flow/replies.ts'
import { runJob } from '../../src/jobs.ts'
import { receive } from '../../src/messages/inbound.ts'
import { handset } from '../../src/messages/transports/handset.ts'
import { importRows, staffClinic, visitAndPatient } from '../support/clinic.ts'
import { testDatabase } from '../support/database.ts'
import { webTest } from '../support/web.ts'

const { service, owner, clinicId } = await testDatabase('2026-03-16T08:00:00Z')
await staffClinic(service, clinicId)
await owner`update clinic set demo = true where clinic_id = ${clinicId}`
await importRows(service, clinicId, [
  'V1,Isolde Penhallow,07700 900351,,1941-05-06,2026-03-16 10:00,30,Ottoline Marsh,removal,both,booked',
])
await runJob(service, deliver, { transports: { handset }, spool: '' })
const got = await receive(service, clinicId, {
  transport: 'handset',
  providerId: 'v-1',
  from: '+447700900351',
  body: 'sudden hearing loss in my left ear since this morning',
})
await handleReply(service, clinicId, got.replyId)
const { patient, visit } = await visitAndPatient(service, clinicId, 'V1')
const concernId = (await owner<{ id: string }[]>`select concern_id as id from concern limit 1`)[0]
  ?.id as string
const web = webTest(service)

test('no page shows a patient without an entry of who saw them', async () => {
  const pages = routesOf(web.app).filter(
    ({ method, path, gate }) =>
      method === 'get' && path !== '/live' && gate !== 'public' && gate !== 'patient-link',
  )
  const shown: string[] = []
  const silent: string[] = []
  for (const role of ROLES) {
    for (const { path } of pages) {
      for (const id of path.includes(':') ? [patient.patientId, visit.visitId, concernId] : ['']) {
        const person = await web.staff(role, clinicId)
        const answer = await person.get(path.replaceAll(/:\w+(\{[^}]*\})?\??/g, id))
        if (!/Penhallow|900351|sudden hearing loss in my left/.test(await answer.text())) continue
        const where = `${role} ${path}`
        shown.push(where)
        const entries = await inClinic(service, clinicId, ({ tx }) =>
          tx.$count(
            audit,
            and(eq(audit.actor, `staff:${person.staffId}`), eq(audit.patientId, patient.patientId)),
          ),
        )
        if (entries === 0) silent.push(where)
      }
    }
  }
  // It finds the pages that there are.
  for (const page of [
    'clinician /clinician',
    'clinician /clinician/patients/:id',
    'reception /reception',
    'owner /trust/patients/:id',
  ])
    expect(shown).toContain(page)
  expect([...new Set(silent)]).toEqual([])
})
