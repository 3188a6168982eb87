/** The queue and one concern, from the claim to the close, through the pages on the real database. */
import { eq } from 'drizzle-orm'
import { expect, test } from 'vitest'
import { procedureRecordSchema } from '../../src/aftercare/record.ts'
import { checksOfVisit, setCheckMissed } from '../../src/aftercare/store.ts'
import { eventsOf, getConcern, giveNotice } from '../../src/concerns/store.ts'
import { audit, correction } from '../../src/database/schema.ts'
import { inClinic } from '../../src/database/service.ts'
import { deskItems } from '../../src/desk/store.ts'
import { recordProcedure } from '../../src/flow/aftercare.ts'
import { raiseConcern } from '../../src/flow/concerns.ts'
import { inFlow } from '../../src/flow/context.ts'
import { currentPlan } from '../../src/softening/store.ts'
import { setStopped } from '../../src/visits/store.ts'
import { messagesOf, staffClinic } from '../support/clinic.ts'
import { testDatabase } from '../support/database.ts'
import { webTest } from '../support/web.ts'
import { answerHistory, book, hidden, writes } from './clinician-fixtures.ts'

const { service, clock, clinicId } = await testDatabase('2026-03-02T09:00:00Z')
await staffClinic(service, clinicId)
const web = webTest(service)
const first = await web.staff('clinician', clinicId, 'Ada Thornbury')
const second = await web.staff('clinician', clinicId, 'Rhys Calder')
const owner = await web.staff('owner', clinicId, 'Orla Venn')
const desk = await web.staff('reception', clinicId)
const maud = await book(service, clinicId, { name: 'Maud Pellow', start: '2026-03-12T10:00' })
await answerHistory(service, clinicId, maud.reference)

const concernOf = (id: string) => inFlow(service, clinicId, (flow) => getConcern(flow, id))
const eventsFor = (id: string) => inFlow(service, clinicId, (flow) => eventsOf(flow, id))
const viewsOf = (patientId: string) =>
  inClinic(service, clinicId, async ({ tx }) =>
    (await tx.select().from(audit).where(eq(audit.patientId, patientId))).filter(
      ({ action }) => action === 'view patient',
    ),
  )
const url = (id: string) => `/clinician/concerns/${id}`
const open = async (person: typeof first, id: string) => (await person.get(url(id))).text()

test('the queue shows the words first and whole, marked, with the time left and who has it', async () => {
  const words = 'Since this morning I cant hear anything out of my right ear. It came on all at once.'
  const { urgency, concernId } = await writes(service, clinicId, maud.mobile, words)
  expect(urgency).toBe('today')
  const page = await (await first.get('/clinician')).text()
  const item = page.slice(page.indexOf(`id="concern-${concernId}"`))
  const quote = item.slice(item.indexOf('<blockquote'), item.indexOf('</blockquote>'))
  expect(quote).toContain('<mark>')
  expect(quote.replace(/<sup>.*?<\/sup>/gs, '').replace(/<[^>]+>/g, '')).toBe(words)
  expect(item.indexOf('<blockquote')).toBeLessThan(item.indexOf('Maud Pellow'))
  expect(item).toMatch(/by \d{1,2}:\d\d[ap]m today, in \d/)
  expect(item).toContain('Nobody has it yet.')
  expect(page).not.toContain('OVERDUE')
  const one = await open(first, concernId)
  expect(one).toContain('NICE NG98 1.1.2')
  expect(one).toContain('a clinician the same day')
  expect((await viewsOf(maud.patient.patientId)).length).toBeGreaterThan(0)
})

test('a page that renews itself is one view of a patient in the audit', async () => {
  const before = (await viewsOf(maud.patient.patientId)).length
  await first.get('/clinician')
  await first.get('/clinician')
  expect((await viewsOf(maud.patient.patientId)).length).toBe(before)
  clock.advance({ minutes: 11 })
  await first.get('/clinician')
  expect((await viewsOf(maud.patient.patientId)).length).toBe(before + 1)
})

test('reception sees no concern; an owner sees them and cannot act', async () => {
  const { concernId } = await writes(service, clinicId, maud.mobile, 'pain is 8 out of 10')
  expect((await desk.get('/clinician')).status).toBe(403)
  expect((await desk.get(url(concernId))).status).toBe(403)
  const page = await open(owner, concernId)
  expect(page).not.toContain('/claim"')
  expect((await owner.post(`${url(concernId)}/claim`)).status).toBe(403)
  expect((await concernOf(concernId))?.status).toBe('open')
})

test('of two clinicians who take one concern at once, one has it and the other is told who', async () => {
  for (let round = 0; round < 5; round += 1) {
    const { concernId } = await writes(service, clinicId, maud.mobile, `yellow pus again, round ${round}`)
    const answers = await Promise.all([
      first.post(`${url(concernId)}/claim`),
      second.post(`${url(concernId)}/claim`),
    ])
    expect(answers.map(({ status }) => status).sort()).toEqual([303, 409])
    const winner = answers[0]?.status === 303 ? first : second
    const loser = answers[0]?.status === 303 ? answers[1] : answers[0]
    expect((await concernOf(concernId))?.claimedBy).toBe(winner.staffId)
    expect(await loser?.text()).toContain(
      `${winner === first ? 'Ada Thornbury' : 'Rhys Calder'} has this concern: nothing was done.`,
    )
    expect((await eventsFor(concernId)).filter(({ kind }) => kind === 'claimed').length).toBe(1)
    // The same button twice is no conflict.
    expect((await winner.post(`${url(concernId)}/claim`)).status).toBe(303)
  }
})

test('a page from before a change acts on nothing and keeps what was typed', async () => {
  const { concernId } = await writes(service, clinicId, maud.mobile, 'clear fluid is leaking from my ear')
  await first.post(`${url(concernId)}/claim`)
  const old = hidden(await open(first, concernId), 'seen')
  await writes(service, clinicId, maud.mobile, 'and now my face droops on the left')
  const refused = await first.post(`${url(concernId)}/close`, {
    seen: old,
    outcome: 'advised',
    note: 'keep it dry, said by text',
  })
  expect(refused.status).toBe(409)
  const page = await refused.text()
  expect(page).toContain('has changed since you opened it')
  expect(page).toContain('keep it dry, said by text')
  expect((await concernOf(concernId))?.status).toBe('claimed')
  const fresh = hidden(page, 'seen')
  expect(
    (await first.post(`${url(concernId)}/close`, { seen: fresh, outcome: 'advised', note: '' })).status,
  ).toBe(303)
  expect(await concernOf(concernId)).toMatchObject({ status: 'closed', outcome: 'advised' })
})

test('only the holder may write, note, close or give back', async () => {
  const { concernId } = await writes(service, clinicId, maud.mobile, 'my ear is bleeding a bit')
  await first.post(`${url(concernId)}/claim`)
  const seen = hidden(await open(first, concernId), 'seen')
  for (const [path, form] of [
    ['write', { seen, words: 'Come in', sure: 'send' }],
    ['note', { seen, note: 'rang, no answer' }],
    ['close', { seen, outcome: 'advised' }],
    ['release', {}],
  ] as const) {
    const answer = await second.post(`${url(concernId)}/${path}`, form)
    expect(answer.status, path).toBe(409)
    expect(await answer.text(), path).toContain('Ada Thornbury has this concern')
  }
  expect((await messagesOf(service, clinicId)).some(({ body }) => body.includes('Come in'))).toBe(false)
  expect((await first.post(`${url(concernId)}/release`)).status).toBe(303)
  expect((await concernOf(concernId))?.status).toBe('open')
})

test('the text to the patient is shown before it goes, goes once, and goes after STOP', async () => {
  await inClinic(service, clinicId, (scope) => setStopped(scope, maud.patient.patientId, scope.now))
  const { concernId } = await writes(service, clinicId, maud.mobile, 'the pain is an 8 today')
  await first.post(`${url(concernId)}/claim`)
  const page = await open(first, concernId)
  const seen = hidden(page, 'seen')
  const words = 'Please come in at 3 today. Bring your tablets list.'
  const shown = await (await first.post(`${url(concernId)}/write`, { seen, words })).text()
  expect(shown).toContain('Brackwater Ear Rooms, from Ada Thornbury: Please come in at 3 today.')
  expect(shown).toContain('+447700900')
  expect(shown).toContain('has stopped our messages')
  const mine = async () =>
    (await messagesOf(service, clinicId)).filter(
      ({ kind, body }) => kind === 'clinician-reply' && body.includes('3 today'),
    )
  expect(await mine()).toEqual([])
  const sending = { seen, words, sure: 'send' }
  const both = await Promise.all([
    first.post(`${url(concernId)}/write`, sending),
    first.post(`${url(concernId)}/write`, sending),
  ])
  expect(both.map(({ status }) => status)).toEqual([303, 303])
  expect(await mine()).toHaveLength(1)
  // Other words from the same old page are not taken for the ones that went.
  const other = await first.post(`${url(concernId)}/write`, { ...sending, words: 'Go home at 3 today' })
  expect(other.status).toBe(409)
  expect(await other.text()).toContain('Go home at 3 today')
  expect(await mine()).toHaveLength(1)
  expect((await eventsFor(concernId)).at(-1)).toMatchObject({ kind: 'wrote to the patient', note: words })
  await inClinic(service, clinicId, (scope) => setStopped(scope, maud.patient.patientId, null))
})

test('an outcome that says nothing asks for a note, and a visit outcome reaches the front desk', async () => {
  const { concernId } = await writes(service, clinicId, maud.mobile, 'pain got worse again overnight')
  await first.post(`${url(concernId)}/claim`)
  const seen = hidden(await open(first, concernId), 'seen')
  const none = await first.post(`${url(concernId)}/close`, { seen, note: 'x' })
  expect(none.status).toBe(422)
  expect(await none.text()).toContain('Say what came of it.')
  const bare = await first.post(`${url(concernId)}/close`, { seen, outcome: 'not-reached', note: '' })
  expect(bare.status).toBe(422)
  expect((await concernOf(concernId))?.status).toBe('claimed')
  await first.post(`${url(concernId)}/close`, { seen, outcome: 'visit-today', note: 'told by text' })
  expect((await concernOf(concernId))?.status).toBe('closed')
  const items = await inFlow(service, clinicId, (flow) => deskItems(flow))
  expect(items.some(({ kind, note }) => kind === 'needs-visit' && note.includes('seen here today'))).toBe(
    true,
  )
})

test('drops are paused by an urgent reply and go on when a clinician allows them', async () => {
  const wilf = await book(service, clinicId, { name: 'Wilf Garrick', start: '2026-03-10T10:00' })
  await answerHistory(service, clinicId, wilf.reference)
  const plan = () => inFlow(service, clinicId, (flow) => currentPlan(flow, wilf.visit.visitId))
  expect((await plan())?.status).toBe('active')
  const { concernId } = await writes(service, clinicId, wilf.mobile, 'green pus coming out of the ear')
  expect((await plan())?.status).toBe('withheld')
  const page = await open(first, concernId)
  const form = { plan: hidden(page, 'plan'), concern: concernId, agent: 'olive-oil', why: 'Seen: skin only' }
  expect((await desk.post(`/clinician/visits/${wilf.visit.visitId}/drops`, form)).status).toBe(403)
  expect((await first.post(`/clinician/visits/${wilf.visit.visitId}/drops`, form)).status).toBe(303)
  expect(await plan()).toMatchObject({ status: 'active', plan: { agent: 'olive-oil' } })
  expect((await eventsFor(concernId)).at(-1)).toMatchObject({ kind: 'allowed olive oil' })
  // The old page again: the plan is another one now.
  expect((await second.post(`/clinician/visits/${wilf.visit.visitId}/drops`, form)).status).toBe(409)
  const now = { ...form, plan: hidden(await open(first, concernId), 'plan'), agent: 'none', why: 'A hole' }
  expect((await first.post(`/clinician/visits/${wilf.visit.visitId}/drops`, now)).status).toBe(303)
  expect((await plan())?.plan.fit).toBe('withheld')
})

test('"read wrongly" is kept at one press; it never lowers or closes, and raises what was missed', async () => {
  const low = await writes(service, clinicId, maud.mobile, 'pain 9 out of 10')
  const before = await concernOf(low.concernId)
  const answer = await first.post(`/clinician/replies/${low.replyId}/wrong`, {
    right: 'none',
    note: 'a joke',
    back: url(low.concernId),
  })
  expect(answer.headers.get('location')).toBe(`${url(low.concernId)}?done=corrected`)
  expect(await concernOf(low.concernId)).toEqual(before)
  const harmless = await writes(service, clinicId, maud.mobile, 'thank you')
  expect(harmless).toMatchObject({ urgency: 'none', concernId: '' })
  await first.post(`/clinician/replies/${harmless.replyId}/wrong`, {
    right: 'today',
    back: 'https://elsewhere.example',
  })
  const raised = await inFlow(service, clinicId, async ({ tx }) =>
    tx.query.concern.findMany({ where: (table, q) => q.eq(table.replyId, harmless.replyId) }),
  )
  expect(raised).toMatchObject([{ urgency: 'today', status: 'open' }])
  const rows = await inClinic(service, clinicId, ({ tx }) => tx.select().from(correction))
  expect(rows.map(({ wasUrgency, rightUrgency }) => [wasUrgency, rightUrgency])).toEqual([
    ['today', 'none'],
    ['none', 'today'],
  ])
  expect((await desk.post(`/clinician/replies/${low.replyId}/wrong`, { right: 'none' })).status).toBe(403)
})

test('the corrections leave as lines of the corpus, without names or contacts, after signing in again', async () => {
  const { replyId } = await writes(
    service,
    clinicId,
    maud.mobile,
    "its maud pellow on 07700 900123, Ada said to text, maud@mail.example, i'm fine",
  )
  await first.post(`/clinician/replies/${replyId}/wrong`, {
    right: 'none',
    note: 'Maud is fine',
    back: '/clinician',
  })
  const justSignedIn = await web.staff('clinician', clinicId)
  const file = await justSignedIn.get('/clinician/corrections.jsonl')
  expect(file.status).toBe(200)
  const lines = (await file.text())
    .trim()
    .split('\n')
    .map((line) => JSON.parse(line))
  expect(lines).toHaveLength(3)
  for (const line of lines) {
    expect(Object.keys(line)).toEqual(expect.arrayContaining(['id', 'context', 'text', 'expect', 'note']))
    expect(JSON.stringify(line)).not.toMatch(/maud|pellow|thornbury|\bada\b|07700|@mail/i)
  }
  expect(lines.at(-1)).toMatchObject({
    text: "its [name] [name] on [number], [name] said to text, [address], i'm fine",
    expect: { urgency: 'none' },
    note: '[name] is fine',
  })
  expect((await desk.get('/clinician/corrections.jsonl')).status).toBe(403)
  clock.advance({ minutes: 10 })
  const stale = await justSignedIn.get('/clinician/corrections.jsonl')
  expect(stale.headers.get('location')).toContain('/staff/again?next=')
})

test('a reply from an unknown number is shown with the number, and can be answered', async () => {
  const { concernId } = await writes(service, clinicId, '07700 900987', 'is this the ear place? bit sore')
  await first.post(`${url(concernId)}/claim`)
  const page = await open(first, concernId)
  expect(page).toContain('+447700900987')
  const form = { seen: hidden(page, 'seen'), words: 'Who is this?', sure: 'send' }
  expect((await first.post(`${url(concernId)}/write`, form)).status).toBe(303)
  expect(
    (await messagesOf(service, clinicId)).filter(({ body }) => body.includes('Who is this?')),
  ).toMatchObject([{ patientId: null, kind: 'clinician-reply' }])
})

test('what a clinician was told stands on their page until they have seen or taken it', async () => {
  const one = await writes(service, clinicId, maud.mobile, 'dizzy and my ear is running')
  const two = await writes(service, clinicId, maud.mobile, 'pain 7 out of 10')
  for (const { concernId } of [one, two])
    await inClinic(service, clinicId, (scope) =>
      giveNotice(scope, { staffIds: [second.staffId], concernId, kind: 'near', dedupe: `test/${concernId}` }),
    )
  const told = async () =>
    (await (await second.get('/clinician')).text()).match(/A concern is near its time/g)?.length ?? 0
  expect(await told()).toBe(2)
  // Looking is not seeing: a page that renews itself must not swallow a notice.
  await second.get(url(one.concernId))
  expect(await told()).toBe(2)
  await second.post(`${url(one.concernId)}/claim`)
  expect(await told()).toBe(1)
  expect((await second.post('/clinician/notices')).status).toBe(303)
  expect(await told()).toBe(0)
})

test('a silence after a hard removal is shown with its checks', async () => {
  const ebba = await book(service, clinicId, { name: 'Ebba Strand', start: '2026-03-02T08:00' })
  const { concernId } = await inFlow(service, clinicId, async (flow) => {
    const hard = {
      ear: 'left',
      found: ['hard-wax'],
      softness: 'hard-and-dry',
      methods: ['instrument'],
      result: 'part-cleared',
      canal: ['grazed'],
      drum: 'not-seen',
      felt: ['pain'],
      advice: '',
    } as const
    await recordProcedure(
      flow,
      ebba.visit.visitId,
      procedureRecordSchema.parse({ ears: [hard] }),
      first.staffId,
    )
    const [check] = await checksOfVisit(flow, ebba.visit.visitId)
    await setCheckMissed(flow, check?.checkId ?? '')
    return await raiseConcern(flow, {
      patient: ebba.patient,
      visitId: ebba.visit.visitId,
      source: 'silence',
      urgency: 'today',
      score: 2,
      reason: 'Two checks without an answer.',
      safetyNet: false,
    })
  })
  const page = await open(first, concernId)
  expect(page).toContain('wrote nothing here: this comes from checks without an answer')
  expect(page).toContain('NO ANSWER')
  expect(page).not.toContain('Read wrongly?')
})

test('past its time a concern is said loudly to be overdue', async () => {
  clock.advance({ hours: 30 })
  const again = await web.staff('clinician', clinicId)
  const page = await (await again.get('/clinician')).text()
  expect(page).toMatch(/OVERDUE by \d+ (minutes|hours?)/)
  expect(page).toMatch(/\d+ OVERDUE\./)
})

test('an id that is none, and another clinic, find no page', async () => {
  expect((await first.get('/clinician/concerns/nonsense')).status).not.toBe(500)
  const again = await web.staff('clinician', clinicId)
  expect((await again.get('/clinician/concerns/nonsense')).status).toBe(404)
  expect((await again.get(url(crypto.randomUUID()))).status).toBe(404)
})
