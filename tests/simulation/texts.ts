/** What the invented patients write. Each bank is labelled by the ground rules, apart from the reader. */
import type { Random } from '../../src/random.ts'

/** `today` or `now` by the ground rules: each must be in the queue. */
export const URGENT = [
  'my face has dropped on one side and i cant close my eye',
  'woke up this morning and cant hear anything in my right ear',
  'theres blood coming out of my ear and it wont stop',
  'the pain is a lot worse today, 8 out of 10 now',
  'room is spinning, ive been sick three times and cant stand up',
  'yellow pus coming out and it smells awful',
  'green discharge on my pillow this morning',
  'ear is bleeding again today',
  'high temperature and my ear is really painful',
  'gone completely deaf in my left ear since last night',
  'pain 9 out of 10 cant sleep for it',
  'been dizzy all day and it wont go away',
  'swelling behind my ear, feeling very ill with a fever',
  'i cant hear out of it at all since the appointment yesterday, sudden like',
  'terrible earache getting worse and worse',
  'bad smell and gunky stuff leaking from the ear',
  'my speech is slurred and my arm feels weak',
  'throat is swelling up after the drops',
  'passed out in the kitchen this morning',
  'stiff neck, bad headache and the light hurts my eyes',
]

export const HARMLESS_CHECKS = [
  'No pain, no discharge, hearing is better, no dizziness',
  'pain 0, nothing coming out, can hear much better thank you',
  'all fine thanks, no pain at all',
  'hearing lovely now, no problems',
  '0 no no no nothing else',
  'Pain 1. No fluid. Hearing better. Not dizzy.',
  'bit tender, 2 out of 10, no discharge and hearing fine',
]

export const STOPS = ['STOP', 'stop', 'Please stop texting me', 'unsubscribe', 'no more texts please']

export const NO_HISTORY = ['NONE', 'none', 'None of these', 'no', 'none of them thanks']

/** A history that withholds the drops. */
export const CONTRAINDICATED = [
  'I had a hole in my eardrum last month',
  'I have grommets in',
  'yes ear infection now, its running',
  'I had mastoid surgery and still have a hole in the eardrum',
]

/** A slip of the thumb: two neighbouring letters of one longer word change places. */
export function misspell(text: string, random: Random): string {
  const words = text.split(' ')
  const long = words.map((word, i) => [word, i] as const).filter(([word]) => /^[a-z]{6,}$/i.test(word))
  if (long.length === 0) return text
  const [word, at] = random.pick(long)
  const cut = 1 + random.below(word.length - 3)
  words[at] = word.slice(0, cut) + word[cut + 1] + word[cut] + word.slice(cut + 2)
  return words.join(' ')
}

const NUMBERS = ['none', 'once', 'twice', 'three times', 'four times'] as const

/** One day's answer, as a number or in words. */
export function doseWords(done: number, planned: number, random: Random): string {
  if (done === planned && random.chance(0.2)) return `all ${planned}`
  if (done === 0 && random.chance(0.4)) return random.pick(['forgot today sorry', '0', 'none today'])
  return random.chance(0.6) ? String(done) : (NUMBERS[done] ?? String(done))
}
