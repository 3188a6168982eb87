/** Wishes, broken texts, two questions at once, screening history and drops in a barred ear: ordinary wordings. */
import { describe, expect, test } from 'vitest'
import { read, urgencyOf } from './support.ts'

describe('a wish to move the visit', () => {
  test.each([
    'Need to cancel next week, my brother has been taken poorly',
    "got to cancel, the wife's had a fall",
    'I will have to rearrange, my daughter has covid and she drives me',
    'can you put my visit off for a fortnight',
    'Would it be possible to move my review from the morning to the afternoon?',
    'please could i leave it till after the holidays',
    'swap the 9am for after lunch if you can',
    'please take me out of the book for friday',
    'can my check be brought forward',
    "not going to be able to get in that day, car's in the garage",
  ])('%s', (text) => {
    const { reading, judgement } = read(text, { context: 'softening' })
    expect([reading.reschedule, judgement.urgency]).toEqual([true, 'none'])
  })
  test.each([
    'you couldnt make it up, hearing like a bat',
    'cant make up my mind about the drops',
    'cant make head nor tail of this leaflet',
    "he'd be deaf for a week after his but I'm grand",
    'I have put it off long enough, looking forward to Thursday',
    'my neighbour will change the time on my phone',
    'fainted clean away on Monday',
  ])('%s is none', (text) => {
    expect(read(text, { context: 'softening' }).reading.reschedule).toBe(false)
  })
  test('an ear of somebody else, or a stroke, is no mere reason', () => {
    expect(urgencyOf("cancel me please, my wife's ear is bleeding", { context: 'softening' })).not.toBe(
      'none',
    )
    expect(urgencyOf("can't come Friday, my husband has had a stroke", { context: 'softening' })).toBe('now')
  })
})

describe('texts that break off or say both', () => {
  test.each([
    'i put the drops in and then it',
    'I think the drops have',
    'ok so yesterday i noticed',
    'my left ear is',
    'Just to say the hearing has',
    'i was just about to',
    'woke up with',
  ])('%s', (text) => {
    expect(urgencyOf(text, { context: 'softening' })).toBe('unclear')
  })
  test.each([
    'all good thats how the ear is',
    'better than it was',
    'grand, you wouldnt know which ear it was',
    'fine, thats all i wanted',
    'no pain as far as ive noticed',
    'drops started',
    'my daughter does my drops and she knows when',
  ])('%s is whole', (text) => {
    expect(urgencyOf(text, { context: 'softening' })).toBe('none')
  })
  test.each(['its softer it isnt softer', 'it is soft and it isnt', 'it isnt soft, it is soft'])(
    '%s',
    (text) => {
      const { reading, judgement } = read(text, { context: 'softening', question: 'softened' })
      expect([reading.softened, judgement.urgency]).toEqual([null, 'unclear'])
    },
  )
})

describe('two questions', () => {
  const both = 'Did you use the drops today, and does the wax feel softer?'
  test.each(['nah', 'yes', 'ok', '2'])('%s answers neither', (text) => {
    const { reading, judgement } = read(text, { context: 'softening', question: both })
    expect([reading.doses, reading.softened, judgement.urgency]).toEqual([null, null, 'unclear'])
  })
  test('told in full, both are read', () => {
    const { reading } = read('twice, and yes a bit softer', { context: 'softening', question: both })
    expect([reading.doses, reading.softened]).toEqual([2, true])
  })
  test('one question with two symptoms stays one', () => {
    expect(urgencyOf('no', { question: 'Do you have any pain or discharge?' })).toBe('none')
  })
})

describe('screening', () => {
  const told = (text: string, context = 'screening') => {
    const { reading, judgement } = read(text, {
      context,
      question: context === 'screening' ? 'history' : 'pain',
    })
    const kinds = reading.history.filter((h) => h.polarity !== 'denied').map((h) => h.kind)
    return `${[...new Set(kinds)].sort()} ${judgement.urgency}${judgement.flags.length > 0 ? ` ${judgement.flags}` : ''}`
  }
  test.each([
    ["had some op on that ear, couldn't tell you what or when", 'surgery soon'],
    ['ive had an ear operation, couldnt tell you what for or when', 'surgery soon'],
    ['was operated on my left ear, cant remember when', 'surgery soon'],
    ['mastoid operation two months back', 'surgery soon'],
    ['they built me a new ear drum six weeks ago', 'surgery soon'],
    ['I have grommets in both ears, never came out', 'grommets soon'],
    ['grommets in, not fallen out yet', 'grommets soon'],
    ['grommets as a child, fell out long since', 'grommets none'],
    ['almonds bring me out in lumps so no nut oils for me', 'allergy soon'],
    ['almonds and peanuts bring me out in hives so yes allergy', 'allergy soon'],
    ['nuts make my lips swell', 'allergy soon'],
    ['cant have nuts, come out in a rash', 'allergy soon'],
    ['No known allergies', ' none'],
    ['I do not take blood thinners, only a water tablet', ' none'],
    ['almond oil brings me out in hives so dont give me that one', 'allergy soon'],
    ['cant use almond oil, nuts bring me out in hives', 'allergy soon'],
    ["none of the above, only that I'm allergic to housework", ' none'],
    ['them olive drops brought me out in blisters last time', 'drops-reaction soon'],
    ['last lot of drops made my ear come up in a rash', 'drops-reaction soon'],
    ['those bicarbonate ones brought my skin up in welts years back', 'drops-reaction soon'],
    ['green stuff with a nasty whiff coming out this last week', 'discharge today discharge'],
    ['got a hole in the left drum now, doctor saw it last month', 'perforation soon'],
    ['my drum burst 3 weeks ago', 'recent-perforation soon'],
    ['I only hear on the one side, the left has been dead since birth', 'only-hearing-ear none'],
  ])('%s', (text, expected) => {
    expect(told(text)).toBe(expected)
  })
  test('what is happening now is no habit, and a side dead since this morning is no old matter', () => {
    expect(urgencyOf("I've eaten nuts and my lips are swelling", { context: 'screening' })).toBe('now')
    expect(urgencyOf('my left side has been dead since this morning', { context: 'screening' })).toBe('now')
  })
  test.each([
    ['had an infection in it about five year back, nothing like that now. it feels fine', 'infection'],
    ['had an abscess there last year', 'infection'],
    ['would there be discharge if it was infected', ''],
    ['no hearing on the right since this morning', ''],
    ['crusty yellow discharge round the hole', ''],
    ["there's blood in ma ear hole", ''],
    ["och the pain's murder, a canna thole it", ''],
  ])('after the visit: %s', (text, expected) => {
    expect(told(text, 'aftercare').split(' ')[0]).toBe(expected)
  })
})

describe('drops in an ear that the patient says must have none', () => {
  const flags = (text: string) => read(text, { context: 'softening' }).judgement.flags.join()
  test.each([
    'Oh dear I have been doing both ears and you said not the left because of the grommet',
    'silly me did both ears today and the left is the one im not allowed to do',
    "been putting oil in the left and that's the one you told me to leave alone",
    'mum did both sides today but she was told only the left',
  ])('%s', (text) => {
    expect([flags(text), urgencyOf(text, { context: 'softening' })]).toEqual(['other', 'soon'])
  })
  test.each([
    'did both ears twice as you said',
    'not allowed drops in the left so just did the right',
    'did the right one, left one is not allowed any',
    'twice in the right ear. The left is not to be done so I left it',
  ])('%s: none', (text) => {
    expect(flags(text)).toBe('')
  })
})

test('a wish to be called', () => {
  expect(urgencyOf('ring us when you get a minute will you')).toBe('unclear')
  expect(urgencyOf('can someone bell us')).toBe('unclear')
  expect(read('my daughter will ring us later, all fine').reading.callMe).toBe(false)
  expect(urgencyOf('fine thanks no need to ring us')).toBe('none')
})
