/** Starts the service: configuration, database, pages, jobs; nothing else. */
import { existsSync, mkdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { serve } from '@hono/node-server'
import { jobLimits, jobs, pastJobs, promptJobs } from '../jobs/index.ts'
import { checkBind } from './access/bind.ts'
import { createApp } from './app.ts'
import { loadClinic } from './clinic.ts'
import { readConfig } from './config.ts'
import { backUp } from './database/backup.ts'
import { openDatabase } from './database/open.ts'
import { inClinic, listClinics, openService } from './database/service.ts'
import { shiftableClock } from './demo/clock.ts'
import { seedDemo } from './demo/seed.ts'
import { handleReply } from './flow/replies.ts'
import { startWatch } from './flow/watch.ts'
import { type JobDeps, runJob, startJobs } from './jobs.ts'
import { handset } from './messages/transports/handset.ts'
import { spoolTransport } from './messages/transports/spool.ts'
import { Trouble, wordsOf } from './trouble.ts'

const say = (line: string) => process.stdout.write(`${line}\n`)

async function main(): Promise<void> {
  const config = readConfig(process.env)
  const address =
    config.publicUrl ??
    `http://${config.host.includes(':') ? `[${config.host}]` : config.host}:${config.port}`
  checkBind(config, false)
  const clock = shiftableClock(config.data)
  const halfLoaded = join(config.data, 'demo-half-loaded')
  const database = await openDatabase(config, clock, address, { anew: existsSync(halfLoaded) })
  const { service, owner } = database
  const deps: JobDeps = {
    transports: { handset, spool: spoolTransport(config.spool) },
    spool: config.spool,
    ...(database.embedded && {
      backup: (what: 'base' | 'log') =>
        backUp(what, { owner, folder: config.data, backups: config.backups, masters: service.masters }),
    }),
    onReply: async (on, clinicId, replyId) => void (await handleReply(on, clinicId, replyId)),
  }
  const stopping = new AbortController()
  let close = () => database.close()
  stopOnSignal(() => {
    stopping.abort()
    return close()
  })
  try {
    if (config.demo && (await listClinics(service)).length === 0) {
      say('Loading the demo clinic (some seconds, once)...')
      mkdirSync(config.data, { recursive: true })
      writeFileSync(halfLoaded, '')
      await seedDemo({ owner, service, jobs: pastJobs, deps })
      rmSync(halfLoaded)
    }
    const clinics = await Promise.all(
      (await listClinics(service)).map(async ({ clinicId, slug }) => ({
        slug,
        ...(await inClinic(service, clinicId, loadClinic)),
      })),
    )
    for (const clinic of clinics) checkBind(config, clinic.demo)
    if (clinics.some((clinic) => !clinic.demo)) clock.lock()
    let running: Promise<void> = Promise.resolve()
    const runJobs = () => {
      running = running.then(async () => {
        for (const job of promptJobs) {
          if (!stopping.signal.aborted) await runJob(service, job, deps, { signal: stopping.signal })
        }
      })
      return running
    }
    const app = createApp({ service, config, jobLimits, runJobs })
    const server = await listen(app.fetch, config.host, config.port)
    const runner = startJobs(service, jobs, deps)
    // On a connection of its own: where the others are all held, this one still looks.
    const watched = openService({ ...service, url: database.serviceUrl, connections: 1 })
    const watch = startWatch(watched, {
      transports: deps.transports,
      limits: jobLimits,
      file: join(config.data, 'stands-still'),
      confirm: true,
    })
    // What fell due while nothing ran is done now, not at each job's next tick.
    void runJobs()
    close = async () => {
      server.close()
      if ('closeAllConnections' in server) server.closeAllConnections()
      await Promise.all([runner.stopJobs(), running, watch.stop()])
      await watched.close()
      await database.close()
    }
    greet(address, clinics, database.where)
  } catch (error) {
    // Whatever breaks off at Ctrl-C is no fault.
    if (stopping.signal.aborted) return
    await database.close()
    throw error
  }
}

type Server = ReturnType<typeof serve>

function listen(
  fetch: (request: Request) => Response | Promise<Response>,
  hostname: string,
  port: number,
): Promise<Server> {
  return new Promise((resolve, reject) => {
    const server = serve({ fetch, hostname, port }, () => resolve(server))
    server.once('error', (error: NodeJS.ErrnoException) => {
      const words: Record<string, string> = {
        EADDRINUSE: `Port ${port} is in use: stop what listens there, or set FOREAFT_PORT to another.`,
        EACCES: `Port ${port} may not be opened by this user: set FOREAFT_PORT to one above 1023.`,
        EADDRNOTAVAIL: `This machine has no address ${hostname}: set FOREAFT_HOST to one that it has.`,
        ENOTFOUND: `There is no host ${hostname}: set FOREAFT_HOST to an address of this machine.`,
      }
      reject(new Trouble(words[error.code ?? ''] ?? `The pages cannot be served: ${wordsOf(error)}`))
    })
  })
}

/** Sends in flight finish or are given back; what takes longer than 10 s is cut, and its lease returns it. */
function stopOnSignal(stop: () => Promise<void>): void {
  let stopping = false
  for (const signal of ['SIGINT', 'SIGTERM', 'SIGHUP'] as const) {
    process.on(signal, () => {
      if (stopping) return
      stopping = true
      say('\nStopping: what is being sent is finished or given back...')
      const limit = setTimeout(() => process.exit(1), 9_500)
      limit.unref()
      stop().then(
        () => {
          say('Stopped.')
          process.exit(0)
        },
        () => process.exit(1),
      )
    })
  }
}

function greet(
  address: string,
  clinics: { name: string; demo: boolean; slug: string }[],
  where: string,
): void {
  const { version } = JSON.parse(readFileSync(new URL('../package.json', import.meta.url), 'utf8'))
  say(`\nForeaft ${version} runs.`)
  say(`  Front desk   ${address}/reception`)
  say(`  Clinician    ${address}/clinician`)
  say(`  Owner        ${address}/owner`)
  say(
    `  Patient      by the link in each text${clinics.some((one) => one.demo) ? `; in the demo: ${address}/handset` : ''}`,
  )
  for (const { name, demo } of clinics) {
    say(
      demo
        ? `Sign in to ${name} (demo): ${address}/staff/sign-in, then "Come in as" one of its invented staff.`
        : `Sign in to ${name}: ${address}/staff/sign-in, with a passkey or password from your invitation.`,
    )
  }
  if (clinics.length === 0) say('There is no clinic yet: make one with `npm run clinic`.')
  say(`Data: ${where}`)
  say('Stop: Ctrl-C.')
}

main().catch((error) => {
  process.stderr.write(
    error instanceof Trouble ? `${error.message}\n` : `${error instanceof Error ? error.stack : error}\n`,
  )
  process.exit(1)
})
