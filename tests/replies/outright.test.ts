import { describe, expect, test } from 'vitest'
import type { ReplyContext } from '../../src/replies/types.ts'
import { crossed } from './crossed.ts'
import { kindsOf, rank, read, urgencyOf } from './support.ts'

describe('what is told outright stands, whatever was said before it', () => {
  test.each([
    ['what time do you shut on saturdays ive got terrible earache', 'pain:affirmed'],
    ['where do i leave the car tomorrow, I passed out', 'collapse:affirmed'],
    ['the nurse said it would be after all that digging my ear is bleeding', 'bleeding:affirmed'],
    ['If it gets any worse I will ring, touch wood it wont stop bleeding', 'bleeding:affirmed'],
    ['My late husband had terrible ears but mine is fine, it wont stop bleeding', 'bleeding:affirmed'],
    ['it isnt running or smelling cant breathe properly', 'airway:affirmed'],
    ['top notch, feel ten years younger but I lost my hearing', 'hearing-loss:affirmed'],
    ['no dear, the fever was last winter when i had the flu, I lost my hearing', 'hearing-loss:affirmed'],
    ['the wife and the room is spinning', 'dizziness:affirmed'],
    ['zero pain one side of my face has dropped', 'facial-weakness:affirmed'],
    ['ive got terrible earache. nothing on the cotton today', 'pain:affirmed'],
    ['A1 thanks pain is 9 out of 10', 'pain:affirmed'],
  ])('%s', (text, finding) => {
    expect(kindsOf(text)).toContain(finding)
    expect(rank(urgencyOf(text))).toBeGreaterThanOrEqual(rank('today'))
  })

  test.each([
    ['do you think I passed out', 'collapse:affirmed'],
    ['what should I do if my ear is bleeding', 'bleeding:affirmed'],
    ['no agony all night thankfully', 'pain:affirmed'],
  ])('not told: %s', (text, finding) => {
    expect(kindsOf(text)).not.toContain(finding)
  })

  test('what has its own time of long ago is of then', () => {
    expect(urgencyOf('I had a stroke in 2009')).toBe('none')
    expect(
      urgencyOf('I lost my hearing years ago in the war', { context: 'screening', question: 'history' }),
    ).toBe('none')
  })

  test('a slight loss stays slight', () => {
    expect(urgencyOf('my hearing has gone down a bit over the years')).not.toBe('now')
    expect(rank(urgencyOf('I have lost my hearing a bit over two months'))).toBeLessThan(rank('today'))
  })

  test('a line of a form with a low number does not take back the words', () => {
    expect(urgencyOf('ive got terrible earache 1) 0 2) no 3) good 4) no 5) no')).toBe('today')
  })
})

describe('words that may hide a sign', () => {
  test.each([
    ['my ear is bleeding phone me please', 'bleeding:affirmed'],
    ['its bleeding morning and night', 'bleeding:affirmed'],
    ['no other problems passed out last night', 'collapse:affirmed'],
    ['no other problems chest pain', 'chest:affirmed'],
    ['bleeding stopped and started again', 'bleeding:affirmed'],
    ['the only pain is in my left ear about a 7', 'pain:affirmed'],
    ['theres a little weep from the ear', 'discharge:affirmed'],
    ['I fitted on the floor last night', 'collapse:affirmed'],
    ['yellow at first now it wont stop, soaked 4 towels', 'bleeding:affirmed'],
    ['worried it would bleed but not stopped pouring blood since', 'bleeding:affirmed'],
    ['everything went black and I was on the floor', 'collapse:affirmed'],
  ])('%s', (text, finding) => {
    expect(kindsOf(text)).toContain(finding)
  })
})

describe('what is taken back is a contradiction, never harmless', () => {
  test.each([
    'I lost my hearing, hearing much better thank you',
    'my ear smells foul Bled a spot the first evening, dried up and nothing since, all good',
    'it wont stop bleeding tenderness all gone',
    'I had a fit My head isnt spinning like it was last time',
    'I lost my hearing, not as bad as after the dentist, a one maybe',
  ])('%s', (text) => {
    const { judgement, reading } = read(text)
    expect(judgement.urgency).not.toBe('none')
    expect(reading.doubts.map((d) => d.rule)).toContain('u-contradiction')
  })
})

describe('a sign joined at random to a harmless reply', () => {
  // `npm run measure:replies -- --crossed` prints the same for more texts. What stays `none` denies the sign in words
  // that run on without a mark ("nope nope and nope green gunge coming out").
  const COUNT = 3_000
  test.each<[ReplyContext, number]>([
    ['aftercare', 101],
    ['softening', 102],
  ])(
    '%s',
    (context, seed) => {
      const texts = crossed(seed, COUNT)
      const read = texts.map((text) => urgencyOf(text, { context }))
      const none = texts.filter((_, i) => read[i] === 'none')
      expect(none.length, none.join('\n')).toBeLessThanOrEqual(0.005 * COUNT)
      const urgent = read.filter((u) => rank(u) >= rank('today')).length
      expect(urgent / COUNT).toBeGreaterThan(0.98)
    },
    60_000,
  )
})
