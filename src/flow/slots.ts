/** Open times: made one by one or from a file, never over a booked visit or another open time. */
import type { Readable } from 'node:stream'
import { Temporal } from 'temporal-polyfill'
import type { Service } from '../database/service.ts'
import { addSlot, slotsIn } from '../softening/moves/store.ts'
import type { RowProblem } from '../visits/columns.ts'
import { readSlots } from '../visits/csv.ts'
import type { SlotRow } from '../visits/slot-columns.ts'
import { putPractitioner } from '../visits/store.ts'
import { type Flow, inFlow } from './context.ts'
import { isBooked } from './moves.ts'

export type SlotOutcome = 'opened' | 'there-already' | 'past' | 'overlaps' | 'booked'

/** Opens one time. */
export async function openTime(flow: Flow, row: SlotRow): Promise<SlotOutcome> {
  if (Temporal.Instant.compare(row.start, flow.now) <= 0) return 'past'
  const practitionerId = await putPractitioner(flow, row.practitioner)
  const at = { practitionerId, startAt: row.start, minutes: row.minutes, room: row.room }
  if (await isBooked(flow, { ...at, patientId: null }, [])) return 'booked'
  const span = { practitionerId, from: row.start, to: row.start.add({ minutes: row.minutes }) }
  const there = await slotsIn(flow, span)
  if (there.some(({ startAt, minutes }) => startAt.equals(row.start) && minutes === row.minutes))
    return 'there-already'
  if (there.length > 0) return 'overlaps'
  return (await addSlot(flow, at)) ? 'opened' : 'there-already'
}

export const SLOT_TROUBLE: Record<'past' | 'overlaps' | 'booked', string> = {
  past: 'has passed: give a time to come',
  overlaps: 'overlaps another open time of this practitioner: take one of the two away',
  booked: 'lies over a booked visit of this practitioner, or in this room: choose another time',
}

export interface SlotReport {
  rows: number
  opened: number
  same: number
  problems: RowProblem[]
}

const BATCH = 200

/** Opens the times of a file. Good rows go in; bad rows are reported with their line. */
export async function importSlots(
  service: Service,
  clinicId: string,
  input: Readable,
  staffId: string,
): Promise<SlotReport> {
  const zone = await inFlow(service, clinicId, async ({ clinic }) => clinic.zone)
  const report: SlotReport = { rows: 0, opened: 0, same: 0, problems: [] }
  let batch: { line: number; row: SlotRow }[] = []
  const flush = async () => {
    const rows = batch
    batch = []
    const outcomes = await inFlow(service, clinicId, async (flow) => {
      const list: SlotOutcome[] = []
      for (const { row } of rows) list.push(await openTime(flow, row))
      flow.audit({
        actor: `staff:${staffId}`,
        action: 'open times',
        detail: { opened: list.filter((one) => one === 'opened').length },
      })
      return list
    })
    for (const [i, outcome] of outcomes.entries()) {
      if (outcome === 'opened') report.opened += 1
      else if (outcome === 'there-already') report.same += 1
      else
        report.problems.push({
          line: rows[i]?.line ?? 0,
          field: 'start',
          message: SLOT_TROUBLE[outcome],
        })
    }
  }
  for await (const item of readSlots(input, zone)) {
    report.rows += 1
    if ('problems' in item) report.problems.push(...item.problems)
    else batch.push(item)
    if (batch.length >= BATCH) await flush()
  }
  if (batch.length > 0) await flush()
  report.problems.sort((a, b) => a.line - b.line)
  return report
}
