/** Whose symptom it is: the patient's, whoever types, or somebody else's. */

import { has } from './answers.ts'
import type { Layout } from './clauses.ts'
import type { Mention } from './concepts.ts'
import { ELDERS, OTHER_PRONOUNS, OUTSIDERS, PETS, RELATIVES } from './lexicon/scope.ts'
import type { Token } from './normalise.ts'
import { cues } from './vocabulary.ts'

const FIRST = new Set(['i', 'my', 'me', 'mine', 'myself', 'we', 'our'])
const GRAVE = new Set([
  'facial-weakness',
  'stroke-sign',
  'collapse',
  'airway',
  'chest',
  'self-harm',
  'sepsis-sign',
])
const TOO = new Set(['too', 'also', 'aswell'])
const CALLS = /^(call|ring|phone|text|message|contact|tell|speak|ask)$/
const SPEAKS =
  /^(says|said|thinks|reckons|told|tells|noticed|asked|saw|found|put|puts|did|does|helped|helps|made|makes|complains|shouts|will|would|can|could)$/

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
      // "He is not a patient of yours."
      (t.w === 'patient' &&
        [1, 2, 3].some((n) => tokens[i - n]?.w === 'not' && /^(is|was)$/.test(tokens[i - n - 1]?.w ?? '')) &&
        [2, 3, 4, 5].some((n) => /^(he|she)$/.test(tokens[i - n]?.w ?? ''))) ||
      (t.w === 'not' &&
        /^(me|mine|myself)$/.test(tokens[i + 1]?.w ?? '') &&
        !CALLS.test(tokens[i - 1]?.w ?? '') &&
        !tokens.slice(0, i).some((x) => CALLS.test(x.w))),
  )
  const typedFor = !disowned && (has(tokens, cues.proxy) || signedByRelative(tokens, layout))
  const relatives = tokens.some(
    (t, i) => t.kind === 'word' && (RELATIVES.has(t.w) || named(tokens, i) !== null),
  )
  const someoneElse = (m: Mention): boolean => {
    if (!relatives) return false
    const subject = subjectOf(tokens, layout, m)
    if (subject === null || subject === 'patient') return false
    if (PETS.has(subject)) return true
    if (typedFor) return false
    // A neighbour is not of the house, however grave the sign.
    if (OUTSIDERS.has(subject)) return true
    const s = layout.sentences[layout.sentence[m.from] ?? 0] ?? { from: 0, to: 0 }
    const too = tokens
      .slice(s.from, s.to)
      .some((t, k) => TOO.has(t.w) || (t.w === 'as' && tokens[s.from + k + 1]?.w === 'well'))
    // A grave sign in anybody of the house, or an ear of a parent: taken for the patient, and a human looks.
    const gone =
      tokens.slice(s.from, s.to).some((t) => /^(late|died|passed|used)$/.test(t.w)) ||
      tokens
        .slice(s.from, m.from)
        .some((t, k) => t.w === subject && OTHER_PRONOUNS.has(tokens[s.from + k - 1]?.w ?? ''))
    return too || gone || disowned || !(ELDERS.has(subject) || GRAVE.has(m.kind))
  }
  const someoneElseAt = (span: { from: number; to: number }): boolean => {
    if (!relatives || typedFor) return false
    const subject = subjectOf(tokens, layout, span)
    return subject !== null && subject !== 'patient'
  }
  return { typedFor, someoneElse, someoneElseAt, relatives }
}

/** A reply that ends with "(daughter)" or "- his son": typed by that person for the patient. */
function signedByRelative(tokens: readonly Token[], layout: Layout): boolean {
  const last = layout.clauses.at(-1)
  if (!last || layout.clauses.length < 2) return false
  const words = tokens.slice(last.from, last.to).filter((t) => t.kind === 'word')
  return (
    words.length > 0 &&
    words.length <= 3 &&
    words.some((t) =>
      /^(daughter|son|wife|husband|carer|niece|nephew|granddaughter|grandson|neighbour|partner)$/.test(t.w),
    )
  )
}

/** "next door", "our Karen": somebody else without a word for who it is. */
function named(tokens: readonly Token[], i: number): string | null {
  const w = tokens[i]?.w
  if (w === 'door' && tokens[i - 1]?.w === 'next') return 'neighbour'
  const next = tokens[i + 1]
  if (
    w === 'our' &&
    next?.capital &&
    next.kind === 'word' &&
    /^(has|is|had|was|got|have|says)$/.test(tokens[i + 2]?.w ?? '')
  )
    return 'child'
  return null
}

/** "I bent to feed the cat and blood came out": the cat is no subject. */
function isObject(tokens: readonly Token[], at: number): boolean {
  let j = at - 1
  while (j >= 0 && /^(the|my|our|a|his|her|little|old|grand|dear)$/.test(tokens[j]?.w ?? '')) j--
  return (
    /^(feed|feeding|fed|walk|walking|walked|stroke|visit|visiting|visited|kiss|hug|minding|babysitting|see|seeing|phone|ring|collect|collecting)$/.test(
      tokens[j]?.w ?? '',
    ) && tokens.slice(Math.max(0, j - 8), j).some((t) => FIRST.has(t.w))
  )
}

function nextIsRelative(tokens: readonly Token[], i: number): boolean {
  for (let j = i + 1; j < Math.min(tokens.length, i + 4); j++) {
    const w = tokens[j]?.w ?? ''
    if (RELATIVES.has(w)) return true
    if (!/^(late|dear|poor|old|little|other|dads|mums|lovely|next|door|own|eldest|youngest)$/.test(w))
      return false
  }
  return false
}

/** The nearest person before the mention in its sentence; after it only as owner of the ear. */
function subjectOf(
  tokens: readonly Token[],
  layout: Layout,
  m: { from: number; to: number },
): string | 'patient' | null {
  const sentence = layout.sentence[m.from]
  for (let j = m.to - 1; j >= 0 && layout.sentence[j] === sentence; j--) {
    // A person within the words of the symptom is its object: "cannot hear my wife".
    if (j >= m.from && !FIRST.has(tokens[j]?.w ?? '') && !OTHER_PRONOUNS.has(tokens[j]?.w ?? '')) continue
    const w = tokens[j]?.w ?? ''
    if (w === 'your') return 'patient'
    const called = named(tokens, j)
    if (called !== null) return called
    // "A friend of mine"
    if (w === 'mine' && tokens[j - 1]?.w === 'of') continue
    // "my daughter is coming but been dizzy": a contrast begins with the patient again.
    if (j < m.from && /^(but|although|though|however)$/.test(w)) return null
    // "As a child", "when I was a lad": the patient.
    if (tokens[j - 1]?.w === 'a' && /^(as|was|when|am|be)$/.test(tokens[j - 2]?.w ?? '')) continue
    if (RELATIVES.has(w)) {
      if (isObject(tokens, j)) continue
      if (tokens[j + 1]?.w === 'in' && tokens[j + 2]?.w === 'law') return 'neighbour'
      if (SPEAKS.test(tokens[j + 1]?.w ?? '') && j + 2 < m.from) {
        // "my wife says it is bleeding": reported of the patient unless an owner is named.
        const owner = tokens.slice(j + 1, m.to).find((t) => OTHER_PRONOUNS.has(t.w))
        if (!owner) return 'patient'
      }
      return w
    }
    if (OTHER_PRONOUNS.has(w)) return relativeBefore(tokens, j) ?? w
    if (FIRST.has(w) && !nextIsRelative(tokens, j)) return 'patient'
  }
  for (let j = m.to; j < tokens.length && layout.clause[j] === layout.clause[m.from]; j++) {
    const w = tokens[j]?.w ?? ''
    if (/^(his|her)$/.test(w) && /^(ear|ears|left|right)$/.test(tokens[j + 1]?.w ?? ''))
      return relativeBefore(tokens, j) ?? w
  }
  return null
}

function relativeBefore(tokens: readonly Token[], at: number): string | null {
  for (let j = at - 1; j >= Math.max(0, at - 80); j--)
    if (RELATIVES.has(tokens[j]?.w ?? '')) return tokens[j]?.w ?? null
  return null
}
