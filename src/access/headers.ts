/** The headers that every answer carries. */
import type { MiddlewareHandler } from 'hono'
import { isSecure } from './origin.ts'

const policy = Object.entries({
  'default-src': "'none'",
  'script-src': "'self'",
  'style-src': "'self'",
  'img-src': "'self' data:",
  'font-src': "'self'",
  'connect-src': "'self'",
  'form-action': "'self'",
  'frame-ancestors': "'none'",
  'object-src': "'none'",
  'base-uri': "'none'",
})
  .map(([name, value]) => `${name} ${value}`)
  .join('; ')

const headers: Record<string, string> = {
  'content-security-policy': policy,
  'x-content-type-options': 'nosniff',
  'x-frame-options': 'DENY',
  'referrer-policy': 'no-referrer',
  'cross-origin-opener-policy': 'same-origin',
  'cross-origin-resource-policy': 'same-origin',
  'permissions-policy':
    'camera=(), microphone=(), geolocation=(), payment=(), usb=(), publickey-credentials-get=(self), publickey-credentials-create=(self)',
  'x-robots-tag': 'noindex, nofollow',
}

export const secureHeaders: MiddlewareHandler = async (c, next) => {
  await next()
  for (const [name, value] of Object.entries(headers)) c.res.headers.set(name, value)
  if (isSecure(c)) c.res.headers.set('strict-transport-security', 'max-age=63072000; includeSubDomains')
  // Only what says otherwise (style, scripts) may be kept by anybody.
  if (!c.res.headers.has('cache-control')) c.res.headers.set('cache-control', 'no-store')
}
