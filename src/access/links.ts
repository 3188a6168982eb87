/**
 * Patients' links: a random token, stored only as its hash, for one purpose and one patient. The address
 * holds the clinic's short name and the token, nothing of the patient.
 */
import { createHash, randomBytes, timingSafeEqual } from 'node:crypto'
import { and, eq, isNull, lt, type SQL, sql } from 'drizzle-orm'
import { Temporal } from 'temporal-polyfill'
import { clinicDirectory, link, patient, question } from '../database/schema.ts'
import { inClinic, type Scope, type Service } from '../database/service.ts'

export type LinkPurpose = (typeof link.$inferSelect)['purpose']

export interface NewLink {
  patientId: string
  purpose: LinkPurpose
  questionId?: string | null | undefined
  /** The number or address that it is sent to; the link dies when the patient's changes. */
  contact: string
  expiresAt: Temporal.Instant
}

/** Wrong years before a link gives nothing personal any more. */
export const FACT_TRIES = 5
const PASS_MINUTES = 30
const TOKEN_BYTES = 16

const hashOf = (token: string): Buffer => createHash('sha256').update(token).digest()

export interface LinkDraft {
  /** The whole address, to be put into a message. */
  url: string
  /** Nothing opens until this is called. */
  save(made: NewLink): Promise<void>
}

export async function draftLink(scope: Scope): Promise<LinkDraft> {
  const token = randomBytes(TOKEN_BYTES).toString('base64url')
  return {
    url: `${scope.publicUrl}/p/${await slugOf(scope)}.${token}`,
    save: async ({ contact, ...rest }) => {
      await scope.tx.insert(link).values({
        clinicId: scope.clinicId,
        linkHash: hashOf(token),
        ...rest,
        contactBlind: scope.vault.blind(contact),
        createdAt: scope.now,
      })
    },
  }
}

/** @returns the whole address, to be put into a message */
export async function createLink(scope: Scope, made: NewLink): Promise<string> {
  const draft = await draftLink(scope)
  await draft.save(made)
  return draft.url
}

// A clinic's short name never changes: it stands in addresses that are out.
const slugs = new Map<string, string>()

async function slugOf({ tx, clinicId }: Scope): Promise<string> {
  const known = slugs.get(clinicId)
  if (known) return known
  const [row] = await tx.select().from(clinicDirectory).where(eq(clinicDirectory.clinicId, clinicId))
  if (!row) throw new Error(`There is no clinic ${clinicId}.`)
  slugs.set(clinicId, row.slug)
  return row.slug
}

export interface OpenLink {
  /** Names the link in further calls; not the token. */
  hash: Buffer
  patientId: string
  purpose: LinkPurpose
  questionId: string | null
  /** The fact stands between the reader and anything personal. */
  fact: 'needed' | 'locked' | 'none-known'
  expiresAt: Temporal.Instant
}

/** Why a link opens nothing. The reader is told only that it no longer works. */
export type LinkGone = 'unknown' | 'revoked' | 'expired' | 'replaced' | 'withdrawn'

/** `text` is what stands after /p/ in the address. `withdrawnToo`: opens also where its question was taken back. */
export async function openLink(
  service: Service,
  text: string,
  { withdrawnToo = false }: { withdrawnToo?: boolean } = {},
): Promise<{ clinicId: string; link: OpenLink } | { gone: LinkGone }> {
  const parts = /^([a-z0-9]+(?:-[a-z0-9]+)*)\.([A-Za-z0-9_-]{22})$/.exec(text)
  if (!parts) return { gone: 'unknown' }
  const [, slug, token] = parts as unknown as [string, string, string]
  const [clinic] = await service.db.select().from(clinicDirectory).where(eq(clinicDirectory.slug, slug))
  if (!clinic) return { gone: 'unknown' }
  const { clinicId } = clinic
  return await inClinic(service, clinicId, async ({ tx, now }) => {
    const [row] = await tx
      .select({ link, patient, withdrawnAt: question.withdrawnAt })
      .from(link)
      .innerJoin(patient, eq(patient.patientId, link.patientId))
      .leftJoin(question, eq(question.questionId, link.questionId))
      .where(eq(link.linkHash, hashOf(token)))
    if (!row) return { gone: 'unknown' }
    if (row.link.revokedAt) return { gone: 'revoked' }
    if (Temporal.Instant.compare(now, row.link.expiresAt) >= 0) return { gone: 'expired' }
    if (!isContactOf(row.patient, row.link.contactBlind)) return { gone: 'replaced' }
    if (row.withdrawnAt && !withdrawnToo) return { gone: 'withdrawn' }
    const { linkHash, patientId, purpose, questionId, expiresAt, factTries } = row.link
    const fact = !row.patient.birthDateSealed ? 'none-known' : factTries >= FACT_TRIES ? 'locked' : 'needed'
    return { clinicId, link: { hash: linkHash, patientId, purpose, questionId, fact, expiresAt } }
  })
}

const isContactOf = (
  { mobileBlind, emailBlind, numberWrongAt }: typeof patient.$inferSelect,
  contact: Buffer | null,
): boolean =>
  contact === null ||
  (mobileBlind?.equals(contact) === true && numberWrongAt === null) ||
  emailBlind?.equals(contact) === true

/** Ends the links of a patient, of a question, or those sent to one number or address. @returns how many */
export async function revokeLinks(
  { tx, now }: Scope,
  of: { patientId?: string; questionId?: string; contactBlind?: Buffer },
): Promise<number> {
  const conditions: SQL[] = []
  if (of.patientId) conditions.push(eq(link.patientId, of.patientId))
  if (of.questionId) conditions.push(eq(link.questionId, of.questionId))
  if (of.contactBlind) conditions.push(eq(link.contactBlind, of.contactBlind))
  if (conditions.length === 0) throw new Error('Name whose links are meant.')
  const rows = await tx
    .update(link)
    .set({ revokedAt: now })
    .where(and(...conditions, isNull(link.revokedAt)))
    .returning({ hash: link.linkHash })
  return rows.length
}

/**
 * The text with a fresh link, for the same purpose and as long, in the place of each of our links in it: for
 * a message that has not left yet and goes to another number than it was written for.
 */
export async function renewLinks(scope: Scope, text: string, contact: string): Promise<string> {
  let renewed = text
  for (const [address, token] of text.matchAll(ADDRESS)) {
    if (!address.startsWith(`${scope.publicUrl}/p/`)) continue
    const [old] = await scope.tx
      .select()
      .from(link)
      .where(eq(link.linkHash, hashOf(token as string)))
    if (!old) continue
    const draft = await draftLink(scope)
    const { patientId, purpose, questionId, expiresAt } = old
    await draft.save({ patientId, purpose, questionId, contact, expiresAt })
    renewed = renewed.replace(address, draft.url)
  }
  return renewed
}

const ADDRESS = /https?:\/\/\S+\/p\/[a-z0-9-]+\.([A-Za-z0-9_-]{22})(?![A-Za-z0-9_-])/g

export type FactAnswer =
  | { given: true; pass: string }
  | { given: false; why: 'wrong' | 'locked' | 'none-known'; triesLeft: number }

/**
 * Compares the birth year; each try counts before it is judged. The pass is for this reader's cookie and
 * lasts half an hour: a forwarded link asks again.
 */
export async function giveFact(
  scope: Scope,
  { hash, patientId }: Pick<OpenLink, 'hash' | 'patientId'>,
  birthYear: string | number,
): Promise<FactAnswer> {
  const { tx, vault, now } = scope
  const [person] = await tx.select().from(patient).where(eq(patient.patientId, patientId))
  if (!person?.birthDateSealed) return { given: false, why: 'none-known', triesLeft: 0 }
  const [counted] = await tx
    .update(link)
    .set({ factTries: sql`${link.factTries} + 1` })
    .where(and(eq(link.linkHash, hash), eq(link.patientId, patientId), lt(link.factTries, FACT_TRIES)))
    .returning({ tries: link.factTries })
  if (!counted) return { given: false, why: 'locked', triesLeft: 0 }
  const right = vault.open(person.birthDateSealed).slice(0, 4)
  const given = timingSafeEqual(vault.blind(`year/${right}`), vault.blind(`year/${String(birthYear).trim()}`))
  scope.audit({
    actor: `patient:${patientId}`,
    action: given ? 'give fact' : 'fail fact',
    patientId,
    detail: { tries: counted.tries },
  })
  if (!given) {
    const triesLeft = FACT_TRIES - counted.tries
    return { given: false, why: triesLeft > 0 ? 'wrong' : 'locked', triesLeft }
  }
  await tx.update(link).set({ factTries: 0, factGivenAt: now }).where(eq(link.linkHash, hash))
  const until = now.add({ minutes: PASS_MINUTES }).epochMilliseconds
  return { given: true, pass: `${until}.${passMark(scope, hash, until).toString('base64url')}` }
}

/** Whether this reader gave the fact for this link within the last half hour. */
export function hasPass(
  scope: Pick<Scope, 'vault' | 'now'>,
  hash: Buffer,
  pass: string | undefined,
): boolean {
  const [until = '', mark = ''] = (pass ?? '').split('.')
  if (!/^\d{1,16}$/.test(until) || Number(until) <= scope.now.epochMilliseconds) return false
  const right = passMark(scope, hash, Number(until))
  const shown = Buffer.from(mark, 'base64url')
  return shown.length === right.length && timingSafeEqual(shown, right)
}

const passMark = ({ vault }: Pick<Scope, 'vault'>, hash: Buffer, until: number): Buffer =>
  vault.blind(`link-pass/${hash.toString('hex')}/${until}`)
