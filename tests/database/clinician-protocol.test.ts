/** Reading, drafting, replaying and signing the clinic's rules, on the real database. */
import { spawnSync } from 'node:child_process'
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { expect, test } from 'vitest'
import { inClinic } from '../../src/database/service.ts'
import { inFlow } from '../../src/flow/context.ts'
import { addToSummary, emptySummary, type ReplayBatch, replayBatch } from '../../src/flow/replay.ts'
import { defaultProtocol, rulesOf } from '../../src/protocol/document.ts'
import { currentProtocol, protocolVersions } from '../../src/protocol/store.ts'
import { staffClinic } from '../support/clinic.ts'
import { testDatabase } from '../support/database.ts'
import { webTest } from '../support/web.ts'
import { book, writes } from './clinician-fixtures.ts'

const { url, service, clock, clinicId } = await testDatabase('2026-03-02T09:00:00Z')
// As tests/support/database.ts makes them.
const keys = `t1:${Buffer.alloc(32, 7).toString('base64')}`
await staffClinic(service, clinicId)
const web = webTest(service)
const clinician = await web.staff('clinician', clinicId, 'Ada Thornbury')
const owner = await web.staff('owner', clinicId)
const desk = await web.staff('reception', clinicId)
const hob = await book(service, clinicId, { name: 'Hob Lanyon', start: '2026-03-12T10:00' })

const newest = async () => {
  const all = await inClinic(service, clinicId, (scope) => protocolVersions(scope))
  return all[0]?.version ?? 0
}
const inForce = () => inClinic(service, clinicId, (scope) => currentProtocol(scope))
const upload = (person: typeof clinician, document: unknown, note = 'a test of the rules') =>
  person.post('/protocol/1/upload', { text: JSON.stringify(document), note })
const decode = (page: string) =>
  page
    .replaceAll('&quot;', '"')
    .replaceAll('&#39;', "'")
    .replaceAll('&lt;', '<')
    .replaceAll('&gt;', '>')
    .replaceAll('&amp;', '&')

test('the whole document is readable: every rule with its source, and every loose number', async () => {
  const page = decode(await (await desk.get('/protocol')).text())
  for (const { id, text } of rulesOf(defaultProtocol)) {
    expect(page, id).toContain(text)
    expect(page, id).toContain(`>${id}</code>`)
  }
  for (const words of [
    'NICE NG98 1.1.2',
    'common practice, no source',
    "the clinic's setting",
    'usual soreness days',
  ])
    expect(page).toContain(words)
  expect(page).toContain('nobody has signed it')
})

test('a draft by the form changes what was changed and says so; faults are named and nothing is lost', async () => {
  const bad = await clinician.post('/protocol/1/edit', {
    part: 'urgency.numbers',
    'urgency.bands.today': 'ten',
    'urgency.painRise': '3',
    note: 'pain has to rise by more',
  })
  expect(bad.status).toBe(422)
  const again = decode(await bad.text())
  expect(again).toContain('urgency.bands.today: "ten" is not a number.')
  expect(again).toContain('value="ten"')
  expect(again).toContain('pain has to rise by more')
  expect(await newest()).toBe(1)
  const good = await clinician.post('/protocol/1/edit', {
    part: 'urgency.numbers',
    'urgency.painRise': '3',
    note: 'pain has to rise by more',
  })
  expect(good.headers.get('location')).toBe('/protocol/2?done=drafted')
  const page = decode(await (await clinician.get('/protocol/2')).text())
  expect(page).toContain('A draft: not in force.')
  const changes = page.slice(
    page.indexOf('What changed since version 1'),
    page.indexOf('<nav aria-label="Parts'),
  )
  expect(changes.match(/<code>/g)).toHaveLength(1)
  expect(changes).toContain('urgency.painRise')
  expect((await inForce()).version).toBe(1)
})

test('a rule is edited by the form, its source too; an unchanged form is no draft', async () => {
  const index = defaultProtocol.urgency.floors.findIndex(({ id }) => id === 'f-ringing')
  const path = `urgency.floors.${index}`
  const answer = await owner.post('/protocol/1/edit', {
    part: 'urgency.floors',
    [`${path}.urgency`]: 'today',
    [`${path}.source.kind`]: 'clinic',
    note: 'ringing the same day',
  })
  expect(answer.status).toBe(303)
  const all = await inClinic(service, clinicId, (scope) => protocolVersions(scope))
  expect(all[0]?.document.urgency.floors[index]).toMatchObject({
    id: 'f-ringing',
    urgency: 'today',
    source: { kind: 'clinic' },
  })
  const same = await owner.post('/protocol/1/edit', { part: 'urgency.floors', note: 'nothing' })
  expect(decode(await same.text())).toContain('Nothing is changed.')
  expect((await desk.post('/protocol/1/edit', { part: 'urgency.floors', note: 'x' })).status).toBe(403)
})

test('a file that does not fit names the place and what to mend', async () => {
  const broken = structuredClone(defaultProtocol) as unknown as { urgency: { bands: { soon: unknown } } }
  broken.urgency.bands.soon = 'four'
  const answer = await upload(clinician, broken)
  expect(answer.status).toBe(422)
  expect(decode(await answer.text())).toMatch(/urgency\.bands\.soon: .*number/)
  const nonsense = await clinician.post('/protocol/1/upload', { text: '{"softening":', note: 'a test' })
  expect(decode(await nonsense.text())).toContain('This is not JSON')
})

test('a draft is tried on the stored replies: each that would change is shown, and nothing changes', async () => {
  await writes(service, clinicId, hob.mobile, 'there is a ringing in my left ear since this morning')
  await writes(service, clinicId, hob.mobile, 'pain 8 out of 10')
  await writes(service, clinicId, hob.mobile, 'thank you')
  const draft = structuredClone(defaultProtocol)
  const ringing = draft.urgency.floors.find(({ id }) => id === 'f-ringing')
  if (ringing) ringing.urgency = 'now'
  draft.urgency.floors = draft.urgency.floors.filter(({ id }) => id !== 'f-pain-severe')
  draft.urgency.points = draft.urgency.points.filter(({ id }) => id !== 'p-pain-severe')
  const words = draft.urgency.doubts.find(({ id }) => id === 'u-sounds-urgent')
  if (words) words.urgency = 'unclear'
  expect((await upload(clinician, draft)).status).toBe(303)
  const version = await newest()
  const before = await inForce()
  const batch = await inFlow(service, clinicId, (flow) => replayBatch(flow, draft.urgency))
  expect(batch).toMatchObject({ judged: 3, unread: 0, next: null, driftedFromStored: 0 })
  expect(batch.changed.map(({ words, inForce: was, draft: is }) => [words, was, is])).toEqual([
    ['pain 8 out of 10', 'today', expect.stringMatching(/^(none|unclear|soon)$/)],
    ['there is a ringing in my left ear since this morning', 'soon', 'now'],
  ])
  expect(addToSummary(emptySummary(), batch)).toMatchObject({ changed: 2, moreUrgent: 1, lessUrgent: 1 })
  const page = await (await clinician.get(`/protocol/${version}/replay`)).text()
  expect(page).toContain('3 replies judged: 2 would change, 1 to more urgent, 1 to less urgent.')
  expect(page.indexOf('LESS URGENT')).toBeGreaterThan(page.indexOf('pain 8 out of 10'))
  expect(page).not.toContain('thank you')
  expect(await inForce()).toEqual(before)
  expect((await owner.get(`/protocol/${version}/replay`)).status).toBe(403)
  expect((await clinician.get(`/protocol/${version}/replay?after=nonsense`)).status).toBe(404)
})

test('the replay goes through many replies in batches, each once', async () => {
  for (let i = 0; i < 7; i += 1) await writes(service, clinicId, hob.mobile, `ringing number ${i}`)
  const seen: string[] = []
  let after: string | null = null
  let batches = 0
  do {
    const from: string | null = after
    const batch: ReplayBatch = await inFlow(service, clinicId, (flow) =>
      replayBatch(
        flow,
        {
          ...flow.rules.urgency,
          floors: flow.rules.urgency.floors.map((row) =>
            row.id === 'f-ringing' ? { ...row, urgency: 'now' as const } : row,
          ),
        },
        { after: from, limit: 3 },
      ),
    )
    seen.push(...batch.changed.map(({ replyId }) => replyId))
    after = batch.next
    batches += 1
  } while (after)
  expect(batches).toBeGreaterThan(2)
  expect(seen).toHaveLength(8)
  expect(new Set(seen).size).toBe(8)
})

test('the command prints a line a changed reply and a summary, and names what does not fit', () => {
  const folder = mkdtempSync(join(tmpdir(), 'foreaft-replay-'))
  const file = (name: string, document: unknown) => {
    writeFileSync(join(folder, name), JSON.stringify(document))
    return join(folder, name)
  }
  const run = (draft: string) =>
    spawnSync('node_modules/.bin/node', ['src/commands/replay.ts', '--draft', draft], {
      encoding: 'utf8',
      env: { ...process.env, DATABASE_URL: url, FOREAFT_KEYS: keys, FOREAFT_DATA: folder },
    })
  const { urgency } = structuredClone(defaultProtocol)
  urgency.floors = urgency.floors.map((row) => (row.id === 'f-ringing' ? { ...row, urgency: 'now' } : row))
  const good = run(file('draft.json', urgency))
  expect(good.stderr).toBe('')
  expect(good.status).toBe(0)
  const lines = good.stdout.trim().split('\n')
  expect(lines).toHaveLength(10)
  expect(lines[1]).toMatch(/^2026-03-02T09:\d\d {2}soon {6}now {7}ringing number 6$/)
  expect(JSON.parse(lines.at(-1) ?? '')).toMatchObject({
    clinic: 'brackwater',
    changed: 8,
    moreUrgent: 8,
    lessUrgent: 0,
    moves: { 'soon>now': 8 },
  })
  const bad = run(file('bad.json', { ...urgency, bands: { soon: 'four', today: 10 } }))
  expect(bad.status).toBe(1)
  expect(bad.stderr).toMatch(/bands\.soon: /)
  expect(run(join(folder, 'none.json')).stderr).toContain('cannot be read as JSON')
  rmSync(folder, { recursive: true })
})

test('the rules in force replayed on themselves change nothing', async () => {
  const batch = await inFlow(service, clinicId, (flow) => replayBatch(flow, flow.rules.urgency))
  expect(batch.judged).toBeGreaterThan(5)
  expect(batch.changed).toEqual([])
})

test('only a clinician who has just signed in signs, with name and number, and what they sign is in force', async () => {
  const version = await newest()
  const form = { name: 'Ada Thornbury', registration: 'HX-20771', read: 'yes' }
  expect((await owner.post(`/protocol/${version}/sign`, form)).status).toBe(403)
  clock.advance({ minutes: 6 })
  const stale = await clinician.post(`/protocol/${version}/sign`, form)
  expect(stale.headers.get('location')).toBe(
    `/staff/again?next=${encodeURIComponent(`/protocol/${version}/sign`)}`,
  )
  expect((await inForce()).signed).toBeNull()
  const fresh = await web.staff('clinician', clinicId, 'Ada Thornbury')
  expect(await (await fresh.get(`/protocol/${version}/sign`)).text()).toContain('registration number')
  const unread = await fresh.post(`/protocol/${version}/sign`, { ...form, read: '' })
  expect(unread.status).toBe(422)
  expect(decode(await unread.text())).toContain('Say that you have read the whole document.')
  const unnamed = await fresh.post(`/protocol/${version}/sign`, { ...form, registration: '' })
  expect(unnamed.status).toBe(422)
  expect((await inForce()).signed).toBeNull()
  expect((await fresh.post(`/protocol/${version}/sign`, form)).status).toBe(303)
  expect(await inForce()).toMatchObject({
    version,
    signed: { name: 'Ada Thornbury', registration: 'HX-20771' },
  })
  const page = await (await fresh.get('/protocol')).text()
  expect(page).toContain('In force.')
  expect(page).not.toContain('Not signed.')
})

test('an older draft cannot be signed over a newer version in force', async () => {
  const fresh = await web.staff('clinician', clinicId)
  const answer = await fresh.get('/protocol/2/sign')
  expect(answer.status).toBe(409)
  expect(await answer.text()).toContain('is in force and newer')
  const form = { name: 'Ada Thornbury', registration: 'HX-20771', read: 'yes' }
  expect((await fresh.post('/protocol/2/sign', form)).status).toBe(409)
  const again = await fresh.post(`/protocol/${(await inForce()).version}/sign`, form)
  expect(again.status).toBe(409)
})

test('the document leaves as a file and comes back as the same document', async () => {
  const file = await clinician.get('/protocol/1/file.json')
  expect(await file.json()).toEqual(defaultProtocol)
  expect((await desk.get('/protocol/99')).status).toBe(404)
})
