/** What was done, missed, meant or is still to come: the status of each item that a reply counts. */
import type { Status, Term } from './dose-terms.ts'

export type Item = Extract<Term, { is: 'moment' | 'count' | 'nth' | 'others' | 'again' }>
/** `teller`: whether the patient or somebody else is said to have put the drops in. */
export type Event = {
  item: Item
  status: Status
  sentence: number
  except: boolean
  teller: 'self' | 'other' | null
  /** Told in a part that begins with "then" or "and". */
  goesOn: boolean
}

export const isItem = (t: Term | undefined): t is Item =>
  t?.is === 'moment' || t?.is === 'count' || t?.is === 'nth' || t?.is === 'others' || t?.is === 'again'

/** `lead` is the mark or word that stands before it. */
type Chunk = { lead: Term[]; terms: Term[]; fresh: boolean; sentence: number }

/** The items of a reply in order, and the terms of the parts that speak of doses. */
export function eventsIn(terms: readonly Term[]): { events: Event[]; terms: Term[] } {
  const events: Event[] = []
  let carried: Status = 'done'
  const chunks = chunksOf(terms)
  for (const c of chunks) {
    const starts = c.terms.find((t) => t.is !== 'word' && t.is !== 'drops')
    const anew = c.fresh || carried === 'meant' || /^(?:then$|only$|just\b)/.test(c.terms[0]?.words ?? '')
    const inherits = !anew && (starts === undefined || isItem(starts) || starts.is === 'and')
    // "Nothing this morning, one tonight"
    const turns = carried === 'missed' && starts?.is === 'count'
    const found = eventsOf(c, inherits && !turns ? carried : 'done')
    if (found.events.length > 0) carried = found.last
    events.push(...found.events)
  }
  return { events, terms: chunks.flatMap((c) => [...c.lead, ...c.terms]) }
}

/** Terms between stops, commas and "but"; an "and" before a verb also begins anew. */
function chunksOf(terms: readonly Term[]): Chunk[] {
  const out: Chunk[] = []
  let now: Term[] = []
  let fresh = true
  let sentence = 0
  let closed = false
  let lead: Term[] = []
  const close = (next: boolean, by?: Term) => {
    if (now.length > 0 && !closed) out.push({ lead, terms: now, fresh, sentence })
    now = []
    fresh = next
    lead = by ? [by] : []
  }
  for (const [i, t] of terms.entries()) {
    if (t.is === 'comma' && judges(terms, i)) continue
    if (t.is === 'stop') {
      // "Before bed, that's all. Bed for me is at 8."
      const ended = now.some((x) => x.is === 'ends')
      close(true, t)
      closed ||= ended
      sentence++
    } else if (t.is === 'comma' || t.is === 'but') close(t.is === 'but', t)
    else {
      // "Last thing will be in an hour, so one really"
      if (t.is === 'count' && t.how === 'sum') close(true)
      if (t.is === 'and' && startsClause(terms, i)) close(false)
      now.push(t)
    }
  }
  close(true)
  return out.filter((c) => !astray(c.terms, CAUSES.has(c.lead[0]?.words ?? '')))
}

/** "Morning: done", "before bed, not yet": the mark stands between an item and what judges it. */
function judges(terms: readonly Term[], i: number): boolean {
  // "Evening: completely forgotten"
  const step = /^(?:completely|totally|clean|just|all)$/.test(terms[i + 1]?.words ?? '') ? 2 : 1
  const [before, next, after] = [terms[i - 1], terms[i + step], terms[i + step + 1]]
  if (before?.is !== 'moment' || next === undefined) return false
  const verdict =
    next.is === 'yes' ||
    next.is === 'no' ||
    (next.is === 'status' && (next.late || next.status === 'planned'))
  return verdict && (after === undefined || after.is === 'stop' || after.is === 'comma')
}

const FILLS = new Set('i we he she it just then have has the is am'.split(' '))
const SUBJECTS = new Set('my the he she his her our their they it'.split(' '))
/** A verb, or somebody who does something: "three times and my mother in law says ...". */
const startsClause = (terms: readonly Term[], i: number) =>
  (SUBJECTS.has(terms[i + 1]?.words ?? '') && terms[i + 1]?.is === 'word' && terms[i + 2]?.is === 'word') ||
  terms.slice(i + 1, i + 4).find((t) => !(t.is === 'word' && FILLS.has(t.words)))?.is === 'status'

const TELLING: ReadonlySet<Term['is']> = new Set([
  'status',
  'count',
  'nth',
  'others',
  'drops',
  'none',
  'unsure',
  'ends',
])

const CAUSES = new Set('because cos since as'.split(' '))

/** Talk of something else: a moment or "again" among words, and nothing of the drops. */
function astray(chunk: readonly Term[], cause: boolean): boolean {
  const words = chunk.filter((t) => t.is === 'word').length
  const rest = chunk.filter((t) => t.is !== 'word' && t.is !== 'drops' && t.is !== 'today')
  if (words > 0 && rest.length === 1 && rest[0]?.is === 'again') return true
  const moments = chunk.filter((t) => t.is === 'moment').length
  if (chunk.slice(0, 2).some((t) => t.is === 'moment' && /^just/.test(t.words))) return false
  return words > (cause ? 1 : 3) && moments < 2 && !chunk.some((t) => TELLING.has(t.is))
}

/** What each item of a chunk is: done unless a word beside it says otherwise. `carried` is what the list before it was. */
function eventsOf(chunk: Chunk, carried: Status): { events: Event[]; last: Status } {
  const words = judged(chunk.terms)
  const telling = words.filter((t) => isItem(t) || t.is === 'status' || t.is === 'today')
  const final = telling.findLast((t) => t.is !== 'today' || telling.length === 1)
  // "Morning done, lunch missed", "night dose I will try": the word stands behind what it tells of.
  const behind =
    isItem(telling[0]) &&
    final?.is === 'status' &&
    (final.late || final.status === 'planned' || (final.status === 'missed' && words.at(-1) === final))
  const events: Event[] = []
  let status: Status = carried
  let except = false
  // Whether something stands between the last status and here, so that "did" begins anew.
  let spent = true
  for (const [i, t] of words.entries()) {
    if (t.is === 'status') {
      if (t.status === 'done' && !spent) continue
      if (t.status === 'meant' && !behind && isItem(itemBefore(words, i)) && !words.slice(i).some(isItem))
        setBefore(events, words, i, 'meant')
      else if (t.status === 'other-day' && !behind && !leadsDay(words, i))
        setBefore(events, words, i, 'other-day')
      else if (
        t.status === 'planned' &&
        !behind &&
        isItem(itemBefore(words, i)) &&
        // "Going to do again before bed"
        words[i + 1]?.is !== 'again' &&
        (t.late ||
          (!toldBefore(words, i) && (itemBefore(words, i)?.is === 'moment' || !words.slice(i).some(isItem))))
      )
        setBefore(events, words, i, 'planned')
      status = t.status
      spent = false
    } else if (t.is === 'today') {
      if (status !== 'other-day' && status !== 'meant') continue
      status = 'done'
      if (!leadsDay(words, i)) setBefore(events, words, i, 'done')
    } else if (t.is === 'so-far') {
      if (events.length > 0 && status === 'done') status = 'planned'
    } else if (t.is === 'and') {
      if (spent && status === 'meant') status = 'done'
      spent = true
    } else if (t.is === 'except') except = true
    else if (t.is === 'word' && status === 'meant' && /^(?:i|we|he|she)$/.test(t.words)) spent = true
    else if (isItem(t)) {
      spent = true
      if (t.is === 'moment' && /^(?:this|tonight)/.test(t.words) && status === 'other-day') status = 'done'
      const own = (behind ? nextStatus(words, i) : null) ?? status
      events.push({
        item: t,
        status: own,
        sentence: chunk.sentence,
        except,
        teller: tellerOf(words, i),
        goesOn: chunk.terms[0]?.is === 'and',
      })
    }
  }
  return { events, last: status }
}

/** "Morning yes, dinner no": yes and no behind an item judge it. */
function judged(chunk: readonly Term[]): Term[] {
  return chunk.map((t, i) => {
    if ((t.is !== 'yes' && t.is !== 'no') || !isItem(chunk[i - 1])) return t
    return { ...t, is: 'status', status: t.is === 'yes' ? 'done' : 'missed', late: true } as Term
  })
}

const itemBefore = (words: readonly Term[], at: number) =>
  /^(?:i|we|he|she)$/.test(words[at - 1]?.words ?? '') ? words[at - 2] : words[at - 1]
const toldBefore = (words: readonly Term[], at: number) => words.slice(0, at).some((t) => t.is === 'status')

/** "Today 2 yesterday 1": each day stands before what it tells of. */
function leadsDay(words: readonly Term[], at: number): boolean {
  const isDay = (t: Term) => t.is === 'today' || (t.is === 'status' && t.status === 'other-day')
  const next = words.slice(at + 1).find((t) => t.is !== 'word')
  const opening = words.find((t) => t.is !== 'word' && t.is !== 'drops')
  return isItem(next) && opening !== undefined && isDay(opening)
}

/** "Twice yesterday", "the evening one due": the word stands behind what it tells of. */
function setBefore(events: Event[], words: readonly Term[], at: number, status: Status) {
  let i = at - 1
  while (words[i]?.is === 'word' || words[i]?.is === 'today' || words[i]?.is === 'so-far') i--
  for (const e of events.toReversed()) {
    if (words[i] !== e.item) return
    e.status = status
    if (isItem(words[i - 1])) i--
    else if (words[i - 1]?.is !== 'and' || status === 'planned') return
    else i -= 2
  }
}

/** The status behind an item; of two counts in a row only the nearer is still to come: "two down one to go". */
function nextStatus(words: readonly Term[], i: number): Status | null {
  const own = words[i]
  for (const t of words.slice(i + 1)) {
    if (t.is === 'today') return 'done'
    // "2/3, will do the last when I go up"
    if (
      own?.is === 'count' &&
      t.is === 'status' &&
      t.status === 'planned' &&
      !t.late &&
      words.slice(words.indexOf(t)).some(isItem)
    )
      return null
    // "Teatime and bed is still to do": the last of them.
    const at = words.indexOf(t)
    if (
      t.is === 'status' &&
      t.status === 'planned' &&
      words[at - 1]?.words === 'is' &&
      words.slice(i + 1, at).some(isItem)
    )
      return null
    if (t.is === 'status') return t.status
    if (own?.is === 'count' && isItem(t) && (t.is === 'count' || t.is === 'again' || own.how === 'part'))
      return null
  }
  return null
}

const SELF = new Set('i me myself mine own'.split(' '))
const OTHERS = new Set(
  'he she hubby missus husband wife carer nurse daughter son niece nephew granddaughter grandson neighbour mum dad sister brother friend lad lass girl'.split(
    ' ',
  ),
)
/** Who put the drops in, by the words before an item or else behind it: "my Ken did them twice and once by me". */
function tellerOf(chunk: readonly Term[], at: number): Event['teller'] {
  const before = chunk.slice(chunk.slice(0, at).findLastIndex(isItem) + 1, at)
  const rest = chunk.slice(at + 1)
  const end = rest.findIndex((t) => isItem(t) || (t.is === 'and' && t.words !== 'with'))
  const behind = end === -1 ? rest : rest.slice(0, end)
  return toldBy(before.some((t) => t.is === 'status') ? before : []) ?? toldBy(behind)
}

function toldBy(part: readonly Term[]): Event['teller'] {
  const words = part.flatMap((t) => (t.is === 'word' || t.is === 'status' ? t.words.split(' ') : []))
  if (words.some((w) => OTHERS.has(w)) || /^(?:and |then )?my (?!drops|ear|oil)[a-z]+/.test(words.join(' ')))
    return 'other'
  return words.some((w) => SELF.has(w)) ? 'self' : null
}
