/** What a person must know of a document besides its rules: loose numbers, what changed, what to mend. Pure. */
import type { z } from 'zod'
import { ruleSchema, sourceWords } from './rule.ts'

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

export interface RuleChange {
  /** Where it stands; in a list, by its id: `urgency.floors.f-face`. */
  path: string
  before: string | null
  after: string | null
}

interface Flat {
  /** One line a rule and a loose value, by where it stands. */
  lines: Map<string, string>
  /** The ids of each list that has some, in order. */
  orders: Map<string, string[]>
}

/** Rows of a list go by their ids, so that one row taken out is one change. */
function flatten(value: unknown, path = '', flat: Flat = { lines: new Map(), orders: new Map() }): Flat {
  const rule = ruleSchema.safeParse(value)
  if (rule.success) {
    const { id: _id, text, source: _source, ...values } = value as Record<string, unknown>
    flat.lines.set(path, `${text} [${sourceWords(rule.data.source)}] ${JSON.stringify(values)}`)
  } else if (value === null || typeof value !== 'object') {
    flat.lines.set(path, JSON.stringify(value))
  } else {
    const entries = Object.entries(value).map(([key, inner]) => [idOf(inner) ?? key, inner] as const)
    const ids = Array.isArray(value) ? value.map(idOf).filter((id) => id !== null) : []
    if (ids.length > 0) flat.orders.set(path, ids)
    for (const [key, inner] of entries) {
      const at = path ? `${path}.${key}` : key
      flatten(inner, flat.lines.has(at) ? `${at}+` : at, flat)
    }
  }
  return flat
}

function idOf(value: unknown): string | null {
  if (value === null || typeof value !== 'object' || !('id' in value)) return null
  return typeof value.id === 'string' ? value.id : null
}

/** Everything that differs between two documents: rules, loose values, and the order of a list. */
export function changesBetween(before: unknown, after: unknown): RuleChange[] {
  const [old, fresh] = [flatten(before), flatten(after)]
  const changes = [...new Set([...old.lines.keys(), ...fresh.lines.keys()])]
    .filter((path) => old.lines.get(path) !== fresh.lines.get(path))
    .map((path) => ({
      path,
      before: old.lines.get(path) ?? null,
      after: fresh.lines.get(path) ?? null,
    }))
  const moved = [...old.orders].flatMap(([path, ids]) => {
    const now = fresh.orders.get(path) ?? []
    const [was, is] = [ids.filter((id) => now.includes(id)), now.filter((id) => ids.includes(id))]
    return was.join() === is.join()
      ? []
      : [{ path: `${path} (order)`, before: was.join(', '), after: is.join(', ') }]
  })
  return [...changes, ...moved].toSorted((x, y) => (x.path < y.path ? -1 : 1))
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
