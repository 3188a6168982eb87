/** `npm run backup`: a whole encrypted backup of the embedded database now, beside a running service. */
import { realClock } from '../clock.ts'
import { readConfig } from '../config.ts'
import { KEEP_DAYS, pruneBackups, sizeOf, takeBackup } from '../database/backup.ts'
import { openDatabase } from '../database/open.ts'
import { shiftableClock } from '../demo/clock.ts'
import { Trouble } from '../trouble.ts'
import { command, publicAddress, readArguments } from './open.ts'

await command(async () => {
  readArguments({ options: {} }, 'npm run backup')
  const config = readConfig(process.env)
  if (config.databaseUrl)
    throw new Trouble('DATABASE_URL names a server of your own: back it up its own way (see the README).')
  const database = await openDatabase(config, shiftableClock(config.data), publicAddress(config), {
    beside: true,
  })
  try {
    const { owner, service } = database
    const place = { owner, folder: config.data, backups: config.backups, masters: service.masters }
    const { name, files, bytes } = await takeBackup(place)
    const pruned = await pruneBackups(place, realClock.now(), KEEP_DAYS)
    const say = (line: string) => process.stdout.write(`${line}\n`)
    say(
      `Backup ${name}: ${files} files, ${mega(bytes)}, in ${config.backups} (now ${mega(sizeOf(config.backups))} in all).`,
    )
    if (pruned > 0) say(`${pruned} backups older than ${KEEP_DAYS} days were removed.`)
    say(
      'Keep a copy of that folder on another machine, and the keys in a third place: without them it cannot be read.',
    )
  } finally {
    await database.close()
  }
})

function mega(bytes: number): string {
  return `${(bytes / 1e6).toFixed(1)} MB`
}
