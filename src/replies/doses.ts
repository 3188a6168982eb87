/** How often the drops went in on the day asked about, from the words of a reply. */
import type { Layout } from './clauses.ts'
import { countable } from './dose-numbers.ts'
import { type Tally, tally } from './dose-tally.ts'
import { inDigits, type Term, termsOf } from './dose-terms.ts'
import type { Token } from './normalise.ts'
import type { ReplyContext } from './types.ts'

/** Longer replies tell of doses in the sentences that name the drops. */
const MAX_TOKENS = 120

/** `at`: the tokens that tell of doses. */
export type Doses = Tally & { at: number[] }

const NOTHING: Doses = { count: null, unsure: false, contradicts: false, spoke: false, at: [] }

const NAMES_DROPS = /^(drops|oil|olive|almond|bicarb|bicarbonate|dose|doses|dropper|eardrops|spray|sodium)$/

/** A question without its mark: "shall I do them twice or three times". */
const ASKS =
  /^(please |so |and )?(shall|should|do|does|can|could|may|must|am|is) (i|we|it|they|you) |^(where|which|who|why|what time) (can|do|does|should|is|are|will|shall|would) |^(how many|how often|have you got) /

/**
 * Times that drops went in on the day asked about; null when the reply does not say.
 * `symptoms`: the tokens that tell of a symptom, whose "twice" is the symptom's own unless drops are named.
 */
export function readDoses(
  tokens: readonly Token[],
  text: string,
  layout: Layout,
  asked: boolean,
  otherAsked: boolean,
  context: ReplyContext,
  symptoms: readonly { from: number; to: number }[],
): Doses {
  const names = tokens.some((t) => NAMES_DROPS.test(t.w))
  // Before the history there are no drops yet, and after the visit none more.
  if (!asked && context !== 'softening') return { ...NOTHING, spoke: names && context === 'aftercare' }
  const drawn = asked ? drawnCount(tokens, text) : null
  if (drawn !== null) return { ...NOTHING, count: drawn, spoke: true }
  const terms: Term[] = []
  const at: number[] = []
  const read: string[] = []
  for (const sentence of layout.sentences) {
    const own = tokens.slice(sentence.from, sentence.to)
    const ofDrops = own.some((t) => NAMES_DROPS.test(t.w))
    if ((own.at(-1)?.w === '?' && own.length > 3) || (tokens.length > MAX_TOKENS && !ofDrops)) continue
    const { said, starts } = inDigits(own, text)
    read.push(said)
    const ill = symptoms
      .filter((m) => m.from >= sentence.from && m.from < sentence.to)
      .map((m) => starts[m.from - sentence.from] ?? 0)
    const all = termsOf(said).filter(countable)
    // "Please can you move me, only did one today"
    const comma = all.findIndex((t) => t.is === 'comma')
    const found = ASKS.test(said) ? (comma === -1 ? [] : all.slice(comma + 1)) : all
    const kept = ill.length === 0 ? found : besideSymptoms(found, ill, asked, terms.length === 0)
    terms.push(...kept)
    for (const [k, start] of starts.entries())
      if (kept.some((t) => isTold(t, start))) at.push(sentence.from + k)
    terms.push({ is: 'stop', from: 0, to: 0, words: '.' })
  }
  if (greets(terms)) terms.shift()
  const told = tally(asked ? terms : beside(terms, tokens.length, !otherAsked))
  const sided = asked && !told.count && !told.unsure ? sidedCount(terms) : null
  const sum = sided === null ? told : { ...told, count: sided }
  const trusted = asked && (symptoms.length === 0 || sum.count !== 0 || bare(terms))
  const tellsOf = trusted || sum.count === null || tells(terms, sum.count, read.join(' '))
  const spoke = names || (asked && sum.spoke) || (tellsOf && sum.count !== null)
  return tellsOf ? { ...sum, spoke, at: sum.count === null ? [] : at } : { ...NOTHING, spoke }
}

const ITEMS: ReadonlySet<Term['is']> = new Set(['moment', 'count', 'nth', 'others', 'again', 'none'])
/** A word in an item of doses; what the patient was doing then may be more than a moment. */
const isTold = (t: Term, start: number) =>
  ITEMS.has(t.is) && !(t.is === 'moment' && t.loose) && start >= t.from && start < t.to

/** "2 in left and right", "2 in the right, none in the left": the number of times, where nothing else tells it. */
function sidedCount(terms: readonly Term[]): number | null {
  // "3 drops in the right, 3 in the left" tells of drops.
  if (terms.some((t) => t.is === 'amount' && /drops?$/.test(t.words))) return null
  const counts = terms.flatMap((t) => (t.is === 'amount' ? (SIDED.exec(t.words)?.slice(1, 2) ?? []) : []))
  return counts.length === 0 ? null : Math.max(...counts.map(Number))
}
const SIDED = /^([1-4]) (?:in|on|for|to) (?:(?:the|my|both) )*(?:left|right|both)\b/

/** The reply opens with the answer that there were none. */
const bare = (terms: readonly Term[]) => {
  const opening = terms.find((t) => t.is !== 'word' && t.is !== 'stop' && t.is !== 'comma')
  return (
    opening?.is === 'none' ||
    opening?.is === 'no' ||
    (opening?.is === 'status' && opening.status === 'missed' && opening.late)
  )
}

const breaks = (t: Term) =>
  t.is === 'comma' || t.is === 'but' || (t.is === 'and' && t.words !== 'with') || t.is === 'stop'

/** "Evening! Did both": a greeting is no time of the day. */
const greets = (terms: readonly Term[]) =>
  /^(?:morning|evening|afternoon)$/.test(terms[0]?.words ?? '') &&
  (terms[1]?.is === 'stop' || terms[1]?.words === ',') &&
  !/^(?:moment|and)$/.test(terms.slice(1).find((t) => t.is !== 'stop' && t.is !== 'comma')?.is ?? '') &&
  terms.slice(2).some((t) => t.is !== 'word' && t.is !== 'stop' && t.is !== 'comma')

/** Of a part of a sentence that tells of a symptom only what is surely of the drops. */
function besideSymptoms(
  terms: readonly Term[],
  ill: readonly number[],
  asked: boolean,
  opens: boolean,
): Term[] {
  const out: Term[] = []
  for (let i = 0; i < terms.length; ) {
    let k = i
    while (k < terms.length && !breaks(terms[k] as Term)) k++
    const part = terms.slice(i, k + 1)
    const last = part.at(-1)
    const sick = ill.some((at) => at >= (part[0]?.from ?? 0) && at < (last?.to ?? 0))
    const ours =
      part.some((t) => t.is === 'drops' || t.is === 'today' || (t.is === 'status' && t.status === 'done')) ||
      (i === 0 && opens && asked)
    const idle = part.filter((t) => t.is === 'word').length > 1 && !part.some(tellsSomething)
    const keeps = sick
      ? (t: Term) => ours && isOfDrops(t, part, asked, t === terms[0])
      : idle
        ? breaks
        : (t: Term) => ours || isLikely(t, part, asked || i === 0)
    out.push(...part.filter(keeps))
    i = k + 1
  }
  return out
}

/** Beside a symptom only what is surely of the drops. */
const isOfDrops = (t: Term, part: readonly Term[], asked: boolean, opens: boolean) =>
  isSure(t) ||
  breaks(t) ||
  (asked && (t.is === 'nth' || (opens && t.is === 'count'))) ||
  (t.is === 'status' &&
    (t.status !== 'missed' ||
      part.some((x) => x.is === 'drops') ||
      (asked && /\b(?:put|done|had|used)\b.* any\b/.test(t.words)) ||
      // "Skipped them, got bad chest pains"
      (asked && opens && /\b(?:them|it|all|mine|drops)$/.test(t.words)))) ||
  (t.is === 'none' && (asked ? !/^nothing/.test(t.words) : /^too/.test(t.words)))

/** In another part of such a sentence all but bare numbers and what the patient was doing. */
const isLikely = (t: Term, part: readonly Term[], counts: boolean) =>
  t.is === 'count' ? counts && t.how !== 'bare' : !(t.is === 'moment' && t.loose) || part.some(tellsSomething)

const tellsSomething = (t: Term) =>
  t.is === 'count' ||
  t.is === 'nth' ||
  t.is === 'drops' ||
  t.is === 'none' ||
  (t.is === 'status' && t.status !== 'missed')

/** "Twice", "two lots", "1 of 3": of nothing but doses, when drops are spoken of. */
const isSure = (t: Term) => t.is === 'count' && t.how !== 'bare' && t.how !== 'sum' && t.value !== null

/** Of a reply that was not asked about doses: numbers that stand beside the drops or open the reply. */
function beside(terms: readonly Term[], words: number, alone: boolean): Term[] {
  const kept = new Set<number>()
  return terms.filter((t, i) => {
    if (t.is === 'nth' && t.after) return false
    if (t.is !== 'count' || (t.how !== 'bare' && t.words !== 'both')) return true
    const [before, next] = [terms[i - 1], terms[i + 1]]
    const tail = before?.is === 'comma' || before?.is === 'and' ? terms[i - 2] : before
    if (
      tail?.is === 'moment' ||
      kept.has(i - 2) ||
      (t.is === 'count' && (t.value ?? 0) > 4 && next?.is === 'and')
    ) {
      kept.add(i)
      return true
    }
    if (tail?.is === 'drops' || (tail?.is === 'status' && tail.status === 'done')) return true
    if (next?.is === 'today' || next?.is === 'so-far' || (next?.is === 'status' && next.status === 'done'))
      return true
    return i === 0 && words > 2 && alone
  })
}

/** Whether a reply that was not asked about doses tells of them. */
function tells(terms: readonly Term[], count: number, said: string): boolean {
  if (count === 0) return OF_NONE.test(said)
  if (terms.some((t) => t.is === 'count' || (t.is === 'nth' && / /.test(t.words)))) return true
  const moments = terms.filter((t) => t.is === 'moment' && !/ago|now/.test(t.words))
  const firm = moments.filter((t) => t.is === 'moment' && !t.loose).length
  const done = terms.some(
    (t, i) =>
      (t.is === 'moment' && /(?:dose|drops|lot)$/.test(t.words)) ||
      (t.is === 'status' && t.status === 'done') ||
      (t.is === 'drops' && besideMoment(terms, i)) ||
      (t.is === 'yes' && terms[i - 1]?.is === 'moment'),
  )
  return firm > 2 || ((firm > 0 || moments.length > 1) && done)
}

const besideMoment = (terms: readonly Term[], i: number) =>
  ![1, 2, 3].some((n) => /^(?:since|after|from|with)$/.test(terms[i - n]?.words ?? '')) &&
  [-3, -2, -1, 1, 2, 3].some(
    (n) => terms[i + n]?.is === 'moment' && (n < 2 || /^(?:in|today|:)$/.test(terms[i + 1]?.words ?? '')),
  )

/** No drops today, in so many words. */
const OF_NONE = new RegExp(
  [
    '\\bno (?:drops|oil|doses?)\\b',
    '(?<!days (?:i|we) do )\\bnot (?:yet )?(?:been )?(?:done|had|put|used|using|did|started|begun|touched|managed|bothered?|bothering|doing|do|opened)(?: in| with| yet)* (?:any|them|it|mine|(?:the |my )?(?:drops|oil))\\b',
    '\\bnot (?:a |even )*(?:1|single)(?: (?:today|time|lot|dose|yet|drop)\\b| [.,]|$)',
    '\\b(?:none|nothing|not) (?:yet )?(?:today|as yet)|\\b(?:none|nothing) so far\\b|\\bnone (?:went|in|done)\\b|\\bso none$|\\bnothing (?:has )?(?:went|gone) in\\b|\\bno go\\b|\\b0 (?:today|times)\\b|\\brefused (?:the|his|her|my) drops|\\b(?:missed|forgot|skipped) (?:every 1|all|both)\\b|\\btoday none\\b|\\bdrops (?:none|not (?:done|in|given|used|put|taken))\\b|\\b(?:missed|forgot|skipped) the lot\\b',
    '\\b(?:forgot|forgotten|missed|skipped)(?: (?:to|do|put|in|all|about|hers|his|mine|the|my))* (?:drops|oil|them|it|today)\\b',
    '\\bnot (?:been )?able to (?:do|put|use|have)(?: in)? (?:any|them|it|mine|(?:the |my )?(?:drops|oil))\\b',
    '\\btoo (?:painful|sore|tender|dizzy|poorly) to (?:put|do|use|get)',
    '\\bstart(?:ing)?(?: them| it)? tomorrow\\b',
  ].join('|'),
)

const DRAWN: Record<string, number> = {
  ii: 2,
  iii: 3,
  iv: 4,
  ones: 1,
  won: 1,
  twine: 2,
  too: 2,
  tow: 2,
  tree: 3,
  thee: 3,
  fore: 4,
}

/** Counts that are drawn: ticks, a victory hand, "III", "⅔", or one word that slipped: "twine". */
function drawnCount(tokens: readonly Token[], text: string): number | null {
  const words = tokens.filter((t) => t.kind !== 'mark')
  const only = words.length === 1 ? words[0] : undefined
  const bare = text
    .trim()
    .toLowerCase()
    .replace(/[.!]+$/, '')
  const slip = DRAWN[bare]
  if (slip !== undefined) return slip
  const ticks = [...text.matchAll(/[✔✅☑✓]/gu)].length
  if (only?.emoji && ticks >= 2) return ticks
  if (only?.emoji && text.includes('✌')) return 2
  // "⅓" and "⅔" are one and two of three.
  if (only?.kind === 'number' && Math.abs((only.value * 3) % 1) < 0.01 && only.value < 1 && only.value > 0)
    return Math.round(only.value * 3)
  return null
}
