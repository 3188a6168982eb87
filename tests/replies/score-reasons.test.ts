import { describe, expect, test } from 'vitest'
import type { Condition } from '../../src/protocol/sections/urgency.ts'
import { judge, matches, weigh } from '../../src/replies/score.ts'
import type { Finding, JudgeContext, RiskKind } from '../../src/replies/types.ts'
import { finding, inCase, reading, rules } from './built.ts'

const judged = (findings: Finding[], context: Partial<JudgeContext> = {}) =>
  judge(reading(findings), inCase(context), rules)
const pain = (value: number) => finding('pain', { severity: { value, how: 'said' } })

describe('a row matches', () => {
  const row = (more: Partial<Condition>): Condition => ({
    kinds: ['pain'],
    all: [],
    any: [],
    not: [],
    with: [],
    withAny: [],
    risks: [],
    contexts: [],
    evenIfPast: false,
    ...more,
  })
  const first = (when: Partial<Condition>, findings: Finding[], risks: RiskKind[] = []) => {
    const [w, ...rest] = weigh(reading(findings), inCase(), rules)
    return w !== undefined && matches(row(when), w, [w, ...rest], new Set(risks), inCase())
  }
  test('with one of its risks', () => {
    const either = { risks: ['diabetes' as const, 'anticoagulant' as const] }
    expect(first(either, [pain(1)], ['anticoagulant'])).toBe(true)
    expect(first(either, [pain(1)], ['elderly'])).toBe(false)
  })
  test('with another finding that is there, not with itself', () => {
    expect(first({ with: ['pain'] }, [pain(1)])).toBe(false)
    expect(first({ with: ['pain'] }, [pain(1), pain(5)])).toBe(true)
    expect(first({ with: ['fever'] }, [pain(1), finding('fever')])).toBe(true)
    expect(first({ with: ['fever'] }, [pain(1), finding('fever', { polarity: 'denied' })])).toBe(false)
    expect(first({ with: ['fever'] }, [pain(1), pain(5)])).toBe(false)
  })
})

describe('a reply that repeats itself', () => {
  test('is weighed by each finding that differs, in whatever order', () => {
    expect(judged([pain(2), pain(8)]).urgency).toBe('today')
    expect(judged([pain(8), pain(2)]).urgency).toBe('today')
  })
  test('costs no more: the first that says it gets the points, and each the reason', () => {
    const blocked = (tags: Finding['tags']) => finding('blocked', { tags })
    const result = judged([blocked(['slight', 'lasting']), blocked(['lasting', 'slight'])])
    expect(result.points.map((p) => p.finding)).toEqual([0, 0])
    expect(result.reasons).toEqual([result.reasons[0], result.reasons[0]])
    expect(result.reasons[0]).toContain('a clinician within days')
  })
  test('names a rule once that several findings fire', () => {
    const why = judged([finding('discharge', { tags: ['clear'] }), finding('discharge')]).why
    expect(why.filter((id) => id === 'f-discharge')).toHaveLength(1)
  })
})

describe('a reason', () => {
  test('names the most urgent of several rules, wherever it stands', () => {
    const old = finding('bleeding', { tags: ['old-blood'] })
    expect(judged([old], { risks: ['anticoagulant'] }).reasons[0]).toContain('the same day, MSD Manual')
    expect(judged([old]).reasons[0]).toContain('within days, NHS Tayside')
  })
  test('without a floor names the row that gave its own points', () => {
    const { reasons } = judged([finding('blocked'), finding('dizziness', { tags: ['brief'] })], {
      context: 'softening',
    })
    expect(reasons[0]).toContain('no action by itself, common practice')
    expect(reasons[1]).toContain('no action by itself, patient-information pages: minutes')
  })
  test('without a floor or points says that nothing follows', () => {
    expect(judged([finding('pain', { polarity: 'denied' })]).reasons).toEqual([
      'pain, denied: no action by itself',
    ])
  })
  test('weighs the points of the whole reply: at each band that band', () => {
    const score = (...more: Finding[]) => judged([finding('blocked'), ...more])
    expect(score()).toMatchObject({ score: rules.bands.soon })
    expect(score().reasons[0]).toContain('a clinician within days')
    const today = score(pain(5), finding('itch'))
    expect(today).toMatchObject({ score: rules.bands.today, urgency: 'today' })
    expect(today.reasons[0]).toContain('a clinician the same day')
  })
})
