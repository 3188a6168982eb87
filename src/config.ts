/** The environment, parsed once. */
import { join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { z } from 'zod'
import { Trouble } from './trouble.ts'

const top = fileURLToPath(new URL('..', import.meta.url))

const truth = z.enum(['yes', 'no']).transform((value) => value === 'yes')
const url = (protocols: RegExp, what: string) =>
  z.string().refine((value) => URL.canParse(value) && protocols.test(new URL(value).protocol), what)

const environment = z.object({
  FOREAFT_DATA: z.string().min(1).default(join(top, '.data')),
  FOREAFT_HOST: z.string().min(1).default('127.0.0.1'),
  FOREAFT_PORT: z.coerce
    .number()
    .int('must be a whole number')
    .min(0)
    .max(65535, 'must be 0 to 65535')
    .default(4180),
  FOREAFT_PUBLIC_URL: url(/^https?:$/, 'must be an http or https address').optional(),
  FOREAFT_DEMO: truth.default(true),
  FOREAFT_KEYS: z.string().min(1).optional(),
  FOREAFT_SPOOL: z.string().min(1).optional(),
  DATABASE_URL: url(/^postgres(ql)?:$/, 'must start with postgres://').optional(),
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
  databaseUrl: string | undefined
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
  return {
    data: env.FOREAFT_DATA,
    host: env.FOREAFT_HOST,
    port: env.FOREAFT_PORT,
    publicUrl: env.FOREAFT_PUBLIC_URL?.replace(/\/+$/, ''),
    demo: env.FOREAFT_DEMO,
    keys: env.FOREAFT_KEYS,
    spool: env.FOREAFT_SPOOL ?? join(env.FOREAFT_DATA, 'spool'),
    databaseUrl: env.DATABASE_URL,
  }
}
