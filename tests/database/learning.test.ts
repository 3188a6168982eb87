/** What the clinic's own history teaches, on real rows: only days that were asked, only visits that a plan was for. */
import { Temporal } from 'temporal-polyfill'
import { expect, test } from 'vitest'
import { deliver } from '../../jobs/deliver.ts'
import type { EarRecord } from '../../src/aftercare/record.ts'
import { recordsOfVisit } from '../../src/aftercare/store.ts'
import { recordProcedure } from '../../src/flow/aftercare.ts'
import { inFlow } from '../../src/flow/context.ts'
import { evidenceOf } from '../../src/flow/evidence.ts'
import { learn, lessons } from '../../src/flow/learning.ts'
import { noteDoses } from '../../src/flow/plans.ts'
import { takeAnswers } from '../../src/flow/screening.ts'
import { noToAll } from '../../src/softening/screening.ts'
import { currentPlan, getModel } from '../../src/softening/store.ts'
import { importRows, runJobs, staffClinic, visitAndPatient } from '../support/clinic.ts'
import { testDatabase } from '../support/database.ts'

const { service, clock, clinicId } = await testDatabase('2026-03-02T09:00:00Z')
const staff = await staffClinic(service, clinicId)

const put = (ref: string, mobile: string, start: string, status = '') =>
  importRows(service, clinicId, [
    `${ref},Patient ${ref},07700 900${mobile},,1940-01-01,${start},30,Ottoline Marsh,removal,left,${status}`,
  ])

async function plan(ref: string, mobile: string, start: string) {
  await put(ref, mobile, start)
  const { visit, patient } = await visitAndPatient(service, clinicId, ref)
  await inFlow(service, clinicId, (flow) =>
    takeAnswers(flow, visit, patient, noToAll(flow.rules.softening), { byText: true }),
  )
  return visit
}
const says = (visitId: string, day: string, done: number) =>
  inFlow(service, clinicId, async (flow) => {
    const stored = await currentPlan(flow, visitId)
    await noteDoses(flow, stored?.planId as string, day, { ears: null, done, replyId: null })
  })
/** Everything that falls due until then goes out. */
async function until(at: string) {
  const end = Temporal.Instant.from(at)
  while (Temporal.Instant.compare(clock.now(), end) < 0) {
    const next = clock.now().add({ hours: 1 })
    clock.set(Temporal.Instant.compare(next, end) < 0 ? next : end)
    await runJobs(service, [deliver])
  }
}
const record = (visitId: string, softness: EarRecord['softness'], result: EarRecord['result']) =>
  inFlow(service, clinicId, (flow) =>
    recordProcedure(
      flow,
      visitId,
      {
        ears: [
          {
            ear: 'left',
            found: ['hard-wax'],
            softness,
            methods: ['suction'],
            result,
            canal: ['normal'],
            drum: 'normal',
            felt: ['nothing'],
            advice: '',
          },
        ],
      },
      staff.first,
    ),
  )
const taught = () => inFlow(service, clinicId, lessons)
const dosesOf = (days: { answer: { kind: string; doses?: number } }[]) =>
  days.map(({ answer }) => (answer.kind === 'exact' ? answer.doses : answer.kind))

test('days that nobody was asked about are no silence, and a plan that was replaced has no outcome', async () => {
  // 7 to 11 March; moved on the 9th, when two days were asked and one was answered.
  const moved = await plan('A1', '001', '2026-03-12T10:00')
  // Cancelled before any question.
  await plan('A2', '002', '2026-03-12T11:00')
  await put('A2', '002', '2026-03-12T11:00', 'cancelled')
  await until('2026-03-07T20:00:00Z')
  await says(moved.visitId, '2026-03-07', 2)
  await until('2026-03-09T09:30:00Z')
  await put('A1', '001', '2026-03-16T10:00')
  await until('2026-03-15T21:00:00Z')
  await says(moved.visitId, '2026-03-15', 1)
  clock.set(Temporal.Instant.from('2026-03-16T10:20:00Z'))
  await record(moved.visitId, 'firm', 'part-cleared')
  await until('2026-03-26T10:00:00Z')
  const { histories, outcomes } = await taught()
  const said = histories.map(({ days }) => dosesOf(days))
  // The replaced plan: the day answered and the day asked in vain, not the three that were never asked.
  expect(said).toContainEqual([2, 'silent'])
  // The plan that was moved, and the one that followed the visit.
  expect(said).toContainEqual(['silent', 'silent', 'silent', 1])
  expect(said).toHaveLength(3)
  // One outcome for the one visit: neither the replaced plan nor the one that follows the visit has it.
  expect(outcomes.map(({ found }) => found)).toEqual(['firm'])
  // The prediction that is scored is the one that was made before the visit.
  const evidence = await inFlow(service, clinicId, (flow) =>
    evidenceOf(flow, {
      from: Temporal.PlainDate.from('2026-03-10'),
      to: Temporal.PlainDate.from('2026-03-20'),
    }),
  )
  const [ear] = evidence.now.ears
  const before = await inFlow(service, clinicId, ({ tx }) =>
    tx.query.plan.findMany({ orderBy: (own, { asc }) => asc(own.createdAt) }),
  )
  const own = before.filter((one) => one.visitId === moved.visitId)
  expect(own.map(({ status }) => status)).toEqual(['replaced', 'done', 'active'])
  const foretold = own[1]?.readinessDetail as { ears: { p: number }[] } | undefined
  expect(ear?.predicted).toBeCloseTo(foretold?.ears[0]?.p ?? Number.NaN, 12)
})

test('a record that is mended days later keeps its day, and adds no outcome', async () => {
  const { visit } = await visitAndPatient(service, clinicId, 'A1')
  const doneAt = () =>
    inFlow(service, clinicId, async (flow) =>
      (await recordsOfVisit(flow, visit.visitId))[0]?.doneAt.toString(),
    )
  expect(await doneAt()).toBe('2026-03-16T10:20:00Z')
  await record(visit.visitId, 'hard-and-dry', 'part-cleared')
  expect(await doneAt()).toBe('2026-03-16T10:20:00Z')
  await until('2026-04-02T10:00:00Z')
  expect((await taught()).outcomes.map(({ found }) => found)).toEqual(['hard-and-dry'])
})

test('an ear whose days were not all asked about teaches nothing of softness', async () => {
  const paused = await plan('B1', '003', '2026-04-10T10:00')
  await until('2026-04-06T21:00:00Z')
  // STOP: the rest is never asked.
  await inFlow(service, clinicId, async ({ tx }) => {
    const { message } = await import('../../src/database/schema.ts')
    const { and, eq } = await import('drizzle-orm')
    await tx
      .update(message)
      .set({ status: 'cancelled' })
      .where(and(eq(message.visitId, paused.visitId), eq(message.status, 'queued')))
  })
  await until('2026-04-10T10:10:00Z')
  const count = (await taught()).outcomes.length
  await record(paused.visitId, 'soft', 'cleared')
  await until('2026-04-12T10:00:00Z')
  expect((await taught()).outcomes).toHaveLength(count)
})

test('with few results the starting guess stays', async () => {
  await inFlow(service, clinicId, learn)
  const model = await inFlow(service, clinicId, (flow) => getModel(flow))
  expect(model?.link.outcomes).toBe(0)
  expect(model?.adherence.patients).toBe(0)
})
