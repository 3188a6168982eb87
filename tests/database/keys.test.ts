import { existsSync, mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { sql } from 'drizzle-orm'
import { expect, test } from 'vitest'
import { readConfig } from '../../src/config.ts'
import { columns, sealedColumns } from '../../src/database/columns.ts'
import { openDatabase } from '../../src/database/open.ts'
import { rotate } from '../../src/database/rotation.ts'
import { dataKey, patient } from '../../src/database/schema.ts'
import { inClinic, openService } from '../../src/database/service.ts'
import { parseMasterKeys, sealedWith } from '../../src/database/vault.ts'
import { handleReply } from '../../src/flow/replies.ts'
import { receive } from '../../src/messages/inbound.ts'
import { importRows, messagesOf, staffClinic, visitAndPatient } from '../support/clinic.ts'
import { testDatabase } from '../support/database.ts'

const { owner, url, service, clock, clinicId } = await testDatabase()

const NAMES = ['Isolde Penhallow', 'Bartholomew Quince']
const NUMBERS = ['+447700900301', '+447700900302']
const WORDS = 'my left ear weeps something yellow since thursday, says aunt Wilhelmina'

await staffClinic(service, clinicId)
await importRows(service, clinicId, [
  `K1,${NAMES[0]},07700 900301,isolde@patients.example,1941-05-06,2026-03-16 10:00,30,Ottoline Marsh,removal,both,booked`,
  `K2,${NAMES[1]},07700 900302,,1938-11-23,2026-03-17 10:00,30,Ottoline Marsh,removal,left,booked`,
])
const got = await receive(service, clinicId, {
  transport: 'handset',
  providerId: 'k-1',
  from: NUMBERS[0] as string,
  body: WORDS,
})
await handleReply(service, clinicId, (got as { replyId: string }).replyId)

const dump = async (): Promise<Map<string, string>> => {
  const tables = await owner<
    { name: string }[]
  >`select tablename as name from pg_tables where schemaname = 'public'`
  const texts = new Map<string, string>()
  for (const { name } of tables) {
    const rows = await owner.unsafe(`select row_to_json(t)::text as line from ${name} t`)
    texts.set(name, rows.map((row) => row.line).join('\n'))
  }
  return texts
}

test('every column has a decision, and what is sealed or hashed is bytes', async () => {
  const rows = await owner<{ table: string; column: string; type: string }[]>`
    select table_name as table, column_name as column, udt_name as type
    from information_schema.columns where table_schema = 'public' and table_name <> 'migration'`
  const decided = Object.entries(columns).flatMap(([table, of]) =>
    Object.keys(of).map((c) => `${table}.${c}`),
  )
  expect(decided.sort()).toEqual(rows.map((row) => `${row.table}.${row.column}`).sort())
  const types = new Map(rows.map((row) => [`${row.table}.${row.column}`, row.type]))
  for (const [table, of] of Object.entries(columns)) {
    for (const [column, { held, why }] of Object.entries(of)) {
      const place = `${table}.${column}`
      expect(why.length, place).toBeGreaterThan(6)
      // argon2id has a text form of its own, with salt and costs.
      if (held !== 'plain' && place !== 'staff.password_hash') expect(types.get(place), place).toBe('bytea')
      if (types.get(place) === 'bytea' && place !== 'passkey.public_key')
        expect(held, place).not.toBe('plain')
      expect(column.endsWith('_sealed'), place).toBe(held === 'sealed')
    }
  }
})

test('no name, number, address or word of a patient stands readable in any table', async () => {
  const texts = await dump()
  const all = [...texts.values()].join('\n')
  // The dump holds what it must: this is no search through nothing.
  expect(all).toContain('Ottoline Marsh')
  expect(texts.get('reply')?.length).toBeGreaterThan(100)
  const bodies = (await messagesOf(service, clinicId)).map((one) => one.body.slice(0, 40))
  expect(bodies.length).toBeGreaterThan(2)
  const secrets = [
    ...NAMES,
    ...NAMES.flatMap((n) => n.split(' ')),
    ...NUMBERS,
    '900301',
    'isolde@',
    '1941-05-06',
    'Wilhelmina',
    'yellow',
    ...bodies,
    'Gwendal',
    'brackwater.example',
  ]
  for (const secret of secrets) {
    const where = [...texts]
      .filter(([, text]) => text.toLowerCase().includes(secret.toLowerCase()))
      .map(([t]) => t)
    expect(where, secret).toEqual([])
    // Nor in bytes that are only written otherwise.
    const hex = Buffer.from(secret, 'utf8').toString('hex')
    expect(all.includes(hex), secret).toBe(false)
    expect(all.includes(Buffer.from(secret).toString('base64').replace(/=+$/, '').slice(0, -1)), secret).toBe(
      false,
    )
  }
})

const keysInUse = () =>
  inClinic(service, clinicId, async ({ tx }) => {
    const found = new Set<number>()
    for (const { table, column } of sealedColumns) {
      const rows = await tx.execute<{ sealed: Buffer }>(
        sql`select ${sql.identifier(column)} as sealed from ${sql.identifier(table)} where ${sql.identifier(column)} is not null`,
      )
      for (const { sealed } of rows) found.add(sealedWith(sealed))
    }
    return [...found].sort()
  })

test('a rotation seals every value anew, beside a process that knows only the old key, and retires the old', async () => {
  const before = await messagesOf(service, clinicId)
  const beside = openService({
    url,
    clock,
    masters: service.masters,
    publicUrl: service.publicUrl,
    connections: 2,
  })
  try {
    await messagesOf(beside, clinicId)
    const first = await rotate(service, clinicId, { newKeyAfterDays: 0 })
    expect(first).toMatchObject({ keyId: 2, fresh: true, left: 0, retired: 0 })
    expect(first.resealed).toBeGreaterThan(20)
    expect(await keysInUse()).toEqual([2])
    // It reads what the new key sealed, and while it has not heard of it, may write with the old one once more.
    expect(await messagesOf(beside, clinicId)).toEqual(before)
    await inClinic(service, clinicId, async ({ tx }) => {
      const keys = await tx.select().from(dataKey)
      expect(keys.map((k) => k.keyId).sort()).toEqual([0, 1, 2])
    })
    const old = await oldSeal('late words')
    await owner`update reply set body_sealed = ${old} where clinic_id = ${clinicId}`
    clock.advance({ minutes: 2 })
    const second = await rotate(service, clinicId)
    expect(second).toMatchObject({ keyId: 2, fresh: false, resealed: 1, left: 0, retired: 1 })
    expect(await keysInUse()).toEqual([2])
    expect(await rotate(service, clinicId)).toMatchObject({ resealed: 0, retired: 0 })
    expect(await messagesOf(service, clinicId)).toEqual(before)
    const { patient: person } = await visitAndPatient(service, clinicId, 'K1')
    expect(person).toMatchObject({ name: NAMES[0], mobile: NUMBERS[0] })
  } finally {
    await beside.close()
  }
})

// What a process that had not yet read the new key would have written.
async function oldSeal(text: string): Promise<Buffer> {
  return await inClinic(service, clinicId, async ({ tx, clinicId }) => {
    const { openVault } = await import('../../src/database/vault.ts')
    const rows = await tx.select().from(dataKey)
    const old = rows.filter((row) => row.keyId < 2).map((row) => ({ ...row, retired: false }))
    return openVault(service.masters, clinicId, old).seal(text)
  })
}

test('a rotation that is broken off goes on where it stood', async () => {
  const controller = new AbortController()
  controller.abort()
  const broken = await rotate(service, clinicId, { newKeyAfterDays: 0, signal: controller.signal })
  expect(broken).toMatchObject({ keyId: 3, fresh: true })
  expect(await keysInUse()).toContain(2)
  const second = await rotate(service, clinicId, { newKeyAfterDays: 0 })
  expect(second).toMatchObject({ keyId: 3, fresh: false, left: 0 })
  expect(await keysInUse()).toEqual([3])
})

test('data keys come under a new master key, and the old one may go; a missing key is named', async () => {
  const oldKey = `t1:${Buffer.alloc(32, 7).toString('base64')}`
  const newKey = `t2:${Buffer.alloc(32, 9).toString('base64')}`
  const open = (masters: string) =>
    openService({
      url,
      clock,
      masters: parseMasterKeys(masters),
      publicUrl: service.publicUrl,
      connections: 2,
    })
  const nameOf = (one: typeof service) =>
    inClinic(one, clinicId, async ({ tx, vault }) => {
      const rows = await tx.select().from(patient)
      return rows.map((row) => vault.open(row.nameSealed)).sort()
    })
  const only = open(newKey)
  await expect(nameOf(only)).rejects.toThrow('The master key "t1" is missing: add it to FOREAFT_KEYS')
  await only.close()
  const wrong = open(`t1:${Buffer.alloc(32, 8).toString('base64')}`)
  await expect(nameOf(wrong)).rejects.toThrow('The master key "t1" does not open this database')
  await wrong.close()
  const both = open(`${newKey},${oldKey}`)
  expect(await rotate(both, clinicId)).toMatchObject({ rewrapped: 4 })
  await both.close()
  const after = open(newKey)
  expect(await nameOf(after)).toEqual([...NAMES].sort())
  await owner`delete from data_key where clinic_id = ${clinicId} and key_id = 3`
  after.vaults.clear()
  await expect(nameOf(after)).rejects.toThrow('The data key 3 is missing: restore the table data_key.')
  await after.close()
})

test('a database whose keys are lost is not given new ones', async () => {
  const data = mkdtempSync(join(tmpdir(), 'foreaft-keys-'))
  try {
    const config = readConfig({ FOREAFT_DATA: data, DATABASE_URL: url })
    await expect(openDatabase(config, clock, 'http://127.0.0.1:4180')).rejects.toThrow(
      'The keys of this database are missing: put your copy of the file keys back',
    )
    expect(existsSync(join(data, 'keys'))).toBe(false)
  } finally {
    rmSync(data, { recursive: true })
  }
})
