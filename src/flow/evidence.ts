/** The owner's evidence for a period and the one before it, from the clinic's own records. */
import type { Temporal } from 'temporal-polyfill'
import {
  chairMinutes,
  type Delays,
  delaysOf,
  type HeldVisit,
  heldVisits,
  type MeasureName,
  type MeasureTable,
  measureTables,
  type Share,
  shareOf,
  type WeekChart,
  weekChart,
} from '../evidence/measures.ts'
import {
  concernRows,
  type EarRow,
  earRows,
  escalatedCount,
  type MoveRow,
  modelFittedAt,
  moveRows,
  overdueConcerns,
  type ReplyCounts,
  replyCounts,
  type Span,
} from '../evidence/store.ts'
import { type PredictionScore, scorePredictions, wasSoftEnough } from '../softening/softness.ts'
import type { AdherenceModel, SoftnessLink } from '../softening/types.ts'
import type { Flow } from './context.ts'
import { modelsOf } from './plans.ts'

/** Whole calendar days, the last one in it. */
export interface Period {
  from: Temporal.PlainDate
  to: Temporal.PlainDate
}

export const periodBefore = ({ from, to }: Period): Period => {
  const days = from.until(to, { largestUnit: 'days' }).days + 1
  return { from: from.subtract({ days }), to: from.subtract({ days: 1 }) }
}

const spanOf = ({ from, to }: Period, zone: string): Span => ({
  from: from.toZonedDateTime(zone).toInstant(),
  to: to.add({ days: 1 }).toZonedDateTime(zone).toInstant(),
})

interface Counted {
  visits: HeldVisit[]
  moves: MoveRow[]
  ears: EarRow[]
  minutes: { all: number; lost: number }
  replies: ReplyCounts
  urgent: Share
  delays: Delays
  escalated: number
}

export interface Evidence {
  period: Period
  before: Period
  measures: Record<MeasureName, MeasureTable>
  now: Counted
  then: Counted
  /** By week, over both periods. */
  charts: Record<'unsoftened' | 'failed', WeekChart | null>
  overdue: Awaited<ReturnType<typeof overdueConcerns>>
  predictions: PredictionScore | null
  models: { adherence: AdherenceModel; link: SoftnessLink; fittedAt: Temporal.Instant | null }
}

async function count(flow: Flow, period: Period): Promise<Counted> {
  const span = spanOf(period, flow.clinic.zone)
  const ears = await earRows(flow, span)
  const visits = heldVisits(ears, flow.rules.softening.readiness.softEnough.value)
  const replies = await replyCounts(flow, span)
  return {
    visits,
    ears,
    moves: await moveRows(flow, span),
    minutes: chairMinutes(visits),
    replies,
    urgent: shareOf(replies.urgent, replies.read),
    delays: delaysOf(await concernRows(flow, span), flow.now),
    escalated: await escalatedCount(flow, span),
  }
}

export async function evidenceOf(flow: Flow, period: Period): Promise<Evidence> {
  const before = periodBefore(period)
  const now = await count(flow, period)
  const then = await count(flow, before)
  const rules = flow.rules.softening.readiness
  const both = [...then.visits, ...now.visits]
  const predictions = now.ears.flatMap(({ predicted, softness }) =>
    predicted === null ? [] : [{ p: predicted, soft: wasSoftEnough(softness as 'soft', rules) }],
  )
  return {
    period,
    before,
    measures: measureTables(now, then),
    now,
    then,
    charts: {
      unsoftened: weekChart(both, 'unsoftened', flow.clinic.zone),
      failed: weekChart(both, 'failed', flow.clinic.zone),
    },
    overdue: await overdueConcerns(flow),
    predictions: scorePredictions(predictions),
    models: { ...(await modelsOf(flow)), fittedAt: await modelFittedAt(flow) },
  }
}
