import { expect, test } from 'vitest'
import { read, urgencyOf } from './support.ts'

const NICE_OR_CLINIC = 'each trend row names its own source in the protocol'

test(`pain rising by two points between checks is today (${NICE_OR_CLINIC})`, () => {
  const procedure = { days: 1, difficulty: 'hard' }
  expect(urgencyOf('3', { question: 'pain', procedure, previous: [{ pain: 1 }] })).toBe('today')
  expect(urgencyOf('3', { question: 'pain', procedure, previous: [{ pain: 2 }] })).toBe('none')
  expect(urgencyOf('2', { question: 'pain', procedure, previous: [{ pain: 3 }] })).toBe('none')
})

test('pain creeping up over three checks is today', () => {
  expect(read('3', { question: 'pain', previous: [{ pain: 1 }, { pain: 2 }] }).judgement.why).toContain(
    't-pain-creeping',
  )
  expect(read('2', { question: 'pain', previous: [{ pain: 1 }, { pain: 2 }] }).judgement.why).not.toContain(
    't-pain-creeping',
  )
})

test('discharge that was denied and is there now is today; never denied is soon', () => {
  expect(urgencyOf('bit of clear fluid', { previous: [{ discharge: false }] })).toBe('today')
  expect(urgencyOf('bit of clear fluid', { previous: [{ discharge: true }] })).toBe('soon')
  expect(urgencyOf('bit of clear fluid')).toBe('soon')
})

test('"worse than yesterday" is today', () => {
  expect(urgencyOf('pain is worse than yesterday')).toBe('today')
})

test('hearing that never came back is today', () => {
  expect(urgencyOf('hearing still a bit dull', { previous: [{ text: 'hearing is muffled' }] })).toBe('today')
  expect(urgencyOf('hearing still a bit dull')).toBe('soon')
})

test('an urgent sign of the check before that is still there is today', () => {
  expect(
    urgencyOf('bit of clear fluid still', { previous: [{ urgency: 'today', flags: ['discharge'] }] }),
  ).toBe('today')
})

test('earlier checks come in any order and shape', () => {
  const dated = [
    { at: '2026-11-12', pain: 3 },
    { at: '2026-11-10', pain: 1 },
  ]
  expect(read('3', { question: 'pain', previous: dated }).judgement.why).not.toContain('t-pain-rising')
  for (const previous of [
    1,
    [1],
    'pain 1 out of 10',
    [{ findings: [{ kind: 'pain', severity: { value: 1 } }] }],
    { answers: { pain: 1 } },
  ])
    expect(read('4', { question: 'pain', previous }).judgement.why).toContain('t-pain-rising')
  for (const previous of [{}, [[]], true, [{ nothing: {} }]])
    expect(read('4', { question: 'pain', previous }).judgement.why).toContain('input-previous-not-understood')
})
