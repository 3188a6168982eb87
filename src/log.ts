/**
 * One JSON line an event on standard error. It takes only what the table of fields allows: no bodies,
 * contacts, names, tokens, addresses of pages with their values, or query strings can reach it.
 */
import { realClock } from './clock.ts'
import { codeOf } from './database/service.ts'

export type Level = 'info' | 'warn' | 'error'

export interface LogFields {
  /** The id that an error page shows. */
  request?: string
  /** The pattern of the route, never the address itself. */
  route?: string
  method?: string
  status?: number
  ms?: number
  clinic?: string
  staff?: string
  job?: string
  count?: number
  error?: LoggedError
}

export interface LoggedError {
  name: string
  /** SQLSTATE or the system's code. */
  code?: string
  /** Where, without the message: a message may quote what a patient wrote. */
  at: string[]
}

export type Log = (level: Level, event: string, fields?: LogFields) => void

export function logTo(write: (line: string) => void): Log {
  return (level, event, fields = {}) =>
    write(`${JSON.stringify({ time: realClock.now().toString(), level, event, ...fields })}\n`)
}

export const log: Log = logTo((line) => process.stderr.write(line))

/** What may be kept of a thrown value: its kind, its code and the places in our code. */
export function loggedError(error: unknown): LoggedError {
  if (!(error instanceof Error)) return { name: typeof error, at: [] }
  const code = codeOf(error)
  const frames = (error.stack ?? '').split('\n').filter((line) => /^\s+at /.test(line))
  return { name: error.name, ...(code && { code }), at: frames.slice(0, 12).map((line) => line.trim()) }
}
