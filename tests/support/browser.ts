/** One real browser for the whole run, unpacked once from its package; tests connect to it. */
import { spawnSync } from 'node:child_process'
import { existsSync, mkdirSync, mkdtempSync, readFileSync, renameSync, rmSync } from 'node:fs'
import { createRequire } from 'node:module'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { brotliDecompressSync } from 'node:zlib'
import packed from '@sparticuz/chromium'
import { type BrowserServer, chromium } from 'playwright-core'
import type { TestProject } from 'vitest/node'

declare module 'vitest' {
  export interface ProvidedContext {
    browserUrl: string
  }
}

const flags = [
  '--no-sandbox',
  '--disable-gpu',
  '--disable-dev-shm-usage',
  '--hide-scrollbars',
  '--no-first-run',
]

export default async function setup(project: TestProject): Promise<() => Promise<void>> {
  const server = await launchBrowser()
  project.provide('browserUrl', server.wsEndpoint())
  return () => server.close()
}

export const launchBrowser = async (): Promise<BrowserServer> => await launch(await unpack())

/** Several runs may unpack at once: each into a folder of its own, and the first one to finish is kept. */
async function unpack(): Promise<string> {
  const entry = createRequire(import.meta.url).resolve('@sparticuz/chromium')
  const bin = join(entry.slice(0, entry.lastIndexOf(join('@sparticuz', 'chromium'))), '@sparticuz/chromium')
  const { version } = JSON.parse(readFileSync(join(bin, 'package.json'), 'utf8')) as { version: string }
  const kept = join(tmpdir(), `foreaft-chromium-${version}`)
  if (existsSync(join(kept, 'chromium'))) return kept
  const fresh = mkdtempSync(`${kept}-`)
  const before = process.env.TMPDIR
  process.env.TMPDIR = fresh
  try {
    await packed.executablePath()
  } finally {
    if (before === undefined) delete process.env.TMPDIR
    else process.env.TMPDIR = before
  }
  // The system's libraries for where the machine has none of its own.
  mkdirSync(join(fresh, 'libraries'))
  spawnSync('tar', ['-x', '-C', join(fresh, 'libraries')], {
    input: brotliDecompressSync(readFileSync(join(bin, 'bin', 'al2023.tar.br'))),
  })
  try {
    renameSync(fresh, kept)
  } catch {
    rmSync(fresh, { recursive: true, force: true })
  }
  return kept
}

async function launch(folder: string): Promise<BrowserServer> {
  const start = (env: Record<string, string>) =>
    chromium.launchServer({
      executablePath: join(folder, 'chromium'),
      args: flags,
      host: '127.0.0.1',
      env: { ...(process.env as Record<string, string>), ...env },
    })
  try {
    return await start({})
  } catch {
    return await start({ LD_LIBRARY_PATH: join(folder, 'libraries', 'al2023', 'lib') })
  }
}
