/** Short ways to read, judge and build findings in the tests of this room. */
import { URGENCIES, type Urgency } from '../../src/protocol/rule.ts'
import { readAndJudge } from '../../src/replies/judge.ts'
import type { ReadInput } from '../../src/replies/types.ts'
import { rules } from './built.ts'

export const rank = (u: Urgency): number => URGENCIES.indexOf(u)

export const read = (text: string, more: ReadInput = {}) =>
  readAndJudge({ context: 'aftercare', text, ...more }, rules)
export const urgencyOf = (text: string, more: ReadInput = {}): Urgency => read(text, more).judgement.urgency

/** `pain:affirmed` for each finding, without repeats. */
export const kindsOf = (text: string, more: ReadInput = {}): string[] => [
  ...new Set(read(text, more).reading.findings.map((f) => `${f.kind}:${f.polarity}`)),
]
