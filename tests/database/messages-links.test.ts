import { createHash } from 'node:crypto'
import { eq } from 'drizzle-orm'
import type { Temporal } from 'temporal-polyfill'
import { beforeEach, expect, test } from 'vitest'
import {
  createLink,
  FACT_TRIES,
  giveFact,
  hasPass,
  type OpenLink,
  openLink,
  revokeLinks,
} from '../../src/access/links.ts'
import { audit, link } from '../../src/database/schema.ts'
import { inClinic, type Scope } from '../../src/database/service.ts'
import { openQuestion, withdrawQuestions } from '../../src/messages/store.ts'
import { testDatabase } from '../support/database.ts'
import { addPatient, setPatient } from './messages-fixtures.ts'

const { service, owner, clock, addClinic } = await testDatabase('2026-03-02T12:00:00Z')

let clinicId: string
let other: string
let clinics = 0
beforeEach(async () => {
  clinics += 1
  clinicId = await addClinic(`links-${clinics}`)
  other = await addClinic(`others-${clinics}`)
})
const within = <T>(work: (scope: Scope) => Promise<T>) => inClinic(service, clinicId, work)

interface Made {
  text: string
  patientId: string
  questionId: string
  mobile: string
}

async function makeLink(
  given: { hours?: number; birthDate?: string | null; email?: string; mobile?: string } = {},
): Promise<Made> {
  return await within(async (scope) => {
    const to = await addPatient(scope, given)
    const expiresAt: Temporal.Instant = scope.now.add({ hours: given.hours ?? 24 })
    const questionId = await openQuestion(scope, {
      patientId: to.patientId,
      kind: 'dose',
      day: '2026-03-02',
      askedAt: scope.now,
      closesAt: expiresAt,
    })
    const url = await createLink(scope, {
      patientId: to.patientId,
      purpose: 'question',
      questionId,
      contact: to.mobile as string,
      expiresAt,
    })
    expect(url.startsWith('http://127.0.0.1:4180/p/')).toBe(true)
    const text = url.slice('http://127.0.0.1:4180/p/'.length)
    return { text, patientId: to.patientId, questionId, mobile: to.mobile as string }
  })
}

async function opened(text: string): Promise<OpenLink> {
  const result = await openLink(service, text)
  if ('gone' in result) throw new Error(`It is gone: ${result.gone}`)
  return result.link
}

test('the token is 128 random bits, and the database holds its hash and nothing else of it', async () => {
  const { text } = await makeLink()
  const token = text.split('.')[1] as string
  expect(Buffer.from(token, 'base64url').length).toBe(16)
  const rows = await owner`select t.* from link t`
  const dump = JSON.stringify(rows, (_, value) => (Buffer.isBuffer(value) ? value.toString('hex') : value))
  expect(dump).not.toContain(token)
  expect(dump).not.toContain(Buffer.from(token, 'base64url').toString('hex'))
  const [row] = await within(({ tx }) => tx.select().from(link))
  expect(row?.linkHash.equals(createHash('sha256').update(token).digest())).toBe(true)
})

test('the address holds the clinic and the token, nothing of the patient', async () => {
  const { text, patientId, mobile } = await makeLink()
  expect(text).toMatch(new RegExp(`^links-${clinics}\\.[A-Za-z0-9_-]{22}$`))
  for (const personal of [patientId, mobile, 'Ada', '1941']) expect(text).not.toContain(personal)
})

test('two links of one patient are unlike', async () => {
  expect((await makeLink()).text).not.toBe((await makeLink()).text)
})

test('a link opens one question of one patient', async () => {
  const { text, patientId, questionId } = await makeLink()
  expect(await openLink(service, text)).toMatchObject({
    clinicId,
    link: { patientId, questionId, purpose: 'question', fact: 'needed' },
  })
})

test('what is no link opens nothing', async () => {
  const { text } = await makeLink()
  const [slug, token] = text.split('.') as [string, string]
  const flipped = `${token.slice(0, -1)}${token.endsWith('A') ? 'Q' : 'A'}`
  for (const bad of [
    '',
    '.',
    slug,
    token,
    `${slug}.`,
    `.${token}`,
    `${slug}.${flipped}`,
    `${slug}.${token}A`,
  ]) {
    expect(await openLink(service, bad), bad).toEqual({ gone: 'unknown' })
  }
  for (const bad of [
    `${slug}.${token}\n`,
    `nowhere.${token}`,
    `${slug.toUpperCase()}.${token}`,
    `${slug}/${token}`,
  ]) {
    expect(await openLink(service, bad), bad).toEqual({ gone: 'unknown' })
  }
})

test("a token under another clinic's name opens nothing", async () => {
  const { text } = await makeLink()
  expect(other).not.toBe(clinicId)
  expect(await openLink(service, `others-${clinics}.${text.split('.')[1]}`)).toEqual({ gone: 'unknown' })
})

test('a link ends at its time, to the instant', async () => {
  const { text } = await makeLink({ hours: 1 })
  clock.advance({ minutes: 59, seconds: 59 })
  expect(await openLink(service, text)).toHaveProperty('link')
  clock.advance({ seconds: 1 })
  expect(await openLink(service, text)).toEqual({ gone: 'expired' })
})

test('a link dies with its question, and when it is revoked by patient, question or number', async () => {
  const withdrawn = await makeLink()
  await within((scope) => withdrawQuestions(scope, { patientId: withdrawn.patientId }))
  expect(await openLink(service, withdrawn.text)).toEqual({ gone: 'withdrawn' })

  const byPatient = await makeLink()
  const byQuestion = await makeLink()
  const byNumber = await makeLink({ mobile: '+447700900888' })
  const kept = await makeLink()
  await within(async (scope) => {
    expect(await revokeLinks(scope, { patientId: byPatient.patientId })).toBe(1)
    expect(await revokeLinks(scope, { questionId: byQuestion.questionId })).toBe(1)
    expect(await revokeLinks(scope, { contactBlind: scope.vault.blind(byNumber.mobile) })).toBe(1)
    await expect(revokeLinks(scope, {})).rejects.toThrow('Name whose')
  })
  for (const { text } of [byPatient, byQuestion, byNumber])
    expect(await openLink(service, text)).toEqual({ gone: 'revoked' })
  expect(await openLink(service, kept.text)).toHaveProperty('link')
})

test("a link is worth nothing once the patient's number has changed or is somebody else's", async () => {
  const changed = await makeLink()
  const wrong = await makeLink()
  await within(async (scope) => {
    await setPatient(scope, changed.patientId, { mobileBlind: scope.vault.blind('+447700900998') })
    await setPatient(scope, wrong.patientId, { numberWrongAt: scope.now })
  })
  expect(await openLink(service, changed.text)).toEqual({ gone: 'replaced' })
  expect(await openLink(service, wrong.text)).toEqual({ gone: 'replaced' })
})

test('the right birth year gives a pass for this reader, this link and half an hour', async () => {
  const { text } = await makeLink()
  const link = await opened(text)
  const answer = await within((scope) => giveFact(scope, link, ' 1941 '))
  if (!answer.given) throw new Error('The right year was refused.')
  expect(await within(async (scope) => hasPass(scope, link.hash, answer.pass))).toBe(true)
  const second = await opened((await makeLink()).text)
  expect(await within(async (scope) => hasPass(scope, second.hash, answer.pass))).toBe(false)
  expect(await inClinic(service, other, async (scope) => hasPass(scope, link.hash, answer.pass))).toBe(false)
  const [until, mark] = answer.pass.split('.')
  for (const forged of [
    undefined,
    '',
    'x',
    `${Number(until) + 1}.${mark}`,
    `${until}.`,
    `${until}.${mark?.slice(1)}`,
  ])
    expect(await within(async (scope) => hasPass(scope, link.hash, forged))).toBe(false)
  clock.advance({ minutes: 30 })
  expect(await within(async (scope) => hasPass(scope, link.hash, answer.pass))).toBe(false)
})

test('a forwarded link still asks the fact of the next reader', async () => {
  const { text } = await makeLink()
  const link = await opened(text)
  expect((await within((scope) => giveFact(scope, link, 1941))).given).toBe(true)
  expect((await opened(text)).fact).toBe('needed')
  expect(await within(async (scope) => hasPass(scope, link.hash, undefined))).toBe(false)
})

test('five wrong years lock the fact; a right one before that clears the count', async () => {
  const { text } = await makeLink()
  const link = await opened(text)
  const give = (year: string) => within((scope) => giveFact(scope, link, year))
  for (let left = FACT_TRIES - 1; left > 0; left -= 1)
    expect(await give('1950')).toEqual({ given: false, why: 'wrong', triesLeft: left })
  expect((await give('1941')).given).toBe(true)
  for (let i = 1; i < FACT_TRIES; i += 1) await give('')
  expect(await give('1942')).toEqual({ given: false, why: 'locked', triesLeft: 0 })
  expect(await give('1941')).toEqual({ given: false, why: 'locked', triesLeft: 0 })
  expect((await opened(text)).fact).toBe('locked')
})

test('tries at once are counted one by one', async () => {
  const link = await opened((await makeLink()).text)
  const answers = await Promise.all(
    Array.from({ length: 20 }, (_, i) => within((scope) => giveFact(scope, link, 1900 + i))),
  )
  const judged = answers.filter((answer) => !answer.given && (answer.why === 'wrong' || answer.triesLeft > 0))
  expect(judged.length).toBe(FACT_TRIES - 1)
  const [row] = await within(({ tx }) => tx.select().from(audit).where(eq(audit.action, 'fail fact')))
  expect(row).toBeDefined()
  const counted = await within(({ tx }) => tx.select().from(audit).where(eq(audit.action, 'fail fact')))
  expect(counted.length).toBe(FACT_TRIES)
})

test('where no birth date is known, nothing personal opens', async () => {
  const link = await opened((await makeLink({ birthDate: null })).text)
  expect(link.fact).toBe('none-known')
  expect(await within((scope) => giveFact(scope, link, '1941'))).toMatchObject({
    given: false,
    why: 'none-known',
  })
})
