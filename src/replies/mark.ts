/** The patient's words cut into segments, so that a page can mark each finding in them. Overlaps are kept. */
import type { Finding, Span } from './types.ts'

/** `findings` are indexes into the reading's findings; empty for words that carry none. The texts join to the whole. */
export type Segment = { text: string; start: number; end: number; findings: number[] }

/** Cuts `text` at every edge of every finding. Spans outside the text are clipped; empty spans mark nothing. */
export function markText(text: string, findings: readonly (Span & Partial<Finding>)[]): Segment[] {
  const spans = findings.map((f) => {
    const start = clamp(f.start, text.length)
    return { start, end: Math.max(start, clamp(f.end, text.length)) }
  })
  const edges = [...new Set([0, text.length, ...spans.flatMap((s) => [s.start, s.end])])].sort(
    (a, b) => a - b,
  )
  const segments: Segment[] = []
  for (const [i, start] of edges.entries()) {
    const end = edges[i + 1]
    if (end === undefined || end === start) continue
    const here = spans.flatMap((s, index) =>
      s.start <= start && s.end >= end && s.end > s.start ? [index] : [],
    )
    segments.push({ text: text.slice(start, end), start, end, findings: here })
  }
  return segments
}

const clamp = (n: number, limit: number) =>
  Math.min(limit, Math.max(0, Number.isFinite(n) ? Math.trunc(n) : 0))
