/** A session as a request carries it: the cookie, the form token, and what each page may use of it. */

import { eq } from 'drizzle-orm'
import type { Context } from 'hono'
import { deleteCookie, getCookie, setCookie } from 'hono/cookie'
import { clinicDirectory } from '../database/schema.ts'
import { inClinic, type Service } from '../database/service.ts'
import { bannersOf } from './banners.ts'
import { isSecure, type Origin } from './origin.ts'
import { csrfOf, equalText, FRESH_MINUTES, findSession } from './sessions.ts'

const uuid = /^[0-9a-f]{8}(-[0-9a-f]{4}){3}-[0-9a-f]{12}$/

/** `__Host-` binds the cookie to this host and to https; plain http is loopback only (see checkBind). */
export const cookieName = (c: Context) => (isSecure(c) ? '__Host-foreaft' : 'foreaft')

export function giveCookie(c: Context, clinicId: string, token: string): void {
  setCookie(c, cookieName(c), `${clinicId}.${token}`, {
    httpOnly: true,
    sameSite: 'Lax',
    secure: isSecure(c),
    path: '/',
  })
}

export const takeCookie = (c: Context) => deleteCookie(c, cookieName(c), { path: '/', secure: isSecure(c) })

/** The clinic and token of the cookie, if it has the form of one. */
export function readCookie(c: Context): { clinicId: string; token: string } | undefined {
  const [clinicId = '', token = '', ...rest] = (getCookie(c, cookieName(c)) ?? '').split('.')
  return uuid.test(clinicId) && /^[\w-]{43}$/.test(token) && rest.length === 0
    ? { clinicId, token }
    : undefined
}

/** Fills `c.var` from a live session. @returns undefined when there is none */
export async function enterSession(
  c: Context,
  { touch = true } = {},
): Promise<{ fresh: boolean } | undefined> {
  const cookie = readCookie(c)
  if (!cookie) return undefined
  const service = c.get('service')
  if (!(await clinicIsHere(service, cookie.clinicId))) return undefined
  const found = await inClinic(service, cookie.clinicId, async (scope) => {
    const live = await findSession(scope, cookie.token, { touch })
    if (!live) return undefined
    return { live, banners: await bannersOf(scope, c.get('jobLimits')), now: scope.now }
  })
  if (!found) {
    takeCookie(c)
    return undefined
  }
  const { live, banners, now } = found
  c.set('clinicId', cookie.clinicId)
  c.set('clinic', live.clinic)
  c.set('staff', live.staff)
  c.set('sessionHash', live.hash)
  c.set('csrf', csrfOf(cookie.token))
  c.set('banners', banners)
  const fresh = live.reauthAt !== null && live.reauthAt.until(now).total('minutes') <= FRESH_MINUTES
  return { fresh }
}

export async function clinicIsHere(service: Service, clinicId: string): Promise<boolean> {
  const rows = await service.db
    .select({ clinicId: clinicDirectory.clinicId })
    .from(clinicDirectory)
    .where(eq(clinicDirectory.clinicId, clinicId))
  return rows.length > 0
}

/** Forms carry the token always; other kinds of body, which a browser sends for no other site without asking
 * us first, only where it does not say where they come from. */
export async function csrfMatches(c: Context, origin: Origin): Promise<boolean> {
  const header = c.req.header('x-csrf')
  if (header !== undefined) return equalText(header, c.get('csrf'))
  const type = c.req.header('content-type')?.split(';')[0]?.trim().toLowerCase() ?? ''
  const form = type === 'application/x-www-form-urlencoded' || type === 'multipart/form-data'
  if (!form) return origin !== 'opaque' && type !== 'text/plain' && type !== ''
  const body = await c.req.parseBody().catch(() => ({}) as Record<string, unknown>)
  return typeof body.csrf === 'string' && equalText(body.csrf, c.get('csrf'))
}
