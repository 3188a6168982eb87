/**
 * The database as the rooms see it: a clinic's scope is one transaction of the service's role, in which
 * only that clinic's rows exist, with the clock's instant, the clinic's vault and its audit at hand.
 */
import { sql as sqlOf } from 'drizzle-orm'
import { drizzle, type PostgresJsDatabase } from 'drizzle-orm/postgres-js'
import postgres, { type Sql } from 'postgres'
import type { Temporal } from 'temporal-polyfill'
import { type AuditEntry, appendAudit } from '../access/audit.ts'
import type { Clock } from '../clock.ts'
import { SERVICE_ROLE } from './migrate.ts'
import * as schema from './schema.ts'
import { type MasterKeys, openVault, UnknownKey, type Vault } from './vault.ts'

export type Db = PostgresJsDatabase<typeof schema>
export type Tx = Parameters<Parameters<Db['transaction']>[0]>[0]

export interface Service {
  db: Db
  sql: Sql
  clock: Clock
  masters: MasterKeys
  /** Start of patients' links, without a slash at the end. */
  publicUrl: string
  vaults: Map<string, { vault: Vault; loadedAt: number }>
  close(): Promise<void>
}

export interface Scope {
  tx: Tx
  clinicId: string
  /** The instant of this transaction. */
  now: Temporal.Instant
  vault: Vault
  publicUrl: string
  /** Written in the clinic's chain when the transaction commits. */
  audit(entry: AuditEntry): void
}

export interface ServiceOptions {
  url: string
  clock: Clock
  masters: MasterKeys
  publicUrl: string
  connections?: number
}

export function openService({ url, clock, masters, publicUrl, connections = 10 }: ServiceOptions): Service {
  const sql = postgres(url, {
    max: connections,
    connect_timeout: 10,
    onnotice: () => {},
    // The service never works as the owner: row-level security holds on every connection.
    connection: { role: SERVICE_ROLE, TimeZone: 'UTC', application_name: 'foreaft' } as Record<
      string,
      string
    >,
  })
  return {
    db: drizzle(sql, { schema, casing: 'snake_case' }),
    sql,
    clock,
    masters,
    publicUrl,
    vaults: new Map(),
    close: () => sql.end({ timeout: 5 }),
  }
}

/** A connection as the owner, for migrations, new clinics and backups only. */
export function openOwner(url: string): Sql {
  return postgres(url, { max: 2, connect_timeout: 10, onnotice: () => {}, connection: { TimeZone: 'UTC' } })
}

const RETRYABLE = new Set(['40P01', '40001'])
const VAULT_MS = 30_000

/**
 * Runs `work` in one transaction inside the clinic; deadlocks and serialisation failures are tried again.
 * Every write of `work` and its audit entries commit together or not at all.
 */
export async function inClinic<T>(
  service: Service,
  clinicId: string,
  work: (scope: Scope) => Promise<T>,
): Promise<T> {
  for (let attempt = 1; ; attempt += 1) {
    try {
      return await service.db.transaction(async (tx) => {
        await enterClinic(tx, clinicId)
        const entries: AuditEntry[] = []
        const scope: Scope = {
          tx,
          clinicId,
          now: service.clock.now(),
          vault: await vaultOf(service, tx, clinicId),
          publicUrl: service.publicUrl,
          audit: (entry) => void entries.push(entry),
        }
        const result = await work(scope)
        if (entries.length > 0) await appendAudit(scope, entries)
        return result
      })
    } catch (error) {
      if (error instanceof UnknownKey && attempt === 1) {
        service.vaults.delete(clinicId)
        continue
      }
      if (attempt >= 4 || !RETRYABLE.has(codeOf(error))) throw error
    }
  }
}

async function vaultOf(service: Service, tx: Tx, clinicId: string): Promise<Vault> {
  const known = service.vaults.get(clinicId)
  const monotonic = performance.now()
  if (known && monotonic - known.loadedAt < VAULT_MS) return known.vault
  const rows = await tx.select().from(schema.dataKey)
  const vault = openVault(
    service.masters,
    clinicId,
    rows.map((row) => ({ ...row, retired: row.retiredAt !== null })),
  )
  service.vaults.set(clinicId, { vault, loadedAt: monotonic })
  return vault
}

/** The SQLSTATE of an error, also where a library wrapped it; '' where it has none. */
export function codeOf(error: unknown): string {
  for (let e = error; e instanceof Error; e = e.cause) {
    if ('code' in e && typeof e.code === 'string') return e.code
  }
  return ''
}

/** Every clinic of this database, oldest first. */
export function listClinics(service: Service): Promise<{ clinicId: string; slug: string }[]> {
  return service.db
    .select({ clinicId: schema.clinicDirectory.clinicId, slug: schema.clinicDirectory.slug })
    .from(schema.clinicDirectory)
    .orderBy(schema.clinicDirectory.createdAt, schema.clinicDirectory.slug)
}

/** Makes the rows of `clinicId` the only ones that exist for this transaction. */
export async function enterClinic(tx: Tx, clinicId: string): Promise<void> {
  await tx.execute(sqlOf`select set_config('app.clinic', ${clinicId}, true)`)
}
