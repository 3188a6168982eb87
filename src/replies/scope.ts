/**
 * Scope rules: which mentions are denied, past, supposed, asked about or somebody else's.
 * After the published NegEx and ConText ideas, with scopes that stop at contrast, at a new subject and at
 * a list that is no list of denials. In doubt a mention stays affirmed.
 */
import type { Layout } from './clauses.ts'
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
    if (next.w === 'more' && tokens[i + 2]?.w === 'than') return null
    if (next.w === 'longer' || next.w === 'more') return i + 2
    if (cue.NO_IS_NOT_DENIAL.has(next.w) || cue.BELONGINGS.has(next.w)) return null
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
      if (listGoesOn(tokens, j + 1, taken)) continue
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

export type After = 'gone' | 'eased' | 'worse' | 'same' | 'none' | 'not-gone' | null

/** What is said of a mention right after it: "pain has gone", "bleeding: none", "pain not stopped". */
export function saidAfter(tokens: readonly Token[], layout: Layout, m: Mention, taken: Taken): After {
  let negated = false
  for (let j = m.to, steps = 0; j < tokens.length && steps < 8; j++) {
    const t = tokens[j]
    if (!t || layout.sentence[j] !== layout.sentence[m.from]) break
    if (t.kind === 'mark') {
      if ((t.w === ':' || t.w === '-' || t.w === '=' || t.w === ',') && j === m.to && isNo(tokens, j + 1))
        return 'none'
      if (t.w === ',' || t.w === '-') {
        if (steps > 0) break
        continue
      }
      if (t.w === ':' || t.w === '=') continue
      break
    }
    if (taken.owner[j] && taken.owner[j] !== m) {
      if (steps > 0) break
      continue
    }
    if (
      j === m.to &&
      (isNo(tokens, j) ||
        (/^(stuff|fluid|feeling|noises|noise|ear|ears|drum|spells)$/.test(t.w) && isNo(tokens, j + 1)))
    )
      return 'none'
    if (cue.CLAUSE_STARTS.has(t.w) || t.w === 'because' || t.w === 'if') break
    if (t.w === 'i' && steps > 0 && /^(have|am|feel|keep)$/.test(tokens[j + 1]?.w ?? '')) break
    // A new subject: what follows is said of it.
    if (
      /^(hearing|hearings|wax|drops|oil|appetite|husband|wife|balance|voice)$/.test(t.w) &&
      m.kind !== 'hearing-loss'
    )
      break
    if (t.w === 'not' || t.w === 'never' || t.w === 'no') negated = true
    else if (
      cue.GONE.has(t.w) &&
      /^(i|we|you|they|she|he|nurse|doctor|lady|man)$/.test(tokens[j - 1]?.w ?? '')
    )
      break
    else if (cue.GONE.has(t.w)) {
      if (t.w === 'went' || t.w === 'gone' || t.w === 'over' || t.w === 'passed') {
        const next = tokens[j + 1]?.w ?? ''
        if (
          /^(up|bad|worse|through|mad|septic|yellow|green|brown|pink|scarlet|crimson|purple|hot|numb|stiff|puffy|tight|dead|hard|on|down|red|deaf|to|from|right|my|the|into|it|me|him)$/.test(
            next,
          )
        ) {
          if (next === 'down') return negated ? 'not-gone' : 'eased'
          if (next === 'worse' || next === 'up') return 'worse'
          break
        }
        if (t.w === 'over' && !/^(is|was|all|now)$/.test(tokens[j - 1]?.w ?? '')) break
        if (t.w === 'went' && !/^(away|off)$/.test(next)) break
        if (m.kind === 'hearing-loss') break
      }
      return negated ? 'not-gone' : 'gone'
    } else if (cue.EASED.has(t.w)) return negated ? 'same' : 'eased'
    else if (cue.WORSE.has(t.w)) return negated ? 'same' : 'worse'
    else if (cue.SAME.has(t.w)) return 'same'
    steps++
  }
  return null
}

function isNo(tokens: readonly Token[], at: number): boolean {
  const t = tokens[at]
  if (
    !t ||
    !(
      t.w === 'no' ||
      t.w === 'none' ||
      t.w === 'nil' ||
      t.w === 'zero' ||
      t.w === 'nope' ||
      (t.kind === 'number' && t.value === 0)
    )
  )
    return false
  const next = tokens[at + 1]
  return !next || next.kind === 'mark' || next.w === 'thanks' || next.w === 'kiss' || next.w === 'and'
}

/** "stopped bleeding", "got rid of the pain", "no longer sore", "the end of the pain". */
export function saidBefore(tokens: readonly Token[], layout: Layout, m: Mention): After {
  for (let j = m.from - 1, steps = 0; j >= 0 && steps < 4; j--, steps++) {
    const t = tokens[j]
    if (!t || t.kind === 'mark' || layout.sentence[j] !== layout.sentence[m.from]) break
    if (t.w === 'stopped' || t.w === 'ceased' || (t.w === 'rid' && tokens[j + 1]?.w === 'of')) {
      const negated = [1, 2, 3].some((n) => ['not', 'never', 'no'].includes(tokens[j - n]?.w ?? ''))
      return negated ? 'not-gone' : 'gone'
    }
    if ((t.w === 'less' || t.w === 'fewer') && steps <= 1) return 'eased'
    if (t.w === 'longer' && tokens[j - 1]?.w === 'no') return 'gone'
    if (t.w === 'more' && tokens[j - 1]?.w === 'no' && tokens[j + 1]?.w !== 'than') return 'gone'
    if (
      (t.w === 'more' ||
        t.w === 'worse' ||
        t.w === 'increasing' ||
        t.w === 'increased' ||
        t.w === 'growing') &&
      steps <= 1
    )
      return 'worse'
    if (t.w === 'new' && steps <= 1) return null
    if (cue.BELONGINGS.has(t.w) && steps > 1) break
  }
  return null
}

/** Suppositions: from "if" to the end of the clause after it, unless it is a trigger ("if I press it"). */
export function suppositions(tokens: readonly Token[], layout: Layout): Range[] {
  const out: Range[] = []
  for (const [i, t] of tokens.entries()) {
    const inCase = t.w === 'case' && tokens[i - 1]?.w === 'in'
    const afraidOf =
      /^(worried|scared|afraid|frightened|nervous|anxious)$/.test(t.w) &&
      /^(it|they|that|of|about)$/.test(tokens[i + 1]?.w ?? '') &&
      [2, 3, 4].some((n) => /^(might|will|would|may|could|getting)$/.test(tokens[i + n]?.w ?? ''))
    const hopeNot =
      (t.w === 'hope' || t.w === 'hoping') &&
      [1, 2, 3, 4].some((n) => /^(not|no)$/.test(tokens[i + n]?.w ?? ''))
    const told =
      /^(said|told|warned|leaflet|advised|expect|expecting)$/.test(t.w) &&
      [1, 2, 3, 4, 5].some((n) =>
        /^(might|may|could|would|expect|normal|if|look|watch)$/.test(tokens[i + n]?.w ?? ''),
      )
    const start = cue.HYPOTHETICAL.has(t.w) || inCase || afraidOf || hopeNot || told
    if (!start || t.kind !== 'word') continue
    if (t.w === 'if' || t.w === 'unless') {
      if (tokens[i - 1]?.w === 'as') continue
      const triggered =
        [1, 2, 3, 4].some((n) => cue.TRIGGERS.has(tokens[i + n]?.w ?? '')) &&
        !/^(it|there)$/.test(tokens[i + 1]?.w ?? '')
      if (triggered) continue
      // "if anything it's worse", "not sure if it's infected" tell of the present.
      if (tokens[i + 1]?.w === 'anything' || tokens[i + 1]?.w === 'you' || tokens[i + 1]?.w === 'not')
        continue
    }
    if (t.w === 'whether') continue
    const sentence = layout.sentence[i]
    let to = i + 1
    while (to < tokens.length && layout.sentence[to] === sentence) {
      const w = tokens[to]
      if (!w) break
      if (w.w === 'but' || w.w === 'because') break
      if (w.kind === 'mark' && w.w === ',' && /^(i|my|it|the|im|there)$/.test(tokens[to + 1]?.w ?? '')) break
      to++
    }
    out.push({ from: i, to })
  }
  return out
}

/** Questions: from the inverted verb or the question word to the end of the sentence. */
export function questions(tokens: readonly Token[], layout: Layout): Range[] {
  const out: Range[] = []
  for (const s of layout.sentences) {
    const ends = tokens[s.to - 1]?.w === '?'
    let at = -1
    for (let i = s.from; i < s.to; i++) {
      const t = tokens[i]
      if (t?.kind !== 'word') continue
      const next = tokens[i + 1]?.w ?? ''
      const clauseStart =
        i === s.from ||
        tokens[i - 1]?.kind === 'mark' ||
        /^(and|so|but|hi|hello|please|just|also|or|sorry|morning|well|thanks)$/.test(tokens[i - 1]?.w ?? '')
      // "did it twice" tells; "did it twice?" asks.
      const told =
        /^(did|do|does|have|has|had|was|were)$/.test(t.w) && /^(it|them|this|that|these)$/.test(next) && !ends
      // "What is coming out is not wax" tells.
      if (t.w === 'what' && !ends && next === 'is' && /ing$/.test(tokens[i + 2]?.w ?? '')) break
      const inverted = cue.AUX.has(t.w) && cue.SUBJECTS.has(next) && !told
      // "Can microsuction make you deaf", "is ringing a side effect", without the mark.
      const unmarked = i === s.from && !ends && unmarkedQuestion(tokens, i, s.to)
      const wonders =
        (t.w === 'wondering' || t.w === 'wonder' || t.w === 'asking' || t.w === 'ask') &&
        /^(if|whether|about|how|what|when|is)$/.test(next)
      if (
        (clauseStart &&
          (inverted ||
            (ends && cue.STARTERS_OF_QUESTIONS.has(t.w)) ||
            (/^(should|shall|how|what|when|why|where|which)$/.test(t.w) &&
              (ends ||
                cue.AUX.has(next) ||
                (t.w === 'which' && /^(ear|side|one)$/.test(next)) ||
                next === 'long' ||
                (t.w === 'what' && next === 'time') ||
                (t.w === 'which' && next === 'door') ||
                next === 'happens' ||
                next === 'about' ||
                next === 'if' ||
                next === 'many' ||
                next === 'much' ||
                next === 'do')))) ||
        wonders ||
        unmarked ||
        (inverted &&
          i > s.from &&
          !cue.BELONGINGS.has(tokens[i - 1]?.w ?? '') &&
          (ends || next === 'that' || next === 'this'))
      ) {
        at = i
        break
      }
    }
    if (at < 0 && ends && s.to - s.from <= 4) at = s.from
    if (at >= 0) out.push({ from: at, to: questionEnd(tokens, at, s.to) })
  }
  return out
}

/** A question without its mark: of what something does to one, or whether it is usual. */
function unmarkedQuestion(tokens: readonly Token[], from: number, to: number): boolean {
  const w = (n: number) => tokens[from + n]?.w ?? ''
  const said = tokens.slice(from, to).map((t) => t.w)
  if (/^(supposing|suppose)$/.test(w(0))) return true
  if (w(0) === 'at' && w(1) === 'what') return true
  if (w(0) === 'how' && /^(long|soon)$/.test(w(1)) && /^(before|until|till|does|do|will|should)$/.test(w(2)))
    return true
  if (/^(can|could|does|do|will|would|should)$/.test(w(0)))
    return /^(drops|oil|microsuction|suction|the|this|wax|water|deafness|ringing|pain|blood|bleeding|people|anyone|swimming|flying)$/.test(
      w(1),
    )
  return (
    /^(is|are)$/.test(w(0)) &&
    /^(normal|usual|common|dangerous|serious|effect|effects|expected|sign|ok)$/.test(said.at(-1) ?? '')
  )
}

const WEEKDAY = /^(monday|tuesday|wednesday|thursday|friday|saturday|sunday|tomorrow)$/
const DESK = /^(seen|sooner|move|appointment|visit|rearrange|reschedule|swap|earlier|later)$/

/** A comma and a new subject end a question: "can I come sooner, its throbbing". */
function questionEnd(tokens: readonly Token[], from: number, to: number): number {
  for (let i = from + 2; i < to - 1; i++) {
    const connective =
      tokens[i]?.w === ',' || tokens[i]?.w === 'because' || tokens[i]?.w === 'as' || tokens[i]?.w === 'but'
    const w = tokens[i + 1]?.w ?? ''
    const verb = tokens[i + 2]?.w ?? ''
    // "Can I be seen sooner, smelly goo has started": a wish for the desk, then what is the matter.
    if (
      tokens[i]?.w === ',' &&
      !/^(or|and|if|please|that|when|is|will|can|do|thanks)$/.test(w) &&
      tokens.slice(from, i).some((t) => DESK.test(t.w))
    )
      return i
    // "Can you shift me to friday and its bleeding a little".
    if (
      tokens[i]?.w === 'and' &&
      tokens.slice(from, i).some((t) => DESK.test(t.w) || WEEKDAY.test(t.w)) &&
      [1, 2].some((n) => /^(it|its|my|there|theres|ear|its)$/.test(tokens[i + n]?.w ?? ''))
    )
      return i
    if (
      connective &&
      /^(it|its|i|my|there|the|theres|he|she|her|his)$/.test(w) &&
      !/^(should|could|can|will|would)$/.test(verb)
    )
      return i
  }
  return to
}

/** A question that takes the symptom for granted tells of it: "why is my ear bleeding", "will the pain go". */
export function presupposes(tokens: readonly Token[], q: Range, m: Mention): boolean {
  const has = (pattern: RegExp, from = q.from, to = q.to) => {
    for (let i = from; i < to; i++) if (pattern.test(tokens[i]?.w ?? '')) return true
    return false
  }
  const first = tokens[q.from]?.w ?? ''
  if (first === 'why' || has(/^(why)$/)) return true
  if (
    has(/^(still|this|these)$/, q.from, Math.max(q.from, m.from)) &&
    !/^(is|does|will|can|could)$/.test(first)
  )
    return true
  if (has(/^still$/)) return true
  if (
    has(/^(this|the|my|these)$/, Math.max(q.from + 1, m.from - 2), m.from) &&
    !(tokens[m.from - 1]?.w === 'ear')
  ) {
    if (!/^(drops|oil|procedure|appointment)$/.test(tokens[m.from]?.w ?? '')) return true
  }
  if (has(/^long$/, q.from, q.from + 2) && first === 'how') return true
  if (first === 'when' && has(/^(stop|go|ease|settle|clear|away|better)$/)) return true
  if (first === 'what' && has(/^(take|use|do|help|helps)$/) && has(/^(for|about)$/) && !has(/^if$/))
    return true
  if (
    has(/^ear|ears$/, q.from, m.to + 1) &&
    has(/^(be|is)$/, q.from, m.from + 1) &&
    has(/^my$/, q.from, m.from + 1)
  )
    return true
  if (
    has(/^(normal|ok|usual|right|common|alright|fine)$/) &&
    has(/^that$/, q.from, m.from) &&
    has(/^(i|my|there)$/, q.from, m.to)
  )
    return true
  return has(/^much$/) && has(/^this$/)
}
