/** Findings, readings and cases built by hand, for tests of the scorer that need no reader. */
import { defaultUrgencyRules } from '../../src/protocol/sections/urgency.ts'
import type { Finding, JudgeContext, Reading } from '../../src/replies/types.ts'

export const rules = defaultUrgencyRules

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
  explained: false,
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
