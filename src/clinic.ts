/** A clinic: its name, zone and settings, and how a new one begins. */
import { eq } from 'drizzle-orm'
import { drizzle } from 'drizzle-orm/postgres-js'
import type { Sql } from 'postgres'
import { Temporal } from 'temporal-polyfill'
import { z } from 'zod'
import { openingHoursSchema } from './concerns/deadline.ts'
import * as schema from './database/schema.ts'
import { enterClinic, type Scope } from './database/service.ts'
import { BLIND_KEY_ID, type MasterKeys, newDataKey } from './database/vault.ts'

const localTime = z.string().regex(/^([01]\d|2[0-3]):[0-5]\d$/, { error: 'A time of day is HH:MM.' })
const zoneName = z.string().refine(isZone, { error: 'Not a time zone: write one such as Europe/London.' })

/** What each clinic sets for itself; the clinical numbers are in the protocol, not here. */
export const settingsSchema = z.object({
  /** As patients read it. */
  phone: z.string().min(3),
  /** How somebody who cannot hear a telephone reaches the clinic. */
  textRelay: z.string().min(3),
  /** The country's number for emergencies, as patients read it. */
  emergencyNumber: z.string().min(2),
  /** Where to turn when the clinic is shut and it cannot wait. */
  urgentAdvice: z.string().min(2),
  openingHours: openingHoursSchema,
  /** No message but an urgent one goes out from `from` to `to`, local time. */
  quietHours: z.object({ from: localTime, to: localTime }),
  /** Somebody to talk to in despair, as patients read it. */
  crisisNumber: z.string().min(2),
  /** How texts leave and arrive. */
  transport: z.enum(['handset', 'spool']),
  /** Region of telephone numbers written without a country code. */
  region: z.string().length(2),
  /** Language of messages where a patient has none of their own. */
  language: z.string().min(2),
  /** When a staff session ends by itself. */
  sessions: z
    .object({
      idleMinutes: z.number().int().min(5).max(60),
      absoluteHours: z.number().int().min(1).max(24),
    })
    .optional(),
})
export type ClinicSettings = z.infer<typeof settingsSchema>

export interface Clinic {
  clinicId: string
  name: string
  zone: string
  demo: boolean
  settings: ClinicSettings
}

export interface NewClinic {
  slug: string
  name: string
  zone: string
  demo?: boolean
  settings: ClinicSettings
}

function isZone(name: string): boolean {
  try {
    Temporal.Instant.fromEpochMilliseconds(0).toZonedDateTimeISO(name)
    return true
  } catch {
    return false
  }
}

/** Makes the clinic's directory entry, row and data keys in one transaction, as the owner. @returns its id */
export async function createClinic(
  owner: Sql,
  masters: MasterKeys,
  now: Temporal.Instant,
  { slug, name, zone, demo = false, settings }: NewClinic,
): Promise<string> {
  zoneName.parse(zone)
  const checked = settingsSchema.parse(settings)
  return await drizzle(owner, { schema, casing: 'snake_case' }).transaction(async (tx) => {
    const [made] = await tx.execute<{ id: string }>('select uuidv7() as id')
    const clinicId = made?.id as string
    await enterClinic(tx, clinicId)
    await tx.insert(schema.clinicDirectory).values({ clinicId, slug, createdAt: now })
    await tx.insert(schema.clinic).values({ clinicId, name, zone, demo, settings: checked, createdAt: now })
    const keys = [BLIND_KEY_ID, 1].map((keyId) => newDataKey(masters, clinicId, keyId))
    await tx
      .insert(schema.dataKey)
      .values(
        keys.map(({ keyId, masterId, wrapped }) => ({ clinicId, keyId, masterId, wrapped, createdAt: now })),
      )
    return clinicId
  })
}

/** The clinic of this scope. @throws when its settings no longer fit the schema */
export async function loadClinic({ tx, clinicId }: Pick<Scope, 'tx' | 'clinicId'>): Promise<Clinic> {
  const [row] = await tx.select().from(schema.clinic).where(eq(schema.clinic.clinicId, clinicId))
  if (!row) throw new Error(`There is no clinic ${clinicId}.`)
  return {
    clinicId,
    name: row.name,
    zone: row.zone,
    demo: row.demo,
    settings: settingsSchema.parse(row.settings),
  }
}

export async function saveSettings({ tx, clinicId }: Scope, settings: ClinicSettings): Promise<void> {
  await tx
    .update(schema.clinic)
    .set({ settings: settingsSchema.parse(settings) })
    .where(eq(schema.clinic.clinicId, clinicId))
}
