/** Sentences and clauses: which words belong together. */
import { CLAUSE_STARTS } from './lexicon/scope.ts'
import type { Token } from './normalise.ts'

export type Layout = {
  /** Sentence and clause number of every token. */
  sentence: number[]
  clause: number[]
  /** First and last+1 token of every sentence, of every clause. */
  sentences: { from: number; to: number }[]
  clauses: { from: number; to: number }[]
}

/** A run of words without a full stop is cut here, so that no rule looks further and time stays linear. */
const MAX_SENTENCE = 100
const MAX_CLAUSE = 40

const ENDS = new Set(['.', '!', '?', ';', '\n'])
const BREAKS = new Set([',', '(', ')', '-'])
const CONNECTIVES = new Set(['and', 'so', 'since', 'as'])
const CLAUSE_SUBJECTS = new Set(
  'i my it he she we they there its his her our the that this am is have has had can could now still'.split(
    ' ',
  ),
)

export function layOut(tokens: readonly Token[]): Layout {
  const layout: Layout = { sentence: [], clause: [], sentences: [], clauses: [] }
  let sentenceFrom = 0
  let clauseFrom = 0
  const endClause = (at: number) => {
    if (at > clauseFrom) layout.clauses.push({ from: clauseFrom, to: at })
    clauseFrom = at
  }
  for (const [i, t] of tokens.entries()) {
    const startsClause =
      t.kind === 'word' &&
      i > clauseFrom &&
      (CLAUSE_STARTS.has(t.w) || (CONNECTIVES.has(t.w) && CLAUSE_SUBJECTS.has(tokens[i + 1]?.w ?? '')))
    if (startsClause || i - clauseFrom >= MAX_CLAUSE) endClause(i)
    if (i - sentenceFrom >= MAX_SENTENCE) {
      endClause(i)
      layout.sentences.push({ from: sentenceFrom, to: i })
      sentenceFrom = i
    }
    layout.sentence[i] = layout.sentences.length
    layout.clause[i] = layout.clauses.length
    if (t.kind === 'mark' && ENDS.has(t.w)) {
      endClause(i + 1)
      layout.sentences.push({ from: sentenceFrom, to: i + 1 })
      sentenceFrom = i + 1
    } else if (t.kind === 'mark' && BREAKS.has(t.w)) endClause(i + 1)
  }
  endClause(tokens.length)
  if (tokens.length > sentenceFrom) layout.sentences.push({ from: sentenceFrom, to: tokens.length })
  return layout
}

/** The word or mark at a place; none beyond either end. */
export function wordAt(tokens: readonly Token[], at: number): string {
  return tokens[at]?.w ?? ''
}

/** Is one of these words among the tokens [from, to)? */
export function within(
  tokens: readonly Token[],
  from: number,
  to: number,
  words: ReadonlySet<string>,
): boolean {
  for (let i = from; i < to; i++) if (words.has(wordAt(tokens, i))) return true
  return false
}

/** The first token that ends after a place of the text; as many as there are tokens when none does. */
export function firstPast(tokens: readonly Token[], place: number): number {
  let low = 0
  let high = tokens.length
  while (low < high) {
    const middle = (low + high) >> 1
    if ((tokens[middle]?.end ?? 0) > place) high = middle
    else low = middle + 1
  }
  return low
}
