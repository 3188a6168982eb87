/** The environment, parsed once. */
import { createHash } from 'node:crypto'
import { statSync } from 'node:fs'
import { join, sep } from 'node:path'
import { fileURLToPath } from 'node:url'
import { z } from 'zod'
import { Trouble } from './trouble.ts'

const top = fileURLToPath(new URL('..', import.meta.url))

/** `.data` in the clone; where only root may look into the clone, the database's user needs another place. */
function defaultData(): string {
  const inClone = join(top, '.data')
  if (process.getuid?.() !== 0) return inClone
  const folders = top.split(sep).map((_, i, parts) => parts.slice(0, i + 1).join(sep) || sep)
  const open = folders.every((folder) => (statSync(folder).mode & 0o001) !== 0)
  return open ? inClone : join('/var/lib/foreaft', createHash('sha256').update(top).digest('hex').slice(0, 8))
}

const word = z.string().min(1, 'is empty: give it a value or leave it out')
const truth = z.enum(['yes', 'no'], 'must be yes or no').transform((value) => value === 'yes')
const url = (protocols: RegExp, what: string) =>
  z.string().refine((value) => URL.canParse(value) && protocols.test(new URL(value).protocol), what)

const environment = z.object({
  FOREAFT_DATA: word.optional(),
  FOREAFT_HOST: word.default('127.0.0.1'),
  FOREAFT_PORT: z
    .string()
    .refine((text) => /^\d{1,5}$/.test(text) && Number(text) >= 1 && Number(text) <= 65_535, {
      error: 'must be a whole number from 1 to 65535',
    })
    .transform(Number)
    .default(4180),
  FOREAFT_PUBLIC_URL: url(/^https?:$/, 'must be an http or https address').optional(),
  FOREAFT_DEMO: truth.default(true),
  FOREAFT_KEYS: word.optional(),
  FOREAFT_SPOOL: word.optional(),
  FOREAFT_BACKUPS: word.optional(),
  DATABASE_URL: url(/^postgres(ql)?:$/, 'must start with postgres://').optional(),
  DATABASE_SERVICE_URL: url(/^postgres(ql)?:$/, 'must start with postgres://').optional(),
})

export interface Config {
  /** Folder for the embedded database, its keys and the spool. */
  data: string
  host: string
  port: number
  /** Address that patients' links start with; no slash at the end. */
  publicUrl: string | undefined
  /** Whether an empty database gets the demo clinic. */
  demo: boolean
  /** Master keys as `id:base64,id:base64`; the first seals, all open. */
  keys: string | undefined
  spool: string
  /** Folder of the encrypted backups of the embedded database. */
  backups: string
  databaseUrl: string | undefined
  /** The same database by a login that is only a member of the service's role; DATABASE_URL migrates alone then. */
  serviceUrl: string | undefined
}

/** Throws Trouble that names the variable and what to mend. */
export function readConfig(variables: Record<string, string | undefined>): Config {
  const unknown = Object.keys(variables).filter(
    (name) => name.startsWith('FOREAFT_') && !(name in environment.shape),
  )
  if (unknown.length > 0) {
    throw new Trouble(
      `${unknown[0]} is not a setting: the settings are ${Object.keys(environment.shape).join(', ')}.`,
    )
  }
  const result = environment.safeParse(variables)
  if (!result.success) {
    const issue = result.error.issues[0]
    const name = String(issue?.path[0])
    throw new Trouble(`${name} is wrong ("${variables[name] ?? ''}"): ${issue?.message}.`)
  }
  const env = result.data
  const data = env.FOREAFT_DATA ?? defaultData()
  return {
    data,
    host: env.FOREAFT_HOST,
    port: env.FOREAFT_PORT,
    publicUrl: env.FOREAFT_PUBLIC_URL?.replace(/\/+$/, ''),
    demo: env.FOREAFT_DEMO,
    keys: env.FOREAFT_KEYS,
    spool: env.FOREAFT_SPOOL ?? join(data, 'spool'),
    backups: env.FOREAFT_BACKUPS ?? join(data, 'backups'),
    databaseUrl: env.DATABASE_URL,
    serviceUrl: env.DATABASE_SERVICE_URL,
  }
}
