/** When each job last ran for a clinic: who may run it now, and what a watcher looks at. */
import { and, eq, sql } from 'drizzle-orm'
import type { Temporal } from 'temporal-polyfill'
import { jobRun } from './schema.ts'
import type { Scope } from './service.ts'

export type JobRun = typeof jobRun.$inferSelect

/** A run that has not ended after this long is taken to have died; if it lives, jobs bear running twice. */
const DEAD_AFTER_SECONDS = 60

/**
 * Marks the job begun. @returns false when another process runs it at this moment; a `parallel` job may run
 * in several at once
 */
export async function beginRun(
  { tx, clinicId, now }: Scope,
  job: string,
  parallel: boolean,
): Promise<boolean> {
  const dead = now.subtract({ seconds: DEAD_AFTER_SECONDS }).toString()
  const rows = await tx
    .insert(jobRun)
    .values({ clinicId, job, startedAt: now })
    .onConflictDoUpdate({
      target: [jobRun.clinicId, jobRun.job],
      set: { startedAt: now, finishedAt: null, done: 0, error: null },
      setWhere: sql`${parallel} or ${jobRun.finishedAt} is not null or ${jobRun.startedAt} <= ${dead}::timestamptz`,
    })
    .returning({ job: jobRun.job })
  return rows.length > 0
}

export async function endRun(
  { tx, now }: Scope,
  job: string,
  { startedAt, done, error }: { startedAt: Temporal.Instant; done: number; error: string | null },
): Promise<void> {
  await tx
    .update(jobRun)
    .set({ finishedAt: now, done, error })
    .where(and(eq(jobRun.job, job), eq(jobRun.startedAt, startedAt)))
}

export function jobRuns({ tx }: Pick<Scope, 'tx'>): Promise<JobRun[]> {
  return tx.select().from(jobRun).orderBy(jobRun.job)
}
