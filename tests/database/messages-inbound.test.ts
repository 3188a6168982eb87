import { randomUUID } from 'node:crypto'
import { mkdtempSync, rmSync } from 'node:fs'
import { readdir, readFile, rename, utimes, writeFile } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import fc from 'fast-check'
import { Temporal } from 'temporal-polyfill'
import { afterAll, beforeEach, expect, test } from 'vitest'
import { audit, reply } from '../../src/database/schema.ts'
import { inClinic, type Scope } from '../../src/database/service.ts'
import { type InboundReply, receive } from '../../src/messages/inbound.ts'
import { deliverDue } from '../../src/messages/outbox.ts'
import { openQuestion } from '../../src/messages/store.ts'
import { prepareSpool, type SpoolFolders, spoolFolders } from '../../src/messages/transports/spool.ts'
import {
  type Collected,
  collectSpool,
  type SpoolInboxOptions,
} from '../../src/messages/transports/spool-inbox.ts'
import { testDatabase } from '../support/database.ts'
import {
  addMany,
  addPatient,
  askDose,
  messagesOf,
  recordingTransport,
  watching,
} from './messages-fixtures.ts'

const { service, clock, addClinic } = await testDatabase('2026-03-02T12:00:00Z')
const root = mkdtempSync(join(tmpdir(), 'foreaft-spool-'))
afterAll(() => rmSync(root, { recursive: true, force: true }))

let clinicId: string
let slug: string
let folders: SpoolFolders
let clinics = 0
beforeEach(async () => {
  clinics += 1
  slug = `inbound-${clinics}`
  clock.set(Temporal.Instant.from('2026-03-02T12:00:00Z').add({ hours: 72 * clinics }))
  clinicId = await addClinic(slug)
  folders = spoolFolders(root, slug)
  await prepareSpool(folders)
})
const within = <T>(work: (scope: Scope) => Promise<T>) => inClinic(service, clinicId, work)
const replies = () => within(({ tx }) => tx.select().from(reply).orderBy(reply.replyId))
const bodies = () =>
  within(async ({ tx, vault }) => (await tx.select().from(reply)).map((r) => vault.open(r.bodySealed)))
const from = (mobile: string | null, body: string, given: Partial<InboundReply> = {}) =>
  receive(service, clinicId, { transport: 'handset', providerId: randomUUID(), from: mobile, body, ...given })

const ask = (scope: Scope, patientId: string, day: string, hours = 36) =>
  openQuestion(scope, {
    patientId,
    kind: 'dose',
    day,
    askedAt: scope.now,
    closesAt: scope.now.add({ hours }),
  })

test('the same reply twenty times at once is stored once', async () => {
  const to = await within((scope) => addPatient(scope))
  const tries = await Promise.all(
    Array.from({ length: 20 }, () => from(to.mobile, 'yes both times', { providerId: 'p-1' })),
  )
  expect(tries.filter(({ fresh }) => fresh).length).toBe(1)
  expect(new Set(tries.map(({ replyId }) => replyId)).size).toBe(1)
  expect(tries.every(({ patientId }) => patientId === to.patientId)).toBe(true)
  expect((await replies()).length).toBe(1)
  const entries = await within(({ tx }) => tx.select().from(audit))
  expect(entries.filter(({ action }) => action === 'receive reply').length).toBe(1)
})

test('it is committed before anybody is told', async () => {
  const to = await within((scope) => addPatient(scope))
  const { replyId } = await from(to.mobile, 'My ear hurts')
  // Another connection sees it at once.
  const [row] = await replies()
  expect(row).toMatchObject({ replyId, patientId: to.patientId, readAt: null })
  expect(await bodies()).toEqual(['My ear hurts'])
})

test('the same id from two transports is two replies, and in two clinics too', async () => {
  const other = await addClinic(`inbound-other-${clinics}`)
  await from(null, 'one', { providerId: 'same' })
  await from(null, 'one', { providerId: 'same', transport: 'spool' })
  await receive(service, other, { transport: 'handset', providerId: 'same', from: null, body: 'one' })
  expect((await replies()).length).toBe(2)
})

test('an id that comes again with other words swallows nothing', async () => {
  const to = await within((scope) => addPatient(scope))
  const first = await from(to.mobile, 'yes', { providerId: '7' })
  const second = await from(to.mobile, 'my face is drooping', { providerId: '7' })
  expect([first.fresh, second.fresh]).toEqual([true, true])
  expect((await from(to.mobile, 'my face is drooping', { providerId: '7' })).fresh).toBe(false)
  expect((await from(to.mobile, 'yes', { providerId: '7' })).fresh).toBe(false)
  expect((await bodies()).sort()).toEqual(['my face is drooping', 'yes'])
})

test('the sender is known by the number however it is written', async () => {
  const to = await within((scope) => addPatient(scope, { mobile: '+447700900123' }))
  const byEmail = await within((scope) => addPatient(scope, { mobile: null, email: 'ada@example.org' }))
  for (const written of ['+447700900123', '07700 900123', '0044 7700 900123', ' 07700-900-123 '])
    expect((await from(written, 'yes')).patientId, written).toBe(to.patientId)
  expect((await from(' ADA@Example.org ', 'yes')).patientId).toBe(byEmail.patientId)
  for (const unknown of ['+447700900124', 'BANK', '', '   '])
    expect((await from(unknown, 'yes')).patientId).toBeNull()
})

test('a number that two patients share belongs to the one who was asked, and to nobody when both or neither were', async () => {
  const [a, b] = await within(async (scope) => [
    await addPatient(scope, { mobile: '+447700900321' }),
    await addPatient(scope, { mobile: '+447700900321' }),
  ])
  const shared = a?.mobile as string
  expect(await from(shared, 'yes')).toMatchObject({ patientId: null, questionId: null })
  const questionId = await within((scope) => ask(scope, b?.patientId as string, '2026-03-03'))
  expect(await from(shared, 'yes')).toMatchObject({ patientId: b?.patientId, questionId })
  await within((scope) => ask(scope, a?.patientId as string, '2026-03-03'))
  expect(await from(shared, 'yes')).toMatchObject({ patientId: null, questionId: null })
})

test('a reply belongs to the newest question that was asked', async () => {
  const to = await within((scope) => addPatient(scope))
  const older = await within((scope) => ask(scope, to.patientId, '2026-03-03'))
  clock.advance({ hours: 6 })
  expect((await from(to.mobile, 'yes')).questionId).toBe(older)
  const newer = await within((scope) => ask(scope, to.patientId, '2026-03-04'))
  expect((await from(to.mobile, 'yes')).questionId).toBe(newer)
  clock.advance({ hours: 40 })
  expect((await from(to.mobile, 'yes')).questionId).toBeNull()
})

test("a late answer is not taken for an answer to today's question while that has not left", async () => {
  const to = await within((scope) => addPatient(scope))
  const yesterday = await within((scope) => askDose(scope, to, '2026-03-03', 'one'))
  await deliverDue(service, clinicId, { handset: recordingTransport() }, watching())
  clock.advance({ hours: 24 })
  const today = await within((scope) => askDose(scope, to, '2026-03-04', 'two'))
  const idOf = (queued: typeof today) => ('questionId' in queued ? queued.questionId : null)
  expect((await from(to.mobile, 'yes')).questionId).toBe(idOf(yesterday))
  await deliverDue(service, clinicId, { handset: recordingTransport() }, watching())
  expect((await from(to.mobile, 'yes')).questionId).toBe(idOf(today))
})

test('a reply by link names its patient and its question, whatever else is open', async () => {
  const to = await within((scope) => addPatient(scope))
  const older = await within((scope) => ask(scope, to.patientId, '2026-03-03'))
  clock.advance({ hours: 1 })
  await within((scope) => ask(scope, to.patientId, '2026-03-04'))
  const stored = await from(null, '2', { transport: 'link', patientId: to.patientId, questionId: older })
  expect(stored).toMatchObject({ patientId: to.patientId, questionId: older })
})

test('any words and any id are stored as they came', async () => {
  const to = await within((scope) => addPatient(scope))
  await fc.assert(
    fc.asyncProperty(
      fc.string({ unit: 'binary', maxLength: 500 }),
      fc.string({ maxLength: 400 }),
      async (body, id) => {
        const providerId = `${id}\u0000${randomUUID()}`
        const { replyId, fresh } = await from(to.mobile, body, { providerId })
        expect(fresh).toBe(true)
        expect((await from(to.mobile, body, { providerId })).fresh).toBe(false)
        const row = (await replies()).find((one) => one.replyId === replyId)
        const kept = await within(async ({ vault }) => vault.open(row?.bodySealed as Buffer))
        expect(kept).toBe(body.toWellFormed())
      },
    ),
    { numRuns: 30 },
  )
})

// The spool's way in.

const badFiles: { name: string; why: string }[] = []
const collect = (options: Partial<SpoolInboxOptions> = {}): Promise<Collected> =>
  collectSpool(service, clinicId, {
    root,
    slug,
    onFailed: watching().onFailed,
    onBadFile: async (_, file) => void badFiles.push(file),
    ...options,
  })
const lay = async (name: string, content: unknown): Promise<void> => {
  const text = typeof content === 'string' ? content : JSON.stringify(content)
  const draft = join(folders.in, `.${name}`)
  await writeFile(draft, text)
  await rename(draft, join(folders.in, name))
}
const longAgo = (name: string) => {
  const seconds = Temporal.Now.instant().epochMilliseconds / 1000 - 120
  return utimes(join(folders.in, name), seconds, seconds)
}

test('replies laid into the spool are stored and moved, and taking in twice stores nothing twice', async () => {
  const to = await within((scope) => addPatient(scope))
  await lay('a.json', { id: 'm-1', from: to.mobile, text: 'yes' })
  await lay('b.json', { from: to.mobile, text: 'my ear hurts' })
  expect((await collect()).replies.map(({ patientId }) => patientId)).toEqual([to.patientId, to.patientId])
  expect((await collect()).replies).toEqual([])
  expect((await bodies()).sort()).toEqual(['my ear hurts', 'yes'])
  expect(await readdir(folders.in)).toEqual([])
  expect((await readdir(folders.done)).length).toBe(2)
})

test('a crash between storing and moving: the file is read again, the reply is not stored again', async () => {
  const to = await within((scope) => addPatient(scope))
  await lay('a.json', { from: to.mobile, text: 'yes' })
  await collect()
  const [moved] = await readdir(folders.done)
  await rename(join(folders.done, moved as string), join(folders.taking, `${randomUUID()}a.json`))
  expect((await collect()).replies.map(({ fresh }) => fresh)).toEqual([false])
  expect((await replies()).length).toBe(1)
  expect(await readdir(folders.in)).toEqual([])
})

test('a script that uses one name over and over loses nothing', async () => {
  const to = await within((scope) => addPatient(scope))
  for (const day of [1, 2, 3]) {
    await lay('reply.json', { from: to.mobile, text: 'yes' })
    await utimes(join(folders.in, 'reply.json'), 1_700_000_000 + day, 1_700_000_000 + day)
    await collect()
  }
  expect((await replies()).length).toBe(3)
})

test('two processes take in at once: each reply once', async () => {
  const to = await within((scope) => addPatient(scope))
  for (let i = 0; i < 30; i += 1) await lay(`${i}.json`, { id: `m-${i}`, from: to.mobile, text: `yes ${i}` })
  await Promise.all([collect(), collect(), collect()])
  expect((await replies()).length).toBe(30)
  expect(await readdir(folders.in)).toEqual([])
  expect((await readdir(folders.done)).length).toBe(30)
})

test('the order in which a patient wrote is kept', async () => {
  const to = await within((scope) => addPatient(scope))
  const words = ['z first', 'm second', 'a third']
  for (const [i, text] of words.entries()) {
    await lay(`${text[0]}.json`, { from: to.mobile, text })
    await utimes(join(folders.in, `${text[0]}.json`), 1_700_000_000 + i, 1_700_000_000 + i)
  }
  const { replies: stored } = await collect()
  const opened = await within(async ({ tx, vault }) => {
    const rows = await tx.select().from(reply)
    return stored.map(({ replyId }) =>
      vault.open(rows.find((r) => r.replyId === replyId)?.bodySealed as Buffer),
    )
  })
  expect(opened).toEqual(words)
})

test('what cannot be read is put aside with its reason, a person is told, and the rest goes in', async () => {
  const to = await within((scope) => addPatient(scope))
  badFiles.length = 0
  await lay('half.json', '{"from": "+4477')
  await longAgo('half.json')
  await lay('wrong.json', { from: to.mobile })
  await lay('large.json', { from: to.mobile, text: 'x'.repeat(300_000) })
  await lay('stranger.json', { message: '01890000-0000-7000-8000-000000000000', status: 'delivered' })
  await lay('good.json', { from: to.mobile, text: 'yes' })
  expect(await collect()).toMatchObject({ bad: 4, receipts: 0 })
  expect(badFiles.map(({ name }) => name.replace(/^\d+-/, '')).sort()).toEqual([
    'half.json',
    'large.json',
    'stranger.json',
    'wrong.json',
  ])
  const aside = await readdir(folders.bad)
  expect(aside.length).toBe(8)
  const reason = aside.find((name) => name.endsWith('half.json.why')) as string
  expect(await readFile(join(folders.bad, reason), 'utf8')).toBe('The file is not JSON.\n')
  expect(await bodies()).toEqual(['yes'])
})

test('a file that is still being written is left alone', async () => {
  badFiles.length = 0
  await lay('slow.json', '{"from": "+4477')
  expect(await collect()).toMatchObject({ bad: 0, replies: [] })
  expect(await readdir(folders.in)).toEqual(['slow.json'])
  await lay('slow.json', { from: '+447700900123', text: 'yes' })
  expect((await collect()).replies.length).toBe(1)
})

test('when a person cannot be told of a bad file, it stays where it is and the fault is raised', async () => {
  await lay('wrong.json', { text: 'no sender' })
  await lay('good.json', { from: '+447700900123', text: 'yes' })
  const onBadFile = () => Promise.reject(new Error('The desk cannot be written.'))
  await expect(collect({ onBadFile })).rejects.toThrow('The desk')
  expect((await readdir(folders.taking)).length).toBe(1)
  expect(await bodies()).toEqual(['yes'])
  expect(await collect()).toMatchObject({ bad: 1 })
})

test('a receipt tells what became of a message', async () => {
  await addMany(service, clinicId, 2)
  await deliverDue(service, clinicId, { handset: recordingTransport() }, watching())
  const [first, second] = await messagesOf(service, clinicId)
  await lay('1.json', { message: first?.messageId, status: 'delivered' })
  await lay('2.json', { message: second?.messageId, status: 'failed', reason: 'switched off' })
  const watched = watching()
  expect(await collect({ onFailed: watched.onFailed })).toMatchObject({ receipts: 2, bad: 0 })
  expect((await messagesOf(service, clinicId)).map(({ status }) => status)).toEqual(['delivered', 'failed'])
  expect(watched.failures.map(({ messageId }) => messageId)).toEqual([second?.messageId])
})

test('what was taken in lies about for a week only', async () => {
  await lay('old.json', { from: '+447700900123', text: 'yes' })
  await utimes(join(folders.in, 'old.json'), 1_700_000_000, 1_700_000_000)
  await collect()
  expect((await readdir(folders.done)).length).toBe(1)
  await collect({ keepDoneDays: 0 })
  expect(await readdir(folders.done)).toEqual([])
  expect(await bodies()).toEqual(['yes'])
})
