import { expect, test } from 'vitest'
import { codeAt, decodeBase32, stepOf } from '../../src/access/one-time-codes.ts'
import { startSession } from '../../src/access/sessions.ts'
import { findStaff } from '../../src/access/staff.ts'
import { inClinic } from '../../src/database/service.ts'
import { testDatabase } from '../support/database.ts'
import { type Person, webTest } from '../support/web.ts'

const { service, clock, clinicId } = await testDatabase()
const web = webTest(service)

const FIRST = 'violet tin kettle 42'
const SECOND = 'seven grey lanterns hum'

async function setUp(person: Person) {
  const text = await (await person.get('/staff/account/password')).text()
  const setup = /name="setup" value="([^"]+)"/.exec(text)?.[1] ?? ''
  const secret = (/class="code">([A-Z2-7 ]+)</.exec(text)?.[1] ?? '').replaceAll(' ', '')
  return { text, setup, code: () => codeAt(decodeBase32(secret), stepOf(clock.now())) }
}

const emailOf = async (person: Person) =>
  (await inClinic(service, clinicId, (scope) => findStaff(scope, person.staffId)))?.email as string

const codesIn = (text: string) =>
  [...text.matchAll(/class="code">([a-z0-9-]{29})</g)].map((match) => match[1] as string)

test('a person sets a password with an app, changes both with the old one, and the other sessions end', async () => {
  const person = await web.staff('clinician', clinicId)
  const email = await emailOf(person)
  const token = await inClinic(service, clinicId, (scope) => startSession(scope, person.staffId, 'elsewhere'))
  const elsewhere = { cookie: `foreaft=${clinicId}.${token}` }

  const first = await setUp(person)
  expect(first.text).not.toContain('Password until now')
  const set = await person.post('/staff/account/password', { ...first, code: first.code(), password: FIRST })
  expect(set.status).toBe(200)
  const codes = codesIn(await set.text())
  expect(codes).toHaveLength(10)
  expect((await web.nobody().get('/staff/account', elsewhere)).status).toBe(303)
  expect((await person.get('/staff/account')).status).toBe(200)
  // The code that set it up is used up.
  const same = { email, password: FIRST, code: first.code() }
  expect((await web.nobody().post('/staff/sign-in', same)).status).toBe(401)
  clock.advance({ seconds: 30 })
  expect((await web.nobody().post('/staff/sign-in', { ...same, code: first.code() })).status).toBe(303)

  const second = await setUp(person)
  const change = { setup: second.setup, code: second.code(), password: SECOND }
  const without = await person.post('/staff/account/password', { ...change, current: 'wrong' })
  expect(without.status).toBe(422)
  expect(await without.text()).toContain('This is not your password until now.')
  const weak = await person.post('/staff/account/password', { ...change, current: FIRST, password: email })
  expect(weak.status).toBe(422)
  const stale = await person.post('/staff/account/password', {
    ...change,
    setup: first.setup,
    current: FIRST,
  })
  expect(stale.status, 'a code that is not of this picture').toBe(422)
  const changed = await person.post('/staff/account/password', { ...change, current: FIRST })
  expect(changed.status).toBe(200)
  clock.advance({ seconds: 30 })
  expect((await web.nobody().post('/staff/sign-in', { ...same, code: first.code() })).status).toBe(401)
  const now = { email, password: SECOND, code: second.code() }
  expect((await web.nobody().post('/staff/sign-in', now)).status).toBe(303)
  // The recovery codes of before are dead.
  const old = { email, password: SECOND, code: codes[0] as string }
  expect((await web.nobody().post('/staff/sign-in', old)).status).toBe(401)
})

test('one person’s picture is nothing to another, and is good for half an hour', async () => {
  const one = await web.staff('reception', clinicId)
  const other = await web.staff('reception', clinicId)
  const picture = await setUp(one)
  const form = () => ({ setup: picture.setup, code: picture.code(), password: FIRST })
  expect((await other.post('/staff/account/password', form())).status).toBe(422)
  clock.advance({ minutes: 4 })
  const late = await setUp(one)
  expect((await one.post('/staff/account/password', { ...form(), setup: late.setup })).status).toBe(422)
  expect((await one.post('/staff/account/password', form())).status).toBe(200)
})

test('new recovery codes end the old ones; a password that is the only way in stays', async () => {
  const person = await web.staff('owner', clinicId)
  expect((await person.post('/staff/account/recovery-codes')).status).toBe(409)
  const { setup, code } = await setUp(person)
  const first = codesIn(
    await (await person.post('/staff/account/password', { setup, code: code(), password: FIRST })).text(),
  )
  const second = codesIn(await (await person.post('/staff/account/recovery-codes')).text())
  expect(second).toHaveLength(10)
  const enter = async (recovery: string) =>
    (
      await web
        .nobody()
        .post('/staff/sign-in', { email: await emailOf(person), password: FIRST, code: recovery })
    ).status
  expect(await enter(first[3] as string)).toBe(401)
  expect(await enter(second[3] as string)).toBe(303)
  expect((await person.post('/staff/account/password/remove')).status).toBe(409)
  expect((await person.post('/staff/account/passkeys/remove', { id: 'none' })).status).toBe(404)
})

test('the owner changes a person’s details; a telephone number is kept as one, and only as one', async () => {
  const owner = await web.staff('owner', clinicId)
  const person = await web.staff('clinician', clinicId)
  const path = `/staff/people/${person.staffId}/details`
  const form = { name: 'Fenwick Adair', mobile: '07700 900123', registration: 'TEST-7', escalationOrder: '2' }
  expect((await owner.post(path, form)).status).toBe(303)
  const row = await inClinic(service, clinicId, (scope) => findStaff(scope, person.staffId))
  expect(row).toMatchObject({
    name: 'Fenwick Adair',
    mobile: '+447700900123',
    registration: 'TEST-7',
    escalationOrder: 2,
  })
  for (const wrong of [
    { mobile: '12' },
    { mobile: 'x' },
    { escalationOrder: '-1' },
    { escalationOrder: '1.5' },
    { name: '' },
  ]) {
    expect((await owner.post(path, { ...form, ...wrong })).status, JSON.stringify(wrong)).toBe(422)
  }
  expect((await owner.post(`/staff/people/${crypto.randomUUID()}/details`, form)).status).toBe(404)
})
