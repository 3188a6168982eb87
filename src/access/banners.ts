/** What every staff page must say: the protocol is not signed; a job stands still. */
import { isNotNull } from 'drizzle-orm'
import { jobRun, protocol } from '../database/schema.ts'
import type { Scope } from '../database/service.ts'
import type { Banner } from './env.ts'

export const UNSIGNED =
  'The protocol is not signed. Only the demo handset sends: no real patient gets a message until a licensed clinician has signed it.'

export async function bannersOf(scope: Scope, limits: Readonly<Record<string, number>>): Promise<Banner[]> {
  const banners: Banner[] = []
  const [signed] = await scope.tx
    .select({ version: protocol.version })
    .from(protocol)
    .where(isNotNull(protocol.signedAt))
    .limit(1)
  if (!signed) banners.push({ kind: 'unsigned', words: UNSIGNED })
  const stalled = await stalledJobs(scope, limits)
  if (stalled.length > 0) {
    banners.push({
      kind: 'stalled',
      words: `Part of the service stands still (${stalled.join(', ')}). Read and telephone patients by hand until it runs again, and tell the owner.`,
    })
  }
  return banners
}

/** Jobs that have not ended a run within their allowed seconds. A job that never ran is not shown here:
 * its first run writes its row when the service starts. */
export async function stalledJobs(scope: Scope, limits: Readonly<Record<string, number>>): Promise<string[]> {
  const rows = await scope.tx.select().from(jobRun)
  return rows
    .filter((row) => {
      const limit = limits[row.job]
      const last = row.finishedAt ?? row.startedAt
      return limit !== undefined && last.until(scope.now).total('seconds') > limit
    })
    .map((row) => row.job)
    .sort()
}
