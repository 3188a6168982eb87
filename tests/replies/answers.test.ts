import { describe, expect, test } from 'vitest'
import { procedureOf, risksOf } from '../../src/replies/context.ts'
import { questionsOf } from '../../src/replies/questions.ts'
import { kindsOf, read, urgencyOf } from './support.ts'

const softening = (text: string, question?: unknown) =>
  read(text, { context: 'softening', ...(question === undefined ? {} : { question }) }).reading

describe('doses: times that drops went in on that day', () => {
  test.each<[string, number | null]>([
    ['twice', 2],
    ['2', 2],
    ['x2', 2],
    ['bd', 2],
    ['both times', 2],
    ['three times', 3],
    ['1 of 2', 1],
    ['1/2', 1],
    ['2 out of 3', 2],
    ['am and pm', 2],
    ['morning and night', 2],
    ['breakfast dinner and bedtime', 3],
    ['did them before bed with the radio on', 1],
    ['3 drops in each ear twice', 2],
    ['forgot', 0],
    ['not yet', 0],
    ['no', 0],
    ['forgot this morning, did tonight', 1],
    ['did this mornings, will do tonight later', 1],
    ['8am 1pm and 9pm', 3],
    ['yes', null],
    ['done', null],
    ['maybe', null],
  ])('%s', (text, doses) => {
    expect(softening(text, 'doses').doses).toBe(doses)
  })
  test('a symptom keeps its own count', () => {
    expect(softening('been sick twice').doses).toBeNull()
  })
})

describe('STOP against what will not stop', () => {
  test.each([
    'STOP',
    'stop please',
    'Stop.',
    'unsubscribe',
    'please stop texting me',
    'no more texts please',
    'leave me alone',
    'take me off your list',
    'Can I opt out please',
    'STOP. ear is full of pus',
  ])('%s stops', (text) => {
    expect(softening(text).stop).toBe(true)
  })
  test.each([
    'it wont stop',
    "it won't stop bleeding",
    'the ringing will not stop',
    'should I stop the drops',
    'stop the drops?',
    'pain stopped',
    'please do not stop the reminders',
    'missed my stop reading your text',
    'tightness in my chest wont go away',
  ])('%s does not', (text) => {
    expect(softening(text).stop).toBe(false)
  })
  test('a request to stop with a symptom: both count', () => {
    expect(urgencyOf('STOP. ear is full of pus')).toBe('today')
  })
})

test('a wish to move the visit is no symptom, and with one both count', () => {
  expect(read('can we move it to weds pls').reading.reschedule).toBe(true)
  expect(urgencyOf('can we move it to weds pls')).toBe('none')
  const both = read('need to cancel tuesday, my ear is bleeding')
  expect([both.reading.reschedule, both.judgement.urgency]).toEqual([true, 'today'])
  expect(read('cannot get my words out').reading.reschedule).toBe(false)
})

describe('bare answers are read against the one open question', () => {
  test('no question: unclear', () => {
    for (const text of ['yes', 'no', '3', 'left', '👍'])
      expect([text, urgencyOf(text)]).toEqual([text, 'unclear'])
  })
  test('two questions: unclear, not a guess', () => {
    for (const text of ['yes', 'no', '3', '👍'])
      expect([text, urgencyOf(text, { question: ['doses', 'pain'] })]).toEqual([text, 'unclear'])
    expect(
      urgencyOf('3', { question: 'Did you put your drops in today? How bad is the pain 0 to 10?' }),
    ).toBe('unclear')
  })
  test('one question', () => {
    expect(kindsOf('yes', { question: 'discharge' })).toEqual(['discharge:affirmed'])
    expect(kindsOf('nope', { question: 'discharge' })).toEqual(['discharge:denied'])
    expect(kindsOf('no', { question: 'Is your hearing back to normal?' })).toEqual(['hearing-loss:affirmed'])
    expect(urgencyOf('5', { question: 'How bad is the pain 0 to 10?' })).toBe('soon')
    expect(urgencyOf('green', { question: 'What colour is the discharge?' })).toBe('today')
    expect(softening('yes', 'softened').softened).toBe(true)
    expect(softening('still rock hard', 'softened').softened).toBe(false)
  })
  test('numbered answers go each to its own question', () => {
    const { reading, judgement } = read('1. 8 2. no 3. fine', { question: ['pain', 'discharge', 'hearing'] })
    expect(reading.findings.find((f) => f.kind === 'pain')?.severity?.value).toBe(8)
    expect(judgement.urgency).toBe('today')
  })
})

test('screening history: present, old, denied', () => {
  const history = (text: string) => read(text, { context: 'screening', question: 'history' })
  expect(history('no to all').judgement.urgency).toBe('none')
  expect(history('had grommets as a kid').judgement.urgency).toBe('none')
  expect(history('yes hole in my right eardrum').judgement.urgency).toBe('soon')
  expect(history('burst eardrum two months ago').reading.history.map((h) => h.kind)).toEqual([
    'recent-perforation',
  ])
  expect(
    history('No surgery, no grommets. I take warfarin')
      .reading.history.filter((h) => h.polarity !== 'denied')
      .map((h) => h.kind),
  ).toEqual(['anticoagulant'])
})

test('loose shapes of the case', () => {
  expect(questionsOf(['doses', { kind: 'pain' }], 'softening').map((q) => q.kind)).toEqual(['doses', 'pain'])
  expect(questionsOf('Did you put your drops in today?', 'softening').map((q) => q.kind)).toEqual(['doses'])
  for (const raw of [
    ['anticoagulant'],
    { anticoagulant: true },
    'on blood thinners',
    ['warfarin'],
    [{ kind: 'anticoagulant' }],
  ])
    expect(risksOf(raw).risks).toEqual(['anticoagulant'])
  expect(risksOf({ diabetes: false }, ['no diabetes']).risks).toEqual([])
  expect(procedureOf({ difficulty: 'difficult', daysAgo: 2 })).toMatchObject({ hard: true, days: 2 })
  expect(procedureOf({ difficulty: 'easy', days: 1 })).toMatchObject({ hard: false, days: 1 })
  expect(procedureOf('hard removal 3 days ago')).toMatchObject({ hard: true, days: 3 })
  expect(procedureOf({ at: '2026-11-20T10:00:00Z', now: '2026-11-25T09:00:00Z' })?.days).toBe(5)
})
