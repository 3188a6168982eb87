import { mkdtempSync, rmSync } from 'node:fs'
import { mkdir, readdir, readFile, rename, rm, writeFile } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterEach, beforeEach, expect, test } from 'vitest'
import {
  prepareSpool,
  type SpoolFolders,
  spoolFolders,
  spoolTransport,
} from '../../src/messages/transports/spool.ts'
import { Retryable } from '../../src/messages/transports/transport.ts'

const message = {
  id: '01890000-0000-7000-8000-000000000001',
  clinic: 'brackwater',
  channel: 'text' as const,
  to: '+447700900123',
  body: 'Brackwater Ear Rooms: "Hello"\nand more',
}
const never = new AbortController().signal

let root: string
let folders: SpoolFolders
beforeEach(async () => {
  root = mkdtempSync(join(tmpdir(), 'foreaft-spool-'))
  folders = spoolFolders(root, 'brackwater')
})
afterEach(() => rmSync(root, { recursive: true, force: true }))

const send = () => spoolTransport(root).send(message, never)
const outFile = () => join(folders.out, `${message.id}.json`)
/** The clinic's script takes the message. */
const take = () => rm(outFile())

test('a message becomes one whole file named by its id', async () => {
  expect(await send()).toEqual({ ref: `${message.id}.json` })
  expect(JSON.parse(await readFile(outFile(), 'utf8'))).toEqual({
    id: message.id,
    channel: 'text',
    to: '+447700900123',
    text: message.body,
  })
  expect(await readdir(folders.out)).toEqual([`${message.id}.json`])
})

test('handed over twice is one file, also when the script has taken it in between', async () => {
  await send()
  await send()
  expect((await readdir(folders.out)).length).toBe(1)
  await take()
  await send()
  expect(await readdir(folders.out)).toEqual([])
})

test('after a crash before the mark, a torn draft is written anew', async () => {
  await prepareSpool(folders)
  await writeFile(join(folders.handed, `${message.id}.draft`), '{"id": "018')
  await send()
  expect(JSON.parse(await readFile(outFile(), 'utf8'))).toMatchObject({ text: message.body })
})

test('after a crash between mark and rename, the message is handed over', async () => {
  await send()
  await rename(outFile(), join(folders.handed, `${message.id}.draft`))
  await send()
  expect((await readdir(folders.out)).length).toBe(1)
})

test('after a crash between rename and record, it is not handed over again', async () => {
  await send()
  await take()
  await send()
  expect(await readdir(folders.out)).toEqual([])
  expect(await readdir(folders.handed)).toEqual([message.id])
})

test('once the outcome is recorded, the mark goes', async () => {
  await send()
  await spoolTransport(root).settled?.([message])
  expect(await readdir(folders.handed)).toEqual([])
})

test('a spool that cannot be written is tried again later, without any personal word in the reason', async () => {
  await mkdir(join(root, 'brackwater'), { recursive: true })
  await writeFile(folders.out, 'a file where the folder should be')
  const error = await send().catch((thrown) => thrown)
  expect(error).toBeInstanceOf(Retryable)
  expect(error.message).toBe('The spool cannot be written: EEXIST')
})
