/**
 * What patients agree to, in numbered words that are never changed once somebody has agreed to them: a change
 * is a new number. The care itself does not rest on consent (UK GDPR Art 9(2)(h)); writing by text does in
 * fairness, and STOP takes it back.
 */
import { z } from 'zod'
import type { Scope } from '../database/service.ts'
import { consentOf, saveConsent } from './store.ts'

export const CONSENT_WORDS: readonly { version: number; words: string }[] = [
  {
    version: 1,
    words:
      'We write to you about your visit, and keep what you tell us with your notes. If you go on, you say that this is fine. You can stop our texts at any time: reply STOP.',
  },
]

export const currentConsent = CONSENT_WORDS.at(-1) as (typeof CONSENT_WORDS)[number]

const given = z.array(
  z.object({
    version: z.number(),
    at: z.string(),
    /** On the first page of a link or in the first text, where the words stand; or told at the desk. */
    how: z.enum(['page', 'text', 'desk']),
    by: z.string().nullable(),
  }),
)
export type Consent = z.infer<typeof given>[number]

export async function consentsOf(scope: Pick<Scope, 'tx'>, patientId: string): Promise<Consent[]> {
  const stored = given.safeParse(await consentOf(scope, patientId))
  return stored.success ? stored.data : []
}

/** Writes down that the patient agreed to the words in force; once a version. @returns whether it is new */
export async function recordConsent(
  scope: Scope,
  patientId: string,
  { how, by = null }: { how: Consent['how']; by?: string | null },
): Promise<boolean> {
  const before = await consentsOf(scope, patientId)
  const { version } = currentConsent
  if (before.some((one) => one.version === version)) return false
  await saveConsent(scope, patientId, [...before, { version, at: scope.now.toString(), how, by }])
  scope.audit({
    actor: by ? `staff:${by}` : `patient:${patientId}`,
    action: 'record consent',
    patientId,
    detail: { version, how },
  })
  return true
}
