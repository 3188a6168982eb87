/** Earlier checks of the same patient, in whatever shape they come. */
import { URGENCIES, type Urgency } from '../protocol/rule.ts'
import { type EarlierCheck, FINDING_KINDS, type FindingKind, type Reading } from './types.ts'

const FLAG_KINDS: Record<string, FindingKind> = Object.fromEntries([
  ...FINDING_KINDS.map((k) => [k, k]),
  ['hearing', 'hearing-loss'],
  ['hearingloss', 'hearing-loss'],
  ['dizzy', 'dizziness'],
  ['blood', 'bleeding'],
  ['face', 'facial-weakness'],
  ['tinnitus', 'ringing'],
  ['temperature', 'fever'],
])

/** Reads earlier checks, oldest first. `read` is the reader itself, for checks that came as text. */
export function previousOf(
  raw: unknown,
  read: (text: string) => Reading,
): { previous: EarlierCheck[]; unknown: boolean } {
  if (raw === null || raw === undefined || raw === '') return { previous: [], unknown: false }
  const list = (Array.isArray(raw) ? raw : [raw]).slice(-30)
  const dated = list.map((x, i) => ({ check: earlier(x, read), order: orderOf(x, i) }))
  const known = dated.filter((d): d is { check: EarlierCheck; order: number } => d.check !== null)
  known.sort((a, b) => a.order - b.order)
  return { previous: known.map((d) => d.check), unknown: known.length < dated.length }
}

function orderOf(raw: unknown, index: number): number {
  if (raw === null || typeof raw !== 'object') return index
  const o = raw as Record<string, unknown>
  for (const key of ['day', 'days', 'daysSince']) if (typeof o[key] === 'number') return o[key] as number
  if (typeof o.daysAgo === 'number') return -o.daysAgo
  for (const key of ['at', 'date', 'sentAt', 'when']) {
    const v = o[key]
    const m = typeof v === 'string' ? /^(\d{4})-(\d{2})-(\d{2})(?:[T ](\d{2}):(\d{2}))?/.exec(v) : null
    if (m) return Number(`${m[1]}${m[2]}${m[3]}${m[4] ?? '00'}${m[5] ?? '00'}`)
  }
  return index
}

function earlier(raw: unknown, read: (text: string) => Reading): EarlierCheck | null {
  if (typeof raw === 'number')
    return { pain: raw, affirmed: raw > 0 ? ['pain'] : [], denied: raw > 0 ? [] : ['pain'], urgency: null }
  if (typeof raw === 'string') return fromReading(read(raw.slice(0, 2000)))
  if (raw === null || typeof raw !== 'object') return null
  const o = raw as Record<string, unknown>
  const text = [o.text, o.reply, o.body, o.answer].find((x) => typeof x === 'string') as string | undefined
  const base: EarlierCheck = text
    ? fromReading(read(text.slice(0, 2000)))
    : { pain: null, affirmed: [], denied: [], urgency: null }
  const affirmed = new Set(base.affirmed)
  const denied = new Set(base.denied)
  let pain = base.pain
  const take = (o2: Record<string, unknown>) => {
    for (const [key, value] of Object.entries(o2).slice(0, 60)) {
      const kind = FLAG_KINDS[key.toLowerCase().replaceAll('_', '-')]
      if (!kind || (key === 'other' && typeof value !== 'boolean')) continue
      const n =
        typeof value === 'number'
          ? value
          : typeof value === 'string' && /^\d+(\.\d+)?(\/10)?$/.test(value)
            ? Number.parseFloat(value)
            : null
      const off =
        value === false ||
        value === 0 ||
        n === 0 ||
        (typeof value === 'string' && /^(no|none|nil|clear|fine|ok|normal|good|same|better)\b/i.test(value))
      if (kind === 'pain' && n !== null) pain = n
      if (off) denied.add(kind)
      else if (value !== null && value !== undefined && value !== '') affirmed.add(kind)
    }
  }
  take(o)
  if (o.answers && typeof o.answers === 'object' && !Array.isArray(o.answers))
    take(o.answers as Record<string, unknown>)
  const flags = Array.isArray(o.flags) ? o.flags : []
  for (const f of flags) {
    const kind = typeof f === 'string' ? FLAG_KINDS[f.toLowerCase()] : undefined
    if (kind) affirmed.add(kind)
  }
  for (const f of Array.isArray(o.findings) ? o.findings.slice(0, 60) : []) {
    if (typeof f === 'string') {
      const kind = FLAG_KINDS[f.toLowerCase()]
      if (kind) affirmed.add(kind)
      continue
    }
    if (f === null || typeof f !== 'object') continue
    const g = f as Record<string, unknown>
    const kind = typeof g.kind === 'string' ? FLAG_KINDS[g.kind.toLowerCase()] : undefined
    if (!kind) continue
    if (g.polarity === undefined || g.polarity === 'affirmed') affirmed.add(kind)
    else if (g.polarity === 'denied') denied.add(kind)
    const s = g.severity
    const n =
      typeof s === 'number'
        ? s
        : s !== null && typeof s === 'object' && typeof (s as { value?: unknown }).value === 'number'
          ? (s as { value: number }).value
          : null
    if (kind === 'pain' && n !== null && g.polarity !== 'denied') pain = n
  }
  const urgency = URGENCIES.find((u) => u === o.urgency) ?? null
  const empty =
    pain === null &&
    affirmed.size === 0 &&
    denied.size === 0 &&
    urgency === null &&
    !text &&
    flags.length === 0
  if (empty && !('flags' in o) && !('findings' in o)) return null
  for (const k of affirmed) denied.delete(k)
  // A list of flags that leaves one out says that it was not there.
  if ('flags' in o && !text)
    for (const k of ['discharge', 'bleeding', 'dizziness', 'fever', 'swelling'] as const)
      if (!affirmed.has(k)) denied.add(k)
  return { pain, affirmed: [...affirmed], denied: [...denied], urgency: urgency as Urgency | null }
}

function fromReading(r: Reading): EarlierCheck {
  const kinds = (polarity: string) => [
    ...new Set(r.findings.filter((f) => f.polarity === polarity).map((f) => f.kind)),
  ]
  const affirmed = kinds('affirmed')
  const severities = r.findings
    .filter((f) => f.kind === 'pain' && f.polarity === 'affirmed' && f.severity)
    .map((f) => f.severity?.value ?? 0)
  const noPain = r.findings.some((f) => f.kind === 'pain' && f.polarity !== 'affirmed')
  const pain =
    severities.length > 0 ? Math.max(...severities) : noPain && !affirmed.includes('pain') ? 0 : null
  return { pain, affirmed, denied: kinds('denied').filter((k) => !affirmed.includes(k)), urgency: null }
}
