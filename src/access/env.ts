/** What every handler finds in `c.var`. */
import type { Hono } from 'hono'
import type { Clinic } from '../clinic.ts'
import type { Config } from '../config.ts'
import type { Service } from '../database/service.ts'
import type { Log } from '../log.ts'
import type { Role } from './permissions.ts'

export interface StaffMember {
  staffId: string
  role: Role
  name: string
}

export interface AppVariables {
  service: Service
  config: Config
  log: Log
  /** Shown on error pages, written in the log. */
  requestId: string
  /** Seconds that each job may leave between two ends before the pages say that it stands still. */
  jobLimits: Readonly<Record<string, number>>
  /** Runs every job once, now: after the demo's clock has jumped. */
  runJobs: (() => Promise<void>) | undefined
}

/** Pages without a staff session: sign-in, patients' links. */
export type Env = { Variables: AppVariables }

/** Pages behind a permission. */
export type StaffEnv = { Variables: AppVariables & StaffVariables }

export interface StaffVariables {
  clinicId: string
  clinic: Clinic
  staff: StaffMember
  /** SHA-256 of the session's token: its name in the database. */
  sessionHash: Buffer
  /** Goes into every form as the field `csrf` (see csrfField) or the header `x-csrf`. */
  csrf: string
  /** What every staff page must say at its top. */
  banners: Banner[]
}

export interface Banner {
  kind: 'unsigned' | 'stalled'
  words: string
}

export type App = Hono<Env>
