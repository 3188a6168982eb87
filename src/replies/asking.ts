/** Scopes of supposing and asking: what is only imagined, and what is only asked about. */
import type { Layout } from './clauses.ts'
import type { Mention } from './concepts.ts'
import * as cue from './lexicon/scope.ts'
import type { Token } from './normalise.ts'
import type { Range } from './scope.ts'

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
      // "The leaflet says a little blood is normal, well this is not a little"
      if (w.w === 'well' && /^(this|mine|it|i|my|its)$/.test(tokens[to + 1]?.w ?? '')) break
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
        /^(did|do|have|has|had|was|were)$/.test(t.w) && /^(it|them|this|that|these)$/.test(next) && !ends
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
  // "Is pain going from a 1 to a 6 normal?"
  if (tokens.slice(q.from, q.to).filter((t) => t.kind === 'number').length >= 2 && has(/^from$/)) return true
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
  if (has(/^long$/, q.from, q.from + 2) && first === 'how' && tokens[q.from + 2]?.w !== 'before') return true
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
