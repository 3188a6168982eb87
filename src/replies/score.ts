/** From findings and risks to points, floors and urgency. Evaluates the protocol's rows; holds no clinical number. */
import { moreUrgent, type Rule, sourceWords, type Urgency } from '../protocol/rule.ts'
import type { Condition, UrgencyRules } from '../protocol/sections/urgency.ts'
import { reasonFor } from './reasons.ts'
import { trendSignals } from './trend.ts'
import type { Finding, FindingTag, Flag, JudgeContext, Judgement, Point, Reading, RiskKind } from './types.ts'
import { FLAGS } from './types.ts'

/** A finding with the tags that its numbers, its days and its case give it. */
export type Weighed = {
  finding: Finding
  index: number
  tags: ReadonlySet<FindingTag>
  present: boolean
  past: boolean
}

export function weigh(
  reading: Pick<Reading, 'findings'>,
  context: JudgeContext,
  rules: UrgencyRules,
): Weighed[] {
  return reading.findings.map((finding, index) => ({
    finding,
    index,
    tags: weighedTags(finding, context, rules),
    present: finding.polarity === 'affirmed',
    past: finding.polarity === 'past' && !longAgo(finding),
  }))
}

/** A sign of long ago is history; one that has just passed may still matter. */
const longAgo = (f: Finding) => f.course !== 'gone' && (f.onset.days === null || f.onset.days > 30)

function weighedTags(f: Finding, context: JudgeContext, rules: UrgencyRules): Set<FindingTag> {
  const tags = new Set<FindingTag>(f.tags)
  const days = f.onset.days
  if (f.kind === 'pain') painTags(f, tags, context, rules)
  if (f.kind === 'hearing-loss') {
    const { suddenOverDays, recentWithinDays, rapidFromDays, rapidToDays } = rules.onset
    const slightWhileSoftening = tags.has('slight') && context.context === 'softening'
    // "Getting worse for six weeks": it took that long, and is not over.
    const lasting = context.context !== 'aftercare' && tags.has('worse') && !f.onset.sudden ? days : null
    const over = f.onset.overDays ?? (lasting !== null && lasting >= rapidFromDays ? lasting : null)
    const fast =
      over !== null
        ? over <= suddenOverDays
        : f.onset.sudden || (days !== null && days <= suddenOverDays && !slightWhileSoftening)
    if (over !== null && over >= rapidFromDays && over <= rapidToDays) tags.add('rapid-4-to-90-days')
    else if (fast && (days === null || days <= recentWithinDays)) tags.add('sudden-within-30-days')
    else if (fast) tags.add('sudden-over-30-days-ago')
    if (tags.has('sudden-within-30-days') && slightWhileSoftening && !f.onset.sudden)
      tags.delete('sudden-within-30-days')
  }
  const settled = tags.has('chronic') || (days !== null && days > rules.onset.rapidToDays)
  // A slow decline over years is no alarm; a change of late is.
  const ofYears = days !== null && days >= 365 && !f.onset.sudden
  // Past the 90 days of a rapid loss, a decline told before any procedure is a slow one.
  const slow =
    context.context !== 'aftercare' &&
    f.kind === 'hearing-loss' &&
    !f.onset.sudden &&
    Math.max(days ?? 0, f.onset.overDays ?? 0) > rules.onset.rapidToDays
  if (slow || (settled && ((!tags.has('worse') && f.course !== 'worse') || ofYears))) {
    tags.add('long-standing')
    if (tags.has('chronic'))
      for (const t of ['sudden-within-30-days', 'sudden', 'new'] as const) tags.delete(t)
  }
  if (f.course === 'worse') tags.add('worse')
  return tags
}

function painTags(f: Finding, tags: Set<FindingTag>, context: JudgeContext, rules: UrgencyRules) {
  const value = f.severity?.value ?? null
  const aftercare = context.context === 'aftercare'
  const hard =
    context.procedure?.hard === true ||
    context.procedure?.traumatic === true ||
    context.procedure?.canalHurt === true
  const usual = hard ? rules.usualSorenessDays.hard : rules.usualSorenessDays.ordinary
  const days = context.procedure?.days ?? f.onset.days
  const inUsualDays = aftercare && (days === null || days <= usual)
  const growing = f.course === 'worse' || tags.has('worse')
  if (value === null) {
    tags.add('no-strength')
    // Soreness with no strength given is expected right after a hard removal, and when it is easing.
    const fresh = days !== null && days <= 1
    if (inUsualDays && !growing && ((hard && fresh) || f.course === 'better')) tags.add('in-usual-days')
    return
  }
  if (value <= rules.pain.mildUpTo) tags.add('mild')
  else if (value <= rules.pain.moderateUpTo) tags.add('moderate')
  else tags.add('severe')
  // A sting as the drops go in is no more than that.
  const passing = context.context === 'softening' && tags.has('brief') && !growing
  // "Still a bit sore", with no day known: it may have lasted too long.
  const overdue =
    days === null && f.severity?.how !== 'said' && f.tags.includes('lasting') && f.course !== 'better'
  if (tags.has('mild'))
    tags.add((inUsualDays && !overdue) || passing ? 'in-usual-days' : 'outlasts-usual-days')
}

/** Does a row match this finding? `others`: the rest of what is affirmed. */
export function matches(
  when: Condition,
  w: Weighed,
  others: readonly Weighed[],
  risks: ReadonlySet<RiskKind>,
  context: JudgeContext,
): boolean {
  if (!when.kinds.includes(w.finding.kind)) return false
  if (!(w.present || (when.evenIfPast && w.past))) return false
  if (when.all.some((t) => !w.tags.has(t))) return false
  if (when.any.length > 0 && !when.any.some((t) => w.tags.has(t))) return false
  if (when.not.some((t) => w.tags.has(t))) return false
  if (when.risks.length > 0 && !when.risks.some((r) => risks.has(r))) return false
  if (when.contexts.length > 0 && !when.contexts.includes(context.context)) return false
  if (when.with.length === 0) return true
  return others.some(
    (o) =>
      o.index !== w.index &&
      o.present &&
      when.with.includes(o.finding.kind) &&
      (when.withAny.length === 0 || when.withAny.some((t) => o.tags.has(t) || w.tags.has(t))),
  )
}

/** The risks of the case, with those that the reply itself tells of. */
export function risksOfCase(reading: Pick<Reading, 'history'>, context: JudgeContext): Set<RiskKind> {
  const risks = new Set<RiskKind>(context.risks)
  const p = context.procedure
  if (p?.hard || p?.traumatic) risks.add('hard-procedure')
  if (p?.perforated) risks.add('recent-perforation-or-surgery')
  for (const h of reading.history) {
    if (h.polarity !== 'present') continue
    if (
      h.kind === 'immunocompromised' ||
      h.kind === 'only-hearing-ear' ||
      h.kind === 'anticoagulant' ||
      h.kind === 'diabetes'
    )
      risks.add(h.kind)
    if (h.kind === 'recent-perforation' || h.kind === 'surgery') risks.add('recent-perforation-or-surgery')
  }
  return risks
}

/** Judges a reading by the rules: points, floors, trends, history and doubts; the most urgent wins. */
export function judge(reading: Reading, context: JudgeContext, rules: UrgencyRules): Judgement {
  const weighed = weigh(reading, context, rules)
  const risks = risksOfCase(reading, context)
  const points: Point[] = []
  const why: string[] = []
  const reasons: string[] = []
  let urgency: Urgency = 'none'
  const raise = (to: Urgency, id: string) => {
    urgency = moreUrgent(urgency, to)
    if (!why.includes(id)) why.push(id)
  }

  // Findings that no rule can tell apart are weighed once, so that a reply that repeats itself costs no more.
  const kinds = distinct(weighed)
  for (const row of rules.points) {
    // Each row counts once a reply, however often its symptom is named.
    const w = kinds.find((x) => matches(row.when, x, kinds, risks, context))
    if (w) points.push({ rule: row.id, points: row.points, finding: w.index })
  }
  if (points.length > 0)
    for (const row of rules.riskPoints)
      if (risks.has(row.risk)) points.push({ rule: row.id, points: row.points })
  const score = points.reduce((sum, p) => sum + p.points, 0)
  for (const p of points) why.push(p.rule)

  const tops = new Map<string, Top>()
  for (const w of kinds) {
    let top: Top = null
    for (const row of rules.floors) {
      if (!matches(row.when, w, kinds, risks, context)) continue
      raise(row.urgency, row.id)
      if (!top || moreUrgent(row.urgency, top.urgency) !== top.urgency)
        top = { urgency: row.urgency, rule: row }
    }
    tops.set(signature(w), top ?? pointReason(rules, points, w, score))
  }
  for (const w of weighed) reasons.push(reasonFor(w.finding, tops.get(signature(w)) ?? null))
  if (score >= rules.bands.today) raise('today', 'score-today')
  else if (score >= rules.bands.soon) raise('soon', 'score-soon')

  for (const signal of trendSignals(weighed, context, rules)) {
    raise(signal.row.urgency, signal.row.id)
    reasons.push(`${signal.words}: ${urgencyWords(signal.row.urgency)}, ${sourceWords(signal.row.source)}`)
  }
  if (context.context !== 'aftercare') {
    // A yes takes over what the question named.
    const asked = reading.yesNo === 'yes' ? reading.questions.map((q) => q.words).join(' ') : ''
    const told = `${reading.text} ${asked}`.toLowerCase()
    for (const row of rules.history)
      for (const h of reading.history)
        if (
          h.polarity === row.when &&
          row.history.includes(h.kind) &&
          (row.naming.length === 0 || row.naming.some((w) => told.includes(w)))
        )
          raise(row.urgency, row.id)
  }
  for (const d of reading.doubts) {
    const row = rules.doubts.find((r) => r.id === d.rule)
    raise(row?.urgency ?? 'unclear', d.rule)
  }
  for (const note of context.notes) if (!why.includes(note)) why.push(note)

  return { urgency, score, points, why, flags: flagsOf(weighed), reasons }
}

type Top = { urgency: Urgency; rule: Rule } | null

const signature = (w: Weighed) => `${w.finding.kind} ${w.present} ${w.past} ${[...w.tags].sort().join()}`

function distinct(weighed: readonly Weighed[]): Weighed[] {
  const out = new Map<string, Weighed>()
  for (const w of weighed) if (!out.has(signature(w))) out.set(signature(w), w)
  return [...out.values()]
}

function pointReason(
  rules: UrgencyRules,
  points: Point[],
  w: Weighed,
  score: number,
): { urgency: Urgency; rule: Rule } | null {
  const own = points.find((p) => p.finding === w.index)
  const row = own && rules.points.find((r) => r.id === own.rule)
  if (!row) return null
  return {
    urgency: score >= rules.bands.today ? 'today' : score >= rules.bands.soon ? 'soon' : 'none',
    rule: row,
  }
}

/** What the patient has now, each flag once, in the standard order. */
export function flagsOf(weighed: readonly Weighed[]): Flag[] {
  // A swelling of throat, tongue or lips is a swelling and more than one.
  return FLAGS.filter((flag) =>
    weighed.some(
      (w) => w.present && (w.finding.flag === flag || (flag === 'other' && w.finding.kind === 'airway')),
    ),
  )
}

export function urgencyWords(u: Urgency): string {
  return {
    now: 'a clinician at once',
    today: 'a clinician the same day',
    soon: 'a clinician within days',
    unclear: 'a person reads it',
    none: 'no action by itself',
  }[u]
}
