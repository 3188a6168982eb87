/** A series of checks read together: each signal raises urgency by its own row of the protocol. */
import type { UrgencyRules } from '../protocol/sections/urgency.ts'
import type { Weighed } from './score.ts'
import type { EarlierCheck, FindingKind, JudgeContext } from './types.ts'

export type TrendSignal = { row: UrgencyRules['trends'][number]; words: string }

/** The signals that this reply gives against the earlier checks of the same patient. */
export function trendSignals(
  weighed: readonly Weighed[],
  context: JudgeContext,
  rules: UrgencyRules,
): TrendSignal[] {
  const out: TrendSignal[] = []
  const add = (signal: UrgencyRules['trends'][number]['signal'], words: string) => {
    for (const row of rules.trends) if (row.signal === signal) out.push({ row, words })
  }
  const present = weighed.filter((w) => w.present)
  const previous = context.previous
  const last = previous.at(-1)
  const pain = painNow(present)
  if (last && pain !== null) {
    const before = previous.map((c) => c.pain).filter((p): p is number => p !== null)
    const latest = before.at(-1)
    // Soreness of the first days may come and go below the top of its mild band.
    const mild = pain < rules.pain.mildUpTo && withinUsualDays(context, rules)
    if (latest !== undefined && pain - latest >= rules.painRise && !mild)
      add('pain-rising', `pain risen from ${latest} to ${pain}`)
    const run = [...before.slice(-2), pain]
    if (!mild && run.length === 3 && (run[0] ?? 0) < (run[1] ?? 0) && (run[1] ?? 0) < (run[2] ?? 0))
      add('pain-risen-to-severe', `pain rising over three checks: ${run.join(', ')}`)
  }
  for (const row of rules.trends.filter((r) => r.signal === 'newly-present')) {
    for (const kind of row.kinds) {
      const there = present.some((w) => w.finding.kind === kind && !w.tags.has('brief'))
      if (there && deniedBefore(previous, kind))
        out.push({ row, words: `${kind} was denied before and is there now` })
    }
  }
  for (const w of present) {
    if (
      w.tags.has('worse') &&
      !w.tags.has('rapid-4-to-90-days') &&
      !w.tags.has('long-standing') &&
      /^(pain|hearing-loss|discharge|bleeding|dizziness|swelling|fever)$/.test(w.finding.kind)
    ) {
      add('worse-than-before', `${w.finding.kind} said to be worse`)
      break
    }
  }
  const hearing = present.find((w) => w.finding.kind === 'hearing-loss' && !w.tags.has('long-standing'))
  if (hearing && previous.some((c) => c.affirmed.includes('hearing-loss')))
    add('hearing-not-back', 'hearing has not come back')
  for (const check of previous.slice(-1)) {
    if (check.urgency !== 'now' && check.urgency !== 'today') continue
    const still = present.find((w) => check.affirmed.includes(w.finding.kind))
    if (still) add('urgent-unresolved', `${still.finding.kind} is still there after an urgent check`)
  }
  return out
}

function painNow(present: readonly Weighed[]): number | null {
  const values = present
    .filter((w) => w.finding.kind === 'pain' && w.finding.severity)
    .map((w) => w.finding.severity?.value ?? 0)
  return values.length > 0 ? Math.max(...values) : null
}

/** Denied at the last check that spoke of it. */
function deniedBefore(previous: readonly EarlierCheck[], kind: FindingKind): boolean {
  for (const check of [...previous].reverse()) {
    if (check.affirmed.includes(kind)) return false
    if (check.denied.includes(kind)) return true
  }
  return false
}

function withinUsualDays(context: JudgeContext, rules: UrgencyRules): boolean {
  const days = context.procedure?.days
  if (context.context !== 'aftercare' || days === null || days === undefined) return false
  const hard = context.procedure?.hard === true || context.procedure?.traumatic === true
  return days <= (hard ? rules.usualSorenessDays.hard : rules.usualSorenessDays.ordinary)
}
