import { describe, expect, test } from 'vitest'
import { urgencyWords } from '../../src/replies/reasons.ts'
import { flagsOf, judge, risksOfCase, weigh } from '../../src/replies/score.ts'
import type { Finding, HistoryItem, JudgeContext, ProcedureFacts, Reading } from '../../src/replies/types.ts'
import { finding, inCase, onset, reading, rules } from './built.ts'

const judged = (findings: Finding[], context: Partial<JudgeContext> = {}, more: Partial<Reading> = {}) =>
  judge(reading(findings, more), inCase(context), rules)
const tagsOf = (f: Finding, context: Partial<JudgeContext> = {}) => [
  ...(weigh(reading([f]), inCase(context), rules)[0]?.tags ?? []),
]
const procedure = (more: Partial<ProcedureFacts>): ProcedureFacts => ({
  days: null,
  hard: false,
  traumatic: false,
  canalHurt: false,
  perforated: false,
  partCleared: false,
  ...more,
})
const item = (kind: HistoryItem['kind'], polarity: HistoryItem['polarity'] = 'present'): HistoryItem => ({
  kind,
  polarity,
  start: 0,
  end: 0,
  words: '',
  side: null,
})
const loss = (more: Partial<Finding['onset']>, rest: Partial<Finding> = {}) =>
  finding('hearing-loss', { onset: onset(more), ...rest })

describe('tags that days give', () => {
  test('only pain gets a strength, only hearing loss an onset', () => {
    expect(tagsOf(finding('itch', { onset: onset({ sudden: true, days: 1 }) }))).toEqual([])
  })
  test('hearing loss since up to 3 days is sudden, a slight one while softening is not', () => {
    expect(tagsOf(loss({ days: 3 }))).toContain('sudden-within-30-days')
    expect(tagsOf(loss({ days: 4 }))).not.toContain('sudden-within-30-days')
    expect(tagsOf(loss({}))).toEqual([])
    const slight = { tags: ['slight' as const] }
    expect(tagsOf(loss({ days: 2 }, slight), { context: 'softening' })).toEqual(['slight'])
    expect(tagsOf(loss({ days: 2 }, slight))).toContain('sudden-within-30-days')
    expect(tagsOf(loss({ days: 2 }), { context: 'softening' })).toContain('sudden-within-30-days')
    expect(tagsOf(loss({ sudden: true }, slight), { context: 'softening' })).toContain(
      'sudden-within-30-days',
    )
    expect(tagsOf(loss({ overDays: 2 }, slight), { context: 'softening' })).toEqual(['slight'])
  })
  test('sudden and 31 days ago is told apart', () => {
    expect(tagsOf(loss({ sudden: true, days: 31 }))).toContain('sudden-over-30-days-ago')
    expect(tagsOf(loss({ overDays: 5, sudden: true }))).toEqual(['rapid-4-to-90-days'])
  })
  test('past 90 days it is long-standing unless it grows; past a year it may grow slowly', () => {
    expect(tagsOf(loss({ days: 90 }))).not.toContain('long-standing')
    expect(tagsOf(loss({ days: 91 }))).toContain('long-standing')
    expect(tagsOf(loss({ days: 91 }, { tags: ['worse'] }))).not.toContain('long-standing')
    expect(tagsOf(loss({ days: 91 }, { course: 'worse' }))).not.toContain('long-standing')
    expect(tagsOf(loss({ days: 364 }, { course: 'worse' }))).not.toContain('long-standing')
    expect(tagsOf(loss({ days: 365 }, { course: 'worse' }))).toContain('long-standing')
    expect(tagsOf(loss({ days: 365, sudden: true }, { course: 'worse' }))).not.toContain('long-standing')
  })
  test('before a procedure a growing loss of more than 90 days is a slow one', () => {
    const worse = { course: 'worse' as const }
    const before = { context: 'screening' as const }
    expect(tagsOf(loss({ days: 91 }, worse), before)).toContain('long-standing')
    expect(tagsOf(loss({ overDays: 91 }, worse), before)).toContain('long-standing')
    expect(tagsOf(loss({ days: 90 }, worse), before)).not.toContain('long-standing')
    expect(tagsOf(loss({}, worse), before)).not.toContain('long-standing')
    expect(tagsOf(loss({ days: 91, sudden: true }, worse), before)).not.toContain('long-standing')
    expect(tagsOf(finding('ringing', { ...worse, onset: onset({ days: 91 }) }), before)).not.toContain(
      'long-standing',
    )
  })
  test('before a procedure a loss that grows for 4 to 90 days took that long; after it, the day says nothing', () => {
    const worse = { tags: ['worse' as const] }
    const before = { context: 'screening' as const }
    expect(tagsOf(loss({ days: 42 }, worse), before)).toEqual(['worse', 'rapid-4-to-90-days'])
    expect(tagsOf(loss({ days: 42 }, { course: 'worse' }), before)).toEqual(['worse', 'rapid-4-to-90-days'])
    expect(tagsOf(loss({ days: 4 }, worse), before)).toEqual(['worse', 'rapid-4-to-90-days'])
    expect(tagsOf(loss({ days: 3 }, worse), before)).toEqual(['worse', 'sudden-within-30-days'])
    expect(tagsOf(loss({ days: 42 }, worse))).toEqual(['worse'])
    expect(tagsOf(loss({}, worse), before)).toEqual(['worse'])
    expect(tagsOf(loss({ days: 42 }), before)).toEqual([])
    expect(tagsOf(loss({ days: 42, sudden: true }, worse), before)).toEqual([
      'worse',
      'sudden-over-30-days-ago',
    ])
    expect(tagsOf(loss({ days: 42, sudden: true }), before)).toEqual(['sudden-over-30-days-ago'])
  })
  test('over more than 90 days is neither rapid nor sudden, unless suddenness is told, too', () => {
    expect(tagsOf(loss({ overDays: 91 }))).toEqual([])
    expect(tagsOf(loss({ overDays: 91, days: 2 }))).toEqual([])
    expect(tagsOf(loss({ overDays: 91, sudden: true }))).toEqual(['sudden-within-30-days'])
  })
  test('only what is always so takes sudden and new away, not a day long past', () => {
    const unsteady = (tags: Finding['tags']) =>
      judged([finding('dizziness', { tags: ['sudden', 'unsteady', ...tags], onset: onset({ days: 91 }) })])
    expect(unsteady([]).why).toContain('f-dizzy-sudden-unsteady')
    expect(unsteady(['chronic']).why).not.toContain('f-dizzy-sudden-unsteady')
  })
  test('chronic takes sudden and new away', () => {
    expect(tagsOf(finding('dizziness', { tags: ['chronic', 'sudden', 'new'] }))).toEqual([
      'chronic',
      'long-standing',
    ])
    expect(tagsOf(loss({ days: 2 }, { tags: ['chronic'] }))).toEqual(['chronic', 'long-standing'])
  })
})

describe('pain', () => {
  const mild = (more: Partial<Finding> = {}) =>
    finding('pain', { severity: { value: 2, how: 'implied' }, ...more })
  test('mild with no day known is usual, unless it is told by words alone to be lasting', () => {
    expect(tagsOf(mild())).toEqual(['mild', 'in-usual-days'])
    expect(tagsOf(mild({ tags: ['lasting'] }))).toContain('outlasts-usual-days')
    expect(tagsOf(mild({ tags: ['lasting'], course: 'better' }))).toContain('in-usual-days')
    expect(tagsOf(mild({ tags: ['lasting'], onset: onset({ days: 1 }) }))).toContain('in-usual-days')
    expect(tagsOf(mild({ tags: ['lasting'], severity: { value: 2, how: 'said' } }))).toContain(
      'in-usual-days',
    )
    expect(tagsOf(mild({ onset: onset({ days: 1 }) }))).toContain('in-usual-days')
    expect(tagsOf(mild({ onset: onset({ days: 9 }) }))).toContain('outlasts-usual-days')
  })
  test('a sting as the drops go in is usual, unless it grows', () => {
    const softening = { context: 'softening' as const }
    expect(tagsOf(mild({ tags: ['brief'] }), softening)).toContain('in-usual-days')
    expect(tagsOf(mild(), softening)).toContain('outlasts-usual-days')
    expect(tagsOf(mild({ tags: ['brief', 'worse'] }), softening)).toContain('outlasts-usual-days')
    expect(tagsOf(mild({ tags: ['brief'], course: 'worse' }), softening)).toContain('outlasts-usual-days')
    expect(tagsOf(mild({ tags: ['brief'], onset: onset({ days: 9 }) }))).toContain('outlasts-usual-days')
  })
  test('only mild pain is counted against its usual days', () => {
    for (const [value, tag] of [
      [4, 'moderate'],
      [7, 'severe'],
    ] as const)
      expect(tagsOf(mild({ severity: { value, how: 'said' } }))).toEqual([tag])
  })
  test('a traumatic removal and a hurt canal count as hard', () => {
    for (const hard of ['hard', 'traumatic', 'canalHurt'] as const)
      expect(tagsOf(mild(), { procedure: procedure({ days: 5, [hard]: true }) })).toContain('in-usual-days')
    expect(tagsOf(mild(), { procedure: procedure({ days: 5 }) })).toContain('outlasts-usual-days')
  })
  test('with no strength it is usual on the first day after a hard removal, or when easing', () => {
    const plain = (more: Partial<Finding> = {}) => finding('pain', more)
    const day = (days: number | null, hard = true) => ({ procedure: procedure({ days, hard }) })
    expect(tagsOf(plain(), day(1))).toContain('in-usual-days')
    expect(tagsOf(plain(), day(2))).not.toContain('in-usual-days')
    expect(tagsOf(plain(), day(null))).not.toContain('in-usual-days')
    expect(tagsOf(plain(), day(1, false))).not.toContain('in-usual-days')
    expect(tagsOf(plain({ course: 'better' }), day(2, false))).toContain('in-usual-days')
    expect(tagsOf(plain({ course: 'better', tags: ['worse'] }), day(1))).not.toContain('in-usual-days')
    expect(tagsOf(plain(), { ...day(1), context: 'softening' })).not.toContain('in-usual-days')
  })
})

test('a sign that has just passed still alarms for 30 days, and no longer', () => {
  const past = (days: number | null) =>
    judged([finding('collapse', { polarity: 'past', onset: onset({ days }) })]).urgency
  expect(past(30)).toBe('now')
  expect(past(31)).toBe('none')
  expect(past(null)).toBe('none')
  expect(judged([finding('collapse', { polarity: 'denied', course: 'gone' })]).urgency).toBe('none')
})

describe('risks of the case', () => {
  const risks = (history: HistoryItem[], context: Partial<JudgeContext> = {}) =>
    [...risksOfCase(reading([], { history }), inCase(context))].sort()
  test('from the reply, when present', () => {
    for (const kind of ['immunocompromised', 'only-hearing-ear', 'anticoagulant', 'diabetes'] as const) {
      expect(risks([item(kind)])).toEqual([kind])
      expect(risks([item(kind, 'denied')])).toEqual([])
    }
    for (const kind of ['recent-perforation', 'surgery'] as const)
      expect(risks([item(kind)])).toEqual(['recent-perforation-or-surgery'])
    expect(risks([item('allergy')])).toEqual([])
  })
  test('from the procedure', () => {
    expect(risks([], { procedure: procedure({ hard: true }) })).toEqual(['hard-procedure'])
    expect(risks([], { procedure: procedure({ traumatic: true }) })).toEqual(['hard-procedure'])
    expect(risks([], { procedure: procedure({ perforated: true }) })).toEqual([
      'recent-perforation-or-surgery',
    ])
    expect(risks([], { procedure: procedure({}) })).toEqual([])
    expect(risks([], { procedure: null })).toEqual([])
  })
})

describe('why', () => {
  test('names each rule once, the bands, and what of the input was not understood', () => {
    expect(judged([]).why).toEqual([])
    const two = judged([finding('ringing'), finding('ringing', { start: 5, end: 9 })])
    expect(two.why).toEqual(['p-ringing', 'f-ringing', 'score-soon'])
    expect(judged([finding('bleeding')]).why).toContain('score-today')
    expect(judged([], { notes: ['input-risk-not-understood', 'input-risk-not-understood'] }).why).toEqual([
      'input-risk-not-understood',
    ])
  })
  test('a trend raises urgency by its own rule and gives its reason', () => {
    const earlier = { pain: null, affirmed: [], denied: ['discharge' as const], urgency: null }
    const result = judged([finding('discharge', { tags: ['clear'] })], { previous: [earlier] })
    expect(result.urgency).toBe('today')
    expect(result.why).toContain('t-newly-present')
    expect(result.reasons.at(-1)).toBe(
      "discharge was denied before and is there now: a clinician the same day, the clinic's setting",
    )
  })
  test('a doubt weighs what its row says, and is unclear without a row', () => {
    const doubts = [{ rule: 'u-vague', start: 0, end: 0, words: '' }]
    const raised = {
      ...rules,
      doubts: rules.doubts.map((r) => (r.id === 'u-vague' ? { ...r, urgency: 'soon' as const } : r)),
    }
    expect(judge(reading([], { doubts }), inCase(), raised).urgency).toBe('soon')
    expect(judge(reading([], { doubts }), inCase(), { ...rules, doubts: [] }).urgency).toBe('unclear')
  })
})

describe('history', () => {
  const history = [item('allergy')]
  test('an allergy alarms where the reply, or the question that it answers yes, names an agent', () => {
    const screening = { context: 'screening' as const }
    const question = {
      kind: 'screening',
      asksProblem: true,
      asked: [],
      about: [],
      words: 'Any Almond allergy?',
    } as const
    const q = { ...question, asked: [], about: [] }
    expect(judged([], screening, { history, text: 'to Almonds' }).urgency).toBe('soon')
    expect(judged([], screening, { history, text: 'to cats' }).urgency).toBe('none')
    expect(judged([], screening, { history, text: 'yes', yesNo: 'yes', questions: [q] }).urgency).toBe('soon')
    expect(judged([], screening, { history, text: 'cats', yesNo: null, questions: [q] }).urgency).toBe('none')
  })
  test('after the procedure it raises nothing by itself', () => {
    expect(judged([], {}, { history: [item('perforation')] }).urgency).toBe('none')
    expect(judged([], { context: 'softening' }, { history: [item('perforation')] }).urgency).toBe('soon')
  })
})

test('flags: what is there now, once each, in order; a swelling of the throat is other, too', () => {
  const flags = (...list: Finding[]) => flagsOf(weigh(reading(list), inCase(), rules))
  expect(flags(finding('ringing'), finding('pain', { flag: 'pain' }), finding('itch'))).toEqual([
    'pain',
    'other',
  ])
  expect(flags(finding('pain', { flag: 'pain', polarity: 'past' }))).toEqual([])
  expect(flags(finding('airway', { flag: 'swelling' }))).toEqual(['swelling', 'other'])
  expect(flags(finding('swelling', { flag: 'swelling' }))).toEqual(['swelling'])
})

test('a reason names the most urgent rule of its finding, or the points that weigh', () => {
  expect(judged([finding('dizziness', { tags: ['cannot-stand'] })]).reasons[0]).toContain(
    'a clinician at once',
  )
  const blocked = (more: Finding[]) =>
    judged([finding('blocked'), ...more], { context: 'softening' }).reasons[0]
  expect(blocked([])).toContain('no action by itself')
  expect(blocked([finding('ringing')])).toContain('a clinician within days')
  expect(blocked([finding('bleeding')])).toContain('a clinician the same day')
})

test('each urgency has its words', () => {
  expect((['now', 'today', 'soon', 'unclear', 'none'] as const).map(urgencyWords)).toEqual([
    'a clinician at once',
    'a clinician the same day',
    'a clinician within days',
    'a person reads it',
    'no action by itself',
  ])
})
