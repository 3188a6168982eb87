/** Whose symptom it is: the patient's, whoever types, or somebody else's. */

import { has } from './answers.ts'
import { type Layout, within, wordAt } from './clauses.ts'
import type { Mention } from './concepts.ts'
import { ELDERS, OTHER_PRONOUNS, OUTSIDERS, PETS, RELATIVES } from './lexicon/scope.ts'
import { setOf } from './lexicon/set-of.ts'
import type { Token } from './normalise.ts'
import { GRAVE_KINDS } from './types.ts'
import { cues } from './vocabulary.ts'

const FIRST = setOf('i my me mine myself we our')
const TOO = setOf('too also aswell')
const CALLS = setOf('call ring phone text message contact tell speak ask')
const SPEAKS = setOf(
  'dabbed wiped looked cleaned bathed checked spotted says said thinks reckons told tells noticed asked saw found put puts did does helped helps made makes complains shouts will would can could',
)
const BE = setOf('is was')
const THEY = setOf('he she')
const ME = setOf('me mine myself')
const NO_MORE = setOf('died passed used')
const SIGNERS = setOf('daughter son wife husband carer niece nephew granddaughter grandson neighbour partner')
const HAS = setOf('has is had was got have says')
/** What may stand before a person, and what may stand between "my" and one. */
const BEFORE_PERSON = setOf('the my our a his her little old grand dear')
const OF_PERSON = setOf('late dear poor old little other lovely next door own eldest youngest')
/** "I bent to feed the cat": what is done to somebody. */
const DONE_TO = setOf(
  'let lets feed feeding fed walk walking walked stroke visit visiting visited kiss hug minding babysitting see seeing saw phone ring collect collecting',
)
const WITH = setOf('to with for at on by')
const CONTRASTS = setOf('but although though however')
const AS_A = setOf('as was when am be')
const THEIR = setOf('his her')
const EAR = setOf('ear ears left right')

/** `typedFor`: someone types for the patient. `someoneElse(m)`: the mention is of another person or an animal. */
export function whose(
  tokens: readonly Token[],
  layout: Layout,
): {
  typedFor: boolean
  someoneElse: (m: Mention) => boolean
  someoneElseAt: (span: { from: number; to: number }) => boolean
  relatives: boolean
} {
  // "My mother has it, not me": the sender, who is the patient, has nothing.
  const disowned = tokens.some(
    (t, i) =>
      (t.w === 'patient' && isNoPatient(tokens, i)) ||
      (t.w === 'not' && ME.has(wordAt(tokens, i + 1)) && !within(tokens, 0, i, CALLS)),
  )
  const typedFor = !disowned && (has(tokens, cues.proxy) || signedByRelative(tokens, layout))
  const relatives = tokens.some((t, i) => RELATIVES.has(t.w) || named(tokens, i) !== null)
  const someoneElse = (m: Mention): boolean => {
    if (!relatives) return false
    const subject = subjectOf(tokens, layout, m)
    if (subject === null || subject === 'patient') return false
    if (PETS.has(subject)) return true
    if (typedFor) return false
    // A neighbour is not of the house, however grave the sign.
    if (OUTSIDERS.has(subject)) return true
    const s = layout.sentences[layout.sentence[m.from] ?? 0] ?? { from: 0, to: 0 }
    // "Mum woke up deaf. She is giddy too": one more sign of the one whom it is about.
    const again = !within(tokens, 0, tokens.length, FIRST) && within(tokens, 0, s.from, new Set([subject]))
    const too =
      !again &&
      tokens
        .slice(s.from, s.to)
        .some(
          (t, k) =>
            (TOO.has(t.w) && !(t.w === 'too' && /^\w/.test(wordAt(tokens, s.from + k + 1)))) ||
            (t.w === 'as' && wordAt(tokens, s.from + k + 1) === 'well'),
        )
    // A grave sign in anybody of the house, or an ear of a parent: taken for the patient, and a human looks.
    const gone =
      isDead(tokens, s) ||
      tokens
        .slice(s.from, m.from)
        .some((t, k) => t.w === subject && OTHER_PRONOUNS.has(wordAt(tokens, s.from + k - 1)))
    return too || gone || disowned || !(ELDERS.has(subject) || GRAVE_KINDS.has(m.kind))
  }
  const someoneElseAt = (span: { from: number; to: number }): boolean => {
    if (!relatives || typedFor) return false
    const subject = subjectOf(tokens, layout, span)
    // "Mum is allergic to almonds", with not a word of the sender: of the one whom it is about.
    if (subject !== null && ELDERS.has(subject) && !within(tokens, 0, tokens.length, FIRST)) return false
    return subject !== null && subject !== 'patient'
  }
  return { typedFor, someoneElse, someoneElseAt, relatives }
}

/** "My late dad", "he died of it"; the late news kills nobody. */
function isDead(tokens: readonly Token[], s: { from: number; to: number }): boolean {
  for (let j = s.from; j < s.to; j++) {
    const next = wordAt(tokens, j + 1)
    if (NO_MORE.has(wordAt(tokens, j)) && next !== 'out') return true
    if (wordAt(tokens, j) === 'late' && RELATIVES.has(next)) return true
  }
  return false
}

/** "He is not a patient of yours." */
function isNoPatient(tokens: readonly Token[], at: number): boolean {
  const denied = [1, 2, 3].some((n) => wordAt(tokens, at - n) === 'not' && BE.has(wordAt(tokens, at - n - 1)))
  return denied && within(tokens, at - 5, at, THEY)
}

/** A reply that ends with "(daughter)" or "- his son": typed by that person for the patient. */
function signedByRelative(tokens: readonly Token[], layout: Layout): boolean {
  const last = layout.clauses.at(-1)
  if (!last || layout.clauses.length < 2) return false
  const words = tokens.slice(last.from, last.to).filter((t) => t.kind === 'word')
  return words.length <= 3 && words.some((t) => SIGNERS.has(t.w))
}

/** "next door", "our Karen": somebody else without a word for who it is. */
function named(tokens: readonly Token[], i: number): string | null {
  const w = wordAt(tokens, i)
  if (w === 'door' && wordAt(tokens, i - 1) === 'next') return 'neighbour'
  const called = w === 'our' && tokens[i + 1]?.capital === true && HAS.has(wordAt(tokens, i + 2))
  return called ? 'child' : null
}

/** "I bent to feed the cat and blood came out": the cat is no subject. */
function isObject(tokens: readonly Token[], at: number): boolean {
  let j = at - 1
  while (BEFORE_PERSON.has(wordAt(tokens, j))) j--
  // A pet is no subject of what was said to it or done with it.
  if (PETS.has(wordAt(tokens, at)) && (DONE_TO.has(wordAt(tokens, j)) || WITH.has(wordAt(tokens, j))))
    return true
  return DONE_TO.has(wordAt(tokens, j)) && within(tokens, j - 8, j, FIRST)
}

function nextIsRelative(tokens: readonly Token[], i: number): boolean {
  let j = i + 1
  while (OF_PERSON.has(wordAt(tokens, j))) j++
  return RELATIVES.has(wordAt(tokens, j))
}

/** The nearest person before the mention in its sentence; after it only as owner of the ear. */
function subjectOf(
  tokens: readonly Token[],
  layout: Layout,
  m: { from: number; to: number },
): string | 'patient' | null {
  const sentence = layout.sentence[m.from]
  for (let j = m.to - 1; layout.sentence[j] === sentence; j--) {
    const w = wordAt(tokens, j)
    const before = wordAt(tokens, j - 1)
    // A person within the words of the symptom is its object: "cannot hear my wife".
    if (j >= m.from && !FIRST.has(w) && !OTHER_PRONOUNS.has(w)) continue
    if (w === 'your') return 'patient'
    const called = named(tokens, j)
    if (called !== null) return called
    // "A friend of mine"
    if (w === 'mine' && before === 'of') continue
    // "my daughter is coming but been dizzy": a contrast begins with the patient again.
    if (CONTRASTS.has(w)) return null
    // "As a child", "when I was a lad": the patient.
    if (before === 'a' && AS_A.has(wordAt(tokens, j - 2))) continue
    if (RELATIVES.has(w)) {
      if (isObject(tokens, j)) continue
      if (wordAt(tokens, j + 1) === 'in' && wordAt(tokens, j + 2) === 'law') return 'neighbour'
      // "my wife says it is bleeding": reported of the patient unless an owner is named.
      const reported = SPEAKS.has(wordAt(tokens, j + 1)) && j + 2 < m.from
      return reported && !within(tokens, j + 1, m.to, OTHER_PRONOUNS) ? 'patient' : w
    }
    if (OTHER_PRONOUNS.has(w)) return relativeBefore(tokens, j) ?? w
    if (FIRST.has(w) && !nextIsRelative(tokens, j)) return 'patient'
  }
  for (let j = m.to; layout.clause[j] === layout.clause[m.from]; j++) {
    const w = wordAt(tokens, j)
    if (THEIR.has(w) && EAR.has(wordAt(tokens, j + 1))) return relativeBefore(tokens, j) ?? w
  }
  return null
}

function relativeBefore(tokens: readonly Token[], at: number): string | null {
  for (let j = at - 1; j >= at - 80; j--) if (RELATIVES.has(wordAt(tokens, j))) return wordAt(tokens, j)
  return null
}
