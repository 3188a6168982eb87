/**
 * The optimiser's model of a document: visits, the places they could take, and the lines of time
 * (practitioner, room, patient) on which no two may overlap. Times are epoch milliseconds; costs are
 * whole millionths of the clinic's unit, so that sums are exact.
 */
import { spanOf } from './checks.ts'
import type { MovesDocument, VisitInput } from './input.ts'
import type { Window } from './times.ts'
import { dayOf, daysBetween, HOUR, insideOne, MINUTE, millis, windowsOf } from './times.ts'

export const MICRO = 1_000_000

export interface Visit {
  index: number
  input: VisitInput
  id: string
  start: number
  length: number
  place: Place
  windows: Window[] | null
  /** P(soft enough) by index of the day; null where the document says nothing. */
  ready: (number | null)[]
  neverLater: boolean
  /** Why it cannot move at all, in words; null when it can. */
  stuck: string | null
  started: boolean
  accepts: boolean[]
  roomOk: boolean[]
  /** Only for a patient with several visits: the line they share, and the tally of their moves. */
  patient: { line: number; moves: number } | null
}

/** A start that somebody could have: a visit's own, an open slot's, or a step inside one. */
export interface Place {
  index: number
  start: number
  day: number
  practitioner: number
  room: number | null
  /** The visit whose own time this is. */
  visit: number | null
  slot: string | null
  /** End of the practitioner's listed time that runs on from here without a gap. */
  stretchEnd: number
}

/** A line of time on which at most `limit` may be under way at once. */
export interface Line {
  limit: number
}

/** A tally that at most `limit` options may add to: visits a day, moves a patient. */
export interface Tally {
  limit: number
}

export interface Limits {
  lines: Line[]
  tallies: Tally[]
  /** The line of a place's room, or of all rooms together when none is named; null without a limit. */
  roomLine: (place: Place) => number | null
  dayTally: (place: Place) => number | null
  patients: Map<string, { line: number; moves: number }>
}

export interface Model extends Limits {
  doc: MovesDocument
  /** The first instant at which a moved visit may begin, and before which none is moved away. */
  earliest: number
  visits: Visit[]
  places: Place[]
  days: string[]
  /** Days since the first of `days`. */
  dayNumbers: number[]
  practitioners: string[]
  rooms: string[]
}

type Span = [from: number, to: number]

/** Touching or overlapping spans joined, in order. */
function joined(spans: Span[]): Span[] {
  const out: Span[] = []
  for (const [from, to] of [...spans].sort((a, b) => a[0] - b[0])) {
    const last = out.at(-1)
    if (last && from <= last[1]) last[1] = Math.max(last[1], to)
    else out.push([from, to])
  }
  return out
}

interface Raw {
  start: number
  end: number
  practitioner: string
  room: string | undefined
  visit: number | null
  slot: string | null
}

function rawPlaces(doc: MovesDocument): Raw[] {
  const raw: Raw[] = [
    ...doc.visits.map((v, i) => ({
      start: spanOf(v).from,
      end: spanOf(v).to,
      practitioner: v.practitioner,
      room: v.room,
      visit: i,
      slot: null,
    })),
    ...doc.openSlots.map((s) => ({
      start: spanOf(s).from,
      end: spanOf(s).to,
      practitioner: s.practitioner,
      room: s.room,
      visit: null,
      slot: s.id,
    })),
  ]
  const step = (doc.rules.startEveryMinutes ?? 0) * MINUTE
  if (step === 0) return raw
  return raw.flatMap((place) => {
    const inside: Raw[] = [place]
    for (let start = place.start + step; start < place.end; start += step)
      inside.push({ ...place, start, visit: null })
    return inside
  })
}

const number = (names: string[]): Map<string, number> => new Map(names.map((name, i) => [name, i]))
const inOrder = (names: Iterable<string>): string[] => [...new Set(names)].sort()

function placesOf(listed: Raw[], people: Map<string, number>, rooms: Map<string, number>): Raw[] {
  const byTime = (a: Raw, b: Raw): number =>
    a.start - b.start ||
    (people.get(a.practitioner) ?? 0) - (people.get(b.practitioner) ?? 0) ||
    (rooms.get(a.room ?? '') ?? -1) - (rooms.get(b.room ?? '') ?? -1) ||
    Number(b.visit !== null) - Number(a.visit !== null) ||
    (a.slot ?? '').localeCompare(b.slot ?? '')
  const seen = new Set<string>()
  return [...listed].sort(byTime).filter((place) => {
    const key = `${place.start}\n${place.practitioner}\n${place.room ?? ''}`
    return !seen.has(key) && Boolean(seen.add(key))
  })
}

function readyByDay(input: VisitInput, days: string[]): (number | null)[] {
  const { readiness, purpose } = input
  if (purpose !== 'removal') return days.map(() => 1)
  if (typeof readiness === 'number') return days.map(() => readiness)
  const known = Object.entries(readiness ?? {}).sort(([a], [b]) => (a < b ? -1 : 1))
  return days.map((day) => known.findLast(([from]) => from <= day)?.[1] ?? null)
}

/** Why this visit cannot move, whatever places there are. */
function stuckBecause(input: VisitInput, start: number, now: number, rules: MovesDocument['rules']) {
  if (start <= now) return 'it has already begun'
  if (input.fixed) return 'it is marked to stay where it is'
  if (start < now + rules.noticeHours * HOUR)
    return `it begins within the ${rules.noticeHours} hours of notice that a patient is owed`
  if (rules.maxMoves === 0) return 'the rules allow no moves'
  if (input.moved >= rules.maxMoves)
    return input.moved === 1 ? 'it was moved once already' : `it was moved ${input.moved} times already`
  return null
}

/** Lines: one a practitioner (by number), then rooms, then patients with several visits. */
function limitsOf(doc: MovesDocument, practitioners: string[], rooms: string[], days: number): Limits {
  const lines: Line[] = practitioners.map(() => ({ limit: 1 }))
  const tallies: Tally[] = []
  const firstRoom = lines.length
  lines.push(...rooms.map(() => ({ limit: 1 })))
  const pooled = rooms.length === 0 && doc.rooms !== undefined
  const pool = typeof doc.rooms === 'number' ? doc.rooms : (doc.rooms?.length ?? 0)
  const poolLine = pooled ? lines.push({ limit: pool }) - 1 : null

  const theirs = new Map<string, VisitInput[]>()
  for (const visit of doc.visits)
    if (visit.patient) theirs.set(visit.patient, [...(theirs.get(visit.patient) ?? []), visit])
  const patients: Limits['patients'] = new Map()
  for (const [patient, visits] of theirs) {
    if (visits.length < 2) continue
    const moved = visits.reduce((sum, visit) => sum + visit.moved, 0)
    const line = lines.push({ limit: 1 }) - 1
    const moves = tallies.push({ limit: Math.max(0, doc.rules.maxMoves - moved) }) - 1
    patients.set(patient, { line, moves })
  }

  const firstTally = new Map<number, number>()
  for (const { id, maxVisitsPerDay: limit } of doc.practitioners ?? []) {
    const practitioner = practitioners.indexOf(id)
    if (limit === undefined || practitioner < 0) continue
    firstTally.set(practitioner, tallies.length)
    for (let day = 0; day < days; day += 1) tallies.push({ limit })
  }
  return {
    lines,
    tallies,
    roomLine: ({ room }) => (room === null ? poolLine : firstRoom + room),
    dayTally: ({ practitioner, day }) => {
      const first = firstTally.get(practitioner)
      return first === undefined ? null : first + day
    },
    patients,
  }
}

/** Reads a checked document into the model. Visits keep the order of their ids, whatever order they came in. */
export function modelOf(given: MovesDocument): Model {
  const byId = (a: { id: string }, b: { id: string }): number => (a.id < b.id ? -1 : 1)
  const doc = { ...given, visits: [...given.visits].sort(byId), openSlots: [...given.openSlots].sort(byId) }
  const { rules, zone } = doc
  const now = millis(doc.now)
  const practitioners = inOrder([...doc.visits, ...doc.openSlots].map((item) => item.practitioner))
  const rooms = inOrder([...doc.visits, ...doc.openSlots].flatMap((item) => item.room ?? []))
  const people = number(practitioners)
  const roomNumbers = number(rooms)
  const listed = rawPlaces(doc)
  const raw = placesOf(listed, people, roomNumbers)
  const dayByStart = new Map(raw.map(({ start }) => [start, dayOf(start, zone)]))
  const days = inOrder(dayByStart.values())
  const dayNumbers = number(days)
  const stretches = practitioners.map((name) =>
    joined(listed.flatMap((p): Span[] => (p.practitioner === name ? [[p.start, p.end]] : []))),
  )
  const places = raw.map((place, index): Place => {
    const practitioner = people.get(place.practitioner) ?? 0
    const stretch = stretches[practitioner]?.find(([from, to]) => from <= place.start && place.start < to)
    return {
      index,
      start: place.start,
      day: dayNumbers.get(dayByStart.get(place.start) ?? '') ?? 0,
      practitioner,
      room: place.room === undefined ? null : (roomNumbers.get(place.room) ?? 0),
      visit: place.visit,
      slot: place.slot,
      stretchEnd: stretch?.[1] ?? place.start,
    }
  })
  const own = new Map(
    places.flatMap((place) => (place.visit === null ? [] : [[place.visit, place] as const])),
  )
  const limits = limitsOf(doc, practitioners, rooms, days.length)
  const skills = new Map((doc.practitioners ?? []).map((one) => [one.id, new Set(one.skills)]))
  const roomHas = new Map(
    (Array.isArray(doc.rooms) ? doc.rooms : []).map((room) => [room.id, new Set(room.has)]),
  )
  const visits = doc.visits.map((input, index): Visit => {
    const { from, to } = spanOf(input)
    const place = own.get(index)
    if (!place) throw new Error(`visit ${input.id} has no place of its own`)
    const accepts = practitioners.map(
      (name) =>
        (input.practitioners ?? [name]).includes(name) &&
        input.needs.every((need) => skills.get(name)?.has(need)),
    )
    return {
      index,
      input,
      id: input.id,
      start: from,
      length: to - from,
      place,
      windows: windowsOf(input, zone),
      ready: readyByDay(input, days),
      neverLater: input.pain || input.urgency === 'urgent',
      stuck: stuckBecause(input, from, now, rules),
      started: from <= now,
      accepts,
      roomOk: rooms.map((name) => input.roomNeeds.every((need) => roomHas.get(name)?.has(need))),
      patient: limits.patients.get(input.patient ?? '') ?? null,
    }
  })
  return {
    doc,
    earliest: now + rules.noticeHours * HOUR,
    visits,
    places,
    days,
    dayNumbers: days.map((day) => daysBetween(days[0] ?? day, day)),
    practitioners,
    rooms,
    ...limits,
  }
}

/** Why a visit may not take a place, or null when it may. */
export function barred(model: Model, visit: Visit, place: Place): string | null {
  const end = place.start + visit.length
  if (visit.stuck !== null) return visit.stuck
  if (place.visit === visit.index) return 'it is there already'
  if (end > place.stretchEnd) return 'it is too long for it'
  if (place.start < model.earliest) return 'it is too soon'
  if (visit.neverLater && place.start > visit.start) return 'nobody in pain or urgent is pushed back'
  if (!visit.accepts[place.practitioner]) return 'the practitioner does not fit'
  if (place.room !== null && !visit.roomOk[place.room]) return 'the room does not fit'
  if (visit.ready[place.day] === null) return 'nothing is known of the ear on that day'
  if (!insideOne(visit.windows, place.start, end)) return 'the patient cannot come then'
  return null
}

/** Days that the patient waits longer, by the calendar; 0 when it is not later. */
export const waitDays = (model: Model, visit: Visit, place: Place): number =>
  Math.max(0, (model.dayNumbers[place.day] ?? 0) - (model.dayNumbers[visit.place.day] ?? 0))
