/** Whether the wax is said to have softened. */
import { hits } from './answers.ts'
import type { Layout } from './clauses.ts'
import type { Token } from './normalise.ts'
import type { Match } from './patterns.ts'
import { shortly } from './softness-short.ts'
import { cues } from './vocabulary.ts'

/** Softened, not softened, or not said. `alone`: it was the one question, so that a short answer is of it. */
export function readSoftened(
  tokens: readonly Token[],
  layout: Layout,
  asked: boolean,
  alone = false,
): boolean | null {
  const noes = hits(tokens, cues.softNo)
  const yeses = hits(tokens, cues.softYes)
  const over = (m: Match<true>, n: Match<true>) => m.from < n.to && n.from < m.to
  // "Not hard any more": the longer wording wins.
  const yes = yeses.filter((m) => !noes.some((n) => over(m, n) && n.size >= m.size))
  const no = noes.filter((m) => !yeses.some((n) => over(m, n) && n.size > m.size))
  if (!asked && (!tokens.some((t) => ABOUT_WAX.test(t.w)) || ofFood(tokens))) return null
  const clean = (list: Match<true>[]) =>
    list.filter((m) => {
      const w = tokens[m.from]?.w ?? ''
      const s = layout.sentences[layout.sentence[m.from] ?? 0]
      const question = s !== undefined && tokens[s.to - 1]?.w === '?'
      const harmless =
        /^(working|moving|running|dry|hard|stuck|loose|runny)$/.test(w) &&
        !asked &&
        !tokens.slice(Math.max(0, m.from - 5), m.to + 4).some((t) => /^(wax|ear|plug|it)$/.test(t.w))
      // "Not got harder", "can't really tell yet" deny nothing.
      const before = tokens.slice(Math.max(0, m.from - 4), m.from).map((t) => t.w)
      if (/^(harder|firmer|tougher)$/.test(w) && before.some((x) => /^(no|not|any)$/.test(x))) return false
      if (
        tokens.slice(m.from, m.to).some((t) => /^(tell|say|know)$/.test(t.w)) &&
        /^(yet|if|whether|softer|soft)$/.test(tokens[m.to - 1]?.w ?? '')
      )
        return false
      // "Less like a cork"
      if (before.slice(-2).includes('less')) return false
      // "More like porridge than concrete"
      if (tokens.slice(Math.max(0, m.from - 1), m.to - 1).some((t) => t.w === 'than')) return false
      const normal = tokens
        .slice(Math.max(0, m.from - 7), m.from)
        .some((t) => /^(normal|meant|supposed)$/.test(t.w))
      const supposed = tokens
        .slice(Math.max(0, m.from - 4), m.from)
        .some((t) =>
          /^(if|will|should|hope|hopefully|trying|when|until|till|meant|supposed|how|could|once|whether)$/.test(
            t.w,
          ),
        )
      // "I asked him is it softer"
      const asksIt = before.slice(-2).join(' ') === 'is it'
      return !asksIt && !question && !harmless && !supposed && !normal
    })
  const allYes = clean(yes)
  const allNo = clean(no).filter(
    (m) =>
      tokens[m.from]?.w !== 'hard' ||
      tokens.slice(m.from, m.to + 3).every((t) => !/^(to|hear|of|hearing)$/.test(t.w)),
  )
  // "It was hard yesterday, today it's soft": what it was says nothing of now.
  const mixed = allYes.length > 0 && allNo.length > 0
  const ofNow = (list: Match<true>[]) => (mixed ? list.filter((m) => !wasSo(tokens, layout, m)) : list)
  const said = ofNow(allYes).length
  const denied = ofNow(allNo).length
  if (said > 0 && denied === 0) return true
  if (denied > 0 && said === 0) return false
  // "Softer but still there", "still hard but getting softer": on its way.
  if (mixed) return ofNow(allNo).every((m) => stillSo(tokens, m)) && onItsWay(tokens) ? true : null
  return alone && said === 0 && denied === 0 ? shortly(tokens, layout) : null
}

function wasSo(tokens: readonly Token[], layout: Layout, m: Match<true>): boolean {
  const c = layout.clauses[layout.clause[m.from] ?? 0] ?? { from: 0, to: 0 }
  const lead = tokens.slice(Math.max(c.from, m.from - 3), m.from).map((t) => t.w)
  if (lead.some((w) => /^(now|today|is)$/.test(w))) return false
  // "Was solid Monday, soft now" in one breath.
  const before = lead.slice(lead.findLastIndex((w) => /^(?:yesterday|before|\w+day)$/.test(w)) + 1)
  return (
    before.some((w) => /^(was|were|had)$/.test(w)) ||
    tokens.slice(c.from, c.to).some((t) => /^(yesterday|before)$/.test(t.w))
  )
}

const stillSo = (tokens: readonly Token[], m: Match<true>) =>
  tokens.slice(Math.max(0, m.from - 2), m.to).some((t) => t.w === 'still')
const onItsWay = (tokens: readonly Token[]) =>
  tokens.some((t) => /^(softer|softening|looser|loosening|melting)$/.test(t.w)) &&
  !tokens.some((t) => /^(left|right|outside|inside|deep|one|other|not|no)$/.test(t.w))

const ABOUT_WAX =
  /^(butter|brick|pebble|wax|hard|softened|softer|softening|soften|soft|loosened|loosening|plug|looser|melted|softend|squidgy|squishy|squashy|mushy|mush|concrete|cement|solid|squishier|squidgier|putty|sludgy|claggy|squelchy)$/

/** "Bread as hard as a brick", "soft boiled egg for tea". */
const ofFood = (tokens: readonly Token[]) =>
  tokens.some((t) => /^(bread|egg|eggs|cake|toast|biscuit|biscuits|peas)$/.test(t.w)) &&
  !tokens.some((t) => /^(wax|ear|ears|drops|oil|plug|lug|lugs)$/.test(t.w))
