/** Applies the numbered SQL files of migrations/, forward only, one process at a time. */
import { readdirSync, readFileSync } from 'node:fs'
import { fileURLToPath } from 'node:url'
import type { Sql } from 'postgres'
import { Trouble } from '../trouble.ts'

const folder = fileURLToPath(new URL('../../migrations/', import.meta.url))
const LOCK = 4_180_001

/** The role that the service works as: it owns nothing and cannot pass by row-level security. */
export const SERVICE_ROLE = 'foreaft_service'

/** @returns the names of the files applied now. @throws Trouble when the server is too old. */
export async function migrate(owner: Sql): Promise<string[]> {
  const [server] = await owner<
    { number: number }[]
  >`select current_setting('server_version_num')::int as number`
  if ((server?.number ?? 0) < 180_000) {
    throw new Trouble(
      'PostgreSQL 18 or later is needed: point DATABASE_URL at one, or leave it out for the embedded one.',
    )
  }
  await ensureRole(owner)
  return await owner.begin(async (tx) => {
    await tx`select pg_advisory_xact_lock(${LOCK})`
    await tx`create table if not exists migration (name text primary key, applied_at timestamptz not null default now())`
    const applied = new Set((await tx<{ name: string }[]>`select name from migration`).map((row) => row.name))
    const fresh = readdirSync(folder)
      .filter((name) => name.endsWith('.sql') && !applied.has(name))
      .sort()
    for (const name of fresh) {
      await tx.unsafe(readFileSync(`${folder}${name}`, 'utf8'))
      await tx`insert into migration (name) values (${name})`
    }
    return fresh
  })
}

/** The login of the service on its own server: a member of its role and of nothing else. */
export const SERVICE_LOGIN = 'foreaft_login'

/** Lets the service log in as itself: what has its connection cannot become the owner. `password` is base64url. */
export async function ensureLogin(owner: Sql, password: string): Promise<void> {
  await owner.unsafe(`do $$ begin
    create role ${SERVICE_LOGIN} nosuperuser nobypassrls nocreatedb nocreaterole;
    exception when duplicate_object or unique_violation then null; end $$`)
  await owner.unsafe(`alter role ${SERVICE_LOGIN} login password '${password.replaceAll(/[^\w-]/g, '')}'`)
  await owner.unsafe(`grant ${SERVICE_ROLE} to ${SERVICE_LOGIN}`)
}

// Roles belong to the whole server, so two databases may race to make this one.
async function ensureRole(owner: Sql): Promise<void> {
  await owner.unsafe(`do $$ begin
    create role ${SERVICE_ROLE} nologin nosuperuser nobypassrls;
    exception when duplicate_object or unique_violation then null; end $$`)
  await owner.unsafe(`grant ${SERVICE_ROLE} to current_user`)
}
