/** What the sentence and the clause around a mention say: looked up once each, so that time stays linear. */
import { type Layout, within } from './clauses.ts'
import { setOf } from './lexicon/set-of.ts'
import type { Token } from './normalise.ts'

/** Said to be nothing out of the way. */
const EXPECTED_WORDS = setOf(
  'expected expect warned promised told normal said speak worry hardly barely scarcely bother',
)
const FRESH_WORDS = setOf(
  'new now started starting suddenly developed begun began noticed just today overnight sudden appeared woke since',
)
const NEW_OR_WORSE = setOf(
  'worse worsened worsening worst new suddenly sudden today yesterday now gone again',
)
const NOT_OVER = setOf('than since again still now today tonight keeps morning never')
const COMES_AGAIN = setOf(
  'each still every keeps again sometimes whenever occasionally next bend turn rise rising',
)

const STILL = setOf('still')
const SUDDENLY = setOf('sudden suddenly')
const BRIGHT = setOf('fresh bright new')
const BEGAN = setOf('happened came went started hit')

export type AroundSentence = {
  newOrWorse: boolean
  notOver: boolean
  still: boolean
  suddenly: boolean
  never: boolean
  comesAgain: boolean
  expected: boolean
  behindEar: boolean
}
export type AroundClause = { fresh: boolean; bright: boolean }

type Range = { from: number; to: number }

export function surroundings(
  tokens: readonly Token[],
  layout: Layout,
): {
  sentence: (n: number) => AroundSentence
  clause: (n: number) => AroundClause
  nextIsSudden: (n: number) => boolean
} {
  const everything = { from: 0, to: tokens.length }
  const wordsOf = (r: Range | undefined) => tokens.slice((r ?? everything).from, (r ?? everything).to)
  const any = (words: readonly Token[], set: ReadonlySet<string>) => words.some((t) => set.has(t.w))
  return {
    sentence: once((n) => {
      const words = wordsOf(layout.sentences[n])
      return {
        newOrWorse: words.some(
          (t, i) =>
            NEW_OR_WORSE.has(t.w) &&
            !(
              t.w === 'new' &&
              (words[i + 1]?.w === 'year' || /^(nothing|not|no)$/.test(words[i - 1]?.w ?? ''))
            ) &&
            !(t.w === 'gone' && /^(months|years|weeks|ages)$/.test(words[i - 1]?.w ?? '')),
        ),
        // "A whistle that was not there before" is new.
        notOver:
          any(words, NOT_OVER) ||
          words.some((t, i) => t.w === 'before' && [1, 2, 3].some((n) => words[i - n]?.w === 'not')),
        still: any(words, STILL),
        never: words.some((t, i) => t.w === 'never' && /^(used|had|did|was)$/.test(words[i + 1]?.w ?? '')),
        suddenly: any(words, SUDDENLY),
        comesAgain: words.some(
          (t, i) => COMES_AGAIN.has(t.w) && !(t.w === 'again' && words[i - 1]?.w === 'never'),
        ),
        expected: any(words, EXPECTED_WORDS),
        behindEar: behindEar(words),
      }
    }),
    // "It has gone silent. Happened between supper and bed."
    nextIsSudden: once((n) => {
      const next = layout.sentences[n + 1]
      if (!next || next.to - next.from > 9 || !within(tokens, next.from, next.from + 3, BEGAN)) return false
      const text = wordsOf(next)
        .map((t) => t.w)
        .join(' ')
      return (
        /^(it |all |this |that )?(just )?(happened|came on|went|started|hit me)\b/.test(text) &&
        /\b(overnight|suddenly|sudden|instant|minute|seconds|flash|morning|between|bed|shower|tea|breakfast|supper|lunch|once)\b/.test(
          text,
        )
      )
    }),
    clause: once((n) => {
      const words = wordsOf(layout.clauses[n])
      return { fresh: any(words, FRESH_WORDS), bright: any(words, BRIGHT) }
    }),
  }
}

function once<T>(make: (n: number) => T): (n: number) => T {
  const made = new Map<number, T>()
  return (n) => {
    const before = made.get(n)
    if (before !== undefined) return before
    const value = make(n)
    made.set(n, value)
    return value
  }
}

function behindEar(words: readonly Token[]): boolean {
  return words.some(
    (t, i) =>
      (t.w === 'behind' || (t.w === 'back' && words[i + 1]?.w === 'of')) &&
      words.slice(i + 1, i + 5).some((x) => /^(ear|ears|it|lobe)$/.test(x.w)),
  )
}
