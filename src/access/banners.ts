/** What every staff page must say: the protocol is not signed; a job stands still. */
import { isNotNull, type SQL, sql } from 'drizzle-orm'
import { clinic, jobRun, protocol } from '../database/schema.ts'
import type { Scope } from '../database/service.ts'
import type { Banner } from './env.ts'

export const UNSIGNED =
  'The protocol is not signed. Only the demo handset sends: no real patient gets a message until a licensed clinician has signed it.'

export async function bannersOf(scope: Scope, limits: Readonly<Record<string, number>>): Promise<Banner[]> {
  const stalled = await standsStill(scope, limits)
  const [signed] = await scope.tx
    .select({ version: protocol.version })
    .from(protocol)
    .where(isNotNull(protocol.signedAt))
    .limit(1)
  const words = `Part of the service stands still (${stalled.join(', ')}). Read and telephone patients by hand until it runs again, and tell the owner.`
  const banners: Banner[] = []
  if (stalled.length > 0) banners.push({ kind: 'stalled', words })
  if (!signed) banners.push({ kind: 'unsigned', words: UNSIGNED })
  return banners
}

/**
 * Jobs that have not ended a run within their allowed seconds; one that never ran is counted from the
 * clinic's beginning, so that a service whose jobs were never started says so.
 */
export async function stalledJobs(scope: Scope, limits: Readonly<Record<string, number>>): Promise<string[]> {
  const rows = await scope.tx.select().from(jobRun)
  const [here] = await scope.tx.select({ since: clinic.createdAt }).from(clinic)
  const lastOf = new Map(rows.map((row) => [row.job, row.finishedAt ?? row.startedAt]))
  return Object.entries(limits)
    .filter(([job, limit]) => {
      const last = lastOf.get(job) ?? here?.since ?? scope.now
      return last.until(scope.now).total('seconds') > limit
    })
    .map(([job]) => job)
    .sort()
}

/** After this long, work that should have been done by itself stands still, whatever its job says. */
const WORK_SECONDS = 300

// The words of what waits: each is one look at an index.
const WAITING: readonly { work: string; isWaiting: (before: string) => SQL }[] = [
  {
    work: 'reading',
    isWaiting: (before) =>
      sql`select 1 from reply where read_at is null and received_at < ${before}::timestamptz limit 1`,
  },
  {
    work: 'sending',
    isWaiting: (before) => sql`select 1 from message where status = 'queued' and urgent
      and due_at < ${before}::timestamptz and attempts = 0 limit 1`,
  },
  {
    work: 'escalation',
    isWaiting: (before) => sql`select 1 from concern where status = 'open' and escalated_at is null
      and deadline_at < ${before}::timestamptz limit 1`,
  },
]

/** What stands still: jobs that do not end, and work that lies although they do. */
export async function standsStill(scope: Scope, limits: Readonly<Record<string, number>>): Promise<string[]> {
  const before = scope.now.subtract({ seconds: WORK_SECONDS }).toString()
  const still = await stalledJobs(scope, limits)
  if (Object.keys(limits).length === 0) return still
  for (const { work, isWaiting } of WAITING) {
    const rows = await scope.tx.execute(isWaiting(before))
    if (rows.length > 0) still.push(work)
  }
  return still
}
