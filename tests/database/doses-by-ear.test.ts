/** "Left 2, right 1" by text counts for each ear by itself. */
import { Temporal } from 'temporal-polyfill'
import { expect, test } from 'vitest'
import { deliver } from '../../jobs/deliver.ts'
import { inFlow } from '../../src/flow/context.ts'
import { handleReply } from '../../src/flow/replies.ts'
import { takeAnswers } from '../../src/flow/screening.ts'
import { receive } from '../../src/messages/inbound.ts'
import { noToAll } from '../../src/softening/screening.ts'
import { currentPlan, doseDayRows } from '../../src/softening/store.ts'
import { importRows, messagesOf, runJobs, staffClinic, visitAndPatient } from '../support/clinic.ts'
import { testDatabase } from '../support/database.ts'

const { service, clock, clinicId } = await testDatabase('2026-03-02T09:00:00Z')
await staffClinic(service, clinicId)
await importRows(service, clinicId, [
  'E1,Patient E1,07700 900001,,1940-01-01,2026-03-06T10:00,30,Ottoline Marsh,removal,both,',
])
const { visit, patient } = await visitAndPatient(service, clinicId, 'E1')
await inFlow(service, clinicId, (flow) =>
  takeAnswers(flow, visit, patient, noToAll(flow.rules.softening), { byText: true }),
)

/** What the evening's answer of this day came to, ear by ear. */
async function answered(day: string, body: string) {
  clock.set(Temporal.Instant.from(`${day}T18:31:00Z`))
  await runJobs(service, [deliver])
  const from = '+447700900001'
  const { replyId } = await receive(service, clinicId, { transport: 'handset', providerId: day, from, body })
  await handleReply(service, clinicId, replyId)
  const rows = await inFlow(service, clinicId, async (flow) =>
    doseDayRows(flow, [(await currentPlan(flow, visit.visitId))?.planId as string]),
  )
  return Object.fromEntries(rows.filter((row) => row.day === day).map(({ ear, done }) => [ear, done]))
}

test('different numbers of doses for the two ears are kept apart; one number is for both', async () => {
  expect(await answered('2026-03-02', 'left 2 right 1')).toEqual({ left: 2, right: 1 })
  const thanks = (await messagesOf(service, clinicId)).findLast(({ kind }) => kind === 'dose-thanks')
  expect(thanks?.body).toContain('We have noted 2 for the left ear and 1 for the right ear for today.')
  expect(await answered('2026-03-03', '2 in the right, none in the left')).toEqual({ left: 0, right: 2 })
  expect(await answered('2026-03-04', '2 in left and right')).toEqual({ left: 2, right: 2 })
})
