/** The clinic's measures, counted from rows: shares with their intervals, two periods compared, delays. Pure. */
import { Temporal } from 'temporal-polyfill'
import {
  type Comparison,
  type Count,
  compareShares,
  type Interval,
  type PChart,
  pChart,
  type SmallNumbers,
  smallNumbers,
  wilson,
} from './statistics.ts'
import type { ConcernRow, EarRow, MoveRow } from './store.ts'

/** One held removal visit, its ears together. */
export interface HeldVisit {
  visitId: string
  doneAt: Temporal.Instant
  minutes: number
  practitioner: string
  agent: string
  /** At least one ear was not soft enough on arrival. */
  unsoftened: boolean
  /** At least one ear was not wholly cleared. */
  failed: boolean
  /** Both at once: the chair was taken up by an ear that was not ready and was not cleared. */
  lost: boolean
}

export function heldVisits(rows: readonly EarRow[], softEnough: readonly string[]): HeldVisit[] {
  return [...Map.groupBy(rows, ({ visitId }) => visitId).values()].map((ears) => {
    const [first] = ears as [EarRow]
    const { visitId, doneAt, minutes, practitioner, agent } = first
    const hard = ears.filter(({ softness }) => !softEnough.includes(softness))
    return {
      visitId,
      doneAt,
      minutes,
      practitioner,
      agent,
      unsoftened: hard.length > 0,
      failed: ears.some(({ result }) => result !== 'cleared'),
      lost: hard.some(({ result }) => result !== 'cleared'),
    }
  })
}

export interface Share extends Count {
  /** Null where there is no case. */
  share: number | null
  interval: Interval | null
  small: SmallNumbers
}

export function shareOf(events: number, total: number): Share {
  return {
    events,
    total,
    share: total === 0 ? null : events / total,
    interval: total === 0 ? null : wilson(events, total),
    small: smallNumbers({ events, total }),
  }
}

export interface Measured {
  now: Share
  before: Share
  /** Null where one of the periods has no case. */
  change: Comparison | null
}

function measured(now: Share, before: Share): Measured {
  return { now, before, change: now.total > 0 && before.total > 0 ? compareShares(now, before) : null }
}

export const MEASURES = {
  unsoftened: 'Removal visits at which an ear arrived not soft enough',
  failed: 'Removal visits at which an ear was not wholly cleared',
  lost: 'Removal visits whose chair time was lost: not soft enough and not wholly cleared',
  taken: 'Offered moves that the patient took',
} as const
export type MeasureName = keyof typeof MEASURES

type Group = 'practitioner' | 'agent'

export interface MeasureTable {
  all: Measured
  byPractitioner: [name: string, measured: Measured][]
  byAgent: [name: string, measured: Measured][]
}

interface Case {
  practitioner: string
  agent: string
  event: boolean
}

function table(now: readonly Case[], before: readonly Case[]): MeasureTable {
  const share = (cases: readonly Case[]): Share =>
    shareOf(cases.filter(({ event }) => event).length, cases.length)
  const by = (group: Group): [string, Measured][] => {
    const names = [...new Set([...now, ...before].map((one) => one[group]))].sort()
    return names.map((name) => [
      name,
      measured(
        share(now.filter((one) => one[group] === name)),
        share(before.filter((one) => one[group] === name)),
      ),
    ])
  }
  return {
    all: measured(share(now), share(before)),
    byPractitioner: by('practitioner'),
    byAgent: by('agent'),
  }
}

const visitCases = (visits: readonly HeldVisit[], name: 'unsoftened' | 'failed' | 'lost'): Case[] =>
  visits.map((one) => ({ practitioner: one.practitioner, agent: one.agent, event: one[name] }))

/** Offers that have ended: one still open says nothing yet, and one that the clinic took back never does. */
const moveCases = (moves: readonly MoveRow[]): Case[] =>
  moves
    .filter(({ status }) => status === 'accepted' || status === 'declined' || status === 'expired')
    .map(({ practitioner, agent, status }) => ({ practitioner, agent, event: status === 'accepted' }))

export interface PeriodRows {
  visits: HeldVisit[]
  moves: MoveRow[]
}

export const measureTables = (now: PeriodRows, before: PeriodRows): Record<MeasureName, MeasureTable> => ({
  unsoftened: table(visitCases(now.visits, 'unsoftened'), visitCases(before.visits, 'unsoftened')),
  failed: table(visitCases(now.visits, 'failed'), visitCases(before.visits, 'failed')),
  lost: table(visitCases(now.visits, 'lost'), visitCases(before.visits, 'lost')),
  taken: table(moveCases(now.moves), moveCases(before.moves)),
})

/** Minutes in the chair, and of those the minutes of visits whose time was lost. */
export const chairMinutes = (visits: readonly HeldVisit[]): { all: number; lost: number } => ({
  all: visits.reduce((sum, { minutes }) => sum + minutes, 0),
  lost: visits.reduce((sum, { minutes, lost }) => sum + (lost ? minutes : 0), 0),
})

export interface WeekChart {
  chart: PChart
  /** The Monday of each point, YYYY-MM-DD. */
  weeks: string[]
}

/** A point a week that had a case; null when there was none at all. */
export function weekChart(
  visits: readonly HeldVisit[],
  name: 'unsoftened' | 'failed' | 'lost',
  zone: string,
): WeekChart | null {
  const mondayOf = ({ doneAt }: HeldVisit): string => {
    const day = doneAt.toZonedDateTimeISO(zone).toPlainDate()
    return day.subtract({ days: day.dayOfWeek - 1 }).toString()
  }
  const byWeek = [...Map.groupBy(visits, mondayOf)].sort(([a], [b]) => (a < b ? -1 : 1))
  if (byWeek.length === 0) return null
  const counts = byWeek.map(([, own]) => ({
    events: own.filter((one) => one[name]).length,
    total: own.length,
  }))
  return { chart: pChart(counts), weeks: byWeek.map(([week]) => week) }
}

export interface Delays {
  opened: number
  notTaken: number
  /** Minutes from opening to the first taker; null where fewer than that share were taken at all. */
  median: number | null
  p95: number | null
  /** Taken before the deadline, of those taken or past it. */
  inTime: Share
}

/** The smallest delay that at least this share of all did not exceed; those not taken count as endless. */
function quantile(sorted: readonly number[], total: number, q: number): number | null {
  if (total === 0) return null
  return sorted[Math.ceil(q * total) - 1] ?? null
}

/** How long concerns waited for a person (NUM-19: median, 95th percentile and share in time, not a mean). */
export function delaysOf(rows: readonly ConcernRow[], now: Temporal.Instant): Delays {
  const minutes = rows
    .flatMap(({ openedAt, takenAt }) => (takenAt ? [openedAt.until(takenAt).total('minutes')] : []))
    .sort((a, b) => a - b)
  const due = rows.filter(
    ({ takenAt, deadlineAt }) => takenAt !== null || Temporal.Instant.compare(deadlineAt, now) <= 0,
  )
  const inTime = due.filter(
    ({ takenAt, deadlineAt }) => takenAt !== null && Temporal.Instant.compare(takenAt, deadlineAt) <= 0,
  )
  return {
    opened: rows.length,
    notTaken: rows.length - minutes.length,
    median: quantile(minutes, rows.length, 0.5),
    p95: quantile(minutes, rows.length, 0.95),
    inTime: shareOf(inTime.length, due.length),
  }
}
