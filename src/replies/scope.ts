/**
 * Scope of denial: which mentions a "no", "not" or "without" denies.
 * After the published NegEx and ConText ideas, with scopes that stop at contrast, at a new subject and at
 * a list that is no list of denials. In doubt a mention stays affirmed.
 */
import type { Mention } from './concepts.ts'
import * as cue from './lexicon/scope.ts'
import type { Token } from './normalise.ts'

export type Range = { from: number; to: number }

const ENDS = cue.SENTENCE_ENDS
const SEPARATORS = new Set([',', '/', '+', '&', '-'])
const MAX_SCOPE = 16
const ABILITY = new Set(['can', 'could'])
const HELPS = new Set(
  'helps helping helped touches touching works working worked stops stopping shifts shifting eases easing relieves is but like for will seems'.split(
    ' ',
  ),
)
const MUCH = new Set(['such', 'so', 'like', 'this'])
/** "not bad bleeding", "not much pain": some is there. */
const QUANTITY = new Set('bad much heavy too very that so really particularly as'.split(' '))
function quantityOf(tokens: readonly Token[], at: number, taken: Taken): boolean {
  // "not so much as a twinge" denies.
  if (tokens[at]?.w === 'so' && tokens[at + 1]?.w === 'much') return false
  for (let j = at; j < at + 5; j++) {
    if (tokens[j]?.w === 'any' || tokens[j]?.kind === 'mark') return false
    if (taken.owner[j]) return !taken.owner[j]?.denies
  }
  return false
}

/** After a comma, only these nouns carry a denial on without an "or". */
const LISTED = new Set(
  'pain discharge bleeding blood dizziness fever swelling ringing tinnitus itching nausea headache headaches vertigo temperature redness infection infections surgery grommets allergies perforation'.split(
    ' ',
  ),
)

/** Tokens that belong to a mention, and the mention that begins at a token. */
export type Taken = { owner: (Mention | null)[] }

export function takenBy(tokens: readonly Token[], mentions: readonly Mention[]): Taken {
  const owner: (Mention | null)[] = new Array(tokens.length).fill(null)
  for (const m of mentions) for (const u of m.used) owner[u] = m
  return { owner }
}

/** Ranges of tokens in which mentions are denied. Overlapping ranges deny twice, which affirms. */
export function denials(tokens: readonly Token[], taken: Taken): Range[] {
  const out: Range[] = []
  for (const [i, t] of tokens.entries()) {
    if (t.kind !== 'word' || taken.owner[i]) continue
    // "neither pain nor bleeding" denies once.
    if (
      t.w === 'nor' &&
      !/^(have|do|did|am|was|had)$/.test(tokens[i + 1]?.w ?? '') &&
      out.some((r) => i >= r.from && i < r.to)
    )
      continue
    const from = denialStart(tokens, i, taken)
    if (from === null) continue
    const to = denialEnd(tokens, from, taken, t.w)
    if (to > from) out.push({ from, to })
  }
  return out
}

/** Where the denial that begins with token `i` starts to count; null if it denies nothing. */
function denialStart(tokens: readonly Token[], i: number, taken: Taken): number | null {
  const w = tokens[i]?.w
  const next = tokens[i + 1]
  if (!next || (next.kind === 'mark' && next.w !== '-')) return null
  const ownsNext = taken.owner[i + 1] !== null && taken.owner[i + 1] !== undefined
  if (w === 'no') {
    if (ownsNext) return i + 1
    // "at no point did I feel dizzy"
    if (next.w === 'point' && tokens[i + 2]?.w === 'did') return i + 4
    // "No more pain than yesterday" has as much.
    if (next.w === 'more' && [2, 3, 4].some((n) => tokens[i + n]?.w === 'than')) return null
    if (next.w === 'longer' || next.w === 'more') return i + 2
    if (cue.NO_IS_NOT_DENIAL.has(next.w) || cue.BELONGINGS.has(next.w) || next.w === 'the') return null
    return i + 1
  }
  // "cannot hear the door nor the phone": the "nor" belongs to what cannot be heard.
  if (
    w === 'nor' &&
    tokens.slice(Math.max(0, i - 8), i).some((t, k) => t.w === 'not' && taken.owner[Math.max(0, i - 8) + k])
  )
    return null
  // "nor have I felt giddy"
  if (w === 'nor' && /^(have|do|did|am|was|had)$/.test(next.w) && tokens[i + 2]?.w === 'i') return i + 3
  if (w === 'not' || w === 'never' || w === 'without' || w === 'nor' || w === 'neither') {
    const before = tokens[i - 1]?.w ?? ''
    if (w === 'not' && ABILITY.has(before)) {
      const verb =
        cue.DENIAL_BRIDGE.has(next.w) && !cue.CAN_NOT_DENIES.has(next.w) ? (tokens[i + 2]?.w ?? '') : next.w
      return cue.CAN_NOT_DENIES.has(verb) ? i + 1 : null
    }
    if (next.w === 'without' || next.w === 'no' || next.w === 'not' || next.w === 'any-more') return null
    // "Not without pain", "never without pain" affirm.
    if (w === 'without' && (before === 'not' || before === 'never')) return null
    if (w === 'never' && [1, 2, 3, 4, 5].some((n) => MUCH.has(tokens[i + n]?.w ?? ''))) return null
    if (ownsNext) return i + 1
    if (QUANTITY.has(next.w) && quantityOf(tokens, i + 1, taken)) return null
    if (cue.NOT_THINK.has(next.w)) return i + 2
    if (cue.NOT_IS_NOT_DENIAL.has(next.w)) return null
    if (cue.BELONGINGS.has(next.w) && next.w !== 'the') return null
    return i + 1
  }
  if (w === 'nothing') {
    if (next.w === 'is' && taken.owner[i + 2]) return i + 2
    return HELPS.has(next.w) ? null : i + 1
  }
  if (w === 'none' && next.w === 'of') return i + 2
  if (w === 'zero' || w === 'nil') return ownsNext ? i + 1 : null
  if (w === 'free' && (next.w === 'of' || next.w === 'from')) return i + 2
  return null
}

function denialEnd(tokens: readonly Token[], from: number, taken: Taken, trigger: string): number {
  let bareList = false
  let anyForm = trigger === 'nor' || trigger === 'neither'
  const hedged = cue.NOT_THINK.has(tokens[from - 1]?.w ?? '')
  let j = from
  for (; j < tokens.length && j < from + MAX_SCOPE; j++) {
    const t = tokens[j]
    if (!t) break
    if (taken.owner[j]?.denies && j > from) break
    if (taken.owner[j]) continue
    if (t.kind === 'mark') {
      if (ENDS.has(t.w) || !SEPARATORS.has(t.w)) break
      if (t.w === '/' || t.w === '+' || t.w === '&') continue
      if (bareList) continue
      const rest = pureUntil(tokens, j + 1, taken)
      bareList = rest.pure && rest.listed >= 2 && !rest.or
      if (bareList || listGoesOn(tokens, j + 1, taken)) continue
      break
    }
    if (t.w === 'any') anyForm = true
    if (t.w === 'or' || t.w === 'nor') continue
    if (t.w === 'and') {
      if ((anyForm && pureUntil(tokens, j + 1, taken).pure) || listGoesOn(tokens, j + 1, taken)) continue
      break
    }
    if (cue.CLAUSE_STARTS.has(t.w) || t.w === 'because') break
    if (t.w === 'so' && tokens[j + 1]?.w !== 'much') break
    if (cue.BELONGINGS.has(t.w)) {
      const before = tokens[j - 1]?.w ?? ''
      const afterPreposition = /^(in|on|from|of|inside|behind|into|with|to|around|near)$/.test(before)
      if (hedged || (afterPreposition && j > from)) continue
      break
    }
    if (cue.DENIAL_BRIDGE.has(t.w) || t.kind === 'number') continue
    if (hedged) continue
    break
  }
  return j
}

/** The rest of the sentence from `at`: only mentions, "or", commas and bridges? Does an "or" come? */
function pureUntil(
  tokens: readonly Token[],
  at: number,
  taken: Taken,
): { pure: boolean; or: boolean; listed: number } {
  let or = false
  let listed = 0
  for (let j = at; j < tokens.length; j++) {
    const t = tokens[j]
    if (!t) break
    if (t.kind === 'mark') {
      if (ENDS.has(t.w)) break
      continue
    }
    if (t.w === 'or' || t.w === 'nor') or = true
    else if (taken.owner[j]) {
      if (!LISTED.has(t.w)) {
        if (!or) return { pure: false, or, listed }
      } else listed++
    } else if (t.w === 'but' || t.w === 'all') return { pure: true, or, listed }
    else if (t.w !== 'and' && !cue.DENIAL_BRIDGE.has(t.w)) return { pure: or, or, listed }
  }
  return { pure: true, or, listed }
}

/** After a comma a denial goes on only in a list with "or", or in a bare list of at least two nouns to the end. */
function listGoesOn(tokens: readonly Token[], at: number, taken: Taken): boolean {
  let or = false
  for (let j = at; j < tokens.length && j < at + MAX_SCOPE; j++) {
    const t = tokens[j]
    if (!t || (t.kind === 'mark' && ENDS.has(t.w))) break
    if (t.w === 'or' || t.w === 'nor') {
      or = true
      break
    }
    if (t.kind === 'mark' || taken.owner[j] || t.w === 'and') continue
    if (cue.BELONGINGS.has(t.w) || !cue.DENIAL_BRIDGE.has(t.w)) break
  }
  if (or) return true
  const rest = pureUntil(tokens, at, taken)
  return rest.pure && rest.listed >= 2
}
