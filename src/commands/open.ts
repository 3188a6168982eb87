/** What every command at the keyboard shares: the database beside a running service, one clinic, clear faults. */
import { parseArgs } from 'node:util'
import { type Config, readConfig } from '../config.ts'
import { type OpenDatabase, openDatabase } from '../database/open.ts'
import { listClinics } from '../database/service.ts'
import { shiftableClock } from '../demo/clock.ts'
import { Trouble } from '../trouble.ts'

export interface CommandContext extends OpenDatabase {
  config: Config
  /** Those of --clinic, or of the only clinic there is. */
  clinicId: string
  slug: string
}

/** Address that links in messages start with. */
export const publicAddress = (config: Config): string =>
  config.publicUrl ?? `http://${config.host}:${config.port}`

/** Opens the database for a command and closes it after. `slug` may be left out where there is one clinic. */
export async function withClinic(
  slug: string | undefined,
  work: (context: CommandContext) => Promise<void>,
): Promise<void> {
  const config = readConfig(process.env)
  const database = await openDatabase(config, shiftableClock(config.data), publicAddress(config), {
    beside: true,
  })
  try {
    const clinics = await listClinics(database.service)
    const found = slug
      ? clinics.find((one) => one.slug === slug)
      : clinics.length === 1
        ? clinics[0]
        : undefined
    if (!found) {
      const names = clinics.map((one) => one.slug).join(', ')
      throw new Trouble(
        clinics.length === 0
          ? 'There is no clinic yet: start the service once (npm start), or make one with `npm run clinic`.'
          : `Say which clinic: --clinic, one of ${names}.`,
      )
    }
    await work({ ...database, config, ...found })
  } finally {
    await database.close()
  }
}

/** The same for every clinic, or the one of --clinic. */
export async function eachClinic(
  slug: string | undefined,
  work: (context: CommandContext) => Promise<void>,
): Promise<void> {
  const config = readConfig(process.env)
  const database = await openDatabase(config, shiftableClock(config.data), publicAddress(config), {
    beside: true,
  })
  try {
    const clinics = await listClinics(database.service)
    const found = clinics.filter((one) => !slug || one.slug === slug)
    if (found.length === 0) {
      const names = clinics.map((one) => one.slug).join(', ')
      throw new Trouble(names ? `There is no clinic "${slug}": ${names}.` : 'There is no clinic yet.')
    }
    for (const clinic of found) await work({ ...database, config, ...clinic })
  } finally {
    await database.close()
  }
}

/** Runs a command's main function; a Trouble is one sentence on standard error and exit status 1. */
export async function command(main: () => Promise<void>): Promise<void> {
  try {
    await main()
  } catch (error) {
    process.stderr.write(
      error instanceof Trouble ? `${error.message}\n` : `${error instanceof Error ? error.stack : error}\n`,
    )
    process.exitCode = 1
  }
}

/** Parses the words after `--`; an unknown one is a Trouble that shows how the command is called. */
export function readArguments<const T extends NonNullable<Parameters<typeof parseArgs>[0]>>(
  config: T,
  usage: string,
) {
  try {
    return parseArgs<T>(config)
  } catch {
    throw new Trouble(`Usage: ${usage}`)
  }
}
