import fc from 'fast-check'
import { expect, test } from 'vitest'
import { checkBind } from '../../src/access/bind.ts'
import { isLoopback } from '../../src/access/origin.ts'
import { passwordTrouble } from '../../src/access/password.ts'
import { safePath } from '../../src/access/route.ts'
import { Trouble } from '../../src/trouble.ts'

test('only our own pages are gone to', () => {
  for (const own of ['/', '/staff', '/reception?day=2026-03-02', '/a/b?next=%2Fc'])
    expect(safePath(own, '/x')).toBe(own)
  const elsewhere = [
    undefined,
    '',
    'https://other.example/',
    '//other.example',
    '///other.example',
    '/\\other.example',
    '\\\\other.example',
    '/\t/other.example',
    '/\n/other.example',
    ' /staff',
    'javascript:alert(1)',
    'staff',
    '/%5cother.example\\',
    '/a\\..\\b',
    '/..//other.example',
    '/.//other.example',
    '/a/..//other.example',
    '/%2e//other.example',
    '/é',
  ]
  for (const bad of elsewhere) expect(safePath(bad, '/x'), JSON.stringify(bad)).toBe('/x')
})

test('whatever is written, a browser stays here', () => {
  const piece = fc.constantFrom(
    '/',
    '\\',
    '.',
    '..',
    ':',
    '@',
    'other.example',
    '/..',
    '/.',
    'https',
    '?',
    '#',
    '\t',
    '%2f',
    ' ',
  )
  fc.assert(
    fc.property(
      fc.oneof(
        fc.string(),
        fc.array(piece).map((parts) => parts.join('')),
      ),
      (text) => {
        const gone = new URL(safePath(text, '/x'), 'https://clinic.example/staff/sign-in')
        expect(gone.origin).toBe('https://clinic.example')
      },
    ),
    { numRuns: 5000 },
  )
})

test('the demo listens on this machine only, and health data leaves it only by https', () => {
  const at = (host: string, publicUrl?: string) => ({ host, publicUrl })
  for (const host of ['127.0.0.1', '127.9.9.9', '::1', 'localhost']) {
    expect(() => checkBind(at(host), true)).not.toThrow()
    expect(() => checkBind(at(host, 'https://clinic.example'), false)).not.toThrow()
    expect(() => checkBind(at(host, 'https://clinic.example'), true)).toThrow(Trouble)
  }
  for (const host of ['0.0.0.0', '::', '192.0.2.7', 'clinic.example', '127.0.0.1.example', '']) {
    expect(isLoopback(host)).toBe(false)
    expect(() => checkBind(at(host), true)).toThrow(Trouble)
    expect(() => checkBind(at(host), false)).toThrow(Trouble)
    expect(() => checkBind(at(host, 'http://clinic.example'), false)).toThrow(Trouble)
    expect(() => checkBind(at(host, 'https://clinic.example'), true)).toThrow(Trouble)
  }
  expect(() => checkBind(at('0.0.0.0', 'https://clinic.example'), false)).not.toThrow()
})

test('a password is long, not guessed quickly, and not made of what everybody here knows', () => {
  const own = ['Hazel Brook', 'hazel.brook@clinic.example', 'Brackwater Ear Rooms']
  const poor = [
    'short',
    'elevenchars',
    'password1234',
    'qwertyuiop12',
    'aaaaaaaaaaaa',
    '123456789012345',
    'abcdefghijklm',
    'Summer2026!!!',
    'hazel.brook@clinic.example',
    'HazelBrook2026',
    'brackwaterearrooms',
    'foreaft-foreaft',
    'x'.repeat(129),
  ]
  for (const password of poor) expect(passwordTrouble(password, own), password).toMatch(/./)
  const good = [
    'violet tin kettle 42',
    'correct horse battery staple',
    'kd83jf8s02nfk2',
    'ünïcödé wörds hälp',
  ]
  for (const password of good) expect(passwordTrouble(password, own), password).toBeUndefined()
  expect(passwordTrouble('kettle tin violet '.repeat(7), own)).toBeUndefined()
})
