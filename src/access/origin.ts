/** Where a request comes from: its page (against forgery across sites), its address, its host. */
import type { Context } from 'hono'

/**
 * `same`: one of our own pages. `cross`: another site's. `opaque`: a browser that does not say (an older
 * one under our referrer policy). `absent`: not a browser at all.
 * Source: Fetch Metadata (Sec-Fetch-Site) and the Fetch standard (Origin).
 */
export type Origin = 'same' | 'cross' | 'opaque' | 'absent'

export function originOf(c: Context): Origin {
  const site = c.req.header('sec-fetch-site')
  if (site !== undefined) return site === 'same-origin' ? 'same' : 'cross'
  const origin = c.req.header('origin')
  if (origin === undefined) return 'absent'
  if (origin === 'null') return 'opaque'
  if (!URL.canParse(origin)) return 'cross'
  const own = new URL(c.get('service').publicUrl)
  const from = new URL(origin)
  return from.host === own.host || from.host === hostOf(c).host ? 'same' : 'cross'
}

/** The host that the browser asked for: its name and, with its port, its host. */
export function hostOf(c: Context): { host: string; hostname: string } {
  const written = `http://${c.req.header('host') ?? new URL(c.req.url).host}`
  const { host, hostname } = new URL(URL.canParse(written) ? written : 'http://unknown.invalid')
  return { host, hostname }
}

export const isLoopback = (hostname: string) =>
  hostname === 'localhost' ||
  hostname === '[::1]' ||
  hostname === '::1' ||
  /^127(\.\d{1,3}){3}$/.test(hostname)

/** Whether the pages are only reached over https (then cookies and transport are held to it). */
export const isSecure = (c: Context) => c.get('service').publicUrl.startsWith('https:')

/**
 * The other end's address. Behind a proxy on this machine, the last entry of X-Forwarded-For: that one
 * was written by the proxy itself.
 */
export function addressOf(c: Context): string {
  const peer: string = c.env?.incoming?.socket?.remoteAddress ?? '127.0.0.1'
  const plain = peer.replace(/^::ffff:/, '')
  if (!isLoopback(plain)) return network(plain)
  const forwarded = c.req.header('x-forwarded-for')?.split(',').at(-1)?.trim()
  return network(forwarded || plain)
}

// One customer holds a whole /64 of IPv6.
const network = (address: string) =>
  address.includes(':') ? address.split(':').slice(0, 4).join(':') : address.slice(0, 45)

/** Whose pages the passkeys belong to: a name (never a bare address) and the origin that browsers state. */
export interface Party {
  id: string
  origin: string
}

/** @returns undefined where the page is open under an address that passkeys cannot have */
export function partyOf(c: Context): Party | undefined {
  const own = new URL(c.get('service').publicUrl)
  const asked = hostOf(c)
  // On this machine any of its names will do; elsewhere only the public one.
  const url = isLoopback(own.hostname) && isLoopback(asked.hostname) ? new URL(`http://${asked.host}`) : own
  if (/^[\d.]+$|^\[/.test(url.hostname)) return undefined
  return { id: url.hostname, origin: url.origin }
}
