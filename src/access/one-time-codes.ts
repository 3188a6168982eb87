/** One-time codes of an app: RFC 6238 over RFC 4226, SHA-1, six digits, 30 seconds. */
import { createHmac, randomBytes } from 'node:crypto'
import type { Temporal } from 'temporal-polyfill'

export const STEP_SECONDS = 30
const alphabet = 'ABCDEFGHIJKLMNOPQRSTUVWXYZ234567'

/** 160 random bits in base32, as apps take it (RFC 4226 section 4, R6). */
export const newCodeSecret = () => encodeBase32(randomBytes(20))

export function encodeBase32(bytes: Buffer): string {
  const bits = [...bytes].map((byte) => byte.toString(2).padStart(8, '0')).join('')
  return (bits.match(/.{1,5}/g) ?? [])
    .map((five) => alphabet[Number.parseInt(five.padEnd(5, '0'), 2)] as string)
    .join('')
}

/** @throws RangeError on what is not base32 */
export function decodeBase32(text: string): Buffer {
  const bits = [...text.toUpperCase().replaceAll(/[\s=]/g, '')]
    .map((letter) => {
      const value = alphabet.indexOf(letter)
      if (value < 0) throw new RangeError('Not base32.')
      return value.toString(2).padStart(5, '0')
    })
    .join('')
  return Buffer.from((bits.match(/.{8}/g) ?? []).map((byte) => Number.parseInt(byte, 2)))
}

/** RFC 4226 section 5.3: the code of one step. */
export function codeAt(secret: Buffer, step: number, digits = 6): string {
  const counter = Buffer.alloc(8)
  counter.writeBigUInt64BE(BigInt(step))
  const mac = createHmac('sha1', secret).update(counter).digest()
  const offset = (mac.at(-1) as number) & 0x0f
  const number = mac.readUInt32BE(offset) & 0x7fffffff
  return String(number % 10 ** digits).padStart(digits, '0')
}

export const stepOf = (now: Temporal.Instant) => Math.floor(now.epochMilliseconds / 1000 / STEP_SECONDS)

/**
 * The step whose code this is, later than `lastStep`: this one or, for clocks that go a little wrong, the one
 * before or after (RFC 6238 section 5.2). Each step is compared, so that the time tells nothing.
 */
export function stepOfCode(
  secret: string,
  code: string,
  now: Temporal.Instant,
  lastStep: number | null,
): number | undefined {
  const key = decodeBase32(secret)
  const given = code.replaceAll(/\s/g, '')
  const current = stepOf(now)
  let found: number | undefined
  for (const step of [current + 1, current, current - 1]) {
    const same = equalDigits(codeAt(key, step), given)
    if (same && step > (lastStep ?? -1)) found = step
  }
  return found
}

function equalDigits(expected: string, given: string): boolean {
  let difference = expected.length ^ given.length
  for (let i = 0; i < expected.length; i += 1) {
    difference |= expected.charCodeAt(i) ^ (given.charCodeAt(i) || 0)
  }
  return difference === 0
}

/** The address that an app reads from the QR picture. */
export function codeAddress(secret: string, clinic: string, email: string): string {
  const label = encodeURIComponent(`Foreaft ${clinic}:${email}`)
  const issuer = encodeURIComponent(`Foreaft ${clinic}`)
  return `otpauth://totp/${label}?secret=${secret}&issuer=${issuer}&algorithm=SHA1&digits=6&period=${STEP_SECONDS}`
}
