/**
 * Backups of the embedded server while it runs: a base copy of its files between pg_backup_start and
 * pg_backup_stop, and the write-ahead log that the server lays into `wal-archive`, both encrypted. Together
 * they bring back any instant from the end of a base copy to the last archived segment (PostgreSQL
 * documentation, "Continuous Archiving and Point-in-Time Recovery").
 *
 *   BACKUPS/base/20260302T010000Z/manifest.sealed, data/...sealed
 *   BACKUPS/wal/000000010000000000000007.sealed
 */
import { existsSync, mkdirSync, readdirSync, renameSync, rmSync, statSync } from 'node:fs'
import { join } from 'node:path'
import type { Sql } from 'postgres'
import { Temporal } from 'temporal-polyfill'
import { z } from 'zod'
import { realClock } from '../clock.ts'
import { Trouble } from '../trouble.ts'
import { openText, sealFile, sealText } from './sealed-files.ts'
import type { MasterKeys } from './vault.ts'

export interface BackupPlace {
  owner: Sql
  /** The data folder: it holds `database` and `wal-archive`. */
  folder: string
  backups: string
  masters: MasterKeys
}

const manifestSchema = z.object({
  version: z.literal(1),
  server: z.string(),
  startedAt: z.string(),
  stoppedAt: z.string(),
  /** The first segment that recovery needs. */
  firstWal: z.string(),
  label: z.string(),
  folders: z.array(z.string()),
  files: z.array(z.object({ path: z.string(), size: z.number() })),
})
export type Manifest = z.infer<typeof manifestSchema>

export interface Base {
  name: string
  manifest: Manifest
}

/** Kept beside the database: what a restored service needs to come up. The master keys are never in a backup. */
const BESIDE = ['database-password', 'demo-clock']

// What the server makes anew (PostgreSQL documentation, "Backing Up the Data Directory").
const EMPTIED = [
  'pg_wal',
  'pg_dynshmem',
  'pg_notify',
  'pg_serial',
  'pg_snapshots',
  'pg_stat_tmp',
  'pg_subtrans',
  'pg_replslot',
]
const LEFT_OUT =
  /^(postmaster\.pid|postmaster\.opts|backup_label|tablespace_map|recovery\.signal)$|(^|\/)(pgsql_tmp|pg_internal\.init)/

/** The clinic's own policy may keep its copies elsewhere longer. */
export const KEEP_DAYS = 14

const BASE_AFTER_HOURS = 20
const COPIES_AT_ONCE = 4
const ARCHIVE_WAIT_MS = 120_000
const SEGMENT = /^[0-9A-F]{24}$/

/** Takes a whole base copy, then every archived segment. @returns its name and size in bytes */
export async function takeBackup(
  place: BackupPlace,
): Promise<{ name: string; files: number; bytes: number }> {
  const { owner, folder, backups, masters } = place
  await checkArchiving(owner)
  const connection = await owner.reserve()
  try {
    const [began] = await connection<{ at: string; wal: string; server: string }[]>`
      select to_char(now() at time zone 'UTC', 'YYYY-MM-DD"T"HH24:MI:SS"Z"') as at,
        pg_walfile_name(pg_backup_start('foreaft', true)) as wal, current_setting('server_version') as server`
    if (!began) throw new Error('The server began no backup.')
    const name = began.at.replaceAll(/[-:]/g, '')
    const target = join(backups, 'base', name)
    if (existsSync(target)) throw new Trouble(`There is a backup ${name} already: try again in a second.`)
    const part = `${target}.part`
    const { folders, files } = await copyTree(place, part, name)
    await connection.unsafe(`set statement_timeout = ${ARCHIVE_WAIT_MS}`)
    const [ended] = await connection<{ label: string; at: string }[]>`
      select labelfile as label, to_char(clock_timestamp() at time zone 'UTC', 'YYYY-MM-DD"T"HH24:MI:SS.US"Z"') as at
      from pg_backup_stop(true)`
    await connection.unsafe('reset statement_timeout')
    const manifest: Manifest = {
      version: 1,
      server: began.server,
      startedAt: began.at,
      stoppedAt: ended?.at as string,
      firstWal: began.wal,
      label: ended?.label as string,
      folders,
      files,
    }
    await sealText(masters, {
      text: JSON.stringify(manifest),
      to: join(part, 'manifest.sealed'),
      name: `${name}/manifest`,
    })
    for (const file of BESIDE) {
      const from = join(folder, file)
      if (existsSync(from))
        await sealFile(masters, {
          from,
          to: join(part, 'beside', `${file}.sealed`),
          name: `${name}/beside/${file}`,
        })
    }
    renameSync(part, target)
    await collectWal(place)
    return { name, files: files.length, bytes: files.reduce((sum, file) => sum + file.size, 0) }
  } finally {
    connection.release()
  }
}

async function checkArchiving(owner: Sql): Promise<void> {
  const [server] = await owner<{ mode: string }[]>`select current_setting('archive_mode') as mode`
  if (server?.mode !== 'on')
    throw new Trouble('The running database does not archive its log: stop the service and start it again.')
}

async function copyTree(
  { folder, masters }: BackupPlace,
  part: string,
  name: string,
): Promise<Pick<Manifest, 'folders' | 'files'>> {
  const data = join(folder, 'database')
  rmSync(part, { recursive: true, force: true })
  mkdirSync(part, { recursive: true, mode: 0o700 })
  const { folders, files } = listTree(data)
  const copied: Manifest['files'] = []
  const queue = files.values()
  const lanes = Array.from({ length: COPIES_AT_ONCE }, async () => {
    for (const path of queue) {
      const to = join(part, 'data', `${path}.sealed`)
      // A table that was dropped meanwhile: the log says so too.
      const size = await sealFile(masters, { from: join(data, path), to, name: `${name}/${path}` }).catch(
        (error: NodeJS.ErrnoException) => {
          if (error.code !== 'ENOENT') throw error
          rmSync(to, { force: true })
          return null
        },
      )
      if (size !== null) copied.push({ path, size })
    }
  })
  await Promise.all(lanes)
  return { folders, files: copied }
}

/** Paths with `/`, relative to `top`. */
function listTree(top: string): { folders: string[]; files: string[] } {
  const folders: string[] = []
  const files: string[] = []
  const walk = (path: string): void => {
    for (const entry of readdirSync(join(top, path), { withFileTypes: true })) {
      const inner = path ? `${path}/${entry.name}` : entry.name
      if (LEFT_OUT.test(inner)) continue
      if (!entry.isDirectory()) files.push(inner)
      else {
        folders.push(inner)
        if (!EMPTIED.includes(inner)) walk(inner)
      }
    }
  }
  walk('')
  return { folders: [...folders, 'pg_wal/archive_status', 'pg_wal/summaries'], files }
}

export const walArchive = (folder: string): string => join(folder, 'wal-archive')

/** Encrypts what the server has archived since the last time, and removes the readable copy. @returns how many */
export async function collectWal({ folder, backups, masters }: Omit<BackupPlace, 'owner'>): Promise<number> {
  const archive = walArchive(folder)
  if (!existsSync(archive)) return 0
  const names = readdirSync(archive).filter((name) => !name.endsWith('.part'))
  for (const name of names.sort()) {
    const to = join(backups, 'wal', `${name}.sealed`)
    await sealFile(masters, { from: join(archive, name), to: `${to}.part`, name: `wal/${name}`, flush: true })
    renameSync(`${to}.part`, to)
    rmSync(join(archive, name))
  }
  return names.length
}

/** Whole base copies, oldest first. */
export async function listBases(backups: string, masters: MasterKeys): Promise<Base[]> {
  const folder = join(backups, 'base')
  if (!existsSync(folder)) return []
  const bases: Base[] = []
  for (const name of readdirSync(folder).sort()) {
    if (name.endsWith('.part')) continue
    const text = await openText(masters, {
      from: join(folder, name, 'manifest.sealed'),
      name: `${name}/manifest`,
    })
    bases.push({ name, manifest: manifestSchema.parse(JSON.parse(text)) })
  }
  return bases
}

/**
 * Removes base copies older than `keepDays`, but never the newest that is that old, and the log that no kept
 * one needs. @returns how many base copies went
 */
export async function pruneBackups(
  { backups, masters }: Pick<BackupPlace, 'backups' | 'masters'>,
  now: Temporal.Instant,
  keepDays: number,
): Promise<number> {
  const bases = await listBases(backups, masters)
  const limit = now.subtract({ hours: 24 * keepDays })
  const isOld = ({ manifest }: Base) =>
    Temporal.Instant.compare(Temporal.Instant.from(manifest.stoppedAt), limit) < 0
  const old = bases.filter(isOld)
  const gone = old.slice(0, -1)
  for (const { name } of gone) rmSync(join(backups, 'base', name), { recursive: true })
  const oldest = bases[gone.length]
  const wal = join(backups, 'wal')
  if (oldest && existsSync(wal)) {
    const needed = oldest.manifest.firstWal.slice(8)
    for (const file of readdirSync(wal)) {
      const segment = file.replace(/\.sealed$/, '').split('.')[0] as string
      if (SEGMENT.test(segment) && segment.slice(8) < needed) rmSync(join(wal, file))
    }
  }
  return gone.length
}

/** Bytes of everything in the backups folder. */
export function sizeOf(folder: string): number {
  if (!existsSync(folder)) return 0
  return readdirSync(folder, { withFileTypes: true, recursive: true })
    .filter((entry) => entry.isFile())
    .reduce((sum, entry) => sum + statSync(join(entry.parentPath, entry.name)).size, 0)
}

/** What the jobs do: a base copy with its pruning where the last is a day old, or the log alone. @returns how many files were taken */
export async function backUp(what: 'base' | 'log', place: BackupPlace): Promise<number> {
  if (what === 'log') return await collectWal(place)
  const last = (await listBases(place.backups, place.masters)).at(-1)?.manifest.stoppedAt
  const due = realClock.now().subtract({ hours: BASE_AFTER_HOURS })
  if (last && Temporal.Instant.compare(Temporal.Instant.from(last), due) > 0) return 0
  const { files } = await takeBackup(place)
  await pruneBackups(place, realClock.now(), KEEP_DAYS)
  return files
}
