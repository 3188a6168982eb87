import { describe, expect, test } from 'vitest'
import type { ReplyContext } from '../../src/replies/types.ts'
import { urgencyOf } from './support.ts'

/** Red flags as told in a few words; the urgency of each is from the rules of the protocol. */
const FLAGS = [
  'I passed out',
  'I had a fit',
  'my face has dropped',
  'cant move my face',
  'my speech went slurred',
  'cant breathe properly',
  'ive got chest pain',
  'my throat is swelling up',
  'it wont stop bleeding',
  'thinking of killing myself',
  'the room is spinning and im being sick',
  'ive gone deaf in that ear',
  'I lost my hearing',
  'theres pus coming out of my ear',
  'my ear smells foul',
  'the pain is much worse',
  'im dizzy and cant walk straight',
]

/** Where the patient was, what was before, and politeness: none of it may hide the sign beside it. */
const BESIDE = [
  'in the bath',
  'in the shower',
  'in the car park',
  'at the sink',
  'in the chair by the window',
  'i used to be fine',
  'last time it wasnt like this',
  'last time was fine',
  'hope you dont mind me saying',
  'in the past day',
  'before i came home',
  'but not always',
  'cant complain',
  'mustnt grumble',
  'no pain now',
  'not dizzy not sore',
]

describe('everyday words beside a red flag do not hide it', () => {
  test.each(FLAGS.flatMap((flag) => BESIDE.map((words) => [flag, words] as const)))(
    '%s / %s',
    (flag, words) => {
      for (const text of [`${flag}, ${words}`, `${words}, ${flag}`, `${flag} ${words}`])
        expect(['now', 'today'], text).toContain(urgencyOf(text))
    },
  )
})

const NOW: [ReplyContext, string][] = [
  ['aftercare', 'passed out in the shower'],
  ['aftercare', 'blacked out in the bath'],
  ['aftercare', "he's fitting"],
  ['aftercare', 'ive took too many paracetamol on purpose'],
  ['aftercare', 'want to die in the car park'],
  ['aftercare', 'I passed out 0'],
  ['aftercare', 'no pain now, ive got chest pain'],
  ['aftercare', 'no bleeding passed out last night'],
  ['aftercare', 'no cant breathe properly'],
  ['aftercare', 'my speech went slurred, had a stroke in 2009 but nothing since'],
  ['aftercare', 'the nurse said it would be sore and my speech went slurred'],
  ['aftercare', 'cant move my face nope'],
  ['softening', 'keep falling over in the car park'],
]
const TODAY: [ReplyContext, string][] = [
  ['aftercare', 'i went deaf during the suction'],
  ['aftercare', 'lost my hearing at the clinic'],
  ['aftercare', 'my hearing used to be fine but its gone now'],
  ['aftercare', 'used to be able to hear the telly, cant now'],
  ['aftercare', 'I lost my hearing, not a drop of blood'],
  ['aftercare', 'ringing same as usual, lost my hearing'],
  ['aftercare', 'had to ask wife to repeat everything since appointment'],
  ['aftercare', 'my ear is on fire'],
  ['aftercare', 'my ear bled in the car park'],
  ['aftercare', 'cant get used to this pain its awful'],
  ['aftercare', 'had dizzy spells last year, none since, my ear is bleeding'],
  ['aftercare', 'my ear smells foul, had a stroke in 2009'],
]
/** The same words where they do say that it is past, denied or somebody's plan. */
const NONE: [ReplyContext, string][] = [
  ['aftercare', 'had a stroke in 2009'],
  ['aftercare', 'no pain, used to be sore'],
  ['aftercare', 'used to get bleeding and pain, years ago'],
  ['aftercare', 'passed out: no'],
  ['aftercare', 'hearing loss no'],
  ['aftercare', 'not dizzy or passed out'],
  ['aftercare', 'no bleeding or lost hearing'],
  ['aftercare', 'have not lost my hearing'],
  ['aftercare', 'hurt like hell in the chair'],
  ['aftercare', 'deaf as a post for years and tinnitus'],
  ['aftercare', 'dont have to get people to repeat things now, all good'],
]

describe('what hides a sign, and what only stands near it', () => {
  test.each(NOW)('%s now: %s', (context, text) => expect(urgencyOf(text, { context })).toBe('now'))
  test.each(TODAY)('%s today: %s', (context, text) => expect(urgencyOf(text, { context })).toBe('today'))
  test.each(NONE)('%s none: %s', (context, text) => expect(urgencyOf(text, { context })).toBe('none'))
})
