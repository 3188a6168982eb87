/** From the configuration to a migrated database: the clinic's own server, or the embedded one. */
import { existsSync } from 'node:fs'
import { join } from 'node:path'
import { setTimeout as sleep } from 'node:timers/promises'
import type { Sql } from 'postgres'
import type { Clock } from '../clock.ts'
import type { Config } from '../config.ts'
import { Trouble, wordsOf } from '../trouble.ts'
import { attachEmbedded, type EmbeddedServer, startEmbedded } from './embedded.ts'
import { ensureLogin, migrate, SERVICE_LOGIN } from './migrate.ts'
import { UNFINISHED } from './restore.ts'
import { openOwner, openService, type Service } from './service.ts'
import { loadMasterKeys } from './vault.ts'

export interface OpenDatabase {
  service: Service
  owner: Sql
  /** Where the data lies, in words. */
  where: string
  embedded: EmbeddedServer | null
  /** With its password: for further connections of this process only. */
  serviceUrl: string
  close(): Promise<void>
}

const NAME = 'foreaft'

/**
 * Opens and migrates. A command beside a running service (`beside`) uses that service's embedded server.
 * `anew` drops what a demo that was broken off has left.
 * Throws Trouble with one sentence on what to mend.
 */
export async function openDatabase(
  config: Config,
  clock: Clock,
  publicUrl: string,
  { beside = false, anew = false }: { beside?: boolean; anew?: boolean } = {},
): Promise<OpenDatabase> {
  if (existsSync(join(config.data, UNFINISHED))) {
    throw new Trouble(
      `A restore into ${config.data} did not end: empty that folder and restore again before starting on it.`,
    )
  }
  if (anew && config.databaseUrl) {
    throw new Trouble(
      `The demo was not loaded to its end: empty the database, remove ${join(config.data, 'demo-half-loaded')} and start again.`,
    )
  }
  const embedded = config.databaseUrl
    ? null
    : ((beside ? attachEmbedded(config.data) : null) ??
      (await startEmbedded({ folder: config.data, archive: true })))
  let opened: Sql | undefined
  try {
    const url = embedded ? await ownDatabase(embedded, anew) : (config.databaseUrl as string)
    const owner = openOwner(url)
    opened = owner
    await answers(owner, url)
    await migrate(owner)
    await checkKeys(owner, config)
    const masters = loadMasterKeys(config.keys, config.data)
    const serviceUrl = embedded ? await loginUrl(owner, embedded, url) : (config.serviceUrl ?? url)
    const service = openService({ url: serviceUrl, clock, masters, publicUrl })
    return {
      service,
      owner,
      where: embedded ? config.data : `${hostOf(url)}, keys in ${config.keys ? 'FOREAFT_KEYS' : config.data}`,
      embedded,
      serviceUrl,
      close: async () => {
        await service.close()
        await owner.end({ timeout: 3 })
        await embedded?.stop()
      },
    }
  } catch (error) {
    // An open connection would keep a command from ending.
    await opened?.end({ timeout: 1 })
    await embedded?.stop()
    throw error
  }
}

async function ownDatabase(embedded: EmbeddedServer, anew: boolean): Promise<string> {
  const admin = openOwner(embedded.url())
  try {
    if (anew) await admin.unsafe(`drop database if exists ${NAME} with (force)`)
    const known = await admin`select 1 from pg_database where datname = ${NAME}`
    if (known.length === 0) await admin.unsafe(`create database ${NAME}`)
  } finally {
    await admin.end()
  }
  return embedded.url(NAME)
}

async function loginUrl(owner: Sql, { loginPassword }: EmbeddedServer, url: string): Promise<string> {
  await ensureLogin(owner, loginPassword)
  const address = new URL(url)
  address.username = SERVICE_LOGIN
  address.password = loginPassword
  return address.href
}

/** New keys are made for an empty database only: beside a sealed one they would hide that its own are lost. */
async function checkKeys(owner: Sql, { keys, data }: Config): Promise<void> {
  if (keys || existsSync(join(data, 'keys'))) return
  const [sealed] = await owner`select 1 from clinic_directory limit 1`
  if (sealed)
    throw new Trouble(
      `The keys of this database are missing: put your copy of the file keys back into ${data}, or set FOREAFT_KEYS.`,
    )
}

const ANSWER_SECONDS = 10

async function answers(owner: Sql, url: string): Promise<void> {
  try {
    // The driver's own limit leaves the first query waiting where packets are dropped.
    const late = sleep(ANSWER_SECONDS * 1000, undefined, { ref: false }).then(() => {
      throw new Error(`nothing came back within ${ANSWER_SECONDS} seconds`)
    })
    await Promise.race([owner`select 1`, late])
  } catch (error) {
    await owner.end({ timeout: 1 })
    throw new Trouble(
      `The database at ${hostOf(url)} does not answer (${wordsOf(error) || 'no reason given'}): start it, or mend DATABASE_URL.`,
    )
  }
}

// Without the password.
const hostOf = (url: string): string => {
  const { host, pathname } = new URL(url)
  return `${host}${pathname}`
}
