/**
 * Tells the owners of a job that comes only now and then and has not come: backup, audit, retention, keys. What
 * must never stand still (reading, sending, escalation) is watched by a timer of its own: src/flow/watch.ts.
 */
import type { Temporal } from 'temporal-polyfill'
import { listStaff } from '../src/access/staff.ts'
import { giveNotice } from '../src/concerns/store.ts'
import { jobRuns } from '../src/database/job-runs.ts'
import { inClinic } from '../src/database/service.ts'
import type { Job } from '../src/jobs.ts'

/** `limits`: seconds between two good ends. A job that never ran is counted from this process's first look. */
export function watchSlowJobs(limits: () => Readonly<Record<string, number>>): Job {
  const firstLook = new Map<string, Temporal.Instant>()
  return {
    name: 'watch',
    schedule: '45 */10 * * * *',
    run: (service, { clinicId }) =>
      inClinic(service, clinicId, async (scope) => {
        const { now } = scope
        const since = firstLook.get(clinicId) ?? now
        firstLook.set(clinicId, since)
        const runs = new Map((await jobRuns(scope)).map((run) => [run.job, run]))
        const late = Object.entries(limits()).filter(([job, limit]) => {
          const run = runs.get(job)
          const last = run ? (run.finishedAt ?? run.startedAt) : since
          return run?.error != null || last.until(now).total('seconds') > limit
        })
        if (late.length === 0) return 0
        const owners = (await listStaff(scope)).filter(({ role }) => role === 'owner')
        const names = late.map(([job]) => job).join('+')
        await giveNotice(scope, {
          staffIds: owners.map(({ staffId }) => staffId),
          concernId: null,
          kind: 'job-late',
          dedupe: `job-late/${Math.floor(now.epochMilliseconds / 86_400_000)}/${names}`,
        })
        return late.length
      }),
  }
}
