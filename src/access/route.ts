/**
 * The one way to add a page: every route names its permission, and the guard before it holds the
 * permission, the origin, the form token, the size of the body and, where asked, a fresh sign-in.
 */
import type { Context, MiddlewareHandler } from 'hono'
import { bodyLimit } from 'hono/body-limit'
import { HTTPException } from 'hono/http-exception'
import type { App, Env, StaffEnv } from './env.ts'
import { originOf } from './origin.ts'
import { demoOnly, may, type Permission } from './permissions.ts'
import { csrfMatches, enterSession } from './session-request.ts'

export type Method = 'get' | 'post'

/**
 * `public`: anybody, nothing personal. `patient-link`: the handler itself looks the link up and shows
 * nothing without it.
 */
export type Gate = Permission | 'public' | 'patient-link'

export interface RouteOptions {
  /** Greatest body in bytes; 64 KiB where it is left out. */
  body?: number
  /** Asks for the password or passkey again when that was more than FRESH_MINUTES (sessions.ts) ago.
   * Where a page is named, a person lands there after confirming; else on this route's own address. */
  fresh?: true | `/${string}`
}

export interface RouteEntry {
  method: Method
  path: string
  gate: Gate
  options: RouteOptions
}

export const BODY_LIMIT = 64 * 1024

const registries = new WeakMap<object, RouteEntry[]>()

/** Every route of this app with its permission: the permission tests walk it. */
export const routesOf = (app: App): readonly RouteEntry[] => registries.get(app) ?? []

type Answer = Response | Promise<Response>

export function route<P extends string>(
  app: App,
  method: Method,
  path: P,
  gate: 'public' | 'patient-link',
  handler: (c: Context<Env, P>) => Answer,
  options?: RouteOptions,
): void
export function route<P extends string>(
  app: App,
  method: Method,
  path: P,
  gate: Permission,
  handler: (c: Context<StaffEnv, P>) => Answer,
  options?: RouteOptions,
): void
export function route(
  app: App,
  method: Method,
  path: string,
  gate: Gate,
  // biome-ignore lint/suspicious/noExplicitAny: the overloads above give each handler its own context
  handler: (c: any) => Answer,
  options: RouteOptions = {},
): void {
  const entries = registries.get(app) ?? []
  registries.set(app, entries)
  entries.push({ method, path, gate, options })
  const size = bodyLimit({
    maxSize: options.body ?? BODY_LIMIT,
    onError: () => {
      throw new HTTPException(413, { message: 'That is more than this page takes.' })
    },
  })
  app.on(method.toUpperCase(), path, size, guard(gate, options), handler)
}

function guard(gate: Gate, options: RouteOptions): MiddlewareHandler {
  return async (c, next) => {
    const writes = c.req.method !== 'GET' && c.req.method !== 'HEAD'
    const origin = writes ? originOf(c) : 'same'
    if (origin === 'cross' || (origin === 'opaque' && gate === 'public')) refuse(403, ELSEWHERE)
    if (gate === 'public' || gate === 'patient-link') return await next()

    const signedIn = await enterSession(c)
    if (!signedIn) {
      if (writes) refuse(401, 'You are signed out. Sign in again, then do this once more.')
      return c.redirect(`/staff/sign-in?next=${encodeURIComponent(ownPath(c))}`, 303)
    }
    if (demoOnly.has(gate) && !c.get('clinic').demo) refuse(404, 'There is no such page.')
    if (!may(c.get('staff').role, gate)) refuse(403, 'Your role does not open this page.')
    if (writes && !(await csrfMatches(c, origin))) refuse(403, ELSEWHERE)
    if (options.fresh && !signedIn.fresh) {
      const next = options.fresh === true ? ownPath(c) : options.fresh
      return c.redirect(`/staff/again?next=${encodeURIComponent(next)}`, 303)
    }
    await next()
  }
}

const ELSEWHERE = 'This did not come from one of our own pages. Open the page again and repeat it there.'

/** Ends the request with an error page of this one clear sentence. */
export function refuse(status: 400 | 401 | 403 | 404 | 409 | 410 | 413 | 422 | 429, sentence: string): never {
  throw new HTTPException(status, { message: sentence })
}

function ownPath(c: Context): string {
  const url = new URL(c.req.url)
  return url.pathname + (c.req.method === 'GET' ? url.search : '')
}

/** The path if it is one of our own pages, else `otherwise`: no redirect leads away from here. */
export function safePath(path: string | undefined, otherwise: string): string {
  if (!path || !/^\/(?![/\\])[\x21-\x7e]*$/.test(path) || path.includes('\\')) return otherwise
  const base = 'http://own.invalid'
  if (!URL.canParse(path, base)) return otherwise
  const url = new URL(path, base)
  const own = url.pathname + url.search
  // "/..//other" shortens to "//other", which a browser reads as another site.
  return url.origin === base && !own.startsWith('//') ? own : otherwise
}
