/**
 * Files encrypted for a backup: gzip, then AES-256-GCM in chunks that each prove themselves, so that a file of
 * any size is checked while it is read and a cut end is seen. The key comes from a master key by HKDF-SHA-256
 * over a fresh salt and the file's name: no file can stand in for another.
 *
 * Layout: "FABK1", length of the master's id (1 byte), the id, salt (16 bytes), then chunks of
 * length (4 bytes; the top bit marks the last), tag (16 bytes), ciphertext.
 */
import { createCipheriv, createDecipheriv, hkdfSync, randomBytes } from 'node:crypto'
import { createReadStream, createWriteStream } from 'node:fs'
import { mkdir, readFile, stat, writeFile } from 'node:fs/promises'
import { dirname } from 'node:path'
import { Readable } from 'node:stream'
import { pipeline } from 'node:stream/promises'
import { createGunzip, createGzip, gunzipSync, gzipSync } from 'node:zlib'
import { Trouble } from '../trouble.ts'
import type { MasterKeys } from './vault.ts'

const MAGIC = Buffer.from('FABK1')
const CHUNK = 1 << 20
const LAST = 0x8000_0000

const keyOf = (master: Buffer, salt: Buffer, name: string): Buffer =>
  Buffer.from(hkdfSync('sha256', master, salt, `foreaft backup/${name}`, 32))

function nonceOf(counter: number): Buffer {
  const nonce = Buffer.alloc(12)
  nonce.writeBigUInt64BE(BigInt(counter), 4)
  return nonce
}

type Bytes = AsyncIterable<Buffer>

/** Chunks of exactly CHUNK bytes and a last one that may be shorter or empty. */
async function* inChunks(source: Bytes): AsyncGenerator<{ chunk: Buffer; last: boolean }> {
  let held: Buffer = Buffer.alloc(0)
  for await (const piece of source) {
    held = held.length === 0 ? piece : Buffer.concat([held, piece])
    while (held.length > CHUNK) {
      yield { chunk: held.subarray(0, CHUNK), last: false }
      held = held.subarray(CHUNK)
    }
  }
  yield { chunk: held, last: true }
}

function sealBytes(masters: MasterKeys, name: string): (source: Bytes) => AsyncGenerator<Buffer> {
  const salt = randomBytes(16)
  const id = Buffer.from(masters.current)
  const key = keyOf(masters.byId.get(masters.current) as Buffer, salt, name)
  return async function* (source) {
    yield Buffer.concat([MAGIC, Buffer.from([id.length]), id, salt])
    let counter = 0
    for await (const { chunk, last } of inChunks(source)) {
      const length = Buffer.alloc(4)
      length.writeUInt32BE((chunk.length | (last ? LAST : 0)) >>> 0)
      const cipher = createCipheriv('aes-256-gcm', key, nonceOf(counter)).setAAD(length)
      const body = Buffer.concat([cipher.update(chunk), cipher.final()])
      yield Buffer.concat([length, cipher.getAuthTag(), body])
      counter += 1
    }
  }
}

/** Reads exact lengths from a stream of pieces. */
function taker(source: Bytes): (length: number) => Promise<Buffer> {
  const pieces = source[Symbol.asyncIterator]()
  let held: Buffer = Buffer.alloc(0)
  return async (length) => {
    while (held.length < length) {
      const next = await pieces.next()
      if (next.done) break
      held = Buffer.concat([held, next.value])
    }
    const taken = held.subarray(0, length)
    held = held.subarray(length)
    return taken
  }
}

function openBytes(masters: MasterKeys, name: string): (source: Bytes) => AsyncGenerator<Buffer> {
  const broken = () => new Trouble(`The backup file ${name} is cut short or was changed: use another backup.`)
  return async function* (source) {
    const take = taker(source)
    const start = await take(MAGIC.length + 1)
    if (start.length !== MAGIC.length + 1 || !start.subarray(0, MAGIC.length).equals(MAGIC)) throw broken()
    const id = (await take(start.readUInt8(MAGIC.length))).toString()
    const master = masters.byId.get(id)
    if (!master) {
      throw new Trouble(
        `The backup was sealed with the master key "${id}": add that key to FOREAFT_KEYS (or the file keys).`,
      )
    }
    const key = keyOf(master, await take(16), name)
    for (let counter = 0; ; counter += 1) {
      const length = await take(4)
      if (length.length !== 4) throw broken()
      const word = length.readUInt32BE()
      const size = word & ~LAST
      if (size > CHUNK) throw broken()
      const tag = await take(16)
      const body = await take(size)
      if (tag.length !== 16 || body.length !== size) throw broken()
      const decipher = createDecipheriv('aes-256-gcm', key, nonceOf(counter), { authTagLength: 16 })
      decipher.setAAD(length).setAuthTag(tag)
      try {
        yield Buffer.concat([decipher.update(body), decipher.final()])
      } catch {
        throw broken()
      }
      if ((word & LAST) !== 0) return
    }
  }
}

/** Smaller files are worked on whole: a database has a thousand of them, and streams cost more than they save. */
const SMALL = 1 << 20

interface FileJob {
  from: string
  to: string
  /** Its name in the backup: it opens under no other. */
  name: string
}

/**
 * Seals the file as it is long at this moment: the database may go on writing behind that. `flush` waits until
 * it is on the disk. @returns its size in bytes
 */
export async function sealFile(
  masters: MasterKeys,
  { from, to, name, flush = false }: FileJob & { flush?: boolean },
): Promise<number> {
  const { size } = await stat(from)
  await mkdir(dirname(to), { recursive: true, mode: 0o700 })
  if (size <= SMALL) {
    const content = (await readFile(from)).subarray(0, size)
    await writeFile(to, await sealWhole(masters, name, content), { mode: 0o600, flush })
    return size
  }
  const source = createReadStream(from, { end: size - 1 })
  const target = createWriteStream(to, { mode: 0o600, flush })
  await pipeline(source, createGzip({ level: 3 }), sealBytes(masters, name), target)
  return size
}

export async function openFile(masters: MasterKeys, { from, to, name }: FileJob): Promise<void> {
  await mkdir(dirname(to), { recursive: true, mode: 0o700 })
  if ((await stat(from)).size <= SMALL) {
    await writeFile(to, await openWhole(masters, name, await readFile(from)), { mode: 0o600 })
    return
  }
  const target = createWriteStream(to, { mode: 0o600 })
  await pipeline(createReadStream(from), openBytes(masters, name), createGunzip(), target)
}

export async function sealText(
  masters: MasterKeys,
  { text, to, name }: { text: string; to: string; name: string },
): Promise<void> {
  await mkdir(dirname(to), { recursive: true, mode: 0o700 })
  await writeFile(to, await sealWhole(masters, name, Buffer.from(text)), { mode: 0o600, flush: true })
}

export async function openText(
  masters: MasterKeys,
  { from, name }: { from: string; name: string },
): Promise<string> {
  return (await openWhole(masters, name, await readFile(from))).toString('utf8')
}

async function sealWhole(masters: MasterKeys, name: string, content: Buffer): Promise<Buffer> {
  return await whole(sealBytes(masters, name)(Readable.from([gzipSync(content, { level: 3 })])))
}

async function openWhole(masters: MasterKeys, name: string, sealed: Buffer): Promise<Buffer> {
  return gunzipSync(await whole(openBytes(masters, name)(Readable.from([sealed]))))
}

async function whole(parts: Bytes): Promise<Buffer> {
  const list: Buffer[] = []
  for await (const part of parts) list.push(part)
  return Buffer.concat(list)
}
