/**
 * Runs the jobs: node-cron ticks, PostgreSQL decides who works. Each clinic's run is a row of job_run, one
 * clinic's fault does not touch the next, and a job never overlaps itself in one process.
 */
import { schedule } from 'node-cron'
import { beginRun, endRun } from './database/job-runs.ts'
import { codeOf, inClinic, listClinics, type Service } from './database/service.ts'
import { type Log, loggedError, log as standardLog } from './log.ts'
import type { Transports } from './messages/transports/transport.ts'

/** What the jobs are given beside the service. */
export interface JobDeps {
  transports: Transports
  /** Folder of the spool. */
  spool: string
  /** In [0, 1); seeded in the simulation. */
  random?: () => number
  /** Backs the whole database up; left out where its server is not ours. @returns how many files it took */
  backup?: (what: 'base' | 'log') => Promise<number>
  /** Reads a stored reply and acts on it; a reply that it could not read is found again by its own job. */
  onReply?: (service: Service, clinicId: string, replyId: string) => Promise<void>
  log?: Log
}

export interface JobClinic {
  clinicId: string
  slug: string
}

export interface Job {
  name: string
  /** Cron, with seconds where it has six fields. */
  schedule: string
  /** Several processes may run it for one clinic at once; the others run in one at a time. */
  parallel?: boolean
  /** Safe to run twice, anywhere. Ends soon after `signal`. @returns how many things it did */
  run(service: Service, clinic: JobClinic, deps: JobDeps & { signal: AbortSignal }): Promise<number>
}

export interface JobResult {
  clinicId: string
  /** Null when another process was running it. */
  done: number | null
  error: unknown
}

const CLINICS_AT_ONCE = 4
const never = new AbortController().signal

/** Runs one job now, for every clinic or those named. */
export async function runJob(
  service: Service,
  job: Job,
  deps: JobDeps,
  { signal = never, clinics }: { signal?: AbortSignal; clinics?: JobClinic[] } = {},
): Promise<JobResult[]> {
  const results: JobResult[] = []
  const queue = (clinics ?? (await listClinics(service))).values()
  const lanes = Array.from({ length: CLINICS_AT_ONCE }, async () => {
    for (const clinic of queue) {
      if (signal.aborted) return
      results.push(await runForClinic(service, job, clinic, { ...deps, signal }))
    }
  })
  await Promise.all(lanes)
  return results
}

async function runForClinic(
  service: Service,
  job: Job,
  clinic: JobClinic,
  deps: JobDeps & { signal: AbortSignal },
): Promise<JobResult> {
  const { clinicId } = clinic
  const report = (error: unknown): JobResult => {
    const log = deps.log ?? standardLog
    log('error', 'job failed', { job: job.name, clinic: clinicId, error: loggedError(error) })
    return { clinicId, done: 0, error }
  }
  try {
    const startedAt = await inClinic(service, clinicId, async (scope) =>
      (await beginRun(scope, job.name, job.parallel ?? false)) ? scope.now : null,
    )
    if (startedAt === null) return { clinicId, done: null, error: null }
    let done = 0
    let fault: unknown = null
    try {
      done = await job.run(service, clinic, deps)
    } catch (error) {
      fault = error
    }
    const error = fault === null ? null : kindOf(fault)
    await inClinic(service, clinicId, (scope) => endRun(scope, job.name, { startedAt, done, error }))
    return fault === null ? { clinicId, done, error: null } : report(fault)
  } catch (error) {
    return report(error)
  }
}

// The message of an error may quote what a patient wrote, so only its kind is kept.
const kindOf = (error: unknown): string =>
  error instanceof Error ? `${error.name} ${codeOf(error)}`.trim() : typeof error

export interface JobRunner {
  /** No tick and no new clinic after this; resolves when what runs has ended. */
  stopJobs(): Promise<void>
}

export function startJobs(service: Service, jobs: readonly Job[], deps: JobDeps): JobRunner {
  const controller = new AbortController()
  const running = new Map<string, Promise<unknown>>()
  const tick = (job: Job): void => {
    if (running.has(job.name) || controller.signal.aborted) return
    const run = runJob(service, job, deps, { signal: controller.signal })
      .catch((error) =>
        (deps.log ?? standardLog)('error', 'job failed', { job: job.name, error: loggedError(error) }),
      )
      .finally(() => running.delete(job.name))
    running.set(job.name, run)
  }
  const tasks = jobs.map((job) =>
    schedule(job.schedule, () => tick(job), { name: job.name, timezone: 'UTC', suppressMissedWarning: true }),
  )
  return {
    stopJobs: async () => {
      controller.abort()
      for (const task of tasks) await task.destroy()
      await Promise.allSettled([...running.values()])
    },
  }
}
