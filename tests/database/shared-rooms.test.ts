/** A room or a patient is never booked twice over, whichever practitioner's time it is. */
import { Temporal } from 'temporal-polyfill'
import { expect, test } from 'vitest'
import { inClinic } from '../../src/database/service.ts'
import { inFlow } from '../../src/flow/context.ts'
import { answerMove, moveNow, proposeMove } from '../../src/flow/moves.ts'
import { openTime } from '../../src/flow/slots.ts'
import { bestPlan, loadWeek } from '../../src/flow/week.ts'
import { freeSlots } from '../../src/softening/moves/store.ts'
import { importRows, staffClinic, visitAndPatient } from '../support/clinic.ts'
import { testDatabase } from '../support/database.ts'

const { service, clinicId } = await testDatabase('2026-03-02T09:00:00Z')
const { desk } = await staffClinic(service, clinicId)
const HEADER = 'reference,name,mobile,birth_date,start,minutes,practitioner,purpose,ears,room'

const book = async (ref: string, mobile: string, start: string, practitioner: string, room: string) => {
  const row = `${ref},Patient ${mobile},07700 900${mobile},1940-01-01,${start},30,${practitioner},removal,both,${room}`
  expect((await importRows(service, clinicId, [row], HEADER)).problems).toEqual([])
  return (await visitAndPatient(service, clinicId, ref)).visit
}

async function open(at: string, practitioner: string, room: string | null): Promise<string> {
  const start = Temporal.Instant.from(at)
  const outcome = await inFlow(service, clinicId, (flow) =>
    openTime(flow, { start, minutes: 30, practitioner, room }),
  )
  if (outcome !== 'opened') return outcome
  return await inClinic(service, clinicId, async ({ tx }) => {
    const slots = await tx.query.slot.findMany()
    return slots.findLast((one) => one.startAt.equals(start) && one.status === 'open')?.slotId as string
  })
}

const propose = (visitId: string, slotId: string) =>
  inFlow(service, clinicId, (flow) =>
    proposeMove(flow, {
      visitId,
      slotIds: [slotId],
      reason: 'The drops need more days.',
      proposedBy: desk,
      deadlineAt: flow.now.add({ hours: 24 }),
    }),
  )

test('two practitioners, one room: who answers first has it, and the desk cannot put a third there', async () => {
  const a = await book('A', '001', '2026-03-20T09:00', 'Ottoline Marsh', 'Blue')
  const b = await book('B', '002', '2026-03-20T10:00', 'Fenwick Adair', 'Blue')
  const c = await book('C', '003', '2026-03-20T11:00', 'Posy Vane', 'Blue')
  const [first, second, third] = [
    await open('2026-03-10T10:00:00Z', 'Ottoline Marsh', 'Blue'),
    await open('2026-03-10T10:10:00Z', 'Fenwick Adair', 'Blue'),
    await open('2026-03-10T10:20:00Z', 'Posy Vane', 'Blue'),
  ]
  const [forA, forB] = [await propose(a.visitId, first), await propose(b.visitId, second)]
  const tries = await Promise.allSettled([
    inFlow(service, clinicId, (flow) => answerMove(flow, forA, 0)),
    inFlow(service, clinicId, (flow) => answerMove(flow, forB, 0)),
    inFlow(service, clinicId, (flow) => moveNow(flow, c.visitId, third, desk)).then(
      () => 'accepted' as const,
    ),
  ])
  expect(tries.filter((one) => one.status === 'fulfilled' && one.value === 'accepted')).toHaveLength(1)
  // What the room is in use for is not on offer, and nothing more is opened there.
  const free = await inClinic(service, clinicId, (scope) =>
    freeSlots(scope, Temporal.Instant.from('2026-03-10T00:00Z'), Temporal.Instant.from('2026-03-11T00:00Z')),
  )
  expect(free).toEqual([])
  expect(await open('2026-03-10T10:05:00Z', 'Wilf Orrin', 'Blue')).toBe('booked')
  expect(await open('2026-03-10T10:05:00Z', 'Wilf Orrin', 'Green')).not.toBe('booked')
})

test('nobody is asked to be in two places at once', async () => {
  await book('D', '004', '2026-03-12T10:00', 'Ottoline Marsh', 'Red')
  const other = await book('E', '004', '2026-03-19T10:00', 'Fenwick Adair', 'Green')
  const slotId = await open('2026-03-12T10:15:00Z', 'Fenwick Adair', 'Green')
  await expect(propose(other.visitId, slotId)).rejects.toThrow('no longer free')
})

test('a visit without a room among others that have one does not hide a clash of rooms from the plan', async () => {
  await book('F', '005', '2026-03-16T10:00', 'Ottoline Marsh', '')
  const clash = await inFlow(service, clinicId, async (flow) => loadWeek(flow))
  expect(clash.problem).toBeNull()
  expect(bestPlan(clash)?.proved).toBe(true)
  await book('G', '006', '2026-03-17T10:00', 'Ottoline Marsh', 'Blue')
  await book('H', '007', '2026-03-17T10:10', 'Fenwick Adair', 'Blue')
  const week = await inFlow(service, clinicId, (flow) => loadWeek(flow))
  expect(week.problem).toContain('room Blue is double-booked')
})
