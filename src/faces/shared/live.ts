/** Tells open pages that something changed: one LISTEN a process, fanned out to the clinic's streams. */
import type { Context } from 'hono'
import { streamSSE } from 'hono/streaming'
import type { StaffEnv } from '../../access/env.ts'
import { readCookie } from '../../access/session-request.ts'
import { findSession } from '../../access/sessions.ts'
import { inClinic, type Service } from '../../database/service.ts'
import { loggedError } from '../../log.ts'

/** Payloads are `CLINIC_ID TABLE`: nothing about a patient leaves the tables. */
export const CHANNEL = 'foreaft_live'
const PING_MS = 15_000

type Send = (event: 'change' | 'again' | 'ended', topic: string) => void

interface Hub {
  streams: Map<string, Set<Send>>
  ready: Promise<unknown>
}

const hubs = new WeakMap<Service, Hub>()

function hubOf(service: Service): Hub {
  const known = hubs.get(service)
  if (known) return known
  const streams: Hub['streams'] = new Map()
  const all = () => [...streams.values()].flatMap((set) => [...set])
  const ready = service.sql.listen(
    CHANNEL,
    (payload) => {
      const [clinicId = '', topic = ''] = payload.split(' ')
      for (const send of streams.get(clinicId) ?? []) send('change', topic)
    },
    // Called at each (re)connection: what was told in between is lost, so the pages read again.
    () => {
      for (const send of all()) send('again', '')
    },
  )
  const hub = { streams, ready }
  hubs.set(service, hub)
  ready.catch(() => hubs.delete(service))
  return hub
}

/** Ends every stream of this process, so that it can stop without waiting for browsers. */
export function closeLive(service: Service): void {
  for (const set of hubs.get(service)?.streams.values() ?? []) for (const send of set) send('ended', '')
}

/** GET /live: `change` with the table's name, `again` after a gap, `ended` when the session is over. */
export const streamChanges =
  (pingMs = PING_MS) =>
  async (c: Context<StaffEnv>): Promise<Response> => {
    const service = c.get('service')
    const clinicId = c.get('clinicId')
    const hub = hubOf(service)
    await hub.ready
    c.header('x-accel-buffering', 'no')
    return streamSSE(c, async (stream) => {
      const queue: { event: string; data: string }[] = []
      let wake: () => void = () => {}
      const send: Send = (event, topic) => {
        if (!queue.some((item) => item.event === event && item.data === topic))
          queue.push({ event, data: topic })
        wake()
      }
      const set = hub.streams.get(clinicId) ?? new Set()
      hub.streams.set(clinicId, set.add(send))
      stream.onAbort(() => wake())
      try {
        await stream.writeSSE({ event: 'again', data: '' })
        while (!stream.aborted) {
          const item = queue.shift()
          if (item) {
            await stream.writeSSE(item)
            if (item.event === 'ended') return
            continue
          }
          const timer = setTimeout(() => wake(), pingMs)
          await new Promise<void>((resolve) => {
            wake = resolve
            if (queue.length > 0 || stream.aborted) resolve()
          })
          clearTimeout(timer)
          if (stream.aborted) return
          if (queue.length === 0) {
            await stream.writeSSE({ event: 'ping', data: '' })
            if (!(await stillSignedIn(c))) send('ended', '')
          }
        }
      } catch (error) {
        // The browser comes back by itself.
        c.get('log')('warn', 'live stream ended', { route: '/live', error: loggedError(error) })
      } finally {
        set.delete(send)
      }
    })
  }

// An open stream is no use of the session: it must not keep an idle one alive.
async function stillSignedIn(c: Context<StaffEnv>): Promise<boolean> {
  const cookie = readCookie(c)
  if (!cookie) return false
  const live = await inClinic(c.get('service'), cookie.clinicId, (scope) =>
    findSession(scope, cookie.token, { touch: false }),
  )
  return live !== undefined
}
