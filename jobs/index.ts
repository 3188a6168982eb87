/** Every job of the service, and how long each may stand still before the staff pages say so. */
import type { Job } from '../src/jobs.ts'
import { backupBase, backupLog } from './backup.ts'
import { collect } from './collect-spool.ts'
import { deliver } from './deliver.ts'
import { lapse } from './lapse.ts'
import { learn } from './learn.ts'
import { readReplies } from './read-replies.ts'
import { recall } from './recall.ts'
import { refreshReadiness } from './refresh-readiness.ts'
import { retain } from './retain.ts'
import { rotateKeys } from './rotate.ts'
import { tidy } from './tidy-outbox.ts'
import { verifyAudits } from './verify-audit.ts'
import { watchSlowJobs } from './watch.ts'
import { watchConcerns } from './watch-concerns.ts'

export const jobs: readonly Job[] = [
  deliver,
  collect,
  readReplies,
  watchConcerns,
  lapse,
  refreshReadiness,
  tidy,
  learn,
  recall,
  rotateKeys,
  retain,
  backupBase,
  backupLog,
  verifyAudits,
  watchSlowJobs(() => slowJobLimits),
]

/** What the demo's past is played with. */
export const pastJobs: readonly Job[] = [deliver, watchConcerns, lapse]

/** What must not wait for its next tick: after a start, and after the demo's clock has jumped. */
export const promptJobs: readonly Job[] = [...pastJobs, readReplies, refreshReadiness]

/** Seconds between two ends. */
export const jobLimits: Readonly<Record<string, number>> = {
  deliver: 120,
  'read-replies': 120,
  'watch-concerns': 120,
  lapse: 600,
}

const DAY = 86_400

/** Seconds between two good ends of what comes now and then: the owners are told past it. */
export const slowJobLimits: Readonly<Record<string, number>> = {
  'backup-log': 1800,
  backup: 1.5 * DAY,
  'verify-audit': 1.5 * DAY,
  retain: 1.5 * DAY,
  rotate: 1.5 * DAY,
}
