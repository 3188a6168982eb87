/** Which history item a wording tells of, where the same words could name two, or something else altogether. Pure. */
import type { Layout } from './clauses.ts'
import type { Token } from './normalise.ts'
import type { HistoryMention } from './screening.ts'

const overlap = (a: HistoryMention, b: HistoryMention) => [...a.used].some((u) => b.used.has(u))

/** The mentions that stand by themselves and mean the ear. */
export function ownWordings(
  tokens: readonly Token[],
  layout: Layout,
  found: readonly HistoryMention[],
): HistoryMention[] {
  const words = (m: HistoryMention) => {
    const s = layout.sentences[layout.sentence[m.from] ?? 0]
    return tokens.slice(s?.from ?? 0, s?.to ?? 0)
  }
  const larger = (a: HistoryMention, kind: RegExp, orAsLarge = false) =>
    found.some(
      (b) =>
        b !== a &&
        kind.test(b.kind) &&
        overlap(a, b) &&
        (orAsLarge ? a.used.size <= b.used.size : a.used.size < b.used.size),
    )
  return found.filter((a) => {
    switch (a.kind) {
      case 'discharge':
        return !found.some((b) => b.kind !== 'discharge' && overlap(a, b))
      case 'perforation':
        return !larger(a, /^surgery$/) && !otherHole(tokens, a)
      case 'allergy':
        if (tokens.slice(a.to, a.to + 4).some((t) => OF_CHORES.test(t.w))) return false
        // "The drops brought me out in a rash": a reaction to the drops.
        return ofNuts(words(a)) || !larger(a, /^drops-reaction$/, true)
      case 'drops-reaction':
        // "Almonds bring me out in hives" tells of no drops.
        return !(ofNuts(words(a)) && found.some((b) => b.kind === 'allergy' && overlap(a, b)))
      case 'surgery':
        return !ofThePractice(tokens, a) && !elsewhere(tokens, a)
      case 'only-hearing-ear':
        return !justNow(tokens, words(a), a)
      default:
        return true
    }
  })
}

const NUTS =
  /^(nut|nuts|almond|almonds|peanut|peanuts|walnuts|hazelnuts|cashews|brazils|pistachios|penicillin|latex|plasters)$/
const ofNuts = (words: readonly Token[]) =>
  words.some((t) => NUTS.test(t.w)) && !words.some((t) => /^(drops|bicarb|spray)$/.test(t.w))

/** "Allergic to housework" */
const OF_CHORES =
  /^(housework|hoovering|ironing|work|exercise|mornings|gardening|cooking|dusting|brothers?|husband|mondays|cleaning|washing)$/

/** "The surgery told me": the practice. */
const ofThePractice = (tokens: readonly Token[], m: HistoryMention) =>
  m.used.size === 1 &&
  [...m.used].some(
    (u) =>
      /^(surgery|op)$/.test(tokens[u]?.w ?? '') &&
      /^(the|at|your|my|doctors|gp|ring|call)$/.test(tokens[u - 1]?.w ?? '') &&
      !/^(had|have)$/.test(tokens[u - 2]?.w ?? ''),
  )

/** "No hearing on the right" of today is a symptom; of years it is the only hearing ear. */
function justNow(tokens: readonly Token[], sentence: readonly Token[], m: HistoryMention): boolean {
  const used = [...m.used].map((u) => tokens[u]?.w ?? '')
  // "Gone totally deaf since I woke up"
  if (
    sentence.some((t) => /^(woke|overnight|yesterday|suddenly)$/.test(t.w)) &&
    !used.some((w) => /^(only|one)$/.test(w))
  )
    return true
  const ofLoss = used.includes('hearing') && !used.some((w) => /^(good|ear|works|working|the)$/.test(w))
  if (!ofLoss || !used.some((w) => /^(no|only|not)$/.test(w))) return false
  if (used.includes('no')) return !sentence.some((t) => LONG.test(t.w))
  return sentence.some((t) => /^(today|morning|sudden|suddenly|overnight|yesterday|night|since)$/.test(t.w))
}
const LONG =
  /^(birth|born|years|always|childhood|child|never|life|war|measles|mumps|meningitis|baby|boy|girl|lad|lass)$/

/** "A hole in my sock", "the plug hole", "a hole in one", "round the ear hole". */
function otherHole(tokens: readonly Token[], m: HistoryMention): boolean {
  const at = [...m.used].find((u) => /^(hole|holes)$/.test(tokens[u]?.w ?? ''))
  const drum = [...m.used].some((u) => /^(eardrum|eardrums|drum|drums|perfor.*)$/.test(tokens[u]?.w ?? ''))
  if (at !== undefined && !drum) {
    const [before, earlier] = [tokens[at - 1]?.w ?? '', tokens[at - 2]?.w ?? '']
    if (/^(ear|lug|earlug)$/.test(before) && !/^(an|one)$/.test(earlier)) return true
    if (/^(round|around|outside|near)$/.test(earlier) && /^(the|my|that)$/.test(before)) return true
    if (tokens.slice(at + 1, at + 7).some((t) => /^(swelling|swollen|swelled)$/.test(t.w))) return true
  }
  if ([...m.used].some((u) => /^(ear|ears|eardrum|eardrums|drum|drums|perfor.*)$/.test(tokens[u]?.w ?? '')))
    return false
  return tokens
    .slice(Math.max(0, m.from - 2), m.to + 8)
    .some((t) =>
      /^(road|sock|socks|wallet|pocket|pockets|roof|bucket|watering|hedge|wall|fence|golf|key|button|plug|pot|heart|tooth|teeth|shoe|shoes|jumper|budget|head|bottle|lid|dropper|tyre|boat|garden|rabbit|mouse|retina|nose|stomach)$/.test(
        t.w,
      ),
    )
}

const OF_THE_EAR =
  /^(mastoid|mastoidectomy|mastoidectomies|stapedectomy|stapes|myringoplasty|tympanoplasty|cholesteatoma|ossiculoplasty)$/

function elsewhere(tokens: readonly Token[], m: HistoryMention): boolean {
  if (m.used.size > 1 || [...m.used].some((u) => OF_THE_EAR.test(tokens[u]?.w ?? ''))) return false
  for (let i = Math.max(0, m.from - 4); i < Math.min(tokens.length, m.to + 4); i++) {
    // "Two months back" is a time.
    if (
      tokens[i]?.w === 'back' &&
      /^(week|weeks|month|months|year|years|while|time|days|ages)$/.test(tokens[i - 1]?.w ?? '')
    )
      continue
    if (
      /^(hip|knee|heart|cataract|cataracts|eye|eyes|back|hernia|bowel|foot|hand|shoulder|gall|gallbladder|prostate|appendix|hysterectomy|valve|bypass|tonsils|nose|sinus|teeth)$/.test(
        tokens[i]?.w ?? '',
      )
    )
      return true
  }
  return false
}
