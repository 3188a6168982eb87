/** Patients' links on the real database: each page, each way out, and each way in which it can go wrong. */
import { beforeAll, describe, expect, test } from 'vitest'
import { revokeLinks } from '../../src/access/links.ts'
import { routesOf } from '../../src/access/route.ts'
import { inClinic } from '../../src/database/service.ts'
import { currentPlan, doseDayRows } from '../../src/softening/store.ts'
import { messagesOf, staffClinic } from '../support/clinic.ts'
import { testDatabase } from '../support/database.ts'
import { webTest } from '../support/web.ts'
import { at, book, linkIn, planFor, sendDue, telephone, wordsOf } from './patient-fixtures.ts'

// Monday.
const db = await testDatabase('2026-03-02T09:00:00Z')
const { service, clock, clinicId } = db
const { app } = webTest(service)
beforeAll(async () => {
  await staffClinic(service, clinicId)
})

const repliesTo = (patientId: string) =>
  inClinic(service, clinicId, async ({ tx, vault }) => {
    const rows = await tx.query.reply.findMany({
      where: (table, { eq }) => eq(table.patientId, patientId),
      orderBy: (table, { asc }) => [asc(table.receivedAt), asc(table.replyId)],
    })
    return rows.map((row) => ({ ...row, body: vault.open(row.bodySealed) }))
  })

const noted = (planId: string, day: string) =>
  inClinic(service, clinicId, async (scope) =>
    (await doseDayRows(scope, [planId])).filter((row) => row.day === day).map(({ ear, done }) => [ear, done]),
  )

/** Everything in the clinic's tables that a page could have changed, as one text. */
async function fingerprint(): Promise<string> {
  const tables = (await db.owner`select tablename from pg_tables where schemaname = 'public' order by 1`).map(
    (row) => row.tablename as string,
  )
  const rows = []
  for (const table of tables)
    rows.push(
      await db.owner.unsafe(
        `select '${table}', md5(coalesce(string_agg(t::text, '|' order by t::text), '')) from ${table} t`,
      ),
    )
  return JSON.stringify(rows)
}

/** A patient with a plan whose evening question of 8 March is open. */
async function doseLink(ref: string, more: Parameters<typeof book>[3] = {}) {
  await book(service, clinicId, ref, more)
  const { patient, visit } = await planFor(service, clinicId, ref)
  const plan = await inClinic(service, clinicId, (scope) => currentPlan(scope, visit.visitId))
  const text = await linkIn(service, clinicId, patient.patientId, 'dose-question', '2026-03-08')
  return { patient, visit, planId: plan?.planId as string, text, phone: telephone(app, text) }
}

describe('every route of a link', () => {
  test('is behind the link itself', () => {
    const own = routesOf(app).filter(({ path }) => path.startsWith('/p/'))
    expect(own.length).toBeGreaterThanOrEqual(5)
    for (const { gate } of own) expect(gate).toBe('patient-link')
    expect(own.filter(({ method }) => method === 'post').map(({ path }) => path)).toEqual(['/p/:link'])
  })

  test('changes nothing when it is opened, however often, also by HEAD', async () => {
    await book(service, clinicId, 'G1')
    const { patient } = await planFor(service, clinicId, 'G1')
    const links = await Promise.all(
      ['screening-invitation', 'plan-start', 'dose-question', 'dose-reminder', 'visit-reminder'].map((kind) =>
        linkIn(service, clinicId, patient.patientId, kind),
      ),
    )
    const before = await fingerprint()
    for (const text of links)
      for (const path of ['', '/words', '/stop', '/ears'])
        for (const method of ['GET', 'HEAD']) {
          const response = await app.request(`/p/${text}${path}`, { method })
          expect([200, 403, 410]).toContain(response.status)
          expect(response.headers.get('cache-control')).toBe('no-store')
          expect(response.headers.get('referrer-policy')).toBe('no-referrer')
        }
    expect(await fingerprint()).toBe(before)
  })

  test("says the same of an unknown, a broken, an expired, a revoked and another clinic's link", async () => {
    await db.addClinic('other-rooms')
    const { text, patient } = await doseLink('G2')
    const seen = async (address: string) => {
      const { status, html } = await telephone(app, address).get()
      expect(status).toBe(410)
      expect(html).not.toContain('Winifred')
      return wordsOf(html)
    }
    const unknown = await seen(`brackwater.${'A'.repeat(22)}`)
    expect(unknown).toContain('Brackwater Ear Rooms')
    expect(unknown).toContain('01632 960123')
    expect(unknown).toContain('999')
    expect(await seen('brackwater.short')).toBe(unknown)
    expect(await seen(`other-rooms.${text.split('.')[1]}`)).toBe(unknown)
    expect(await seen('nobody.AAAAAAAAAAAAAAAAAAAAAA')).not.toContain('Brackwater')
    await inClinic(service, clinicId, (scope) => revokeLinks(scope, { patientId: patient.patientId }))
    expect(await seen(text)).toBe(unknown)
    for (const path of ['/words', '/stop', '/ears'])
      expect((await app.request(`/p/${text}${path}`)).status).toBe(410)
    const posted = await telephone(app, text).post({ do: 'words', words: 'hello' })
    expect(posted.status).toBe(410)
    expect(await repliesTo(patient.patientId)).toEqual([])
  })

  test('takes no form from another site', async () => {
    const { phone, patient } = await doseLink('G3')
    await phone.get()
    expect((await phone.post({ do: 'doses', done: '2' }, { 'sec-fetch-site': 'cross-site' })).status).toBe(
      403,
    )
    expect(await repliesTo(patient.patientId)).toEqual([])
    // An old telephone says nothing of where a form comes from.
    expect((await phone.post({ do: 'doses', done: '2' }, { 'sec-fetch-site': 'same-origin' })).status).toBe(
      200,
    )
  })

  test('shows the caution, the numbers, a text relay, and the ways out, and never that all is well', async () => {
    const { phone } = await doseLink('G4')
    for (const path of ['', '/words', '/stop', '/ears']) {
      const { html } = await phone.get(path)
      const words = wordsOf(html)
      expect(words).toMatch(/not an emergency service/)
      for (const number of ['999', '111', '01632 960123', '18001 01632 960123'])
        expect(words).toContain(number)
      expect(words).toMatch(/text relay/i)
      expect(html).toContain('/words"')
      expect(html).toContain('/stop"')
      expect(words).not.toMatch(/all is well|nothing to worry|you are fine|perfectly normal|we are watching/i)
      expect(html).not.toMatch(/<script/)
      expect(html).not.toMatch(/\sstyle="/)
    }
  })
})

describe('the drops of a day', () => {
  test('two taps: the link, then a number; it says what was noted for which day, and how to mend it', async () => {
    const { phone, patient, planId } = await doseLink('D1')
    const { html, status } = await phone.get()
    expect(status).toBe(200)
    // Nobody has given a fact: no name, no ear, no oil, nothing said before.
    expect(html).not.toMatch(/Winifred|left|right|olive|Ottoline/i)
    expect(wordsOf(html)).toContain('Your drops on Sunday 8 March')
    expect([...html.matchAll(/<button name="done" value="(\d)"/g)].map((one) => one[1])).toEqual([
      '0',
      '1',
      '2',
    ])
    const answered = await phone.post({ do: 'doses', done: '2' })
    expect(answered.status).toBe(200)
    expect(wordsOf(answered.html)).toContain('We have noted drops twice for Sunday 8 March.')
    expect(await noted(planId, '2026-03-08')).toEqual([
      ['left', 2],
      ['right', 2],
    ])
    // A second answer takes the place of the first.
    const mended = await phone.post({ do: 'doses', done: '0' })
    expect(wordsOf(mended.html)).toContain('We have noted no drops for Sunday 8 March.')
    expect(await noted(planId, '2026-03-08')).toEqual([
      ['left', 0],
      ['right', 0],
    ])
    const replies = await repliesTo(patient.patientId)
    expect(replies.map(({ body, urgency, transport }) => [body, urgency, transport])).toEqual([
      ['Drops put in: 2 times.', 'none', 'link-doses'],
      ['Drops put in: 0 times.', 'none', 'link-doses'],
    ])
    expect(replies.every(({ questionId }) => questionId === replies[0]?.questionId)).toBe(true)
    // No text repeats what the page said already.
    expect(
      (await messagesOf(service, clinicId))
        .filter((one) => one.patientId === patient.patientId)
        .map((one) => one.kind),
    ).not.toContain('dose-thanks')
  })

  test('what was noted is shown again only to whoever gives the year', async () => {
    const { phone, text } = await doseLink('D2')
    await phone.get()
    await phone.post({ do: 'doses', done: '1' })
    const stranger = telephone(app, text)
    expect(wordsOf((await stranger.get()).html)).not.toContain('We have noted')
  })

  test('the same form sent twice is one reply', async () => {
    const { phone, patient } = await doseLink('D3')
    await phone.get()
    const form = 'AAAAAAAAAAAAAAAA'
    const [one, two] = await Promise.all([
      phone.post({ do: 'doses', done: '1', form }),
      phone.post({ do: 'doses', done: '1', form }),
    ])
    expect(one.status).toBe(200)
    expect(two.status).toBe(200)
    expect(wordsOf(two.html)).toContain('We have noted drops once')
    expect(await repliesTo(patient.patientId)).toHaveLength(1)
    // Another number under the same id is another answer, and the page says what stands now.
    expect(wordsOf((await phone.post({ do: 'doses', done: '2', form })).html)).toContain(
      'We have noted drops twice',
    )
    expect(await repliesTo(patient.patientId)).toHaveLength(2)
  })

  test('each ear for itself, where they differ', async () => {
    const { phone, planId } = await doseLink('D4')
    expect((await phone.get()).html).toContain('/ears"')
    const { html } = await phone.get('/ears')
    expect(html.match(/type="radio"/g)).toHaveLength(6)
    expect((await phone.post({ do: 'doses', left: '2' })).status).toBe(422)
    const done = await phone.post({ do: 'doses', left: '2', right: '0' })
    expect(wordsOf(done.html)).toContain(
      'We have noted drops twice in the left ear and no drops in the right ear for Sunday 8 March.',
    )
    expect(await noted(planId, '2026-03-08')).toEqual([
      ['left', 2],
      ['right', 0],
    ])
  })

  test('a plan for one ear does not ask about two', async () => {
    const { phone } = await doseLink('D5', { ears: 'right' })
    expect((await phone.get()).html).not.toContain('/ears"')
  })

  test('words beside a number are read, and the number stands whatever they say', async () => {
    const { phone, planId, patient } = await doseLink('D6')
    await phone.get()
    const { html } = await phone.post({
      do: 'doses',
      done: '2',
      words: 'I forgot yesterday, and today my ear is bleeding',
    })
    const words = wordsOf(html)
    expect(words).toContain('We have noted drops twice')
    // The safety net of the text, on the page as well.
    expect(words).toContain('Use no more ear drops until we reply.')
    expect(words).toContain('call 111')
    expect(await noted(planId, '2026-03-08')).toEqual([
      ['left', 2],
      ['right', 2],
    ])
    const [got] = await repliesTo(patient.patientId)
    expect(got?.urgency).toBe('today')
    const text = (await messagesOf(service, clinicId)).find(
      (one) => one.patientId === patient.patientId && one.kind === 'safety-today',
    )
    expect(words.replace(/ +/g, ' ')).toContain(
      text?.body.replace('Brackwater Ear Rooms: ', '').split('. ')[1] ?? 'missing',
    )
  })

  test('words alone are taken too; nothing at all is asked for again', async () => {
    const { phone, patient } = await doseLink('D7')
    await phone.get()
    const empty = await phone.post({ do: 'doses', done: '' })
    expect(empty.status).toBe(422)
    expect(empty.html).toContain('role="alert"')
    expect((await phone.post({ do: 'doses', done: '7' })).status).toBe(422)
    expect(await repliesTo(patient.patientId)).toEqual([])
    const said = await phone.post({ do: 'doses', done: '', words: 'The bottle is empty' })
    expect(said.status).toBe(200)
    expect((await repliesTo(patient.patientId)).map(({ body, transport }) => [body, transport])).toEqual([
      ['The bottle is empty', 'link'],
    ])
  })

  test('a late answer counts for its own day, and the page says which', async () => {
    const { phone, planId } = await doseLink('D8')
    // The morning after; the question of the 8th closes at noon and a half.
    clock.set(at('2026-03-09T09:30:00Z'))
    await sendDue(service)
    const { html } = await phone.get()
    expect(wordsOf(html)).toContain('This is about Sunday 8 March. It is not about today.')
    const done = await phone.post({ do: 'doses', done: '1' })
    expect(wordsOf(done.html)).toContain('We have noted drops once for Sunday 8 March.')
    expect(await noted(planId, '2026-03-08')).toEqual([
      ['left', 1],
      ['right', 1],
    ])
    expect(await noted(planId, '2026-03-09')).toEqual([
      ['left', null],
      ['right', null],
    ])
    clock.set(at('2026-03-09T13:00:00Z'))
    expect((await phone.get()).status).toBe(410)
  })
})
