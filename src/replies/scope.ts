/**
 * Scope of denial: which mentions a "no", "not" or "without" denies.
 * After the published NegEx and ConText ideas, with scopes that stop at contrast, at a new subject and at
 * a list that is no list of denials. In doubt a mention stays affirmed.
 */
import type { Mention } from './concepts.ts'
import * as cue from './lexicon/scope.ts'
import { setOf } from './lexicon/set-of.ts'
import type { Token } from './normalise.ts'
import { GRAVE_KINDS } from './types.ts'

export type Range = { from: number; to: number }

const MAX_SCOPE = 16
/** How far a "not bad" looks for what is not bad. */
const QUANTITY_REACH = 5
const JOINERS = setOf('/ + &')
const NEGATIONS = setOf('not never without nor neither denies denied denying')
const DENIERS = new Set([...NEGATIONS, 'no', 'nothing', 'none', 'zero', 'nil', 'free'])
const NOT_WITHOUT = setOf('not never')
const NEITHER_NOR = setOf('nor neither')
const OR = setOf('or nor')
const ABILITY = setOf('can could')
const LONGER = setOf('longer more')
/** "No problems" and "no the pain is bad" deny nothing that follows. */
const NO_STANDS_ALONE = new Set([...cue.NO_IS_NOT_DENIAL, 'the'])
/** "nor have I felt giddy", "nor is it sore" */
const INVERTED = setOf('have do did am was had is are does has were')
const INVERTED_SUBJECTS = setOf('i it there we')
const SUCH = setOf('such so like this')
const ZERO = setOf('zero nil')
const FREE_OF = setOf('of from')
/** "not bad bleeding", "not much pain": some is there. */
const QUANTITY = setOf('bad much too very that so really particularly as')
const SAID_ANY = [2, 3, 4, 5]
const SAID_NOT = [2, 3, 4]
const AMOUNTS = setOf('lot great good huge massive fair big')
const PREPOSITIONS = setOf('in on from of inside into with to')
/** A list of bare nouns ends before these. */
const LIST_ENDS = new Set([...cue.SENTENCE_ENDS, 'but', 'all'])
/** Words between the items of a list: no subject of a new statement. */
const BETWEEN = new Set([...cue.DENIAL_BRIDGE].filter((w) => !cue.BELONGINGS.has(w)))
const NEAR = [1, 2, 3, 4, 5]
const BACK = [1, 2, 3, 4, 5, 6, 7, 8]
const COMPARED = [2, 3, 4]

/** After a comma, only these nouns carry a denial on without an "or". */
const LISTED = setOf(
  'pain discharge bleeding blood dizziness fever swelling ringing tinnitus itching nausea headache headaches vertigo temperature redness infection infections surgery grommets allergies perforation',
)

/** The mention that each token belongs to. */
export type Taken = { owner: (Mention | undefined)[] }

export function takenBy(mentions: readonly Mention[]): Taken {
  const owner: (Mention | undefined)[] = []
  for (const m of mentions) for (const u of m.used) owner[u] = m
  return { owner }
}

/** The word at a place; empty outside the text. */
export const wordAt = (tokens: readonly Token[], at: number): string => tokens[at]?.w ?? ''

/** Does the phrase stand at this place? */
const says = (tokens: readonly Token[], at: number, phrase: string): boolean =>
  phrase.split(' ').every((w, k) => wordAt(tokens, at + k) === w)

export const isNoneOf = (tokens: readonly Token[], at: number): boolean =>
  wordAt(tokens, at) === 'none' && wordAt(tokens, at + 1) === 'of'

/** "None of the pain has gone", unlike "none of the pain I had", says that it is there. */
function staysThere(tokens: readonly Token[], at: number): boolean {
  for (const t of tokens.slice(at, at + MAX_SCOPE)) {
    if (t.kind === 'mark') return false
    if (cue.GONE.has(t.w) || cue.EASED.has(t.w)) return true
  }
  return false
}

/** Ranges of tokens in which mentions are denied. Overlapping ranges deny twice, which affirms. */
export function denials(tokens: readonly Token[], taken: Taken): Range[] {
  const out: Range[] = []
  for (const [i, t] of tokens.entries()) {
    if (taken.owner[i] || !DENIERS.has(t.w)) continue
    // "neither pain nor bleeding" denies once.
    if (t.w === 'nor' && !isInverted(tokens, i) && out.some((r) => i < r.to)) continue
    const from = denialStart(tokens, i, t.w, taken)
    if (from === null) continue
    const to = denialEnd(tokens, from, taken, t.w)
    if (to > from) out.push({ from, to })
  }
  return out
}

const isInverted = (tokens: readonly Token[], i: number): boolean =>
  INVERTED.has(wordAt(tokens, i + 1)) && INVERTED_SUBJECTS.has(wordAt(tokens, i + 2))

/** Where the denial that begins with token `i` starts to count; null if it denies nothing. */
function denialStart(tokens: readonly Token[], i: number, w: string, taken: Taken): number | null {
  const next = tokens[i + 1]
  if (!next || next.kind === 'mark') return null
  const ownsNext = taken.owner[i + 1]
  // "Nope blacked out on the landing": the "no" answers what was asked.
  if (ownsNext && ANSWERS.has(w) && GRAVE_KINDS.has(ownsNext.kind) && tellsWithVerb(tokens, ownsNext))
    return null
  if (w === 'no') {
    // "No can't breathe"
    if (ownsNext) return ABILITY.has(next.w) ? null : i + 1
    // "at no point did I feel dizzy"
    if (says(tokens, i + 1, 'point did')) return i + 4
    // "No more pain than yesterday" has as much.
    if (next.w === 'more' && COMPARED.some((n) => wordAt(tokens, i + n) === 'than')) return null
    if (LONGER.has(next.w)) return i + 2
    return NO_STANDS_ALONE.has(next.w) ? null : i + 1
  }
  if (NEGATIONS.has(w)) return negationStart(tokens, i, w, taken)
  // "Nothing is sore", but "nothing is any help with the pain".
  if (w === 'nothing') return next.w === 'is' && !taken.owner[i + 2] ? null : i + 1
  if (isNoneOf(tokens, i)) return staysThere(tokens, i) ? null : i + 2
  if (ZERO.has(w)) return ownsNext ? i + 1 : null
  if (w === 'free' && FREE_OF.has(next.w)) return i + 2
  return null
}

/** "I cannot lift my head without the room spinning": it spins. */
function canNotBefore(tokens: readonly Token[], i: number): boolean {
  for (let j = i - 1; j > Math.max(0, i - 12); j--) {
    const t = tokens[j]
    if (!t || (t.kind === 'mark' && cue.SENTENCE_ENDS.has(t.w))) return false
    if (t.w === 'not' && ABILITY.has(wordAt(tokens, j - 1))) return true
  }
  return false
}

function negationStart(tokens: readonly Token[], i: number, w: string, taken: Taken): number | null {
  const next = wordAt(tokens, i + 1)
  const before = wordAt(tokens, i - 1)
  // "cannot hear the door nor the phone": the "nor" belongs to what cannot be heard.
  if (w === 'nor' && BACK.some((n) => wordAt(tokens, i - n) === 'not' && taken.owner[i - n])) return null
  if (NEITHER_NOR.has(w) && isInverted(tokens, i)) return i + 3
  if (ABILITY.has(before)) {
    // "I can't say I have any pain"
    if (next === 'say' && SAID_ANY.some((n) => wordAt(tokens, i + n) === 'any')) return i + 2
    const denies =
      cue.CAN_NOT_DENIES.has(next) ||
      (cue.DENIAL_BRIDGE.has(next) && cue.CAN_NOT_DENIES.has(wordAt(tokens, i + 2)))
    return denies ? i + 1 : null
  }
  // "I can't say it doesn't hurt"
  if (
    w === 'not' &&
    SAID_NOT.some((n) => wordAt(tokens, i - n) === 'say' && wordAt(tokens, i - n - 1) === 'not')
  )
    return null
  // "Not without pain", "never without pain" affirm.
  if (w === 'without' && (NOT_WITHOUT.has(before) || canNotBefore(tokens, i))) return null
  // "Not so much as a twinge" denies.
  if (says(tokens, i + 1, 'so much as')) return i + 4
  // "I have never had pain like this"
  if (w === 'never' && NEAR.some((n) => SUCH.has(wordAt(tokens, i + n)))) return null
  if (taken.owner[i + 1]) return i + 1
  if (QUANTITY.has(next) && quantityOf(tokens, i + 1, taken)) return null
  // "Not a lot of blood" has some.
  if (next === 'a' && AMOUNTS.has(wordAt(tokens, i + 2)) && quantityOf(tokens, i + 2, taken)) return null
  if (cue.NOT_THINK.has(next)) return i + 2
  return cue.NOT_IS_NOT_DENIAL.has(next) ? null : i + 1
}

/** Is it said of what comes next that there is not much of it? */
function quantityOf(tokens: readonly Token[], at: number, taken: Taken): boolean {
  for (const [k, t] of tokens.slice(at, at + QUANTITY_REACH).entries()) {
    const owner = taken.owner[at + k]
    if (t.w === 'any') return false
    if (owner) return !owner.denies
  }
  return false
}

const VERBS = setOf(
  'passed blacked collapsed fainted went goes gone had has was is keep keeps kept want wants feel feels fell came comes lost smells stinks stopped dropped drooped could can will thinking hears pouring coming struggling getting spreading',
)
export const tellsWithVerb = (tokens: readonly Token[], m: Mention): boolean =>
  tokens.slice(m.from, m.to).some((t) => VERBS.has(t.w))

const TROUBLES = setOf('problems issues worries concerns complaints')
const ANSWERS = setOf('no nothing none zero nil 0')
/** "No feeling down my arm" is a sign by its own "no". */
const NEGATIONS_OWNED = setOf('no not')

function denialEnd(tokens: readonly Token[], from: number, taken: Taken, trigger: string): number {
  const hedged = cue.NOT_THINK.has(wordAt(tokens, from - 1)) || wordAt(tokens, from - 1) === 'say'
  let bareList = false
  let listed = false
  let anyForm = NEITHER_NOR.has(trigger)
  for (const [k, t] of tokens.slice(from, from + MAX_SCOPE).entries()) {
    const j = from + k
    const owner = taken.owner[j]
    if (owner?.denies && k > 0) return j
    // "No bleeding passed out last night": what is told with a verb is no item of the list.
    if (
      owner?.from === j &&
      listed &&
      !OR.has(wordAt(tokens, j - 1)) &&
      !(OR.has(wordAt(tokens, j - 2)) && !taken.owner[j - 1]) &&
      (owner.tags.has('worse') || NEGATIONS_OWNED.has(t.w) || tellsWithVerb(tokens, owner))
    )
      return j
    // "No pain now bright red blood", "no blood the lump is getting bigger": a new matter, not the next item.
    const before = wordAt(tokens, j - 1)
    if (listed && t.w === 'the' && !PREPOSITIONS.has(before) && !OR.has(before)) return j
    // "No other problems passed out last night"
    if (owner && TROUBLES.has(before)) return j
    if (listed && owner && before === 'now' && !OR.has(wordAt(tokens, j + 1))) return j
    listed ||= owner !== undefined
    if (owner || JOINERS.has(t.w)) continue
    if (t.kind === 'mark') {
      if (t.w !== ',') return j
      bareList ||= bareNouns(tokens, j, taken) >= 2
      if (bareList || orAhead(tokens, j, taken)) continue
      return j
    }
    if (t.w === 'any') anyForm = true
    if (t.w === 'and') {
      if (orAhead(tokens, j, taken) || bareNouns(tokens, j, taken) >= (anyForm ? 1 : 2)) continue
      return j
    }
    if (cue.CLAUSE_STARTS.has(t.w)) return j
    if (t.w === 'so' && wordAt(tokens, j + 1) !== 'much') return j
    if (hedged || BETWEEN.has(t.w) || t.kind === 'number') continue
    // "no pain in my ear", "free of my headaches", but "free of it, sore or itchy some days"
    if ((k > 0 || t.w !== 'it') && cue.BELONGINGS.has(t.w) && PREPOSITIONS.has(wordAt(tokens, j - 1)))
      continue
    return j
  }
  return from + MAX_SCOPE
}

/** How many nouns of a list make up the rest of the sentence from `at`; none when anything else is said in it. */
function bareNouns(tokens: readonly Token[], at: number, taken: Taken): number {
  let nouns = 0
  for (const [k, t] of tokens.slice(at).entries()) {
    if (LIST_ENDS.has(t.w)) break
    if (OR.has(t.w)) return 0
    if (taken.owner[at + k]) {
      if (!LISTED.has(t.w)) return 0
      nouns++
    } else if (t.kind !== 'mark' && !cue.DENIAL_BRIDGE.has(t.w)) return 0
  }
  return nouns
}

/** Does the list that goes on at `at` come to an "or" before anything else is said? */
function orAhead(tokens: readonly Token[], at: number, taken: Taken): boolean {
  for (const [k, t] of tokens.slice(at).entries()) {
    if (OR.has(t.w)) return true
    if (cue.SENTENCE_ENDS.has(t.w)) return false
    if (t.kind !== 'mark' && !taken.owner[at + k] && !BETWEEN.has(t.w)) return false
  }
  return false
}
