/** The web app: which face is mounted where, and what every answer goes through. */
import { randomUUID } from 'node:crypto'
import { type Context, Hono } from 'hono'
import { HTTPException } from 'hono/http-exception'
import type { App, Env, StaffMember } from './access/env.ts'
import { secureHeaders } from './access/headers.ts'
import { route } from './access/route.ts'
import type { Config } from './config.ts'
import { codeOf, type Service } from './database/service.ts'
import * as clinician from './faces/clinician/routes.ts'
import * as handset from './faces/handset/routes.ts'
import * as owner from './faces/owner/routes.ts'
import * as patient from './faces/patient/routes.ts'
import * as reception from './faces/reception/routes.ts'
import * as shared from './faces/shared/routes.ts'
import { troublePage } from './faces/shared/trouble-page.ts'
import * as staff from './faces/staff/routes.ts'
import * as trust from './faces/trust/routes.ts'
import { type Log, type LogFields, loggedError, log as realLog } from './log.ts'

export interface AppOptions {
  service: Service
  config: Config
  /** Seconds that each job may leave between two ends before every staff page says that it stands still. */
  jobLimits?: Readonly<Record<string, number>>
  /** Runs every job once, now: after the demo's clock has jumped. */
  runJobs?: () => Promise<void>
  log?: Log
}

const faces = [shared, staff, patient, clinician, reception, owner, trust, handset]

/** What somebody may be trying: kept in the log beside what failed. */
const refusals = new Set([401, 403, 413, 429])

function whoOf(c: Context): LogFields {
  const clinic: string | undefined = c.get('clinicId')
  const staffMember: StaffMember | undefined = c.get('staff')
  return { ...(clinic && { clinic }), ...(staffMember && { staff: staffMember.staffId }) }
}

export function createApp({ service, config, jobLimits = {}, runJobs, log = realLog }: AppOptions): App {
  const app = new Hono<Env>()
  app.use(async (c, next) => {
    c.set('service', service)
    c.set('config', config)
    c.set('log', log)
    c.set('requestId', randomUUID().slice(0, 8))
    c.set('jobLimits', jobLimits)
    c.set('runJobs', runJobs)
    await next()
  })
  app.use(secureHeaders)
  for (const face of faces) face.mount(app)
  route(app, 'get', '/', 'public', (c) => c.redirect('/staff', 303))
  app.notFound((c) => troublePage(c, 404, 'There is no such page.'))
  app.onError((error, c) => {
    if (error instanceof HTTPException) {
      if (refusals.has(error.status)) {
        log('warn', 'request refused', {
          request: c.get('requestId'),
          route: c.req.routePath,
          method: c.req.method,
          status: error.status,
          ...whoOf(c),
        })
      }
      return troublePage(c, error.status, error.message)
    }
    // Class 22: the database could not read a value, so it came in wrong (a broken id, a NUL, a huge number).
    if (codeOf(error).startsWith('22')) return troublePage(c, 400, 'Part of this request cannot be read.')
    log('error', 'request failed', {
      request: c.get('requestId'),
      route: c.req.routePath,
      method: c.req.method,
      error: loggedError(error),
    })
    return troublePage(
      c,
      500,
      'Something went wrong on our side. Look whether it was done before you repeat it.',
    )
  })
  return app
}
