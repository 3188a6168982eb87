import { describe, expect, test } from 'vitest'
import { layOut } from '../../src/replies/clauses.ts'
import { durations, durationsBySentence, onsetIn } from '../../src/replies/time.ts'
import { parse } from './marked-words.ts'

/** Each time told: its days, how it is told, and its words; `short` for minutes and hours. */
function timesOf(text: string): string {
  const { tokens } = parse(text)
  return durations(tokens)
    .map((d) => {
      const words = tokens.slice(d.from, d.to).map((t) => t.w)
      return `${d.unit === 'days' ? '' : `${d.unit} `}${d.days} ${d.relation}: ${words.join(' ')}`
    })
    .join('; ')
}

describe('times told', () => {
  test.each([
    ['sore today', '0 ago: today'],
    ['sore tonight', '0 ago: tonight'],
    ['deaf overnight', '0 ago: overnight'],
    ['woke deaf', '0 ago: woke'],
    ['deaf since waking up', '0 since: waking up'],
    ['waking deaf', ''],
    ['sore since yesterday', '1 since: yesterday'],
    ['sore from yesterday', '1 since: yesterday'],
    ['sore yesterday', '1 ago: yesterday'],
    ['sore this morning', '0 ago: this morning'],
    ['this evening and this afternoon', '0 ago: this evening; 0 ago: this afternoon'],
    ['sore this week', '3 ago: this week'],
    ['last night and last evening', '1 ago: last night; 1 ago: last evening'],
    ['since last week', '7 since: last week'],
    ['last weekend', '4 ago: last weekend'],
    ['last month', '30 ago: last month'],
    ['last year', '365 ago: last year'],
    ['last summer', '180 ago: last summer'],
    ['at the weekend', '3 ago: weekend'],
    ['a weekend away', '2 for: a weekend'],
    ['since monday', '4 since: monday'],
    ['last tues', '4 ago: tues'],
    ['see you monday', ''],
    ['since christmas', '60 since: christmas'],
    ['merry christmas', ''],
    ['today today', '0 ago: today; 0 ago: today'],
    ['this', ''],
    ['sore', ''],
  ])('named: %s', (text, want) => {
    expect(timesOf(text)).toBe(want)
  })
  test.each([
    ['for 3 days', '3 for: 3 days'],
    ['3 days ago', '3 ago: 3 days'],
    ['3 days back', '3 ago: 3 days'],
    ['three weeks since', '21 ago: three weeks'],
    ['over 10 days', '10 over: 10 days'],
    ['within 2 weeks', '14 over: 2 weeks'],
    ['in the past month', '30 over: past month'],
    ['in the last month', '30 ago: last month'],
    ['over the past month', '30 over: past month'],
    ['the last fortnight', '14 for: last fortnight'],
    ['over just about 2 days', '2 over: 2 days'],
    ['over it all now, 2 days', '2 for: 2 days'],
    ['in pain for 3 days', '3 for: 3 days'],
    ['3 days in bed', '3 for: 3 days'],
    ['10 minutes', 'short 0 for: 10 minutes'],
    ['2 hours ago', 'short 0 ago: 2 hours'],
    ['1.4 weeks', '10 for: 1.4 weeks'],
    ['2 - 3 days', '3 for: 2 - 3 days'],
    ['3 or 2 days', '3 for: 3 or 2 days'],
    ['2 to 3 days', '3 for: 2 to 3 days'],
    ['2 and 3 days', '3 for: 3 days'],
    ['2 or days', ''],
    ['2 or', ''],
    ['3 or two days', '3 for: 3 or two days'],
    ['two to three days', '3 for: two to three days'],
    ['room 20 two days ago', '2 ago: two days'],
    ['2 drops', ''],
    ['2 constructor', ''],
    ['a day', '1 for: a day'],
    ['an hour', 'short 0 for: an hour'],
    ['a good week', '7 for: a good week'],
    ['a drop', ''],
    ['a couple of weeks ago', '14 ago: a couple of weeks'],
    ['a few days', '3 for: a few days'],
    ['couple days', '2 for: couple days'],
    ['the day', ''],
    ['past month', ''],
    ['twenty days', '20 for: twenty days'],
    ['twenty one days', '21 for: twenty one days'],
    ['thirty-nine days', '39 for: thirty - nine days'],
    ['at ten two days ago', '2 ago: two days'],
    ['room twenty ten days ago', '10 ago: ten days'],
    ['at twelve two days ago', '2 ago: two days'],
    ['chapter twenty five two days ago', '2 ago: two days'],
    ['two or three days', '3 for: two or three days'],
    ['three or two days', '3 for: three or two days'],
    ['two or so days', ''],
    ['two and three days', '3 for: three days'],
    ['1 day 2 days', '1 for: 1 day; 2 for: 2 days'],
  ])('counted: %s', (text, want) => {
    expect(timesOf(text)).toBe(want)
  })
  test('minutes without end are still none of a day', () => {
    expect(durations(parse(`${'9'.repeat(400)} minutes`).tokens)).toMatchObject([{ days: 0, unit: 'short' }])
  })
})

describe('the onset of a symptom', () => {
  const onsetOf = (text: string, sudden = false, procedureDays: number | null = 5) => {
    const { tokens, mentions } = parse(text)
    const layout = layOut(tokens)
    const at = mentions[0]?.from ?? 0
    const told = durationsBySentence(tokens, layout).get(layout.sentence[at] ?? 0) ?? []
    return onsetIn(tokens, layout, at, told, sudden, procedureDays)
  }
  const none = { sudden: false, days: null, overDays: null, relative: null, words: null }
  test.each<[string, Partial<ReturnType<typeof onsetOf>>]>([
    ['[sore]', {}],
    // Bit by bit for six weeks is over six weeks.
    ['[deaf] gradually for 6 weeks', { overDays: 42, words: 'for 6 weeks' }],
    ['[deaf] for 6 weeks. gradually', { days: 42, words: 'for 6 weeks' }],
    ['slowly [deaf] since 6 weeks ago', { days: 42, words: 'since 6 weeks' }],
    ['[sore] for 3 days', { days: 3, words: 'for 3 days' }],
    ['3 days [sore]', { days: 3, words: '3 days' }],
    ['was away 2 days. [sore] since yesterday. 9 days', { days: 1, words: 'since yesterday' }],
    // A point of time tells when it began, before or after a stretch of it; of two stretches, the first.
    ['[sore] for 2 days, began 3 days ago', { days: 3, words: 'for 2 days' }],
    ['began 3 days ago, [sore] for 2 days', { days: 3, words: '3 days' }],
    ['[sore] for 2 days, worse for 1 day', { days: 2, words: 'for 2 days' }],
    ['[deaf] over 2 days then over 4 days then over 3 days', { overDays: 4, words: 'over 2 days' }],
    // Only after, or since, what was done at the clinic.
    ['[sore] since the procedure', { days: 5, relative: 'after-procedure', words: 'since the procedure' }],
    ['[sore] after you did it', { days: 5, relative: 'after-procedure', words: 'after you' }],
    ['[sore] since I was in on the op', {}],
    [
      '[sore] since I was at the clinic',
      { days: 5, relative: 'after-procedure', words: 'since i was at the clinic' },
    ],
    ['[sore] since lunch. you know', {}],
    ['[sore] by the clinic', {}],
    ['[sore] 2 days after the visit', { days: 2, relative: 'after-procedure', words: '2 days' }],
    ['[sore] after the visit you saw', { days: 5, relative: 'after-procedure', words: 'after the visit' }],
    ['[sore] before the procedure', { relative: 'before-procedure' }],
    ['[sore] before microsuction', { relative: 'before-procedure' }],
    ['[sore] before it was all done', {}],
    ['seen before. [sore]', {}],
    ['[sore] before. you said so', {}],
    ['[sore] all week. before the visit it was fine', {}],
    ['[sore] at the visit before lunch', {}],
    ['[sore] when last seen after lunch', {}],
    ['the procedure before. [sore] before', {}],
    [
      'fine before the visit, [deaf] since the visit',
      { days: 5, relative: 'after-procedure', words: 'since the visit' },
    ],
    [
      '[deaf] since the visit, fine before the visit',
      { days: 5, relative: 'after-procedure', words: 'since the visit' },
    ],
  ])('%s', (text, want) => {
    expect(onsetOf(text)).toEqual({ ...none, ...want })
  })
  test('is as sudden as told, and its day unknown with the day of the procedure', () => {
    expect(onsetOf('[sore]', true).sudden).toBe(true)
    expect(onsetOf('[sore] since the visit', false, null)).toMatchObject({
      days: null,
      words: 'since the visit',
    })
  })
})
