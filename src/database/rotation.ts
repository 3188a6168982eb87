/**
 * New keys under a running service. A new data key seals from now on; what older ones sealed is sealed anew in
 * batches, which can stop and go on anywhere; an older key is retired when nothing needs it and every process
 * has learned of the new one. Data keys of another master are wrapped anew by the current one.
 */
import { eq, sql } from 'drizzle-orm'
import { sealedColumns } from './columns.ts'
import { dataKey } from './schema.ts'
import { inClinic, type Scope, type Service } from './service.ts'
import { BLIND_KEY_ID, newDataKey, rewrap, unwrap } from './vault.ts'

/** Twice as long as a process may go on with the keys it has read (service.ts). */
const LEARNED_AFTER_SECONDS = 60
const BATCH = 500
const PASSES = 3

export interface Rotation {
  /** The key that seals now. */
  keyId: number
  /** Whether this call made it. */
  fresh: boolean
  rewrapped: number
  resealed: number
  /** Rows that somebody held meanwhile; the next run takes them. */
  left: number
  retired: number
}

export interface RotateOptions {
  /** A new data key is made when the current one is at least this old; where it is left out, none is. */
  newKeyAfterDays?: number
  signal?: AbortSignal
}

/** Safe to run twice, anywhere. An unfinished rotation is finished before a new key is made. */
export async function rotate(
  service: Service,
  clinicId: string,
  { newKeyAfterDays, signal }: RotateOptions = {},
): Promise<Rotation> {
  const rewrapped = await inClinic(service, clinicId, (scope) => rewrapKeys(service, scope))
  const { keyId, fresh, alone } = await inClinic(service, clinicId, (scope) =>
    currentKey(service, scope, newKeyAfterDays),
  )
  // A key is retired only when nothing is sealed with it: where one lives alone, there is nothing to walk.
  if (alone) return { keyId, fresh, rewrapped, resealed: 0, left: 0, retired: 0 }
  service.vaults.delete(clinicId)
  let resealed = 0
  let left = 0
  for (let pass = 0; pass < PASSES; pass += 1) {
    left = 0
    for (const place of sealedColumns) {
      resealed += await resealColumn(service, clinicId, place, keyId, signal)
      left += await inClinic(service, clinicId, (scope) => countStale(scope, place, keyId))
      if (signal?.aborted) return { keyId, fresh, rewrapped, resealed, left, retired: 0 }
    }
    if (left === 0) break
  }
  const retired =
    left > 0 ? 0 : await inClinic(service, clinicId, (scope) => retireOlder(service, scope, keyId))
  return { keyId, fresh, rewrapped, resealed, left, retired }
}

async function rewrapKeys(service: Service, { tx, clinicId, audit }: Scope): Promise<number> {
  const rows = await tx.select().from(dataKey).for('update')
  const stale = rows.filter(({ masterId }) => masterId !== service.masters.current)
  for (const row of stale) {
    const key = unwrap(service.masters, clinicId, { ...row, retired: row.retiredAt !== null })
    const { masterId, wrapped } = rewrap(service.masters, clinicId, row.keyId, key)
    await tx.update(dataKey).set({ masterId, wrapped }).where(eq(dataKey.keyId, row.keyId))
  }
  if (stale.length > 0)
    audit({ actor: 'job:rotate', action: 'wrap keys anew', detail: { keys: stale.length } })
  return stale.length
}

async function currentKey(
  service: Service,
  { tx, clinicId, now, audit }: Scope,
  newKeyAfterDays: number | undefined,
): Promise<{ keyId: number; fresh: boolean; alone: boolean }> {
  const rows = await tx.select().from(dataKey).orderBy(dataKey.keyId).for('update')
  const live = rows.filter((row) => row.keyId !== BLIND_KEY_ID && row.retiredAt === null)
  const current = live.at(-1)
  if (!current) throw new Error(`The clinic ${clinicId} has no data key.`)
  const age = current.createdAt.until(now).total('hours') / 24
  if (newKeyAfterDays === undefined || live.length > 1 || age < newKeyAfterDays)
    return { keyId: current.keyId, fresh: false, alone: live.length === 1 }
  const keyId = (rows.at(-1)?.keyId ?? 0) + 1
  const { masterId, wrapped } = newDataKey(service.masters, clinicId, keyId)
  await tx.insert(dataKey).values({ clinicId, keyId, masterId, wrapped, createdAt: now })
  audit({ actor: 'job:rotate', action: 'make data key', detail: { key: keyId } })
  return { keyId, fresh: true, alone: false }
}

type Place = { table: string; column: string }

const header = (keyId: number): string => {
  const bytes = Buffer.alloc(5)
  bytes.writeUInt8(1, 0)
  bytes.writeUInt32BE(keyId, 1)
  return bytes.toString('hex')
}

const isStale = ({ column }: Place, keyId: number) =>
  sql`${sql.identifier(column)} is not null and substr(${sql.identifier(column)}, 1, 5) <> decode(${header(keyId)}, 'hex')`

async function countStale({ tx }: Scope, place: Place, keyId: number): Promise<number> {
  const [row] = await tx.execute<{ n: number }>(
    sql`select count(*)::int as n from ${sql.identifier(place.table)} where ${isStale(place, keyId)}`,
  )
  return row?.n ?? 0
}

/** Walks the table along its key, a batch a transaction. @returns how many rows it sealed anew */
async function resealColumn(
  service: Service,
  clinicId: string,
  place: Place,
  keyId: number,
  signal: AbortSignal | undefined,
): Promise<number> {
  let done = 0
  let after: string[] | null = null
  for (;;) {
    if (signal?.aborted) return done
    const from: string[] | null = after
    const batch: { count: number; last: string[] | null } = await inClinic(service, clinicId, (scope) =>
      resealBatch(scope, place, keyId, from),
    )
    done += batch.count
    after = batch.last
    if (!after) return done
  }
}

async function resealBatch(
  { tx, vault }: Scope,
  place: Place,
  keyId: number,
  after: string[] | null,
): Promise<{ count: number; last: string[] | null }> {
  // The keys were read before the new one was made: this process reads them again.
  if (vault.keyId !== keyId) throw new Error(`The key ${keyId} does not seal yet.`)
  const key = await keyOf(tx, place.table)
  const table = sql.identifier(place.table)
  const column = sql.identifier(place.column)
  const names = sql.join(
    key.map(({ name }) => sql.identifier(name)),
    sql`, `,
  )
  const values = (list: string[]) =>
    sql.join(
      list.map((value, i) => sql`${value}::text::${sql.raw(key[i]?.type ?? 'text')}`),
      sql`, `,
    )
  const beyond = after ? sql`and (${names}) > (${values(after)})` : sql``
  const texts = sql.join(
    key.map(({ name }) => sql`${sql.identifier(name)}::text`),
    sql`, `,
  )
  const rows = await tx.execute<{ key: string[]; sealed: Buffer }>(
    sql`select array[${texts}] as key, ${column} as sealed from ${table}
      where ${isStale(place, keyId)} ${beyond} order by ${names} limit ${BATCH} for update skip locked`,
  )
  for (const row of rows) {
    await tx.execute(
      sql`update ${table} set ${column} = ${vault.seal(vault.open(row.sealed))} where (${names}) = (${values(row.key)})`,
    )
  }
  return { count: rows.length, last: rows.length === BATCH ? (rows.at(-1)?.key ?? null) : null }
}

/** The columns of the table's primary key, in order. */
async function keyOf(tx: Scope['tx'], table: string): Promise<{ name: string; type: string }[]> {
  return await tx.execute<{ name: string; type: string }>(
    sql`select a.attname as name, format_type(a.atttypid, null) as type
      from pg_index i cross join unnest(i.indkey::smallint[]) with ordinality as k(number, place)
        join pg_attribute a on a.attrelid = i.indrelid and a.attnum = k.number
      where i.indrelid = ${table}::text::regclass and i.indisprimary order by k.place`,
  )
}

async function retireOlder(service: Service, { tx, now, audit }: Scope, keyId: number): Promise<number> {
  const rows = await tx.select().from(dataKey).orderBy(dataKey.keyId).for('update')
  const current = rows.find((row) => row.keyId === keyId)
  if (!current || current.createdAt.until(now).total('seconds') < LEARNED_AFTER_SECONDS) return 0
  const older = rows.filter(
    (row) => row.keyId !== BLIND_KEY_ID && row.keyId < keyId && row.retiredAt === null,
  )
  for (const row of older)
    await tx.update(dataKey).set({ retiredAt: now }).where(eq(dataKey.keyId, row.keyId))
  if (older.length > 0) {
    service.vaults.delete(current.clinicId)
    audit({ actor: 'job:rotate', action: 'retire data keys', detail: { keys: older.length } })
  }
  return older.length
}
