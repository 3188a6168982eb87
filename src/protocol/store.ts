/** Versions of a clinic's protocol: the newest signed one rules; drafts wait for a licensed clinician. */
import { and, desc, eq, isNotNull, isNull } from 'drizzle-orm'
import { protocol } from '../database/schema.ts'
import type { Scope } from '../database/service.ts'
import { Trouble } from '../trouble.ts'
import { defaultProtocol, type ProtocolDocument, protocolSchema } from './document.ts'

export interface ProtocolVersion {
  version: number
  document: ProtocolDocument
  note: string
  signed: { by: string; name: string; registration: string; at: string } | null
}

type Row = typeof protocol.$inferSelect

// A version's document never changes once stored, so it is checked once a process.
const checkedDocuments = new Map<string, ProtocolDocument>()

function documentOf({ clinicId, version, document }: Row): ProtocolDocument {
  const key = `${clinicId}/${version}`
  const known = checkedDocuments.get(key)
  if (known) return known
  const checked = protocolSchema.parse(document)
  checkedDocuments.set(key, checked)
  return checked
}

function toVersion(row: Row): ProtocolVersion {
  const { signedBy, signedName, signedRegistration, signedAt } = row
  return {
    version: row.version,
    document: documentOf(row),
    note: row.note,
    signed:
      signedBy && signedName && signedRegistration && signedAt
        ? { by: signedBy, name: signedName, registration: signedRegistration, at: signedAt.toString() }
        : null,
  }
}

/**
 * The version in force: the newest signed one, or, while none is signed, the first draft (then only the
 * demo transports send).
 */
export async function currentProtocol(scope: Pick<Scope, 'tx'>): Promise<ProtocolVersion> {
  const signed = await scope.tx
    .select()
    .from(protocol)
    .where(isNotNull(protocol.signedAt))
    .orderBy(desc(protocol.version))
    .limit(1)
  const rows =
    signed.length > 0 ? signed : await scope.tx.select().from(protocol).orderBy(protocol.version).limit(1)
  if (!rows[0]) throw new Error('This clinic has no protocol.')
  return toVersion(rows[0])
}

/** Every version, newest first. */
export async function protocolVersions(scope: Pick<Scope, 'tx'>): Promise<ProtocolVersion[]> {
  return (await scope.tx.select().from(protocol).orderBy(desc(protocol.version))).map(toVersion)
}

export async function protocolVersion(
  scope: Pick<Scope, 'tx'>,
  version: number,
): Promise<ProtocolVersion | null> {
  const [row] = await scope.tx.select().from(protocol).where(eq(protocol.version, version))
  return row ? toVersion(row) : null
}

/** Stores a new draft. @throws ZodError naming the rule that does not fit. @returns its version */
export async function draftProtocol(
  scope: Scope,
  { document, note, by }: { document: unknown; note: string; by: string | null },
): Promise<number> {
  const checked = protocolSchema.parse(document)
  const [newest] = await scope.tx
    .select({ version: protocol.version })
    .from(protocol)
    .orderBy(desc(protocol.version))
    .limit(1)
  const version = (newest?.version ?? 0) + 1
  await scope.tx.insert(protocol).values({
    clinicId: scope.clinicId,
    version,
    document: checked,
    note,
    createdAt: scope.now,
    createdBy: by,
  })
  scope.audit({
    actor: by ? `staff:${by}` : 'service',
    action: 'draft protocol',
    subject: `protocol:${version}`,
  })
  return version
}

/** The shipped rules as the clinic's first draft. */
export function startProtocol(scope: Scope): Promise<number> {
  return draftProtocol(scope, { document: defaultProtocol, note: 'The rules as shipped', by: null })
}

export interface Signature {
  staffId: string
  name: string
  registration: string
}

/** A named licensed clinician puts a version in force. @throws Trouble when it cannot be signed */
export async function signProtocol(scope: Scope, version: number, by: Signature): Promise<void> {
  if (by.registration.trim().length < 3 || by.name.trim().length < 3) {
    throw new Trouble('To sign, give your full name and your registration number.')
  }
  const rows = await scope.tx
    .update(protocol)
    .set({
      signedAt: scope.now,
      signedBy: by.staffId,
      signedName: by.name.trim(),
      signedRegistration: by.registration.trim(),
    })
    .where(and(eq(protocol.version, version), isNull(protocol.signedAt)))
    .returning({ version: protocol.version })
  if (rows.length === 0) throw new Trouble(`There is no unsigned version ${version} of the protocol.`)
  scope.audit({ actor: `staff:${by.staffId}`, action: 'sign protocol', subject: `protocol:${version}` })
}
