import { eq } from 'drizzle-orm'
import { expect, test } from 'vitest'
import { setPasswordAndCodes } from '../../src/access/credentials.ts'
import { inviteStaff } from '../../src/access/invitations.ts'
import { countTry } from '../../src/access/limits.ts'
import { newCodeSecret } from '../../src/access/one-time-codes.ts'
import { assertionOptions } from '../../src/access/passkeys.ts'
import { hashPassword } from '../../src/access/password.ts'
import { changeRole, removePerson } from '../../src/access/people.ts'
import { hashToken, newToken, startSession } from '../../src/access/sessions.ts'
import { tidyAccess } from '../../src/access/tidy.ts'
import { saveSettings } from '../../src/clinic.ts'
import { invitation, rateLimit, session, signInChallenge, staff } from '../../src/database/schema.ts'
import { inClinic, openService } from '../../src/database/service.ts'
import { testDatabase, testKeys, testSettings } from '../support/database.ts'
import { type Person, webTest } from '../support/web.ts'

const { service, clock, clinicId, url, addClinic } = await testDatabase()
const web = webTest(service)
const alive = async (person: Person) => (await person.get('/staff/account')).status === 200

test('the cookie is for this host and for no script, and holds nothing but the clinic and a random token', async () => {
  const person = await web.staff('owner', clinicId)
  const again = await person.post('/staff/again', { password: 'wrong' })
  expect(again.headers.getSetCookie()).toEqual([])
  const demo = await addClinic('cookies')
  const one = await web.staff('owner', demo)
  expect(one.cookie).toMatch(/^foreaft=[0-9a-f-]{36}\.[\w-]{43}$/)

  const secure = openService({
    url,
    clock,
    masters: testKeys,
    publicUrl: 'https://clinic.example',
    connections: 2,
  })
  const over = webTest(secure)
  const owner = await over.staff('owner', clinicId)
  await inClinic(service, clinicId, async (scope) => {
    const passwordHash = await hashPassword('violet tin kettle 42')
    await setPasswordAndCodes(scope, owner.staffId, { passwordHash, secret: newCodeSecret(), step: 0 })
  })
  const confirmed = await owner.post('/staff/again', { password: 'violet tin kettle 42' })
  expect(confirmed.status).toBe(303)
  const [cookie] = confirmed.headers.getSetCookie()
  expect(cookie).toMatch(/^__Host-foreaft=[0-9a-f-]{36}\.[\w-]{43}; Path=\/; HttpOnly; Secure; SameSite=Lax$/)
  expect(confirmed.headers.get('strict-transport-security')).toMatch(/^max-age=\d{8,}; includeSubDomains$/)
  // Without its prefix the same token is worth nothing over https.
  const bare = await owner.get('/staff/account', { cookie: owner.cookie.replace('__Host-', '') })
  expect(bare.status).toBe(303)
  await secure.close()
})

test('a session ends after half an hour without use, and after twelve hours in any case', async () => {
  const idle = await web.staff('reception', clinicId)
  clock.advance({ minutes: 29 })
  expect(await alive(idle)).toBe(true)
  clock.advance({ minutes: 29 })
  expect(await alive(idle)).toBe(true)
  clock.advance({ minutes: 31 })
  expect(await alive(idle)).toBe(false)
  expect(idle.cookie).toBe('')

  const long = await web.staff('reception', clinicId)
  for (let i = 0; i < 36; i += 1) {
    clock.advance({ minutes: 19 })
    expect(await alive(long), String(i)).toBe(true)
  }
  clock.advance({ minutes: 20 })
  expect(await alive(long), 'after 11 h 44 min').toBe(true)
  clock.advance({ minutes: 17 })
  expect(await alive(long), 'after 12 h 1 min').toBe(false)
})

test('both limits are settings of the clinic', async () => {
  const other = await addClinic('short')
  await inClinic(service, other, (scope) =>
    saveSettings(scope, { ...testSettings, sessions: { idleMinutes: 5, absoluteHours: 1 } }),
  )
  const person = await web.staff('owner', other)
  clock.advance({ minutes: 4 })
  expect(await alive(person)).toBe(true)
  clock.advance({ minutes: 6 })
  expect(await alive(person)).toBe(false)
  const long = await web.staff('owner', other)
  for (let i = 0; i < 19; i += 1) {
    clock.advance({ minutes: 3 })
    expect(await alive(long)).toBe(true)
  }
  clock.advance({ minutes: 3 })
  expect(await alive(long)).toBe(false)
})

test('confirming gives a new token and ends the old one', async () => {
  const person = await web.staff('owner', clinicId)
  await inClinic(service, clinicId, async (scope) => {
    const passwordHash = await hashPassword('violet tin kettle 42')
    await setPasswordAndCodes(scope, person.staffId, { passwordHash, secret: newCodeSecret(), step: 0 })
  })
  clock.advance({ minutes: 6 })
  const asked = await person.get('/staff/account/passkeys')
  expect(asked.headers.get('location')).toBe('/staff/again?next=%2Fstaff%2Faccount%2Fpasskeys')
  const old = person.cookie
  expect((await person.post('/staff/again', { password: 'violet tin kettle', next: '/staff' })).status).toBe(
    422,
  )
  const right = { password: 'violet tin kettle 42', next: '/staff/account/passkeys' }
  const confirmed = await person.post('/staff/again', right)
  expect(confirmed.headers.get('location')).toBe('/staff/account/passkeys')
  expect(person.cookie).not.toBe(old)
  expect((await person.get('/staff/account/passkeys')).status).toBe(200)
  expect((await web.nobody().get('/staff/account', { cookie: old })).status).toBe(303)
  // Guessing at it is counted like signing in.
  for (let i = 0; i < 6; i += 1) await person.post('/staff/again', { password: 'wrong' })
  expect((await person.post('/staff/again', right)).status).toBe(422)
})

test('what asks for a fresh sign-in refuses an older one, and does nothing', async () => {
  const owner = await web.staff('owner', clinicId)
  clock.advance({ minutes: 6 })
  const form = { name: 'New Person', email: 'new@clinic.example', role: 'owner' }
  const asked = await owner.post('/staff/people/invite', form)
  expect(asked.headers.get('location')).toBe('/staff/again?next=%2Fstaff%2Fpeople')
  const page = await (await owner.get('/staff/people')).text()
  expect(page).not.toContain('New Person')
})

test('signing out ends the session in the database, and asks the browser to forget', async () => {
  const person = await web.staff('clinician', clinicId)
  const cookie = person.cookie
  const out = await person.post('/staff/sign-out')
  expect(out.status).toBe(303)
  expect(out.headers.get('clear-site-data')).toContain('cache')
  expect(person.cookie).toBe('')
  expect((await web.nobody().get('/staff/account', { cookie })).status).toBe(303)
})

test('a person sees their own sessions, and ends one or all others, and nobody else’s', async () => {
  const one = await web.staff('clinician', clinicId)
  const other = await web.staff('clinician', clinicId)
  const second: Person = { ...web.nobody(), staffId: one.staffId }
  const token = newToken()
  await inClinic(service, clinicId, async ({ tx, now }) => {
    await tx.insert(session).values({
      clinicId,
      sessionHash: hashToken(token),
      staffId: one.staffId,
      createdAt: now,
      seenAt: now,
      expiresAt: now.add({ hours: 12 }),
      reauthAt: now,
      device: 'Safari on a Mac',
    })
  })
  const cookie = `foreaft=${clinicId}.${token}`
  const page = await (await one.get('/staff/account')).text()
  expect(page).toContain('Safari on a Mac')
  expect(page).toContain('Firefox on Linux')
  const foreign = hashToken(other.cookie.split('.').at(-1) as string).toString('hex')
  await one.post('/staff/account/sessions/end', { id: foreign })
  expect(await alive(other)).toBe(true)
  await one.post('/staff/account/sessions/end', { id: 'others' })
  expect((await second.get('/staff/account', { cookie })).status).toBe(303)
  expect(await alive(one)).toBe(true)
})

test('a changed role or a removed person ends their sessions at once; there is always an owner', async () => {
  const clinic = await addClinic('people')
  const owner = await web.staff('owner', clinic)
  const person = await web.staff('reception', clinic)
  const role = await owner.post(`/staff/people/${person.staffId}/role`, { role: 'clinician' })
  expect(role.status).toBe(303)
  expect(await alive(person)).toBe(false)
  const back = await web.staff('clinician', clinic)
  expect((await owner.post(`/staff/people/${back.staffId}/remove`)).status).toBe(303)
  expect(await alive(back)).toBe(false)
  expect((await owner.post(`/staff/people/${owner.staffId}/remove`)).status).toBe(409)
  expect((await owner.post(`/staff/people/${owner.staffId}/role`, { role: 'reception' })).status).toBe(409)
  // Two owners that remove each other at once: one stays.
  const second = await web.staff('owner', clinic)
  const outcomes = await Promise.all([
    inClinic(service, clinic, (scope) => removePerson(scope, owner.staffId, second.staffId)),
    inClinic(service, clinic, (scope) => changeRole(scope, second.staffId, owner.staffId, 'reception')),
  ])
  expect(outcomes.toSorted()).toEqual(['done', 'last owner'])
  const left = await inClinic(service, clinic, ({ tx }) =>
    tx.select().from(staff).where(eq(staff.role, 'owner')),
  )
  expect(left.filter((row) => row.leftAt === null)).toHaveLength(1)
})

test('a removed person’s open link is dead; somebody who comes back has nothing of before', async () => {
  const clinic = await addClinic('return')
  const owner = await web.staff('owner', clinic)
  const person = await web.staff('clinician', clinic)
  const link = async (path: string, form = {}) =>
    /staff\/join\/([\w.-]+)/.exec(await (await owner.post(path, form)).text())?.[1] as string
  const again = await link(`/staff/people/${person.staffId}/again`)
  expect((await web.nobody().get(`/staff/join/${again}`)).status).toBe(200)
  await owner.post(`/staff/people/${person.staffId}/remove`)
  expect((await web.nobody().get(`/staff/join/${again}`)).status).toBe(410)
})

test('garbage, another clinic’s id or a missing half in the cookie is simply no session', async () => {
  const person = await web.staff('owner', clinicId)
  const other = await addClinic('cookie-other')
  const token = person.cookie.split('.').at(-1) as string
  const bad = [
    'foreaft=',
    'foreaft=.',
    `foreaft=${token}`,
    `foreaft=${other}.${token}`,
    `foreaft=${crypto.randomUUID()}.${token}`,
    `foreaft=${clinicId}.${token}x`,
    `foreaft=${clinicId}.${token.slice(1)}A`,
    `foreaft=${clinicId}.${token}.${token}`,
    `foreaft=${"'; drop table session; --"}.${token}`,
    'foreaft=%00.%ff',
  ]
  for (const cookie of bad) {
    const response = await web.nobody().get('/staff/account', { cookie })
    expect(response.status, cookie).toBe(303)
    expect(response.headers.get('location')).toContain('/staff/sign-in')
  }
  expect(await alive(person)).toBe(true)
})

test('one person has ten sessions at most: the one used longest ago ends', async () => {
  const person = await web.staff('clinician', clinicId)
  const first = person.cookie
  const cookies = [first]
  for (let i = 0; i < 10; i += 1) {
    clock.advance({ seconds: 61 })
    const token = await inClinic(service, clinicId, (scope) => startSession(scope, person.staffId, 'test'))
    cookies.push(`foreaft=${clinicId}.${token}`)
  }
  const open = await Promise.all(cookies.map((cookie) => web.nobody().get('/staff/account', { cookie })))
  expect(open.map((answer) => answer.status)).toEqual([303, ...Array.from({ length: 10 }, () => 200)])
})

test('what access leaves behind is cleared away, and nothing that still counts', async () => {
  const clinic = await addClinic('tidy')
  const owner = await web.staff('owner', clinic)
  const count = () =>
    inClinic(service, clinic, async ({ tx }) => ({
      sessions: (await tx.select().from(session)).length,
      invitations: (await tx.select().from(invitation)).length,
      limits: (await tx.select().from(rateLimit)).length,
      challenges: (await tx.select().from(signInChallenge)).length,
    }))
  const block = { tries: 1, windowMinutes: 15, blockMinutes: 60 * 48 }
  await inClinic(service, clinic, async (scope) => {
    await inviteStaff(scope, {
      name: 'Ada Fenn',
      email: 'ada@clinic.example',
      role: 'owner',
      invitedBy: owner.staffId,
    })
    await countTry(scope, 'test', 'blocked', block)
    await countTry(scope, 'test', 'blocked', block)
    await countTry(scope, 'test', 'once', block)
    await assertionOptions(scope, { id: 'localhost', origin: 'http://localhost' }, 'sign in')
  })
  await owner.post('/staff/sign-out')
  const all = { sessions: 1, invitations: 1, limits: 2, challenges: 1 }
  expect(await count()).toEqual(all)
  await inClinic(service, clinic, tidyAccess)
  expect(await count()).toEqual(all)
  clock.advance({ hours: 25 })
  await inClinic(service, clinic, tidyAccess)
  expect(await count()).toEqual({ ...all, limits: 1, challenges: 0 })
  clock.advance({ hours: 24 * 34 })
  await inClinic(service, clinic, tidyAccess)
  expect(await count()).toEqual({ sessions: 0, invitations: 0, limits: 0, challenges: 0 })
})
