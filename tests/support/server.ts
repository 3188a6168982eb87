/** One real PostgreSQL for the whole run, with a migrated template; each test file gets a database of its own. */
import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import postgres from 'postgres'
import type { TestProject } from 'vitest/node'
import { startEmbedded } from '../../src/database/embedded.ts'
import { migrate } from '../../src/database/migrate.ts'

declare module 'vitest' {
  export interface ProvidedContext {
    serverUrl: string
  }
}

export const TEMPLATE = 'foreaft_template'

export default async function setup(project: TestProject): Promise<() => Promise<void>> {
  const folder = mkdtempSync(join(tmpdir(), 'foreaft-test-'))
  // Scratch data: speed over durability.
  const server = await startEmbedded({
    folder,
    settings: ['fsync=off', 'synchronous_commit=off', 'full_page_writes=off', 'max_connections=200'],
  })
  const admin = postgres(server.url(), { max: 1, onnotice: () => {} })
  await admin.unsafe(`create database ${TEMPLATE}`)
  await admin.end()
  const owner = postgres(server.url(TEMPLATE), { max: 1, onnotice: () => {} })
  await migrate(owner)
  await owner.end()
  project.provide('serverUrl', server.url())
  return async () => {
    await server.stop()
    rmSync(folder, { recursive: true, force: true })
  }
}
