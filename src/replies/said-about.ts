/** What is said of a symptom next to it: gone, easing, growing, none. */
import { within } from './clauses.ts'
import type { Mention } from './concepts.ts'
import * as cue from './lexicon/scope.ts'
import { setOf } from './lexicon/set-of.ts'
import type { Token } from './normalise.ts'
import { isNoneOf, type Taken, tellsWithVerb, wordAt } from './scope.ts'
import { GRAVE_KINDS } from './types.ts'

export type After = 'gone' | 'eased' | 'worse' | 'same' | 'none' | 'not-gone' | null

/** How many tokens after a mention are looked at. */
const REACH = 8
/** How far before a mention is looked. */
const BACK = [1, 2, 3, 4]
const LABELS = setOf(': - = ,')
const PAUSES = setOf('- ,')
const NEGATIONS = setOf('not never no nor neither')
/** "bleeding stuff: none" */
const TAILS = setOf('stuff fluid feeling noises noise ear ears drum spells')
const STOPS = new Set([...cue.CLAUSE_STARTS, 'if'])
/** "pain and I have stopped the drops" */
const I_DO = setOf('have am feel keep')
/** A new subject: what follows is said of it. */
const SUBJECTS = setOf('feet bus car hearing hearings wax drops oil appetite husband wife balance voice')
/** "the nurse stopped" stops no symptom. */
const AGENTS = setOf('i we you they she he nurse doctor lady man')
/** These are over only when no direction or state comes after them. */
const WENT = setOf('went gone over passed')
const TURNS = setOf(
  'bad stone through mad septic yellow green brown pink crooked lopsided droopy wonky slack twisted black blind scarlet crimson purple hot numb stiff puffy tight dead hard on red deaf to from right my the into it me him',
)
/** What should have happened has not. */
const HOPED = setOf('would should')
const IS_OVER = setOf('is was now')
const AWAY = setOf('away off')

/** What each group of words says of a symptom, and what it says after a "not". */
type Saying = readonly [words: ReadonlySet<string>, said: After, negated: After]
const TRENDS: readonly Saying[] = [
  [cue.EASED, 'eased', 'same'],
  [cue.WORSE, 'worse', 'same'],
  [cue.SAME, 'same', 'same'],
]
/** "gone down", "gone up" */
const DIRECTIONS: readonly Saying[] = [
  [setOf('down'), 'eased', 'not-gone'],
  [setOf('up worse'), 'worse', 'same'],
]

const sayingOf = (sayings: readonly Saying[], w: string) => sayings.find(([group]) => group.has(w))

const MINE = setOf('i my it can could will')
const ABLE = setOf('can could')
/** "I passed out, 0", "my arm went weak no": a sentence of the patient's own is no line of a form that the "0" fills in. */
function toldByMe(tokens: readonly Token[], m: Mention): boolean {
  if (ABLE.has(wordAt(tokens, m.from - 1)) || NEGATIONS.has(wordAt(tokens, m.from))) return true
  const mine = MINE.has(wordAt(tokens, m.from - 1)) || MINE.has(wordAt(tokens, m.from))
  if (tellsWithVerb(tokens, m) && (GRAVE_KINDS.has(m.kind) || mine)) return true
  return hasSubject(tokens, m)
}

const BE = setOf('is are am was have has had')
const ASKED_BEFORE = setOf('is are does do has have any was if')
/** "It's all swollen", "there's a tightness": a subject and its verb, not the other way round. */
function hasSubject(tokens: readonly Token[], m: Mention): boolean {
  for (const n of BACK) {
    const w = wordAt(tokens, m.from - n)
    if (tokens[m.from - n]?.kind === 'mark') return false
    if (!SUBJECT.has(w)) continue
    return !ASKED_BEFORE.has(wordAt(tokens, m.from - n - 1)) && within(tokens, m.from - n + 1, m.to, BE)
  }
  return false
}
const SUBJECT = setOf('i it there my')

/** What is said of a mention right after it: "pain has gone", "bleeding: none", "pain not stopped". */
export function saidAfter(tokens: readonly Token[], m: Mention, taken: Taken): After {
  let negated = BACK.some((n) => isNoneOf(tokens, m.from - n))
  let begun = false
  const mine = toldByMe(tokens, m)
  for (const [k, t] of tokens.slice(m.to, m.to + REACH).entries()) {
    const j = m.to + k
    if (t.kind === 'mark') {
      if (k === 0 && LABELS.has(t.w) && isNo(tokens, j + 1) && !(t.w === ',' && mine)) return 'none'
      if (!LABELS.has(t.w) || (begun && PAUSES.has(t.w))) return null
      continue
    }
    if (taken.owner[j]) {
      if (begun) return null
      continue
    }
    if (k === 0 && !mine && (isNo(tokens, j) || (TAILS.has(t.w) && isNo(tokens, j + 1)))) return 'none'
    if (STOPS.has(t.w)) return null
    if (t.w === 'i' && begun && I_DO.has(wordAt(tokens, j + 1))) return null
    if (SUBJECTS.has(t.w) && m.kind !== 'hearing-loss') return null
    // "Ear pain not there"
    if (k === 0 && t.w === 'not' && wordAt(tokens, j + 1) === 'there') return 'none'
    if (NEGATIONS.has(t.w) || (t.w === 'nothing' && cue.WORSE.has(wordAt(tokens, j + 1)))) negated = true
    if (cue.GONE.has(t.w)) return goneAt(tokens, j, m, negated)
    const trend = sayingOf(TRENDS, t.w)
    if (trend) return trend[negated ? 2 : 1]
    begun = true
  }
  return null
}

const RESTARTS =
  /^(?:(?:and|then|but|,|it|has|have|is|just|now|for|a|bit|while) )*(?:started|starting|restarted|came back|come back|back again|began again)\b/
const STAYED = setOf('in at home off up')

/** What "gone", "stopped" or "over" at `j` says of a mention before it. */
function goneAt(tokens: readonly Token[], j: number, m: Mention, negated: boolean): After {
  const w = wordAt(tokens, j)
  const next = wordAt(tokens, j + 1)
  // "Stopped and started again"
  const after = [1, 2, 3, 4, 5, 6, 7].map((n) => wordAt(tokens, j + n)).join(' ')
  if (RESTARTS.test(after)) return null
  // "So I've stopped in bed"
  if (w === 'stopped' && STAYED.has(next)) return null
  const last = wordAt(tokens, j - 1)
  if (AGENTS.has(last)) return null
  // "I thought it would have gone"
  if ([1, 2, 3, 4].some((n) => HOPED.has(wordAt(tokens, j - n)))) return 'not-gone'
  if (WENT.has(w)) {
    const direction = sayingOf(DIRECTIONS, next)
    if (direction) return direction[negated ? 2 : 1]
    if (TURNS.has(next) || m.kind === 'hearing-loss') return null
    // "It is all over", but "aching all over".
    if (w === 'over' && !IS_OVER.has(last === 'all' ? wordAt(tokens, j - 2) : last)) return null
    if (w === 'went' && !AWAY.has(next)) return null
  }
  return negated ? 'not-gone' : 'gone'
}

const NO = setOf('no none nil zero nought naught nowt')
const AFTER_NO = setOf('thanks kiss and')

/** An answer "no", with nothing after it that it could deny. */
function isNo(tokens: readonly Token[], at: number): boolean {
  const t = tokens[at]
  if (!t || !(NO.has(t.w) || t.value === 0)) return false
  const next = tokens[at + 1]
  return !next || next.kind === 'mark' || AFTER_NO.has(next.w)
}

const ENDED = setOf('stopped ceased rid')
const LESS = setOf('less fewer')
const MORE = setOf('more worse increasing increased growing')
/** "Stopped the drops" stops no symptom, and what is new was not there to change. */
const BARRIERS = setOf('as because cos since when drops oil it them using taking doing putting new')

/** "stopped bleeding", "got rid of the pain", "no longer sore". */
export function saidBefore(tokens: readonly Token[], m: Mention, taken: Taken): After {
  for (const n of BACK) {
    const j = m.from - n
    const t = tokens[j]
    if (!t || t.kind === 'mark' || BARRIERS.has(t.w)) break
    const follows = wordAt(tokens, j - 1)
    if (ENDED.has(t.w)) {
      // "pain stopped, bleeding started"
      if (taken.owner[j - 1]) break
      // "No, it's stopped aching": an answer.
      return BACK.some((b) => negates(tokens, j - b)) ? 'not-gone' : 'gone'
    }
    if (t.w === 'longer' && follows === 'no') return 'gone'
    if (wordAt(tokens, j + 1) !== 'than') {
      if (t.w === 'more' && follows === 'no') return isCompared(tokens, j) ? 'same' : 'gone'
      if (n <= 2 && LESS.has(t.w)) return 'eased'
      if (n <= 2 && MORE.has(t.w)) return 'worse'
    }
    if (n > 2 && cue.BELONGINGS.has(t.w)) break
  }
  return andSo(tokens, m) ? 'gone' : null
}

const IT = setOf('it i its my the , .')
const negates = (tokens: readonly Token[], at: number) =>
  NEGATIONS.has(wordAt(tokens, at)) && !(wordAt(tokens, at) === 'no' && IT.has(wordAt(tokens, at + 1)))

/** "The pain has gone, so has the popping." */
function andSo(tokens: readonly Token[], m: Mention): boolean {
  const owned = cue.BELONGINGS.has(wordAt(tokens, m.from - 1)) || wordAt(tokens, m.from - 1) === 'the'
  const has = owned ? m.from - 2 : m.from - 1
  if (!HAVE.has(wordAt(tokens, has)) || wordAt(tokens, has - 1) !== 'so') return false
  return within(tokens, has - 12, has - 1, AWAY_NOW)
}
const HAVE = setOf('has have')
const AWAY_NOW = setOf('gone stopped cleared settled eased vanished disappeared')

/** "no more pain than yesterday": as much as then. */
const isCompared = (tokens: readonly Token[], more: number): boolean =>
  [2, 3].some((n) => wordAt(tokens, more + n) === 'than')
