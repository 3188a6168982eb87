import { describe, expect, test } from 'vitest'
import type { ReplyContext } from '../../src/replies/types.ts'
import { read, urgencyOf } from './support.ts'

/** Pictures that nobody listed as such: each is read from what is spoken of and how it fails. */
const NOW: [ReplyContext, string][] = [
  ['aftercare', 'only half of me was smiling in the mirror'],
  ['softening', 'my grin has gone on strike on the left'],
  ['softening', 'lip wont go up on the one side when I say cheese'],
  ['aftercare', 'The left half of my face feels like it belongs to someone else'],
  ['softening', 'one eyelid is lazy since last night and my mouth pulls to the right'],
  ['aftercare', 'whole cheek has gone to sleep and my eyebrow wont lift'],
  ['aftercare', 'she looks like a waxwork on the left'],
  ['aftercare', 'tongue feels too big and i sound drunk but ive had nothing'],
  ['aftercare', 'I know what i want to say but the wrong thing comes out'],
  ['aftercare', 'dropped my mug twice, hand has no grip'],
  ['aftercare', 'cannot feel my left hand properly since an hour ago'],
  ['aftercare', 'there are two of everything when I look at the telly'],
  ['aftercare', 'half the page is missing when I read'],
  ['aftercare', 'the floor wont keep still and breakfast came up three times'],
  ['aftercare', 'I cannot get off the settee, as soon as I lift my head it all whirls'],
  ['aftercare', 'every time I sit up I throw up and the bed spins'],
  ['aftercare', 'blood is pumping out of my ear'],
  ['aftercare', 'my ear has bled for two hours non stop'],
  ['aftercare', 'cant stem the blood whatever I do'],
  ['aftercare', 'the bleeding wont let up, pillow is sodden'],
  ['aftercare', 'had a blackout on the bus'],
  ['aftercare', 'passed out twice since the procedure'],
  ['aftercare', 'had a convulsion last night my son says'],
  ['aftercare', 'ear is sticking out and behind it is red and boggy, temp 39'],
  ['aftercare', 'splitting head, cant bend my neck forward'],
  ['aftercare', 'headache came like a clap of thunder'],
  ['aftercare', 'cant bear any light, banging head and vomiting'],
  ['aftercare', 'my tongue is filling my mouth after the drops'],
  ['softening', 'throat closing since I put drops in'],
  ['softening', 'wheezing and lips tingling since the drops'],
  ['aftercare', 'tight band round my chest going down the arm'],
  ['aftercare', 'heart is going nineteen to the dozen and chest hurts'],
  ['aftercare', 'thinking of taking all my tablets'],
  ['aftercare', 'cant see the point in going on living'],
  ['aftercare', 'everyone would be happier if i was gone'],
  ['aftercare', 'hot as an oven, dont know what day it is, not making sense'],
  ['aftercare', 'skin is mottled and i havent weed all day'],
  ['aftercare', 'the mirror shows one half of a smile'],
  ['aftercare', 'looks like someone has pulled one cheek downwards'],
  ['aftercare', 'my tongue wont form the words'],
  ['aftercare', 'her right hand has gone floppy'],
  ['aftercare', 'legs wont hold me and the room is whirling'],
  ['aftercare', 'vertigo so bad im on the floor with a bucket'],
  ['aftercare', 'cant get the blood to stop, on warfarin'],
  ['aftercare', 'lost consciousness for a minute'],
  ['aftercare', 'raging temperature, behind the ear is swollen and angry, feel like death'],
  ['aftercare', 'worst headache ive ever known out of the blue'],
  ['softening', 'tongue swollen, hard to swallow'],
  ['aftercare', 'crushing feeling in my chest'],
  ['aftercare', 'i feel like ending it'],
  ['aftercare', 'thinking about suicide'],
  ['aftercare', 'confused and burning up, family worried'],
  ['aftercare', 'one pupil looks bigger and my eyelid droops'],
  ['aftercare', 'my mouth is pulled to the right when i talk'],
]

test.each(NOW)('%s: %s: a clinician at once', (context, text) => {
  expect(urgencyOf(text, { context })).toBe('now')
})

test('a word of the body that nothing explains is never harmless, in any kind of reply', () => {
  for (const context of ['softening', 'screening', 'aftercare'] as const)
    for (const text of [
      'thank you, lips feel odd',
      'all fine. my balance is not what it was',
      'no. my jaw is odd today',
    ])
      expect([context, text, urgencyOf(text, { context }) === 'none']).toEqual([context, text, false])
})

describe('doses', () => {
  test.each<[string, number]>([
    ['before shift n after shift', 2],
    ['three drops on waking and three drops at lights out', 2],
    ['Morning lot: yes. Evening lot: yes.', 2],
    ['Morning yes, night no', 1],
    ['one down one to go', 1],
    ['1 so far. doing the second in a min', 1],
    ['yesterday 3 today only the 1', 1],
    ['neither of them', 0],
    ['not a drop today', 0],
    ['all four', 4],
    ['III', 3],
    ['⅓', 1],
    ['missed the first, did the second and third', 2],
    ['i forgot one so just two', 2],
    ['had one about 9 another about 5', 2],
    ['too painful to put them in', 0],
    ['five drops, three times', 3],
    ['2wice', 2],
  ])('%s', (text, count) => {
    expect(read(text, { context: 'softening', question: 'doses' }).reading.doses).toBe(count)
  })
  test('a count that the patient does not know is no count, and nothing for a clinician', () => {
    for (const text of ['cant remember if it was two or three', 'two, might have been three']) {
      const { reading, judgement } = read(text, { context: 'softening', question: 'doses' })
      expect([text, reading.doses, judgement.urgency]).toEqual([text, null, 'none'])
    }
  })
})

describe('wishes', () => {
  test.each([
    'S T O P',
    'leave us alone with these texts',
    'pack in these messages now please',
    'kindly strike me from your texting list',
    'never message this phone again',
    'I withdraw my consent to be texted',
    'these reminders need to stop',
    'id like the texts to stop',
    'opt me out',
  ])('%s: no more messages', (text) => {
    expect(read(text).reading.stop).toBe(true)
  })
  test.each([
    'it wont stop',
    'no more pain',
    'should I stop the drops',
    'I do not want to stop the reminders',
    'never stopped hurting since',
    'the bus stop is outside your door',
    'make it stop please it hurts',
    'I quit smoking in 1990',
  ])('%s: no wish to stop', (text) => {
    expect(read(text).reading.stop).toBe(false)
  })
  test.each([
    'tues no good. market day',
    'the 14th is no good im at a funeral',
    'I would like to book a visit',
    'any cancellations before then?',
    'need to call off friday',
    'can it be a morning',
  ])('%s: about the time of the visit', (text) => {
    expect(read(text, { context: 'softening' }).reading.reschedule).toBe(true)
  })
  test.each([
    'my eyelid wont come down',
    'could not shift the wax',
    'can I use peroxide instead',
    'see you thursday at 10',
  ])('%s: not about the time of the visit', (text) => {
    expect(read(text, { context: 'softening' }).reading.reschedule).toBe(false)
  })
})

describe('answers to several questions', () => {
  const question = ['pain', 'discharge', 'hearing', 'dizziness', 'anything-else']
  test.each([
    '8 no fine no no',
    '8, no, good, no, no',
    'a) 8 b) no c) good d) no e) no',
    'Q1 8 Q2 no Q3 good Q4 no Q5 no',
  ])('%s: each with its own', (text) => {
    const { reading, judgement } = read(text, { question })
    expect(judgement.urgency).toBe('today')
    expect(judgement.flags).toEqual(['pain'])
    expect(reading.findings.filter((f) => f.polarity === 'denied').map((f) => f.kind)).toContain('discharge')
  })
  test('answers that name their question need none open', () => {
    expect(urgencyOf('pain 0 discharge no hearing good dizzy no')).toBe('none')
    expect(urgencyOf('pain 0 discharge yes hearing good dizzy no')).toBe('soon')
  })
  test('one message that asks the same thing twice asks once', () => {
    const twice = 'Do nuts make you ill? Are you allergic to almonds or any other nuts?'
    expect(urgencyOf('no', { context: 'screening', question: twice })).toBe('none')
    expect(urgencyOf('yes', { context: 'screening', question: twice })).toBe('soon')
    expect(urgencyOf('not sure', { context: 'screening', question: twice })).toBe('unclear')
  })
  test('an offer of times is answered by yes, no or a number', () => {
    for (const text of ['2', 'yes', 'no'])
      expect(urgencyOf(text, { context: 'softening', question: 'move' })).toBe('none')
  })
  test('"it has" and "a wee bit" say yes', () => {
    expect(urgencyOf('It has', { question: 'Has one side of your face become weak or droopy?' })).toBe('now')
    expect(urgencyOf('a wee bit', { question: 'Is there any bleeding from the ear?' })).toBe('today')
  })
})

test('soreness that stays below the top of its mild band in the usual days is no alarming trend', () => {
  const with1 = { question: 'pain', previous: [{ pain: 0 }] }
  expect(urgencyOf('2', { ...with1, procedure: { days: 1 } })).toBe('none')
  expect(urgencyOf('2', { ...with1, procedure: { days: 9 } })).toBe('today')
  expect(urgencyOf('4', { ...with1, procedure: { days: 1 } })).toBe('today')
})
