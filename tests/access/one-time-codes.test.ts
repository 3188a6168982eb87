import { Temporal } from 'temporal-polyfill'
import { expect, test } from 'vitest'
import {
  codeAt,
  decodeBase32,
  encodeBase32,
  newCodeSecret,
  stepOf,
  stepOfCode,
} from '../../src/access/one-time-codes.ts'

const secret = Buffer.from('12345678901234567890')

test('codes are those of RFC 6238, appendix B (SHA-1, eight digits)', () => {
  const published: [string, string][] = [
    ['1970-01-01T00:00:59Z', '94287082'],
    ['2005-03-18T01:58:29Z', '07081804'],
    ['2005-03-18T01:58:31Z', '14050471'],
    ['2009-02-13T23:31:30Z', '89005924'],
    ['2033-05-18T03:33:20Z', '69279037'],
    ['2603-10-11T11:33:20Z', '65353130'],
  ]
  for (const [time, code] of published) {
    expect(codeAt(secret, stepOf(Temporal.Instant.from(time)), 8), time).toBe(code)
  }
})

test('codes are those of RFC 4226, appendix D (six digits)', () => {
  const published = '755224 287082 359152 969429 338314 254676 287922 162583 399871 520489'.split(' ')
  expect(published.map((_, count) => codeAt(secret, count))).toEqual(published)
})

test('base32 is that of RFC 4648, section 10', () => {
  const published: [string, string][] = [
    ['f', 'MY======'],
    ['fo', 'MZXQ===='],
    ['foo', 'MZXW6==='],
    ['foob', 'MZXW6YQ='],
    ['fooba', 'MZXW6YTB'],
    ['foobar', 'MZXW6YTBOI======'],
  ]
  for (const [plain, encoded] of published) {
    expect(encodeBase32(Buffer.from(plain))).toBe(encoded.replaceAll('=', ''))
    expect(decodeBase32(encoded).toString()).toBe(plain)
  }
  expect(() => decodeBase32('M1')).toThrow(RangeError)
})

test('a code is good for its own step and one beside it, and only after the last one used', () => {
  const now = Temporal.Instant.from('2026-03-02T09:00:10Z')
  const text = encodeBase32(secret)
  const step = stepOf(now)
  for (const [offset, good] of [
    [-2, false],
    [-1, true],
    [0, true],
    [1, true],
    [2, false],
  ] as const) {
    const expected = good ? step + offset : undefined
    expect(stepOfCode(text, codeAt(secret, step + offset), now, null), String(offset)).toBe(expected)
  }
  const code = codeAt(secret, step)
  expect(stepOfCode(text, `${code.slice(0, 3)} ${code.slice(3)}`, now, step - 1)).toBe(step)
  expect(stepOfCode(text, code, now, step)).toBeUndefined()
  for (const wrong of ['', '0', code.slice(1), `${code}0`, 'abcdef', '١٢٣٤٥٦', '\0\0\0\0\0\0']) {
    expect(stepOfCode(text, wrong, now, null), wrong).toBeUndefined()
  }
})

test('secrets are 160 random bits', () => {
  const secrets = new Set(Array.from({ length: 100 }, newCodeSecret))
  expect(secrets.size).toBe(100)
  for (const one of secrets) expect(decodeBase32(one).length).toBe(20)
})
