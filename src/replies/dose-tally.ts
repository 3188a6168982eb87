/** Adds up what a reply tells of doses: how many went in on the day asked about. */
import { tidied } from './dose-numbers.ts'
import { type Event, eventsIn, isItem } from './dose-status.ts'
import type { Status, Term } from './dose-terms.ts'
import {
  bothWays,
  isDoneAfter,
  isRange,
  lastSaid,
  noneAtAll,
  onlyThese,
  refusedAt,
  totalSaid,
} from './dose-turns.ts'

/**
 * `count` null: not told, or told so that it cannot be counted. `unsure`: the patient does not know.
 * `contradicts`: done and not done are both told. `spoke`: doses were spoken of at all.
 */
export type Tally = { count: number | null; unsure: boolean; contradicts: boolean; spoke: boolean }

/** The number of doses that the terms of a reply tell of. */
export function tally(told: readonly Term[]): Tally {
  const { events, terms } = eventsIn(lastSaid(tidied(told)))
  const has = (status: Status) => terms.some((t) => t.is === 'status' && t.status === status)
  const did = has('done')
  settle(events, terms)
  const only = onlyThese(told) ?? totalSaid(told)
  if (only !== null) return { count: only, unsure: false, contradicts: false, spoke: true }
  const done = events.filter((e) => e.status === 'done' && !e.except)
  const left = events.filter((e) => e.status === 'missed' || e.except)
  const spoke =
    events.length > 0 || did || has('missed') || terms.some((t) => t.is === 'none' || t.is === 'amount')
  const answer = (count: number | null): Tally => ({ count, unsure: false, contradicts: false, spoke })

  const values = new Set(events.flatMap((e) => (e.item.is === 'count' ? [e.item.value] : [])))
  const unsure = terms.some((t) => t.is === 'unsure')
  if (isRange(terms) || (unsure && values.size > 1)) return { ...answer(null), unsure: true }
  // "No idea sorry, I just got in from work"
  if (
    terms.slice(0, 2).some((t) => t.is === 'unsure') &&
    values.size === 0 &&
    done.every((e) => e.item.is === 'moment' && e.item.loose)
  )
    return { ...answer(null), unsure: true }
  const refusal = refusedAt(terms)
  const summed = done.some((e) => e.item.is === 'count' && e.item.how === 'sum')
  if (refusal !== null && !summed) {
    const counted = done.some(
      (e) => e.item.is === 'count' && (e.item.how !== 'bare' || isDoneAfter(terms, e)),
    )
    const opening = terms[refusal]
    if (counted && (opening?.is === 'status' || terms[refusal + 1]?.is === 'today'))
      return { ...answer(null), contradicts: true }
    if (!counted) return answer(0)
  }
  // "On nights all week. Drops none today."
  const listed = done.length > 0 && done.every((e) => e.item.is === 'moment')
  if ((listed || done.length === 0) && noneAtAll(terms, did)) return answer(0)
  if (takesBack(terms, done)) return { ...answer(null), contradicts: true }
  const count = added(done, left, events, did, wholeOf(terms))
  if (count !== null) return answer(count)
  if (unsure && done.length === 0) return { ...answer(null), unsure: true }
  if (did && has('missed') && events.length === 0 && bothWays(terms))
    return { ...answer(null), contradicts: true }
  return answer(done.length === 0 && isZero(terms, left, events, did) ? 0 : null)
}

const LATER = /\b(?:tonight|bedtime|bed)\b/

/** Items whose status only the whole reply shows. */
function settle(events: readonly Event[], terms: readonly Term[]) {
  const past = terms.some(
    (t) => t.is === 'status' && t.status === 'done' && !/^(?:do|use|put|take|doing)\b/.test(t.words),
  )
  const habits = events.filter((e) => /(?<!\bin the )\bday$/.test(e.item.words))
  for (const [i, e] of events.entries()) {
    const next = events[i + 1]
    // "2, one more at ten tonight"
    const later = next?.item.is === 'moment' && (next.item.coming || LATER.test(next.item.words))
    if (e.item.is === 'again' && /more/.test(e.item.words) && later)
      for (const x of [e, next]) if (x) x.status = 'planned'
    // "Once, second at ten tonight"
    const before = events[i - 1]?.item
    const after = before?.is === 'count' && e.item.is === 'nth' && e.item.value === (before.value ?? 0) + 1
    const tonight = events.slice(i + 1, i + 3).some((x) => x.item.is === 'moment' && LATER.test(x.item.words))
    if (after && tonight && !past) for (const x of events.slice(i, i + 3)) x.status = 'planned'
    // "Tea when I get in" is still to come where others were done.
    if (e.item.is === 'moment' && e.item.coming && past) e.status = 'planned'
    // "I only get the chance once a day, so it's the once": the first is a habit.
    if (habits.includes(e) && habits.length < events.length) e.status = 'meant'
  }
}

/** "Did it twice today. Didn't do any today": a number, and none of it. */
function takesBack(terms: readonly Term[], done: readonly Event[]): boolean {
  const counted = done.find((e) => e.item.is === 'count' && e.item.how === 'times')
  if (!counted) return false
  const rest = terms.slice(terms.indexOf(counted.item))
  const at = rest.findIndex((t) => t.is === 'status' && /^(?:did|have|had|has) not\b.* any\b/.test(t.words))
  const next = rest[at + 1]
  return at > 0 && (next === undefined || next.is === 'today' || next.is === 'stop')
}

/** Nothing was done, and that is told. */
function isZero(
  terms: readonly Term[],
  left: readonly Event[],
  events: readonly Event[],
  did: boolean,
): boolean {
  const has = (status: Status) => terms.some((t) => t.is === 'status' && t.status === status)
  if (terms.some((t) => t.is === 'none')) return true
  const starts =
    terms.some((t) => t.is === 'status' && /^start/.test(t.words)) &&
    !events.some((e) => e.item.is === 'count')
  const tomorrow = terms.some((t) => /^(?:tomorrow|the morn)/.test(t.words))
  // "One more to go": of how many?
  if (
    events.length > 0 &&
    events.every((e) => e.item.is === 'again' && /more|another/.test(e.item.words) && e.status === 'planned')
  )
    return false
  if (terms.some((t, i) => plansDrops(t, terms[i + 1])) && (starts || (!did && !tomorrow))) return true
  // "Missed the lunchtime one" says nothing of the others.
  const oneOnly =
    left.length > 0 && left.every((e) => e.item.is === 'moment' && !/\b(?:this|today)\b/.test(e.item.words))
  // "Missed one" of how many?
  const someOnly = left.length > 0 && left.every((e) => e.item.is === 'count' && e.item.how === 'bare')
  if (someOnly && terms.some((t) => t.is === 'status' && /^(?:missed|forgot|skipped)$/.test(t.words)))
    return false
  return has('missed') && (!oneOnly || has('planned')) && left.every((e) => e.item.is !== 'others')
}

/** "Will do them tonight", but not "going to my son's". */
const plansDrops = (t: Term, next: Term | undefined): boolean =>
  t.is === 'status' &&
  t.status === 'planned' &&
  (t.late ||
    isItem(next) ||
    next?.is === 'drops' ||
    /\b(?:do|put|have|use|try|it|them|get|start)/.test(t.words))

const wholeOf = (terms: readonly Term[]): number | null => {
  const t = terms.find((x) => x.is === 'whole')
  return t?.is === 'whole' ? t.value : null
}

/** A clock time told twice is two times, a part of the day told twice is one. */
const momentKey = (e: Event) =>
  e.item.is !== 'moment' ? '' : /\d/.test(e.item.key) ? `${e.sentence} ${e.item.from}` : e.item.key
const momentsOf = (events: readonly Event[]) =>
  new Set(events.filter((e) => e.item.is === 'moment').map(momentKey)).size
const sumOf = (list: readonly number[]) => list.reduce((sum, v) => sum + v, 0)

function added(
  done: Event[],
  left: Event[],
  all: Event[],
  did: boolean,
  whole: number | null,
): number | null {
  const counts = done.filter((e) => e.item.is === 'count')
  const ofKind = (list: readonly Event[], how: string) =>
    list.findLast((e) => e.item.is === 'count' && e.item.how === how)?.item
  const part = ofKind(counts, 'part')
  // "I've four to do and I've done half of them"
  if (part?.is === 'count' && part.value === 0.5) return halfOf(all, done)
  if (part?.is === 'count' && part.value !== null) return part.value
  const missed = ofKind(left, 'part')
  if (missed?.is === 'count' && missed.of !== null) return missed.of - (missed.value ?? 0)
  const total = ofKind(
    all.filter((e) => e.status !== 'planned' && e.status !== 'other-day'),
    'sum',
  )
  if (total?.is === 'count' && total.value !== null) return total.value
  const every = ofKind(counts, 'all')
  if (every?.is === 'count' && every.value !== null) return Math.max(0, every.value - leftOut(left))
  const numbers = counts.flatMap((e) =>
    e.item.is === 'count' && e.item.value !== null ? [e.item.value] : [],
  )
  if (every && left.some((e) => e.except)) {
    const planned = all.find((e) => e.status === 'meant' && e.item.is === 'count')?.item
    return planned?.is === 'count' && planned.value !== null ? planned.value - leftOut(left) : null
  }
  if (every && numbers.length === 0 && momentsOf(done) === 0) return null
  if (done.length === 0 && left.length > 0 && whole !== null) return whole - leftOut(left)
  return numbers.length > 0 ? counted(done, counts, numbers) : listed(done, left, all, did)
}

function halfOf(all: readonly Event[], done: readonly Event[]): number | null {
  const told = done.find((e) => e.item.is === 'count' && (e.item.value ?? 0) >= 1)?.item
  if (told?.is === 'count' && all.some((e) => e.item.is === 'count' && e.status === 'meant'))
    return told.value
  const whole = all.find((e) => e.item.is === 'count' && (e.item.value ?? 0) > 1)?.item
  return whole?.is === 'count' && whole.value !== null && whole.value % 2 === 0 ? whole.value / 2 : null
}

const leftOut = (left: readonly Event[]): number =>
  sumOf(
    left
      // "All four but the one at lunch"
      .filter((e, i) => !(e.item.is === 'count' && e.item.value === 1 && left[i + 1]?.item.is === 'moment'))
      .map((e) => (e.item.is === 'count' || e.item.is === 'others' ? (e.item.value ?? 1) : 1)),
  )

const othersIn = (done: readonly Event[]) =>
  done.flatMap((e) => (e.item.is === 'others' ? [e.item.value ?? 1] : []))
const repeats = (done: readonly Event[]) => done.flatMap((e) => (e.item.is === 'again' ? [e.item] : []))

/** Where numbers of doses are told. */
function counted(done: readonly Event[], counts: readonly Event[], numbers: readonly number[]): number {
  const first = numbers[0] ?? 0
  const more = sumOf(repeats(done).flatMap((t) => (/more/.test(t.words) ? [t.value] : [])))
  if (numbers.length > 1) {
    // "Twice, once in the morning and once at night"
    if (numbers.length > 2 && sumOf(numbers) === 2 * first) return first
    // "1 2 and 3, all ticked off"
    if (numbers.every((v, i) => v === i + 1)) return numbers.length
    if (numbers.every((v) => v === 1))
      return (
        numbers.length + sumOf(repeats(done).flatMap((t) => (/more|another/.test(t.words) ? [t.value] : [])))
      )
    const tellers = new Set(counts.map((e) => e.teller))
    if (tellers.has('self') && tellers.has('other')) return sumOf(numbers)
    return eachWithMoment(done) ? sumOf(numbers) : first
  }
  if (first !== 1) return first + more
  const own = counts[0]
  const again = sumOf(repeats(done).map((t) => t.value))
  const nth = Math.max(0, ...nthsIn(done.filter((e) => e.sentence === own?.sentence)))
  const moments = momentsOf(done.filter((e) => e.sentence === own?.sentence || e.goesOn))
  return Math.max(1 + again + sumOf(othersIn(done)), moments, nth)
}

/** "Once this morning and twice tonight": each count has its moment. */
function eachWithMoment(done: readonly Event[]): boolean {
  const items = done.map((e) => e.item).filter((x) => x.is === 'count' || x.is === 'moment')
  const moments = items.filter((x) => x.is === 'moment').length
  if (moments < items.length - moments) return false
  const turns = items.every((x, i) => i === 0 || x.is !== items[i - 1]?.is || x.is === 'moment')
  return turns && (items[0]?.is === 'count' ? items.at(-1)?.is === 'moment' : items.at(-1)?.is === 'count')
}

const nthsIn = (events: readonly Event[]) =>
  events.flatMap((e) => (e.item.is === 'nth' && !e.item.coming ? [e.item.value] : []))

/** Where only moments of the day and ordinals are told. */
function listed(
  done: readonly Event[],
  left: readonly Event[],
  all: readonly Event[],
  did: boolean,
): number | null {
  const nths = nthsIn(done)
  const others = othersIn(done)
  if (nths.length + others.length >= 2) return new Set(nths).size + sumOf(others)
  const coming = all.flatMap((e) =>
    e.item.is === 'nth' && (e.status === 'planned' || e.item.coming) ? [e.item.value] : [],
  )
  if (nths.length === 0 && coming.length > 0 && Math.min(...coming) > 1) return Math.min(...coming) - 1
  const top = Math.max(0, ...nths)
  const firsts = left.flatMap((e) => (e.item.is === 'count' ? [e.item.value ?? 0] : []))
  if (nths.length > 0) return Math.max(0, top - nthsIn(left).filter((v) => v < top).length - sumOf(firsts))
  const rest = done.findLast((e) => e.item.is === 'others')?.item
  if (rest?.is === 'others' && (rest.value ?? 0) >= 2 && left.length === 0) return rest.value
  const again = sumOf(repeats(done).map((t) => t.value))
  const moments = momentsOf(done)
  if (moments === 0 && again > 0 && did) return 1 + again
  if (moments > 0) return moments + (moments === 1 && again > 0 ? unplaced(done) : 0)
  if (rest?.is === 'others') return rest.value
  const lowest = Math.min(...nthsIn(left))
  return Number.isFinite(lowest) && lowest > 1 ? lowest - 1 : null
}

/** "This morning and again", "did it, and again at tea": one of the two has no moment of its own. */
function unplaced(done: readonly Event[]): number {
  const at = done.findLastIndex((e) => e.item.is === 'again')
  const isMoment = (e: Event) => e.item.is === 'moment'
  return done.slice(0, at).some(isMoment) && done.slice(at + 1).some(isMoment) ? 0 : 1
}
