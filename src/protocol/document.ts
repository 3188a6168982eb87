/** The clinic's rules and numbers as one checked document: every rule with its source, versioned and signed. */
import { z } from 'zod'
import { type Rule, ruleSchema } from './rule.ts'
import { aftercareSchema, defaultAftercare } from './sections/aftercare.ts'
import { softeningDefaults, softeningSchema } from './sections/softening.ts'
import { defaultUrgencyRules, urgencyRulesSchema } from './sections/urgency.ts'

export const protocolSchema = z.object({
  softening: softeningSchema,
  urgency: urgencyRulesSchema,
  aftercare: aftercareSchema,
})
export type ProtocolDocument = z.infer<typeof protocolSchema>

export const defaultProtocol: ProtocolDocument = {
  softening: softeningDefaults,
  urgency: defaultUrgencyRules,
  aftercare: defaultAftercare,
}

export interface RuleRow extends Rule {
  /** Where it stands: `softening.screening.effects.3`. */
  path: string
  /** Its further fields: numbers, conditions, points. */
  values: Record<string, unknown>
}

/** Every rule of the document, in order, wherever it stands. */
export function rulesOf(document: unknown, path = ''): RuleRow[] {
  if (document === null || typeof document !== 'object') return []
  const own = ruleSchema.safeParse(document)
  if (own.success) {
    const { id, text, source, ...values } = document as Record<string, unknown>
    return [{ ...own.data, path, values }]
  }
  return Object.entries(document).flatMap(([key, inner]) => rulesOf(inner, path ? `${path}.${key}` : key))
}
