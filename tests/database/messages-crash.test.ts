import { type ChildProcess, spawn } from 'node:child_process'
import { mkdtempSync, rmSync } from 'node:fs'
import { readdir, readFile, rename } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { setTimeout as sleep } from 'node:timers/promises'
import { fileURLToPath } from 'node:url'
import { Temporal } from 'temporal-polyfill'
import { afterAll, expect, test } from 'vitest'
import { prepareSpool, spoolFolders } from '../../src/messages/transports/spool.ts'
import { testDatabase } from '../support/database.ts'
import { addMany, messagesOf, statusCounts } from './messages-fixtures.ts'

const { url, service, addClinic } = await testDatabase('2026-03-02T12:00:00Z')
const root = mkdtempSync(join(tmpdir(), 'foreaft-crash-'))
const child = fileURLToPath(new URL('../support/delivering-child.ts', import.meta.url))
const keys = `t1:${Buffer.alloc(32, 7).toString('base64')}`
const running = new Set<ChildProcess>()
afterAll(() => {
  for (const one of running) one.kill('SIGKILL')
  rmSync(root, { recursive: true, force: true })
})

/** Starts a worker whose clock begins at `start`; resolves when it is at work. */
async function startWorker(clinicId: string, start: string): Promise<ChildProcess> {
  const worker = spawn(process.execPath, [child, url, keys, clinicId, root, start], {
    stdio: ['ignore', 'pipe', 'inherit'],
  })
  running.add(worker)
  await new Promise<void>((resolve, reject) => {
    worker.stdout?.once('data', () => resolve())
    worker.once('exit', (code) => reject(new Error(`The worker ended (${code}).`)))
  })
  return worker
}

async function kill(worker: ChildProcess): Promise<void> {
  const ended = new Promise((resolve) => worker.once('exit', resolve))
  worker.kill('SIGKILL')
  await ended
  running.delete(worker)
}

test('workers killed in the middle again and again: nothing is lost and nothing goes out twice', {
  timeout: 180_000,
}, async () => {
  const clinicId = await addClinic('crash', { transport: 'spool' })
  const folders = spoolFolders(root, 'crash')
  await prepareSpool(folders)
  await addMany(service, clinicId, 400)

  // The clinic's script, which takes each file as soon as it is there.
  const taken: string[] = []
  let isDone = false
  const script = (async () => {
    while (!isDone) {
      for (const name of await readdir(folders.out)) {
        const { id } = JSON.parse(await readFile(join(folders.out, name), 'utf8')) as { id: string }
        taken.push(id)
        await rename(join(folders.out, name), join(folders.done, name))
      }
      await sleep(3)
    }
  })()

  const start = Temporal.Instant.from('2026-03-02T12:00:00Z')
  let interrupted = 0
  for (let round = 0; round < 6; round += 1) {
    // Each worker starts after the leases of the one before have ended.
    const worker = await startWorker(clinicId, start.add({ seconds: 90 * round }).toString())
    const target = taken.length + 3 + 7 * round
    for (let i = 0; i < 5000 && taken.length < target; i += 1) await sleep(1)
    await kill(worker)
    interrupted += (await statusCounts(service, clinicId)).sending ?? 0
  }
  const last = await startWorker(clinicId, start.add({ seconds: 90 * 6 }).toString())
  for (let i = 0; i < 1200 && (await statusCounts(service, clinicId)).sent !== 400; i += 1) await sleep(50)
  await kill(last)
  await sleep(50)
  isDone = true
  await script

  expect(interrupted, 'no kill fell into a batch, so nothing was shown').toBeGreaterThan(0)
  expect(await statusCounts(service, clinicId)).toEqual({ sent: 400 })
  const ids = (await messagesOf(service, clinicId)).map(({ messageId }) => messageId)
  expect(taken.length).toBe(400)
  expect([...taken].sort()).toEqual([...ids].sort())
})
