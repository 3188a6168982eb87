/** From a backup to a running copy in an empty place, as it was at one instant. Never over existing data. */
import { chmodSync, chownSync, existsSync, mkdirSync, readdirSync, rmSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { setTimeout as sleep } from 'node:timers/promises'
import { Temporal } from 'temporal-polyfill'
import { Trouble, wordsOf } from '../trouble.ts'
import { type Base, listBases } from './backup.ts'
import { type EmbeddedServer, serverIdentity, startEmbedded } from './embedded.ts'
import { openFile } from './sealed-files.ts'
import { openOwner } from './service.ts'
import type { MasterKeys } from './vault.ts'

export interface RestoreOptions {
  /** The folder of backups. */
  from: string
  /** A folder that is not there yet, or empty. */
  to: string
  masters: MasterKeys
  /** The instant to come back to; the end of what is archived where it is left out. */
  at?: Temporal.Instant | undefined
}

const COPIES_AT_ONCE = 4

/** While this file is there, the restore has not ended: no service may start on the folder. */
export const UNFINISHED = 'restore-unfinished'

/**
 * Restores and starts the server; the caller settles what follows (flow/after-restore.ts), calls `finish`, and
 * stops it. Throws Trouble where the place is not empty or no backup reaches that instant.
 */
export async function restoreBackup({ from, to, masters, at }: RestoreOptions): Promise<{
  server: EmbeddedServer
  base: string
  /** When the last change was made that came back. */
  reached: Temporal.Instant
  finish(): void
}> {
  if (existsSync(to) && readdirSync(to).length > 0)
    throw new Trouble(`${to} is not empty: restore goes into an empty place, never over what is there.`)
  const base = chooseBase(await listBases(from, masters), from, at)
  mkdirSync(to, { recursive: true, mode: 0o700 })
  writeFileSync(join(to, UNFINISHED), '')
  await layOut(from, to, base, masters)
  await layLog(from, to, base, masters)
  giveToServer(to)
  const { server, reached } = await startRecovered(to, at)
  rmSync(join(to, 'wal-restore'), { recursive: true })
  const last = reached ?? Temporal.Instant.from(base.manifest.stoppedAt)
  return { server, base: base.name, reached: last, finish: () => rmSync(join(to, UNFINISHED)) }
}

function chooseBase(bases: Base[], from: string, at: Temporal.Instant | undefined): Base {
  const before = bases.filter(
    ({ manifest }) => !at || Temporal.Instant.compare(Temporal.Instant.from(manifest.stoppedAt), at) <= 0,
  )
  const chosen = before.at(-1)
  if (chosen) return chosen
  const first = bases[0]?.manifest.stoppedAt
  throw new Trouble(
    first
      ? `The oldest backup in ${from} ends at ${first}: choose a time from then on.`
      : `There is no whole backup in ${from}.`,
  )
}

async function layOut(
  from: string,
  to: string,
  { name, manifest }: Base,
  masters: MasterKeys,
): Promise<void> {
  const source = join(from, 'base', name)
  const data = join(to, 'database')
  for (const folder of manifest.folders) mkdirSync(join(data, folder), { recursive: true, mode: 0o700 })
  const queue = manifest.files.values()
  const lanes = Array.from({ length: COPIES_AT_ONCE }, async () => {
    for (const { path } of queue) {
      const file = join(source, 'data', `${path}.sealed`)
      if (!existsSync(file)) throw new Trouble(`The backup ${name} lacks ${path}: use another backup.`)
      await openFile(masters, { from: file, to: join(data, path), name: `${name}/${path}` })
    }
  })
  await Promise.all(lanes)
  writeFileSync(join(data, 'backup_label'), manifest.label, { mode: 0o600 })
  writeFileSync(join(data, 'recovery.signal'), '', { mode: 0o600 })
  const beside = join(source, 'beside')
  for (const sealed of existsSync(beside) ? readdirSync(beside) : []) {
    const file = sealed.replace(/\.sealed$/, '')
    await openFile(masters, {
      from: join(beside, sealed),
      to: join(to, file),
      name: `${name}/beside/${file}`,
    })
  }
}

async function layLog(from: string, to: string, { manifest }: Base, masters: MasterKeys): Promise<void> {
  mkdirSync(join(to, 'wal-restore'), { recursive: true, mode: 0o700 })
  const wal = join(from, 'wal')
  for (const sealed of existsSync(wal) ? readdirSync(wal) : []) {
    if (!sealed.endsWith('.sealed')) continue
    const name = sealed.replace(/\.sealed$/, '')
    if (!name.endsWith('.history') && name.slice(8, 24) < manifest.firstWal.slice(8)) continue
    await openFile(masters, {
      from: join(wal, sealed),
      to: join(to, 'wal-restore', name),
      name: `wal/${name}`,
    })
  }
}

function giveToServer(to: string): void {
  const { uid, gid } = serverIdentity()
  chmodSync(join(to, 'database'), 0o700)
  if (uid === undefined) return
  const give = (path: string) => chownSync(path, uid, gid as number)
  for (const top of ['database', 'wal-restore']) {
    give(join(to, top))
    for (const entry of readdirSync(join(to, top), { recursive: true })) give(join(to, top, String(entry)))
  }
}

async function startRecovered(
  to: string,
  at: Temporal.Instant | undefined,
): Promise<{ server: EmbeddedServer; reached: Temporal.Instant | null }> {
  const copy =
    process.platform === 'win32' ? 'copy "..\\wal-restore\\%f" "%p"' : 'cp "../wal-restore/%f" "%p"'
  const settings = [`restore_command=${copy}`, 'recovery_target_action=promote']
  if (at) settings.push(`recovery_target_time=${at.toString().replace('T', ' ').replace('Z', '+00')}`)
  let server: EmbeddedServer
  try {
    server = await startEmbedded({ folder: to, settings, archive: true })
  } catch (error) {
    if (/recovery ended before configured recovery target/.test(wordsOf(error)))
      throw new Trouble(`The archived log ends before ${at}: choose an earlier time, or leave --at out.`)
    throw error
  }
  const owner = openOwner(server.url())
  try {
    for (let i = 0; ; i += 1) {
      const [state] = await owner<{ recovering: boolean; reached: string | null }[]>`
        select pg_is_in_recovery() as recovering,
          to_char(pg_last_xact_replay_timestamp() at time zone 'UTC', 'YYYY-MM-DD"T"HH24:MI:SS.MS"Z"') as reached`
      if (state && !state.recovering)
        return { server, reached: state.reached === null ? null : Temporal.Instant.from(state.reached) }
      if (i > 600) throw new Trouble('The restored database did not come out of recovery.')
      await sleep(100)
    }
  } catch (error) {
    await server.stop()
    throw error
  } finally {
    await owner.end()
  }
}
