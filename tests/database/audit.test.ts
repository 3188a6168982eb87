import { spawnSync } from 'node:child_process'
import { expect, test } from 'vitest'
import { deliver } from '../../jobs/deliver.ts'
import { verifyAudits } from '../../jobs/verify-audit.ts'
import { verifyAudit } from '../../src/access/audit.ts'
import { jobRun, notice } from '../../src/database/schema.ts'
import { inClinic } from '../../src/database/service.ts'
import { runJob } from '../../src/jobs.ts'
import { handset } from '../../src/messages/transports/handset.ts'
import { startProtocol } from '../../src/protocol/store.ts'
import { importRows, staffClinic, visitAndPatient } from '../support/clinic.ts'
import { testDatabase } from '../support/database.ts'
import { webTest } from '../support/web.ts'

const { service, owner, clinicId, addClinic, url } = await testDatabase()
const people = await staffClinic(service, clinicId)
await importRows(service, clinicId, [
  'A1,Isolde Penhallow,07700 900311,,1941-05-06,2026-03-16 10:00,30,Ottoline Marsh,removal,both,booked',
  'A2,Corwin Tansley,07700 900312,,1944-05-06,2026-03-17 10:00,30,Ottoline Marsh,removal,left,booked',
])
await runJob(service, deliver, { transports: { handset }, spool: '/tmp/none' })
const web = webTest(service)
const { patient } = await visitAndPatient(service, clinicId, 'A1')
const verify = () => inClinic(service, clinicId, verifyAudit)
const deps = { transports: {}, spool: '/tmp/none', log: () => {} }

// What only somebody with the owner's rights to the server could do.
const tamper = async (statement: string) => {
  await owner.begin(async (tx) => {
    await tx.unsafe('alter table audit disable trigger audit_append_only')
    await tx.unsafe(statement)
    await tx.unsafe('alter table audit enable trigger audit_append_only')
  })
}

test('the service can neither change nor remove what stands in the audit, nor can its owner in one stroke', async () => {
  for (const statement of ['update audit set actor = actor', 'delete from audit', 'truncate audit']) {
    await expect(
      inClinic(service, clinicId, ({ tx }) => tx.execute(statement)),
      statement,
    ).rejects.toMatchObject({ cause: { code: '42501' } })
    await expect(owner.unsafe(statement), statement).rejects.toThrow('the audit is append-only')
  }
})

test('the first broken link is named: changed, left out, cut off, rewritten', async () => {
  const whole = await verify()
  expect(whole.broken).toBeNull()
  expect(whole.entries).toBeGreaterThanOrEqual(4)
  const last = whole.entries
  const spoil: [string, string, { seq: number; why: string }][] = [
    [
      `update audit set actor = 'staff:x' where seq = 2`,
      `update audit set actor = '${await fieldOf(2, 'actor')}' where seq = 2`,
      { seq: 2, why: 'its content was changed' },
    ],
    [
      `update audit set detail = detail || '{"x":1}' where seq = 3`,
      `update audit set detail = detail - 'x' where seq = 3`,
      { seq: 3, why: 'its content was changed' },
    ],
    [
      `update audit set seq = ${last + 50} where seq = 2`,
      `update audit set seq = 2 where seq = ${last + 50}`,
      { seq: 2, why: 'the entry is missing' },
    ],
    [
      `update audit set seq = ${last + 50} where seq = ${last}`,
      `update audit set seq = ${last} where seq = ${last + 50}`,
      { seq: last, why: 'the entry is missing' },
    ],
    [
      `update audit_head set seq = seq + 1`,
      `update audit_head set seq = seq - 1`,
      { seq: last + 1, why: 'the end of the chain is missing' },
    ],
  ]
  for (const [change, back, broken] of spoil) {
    await tamper(change)
    expect((await verify()).broken, change).toEqual(broken)
    await tamper(back)
    expect((await verify()).broken, back).toBeNull()
  }
})

async function fieldOf(seq: number, column: string): Promise<string> {
  const rows = await owner.unsafe(
    `select ${column} as value from audit where clinic_id = '${clinicId}' and seq = ${seq}`,
  )
  return rows[0]?.value
}

const auditCommand = () =>
  spawnSync(process.execPath, ['src/commands/audit.ts'], {
    encoding: 'utf8',
    env: {
      PATH: process.env.PATH,
      DATABASE_URL: url,
      FOREAFT_KEYS: `t1:${Buffer.alloc(32, 7).toString('base64')}`,
      FOREAFT_DATA: '/tmp',
    },
  })

test('the command and the job find the break, and the owner is told', async () => {
  const second = await addClinic('second')
  const good = auditCommand()
  expect(good.stderr).toBe('')
  expect(good.stdout).toMatch(/brackwater: \d+ entries, whole\.\nsecond: 0 entries, whole\./)
  expect(good.status).toBe(0)
  await runJob(service, verifyAudits, deps)
  expect(await inClinic(service, clinicId, ({ tx }) => tx.$count(notice))).toBe(0)

  const actor = await fieldOf(4, 'actor')
  await tamper(`update audit set actor = 'service:x' where seq = 4`)
  const bad = auditCommand()
  expect(bad.stdout).toMatch(
    /brackwater: BROKEN at entry 4: its content was changed\. The 3 entries before it are whole\.\nsecond: 0 entries, whole/,
  )
  expect(bad.status).toBe(1)
  const results = await runJob(service, verifyAudits, deps)
  expect(results.find((one) => one.clinicId === second)?.error).toBeNull()
  expect(results.find((one) => one.clinicId === clinicId)?.error).toBeTruthy()
  await runJob(service, verifyAudits, deps)
  const told = await inClinic(service, clinicId, async ({ tx }) => ({
    notices: await tx.select().from(notice),
    runs: await tx.select().from(jobRun),
  }))
  expect(told.notices.map((one) => [one.kind, one.staffId])).toEqual([['audit-broken', people.owner]])
  expect(told.runs.find((one) => one.job === 'verify-audit')?.error).toBe('The audit chain is broken')
  await tamper(`update audit set actor = '${actor}' where seq = 4`)
})

test('who saw this patient, on one page: views, decisions and messages, by name; owners only', async () => {
  const clinician = await web.staff('clinician', clinicId, 'Ignatia Holm')
  const ownerPerson = await web.staff('owner', clinicId)
  const seen = await clinician.get(`/clinician/patients/${patient.patientId}`)
  expect(seen.status).toBe(200)
  const page = await ownerPerson.get(`/trust/patients/${patient.patientId}`)
  expect(page.status).toBe(200)
  const text = await page.text()
  expect(text).toContain('Isolde Penhallow')
  expect(text).toContain('Ignatia Holm')
  expect(text).toContain('view patient')
  expect(text).toContain('book visit')
  expect(text).toContain('send messages')
  expect(text).not.toContain('Corwin Tansley')
  // The look at this page is itself a view.
  const again = await (await ownerPerson.get(`/trust/patients/${patient.patientId}`)).text()
  expect(again).toContain('who saw this patient')
  expect((await clinician.get(`/trust/patients/${patient.patientId}`)).status).toBe(403)
  // The job's last walk found the break that was mended since; a walk now finds all whole.
  expect(await (await ownerPerson.get('/trust/audit')).text()).toContain('The chain is broken')
  expect(await (await ownerPerson.post('/trust/audit/verify')).text()).toMatch(/\d+ entries, whole/)
  const third = await addClinic('third')
  await inClinic(service, third, startProtocol)
  const someoneElse = await web.staff('owner', third)
  expect((await someoneElse.get(`/trust/patients/${patient.patientId}`)).status).toBe(404)
})
