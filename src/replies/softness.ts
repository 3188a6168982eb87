/** Whether the wax is said to have softened. */
import { hits } from './answers.ts'
import type { Layout } from './clauses.ts'
import type { Token } from './normalise.ts'
import type { Match } from './patterns.ts'
import { cues } from './vocabulary.ts'

/** Softened, not softened, or not said. */
export function readSoftened(tokens: readonly Token[], layout: Layout, asked: boolean): boolean | null {
  const noes = hits(tokens, cues.softNo)
  const yeses = hits(tokens, cues.softYes)
  const over = (m: Match<true>, n: Match<true>) => m.from < n.to && n.from < m.to
  // "Not hard any more": the longer wording wins.
  const yes = yeses.filter((m) => !noes.some((n) => over(m, n) && n.size >= m.size))
  const no = noes.filter((m) => !yeses.some((n) => over(m, n) && n.size > m.size))
  const aboutWax = tokens.some((t) =>
    /^(butter|brick|pebble|wax|hard|soft-wax|softened|softer|softening|soften|soft|loosened|loosening|plug|looser|melted|softend)$/.test(
      t.w,
    ),
  )
  if (!asked && !aboutWax) return null
  const clean = (list: Match<true>[]) =>
    list.filter((m) => {
      const w = tokens[m.from]?.w ?? ''
      const s = layout.sentences[layout.sentence[m.from] ?? 0]
      const question = s !== undefined && tokens[s.to - 1]?.w === '?'
      const harmless =
        /^(working|moving|running|dry|hard|stuck|loose|runny)$/.test(w) &&
        !asked &&
        !tokens.slice(Math.max(0, m.from - 5), m.to + 4).some((t) => /^(wax|ear|plug|it)$/.test(t.w))
      const supposed = tokens
        .slice(Math.max(0, m.from - 4), m.from)
        .some((t) => /^(if|will|should|hope|hopefully|trying)$/.test(t.w))
      return !question && !harmless && !supposed
    })
  const said = clean(yes).length
  const denied = clean(no).filter(
    (m) =>
      tokens[m.from]?.w !== 'hard' ||
      tokens.slice(m.from, m.to + 3).every((t) => !/^(to|hear|of|hearing)$/.test(t.w)),
  ).length
  if (said > 0 && denied === 0) return true
  if (denied > 0 && said === 0) return false
  return null
}
