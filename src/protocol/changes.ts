/** What a person must know of a document besides its rules: loose numbers, what changed, what to mend. Pure. */
import type { z } from 'zod'
import { changedRules, type ProtocolDocument, type RuleChange } from './document.ts'
import { ruleSchema } from './rule.ts'

export interface LooseValue {
  /** Where it stands: `urgency.bands.soon`. */
  path: string
  value: unknown
}

/** Every value that belongs to no rule: bands, bounds, the questions' own words. */
export function looseValues(document: unknown, path = ''): LooseValue[] {
  if (document === null || typeof document !== 'object') return [{ path, value: document }]
  if (ruleSchema.safeParse(document).success) return []
  return Object.entries(document).flatMap(([key, inner]) => looseValues(inner, path ? `${path}.${key}` : key))
}

/** Everything that differs between two documents: rules by their place, and the loose values. */
export function changesBetween(before: ProtocolDocument, after: ProtocolDocument): RuleChange[] {
  const index = (document: ProtocolDocument) =>
    new Map(looseValues(document).map(({ path, value }) => [path, JSON.stringify(value)]))
  const [old, fresh] = [index(before), index(after)]
  const loose = [...new Set([...old.keys(), ...fresh.keys()])]
    .filter((path) => old.get(path) !== fresh.get(path))
    .map((path) => ({ path, before: old.get(path) ?? null, after: fresh.get(path) ?? null }))
  return [...changedRules(before, after), ...loose].toSorted((a, b) => (a.path < b.path ? -1 : 1))
}

type Issue = z.core.$ZodIssue

/** One line a fault: the place in the document and what to mend. */
export const mendLines = (error: z.ZodError): string[] => error.issues.flatMap((issue) => linesOf(issue, []))

function linesOf(issue: Issue, above: PropertyKey[]): string[] {
  const path = [...above, ...issue.path]
  // Of the ways that it could be, the one that it comes closest to.
  if (issue.code === 'invalid_union' && issue.errors.length > 0) {
    const closest = issue.errors.toSorted((a, b) => a.length - b.length)[0] ?? []
    if (closest.length > 0) return closest.flatMap((inner) => linesOf(inner, path))
  }
  return [`${path.map(String).join('.') || 'the document'}: ${issue.message}`]
}
