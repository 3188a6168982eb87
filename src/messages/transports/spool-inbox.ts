/** Takes in what a clinic's script laid into its spool folder; the format is told in spool.ts. */
import { randomUUID } from 'node:crypto'
import { readdir, readFile, rename, rm, stat, writeFile } from 'node:fs/promises'
import { join } from 'node:path'
import { z } from 'zod'
import { realClock } from '../../clock.ts'
import { codeOf, inClinic, type Scope, type Service } from '../../database/service.ts'
import { receive } from '../inbound.ts'
import { receiveReceipt, type UndeliveredMessage } from '../outbox.ts'
import type { StoredReply } from '../store.ts'
import { prepareSpool, type SpoolFolders, spoolFolders } from './spool.ts'

const LARGEST_FILE = 256 * 1024
/** A file that does not parse may still be being written. */
const PATIENCE_SECONDS = 60
const KEEP_DONE_DAYS = 7
const FILES_AT_ONCE = 500
const UUID_LENGTH = 36

const replyFile = z.object({ id: z.string().min(1).optional(), from: z.string().min(1), text: z.string() })
const receiptFile = z.object({
  message: z.uuid(),
  status: z.enum(['delivered', 'failed']),
  reason: z.string().optional(),
})
type Parsed =
  | { reply: z.infer<typeof replyFile> }
  | { receipt: z.infer<typeof receiptFile> }
  | { why: string }

export interface SpoolInboxOptions {
  root: string
  /** The clinic's short name. */
  slug: string
  onFailed(scope: Scope, message: UndeliveredMessage): Promise<void>
  /** A file could not be understood: a person must look at it. May be called again after a crash. */
  onBadFile(scope: Scope, file: { name: string; why: string }): Promise<void>
  signal?: AbortSignal
  /** How long what was taken in lies in done/, unsealed. */
  keepDoneDays?: number
}

export interface Collected {
  replies: StoredReply[]
  receipts: number
  bad: number
}

interface SpoolFile {
  name: string
  path: string
  size: number
  /** Milliseconds since 1970, on the machine's own clock. */
  modified: number
  /** The same, when it was last moved or written. */
  changed: number
}

interface Inbox {
  service: Service
  clinicId: string
  folders: SpoolFolders
  options: SpoolInboxOptions
  collected: Collected
}

/**
 * Each file is first made ours (moved to taking/), then committed to the database, then moved to done/: a
 * crash in between reads it again and stores nothing twice, and a script that uses a name again takes
 * nothing away. @throws the first fault that was not the file's own, after trying the rest
 */
export async function collectSpool(
  service: Service,
  clinicId: string,
  options: SpoolInboxOptions,
): Promise<Collected> {
  const folders = spoolFolders(options.root, options.slug)
  await prepareSpool(folders)
  const inbox: Inbox = {
    service,
    clinicId,
    folders,
    options,
    collected: { replies: [], receipts: 0, bad: 0 },
  }
  for (const file of (await filesIn(folders.in)).slice(0, FILES_AT_ONCE)) {
    if ((await parseFile(file)) !== null) await move(file, folders.taking, `${randomUUID()}${file.name}`)
  }
  const faults: unknown[] = []
  for (const file of await filesIn(folders.taking)) {
    if (options.signal?.aborted || faults.length >= 3) break
    try {
      await takeIn(inbox, file)
    } catch (error) {
      faults.push(error)
    }
  }
  await forgetDone(folders, options.keepDoneDays ?? KEEP_DONE_DAYS)
  if (faults.length > 0) throw faults[0]
  return inbox.collected
}

async function takeIn(inbox: Inbox, file: SpoolFile): Promise<void> {
  const { service, clinicId, folders, options, collected } = inbox
  const parsed = await parseFile(file)
  if (parsed === null) return
  const name = `${Math.floor(file.modified)}-${file.name.slice(UUID_LENGTH)}`
  if ('why' in parsed) return await putAside(inbox, file, name, parsed.why)
  if ('receipt' in parsed) {
    const { message, status } = parsed.receipt
    const known = await receiveReceipt(service, clinicId, { messageId: message, status }, options)
    if (!known) return await putAside(inbox, file, name, 'No message of this clinic has this id.')
    collected.receipts += 1
  } else {
    const { id = name, from, text } = parsed.reply
    const inbound = { transport: 'spool', providerId: id, from, body: text }
    collected.replies.push(await receive(service, clinicId, inbound))
  }
  await move(file, folders.done, name)
}

/** Oldest first: the order in which a patient wrote matters. */
async function filesIn(folder: string): Promise<SpoolFile[]> {
  const names = (await readdir(folder)).filter((name) => name.endsWith('.json') && !name.startsWith('.'))
  const files = await Promise.all(
    names.map(async (name) => {
      const path = join(folder, name)
      // Another process may have taken it in since it was listed.
      const found = await stat(path).catch(() => null)
      return found?.isFile()
        ? { name, path, size: found.size, modified: found.mtimeMs, changed: found.ctimeMs }
        : null
    }),
  )
  return files
    .filter((file) => file !== null)
    .sort(
      (a, b) => a.modified - b.modified || (a.name.slice(UUID_LENGTH) < b.name.slice(UUID_LENGTH) ? -1 : 1),
    )
}

/** @returns null for a file that is gone, or that may still be being written */
async function parseFile({ path, size, modified }: SpoolFile): Promise<Parsed | null> {
  if (size > LARGEST_FILE) return { why: `The file is larger than ${LARGEST_FILE} bytes.` }
  const text = await readFile(path, 'utf8').catch((error) => {
    if (codeOf(error) === 'ENOENT') return null
    throw error
  })
  if (text === null) return null
  let json: unknown
  try {
    json = JSON.parse(text.replace(/^\uFEFF/, ''))
  } catch {
    const age = realClock.now().epochMilliseconds - modified
    return age < PATIENCE_SECONDS * 1000 ? null : { why: 'The file is not JSON.' }
  }
  const receipt = receiptFile.safeParse(json)
  if (receipt.success) return { receipt: receipt.data }
  const reply = replyFile.safeParse(json)
  if (reply.success) return { reply: reply.data }
  const fields = reply.error.issues.map((issue) => issue.path.join('.') || 'the whole').join(', ')
  return { why: `Neither a reply nor a receipt: look at ${fields}.` }
}

// A person is told before the file moves: after a crash in between it is found and told again.
async function putAside(inbox: Inbox, file: SpoolFile, name: string, why: string): Promise<void> {
  const { service, clinicId, folders, options, collected } = inbox
  await inClinic(service, clinicId, (scope) => options.onBadFile(scope, { name, why }))
  await writeFile(join(folders.bad, `${name}.why`), `${why}\n`)
  await move(file, folders.bad, name)
  collected.bad += 1
}

/** Another process may have moved it before us. */
async function move({ path }: SpoolFile, folder: string, name: string): Promise<void> {
  await rename(path, join(folder, name)).catch((error) => {
    if (codeOf(error) !== 'ENOENT') throw error
  })
}

async function forgetDone({ done }: SpoolFolders, days: number): Promise<void> {
  const last = realClock.now().subtract({ hours: 24 * days }).epochMilliseconds
  for (const { path, changed } of await filesIn(done)) if (changed <= last) await rm(path, { force: true })
}
