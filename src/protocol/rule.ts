/** What every row of the protocol carries: an id to name it by, a plain sentence, and where it comes from. */
import { z } from 'zod'

/** Least to most urgent; `unclear` means that a human must read it. */
export const URGENCIES = ['none', 'unclear', 'soon', 'today', 'now'] as const
export const urgencySchema = z.enum(URGENCIES)
export type Urgency = z.infer<typeof urgencySchema>

/** The more urgent of the two. */
export function moreUrgent(a: Urgency, b: Urgency): Urgency {
  return URGENCIES.indexOf(a) >= URGENCIES.indexOf(b) ? a : b
}

/**
 * Where a rule comes from. `published` cites a guideline, standard or paper (with the place in it);
 * `common-practice` is a fact of the trade without a source; `clinic` is a number that each clinic sets.
 */
export const sourceSchema = z.discriminatedUnion('kind', [
  z.object({ kind: z.literal('published'), cite: z.string().min(3) }),
  z.object({ kind: z.literal('common-practice') }),
  z.object({ kind: z.literal('clinic') }),
])
export type Source = z.infer<typeof sourceSchema>

export const published = (cite: string): Source => ({ kind: 'published', cite })
export const commonPractice: Source = { kind: 'common-practice' }
export const clinicSetting: Source = { kind: 'clinic' }

/** The words shown for a source. */
export function sourceWords(source: Source): string {
  if (source.kind === 'published') return source.cite
  return source.kind === 'clinic' ? "the clinic's setting" : 'common practice, no source'
}

export const ruleSchema = z.object({
  id: z.string().regex(/^[a-z0-9]+(-[a-z0-9]+)*$/),
  text: z.string().min(3),
  source: sourceSchema,
})
export type Rule = z.infer<typeof ruleSchema>
