/**
 * Watches whether reading, sending and escalation go on, and tells the owner and the clinicians where they do
 * not: by a path of its own. It runs on a plain timer with a connection of its own, hands its texts straight to
 * the transport past the outbox, writes to standard error and to a file, and remembers whom to tell, so that it
 * speaks also when the database does not answer.
 */
import { randomUUID } from 'node:crypto'
import { existsSync, rmSync, writeFileSync } from 'node:fs'
import { setTimeout as sleep } from 'node:timers/promises'
import { isNotNull } from 'drizzle-orm'
import type { Temporal } from 'temporal-polyfill'
import { standsStill } from '../access/banners.ts'
import { listStaff } from '../access/staff.ts'
import { type Clinic, loadClinic } from '../clinic.ts'
import { giveNotice } from '../concerns/store.ts'
import { protocol } from '../database/schema.ts'
import { inClinic, listClinics, type Scope, type Service } from '../database/service.ts'
import type { Transports } from '../messages/transports/transport.ts'

export interface WatchDeps {
  transports: Transports
  /** Seconds that each job may leave between two ends. */
  limits: Readonly<Record<string, number>>
  /** Rewritten at each look while something stands still, removed when all runs; null: no file. */
  file: string | null
  /** Tells only of what two looks in a row have seen: a machine that slept, or a clock that jumped, catches up. */
  confirm?: boolean
  write?: (line: string) => void
}

interface Contact {
  staffId: string
  channel: 'text' | 'email'
  to: string
}

interface Known {
  clinicId: string
  slug: string
  clinic: Clinic
  contacts: Contact[]
  /** Whether its transport may be used: the rules are signed, or it is the demo's. */
  open: boolean
}

export interface Found {
  slug: string
  /** What stands still, in words; empty where all runs. */
  stalls: string[]
  told: number
  /** Why somebody could not be told directly. */
  failed: string[]
}

const NO_ANSWER = 'the database'
const ANSWER_MS = 10_000
const SEND_MS = 20_000
const REPEAT_MINUTES = 30
const LOOK_EVERY_MS = 30_000

export interface Watch {
  /** One look at every clinic. */
  look(): Promise<Found[]>
  stop(): Promise<void>
}

/** Starts the timer; `every` in milliseconds, null for a watch that only looks when asked. */
export function startWatch(service: Service, deps: WatchDeps, every: number | null = LOOK_EVERY_MS): Watch {
  const known = new Map<string, Known>()
  const toldAt = new Map<string, Temporal.Instant>()
  const seen = new Map<string, string[]>()
  const write = deps.write ?? ((line: string) => void process.stderr.write(`${line}\n`))
  let running: Promise<Found[]> | null = null
  const look = (): Promise<Found[]> => {
    running ??= lookAround(service, deps, known, toldAt, seen)
      .then((found) => report(found, deps, write))
      .finally(() => {
        running = null
      })
    return running
  }
  const timer = every === null ? undefined : setInterval(() => void look().catch(() => {}), every)
  timer?.unref()
  return {
    look,
    stop: async () => {
      clearInterval(timer)
      await running?.catch(() => {})
    },
  }
}

async function lookAround(
  service: Service,
  deps: WatchDeps,
  known: Map<string, Known>,
  toldAt: Map<string, Temporal.Instant>,
  seen: Map<string, string[]>,
): Promise<Found[]> {
  const clinics = await inTime(listClinics(service)).catch(() => null)
  if (!clinics)
    return await Promise.all([...known.values()].map((one) => noAnswer(service, one, deps, toldAt)))
  return await Promise.all(
    clinics.map(async ({ clinicId, slug }) => {
      try {
        return await inTime(inClinic(service, clinicId, (scope) => lookAt(scope, slug, deps, known, seen)))
      } catch {
        const one = known.get(clinicId)
        return one
          ? await noAnswer(service, one, deps, toldAt)
          : { slug, stalls: [NO_ANSWER], told: 0, failed: ['nobody is known yet'] }
      }
    }),
  ).then(async (looks) => {
    const found: Found[] = []
    for (const one of looks) {
      if (!('tell' in one)) found.push(one)
      else
        found.push({
          slug: one.slug,
          stalls: one.stalls,
          ...(await tellDirectly(one.tell, one.to, one.stalls, deps)),
        })
    }
    return found
  })
}

interface Look {
  slug: string
  stalls: string[]
  tell: Known
  to: Contact[]
}

/** Remembers whom to tell; what stands still is a notice on the pages first, and each notice is one text. */
async function lookAt(
  scope: Scope,
  slug: string,
  { limits, transports, confirm = false }: WatchDeps,
  known: Map<string, Known>,
  seen: Map<string, string[]>,
): Promise<Look> {
  const clinic = await loadClinic(scope)
  const staff = (await listStaff(scope)).filter(({ role }) => role !== 'reception')
  const signed = await scope.tx.$count(protocol, isNotNull(protocol.signedAt))
  const transport = transports[clinic.settings.transport]
  const contacts = staff.map(
    ({ staffId, mobile, email }): Contact =>
      mobile ? { staffId, channel: 'text', to: mobile } : { staffId, channel: 'email', to: email },
  )
  const open = transport !== undefined && (!transport.requiresSignature || signed > 0)
  const one: Known = { clinicId: scope.clinicId, slug, clinic, contacts, open }
  known.set(scope.clinicId, one)
  const now = await standsStill(scope, limits)
  const before = seen.get(scope.clinicId) ?? []
  seen.set(scope.clinicId, now)
  const stalls = confirm ? now.filter((one) => before.includes(one)) : now
  if (stalls.length === 0) return { slug, stalls, tell: one, to: [] }
  const bucket = Math.floor(scope.now.epochMilliseconds / (REPEAT_MINUTES * 60_000))
  const told = await giveNotice(scope, {
    staffIds: staff.map(({ staffId }) => staffId),
    concernId: null,
    kind: 'stalled',
    dedupe: `stalled/${bucket}/${stalls.join('+')}`,
  })
  if (told.length > 0)
    scope.audit({ actor: 'service', action: 'tell of a standstill', detail: { stalls, people: told.length } })
  return { slug, stalls, tell: one, to: contacts.filter(({ staffId }) => told.includes(staffId)) }
}

async function noAnswer(
  service: Service,
  one: Known,
  deps: WatchDeps,
  toldAt: Map<string, Temporal.Instant>,
): Promise<Found> {
  const now = service.clock.now()
  const last = toldAt.get(one.clinicId)
  const again = !last || last.until(now).total('minutes') >= REPEAT_MINUTES
  if (again) toldAt.set(one.clinicId, now)
  const stalls = [NO_ANSWER]
  return { slug: one.slug, stalls, ...(await tellDirectly(one, again ? one.contacts : [], stalls, deps)) }
}

/** Straight to the transport: no row, no outbox, no job. */
async function tellDirectly(
  { slug, clinic, open }: Known,
  contacts: Contact[],
  stalls: string[],
  { transports }: WatchDeps,
): Promise<Pick<Found, 'told' | 'failed'>> {
  const transport = transports[clinic.settings.transport]
  if (contacts.length === 0) return { told: 0, failed: [] }
  if (!transport || !open) return { told: 0, failed: ['the transport is shut until the rules are signed'] }
  const body = `Foreaft, ${clinic.name}: ${stalls.join(', ')} stands still. Read and ring patients by hand, and call whoever runs the service.`
  const failed: string[] = []
  for (const { channel, to } of contacts) {
    const controller = new AbortController()
    try {
      await inTime(
        transport.send({ id: randomUUID(), clinic: slug, channel, to, body }, controller.signal),
        SEND_MS,
      )
    } catch {
      controller.abort()
      failed.push(`a ${channel} to one of the staff did not leave`)
    }
  }
  return { told: contacts.length - failed.length, failed }
}

function report(found: Found[], { file }: WatchDeps, write: (line: string) => void): Found[] {
  const still = found.filter(({ stalls }) => stalls.length > 0)
  const lines = still.map(
    ({ slug, stalls, told, failed }) =>
      `STANDS STILL at ${slug}: ${stalls.join(', ')}. ${told} people told directly now${failed.length > 0 ? `; ${failed.join('; ')}` : ''}.`,
  )
  for (const line of lines) write(line)
  if (file && lines.length > 0) writeFileSync(file, `${lines.join('\n')}\n`)
  else if (file && existsSync(file)) rmSync(file)
  return found
}

async function inTime<T>(work: Promise<T>, ms = ANSWER_MS): Promise<T> {
  const controller = new AbortController()
  const late = sleep(ms, undefined, { signal: controller.signal, ref: false }).then(() => {
    throw new Error('No answer in time')
  })
  late.catch(() => {})
  try {
    return await Promise.race([work, late])
  } finally {
    controller.abort()
  }
}
