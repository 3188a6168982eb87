/** Takes in what a clinic's script laid into its spool folder; the format is told in spool.ts. */
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
}

/**
 * Each file is committed to the database first and moved afterwards, so a crash between the two reads it
 * again and stores nothing twice. @throws the first fault that was not the file's own, after trying the rest
 */
export async function collectSpool(
  service: Service,
  clinicId: string,
  options: SpoolInboxOptions,
): Promise<Collected> {
  const folders = spoolFolders(options.root, options.slug)
  await prepareSpool(folders)
  const collected: Collected = { replies: [], receipts: 0, bad: 0 }
  const faults: unknown[] = []
  for (const file of (await filesIn(folders.in)).slice(0, FILES_AT_ONCE)) {
    if (options.signal?.aborted || faults.length >= 3) break
    try {
      await takeIn(service, clinicId, folders, file, options, collected)
    } catch (error) {
      faults.push(error)
    }
  }
  await forgetDone(folders)
  if (faults.length > 0) throw faults[0]
  return collected
}

async function takeIn(
  service: Service,
  clinicId: string,
  folders: SpoolFolders,
  file: SpoolFile,
  options: SpoolInboxOptions,
  collected: Collected,
): Promise<void> {
  const parsed = await parseFile(file)
  if (parsed === null) return
  if ('why' in parsed) return await putAside(service, clinicId, folders, file, parsed.why, options, collected)
  if ('receipt' in parsed) {
    const { message, status } = parsed.receipt
    const known = await receiveReceipt(service, clinicId, { messageId: message, status }, options)
    if (!known) {
      const why = 'No message of this clinic has this id.'
      return await putAside(service, clinicId, folders, file, why, options, collected)
    }
    collected.receipts += 1
  } else {
    const { id = `${file.name}/${file.modified}`, from, text } = parsed.reply
    const inbound = { transport: 'spool', providerId: id, from, body: text }
    collected.replies.push(await receive(service, clinicId, inbound))
  }
  await moveTo(folders.done, file)
}

/** Oldest first: the order in which a patient wrote matters. */
async function filesIn(folder: string): Promise<SpoolFile[]> {
  const names = (await readdir(folder)).filter((name) => name.endsWith('.json') && !name.startsWith('.'))
  const files = await Promise.all(
    names.map(async (name) => {
      const path = join(folder, name)
      // Another process may have taken it in since it was listed.
      const found = await stat(path).catch(() => null)
      return found?.isFile() ? { name, path, size: found.size, modified: found.mtimeMs } : null
    }),
  )
  return files
    .filter((file) => file !== null)
    .sort((a, b) => a.modified - b.modified || (a.name < b.name ? -1 : 1))
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
async function putAside(
  service: Service,
  clinicId: string,
  folders: SpoolFolders,
  file: SpoolFile,
  why: string,
  { onBadFile }: SpoolInboxOptions,
  collected: Collected,
): Promise<void> {
  await inClinic(service, clinicId, (scope) => onBadFile(scope, { name: file.name, why }))
  await writeFile(join(folders.bad, `${file.name}.why`), `${why}\n`)
  await moveTo(folders.bad, file)
  collected.bad += 1
}

async function moveTo(folder: string, { name, path, modified }: SpoolFile): Promise<void> {
  // A script may use a name again: the time of writing keeps the older file.
  const target = join(folder, folder.endsWith('bad') ? name : `${Math.floor(modified)}-${name}`)
  await rename(path, target).catch((error) => {
    if (codeOf(error) !== 'ENOENT') throw error
  })
}

/** What is in done/ lies there unsealed, so it does not stay. */
async function forgetDone({ done }: SpoolFolders): Promise<void> {
  const last = realClock.now().subtract({ hours: 24 * KEEP_DONE_DAYS }).epochMilliseconds
  for (const { path, modified } of await filesIn(done)) if (modified < last) await rm(path, { force: true })
}
