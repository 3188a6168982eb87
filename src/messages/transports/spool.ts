/**
 * Messages as files, for a clinic's own script. For each clinic, in the folder named by its short name:
 *
 *   out/ID.json   one message: {"id","channel","to","text"}. The script sends it and deletes or moves it.
 *   in/NAME.json  one reply {"id","from","text"} or one receipt {"message","status","reason"}; `status` is
 *                 "delivered" or "failed"; without `id`, NAME and the time of writing are it. Write elsewhere
 *                 in the same file system, then rename.
 *   done/, bad/   what was taken in (for a week), and what could not be, with a file .why beside it.
 *
 * `taking/` and `handed/` are the service's own. `handed/` holds an empty mark for each message that is in out/ or was, until its outcome is recorded: a
 * message that is handed over again after a crash is written once, also where the script has taken it.
 */
import { existsSync } from 'node:fs'
import { mkdir, open, rename, rm, writeFile } from 'node:fs/promises'
import { join } from 'node:path'
import { codeOf } from '../../database/service.ts'
import { type OutgoingMessage, Retryable, type Transport } from './transport.ts'

export interface SpoolFolders {
  out: string
  in: string
  done: string
  bad: string
  handed: string
  taking: string
}

export function spoolFolders(root: string, clinic: string): SpoolFolders {
  const of = (name: string) => join(root, clinic, name)
  return {
    out: of('out'),
    in: of('in'),
    done: of('done'),
    bad: of('bad'),
    handed: of('handed'),
    taking: of('taking'),
  }
}

/** Makes the clinic's folders; nobody but the service's own user and group may look inside. */
export async function prepareSpool(folders: SpoolFolders): Promise<void> {
  for (const folder of Object.values(folders)) await mkdir(folder, { recursive: true, mode: 0o770 })
}

export function spoolTransport(root: string): Transport {
  return {
    name: 'spool',
    requiresSignature: true,
    send: async (message) => {
      try {
        await handOver(spoolFolders(root, message.clinic), message)
        return { ref: `${message.id}.json` }
      } catch (error) {
        throw new Retryable(`The spool cannot be written: ${codeOf(error) || 'unknown reason'}`)
      }
    },
    settled: async (messages) => {
      for (const { id, clinic } of messages)
        await rm(join(spoolFolders(root, clinic).handed, id), { force: true })
    },
  }
}

// The draft is moved into out/ by one rename, and the mark is made before it. So a mark without a draft means
// that the message was handed over; with one, that it was not.
async function handOver(folders: SpoolFolders, { id, channel, to, body }: OutgoingMessage): Promise<void> {
  const mark = join(folders.handed, id)
  const draft = join(folders.handed, `${id}.draft`)
  if (existsSync(mark) && !existsSync(draft)) return
  await prepareSpool(folders)
  await writeThrough(draft, `${JSON.stringify({ id, channel, to, text: body }, null, 2)}\n`)
  await writeFile(mark, '')
  await rename(draft, join(folders.out, `${id}.json`))
  await syncFolder(folders.out)
}

async function writeThrough(file: string, text: string): Promise<void> {
  const handle = await open(file, 'w', 0o660)
  try {
    await handle.writeFile(text)
    await handle.sync()
  } finally {
    await handle.close()
  }
}

async function syncFolder(folder: string): Promise<void> {
  const handle = await open(folder, 'r')
  try {
    await handle.sync()
  } catch (error) {
    // Some systems cannot flush a folder; then only a power cut could undo the rename.
    if (!['EPERM', 'EINVAL', 'EISDIR'].includes(codeOf(error))) throw error
  } finally {
    await handle.close()
  }
}
