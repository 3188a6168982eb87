/** Where a reply about doses refuses, corrects itself, wavers or says that this was all. */
import { type Event, isItem } from './dose-status.ts'
import type { Term } from './dose-terms.ts'

/** "Only in the morning. Afternoon I sleep.": the first sentence is the whole of it. */
export function onlyThese(told: readonly Term[]): number | null {
  const first = told.slice(
    0,
    told.findIndex((t) => t.is === 'stop'),
  )
  // "Once only, at breakfast. We had the choir over ..."
  if (first[0]?.is === 'count' && first[0].how === 'times' && first[1]?.words === 'only')
    return first[0].value
  // "AM only, coaching tonight"
  if (first[0]?.is === 'moment' && first[1]?.words === 'only') return 1
  if (!/^(?:only|just)$/.test(first[0]?.words ?? '')) return null
  // "Only put them in when I woke up, slept right through"
  const at = first.findIndex((t) => t.is === 'comma')
  const own = at > 0 && first[at + 1]?.is === 'word' ? first.slice(0, at) : first
  const rest = own.slice(1).filter((t) => !(t.is === 'status' && t.status === 'done'))
  const moments = rest.filter((t) => t.is === 'moment')
  return moments.length > 0 && rest.every((t) => t.is === 'moment' || t.is === 'and' || t.is === 'comma')
    ? moments.length
    : null
}

/** "Before I left, when I got in and after my tea. Three": a number that is the whole last sentence is the total. */
export function totalSaid(told: readonly Term[]): number | null {
  const words = told.at(-1)?.is === 'stop' ? told.slice(0, -1) : told
  const at = words.findLastIndex((t) => t.is === 'stop')
  const rest = words.slice(at + 1)
  const last = rest[0]
  const counts = words.slice(0, Math.max(0, at)).some((t) => t.is === 'moment')
  const whole = rest.slice(1).every((t) => AT_THE_END.has(t.words))
  if (at > 0 && whole && counts && last?.is === 'count' && /^(?:bare|times)$/.test(last.how))
    return last.value
  // "... so none." "... so only this morning's went in."
  const so = told.findIndex((t, i) => t.words === 'so' && /^(?:only|just)$/.test(told[i + 1]?.words ?? ''))
  const opens = so === 0 || told[so - 1]?.is === 'stop'
  const own = so === -1 || !opens ? [] : told.slice(so + 2)
  const moments = own.filter((t) => t.is === 'moment')
  const only = own.every(
    (t) =>
      t.is === 'moment' || t.is === 'and' || t.is === 'stop' || (t.is === 'status' && t.status === 'done'),
  )
  if (moments.length > 0 && only) return moments.length
  return told.some((t, i) => t.is === 'none' && told[i - 1]?.words === 'so' && ends(told[i + 1])) ? 0 : null
}
const AT_THE_END = new Set(['anyway', 'today', 'though', 'then', 'so far', 'really'])
const ends = (t: Term | undefined) => t === undefined || t.is === 'stop'

/** After "no, make that" only what follows counts. */
export function lastSaid(terms: Term[]): Term[] {
  const at = terms.findLastIndex((t) => t.is === 'corrects')
  if (at > 0 && terms.slice(at).some(isItem)) return terms.slice(at + 1)
  // "Once I think. Yes once, the morning"
  const yes = terms.findLastIndex((t, i) => t.is === 'yes' && terms[i + 1]?.is === 'count')
  if (yes > 0 && terms.slice(0, yes).some((t) => t.is === 'count')) return terms.slice(yes + 1)
  // "When I had my tablets, so morning and night"
  const so = terms.findIndex((t) => t.words === 'so')
  const before = terms.slice(0, so)
  const again = terms.slice(so + 1).filter((t) => t.is !== 'word' && t.is !== 'today')
  const restated =
    before.some((t) => t.is === 'moment' && t.loose) &&
    before.every((t) => t.is !== 'count') &&
    again[0]?.is === 'moment' &&
    again.every((t) => t.is === 'moment' || t.is === 'and' || t.is === 'comma' || t.is === 'stop')
  return restated ? again : terms
}

/** "Two or three", "2-3". */
export const isRange = (terms: readonly Term[]) =>
  terms.some((t, i) => {
    const next = terms[i + 2]
    if (t.is !== 'count' || t.how === 'all' || next?.is !== 'count') return false
    const link = terms[i + 1]?.words
    return link === 'or' || (link === '-' && next.value === (t.value ?? 0) + 1)
  })

/** "None at all, 3 done" */
export const isDoneAfter = (terms: readonly Term[], e: Event) => {
  const next = terms[terms.indexOf(e.item) + 1]
  return next?.is === 'status' && next.status === 'done'
}

/** Where a reply opens by saying that there were none: "none, will do two tomorrow", "not yet, my day begins at noon". */
export function refusedAt(terms: readonly Term[]): number | null {
  const at = terms.findIndex(
    (t) => isItem(t) || t.is === 'none' || (t.is === 'status' && t.status !== 'done'),
  )
  const opening = terms[at]
  if (opening === undefined || !refuses(opening, terms[at + 1])) return null
  // "Did them. No I didn't"
  const did = terms.slice(0, at).some((t) => t.is === 'status' && t.status === 'done')
  if (did && opening.is === 'status') return null
  const rest = terms.slice(at + 1)
  const next = rest.find((t) => t.is !== 'word' && t.is !== 'today')
  // "None yesterday, two today", "none this morning, one tonight", "none left but did both".
  const turns =
    (next?.is === 'status' && next.status === 'other-day') ||
    (rest[0]?.is === 'moment' && opening.is === 'none') ||
    rest.some((t, i) => /^(?:but|then)$/.test(t.words) && rest.slice(i).some(isItem))
  return turns ? null : at
}

const refuses = (t: Term, next: Term | undefined) =>
  t.is === 'none' ||
  (t.is === 'status' &&
    (/^(?:not|no) yet/.test(t.words) ||
      (/^(?:could|can|did|have) not$/.test(t.words) && next?.is === 'stop') ||
      (/^(?:forgot|skipped|missed)(?: (?:it|them|all|about))*$/.test(t.words) && next?.is === 'stop') ||
      (/^(?:have|has|had|did|could|can) not\b.*\b(?:it|them|any|the|started|yet|today)$/.test(t.words) &&
        next?.words !== 'more' &&
        (next?.is === 'drops' ||
          next?.is === 'today' ||
          /(?:it|them|any|started|yet|today)$/.test(t.words)))))

/** "Drops none today", "none today", "no drops". */
export const noneAtAll = (terms: readonly Term[], did: boolean) =>
  terms.some(
    (t, i) =>
      (t.is === 'none' || (t.is === 'no' && terms[i - 1]?.is === 'today')) &&
      (/^(?:no (?:drops|doses?|oil)|before |none (?:of them )?(?:have|has|had|went|got|been|given)|not .*(?:chance|time))/.test(
        t.words,
      ) ||
        (!did && (terms[i - 1]?.is === 'drops' || terms[i + 1]?.is === 'today'))),
  )

export const bothWays = (terms: readonly Term[]) =>
  terms.some((t) => t.words === 'did') &&
  terms.some((t) => /^did not/.test(t.words)) &&
  !terms.some((t) => t.is === 'none')
