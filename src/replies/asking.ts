/** Scopes of supposing and asking: what is only imagined, and what is only asked about. */
import { type Layout, within, wordAt } from './clauses.ts'
import type { Mention } from './concepts.ts'
import * as cue from './lexicon/asking.ts'
import { AUX, BELONGINGS, HYPOTHETICAL, STARTERS_OF_QUESTIONS, SUBJECTS, TRIGGERS } from './lexicon/scope.ts'
import type { Token } from './normalise.ts'
import type { Range } from './scope.ts'

const SUPPOSERS = new Set([
  'thought',
  ...cue.CONDITIONS,
  ...HYPOTHETICAL,
  'case',
  ...cue.AFRAID,
  ...cue.HOPES,
  ...cue.FORETELLS,
])
const ASKERS = new Set([...AUX, ...STARTERS_OF_QUESTIONS, 'what', ...cue.ASKS_BEFORE.keys(), ...cue.WONDERS])

/** Suppositions: from "if" to the end of the clause after it, unless it is a trigger ("if I press it"). */
export function suppositions(tokens: readonly Token[], layout: Layout): Range[] {
  const out: Range[] = []
  for (const i of tokens.keys()) {
    if (!SUPPOSERS.has(wordAt(tokens, i)) || !supposes(tokens, i)) continue
    let to = i + 1
    // "Can't say if it's softer, watery stuff is trickling out"
    const indirect = TELLS.has(wordAt(tokens, i - 1))
    while (
      layout.sentence[to] === layout.sentence[i] &&
      !endsSupposition(tokens, to) &&
      !(indirect && wordAt(tokens, to) === ',')
    )
      to++
    out.push({ from: i, to })
  }
  return out
}

const NORMAL: ReadonlySet<string> = new Set(['normal', 'usual', 'safe', 'dangerous'])
const SUFFERS: ReadonlySet<string> = new Set(['be', 'have', 'get', 'feel', 'end', 'hurt', 'bleed', 'need'])
const TELLS: ReadonlySet<string> = new Set(['say', 'tell', 'know', 'sure', 'see', 'wonder', 'wondering'])
const HONEST: ReadonlySet<string> = new Set(['honest', 'truthful', 'frank'])
const AS: ReadonlySet<string> = new Set(['as', 'like'])
const MIND: ReadonlySet<string> = new Set(['mind'])

function supposes(tokens: readonly Token[], i: number): boolean {
  const w = wordAt(tokens, i)
  const next = wordAt(tokens, i + 1)
  const soon = (words: ReadonlySet<string>, from: number, to: number) =>
    within(tokens, i + from, i + to, words)
  if (cue.CONDITIONS.has(w)) {
    if (wordAt(tokens, i - 1) === 'as' || cue.IF_TELLS.has(next) || soon(HONEST, 2, 5)) return false
    // "If I get dizzy" supposes; "if I get up" tells when.
    const becomes = wordAt(tokens, i + 2) === 'get' && !cue.UPWARDS.has(wordAt(tokens, i + 3))
    return cue.IMPERSONAL.has(next) || !soon(TRIGGERS, becomes ? 3 : 1, 5)
  }
  if (HYPOTHETICAL.has(w)) return true
  if (w === 'case') return wordAt(tokens, i - 1) === 'in'
  if (cue.AFRAID.has(w)) return cue.AFRAID_OF.has(next) && soon(cue.MIGHT, 2, 5)
  // "Hope you don't mind me saying"
  if (cue.HOPES.has(w)) return soon(cue.HOPED_AGAINST, 1, 5) && !soon(MIND, 1, 5)
  // "Sore as you said it would be" looks back.
  const back = [1, 2, 3].some((n) => AS.has(wordAt(tokens, i - n)))
  // "Thought I'd be in agony"
  if (
    w === 'thought' &&
    /^(i|it)$/.test(next) &&
    wordAt(tokens, i + 2) === 'would' &&
    SUFFERS.has(wordAt(tokens, i + 3))
  )
    return true
  // "Half expecting agony"
  if (w === 'expecting' && /^(was|were|half|been|am)$/.test(wordAt(tokens, i - 1))) return true
  return cue.FORETELLS.has(w) && !back && soon(cue.FORETOLD, 1, 6)
}

const CAME = /\b(passed|blacked|collapsed|fainted|went|gone|lost|dropped|had|have got|am)\b/
/** "You said it would be sore and I lost my hearing": what was foretold is not told in the past tense. */
export const hasCome = (tokens: readonly Token[], supposed: Range, m: Range): boolean =>
  cue.FORETELLS.has(wordAt(tokens, supposed.from)) &&
  CAME.test(
    tokens
      .slice(m.from, m.to)
      .map((t) => t.w)
      .join(' '),
  )

function endsSupposition(tokens: readonly Token[], at: number): boolean {
  const before = cue.SUPPOSITION_ENDS.get(wordAt(tokens, at))
  return before === null || before?.has(wordAt(tokens, at + 1)) === true
}

/** Questions: from the inverted verb or the question word to the end of the sentence. */
export function questions(tokens: readonly Token[], layout: Layout): Range[] {
  const out: Range[] = []
  for (const s of layout.sentences) {
    const marked = wordAt(tokens, s.to - 1) === '?'
    const from = questionStart(tokens, s, marked) ?? (marked && s.to - s.from <= 4 ? s.from : null)
    if (from !== null) out.push({ from, to: questionEnd(tokens, from, s.to) })
  }
  return out
}

/** The first token of a sentence that asks. `marked`: the sentence ends with its question mark. */
function questionStart(tokens: readonly Token[], s: Range, marked: boolean): number | null {
  if (!marked && unmarkedQuestion(tokens, s)) return s.from
  for (let i = s.from; i < s.to; i++) {
    const w = wordAt(tokens, i)
    if (!ASKERS.has(w)) continue
    const before = wordAt(tokens, i - 1)
    const next = wordAt(tokens, i + 1)
    // "What is coming out is not wax" tells.
    if (w === 'what' && !marked && next === 'is' && wordAt(tokens, i + 2).endsWith('ing')) return null
    const told = !marked && cue.DOES.has(w) && cue.DONE_TO.has(next)
    const inverted = AUX.has(w) && SUBJECTS.has(next) && !told
    if (i === s.from || tokens[i - 1]?.kind === 'mark' || cue.LEADS.has(before)) {
      if (inverted || (marked && STARTERS_OF_QUESTIONS.has(w)) || cue.ASKS_BEFORE.get(w)?.has(next)) return i
    }
    if (cue.WONDERS.has(w) && cue.WONDERED.has(next)) return i
    // "Me neck is that stiff"
    const soMuch = next === 'that' && cue.SO_MUCH.has(wordAt(tokens, i + 2))
    // "The one thing I would add is that there is a ringing"
    const pointed =
      cue.POINTED_AT.has(next) && !(next === 'that' && cue.NEW_SUBJECT.has(wordAt(tokens, i + 2)))
    if (inverted && !BELONGINGS.has(before) && !soMuch && (marked || pointed)) return i
  }
  return null
}

/** A question without its mark: of what something does to one, or whether it is usual. */
function unmarkedQuestion(tokens: readonly Token[], s: Range): boolean {
  const first = wordAt(tokens, s.from)
  const next = wordAt(tokens, s.from + 1)
  if (cue.SUPPOSE.has(first) || (first === 'at' && next === 'what')) return true
  if (cue.CAN.has(first)) return cue.CAN_THINGS.has(next)
  const last = tokens[s.to - 1]?.kind === 'mark' ? s.to - 2 : s.to - 1
  // "Is a bit of blood normal after"
  const end = cue.AFTERWARDS.has(wordAt(tokens, last)) ? last - 1 : last
  // "Is fizzing normal with these drops"
  if (cue.IS.has(first) && !cue.USUAL_END.has(next) && within(tokens, s.from + 2, s.from + 6, NORMAL))
    return true
  return cue.IS.has(first) && cue.USUAL_END.has(wordAt(tokens, end))
}

/** A comma and a new subject end a question: "can I come sooner, its throbbing". */
function questionEnd(tokens: readonly Token[], from: number, to: number): number {
  for (let i = from + 2; i < to; i++) {
    const w = wordAt(tokens, i)
    const next = wordAt(tokens, i + 1)
    // "Can I be seen sooner, smelly goo has started": a wish for the desk, then what is the matter.
    if (w === ',' && !cue.WISH_GOES_ON.has(next) && within(tokens, from, i, cue.DESK)) return i
    // "Can you shift me to friday and its bleeding a little".
    const wished = w === 'and' && !AUX.has(next) && within(tokens, from, i, cue.DESK_DAYS)
    if (wished && within(tokens, i + 1, i + 3, cue.AILS)) return i
    if (cue.CONNECTIVES.has(w) && cue.NEW_SUBJECT.has(next) && !cue.MODALS.has(wordAt(tokens, i + 2)))
      return i
  }
  return to
}

/** A question that takes the symptom for granted tells of it: "why is my ear bleeding", "will the pain go". */
export function presupposes(tokens: readonly Token[], q: Range, m: Mention): boolean {
  const said = new Set(tokens.slice(q.from, q.to).map((t) => t.w))
  const has = (words: ReadonlySet<string>, from = q.from, to = q.to) => within(tokens, from, to, words)
  const first = wordAt(tokens, q.from)
  // "Is pain going from a 1 to a 6 normal?"
  if (tokens.slice(q.from, q.to).filter((t) => t.kind === 'number').length >= 2 && said.has('from'))
    return true
  if (said.has('why') || said.has('still')) return true
  if (has(cue.THIS, q.from, m.from) && !cue.OPEN_VERBS.has(first)) return true
  if (
    has(cue.OWNED, Math.max(q.from, m.from - 2), m.from) &&
    wordAt(tokens, m.from - 1) !== 'ear' &&
    !cue.NO_SYMPTOM.has(wordAt(tokens, m.from))
  )
    return true
  // "How long should soreness last" asks of soreness at large.
  const atLarge = wordAt(tokens, q.from + 2) === 'should' && m.from === q.from + 3
  if (
    first === 'how' &&
    wordAt(tokens, q.from + 1) === 'long' &&
    wordAt(tokens, q.from + 2) !== 'before' &&
    !atLarge
  )
    return true
  if (first === 'when' && has(cue.PASSES)) return true
  if (first === 'what' && has(cue.REMEDY) && has(cue.REMEDY_FOR) && !said.has('if')) return true
  if (
    has(cue.EARS, q.from, m.to + 1) &&
    has(cue.BEING, q.from, m.from + 1) &&
    has(cue.MY, q.from, m.from + 1)
  )
    return true
  if (has(cue.USUAL) && has(cue.THAT, q.from, m.from) && has(cue.MINE, q.from, m.to)) return true
  return said.has('much') && said.has('this')
}
