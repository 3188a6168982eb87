/** From findings and risks to points, floors and urgency. Evaluates the protocol's rows; holds no clinical number. */
import { moreUrgent, type Rule, sourceWords, type Urgency } from '../protocol/rule.ts'
import type { Condition, UrgencyRules } from '../protocol/sections/urgency.ts'
import { reasonFor, urgencyWords } from './reasons.ts'
import { trendSignals } from './trend.ts'
import type {
  Finding,
  FindingTag,
  Flag,
  HistoryKind,
  JudgeContext,
  Judgement,
  Point,
  Reading,
  RiskKind,
} from './types.ts'
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
  if (f.course === 'worse') tags.add('worse')
  if (f.kind === 'pain') painTags(f, tags, context, rules)
  if (f.kind === 'hearing-loss') hearingTags(f, tags, context, rules)
  const { sudden } = f.onset
  const age = f.onset.days ?? 0
  const settled = tags.has('chronic') || age > rules.onset.rapidToDays
  // A slow decline over years is no alarm; a change of late is.
  const ofYears = age >= 365 && !sudden
  // Past the 90 days of a rapid loss, a decline told before any procedure is a slow one.
  const slow =
    context.context !== 'aftercare' &&
    f.kind === 'hearing-loss' &&
    !sudden &&
    Math.max(age, f.onset.overDays ?? 0) > rules.onset.rapidToDays
  if (slow || (settled && (!tags.has('worse') || ofYears))) {
    tags.add('long-standing')
    if (tags.has('chronic'))
      for (const t of ['sudden-within-30-days', 'sudden', 'new'] as const) tags.delete(t)
  }
  return tags
}

function hearingTags(f: Finding, tags: Set<FindingTag>, context: JudgeContext, rules: UrgencyRules) {
  const { suddenOverDays, recentWithinDays, rapidFromDays, rapidToDays } = rules.onset
  const { sudden, days } = f.onset
  const age = days ?? 0
  const slightWhileSoftening = tags.has('slight') && context.context === 'softening'
  // "Getting worse for six weeks": it took that long, and is not over.
  const growing = context.context !== 'aftercare' && tags.has('worse') && !sudden
  const over = f.onset.overDays ?? (growing && age >= rapidFromDays ? age : null)
  const fast = sudden || (over ?? days ?? Number.POSITIVE_INFINITY) <= suddenOverDays
  if (over !== null && over >= rapidFromDays && over <= rapidToDays) tags.add('rapid-4-to-90-days')
  else if (fast && age > recentWithinDays) tags.add('sudden-over-30-days-ago')
  else if (fast && (sudden || !slightWhileSoftening)) tags.add('sudden-within-30-days')
}

function painTags(f: Finding, tags: Set<FindingTag>, context: JudgeContext, rules: UrgencyRules) {
  const p = context.procedure
  const hard = p !== null && (p.hard || p.traumatic || p.canalHurt)
  const usual = hard ? rules.usualSorenessDays.hard : rules.usualSorenessDays.ordinary
  const days = p?.days ?? f.onset.days
  const inUsualDays = context.context === 'aftercare' && (days ?? 0) <= usual
  const growing = tags.has('worse')
  if (!f.severity) {
    tags.add('no-strength')
    // Soreness with no strength given is expected right after a hard removal, and when it is easing.
    const fresh = days !== null && days <= 1
    if (inUsualDays && !growing && ((hard && fresh) || f.course === 'better')) tags.add('in-usual-days')
    return
  }
  const { value, how } = f.severity
  if (value > rules.pain.mildUpTo) {
    tags.add(value > rules.pain.moderateUpTo ? 'severe' : 'moderate')
    return
  }
  tags.add('mild')
  // A sting as the drops go in is no more than that.
  const passing = context.context === 'softening' && tags.has('brief') && !growing
  // "Still a bit sore", with no day known: it may have lasted too long.
  const overdue = days === null && how !== 'said' && tags.has('lasting') && f.course !== 'better'
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

const RISK_OF_HISTORY: Partial<Record<HistoryKind, RiskKind>> = {
  immunocompromised: 'immunocompromised',
  'only-hearing-ear': 'only-hearing-ear',
  anticoagulant: 'anticoagulant',
  diabetes: 'diabetes',
  'recent-perforation': 'recent-perforation-or-surgery',
  surgery: 'recent-perforation-or-surgery',
}

/** The risks of the case, with those that the reply itself tells of. */
export function risksOfCase(reading: Pick<Reading, 'history'>, context: JudgeContext): Set<RiskKind> {
  const risks = new Set<RiskKind>(context.risks)
  const p = context.procedure
  if (p?.hard || p?.traumatic) risks.add('hard-procedure')
  if (p?.perforated) risks.add('recent-perforation-or-surgery')
  for (const h of reading.history) {
    const risk = RISK_OF_HISTORY[h.kind]
    if (risk && h.polarity === 'present') risks.add(risk)
  }
  return risks
}

/** Judges a reading by the rules: points, floors, trends, history and doubts; the most urgent wins. */
export function judge(reading: Reading, context: JudgeContext, rules: UrgencyRules): Judgement {
  const weighed = weigh(reading, context, rules)
  const risks = risksOfCase(reading, context)
  const points: Point[] = []
  const reasons: string[] = []
  let urgency: Urgency = 'none'

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
  const band = score >= rules.bands.today ? 'today' : score >= rules.bands.soon ? 'soon' : 'none'
  const why = new Set(points.map((p) => p.rule))
  const raise = (to: Urgency, id: string) => {
    urgency = moreUrgent(urgency, to)
    why.add(id)
  }

  const tops = new Map<string, Top>()
  for (const w of kinds) {
    let top: Top = null
    for (const row of rules.floors) {
      if (!matches(row.when, w, kinds, risks, context)) continue
      raise(row.urgency, row.id)
      if (!top || moreUrgent(row.urgency, top.urgency) !== top.urgency)
        top = { urgency: row.urgency, rule: row }
    }
    const own = points.find((p) => p.finding === w.index)
    const rule = rules.points.find((r) => r.id === own?.rule)
    tops.set(signature(w), top ?? (rule ? { urgency: band, rule } : null))
  }
  for (const w of weighed) reasons.push(reasonFor(w.finding, tops.get(signature(w)) ?? null))
  if (band !== 'none') raise(band, `score-${band}`)

  for (const signal of trendSignals(weighed, context, rules)) {
    raise(signal.row.urgency, signal.row.id)
    reasons.push(`${signal.words}: ${urgencyWords(signal.row.urgency)}, ${sourceWords(signal.row.source)}`)
  }
  if (context.context !== 'aftercare') {
    // A yes takes over what the question named.
    const asked = reading.questions.filter(() => reading.yesNo === 'yes').map((q) => q.words)
    const told = [reading.text, ...asked].map((words) => words.toLowerCase())
    for (const row of rules.history)
      for (const h of reading.history)
        if (
          h.polarity === row.when &&
          row.history.includes(h.kind) &&
          (row.naming.length === 0 || row.naming.some((name) => told.some((words) => words.includes(name))))
        )
          raise(row.urgency, row.id)
  }
  for (const d of reading.doubts) {
    const row = rules.doubts.find((r) => r.id === d.rule)
    raise(row?.urgency ?? 'unclear', d.rule)
  }
  for (const note of context.notes) why.add(note)

  return { urgency, score, points, why: [...why], flags: flagsOf(weighed), reasons }
}

type Top = { urgency: Urgency; rule: Rule } | null

const signature = (w: Weighed) => `${w.finding.kind} ${w.present} ${w.past} ${[...w.tags].sort().join()}`

function distinct(weighed: readonly Weighed[]): Weighed[] {
  const out = new Map<string, Weighed>()
  for (const w of weighed) if (!out.has(signature(w))) out.set(signature(w), w)
  return [...out.values()]
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
