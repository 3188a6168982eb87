/** The way in: one reply and its case to a reading and a judgement. */
import type { UrgencyRules } from '../protocol/sections/urgency.ts'
import { judgeContextOf } from './context.ts'
import { readReply } from './read.ts'
import { judge } from './score.ts'
import type { JudgeContext, Judgement, ReadInput, Reading } from './types.ts'

export { readReply } from './read.ts'
export { judge } from './score.ts'

/** The case around the reply, its earlier texts read with the same reader. */
export function caseOf(input: ReadInput): JudgeContext {
  return judgeContextOf(input, (text) => readReply({ context: input.context, text, question: 'pain' }))
}

/** Reads and judges one reply. Pure; never throws on any shape of input. */
export function readAndJudge(
  input: ReadInput,
  rules: UrgencyRules,
): { reading: Reading; judgement: Judgement } {
  const reading = readReply(input)
  return { reading, judgement: judge(reading, caseOf(input), rules) }
}
