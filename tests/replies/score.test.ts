import { describe, expect, test } from 'vitest'
import type { Urgency } from '../../src/protocol/rule.ts'
import { sourceWords } from '../../src/protocol/rule.ts'
import { judge } from '../../src/replies/score.ts'
import type { Finding, JudgeContext } from '../../src/replies/types.ts'
import { finding, inCase, onset, reading, rules } from './built.ts'

const judged = (findings: Finding[], context: Partial<JudgeContext> = {}) =>
  judge(reading(findings), inCase(context), rules)
const urgency = (findings: Finding[], context: Partial<JudgeContext> = {}) =>
  judged(findings, context).urgency
const pain = (value: number, more: Partial<Finding> = {}) =>
  finding('pain', { severity: { value, how: 'said' }, ...more })

/** Each floor: what fires it, what it must give, and the source that the row must name. */
const FLOORS: [id: string, Finding[], Urgency, source: string, Partial<JudgeContext>?][] = [
  ['f-face', [finding('facial-weakness')], 'now', 'NICE NG98 1.1.3'],
  ['f-face', [finding('facial-weakness', { polarity: 'past', course: 'gone' })], 'now', 'NICE NG98 1.1.3'],
  ['f-stroke', [finding('stroke-sign')], 'now', 'NHS Act FAST'],
  ['f-vertigo-vomiting', [finding('dizziness'), finding('vomiting')], 'now', 'NICE NG127 1.2.4'],
  ['f-vertigo-cannot-stand', [finding('dizziness', { tags: ['cannot-stand'] })], 'now', 'NICE NG127 1.2.4'],
  [
    'f-dizzy-deaf-sudden',
    [finding('dizziness', { tags: ['spinning'] }), finding('hearing-loss', { tags: ['sudden'] })],
    'now',
    'NICE NG127 1.2.1',
  ],
  [
    'f-dizzy-deaf',
    [finding('dizziness'), finding('hearing-loss', { tags: ['new'] })],
    'today',
    'NICE NG127 1.2.1',
  ],
  [
    'f-dizzy-sudden-unsteady',
    [finding('dizziness', { tags: ['sudden', 'unsteady'] })],
    'now',
    'NICE NG127 1.2.1',
  ],
  ['f-dizzy-unsteady', [finding('dizziness', { tags: ['unsteady'] })], 'today', 'NICE NG127 1.2.1'],
  ['f-dizzy-lasting', [finding('dizziness', { tags: ['lasting'] })], 'today', 'NICE NG127 1.2.1'],
  ['f-dizzy', [finding('dizziness')], 'soon', 'NICE NG127 section 1.2'],
  ['f-bleeding-heavy', [finding('bleeding', { tags: ['will-not-stop'] })], 'now', "the clinic's setting"],
  ['f-bleeding', [finding('bleeding')], 'today', "the clinic's setting"],
  ['f-old-blood', [finding('bleeding', { tags: ['old-blood'] })], 'soon', 'NHS Tayside leaflet LN0311'],
  [
    'f-old-blood-thinners',
    [finding('bleeding', { tags: ['old-blood'] })],
    'today',
    'MSD Manual',
    { risks: ['anticoagulant'] },
  ],
  ['f-collapse', [finding('collapse', { polarity: 'past', course: 'gone' })], 'now', 'NHS Act FAST'],
  [
    'f-behind-ear-fever',
    [finding('swelling', { tags: ['behind-ear'] }), finding('fever')],
    'now',
    'NHS "Mastoiditis"',
  ],
  ['f-behind-ear', [finding('swelling', { tags: ['behind-ear'] })], 'today', 'NHS "Mastoiditis"'],
  ['f-swelling', [finding('swelling')], 'today', 'NICE CKS Otitis externa'],
  ['f-meningitis', [finding('stiff-neck'), finding('headache')], 'now', 'NHS "Sepsis"'],
  ['f-meningitis-light', [finding('light-hurts'), finding('fever')], 'now', 'NHS "Sepsis"'],
  ['f-thunderclap', [finding('headache', { tags: ['sudden'] })], 'now', 'NHS Act FAST'],
  ['f-airway', [finding('airway')], 'now', 'NHS "Sepsis"'],
  ['f-chest', [finding('chest')], 'now', "the clinic's setting"],
  ['f-sepsis', [finding('sepsis-sign')], 'now', 'NHS "Sepsis"'],
  [
    'f-very-unwell-fever',
    [finding('unwell', { tags: ['very'] }), finding('fever')],
    'now',
    'UK Sepsis Trust',
  ],
  ['f-self-harm', [finding('self-harm')], 'now', "the clinic's setting"],
  ['f-pain-severe', [pain(7)], 'today', 'Serlin et al.'],
  ['f-pain-worse', [pain(2, { course: 'worse' })], 'today', 'NICE CKS Otitis externa'],
  ['f-pain-immune', [pain(1)], 'today', 'NICE NG98 1.1.4', { risks: ['immunocompromised'] }],
  ['f-pain-fever', [pain(1), finding('fever')], 'today', 'NHS "Mastoiditis"'],
  ['f-discharge-coloured', [finding('discharge', { tags: ['smelly'] })], 'today', 'NICE CKS Otitis externa'],
  ['f-discharge', [finding('discharge', { tags: ['clear'] })], 'soon', 'MSD Manual'],
  ['f-contraindicated', [finding('contraindicated-drops')], 'soon', 'NHS "Earwax build-up"'],
  ['f-ringing', [finding('ringing')], 'soon', 'NICE NG98 section 1.1'],
  ['f-rash', [finding('rash')], 'today', "the clinic's setting"],
  [
    'f-vertigo-nausea',
    [finding('dizziness', { tags: ['spinning'] }), finding('nausea')],
    'today',
    'NICE NG127 1.2.4',
  ],
  [
    'f-discharge-immune',
    [finding('discharge')],
    'today',
    'NICE NG98 1.1.4',
    { risks: ['immunocompromised'] },
  ],
  ['f-very-unwell', [finding('unwell', { tags: ['very'] })], 'today', 'UK Sepsis Trust'],
  ['f-other', [finding('other')], 'soon', "the clinic's setting"],
]

describe('each red-flag floor fires, names its source and gives its urgency', () => {
  test.each(FLOORS)('%s', (id, findings, want, source, context = {}) => {
    const row = rules.floors.find((r) => r.id === id)
    expect(row && sourceWords(row.source)).toContain(source)
    const result = judged(findings, context)
    expect(result.why).toContain(id)
    expect(result.urgency).toBe(want)
  })
})

describe('hearing loss: both sides of each bound of NICE NG98 1.1.2', () => {
  const loss = (more: Partial<Finding['onset']>) => urgency([finding('hearing-loss', { onset: onset(more) })])
  test('over 3 days is sudden, over 4 is not', () => {
    expect(loss({ overDays: 3 })).toBe('today')
    expect(loss({ overDays: 4 })).toBe('soon')
  })
  test('30 days ago is within, 31 is not', () => {
    expect(loss({ sudden: true, days: 30 })).toBe('today')
    expect(loss({ sudden: true, days: 31 })).toBe('soon')
  })
  test('over 4 to 90 days is rapid, by the rule for it; over 91 is not', () => {
    const why = (overDays: number) => judged([finding('hearing-loss', { onset: onset({ overDays }) })]).why
    expect(why(3)).not.toContain('f-hearing-rapid')
    expect(why(4)).toContain('f-hearing-rapid')
    expect(why(90)).toContain('f-hearing-rapid')
    expect(why(91)).not.toContain('f-hearing-rapid')
  })
  test('long-standing and unchanged is no alarm; sudden within it is', () => {
    expect(urgency([finding('hearing-loss', { tags: ['chronic'] })])).toBe('none')
    expect(urgency([finding('hearing-loss', { tags: ['chronic', 'worse'], course: 'worse' })])).toBe('today')
  })
})

describe('pain bands (Serlin et al. 1995; ground rules) and the usual days of soreness', () => {
  test('1 to 3 none in the first days, 4 to 6 soon, 7 to 10 today', () => {
    const by = (v: number) =>
      urgency([pain(v)], {
        procedure: {
          days: 1,
          hard: false,
          traumatic: false,
          canalHurt: false,
          perforated: false,
          partCleared: false,
        },
      })
    expect([1, 2, 3].map(by)).toEqual(['none', 'none', 'none'])
    expect([4, 5, 6].map(by)).toEqual(['soon', 'soon', 'soon'])
    expect([7, 8, 9, 10].map(by)).toEqual(['today', 'today', 'today', 'today'])
  })
  test('mild pain alarms past its usual days, later after a hard removal', () => {
    const on = (days: number, hard: boolean) =>
      urgency([pain(2)], {
        procedure: { days, hard, traumatic: false, canalHurt: false, perforated: false, partCleared: false },
      })
    expect(on(rules.usualSorenessDays.ordinary, false)).toBe('none')
    expect(on(rules.usualSorenessDays.ordinary + 1, false)).toBe('soon')
    expect(on(rules.usualSorenessDays.hard, true)).toBe('none')
    expect(on(rules.usualSorenessDays.hard + 1, true)).toBe('soon')
  })
  test('pain with no strength is soon; on day one after a hard removal it is expected, unless it grows', () => {
    const hard = {
      procedure: {
        days: 1,
        hard: true,
        traumatic: false,
        canalHurt: false,
        perforated: false,
        partCleared: false,
      },
    }
    expect(urgency([finding('pain')])).toBe('soon')
    expect(urgency([finding('pain')], hard)).toBe('none')
    expect(urgency([finding('pain', { course: 'worse' })], hard)).toBe('today')
  })
  test('mild pain without a procedure is soon', () => {
    expect(urgency([pain(2)], { context: 'softening' })).toBe('soon')
  })
})

test('points add up, each with its rule and finding; risks add only to findings', () => {
  const result = judged([pain(5), finding('ringing')], { risks: ['diabetes'] })
  expect(result.points).toEqual([
    { rule: 'p-pain-moderate', points: 4, finding: 0 },
    { rule: 'p-ringing', points: 4, finding: 1 },
    { rule: 'r-diabetes', points: 2 },
  ])
  expect(result.score).toBe(10)
  expect(result.urgency).toBe('today')
  expect(judged([], { risks: ['diabetes', 'anticoagulant'] }).score).toBe(0)
})

test('bands: one point below `soon` is none, at it soon', () => {
  expect(judged([finding('blocked')], { context: 'softening' })).toMatchObject({ score: 2, urgency: 'none' })
  expect(judged([finding('blocked')])).toMatchObject({ score: 4, urgency: 'soon' })
})

test('nothing denied, supposed, asked about or somebody else’s scores or flags', () => {
  for (const polarity of ['denied', 'hypothetical', 'asked-about', 'someone-else'] as const) {
    const result = judged([finding('facial-weakness', { polarity, flag: 'facial-weakness' })])
    expect(result).toMatchObject({ urgency: 'none', score: 0, flags: [] })
  }
})

test('a sign of long ago is history', () => {
  expect(urgency([finding('collapse', { polarity: 'past' })])).toBe('none')
})

test('every doubt is at least unclear, and never lowers', () => {
  for (const row of rules.doubts) {
    const doubts = [{ rule: row.id, start: 0, end: 0, words: '' }]
    expect(judge(reading([], { doubts }), inCase(), rules).urgency).toBe(
      row.id === 'u-sounds-urgent' ? 'today' : 'unclear',
    )
    expect(judge(reading([finding('bleeding')], { doubts }), inCase(), rules).urgency).toBe('today')
  }
})

test('screening: a present history that changes the plan is soon, an old one none', () => {
  const item = (kind: 'perforation' | 'diabetes' | 'recent-perforation', polarity: 'present' | 'past') =>
    judge(
      reading([], { history: [{ kind, polarity, start: 0, end: 0, words: '', side: null }] }),
      inCase({ context: 'screening' }),
      rules,
    ).urgency
  expect(item('perforation', 'present')).toBe('soon')
  expect(item('perforation', 'past')).toBe('none')
  expect(item('recent-perforation', 'past')).toBe('soon')
  expect(item('diabetes', 'present')).toBe('none')
})

test('a reason says what, where, since when, who must act and by which rule', () => {
  const result = judged([
    finding('hearing-loss', {
      side: 'right',
      tags: ['new', 'marked'],
      onset: onset({ days: 0, words: 'since this morning' }),
    }),
  ])
  expect(result.reasons[0]).toBe(
    'new hearing loss, right, since this morning: a clinician the same day, NICE NG98 1.1.2',
  )
})

test('rule ids are unique', () => {
  const ids = [rules.points, rules.riskPoints, rules.floors, rules.trends, rules.history, rules.doubts]
    .flat()
    .map((r) => r.id)
  expect(new Set(ids).size).toBe(ids.length)
})
