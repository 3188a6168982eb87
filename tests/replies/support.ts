/** Short ways to read, judge and build findings in the tests of this room. */
import { URGENCIES, type Urgency } from '../../src/protocol/rule.ts'
import { defaultUrgencyRules } from '../../src/protocol/sections/urgency.ts'
import { readAndJudge } from '../../src/replies/judge.ts'
import type { Finding, JudgeContext, ReadInput, Reading } from '../../src/replies/types.ts'

export const rules = defaultUrgencyRules
export const rank = (u: Urgency): number => URGENCIES.indexOf(u)

export const read = (text: string, more: ReadInput = {}) =>
  readAndJudge({ context: 'aftercare', text, ...more }, rules)
export const urgencyOf = (text: string, more: ReadInput = {}): Urgency => read(text, more).judgement.urgency

/** `pain:affirmed` for each finding, without repeats. */
export const kindsOf = (text: string, more: ReadInput = {}): string[] => [
  ...new Set(read(text, more).reading.findings.map((f) => `${f.kind}:${f.polarity}`)),
]

export const finding = (kind: Finding['kind'], more: Partial<Finding> = {}): Finding => ({
  kind,
  flag: 'other',
  start: 0,
  end: 1,
  words: 'x',
  side: null,
  severity: null,
  onset: { sudden: false, days: null, overDays: null, relative: null, words: null },
  course: null,
  polarity: 'affirmed',
  tags: [],
  ...more,
})

export const onset = (more: Partial<Finding['onset']>): Finding['onset'] => ({
  ...finding('pain').onset,
  ...more,
})

export const reading = (findings: Finding[], more: Partial<Reading> = {}): Reading => ({
  text: '',
  context: 'aftercare',
  questions: [],
  findings,
  doses: null,
  softened: null,
  history: [],
  stop: false,
  start: false,
  reschedule: false,
  callMe: false,
  wrongNumber: false,
  thanks: false,
  asks: false,
  yesNo: null,
  number: null,
  sideAnswer: null,
  language: 'en',
  doubts: [],
  unaccounted: [],
  words: 0,
  accounted: 0,
  ...more,
})

export const inCase = (more: Partial<JudgeContext> = {}): JudgeContext => ({
  context: 'aftercare',
  risks: [],
  procedure: null,
  previous: [],
  notes: [],
  ...more,
})
