import { describe, expect, test } from 'vitest'
import { kindsOf, read, urgencyOf } from './support.ts'

describe('what is denied, past, supposed, asked or somebody else’s', () => {
  test.each<[string, string[]]>([
    ['no pain but cant hear', ['pain:denied', 'hearing-loss:affirmed']],
    ['No pain, discharge or dizziness', ['pain:denied', 'discharge:denied', 'dizziness:denied']],
    ['no pain my ear is bleeding', ['pain:denied', 'bleeding:affirmed']],
    ['neither pain nor bleeding', ['pain:denied', 'bleeding:denied']],
    ["I ain't got no pain", ['pain:denied']],
    ['not just pain, agony', ['pain:affirmed']],
    ["couldn't sleep for the pain", ['pain:affirmed']],
    ['nothing but pain', ['pain:affirmed']],
    ['not bad bleeding, just a bit', ['bleeding:affirmed']],
    ['no longer sore', ['pain:denied']],
    ['the pain has gone', ['pain:past']],
    ['the pain has not gone', ['pain:affirmed']],
    ['bleeding stopped days ago', ['bleeding:past']],
    ['it will not stop bleeding', ['bleeding:affirmed']],
    ['had earache as a child', ['pain:past']],
    ['should I expect bleeding?', ['bleeding:asked-about']],
    ['why is my ear bleeding?', ['bleeding:affirmed']],
    ['my ear is bleeding, is that normal?', ['bleeding:affirmed']],
    ['can I come sooner, its throbbing', ['pain:affirmed']],
    ['what should I do if it bleeds', ['bleeding:hypothetical']],
    ['my husband has earache', ['pain:someone-else']],
    ['Writing for my mum, her ear is bleeding', ['bleeding:affirmed']],
    ['the dog has a sore ear', ['pain:someone-else']],
    ['my wife says my ear is bleeding', ['bleeding:affirmed']],
    ['pain in the neck putting these in', []],
    ['sick of these bloody drops', []],
    ['on blood pressure tablets', []],
    ['sick and tired of waiting for the bus', []],
  ])('%s', (text, want) => {
    expect(kindsOf(text)).toEqual(want)
  })
})

test('somebody else’s symptom, a question and another language are unclear', () => {
  for (const text of [
    'my husband has earache',
    'should I expect bleeding?',
    'dziekuje wszystko dobrze',
    'ਕੰਨ ਵਿੱਚ ਦਰਦ',
  ])
    expect([text, urgencyOf(text)]).toEqual([text, 'unclear'])
})

test('a parent’s ear is the patient’s; a sign of stroke in anybody is taken for the patient’s', () => {
  expect(urgencyOf("mum's ear is bleeding")).toBe('today')
  expect(urgencyOf('my husband is slurring his words')).toBe('now')
})

test('a sign that matters even when it has passed still alarms, and flags nothing', () => {
  const { judgement } = read('my smile went wonky this morning but it is back to normal now')
  expect(judgement.urgency).toBe('now')
  expect(judgement.flags).toEqual([])
})

describe('side, severity and onset', () => {
  const first = (text: string, more = {}) => read(text, more).reading.findings[0]
  test('side', () => {
    expect(first('my left ear hurts')?.side).toBe('left')
    expect(first('right ear is bleeding')?.side).toBe('right')
    expect(first('both ears ache')?.side).toBe('both')
    expect(first('its right sore')?.side).toBeNull()
  })
  test.each<[string, number]>([
    ['8/10', 8],
    ['pain 8 out of 10', 8],
    ['its about a 6 or 7', 7],
    ['seven out of ten', 7],
    ['pain gone from 2 to 7', 7],
    ['was 7 yesterday, 3 today', 3],
  ])('score: %s', (text, value) => {
    expect(first(text, { question: 'pain' })?.severity).toEqual({ value, how: 'said' })
  })
  test('words of degree', () => {
    expect(first('a bit sore')?.severity?.value).toBeLessThanOrEqual(3)
    expect(first('quite sore')?.severity?.value).toBe(5)
    expect(first('really bad pain')?.severity?.value).toBeGreaterThanOrEqual(7)
  })
  test('onset in days', () => {
    expect(first('cannot hear since yesterday')?.onset.days).toBe(1)
    expect(first('lost my hearing two weeks ago')?.onset.days).toBe(14)
    expect(first('lost my hearing thirty-one days ago')?.onset.days).toBe(31)
    expect(first('hearing got worse over 10 days')?.onset.overDays).toBe(10)
    expect(first('sore since the procedure', { procedure: { days: 2 } })?.onset).toMatchObject({
      days: 2,
      relative: 'after-procedure',
    })
  })
})
