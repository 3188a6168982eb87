import { eq } from 'drizzle-orm'
import { expect, test } from 'vitest'
import { verifyAudit } from '../../src/access/audit.ts'
import { newRecoveryCodes, setPasswordAndCodes } from '../../src/access/credentials.ts'
import { acceptInvitation, inviteStaff, readInvitationToken } from '../../src/access/invitations.ts'
import { countTry, forgetTries } from '../../src/access/limits.ts'
import { codeAt, decodeBase32, newCodeSecret, stepOf } from '../../src/access/one-time-codes.ts'
import { hashPassword } from '../../src/access/password.ts'
import { addStaff } from '../../src/access/staff.ts'
import { audit, recoveryCode, staff } from '../../src/database/schema.ts'
import { inClinic } from '../../src/database/service.ts'
import { testDatabase } from '../support/database.ts'
import { webTest } from '../support/web.ts'

const db = await testDatabase()
const { service, clock, clinicId } = db
const { nobody } = webTest(service)

const PASSWORD = 'violet tin kettle 42'
let count = 0

/** Somebody with a password, an app and recovery codes. */
async function member({ role = 'clinician' as const } = {}) {
  count += 1
  const email = `member${count}@clinic.example`
  const secret = newCodeSecret()
  const passwordHash = await hashPassword(PASSWORD)
  const made = await inClinic(service, clinicId, async (scope) => {
    const staffId = await addStaff(scope, { name: `Member ${count}`, email, role })
    await setPasswordAndCodes(scope, staffId, { passwordHash, secret, step: stepOf(scope.now) - 10 })
    return { staffId, codes: await newRecoveryCodes(scope, staffId) }
  })
  const code = () => codeAt(decodeBase32(secret), stepOf(clock.now()))
  return { ...made, email, secret, code }
}

const address = (n: number) => ({ 'x-forwarded-for': `192.0.2.${n}` })
/** Somebody else each time, at the form of this clinic. */
const signIn = (form: Record<string, string>, from: Record<string, string>, person = nobody()) =>
  person.post('/staff/sign-in', { clinic: 'brackwater', ...form }, from)
const nextStep = () => clock.advance({ seconds: 30 })

test('password and code together let in; either alone does not', async () => {
  const { email, code } = await member()
  const person = nobody()
  const tries = [
    { email, password: PASSWORD, code: '000000' },
    { email, password: PASSWORD, code: '' },
    { email, password: 'wrong', code: code() },
    { email: `other.${email}`, password: PASSWORD, code: code() },
  ]
  for (const form of tries) {
    const refused = await signIn(form, address(1), person)
    expect(refused.status, JSON.stringify(form)).toBe(401)
    expect(person.cookie).toBe('')
  }
  const entered = await person.post(
    '/staff/sign-in',
    { email: ` ${email.toUpperCase()} `, password: PASSWORD, code: code(), next: '/staff/account' },
    address(1),
  )
  expect(entered.status).toBe(303)
  expect(entered.headers.get('location')).toBe('/staff/account')
  expect(await (await person.get('/staff/account')).text()).toContain('You have a password')
})

test('a code opens once, also when two requests race with it', async () => {
  const { email, code } = await member()
  nextStep()
  const form = { email, password: PASSWORD, code: code() }
  const first = await Promise.all([1, 2, 3, 4].map(() => signIn(form, address(2))))
  expect(first.filter((response) => response.status === 303)).toHaveLength(1)
  expect((await signIn(form, address(2))).status).toBe(401)
  nextStep()
  const later = { ...form, code: code() }
  expect((await signIn(later, address(2))).status).toBe(303)
})

test('a recovery code stands for the code once, and is kept only as its hash', async () => {
  const { email, codes, staffId } = await member()
  expect(new Set(codes).size).toBe(10)
  const [one, two] = codes as [string, string]
  const form = (code: string) => ({ email, password: PASSWORD, code })
  const race = await Promise.all(
    [1, 2, 3].map(() => signIn(form(one.toUpperCase().replaceAll('-', ' ')), address(3))),
  )
  expect(race.filter((response) => response.status === 303)).toHaveLength(1)
  expect((await signIn(form(one), address(3))).status).toBe(401)
  expect((await signIn({ ...form(two), password: 'wrong' }, address(3))).status).toBe(401)
  expect((await signIn(form(two), address(3))).status).toBe(303)
  const rows = await inClinic(service, clinicId, ({ tx }) =>
    tx.select().from(recoveryCode).where(eq(recoveryCode.staffId, staffId)),
  )
  const stored = rows.map((row) => row.codeHash.toString('latin1')).join()
  for (const code of codes) expect(stored).not.toContain(code)
  // New ones end the old ones.
  await inClinic(service, clinicId, (scope) => newRecoveryCodes(scope, staffId))
  expect((await signIn(form(codes[5] as string), address(3))).status).toBe(401)
})

test('after five wrong tries the account is shut for a quarter of an hour, with the same answer', async () => {
  const { email, code } = await member()
  const answers = new Set<string>()
  const shape = async (response: Response) => `${response.status} ${await response.text()}`
  for (let i = 0; i < 5; i += 1) {
    const form = { email, password: 'wrong', code: '123456' }
    answers.add(await shape(await signIn(form, address(10 + i))))
  }
  const right = () => ({ email, password: PASSWORD, code: code() })
  answers.add(await shape(await signIn(right(), address(20))))
  for (let i = 0; i < 8; i += 1) {
    const form = { email: 'nobody@clinic.example', password: 'wrong', code: '123456' }
    answers.add(await shape(await signIn(form, address(30 + i))))
  }
  expect(answers.size).toBe(1)
  clock.advance({ minutes: 14 })
  expect((await signIn(right(), address(21))).status).toBe(401)
  clock.advance({ minutes: 2 })
  expect((await signIn(right(), address(21))).status).toBe(303)
})

test('one address that tries many accounts is shut out; others are not', async () => {
  const { email, code } = await member()
  for (let i = 0; i < 41; i += 1) {
    const form = { email: `guess${i}@clinic.example`, password: 'wrong', code: '' }
    await signIn(form, address(50))
  }
  const form = () => ({ email, password: PASSWORD, code: code() })
  expect((await signIn(form(), address(50))).status).toBe(401)
  // What stands before the proxy's own entry is only what the other end claims.
  const claimed = { 'x-forwarded-for': '198.51.100.1, 192.0.2.50' }
  expect((await signIn(form(), claimed)).status).toBe(401)
  expect((await signIn(form(), address(51))).status).toBe(303)
})

test('tries are counted one by one, also at once, apart by clinic, and forgotten after the window', async () => {
  const limit = { tries: 5, windowMinutes: 10, blockMinutes: 5 }
  const attempt = (clinic = clinicId) =>
    inClinic(service, clinic, (scope) => countTry(scope, 'test', 'somebody', limit))
  const at = await Promise.all(Array.from({ length: 20 }, () => attempt()))
  expect(at.filter((one) => one.allowed)).toHaveLength(5)
  const other = await db.addClinic('limits')
  expect((await attempt(other)).allowed).toBe(true)
  clock.advance({ minutes: 4 })
  expect((await attempt()).allowed).toBe(false)
  clock.advance({ minutes: 1 })
  expect((await attempt()).allowed).toBe(true)
  await inClinic(service, clinicId, (scope) => forgetTries(scope, 'test', 'somebody'))
  for (let i = 0; i < 30; i += 1) {
    expect((await attempt()).allowed, String(i)).toBe(true)
    clock.advance({ minutes: 3 })
  }
})

test('an unknown address costs as long to refuse as a known one', async () => {
  const { email } = await member()
  const time = async (who: string, n: number) => {
    const began = performance.now()
    await signIn({ email: who, password: 'wrong', code: '1' }, address(n))
    return performance.now() - began
  }
  const known: number[] = []
  const unknown: number[] = []
  for (let i = 0; i < 12; i += 1) {
    known.push(await time(email, 100 + i))
    unknown.push(await time(`unknown${i}@clinic.example`, 120 + i))
  }
  const median = (list: number[]) => list.toSorted((a, b) => a - b)[list.length >> 1] as number
  // Without the dummy hash an unknown address answers several times faster.
  expect(median(unknown) / median(known)).toBeGreaterThan(0.5)
  expect(median(unknown) / median(known)).toBeLessThan(2)
})

test('a person who has left, and one without a password, cannot sign in', async () => {
  const gone = await member()
  await inClinic(service, clinicId, ({ tx, now }) =>
    tx.update(staff).set({ leftAt: now }).where(eq(staff.staffId, gone.staffId)),
  )
  const form = { email: gone.email, password: PASSWORD, code: gone.code() }
  expect((await signIn(form, address(200))).status).toBe(401)
  await inClinic(service, clinicId, (scope) =>
    addStaff(scope, { name: 'Bare', email: 'bare@clinic.example', role: 'owner' }),
  )
  for (const password of ['', 'nobody has this password']) {
    const bare = { email: 'bare@clinic.example', password, code: '' }
    expect((await signIn(bare, address(201))).status).toBe(401)
  }
})

test('an invitation lets one person in once, within three days', async () => {
  const invite = (email: string) =>
    inClinic(service, clinicId, (scope) => inviteStaff(scope, { name: 'Ada Fenn', email, role: 'reception' }))
  const tokenOf = async (email: string) => {
    const invited = await invite(email)
    if ('taken' in invited) throw new Error('taken')
    return invited.token
  }
  const token = await tokenOf('ada@clinic.example')
  const person = nobody()
  const opened = await person.get(`/staff/join/${token}`)
  const text = await opened.text()
  expect(opened.status).toBe(200)
  expect(text).toContain('Ada Fenn')
  const setup = /name="setup" value="([^"]+)"/.exec(text)?.[1] as string
  const secret = (/class="code">([A-Z2-7 ]+)</.exec(text)?.[1] ?? '').replaceAll(' ', '')
  const code = () => codeAt(decodeBase32(secret), stepOf(clock.now()))
  const weak = await person.post(`/staff/join/${token}`, { setup, password: 'password1234', code: code() })
  expect(weak.status).toBe(422)
  const wrong = await person.post(`/staff/join/${token}`, { setup, password: PASSWORD, code: '000000' })
  expect(wrong.status).toBe(422)
  const foreign = await person.post(`/staff/join/${token}`, {
    setup: 'AAAA',
    password: PASSWORD,
    code: code(),
  })
  expect(foreign.status).toBe(422)
  expect(person.cookie).toBe('')
  const race = await Promise.all(
    [person, nobody(), nobody()].map((one) =>
      one.post(`/staff/join/${token}`, { setup, password: PASSWORD, code: code() }),
    ),
  )
  const won = race.filter((response) => response.status === 200)
  expect(won).toHaveLength(1)
  expect((await won[0]?.text())?.match(/class="code"/g)).toHaveLength(10)
  expect(race.filter((response) => response.status === 410)).toHaveLength(2)
  expect((await nobody().get(`/staff/join/${token}`)).status).toBe(410)
  expect('taken' in (await invite('ADA@clinic.example'))).toBe(true)

  const late = await tokenOf('late@clinic.example')
  clock.advance({ hours: 71 })
  expect((await nobody().get(`/staff/join/${late}`)).status).toBe(200)
  clock.advance({ hours: 1 })
  expect((await nobody().get(`/staff/join/${late}`)).status).toBe(410)
  expect((await nobody().post(`/staff/join/${late}`, { setup, password: PASSWORD, code: '1' })).status).toBe(
    410,
  )

  const first = await tokenOf('twice@clinic.example')
  const second = await tokenOf('twice@clinic.example')
  expect((await nobody().get(`/staff/join/${first}`)).status).toBe(410)
  const other = await db.addClinic('joining')
  const secretOf = readInvitationToken(second)?.secret ?? ''
  expect((await nobody().get(`/staff/join/${other}.${secretOf}`)).status).toBe(410)
  const elsewhere = await inClinic(service, other, (scope) => acceptInvitation(scope, secretOf))
  expect(elsewhere).toBeUndefined()
})

test('no secret is kept as it is given: tokens, codes and passwords are hashes in the tables', async () => {
  const { email, secret, code } = await member()
  const person = nobody()
  await signIn({ email, password: PASSWORD, code: code() }, address(210), person)
  const token = person.cookie.split('.').at(-1) as string
  expect(token.length).toBeGreaterThan(40)
  const tables = await db.owner<{ name: string }[]>`
    select table_name as name from information_schema.tables where table_schema = 'public' and table_type = 'BASE TABLE'`
  for (const { name } of tables) {
    const rows = await db.owner`select row_to_json(t)::text as row from ${db.owner(name)} t`
    const all = rows.map((row) => row.row).join('\n')
    const hex = (text: string) => Buffer.from(text).toString('hex')
    for (const text of [token, secret, PASSWORD]) {
      expect(all.includes(text), name).toBe(false)
      expect(all.includes(hex(text)), name).toBe(false)
    }
  }
})

test('every coming in, and every refusal, is in the audit without a name or address', async () => {
  const rows = await inClinic(service, clinicId, ({ tx }) => tx.select().from(audit))
  const actions = new Set(rows.map((row) => row.action))
  for (const action of ['sign in', 'refuse sign-in', 'accept invitation', 'invite'])
    expect(actions).toContain(action)
  expect(JSON.stringify(rows)).not.toMatch(/@clinic\.example|192\.0\.2|Member|Ada Fenn/)
  expect((await inClinic(service, clinicId, verifyAudit)).broken).toBeNull()
})

test('where several clinics are here, the sign-in page asks which, and a wrong one says no more', async () => {
  const { email, code } = await member()
  const page = await (await nobody().get('/staff/sign-in')).text()
  expect(page).toContain('short name')
  expect(page).not.toContain('Brackwater')
  const form = { email, password: PASSWORD, code: code() }
  expect((await signIn({ ...form, clinic: 'nowhere' }, address(220))).status).toBe(401)
  expect((await signIn({ ...form, clinic: 'limits' }, address(220))).status).toBe(401)
  expect((await signIn({ ...form, clinic: 'brackwater' }, address(220))).status).toBe(303)
})
