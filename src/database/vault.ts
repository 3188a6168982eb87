/**
 * Encryption at rest: AES-256-GCM under a clinic's data key, which is wrapped by a master key (envelope).
 * Every ciphertext names its data key, so that keys can be rotated row by row.
 */
import {
  createCipheriv,
  createDecipheriv,
  createHmac,
  createSecretKey,
  type KeyObject,
  randomBytes,
} from 'node:crypto'
import { chmodSync, existsSync, mkdirSync, readFileSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { Trouble } from '../trouble.ts'

/** The key number that is only ever used for blind look-ups. */
export const BLIND_KEY_ID = 0

export interface MasterKeys {
  /** The id of the key that wraps new data keys. */
  current: string
  byId: ReadonlyMap<string, Buffer>
}

export interface Vault {
  seal(text: string): Buffer
  open(sealed: Buffer): string
  /** Keyed hash of a contact or identity: equal for equal text, says nothing else. */
  blind(text: string): Buffer
  /** The data key that seals now. */
  keyId: number
}

export interface WrappedKey {
  keyId: number
  masterId: string
  wrapped: Buffer
  retired: boolean
}

/** A row names a data key that this process has not loaded: reload, then it is really missing. */
export class UnknownKey extends Trouble {
  override name = 'UnknownKey'
}

/** Parses `id:base64,id:base64`; the first is current. Throws Trouble when a key is not 32 bytes. */
export function parseMasterKeys(text: string): MasterKeys {
  const byId = new Map<string, Buffer>()
  for (const part of text.split(',').map((p) => p.trim())) {
    const [id, encoded] = part.split(':')
    const key = Buffer.from(encoded ?? '', 'base64')
    if (!id || key.length !== 32) {
      throw new Trouble(
        'FOREAFT_KEYS is wrong: write id:key, the key being 32 bytes in base64; several apart by commas.',
      )
    }
    byId.set(id, key)
  }
  return { current: [...byId.keys()][0] as string, byId }
}

/** The keys of the setting, or else of the file `keys` in the data folder, made at the first start. */
export function loadMasterKeys(setting: string | undefined, folder: string): MasterKeys {
  if (setting) return parseMasterKeys(setting)
  const file = join(folder, 'keys')
  if (!existsSync(file)) {
    mkdirSync(folder, { recursive: true })
    writeFileSync(file, `k1:${randomBytes(32).toString('base64')}\n`, { mode: 0o600 })
    chmodSync(file, 0o600)
  }
  return parseMasterKeys(readFileSync(file, 'utf8').trim())
}

/** A new data key, wrapped by the current master key; bound to its clinic and number. */
export function newDataKey(masters: MasterKeys, clinicId: string, keyId: number): WrappedKey {
  return rewrap(masters, clinicId, keyId, randomBytes(32))
}

/** The same data key under the current master key. */
export function rewrap(masters: MasterKeys, clinicId: string, keyId: number, key: Buffer): WrappedKey {
  const master = masters.byId.get(masters.current) as Buffer
  return {
    keyId,
    masterId: masters.current,
    wrapped: encrypt(master, key, `${clinicId}/${keyId}`),
    retired: false,
  }
}

export function unwrap(masters: MasterKeys, clinicId: string, row: WrappedKey): Buffer {
  const master = masters.byId.get(row.masterId)
  if (!master) {
    throw new Trouble(
      `The master key "${row.masterId}" is missing: add it to FOREAFT_KEYS (or the file keys) again.`,
    )
  }
  try {
    return decrypt(master, row.wrapped, `${clinicId}/${row.keyId}`)
  } catch {
    throw new Trouble(
      `The master key "${row.masterId}" does not open this database: it is not the key it was sealed with.`,
    )
  }
}

export function openVault(masters: MasterKeys, clinicId: string, rows: WrappedKey[]): Vault {
  // A prepared key opens a row about four times as fast as its bytes do.
  const keys = new Map(rows.map((row) => [row.keyId, createSecretKey(unwrap(masters, clinicId, row))]))
  const keyId = Math.max(0, ...rows.filter((row) => !row.retired).map((row) => row.keyId))
  const current = keys.get(keyId)
  const blindKey = keys.get(BLIND_KEY_ID)
  if (!current || !blindKey || keyId === BLIND_KEY_ID) {
    throw new Trouble('This clinic has no data key: restore the table data_key from a backup.')
  }
  const header = Buffer.alloc(5)
  header.writeUInt8(1, 0)
  header.writeUInt32BE(keyId, 1)
  return {
    keyId,
    seal: (text) => Buffer.concat([header, encrypt(current, Buffer.from(text, 'utf8'), clinicId)]),
    open: (sealed) => {
      const key = keys.get(sealedWith(sealed))
      if (!key)
        throw new UnknownKey(`The data key ${sealedWith(sealed)} is missing: restore the table data_key.`)
      return decrypt(key, sealed.subarray(5), clinicId).toString('utf8')
    },
    blind: (text) => createHmac('sha256', blindKey).update(text.normalize('NFC')).digest(),
  }
}

/** The number of the data key that sealed this. */
export function sealedWith(sealed: Buffer): number {
  if (sealed.length < 33 || sealed.readUInt8(0) !== 1)
    throw new Trouble('A sealed column holds something unsealed.')
  return sealed.readUInt32BE(1)
}

// nonce (12 bytes), tag (16 bytes), ciphertext
function encrypt(key: Buffer | KeyObject, plain: Buffer, context: string): Buffer {
  const nonce = randomBytes(12)
  const cipher = createCipheriv('aes-256-gcm', key, nonce).setAAD(Buffer.from(context))
  const body = Buffer.concat([cipher.update(plain), cipher.final()])
  return Buffer.concat([nonce, cipher.getAuthTag(), body])
}

function decrypt(key: Buffer | KeyObject, sealed: Buffer, context: string): Buffer {
  const decipher = createDecipheriv('aes-256-gcm', key, sealed.subarray(0, 12), { authTagLength: 16 })
  decipher.setAAD(Buffer.from(context)).setAuthTag(sealed.subarray(12, 28))
  return Buffer.concat([decipher.update(sealed.subarray(28)), decipher.final()])
}
