/** The evidence as a file: a row a number, safe to open in a spreadsheet. */
import type { Context } from 'hono'
import { type Cell, csvOf } from '../../access/csv-safe.ts'
import type { StaffEnv } from '../../access/env.ts'
import type { MeasureTable, Share } from '../../evidence/measures.ts'
import { dayOf } from '../../flow/context.ts'
import { type Evidence, evidenceOf, type Period } from '../../flow/evidence.ts'
import { inClinicOf } from '../clinician/parts.ts'
import { periodOf } from './evidence.ts'

const HEADER = ['measure', 'by', 'name', 'from', 'to', 'events', 'total', 'share', 'low', 'high', 'note']

function shareRow(measure: string, by: string, name: string, { from, to }: Period, share: Share): Cell[] {
  const { events, total, interval, small } = share
  const cells = [from.toString(), to.toString(), events, total, share.share, interval?.low, interval?.high]
  return [measure, by, name, ...cells, small.flag === 'enough' ? '' : small.flag]
}

const numberRow = (measure: string, { from, to }: Period, value: number | null): Cell[] => [
  measure,
  'all',
  '',
  from.toString(),
  to.toString(),
  value,
  '',
  '',
  '',
  '',
  '',
]

export function evidenceRows(evidence: Evidence): Cell[][] {
  const { period, before, measures } = evidence
  const ofTable = (name: string, table: MeasureTable): Cell[][] => [
    shareRow(name, 'all', '', period, table.all.now),
    shareRow(name, 'all', '', before, table.all.before),
    ...(['byPractitioner', 'byAgent'] as const).flatMap((by) =>
      table[by].flatMap(([who, one]) => [
        shareRow(name, by === 'byAgent' ? 'agent' : 'practitioner', who, period, one.now),
        shareRow(name, by === 'byAgent' ? 'agent' : 'practitioner', who, before, one.before),
      ]),
    ),
  ]
  const ofPeriod = (span: Period, counted: Evidence['now']): Cell[][] => [
    numberRow('chair minutes', span, counted.minutes.all),
    numberRow('chair minutes lost', span, counted.minutes.lost),
    numberRow('replies', span, counted.replies.all),
    shareRow('urgent replies', 'all', '', span, counted.urgent),
    numberRow('concerns opened', span, counted.delays.opened),
    numberRow('concerns not taken', span, counted.delays.notTaken),
    numberRow('median minutes to taken', span, counted.delays.median),
    numberRow('95th percentile minutes to taken', span, counted.delays.p95),
    shareRow('taken in time', 'all', '', span, counted.delays.inTime),
    numberRow('concerns past their deadline', span, counted.escalated),
  ]
  return [
    ...Object.entries(measures).flatMap(([name, table]) => ofTable(name, table)),
    ...ofPeriod(period, evidence.now),
    ...ofPeriod(before, evidence.then),
  ]
}

export async function evidenceFile(c: Context<StaffEnv>) {
  const evidence = await inClinicOf(c, async (flow) => {
    const found = await evidenceOf(flow, periodOf(c.req.query(), dayOf(flow, flow.now)))
    flow.audit({ actor: `staff:${c.get('staff').staffId}`, action: 'export evidence' })
    return found
  })
  const { from, to } = evidence.period
  return c.body(csvOf(HEADER, evidenceRows(evidence)), 200, {
    'content-type': 'text/csv; charset=utf-8',
    'content-disposition': `attachment; filename="evidence-${from}-${to}.csv"`,
  })
}
