/** What bears on a reply's urgency besides its words: the same for its first reading and for a replay. Pure. */
import { Temporal } from 'temporal-polyfill'
import type { StoredEar } from '../aftercare/store.ts'
import { rulesOf } from '../protocol/document.ts'
import { sourceWords } from '../protocol/rule.ts'
import type { UrgencyRules } from '../protocol/sections/urgency.ts'
import { urgencyWords } from '../replies/reasons.ts'
import type { Flag, Judgement, ReadInput, ReplyContext } from '../replies/types.ts'

export interface EarlierReply {
  replyId: string
  receivedAt: Temporal.Instant
  text: string
  urgency: string | null
  flags: readonly Flag[]
}

export interface ReplyCase {
  replyId: string
  receivedAt: Temporal.Instant
  /** The words that are read. */
  text: string
  context: ReplyContext
  /** The questions that were open, as the reader names them. */
  questions: string[]
  risks: readonly string[]
  ears?: 'left' | 'right' | 'both' | undefined
  /** The patient's procedures, newest first. */
  records: readonly StoredEar[]
  /** The patient's read replies, oldest first. */
  replies: readonly EarlierReply[]
  /** The clinic's zone. */
  zone: string
}

export function readInputOf(about: ReplyCase): ReadInput {
  const { replyId, receivedAt, text, context, questions, risks, ears, zone } = about
  const known = about.records.filter(({ doneAt }) => Temporal.Instant.compare(doneAt, receivedAt) <= 0)
  const latest = known[0]
  const same = latest ? known.filter((one) => one.visitId === latest.visitId) : []
  const procedure = latest && {
    daysSince: daysBetween(zone, latest.doneAt, receivedAt),
    difficulty: hardest(same.map((one) => one.difficulty)),
    canal: same.flatMap((one) => one.record.canal),
    drum: same.map((one) => one.record.drum),
    result: same.map((one) => one.record.result),
  }
  return {
    id: replyId,
    context,
    text,
    question: questions,
    risk: risks,
    ...(context === 'aftercare' && procedure ? { procedure } : {}),
    previous: context === 'aftercare' && latest ? earlierOf(about, latest.doneAt) : [],
    history: risks,
    ...(ears ? { ears } : {}),
  } as ReadInput
}

/** The replies between the procedure and this one. */
const earlierOf = ({ replies, replyId, receivedAt, zone }: ReplyCase, since: Temporal.Instant) =>
  replies
    .filter((one) => one.replyId !== replyId)
    .filter(
      (one) =>
        Temporal.Instant.compare(one.receivedAt, since) >= 0 &&
        Temporal.Instant.compare(one.receivedAt, receivedAt) <= 0,
    )
    .map(({ text, urgency, flags, receivedAt: at }) => ({
      text,
      urgency,
      flags,
      daysSince: daysBetween(zone, since, at),
    }))

const LEVELS = ['easy', 'ordinary', 'hard', 'traumatic'] as const
const hardest = (levels: readonly (typeof LEVELS)[number][]): (typeof LEVELS)[number] =>
  LEVELS.toReversed().find((level) => levels.includes(level)) ?? 'ordinary'

const daysBetween = (zone: string, from: Temporal.Instant, to: Temporal.Instant): number =>
  from
    .toZonedDateTimeISO(zone)
    .toPlainDate()
    .until(to.toZonedDateTimeISO(zone).toPlainDate(), { largestUnit: 'days' }).days

/**
 * The one plain line of why a reply is as urgent as it is: the reason that asks for just that, else the rule
 * that does; never a reason for less, however early it stands in the words. Null when no rule has a say.
 */
export function mainReason(judgement: Judgement, rules: UrgencyRules): string | null {
  const { urgency, reasons, why } = judgement
  const wanted = urgencyWords(urgency)
  const direct = reasons.find((reason) => reason.includes(`: ${wanted}`))
  if (direct) return direct
  const rule = rulesOf(rules).find(({ id, values }) => why.includes(id) && values.urgency === urgency)
  return rule ? `${rule.text}: ${wanted}, ${sourceWords(rule.source)}` : null
}
