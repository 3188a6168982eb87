/** Which numbers of a reply count doses, which are clock times or drops, and which moments are one told twice. */
import type { Term } from './dose-terms.ts'

type Moment = Extract<Term, { is: 'moment' }>

/** The terms with clock times made moments, numbers of drops left out and echoes joined. */
export const tidied = (terms: readonly Term[]): Term[] => withoutEchoes(clocksInLists(dropsEach(terms)))

const MOST_DOSES = 12
/** Nobody puts drops in more often than this, unless he says "times". */
const MOST_BARE = 6

/** What may follow a number that stands alone; before any other word it counts the thing. */
const AFTER_NUMBER = new Set(
  'so not love then thanks thank dear pet duck hen flower ta because cos went only mind x kiss still it i me lots no yes maybe again for by was though mate sir doctor or in before after to he she we at on this as my all tonight if you the that what is off already ringing cant can fell well early late like wrong end start half sorry afraid sadly'.split(
    ' ',
  ),
)
/** What may stand before "one": after any other word it means the thing, as in "the blue one". */
const BEFORE_ONE = new Set(
  'only just on for about i me her him it yes ok then least a so fine thanks maybe think my there been was is went says good oh well dear sorry ago said us we confess'.split(
    ' ',
  ),
)
const SHORT = 5

/** Whether a term is no number, or a number that may count doses. */
export function countable(t: Term, i: number, all: readonly Term[]): boolean {
  if (t.is !== 'count' || t.how !== 'bare') return true
  const value = t.value ?? 0
  if (value > MOST_DOSES) return false
  const before = all[i - 1]
  const lead = before?.words === 'the' ? all[i - 2] : before
  if (value === 1 && lead?.is === 'word' && !BEFORE_ONE.has(lead.words)) return false
  const next = all[i + 1]
  return next?.is !== 'word' || (all.length <= SHORT && value > 1) || AFTER_NUMBER.has(next.words)
}

/** "4 drops morning and 4 at night", "six drops, three in the morning": the bare numbers are drops too. */
function dropsEach(terms: readonly Term[]): readonly Term[] {
  const drops = new Set(terms.flatMap((t) => (t.is === 'amount' ? [Number.parseInt(t.words, 10)] : [])))
  if (drops.size === 0) return terms
  const ofDrops = (value: number) => value > 1 && (value > 4 || drops.has(value) || drops.has(2 * value))
  return terms.filter(
    (t, i) => !(isBare(t) && /^(?:moment|again)$/.test(terms[i + 1]?.is ?? '') && ofDrops(t.value ?? 0)),
  )
}

const isBare = (t: Term | undefined): t is Extract<Term, { is: 'count' }> =>
  t?.is === 'count' && t.how === 'bare'
const valueAt = (terms: readonly Term[], at: number) => {
  const t = terms[at]
  return t?.is === 'count' ? (t.value ?? 0) : 0
}
const isLoose = (t: Term | undefined) => t?.is === 'moment' && t.loose
const ofPart = (t: Term | undefined) =>
  t?.is === 'moment' && /^in the (?:morning|afternoon|evening)$/.test(t.words)
const goesOn = (t: Term | undefined) =>
  t?.is === 'comma' || t?.is === 'and' || t?.is === 'again' || t?.words === 'at'

/** "7 12 and 5", "at 8, 1 and 6": numbers in a list with a clock time or a number too high for doses are clock times. */
function clocksInLists(terms: readonly Term[]): Term[] {
  const out = [...terms]
  for (let i = 0; i < out.length; i++) {
    let run: number[] = []
    let clock = false
    let k = i
    for (; k < out.length; k++) {
      const t = out[k]
      if (
        isBare(t) &&
        valueAt(out, k) > 0 &&
        !(out[k + 1]?.words === 'now' && valueAt(out, k) < 5) &&
        (out[k + 1]?.is !== 'moment' ||
          valueAt(out, k) > 4 ||
          ((clock || run.some((at) => valueAt(out, at) > 4)) &&
            valueAt(out, k) > 1 &&
            (isLoose(out[k + 1]) || /^in the\b/.test(out[k + 1]?.words ?? ''))))
      )
        run.push(k)
      else if (t?.is === 'moment' && classOf(t) === 'clock') {
        // "Four, at 9, 1, 5 and 9": the first number is the count.
        if (!clock && !run.some((at) => valueAt(out, at) > 4)) run = []
        clock = true
      } else if (!goesOn(t) && !(clock && isLoose(t)) && !(run.at(-1) === k - 1 && ofPart(t))) break
    }
    const high = run.some((at) => valueAt(out, at) > 4)
    const beside = [out[k], out[i - 1], out[i - 2]].some((t) => t?.is === 'moment')
    const lone = run[0]
    if (lone !== undefined && run.length === 1 && valueAt(out, lone) > MOST_BARE && !beside && !clock)
      out.splice(lone, 1)
    else if (clock || (high && (run.length > 1 || beside)))
      for (const at of run) out[at] = clockOf(out[at] as Term)
    i = Math.max(i, k)
  }
  return out
}

const clockOf = (t: Term): Term => ({
  is: 'moment',
  key: t.words,
  loose: false,
  from: t.from,
  to: t.to,
  words: t.words,
})

/** A part of the day, a clock time, an occasion like a meal, or something that the patient did. */
function classOf(m: Moment): 'part' | 'clock' | 'occasion' | 'loose' {
  if (m.loose) return 'loose'
  if (/\d|half|quarter/.test(m.words) && !/ago/.test(m.words)) return 'clock'
  return /\b(?:mornings?|afternoons?|evenings?|tonights?|nights?|am|pm|eve)\b/.test(m.words)
    ? 'part'
    : 'occasion'
}

/** Neighbours that name one moment twice, "at 8 this morning"; "morning noon night" is a list. */
function echoes(a: Moment, b: Moment): boolean {
  if (/^just now$/.test(b.words)) return true
  const [x, y] = [classOf(a), classOf(b)]
  if (x === y) return false
  if (x === 'loose' || y === 'loose') return true
  if (x === 'part' || y === 'part')
    return y === 'clock' || x === 'clock' || /^(?:after|before|with|at|in|this)\b|^tonight$/.test(b.words)
  return (
    /^(?:after|before|with|at|first thing|last thing)\b/.test(b.words) ||
    (x === 'clock' && /^at|oclock|[ap]m/.test(a.words))
  )
}

function withoutEchoes(terms: readonly Term[]): Term[] {
  const out: Term[] = []
  for (const [i, t] of terms.entries()) {
    const before = out.at(-1)
    // "Before work (9 at night)"
    const bracket = before?.words === '(' && out.at(-2)?.is === 'moment' && t.is === 'moment'
    // "Morning dose administered at 08:15"
    const past = before?.is === 'status' && before.status === 'done' ? out.at(-2) : before
    const lead = bracket ? out.at(-2) : past
    if (t.is !== 'moment' || lead?.is !== 'moment') out.push(t.is === 'moment' ? { ...t } : t)
    else if (bracket || ((lead === before || classOf(lead) === 'part') && echoes(lead, t))) {
      lead.to = t.to
      lead.words = `${lead.words} ${t.words}`
      lead.loose &&= t.loose
      lead.coming ||= t.coming ?? false
      if (bracket) out.pop()
      if (bracket && terms[i + 1]?.words === ')') continue
    } else out.push({ ...t })
  }
  return out
}
