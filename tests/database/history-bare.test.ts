/** Bare words to the whole list of the history: "none" settles it, "yes" does not say which and reaches a person. */
import { expect, test } from 'vitest'
import { deliver } from '../../jobs/deliver.ts'
import { queue } from '../../src/concerns/store.ts'
import { inFlow } from '../../src/flow/context.ts'
import { handleReply } from '../../src/flow/replies.ts'
import { receive } from '../../src/messages/inbound.ts'
import { getScreening } from '../../src/softening/store.ts'
import { importRows, messagesOf, runJobs, staffClinic, visitAndPatient } from '../support/clinic.ts'
import { testDatabase } from '../support/database.ts'

const { service, clock, clinicId } = await testDatabase('2026-03-02T09:00:00Z')
await staffClinic(service, clinicId)

test.each([
  ['NONE', 'answered', []],
  ['no.', 'answered', []],
  ['yes', 'asked', ['unclear']],
  ['not sure', 'asked', ['unclear']],
  ["I don't know", 'asked', ['unclear']],
])('%s', async (text, status, urgencies) => {
  const reference = `B${text}`
  const mobile = `07700 9008${String(text.length).padStart(2, '0')}`
  await importRows(service, clinicId, [
    `${reference},Patient ${text},${mobile},,,2026-03-20T10:00,30,Ottoline Marsh,removal,both,`,
  ])
  clock.advance({ minutes: 3 })
  await runJobs(service, [deliver])
  const { visit, patient } = await visitAndPatient(service, clinicId, reference)
  const from = patient.mobile as string
  const { replyId } = await receive(service, clinicId, {
    transport: 'handset',
    providerId: reference,
    from,
    body: text,
  })
  await handleReply(service, clinicId, replyId)
  const found = await inFlow(service, clinicId, async (flow) => ({
    status: (await getScreening(flow, visit.visitId))?.status,
    urgencies: (await queue(flow))
      .filter(({ patientId }) => patientId === patient.patientId)
      .map(({ urgency }) => urgency),
  }))
  expect(found).toEqual({ status, urgencies })
  const kinds = (await messagesOf(service, clinicId))
    .filter(({ patientId }) => patientId === patient.patientId)
    .map(({ kind }) => kind)
  expect(kinds.includes('safety-unclear')).toBe(urgencies.length > 0)
})
