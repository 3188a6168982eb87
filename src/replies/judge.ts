/** The way in: one reply and its case to a reading and a judgement. */
import { moreUrgent } from '../protocol/rule.ts'
import type { UrgencyRules } from '../protocol/sections/urgency.ts'
import { judgeContextOf } from './context.ts'
import { readReply } from './read.ts'
import { judge } from './score.ts'
import { soundsUrgent } from './sounds-urgent.ts'
import { shapeOf, thirdDoubts } from './third-reader.ts'
import type { JudgeContext, Judgement, ReadInput, Reading } from './types.ts'

export { readReply } from './read.ts'
export { judge } from './score.ts'

/** The case around the reply, its earlier texts read with the same reader. */
export function caseOf(input: ReadInput): JudgeContext {
  return judgeContextOf(input, (text) => readReply({ context: input.context, text, question: 'pain' }))
}

/**
 * Judges by the rules. Where they find nothing urgent, the third reader is asked whether the words sound urgent, and
 * where they would let the reply pass, whether a clinician should see it; its doubts are added.
 */
export function judgeReading(
  reading: Reading,
  about: JudgeContext,
  rules: UrgencyRules,
): { reading: Reading; judgement: Judgement } {
  const judgement = judge(reading, about, rules)
  if (moreUrgent(judgement.urgency, 'today') === judgement.urgency) return { reading, judgement }
  const shape = shapeOf(reading.text)
  const urgent = soundsUrgent(reading, shape)
  const third = urgent.length === 0 && judgement.urgency === 'none' ? thirdDoubts(reading, shape) : []
  if (urgent.length + third.length === 0) return { reading, judgement }
  const doubted = { ...reading, doubts: [...reading.doubts, ...urgent, ...third] }
  return { reading: doubted, judgement: judge(doubted, about, rules) }
}

/** Reads and judges one reply. Pure; never throws on any shape of input. */
export function readAndJudge(
  input: ReadInput,
  rules: UrgencyRules,
): { reading: Reading; judgement: Judgement } {
  return judgeReading(readReply(input), caseOf(input), rules)
}
