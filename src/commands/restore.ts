/**
 * `npm run restore -- --from BACKUPS --to EMPTY_FOLDER [--at TIME]`: brings the database back into an empty
 * place as it was at that instant, and settles what may not be sent twice. `--settle --at TIME` does the
 * second half alone, for a server of one's own that was restored its own way.
 */
import { copyFileSync, existsSync } from 'node:fs'
import { join, resolve } from 'node:path'
import { Temporal } from 'temporal-polyfill'
import { realClock } from '../clock.ts'
import { type Config, readConfig } from '../config.ts'
import { migrate } from '../database/migrate.ts'
import { openDatabase } from '../database/open.ts'
import { restoreBackup } from '../database/restore.ts'
import { inClinic, listClinics, openOwner, openService, type Service } from '../database/service.ts'
import { loadMasterKeys } from '../database/vault.ts'
import { shiftableClock } from '../demo/clock.ts'
import { settleAfterRestore } from '../flow/after-restore.ts'
import { Trouble } from '../trouble.ts'
import { command, publicAddress, readArguments } from './open.ts'

const USAGE = 'npm run restore -- --from BACKUPS --to EMPTY_FOLDER [--at 2026-03-02T09:00:00Z]'
const say = (line: string) => process.stdout.write(`${line}\n`)

await command(async () => {
  const { values } = readArguments(
    {
      options: {
        from: { type: 'string' },
        to: { type: 'string' },
        at: { type: 'string' },
        settle: { type: 'boolean' },
      },
    },
    USAGE,
  )
  const config = readConfig(process.env)
  const at = values.at ? instantOf(values.at) : undefined
  if (values.settle) return await settleOnly(config, at)
  if (!values.from || !values.to) throw new Trouble(`Usage: ${USAGE}`)
  await restore(config, resolve(values.from), resolve(values.to), at)
})

function instantOf(text: string): Temporal.Instant {
  try {
    return Temporal.Instant.from(text)
  } catch {
    throw new Trouble(`"${text}" is not an instant: write one such as 2026-03-02T09:00:00Z.`)
  }
}

async function restore(config: Config, from: string, to: string, at: Temporal.Instant | undefined) {
  const masters = existingKeys(config)
  const { server, base, reached, finish } = await restoreBackup({ from, to, masters, at })
  const clock = shiftableClock(to)
  const url = server.url('foreaft')
  const owner = openOwner(url)
  const service = openService({ url, clock, masters, publicUrl: publicAddress(config) })
  try {
    await migrate(owner)
    say(
      `Restored from the backup ${base} to ${at ?? 'the end of its log'} (last change ${reached}), into ${to}.`,
    )
    const ahead = realClock.now().until(clock.now())
    await settle(service, (at ?? reached).add(ahead))
    const keys = join(config.data, 'keys')
    if (!config.keys && existsSync(keys)) copyFileSync(keys, join(to, 'keys'))
    finish()
  } finally {
    await service.close()
    await owner.end()
    await server.stop()
  }
  say('Stop the old service before you start this one: both would send.')
  say(`Start the service on it: FOREAFT_DATA=${to} npm start`)
}

// Only keys that are there can open a backup: none is made here.
function existingKeys(config: Config) {
  if (!config.keys && !existsSync(join(config.data, 'keys')))
    throw new Trouble(`There are no keys in ${config.data}: set FOREAFT_KEYS to those of the backup.`)
  return loadMasterKeys(config.keys, config.data)
}

async function settleOnly(config: Config, at: Temporal.Instant | undefined): Promise<void> {
  if (!at) throw new Trouble('Say to which instant the database was restored: --at TIME.')
  const database = await openDatabase(config, shiftableClock(config.data), publicAddress(config), {
    beside: true,
  })
  try {
    await settle(database.service, at)
  } finally {
    await database.close()
  }
}

async function settle(service: Service, point: Temporal.Instant): Promise<void> {
  for (const { clinicId, slug } of await listClinics(service)) {
    const { doubtful, waiting } = await inClinic(service, clinicId, (scope) =>
      settleAfterRestore(scope, point),
    )
    say(
      `${slug}: ${doubtful} messages may have gone out already and lie on the front desk; ${waiting} wait for their time.`,
    )
  }
}
