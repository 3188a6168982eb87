import { chmodSync, existsSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { eq } from 'drizzle-orm'
import type { Sql } from 'postgres'
import { Temporal } from 'temporal-polyfill'
import { afterAll, beforeAll, expect, test } from 'vitest'
import { deliver } from '../../jobs/deliver.ts'
import { verifyAudit } from '../../src/access/audit.ts'
import { createClinic } from '../../src/clinic.ts'
import { drivenClock } from '../../src/clock.ts'
import { collectWal, listBases, pruneBackups, takeBackup } from '../../src/database/backup.ts'
import { type EmbeddedServer, startEmbedded } from '../../src/database/embedded.ts'
import { migrate } from '../../src/database/migrate.ts'
import { restoreBackup, UNFINISHED } from '../../src/database/restore.ts'
import { deskItem, message, reply, session } from '../../src/database/schema.ts'
import { openFile, openText, sealFile, sealText } from '../../src/database/sealed-files.ts'
import { inClinic, openOwner, openService, type Service } from '../../src/database/service.ts'
import { parseMasterKeys } from '../../src/database/vault.ts'
import { deskItems } from '../../src/desk/store.ts'
import { DOUBTFUL, settleAfterRestore } from '../../src/flow/after-restore.ts'
import { runJob } from '../../src/jobs.ts'
import { receive } from '../../src/messages/inbound.ts'
import type { Transport } from '../../src/messages/transports/transport.ts'
import { importRows, staffClinic } from '../support/clinic.ts'
import { testKeys, testSettings } from '../support/settings.ts'

const top = mkdtempSync(join(tmpdir(), 'foreaft-backup-'))
// Where the tests run as root, the server's own user must reach the folders inside.
chmodSync(top, 0o711)
const folder = join(top, 'data')
const backups = join(top, 'backups')
const clock = drivenClock('2026-03-02T09:00:00Z')
const servers: EmbeddedServer[] = []
const closing: { end(): Promise<void> }[] = []

interface Open {
  server: EmbeddedServer
  owner: Sql
  service: Service
}

async function open(server: EmbeddedServer): Promise<Open> {
  servers.push(server)
  const url = server.url('foreaft')
  const owner = openOwner(url)
  const service = openService({
    url,
    clock,
    masters: testKeys,
    publicUrl: 'http://127.0.0.1:4180',
    connections: 4,
  })
  closing.push(owner, { end: () => service.close() })
  return { server, owner, service }
}

/** A telephone company that writes down what it was given. */
const handed: { id: string; to: string }[] = []
const recorder: Transport = {
  name: 'handset',
  requiresSignature: false,
  send: async ({ id, to }) => {
    handed.push({ id, to })
    return { ref: id }
  },
}
const deps = { transports: { handset: recorder }, spool: join(top, 'spool') }
const sendDue = (service: Service) => runJob(service, deliver, deps)

let live: Open
let clinicId: string

beforeAll(async () => {
  const server = await startEmbedded({ folder, archive: true, settings: ['fsync=off', 'archive_timeout=0'] })
  const admin = openOwner(server.url())
  await admin.unsafe('create database foreaft')
  await admin.end()
  live = await open(server)
  await migrate(live.owner)
  clinicId = await createClinic(live.owner, testKeys, clock.now(), {
    slug: 'brackwater',
    name: 'Brackwater Ear Rooms',
    zone: 'Europe/London',
    settings: testSettings,
  })
  await staffClinic(live.service, clinicId)
})

afterAll(async () => {
  for (const one of closing) await one.end()
  for (const server of servers) await server.stop()
  rmSync(top, { recursive: true, force: true })
})

const row = (n: number, day: number) =>
  `B${n},Patient Number ${n},07700 9004${String(n).padStart(2, '0')},,194${n % 10}-05-06,2026-03-${day} 10:${10 + n},10,Ottoline Marsh,removal,both,booked`

const counts = async ({ owner }: Open) => {
  const found: Record<string, number> = {}
  for (const table of ['patient', 'visit', 'message', 'reply', 'audit', 'staff', 'screening', 'link'])
    found[table] = Number((await owner.unsafe(`select count(*) as n from ${table}`))[0]?.n)
  return found
}

const serverTime = async ({ owner }: Open) =>
  Temporal.Instant.from(
    (
      await owner<
        { at: string }[]
      >`select to_char(clock_timestamp() at time zone 'UTC', 'YYYY-MM-DD"T"HH24:MI:SS.US"Z"') as at`
    )[0]?.at as string,
  )

test('an instant before a deletion comes back whole, and no message goes out twice', async () => {
  const { service, owner } = live
  await importRows(service, clinicId, [row(1, 20), row(2, 20), row(3, 23)])
  await sendDue(service)
  expect(handed.length).toBeGreaterThanOrEqual(3)
  const place = { owner, folder, backups, masters: testKeys }
  await takeBackup(place)

  // After the base copy: only the log knows of this.
  await receive(service, clinicId, {
    transport: 'handset',
    providerId: 'b-1',
    from: '+447700900401',
    body: 'dizzy Marjorie',
  })
  await importRows(service, clinicId, [row(4, 24), row(5, 25)])
  const before = await counts(live)
  const sentBefore = new Set(handed.map((one) => one.id))
  expect(sentBefore.size).toBe(handed.length)
  const point = await serverTime(live)
  const pointOfClock = clock.now()

  // The hours that will be lost: two go out, and everybody is deleted.
  clock.advance({ minutes: 30 })
  await sendDue(service)
  const lost = handed.slice(sentBefore.size).map((one) => one.id)
  expect(lost.length).toBeGreaterThanOrEqual(2)
  await owner`delete from patient`
  expect((await counts(live)).patient).toBe(0)
  await owner`select pg_switch_wal()`
  await owner`checkpoint`
  for (let i = 0; i < 100 && (await collectWal(place)) === 0; i += 1)
    await new Promise((r) => setTimeout(r, 50))

  const to = join(top, 'restored')
  const { server, reached, finish } = await restoreBackup({ from: backups, to, masters: testKeys, at: point })
  const restored = await open(server)
  expect(Temporal.Instant.compare(reached, point)).toBeLessThanOrEqual(0)
  expect(reached.until(point).total('seconds')).toBeLessThan(60)
  expect(await counts(restored)).toEqual(before)
  expect(await inClinic(restored.service, clinicId, verifyAudit)).toEqual({
    entries: before.audit,
    broken: null,
  })
  const [said] = await inClinic(restored.service, clinicId, async ({ tx, vault }) =>
    (await tx.select().from(reply)).map((one) => vault.open(one.bodySealed)),
  )
  expect(said).toBe('dizzy Marjorie')

  expect(existsSync(join(to, UNFINISHED))).toBe(true)
  const settled = await inClinic(restored.service, clinicId, (scope) =>
    settleAfterRestore(scope, pointOfClock),
  )
  finish()
  expect(settled.doubtful).toBe(lost.length)
  await sendDue(restored.service)
  clock.advance({ hours: 24 })
  await sendDue(restored.service)
  const ids = handed.map((one) => one.id)
  expect(new Set(ids).size).toBe(ids.length)
  // What went out in the lost hours waits for a person; nothing of it is sent again.
  await inClinic(restored.service, clinicId, async (scope) => {
    const doubtful = await scope.tx.select().from(message).where(eq(message.lastError, DOUBTFUL))
    expect(doubtful.map((one) => one.messageId).sort()).toEqual(lost.sort())
    const desk = await deskItems(scope)
    expect(desk.filter((one) => one.kind === 'doubtful-message').length).toBe(
      doubtful.filter((one) => one.patientId).length,
    )
    const note = desk.find((one) => one.kind === 'restored')?.note
    expect(note).toContain('A clinician reads every text that patients sent in that time')
    expect(await scope.tx.$count(session)).toBe(0)
    expect(await scope.tx.$count(deskItem, eq(deskItem.kind, 'restored'))).toBe(1)
    expect((await verifyAudit(scope)).broken).toBeNull()
  })
  // It goes on: new visits are written to.
  const count = handed.length
  await importRows(restored.service, clinicId, [row(6, 26)])
  await sendDue(restored.service)
  expect(handed.length).toBeGreaterThan(count)
})

test('nothing readable is in a backup, and a changed or missing part is refused', async () => {
  const place = { owner: live.owner, folder, backups, masters: testKeys }
  const files = readdirSync(backups, { recursive: true, withFileTypes: true }).filter((entry) =>
    entry.isFile(),
  )
  expect(files.length).toBeGreaterThan(500)
  for (const entry of files) {
    expect(entry.name).toMatch(/\.sealed$/)
    const bytes = readFileSync(join(entry.parentPath, entry.name))
    expect(bytes.subarray(0, 5).toString()).toBe('FABK1')
    expect(bytes.includes('brackwater')).toBe(false)
  }
  const other = parseMasterKeys(`x9:${Buffer.alloc(32, 3).toString('base64')}`)
  await expect(restoreBackup({ from: backups, to: join(top, 'none'), masters: other })).rejects.toThrow(
    'The backup was sealed with the master key "t1": add that key to FOREAFT_KEYS',
  )
  await expect(
    restoreBackup({ from: backups, to: join(top, 'restored'), masters: testKeys }),
  ).rejects.toThrow('is not empty: restore goes into an empty place')
  await expect(
    restoreBackup({
      from: backups,
      to: join(top, 'early'),
      masters: testKeys,
      at: Temporal.Instant.from('2020-01-01T00:00:00Z'),
    }),
  ).rejects.toThrow('The oldest backup in')
  await expect(
    restoreBackup({
      from: backups,
      to: join(top, 'late'),
      masters: testKeys,
      at: Temporal.Instant.from('2099-01-01T00:00:00Z'),
    }),
  ).rejects.toThrow('The archived log ends before')
  expect((await listBases(backups, testKeys)).length).toBe(1)
  expect(await pruneBackups(place, Temporal.Instant.from('2099-01-01T00:00:00Z'), 14)).toBe(0)
  expect((await listBases(backups, testKeys)).length).toBe(1)
})

test('sealed files of any size open whole, and only under their own name', async () => {
  const paths = { plain: join(top, 'plain'), sealed: join(top, 'one.sealed'), back: join(top, 'back') }
  const { randomBytes } = await import('node:crypto')
  for (const size of [0, 1, (1 << 20) - 1, 1 << 20, (1 << 20) + 1, 3_000_000]) {
    const content = randomBytes(size)
    writeFileSync(paths.plain, content)
    await sealFile(testKeys, { from: paths.plain, to: paths.sealed, name: 'n' })
    await openFile(testKeys, { from: paths.sealed, to: paths.back, name: 'n' })
    expect(readFileSync(paths.back).equals(content)).toBe(true)
  }
  const whole = readFileSync(paths.sealed)
  const tries: [string, Buffer][] = [
    ['n', whole.subarray(0, -1)],
    ['n', whole.subarray(0, 24 + 4 + 16 + (1 << 20))],
    ['n', Buffer.from(whole.map((byte, i) => (i === whole.length - 9 ? byte ^ 1 : byte)))],
    ['other', whole],
  ]
  for (const [name, bytes] of tries) {
    writeFileSync(paths.sealed, bytes)
    await expect(openFile(testKeys, { from: paths.sealed, to: paths.back, name })).rejects.toThrow(
      'cut short or was changed',
    )
  }
  await sealText(testKeys, { text: 'words', to: paths.sealed, name: 'w' })
  expect(await openText(testKeys, { from: paths.sealed, name: 'w' })).toBe('words')
})
