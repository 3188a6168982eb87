/** What makes a well-formed document senseless: each check names the field and what to mend. */
import type { MovesDocument, Problem, SlotInput, VisitInput } from './input.ts'
import { checkShape, isDay, MovesInputError } from './input.ts'
import { dayOf, MINUTE, millis } from './times.ts'

/** Pairs of a visit and a place above this are refused rather than left to run for minutes. */
const MOST_PAIRS = 20_000_000

export interface Span {
  from: number
  to: number
}

/** Start and end of a visit or slot; NaN as end where the document gives neither length nor end. */
export function spanOf(item: VisitInput | SlotInput): Span {
  const from = millis(item.start)
  if (item.minutes !== undefined) return { from, to: from + item.minutes * MINUTE }
  return { from, to: item.end === undefined ? Number.NaN : millis(item.end) }
}

interface Booked extends Span {
  field: string
  id: string
}

/** The first two of a list that overlap, the later one second. */
function firstOverlap(items: Booked[]): [Booked, Booked] | null {
  let last: Booked | null = null
  for (const item of [...items].sort((a, b) => a.from - b.from)) {
    if (last && item.from < last.to) return [last, item]
    if (!last || item.to > last.to) last = item
  }
  return null
}

/** The first item at whose start more than `limit` are under way. */
function firstOverload(items: Booked[], limit: number): Booked | null {
  const inOrder = [...items].sort((a, b) => a.from - b.from)
  return (
    inOrder.find((item) => inOrder.filter((o) => o.from <= item.from && item.from < o.to).length > limit) ??
    null
  )
}

function repeated(items: { id: string }[], list: string): Problem[] {
  const seen = new Set<string>()
  return items.flatMap(({ id }, i) => {
    if (!seen.has(id)) {
      seen.add(id)
      return []
    }
    return [{ field: `${list}[${i}].id`, mend: `"${id}" is there twice: give each its own id` }]
  })
}

function lengthProblems(items: (VisitInput | SlotInput)[], list: string): Problem[] {
  return items.flatMap((item, i): Problem[] => {
    const field = `${list}[${i}]`
    const { from, to } = spanOf(item)
    if (Number.isNaN(to)) return [{ field: `${field}.minutes`, mend: 'is missing: give minutes, or an end' }]
    if (item.end === undefined) return []
    if (millis(item.end) <= from)
      return [{ field: `${field}.end`, mend: `${item.end} is not after the start ${item.start}: mend one` }]
    if (millis(item.end) !== to)
      return [{ field: `${field}.end`, mend: `does not agree with minutes ${item.minutes}: give only one` }]
    return []
  })
}

function practitionerProblems(doc: MovesDocument): Problem[] {
  const known = doc.practitioners && new Map(doc.practitioners.map((one) => [one.id, new Set(one.skills)]))
  const unknown = (id: string, field: string): Problem[] =>
    known && !known.has(id)
      ? [{ field, mend: `"${id}" is not among the practitioners: add it there or correct the name` }]
      : []
  const ofVisits = doc.visits.flatMap((visit, i): Problem[] => {
    const field = `visits[${i}]`
    const problems = unknown(visit.practitioner, `${field}.practitioner`)
    visit.practitioners?.forEach((id, k) => {
      problems.push(...unknown(id, `${field}.practitioners[${k}]`))
    })
    visit.needs.forEach((need, k) => {
      if (!known)
        problems.push({
          field: `${field}.needs[${k}]`,
          mend: `"${need}" cannot be checked: list the practitioners with their skills`,
        })
      else if (known.has(visit.practitioner) && !known.get(visit.practitioner)?.has(need))
        problems.push({
          field: `${field}.needs[${k}]`,
          mend: `"${need}" is not among the skills of ${visit.practitioner}, who has this visit: mend one`,
        })
    })
    return problems
  })
  const ofSlots = doc.openSlots.flatMap((slot, i) =>
    unknown(slot.practitioner, `openSlots[${i}].practitioner`),
  )
  return [...ofVisits, ...ofSlots]
}

function roomProblems(doc: MovesDocument): Problem[] {
  const { rooms } = doc
  const known = Array.isArray(rooms) ? new Map(rooms.map((room) => [room.id, new Set(room.has)])) : null
  const items = [
    ...doc.visits.map((visit, i) => ({ room: visit.room, field: `visits[${i}].room` })),
    ...doc.openSlots.map((slot, i) => ({ room: slot.room, field: `openSlots[${i}].room` })),
  ]
  const problems: Problem[] = []
  const anyNamed = items.some((item) => item.room !== undefined)
  for (const { room, field } of items) {
    if (room === undefined) {
      if (anyNamed)
        problems.push({ field, mend: 'is missing: name a room for every visit and slot, or for none' })
    } else if (typeof rooms === 'number')
      problems.push({ field, mend: `names "${room}" but rooms is a number: list the rooms by name` })
    else if (known && !known.has(room))
      problems.push({ field, mend: `"${room}" is not among the rooms: add it there or correct the name` })
  }
  doc.visits.forEach((visit, i) => {
    visit.roomNeeds.forEach((need, k) => {
      const field = `visits[${i}].roomNeeds[${k}]`
      if (visit.room === undefined || !known)
        problems.push({ field, mend: `"${need}" cannot be checked: list the rooms with what each has` })
      else if (known.has(visit.room) && !known.get(visit.room)?.has(need))
        problems.push({
          field,
          mend: `"${need}" is not in room ${visit.room}, where this visit is: mend one`,
        })
    })
  })
  return problems
}

function readinessProblems(doc: MovesDocument): Problem[] {
  return doc.visits.flatMap((visit, i): Problem[] => {
    const field = `visits[${i}].readiness`
    if (visit.purpose !== 'removal') return []
    const { readiness } = visit
    if (readiness === undefined)
      return [{ field, mend: 'is missing: give P(soft enough) by day, such as {"2026-03-10": 0.4}' }]
    if (typeof readiness === 'number') return []
    const days = Object.keys(readiness)
    const wrong = days.find((day) => !isDay(day))
    if (wrong !== undefined) return [{ field, mend: `"${wrong}" is not a day such as 2026-03-10` }]
    const today = dayOf(millis(visit.start), doc.zone)
    if (!days.some((day) => day <= today))
      return [{ field, mend: `says nothing of ${today}, the day of the visit: add it` }]
    return []
  })
}

/** By the clock as written: a part of a day that the clock change skips is empty, but no mistake. */
function isBackward(possible: NonNullable<VisitInput['possible']>[number]): boolean {
  if (typeof possible === 'string') return false
  if (!('day' in possible)) return millis(possible.to) <= millis(possible.from)
  const { from, to } = possible
  return from !== undefined && to !== undefined && to <= from
}

function windowProblems(doc: MovesDocument): Problem[] {
  return doc.visits.flatMap((visit, i) =>
    (visit.possible ?? []).flatMap((possible, k): Problem[] => {
      return isBackward(possible)
        ? [{ field: `visits[${i}].possible[${k}]`, mend: 'ends before it starts' }]
        : []
    }),
  )
}

const grouped = <T>(items: T[], key: (item: T) => string | undefined): [string, T[]][] => {
  const groups = new Map<string, T[]>()
  for (const item of items) {
    const name = key(item)
    if (name !== undefined) groups.set(name, [...(groups.get(name) ?? []), item])
  }
  return [...groups]
}

/** Today's bookings must themselves keep the rules: staying is always an answer. */
function bookingProblems(doc: MovesDocument): Problem[] {
  const visits = doc.visits.map((visit, i) => ({ ...visit, ...spanOf(visit), field: `visits[${i}]` }))
  const slots = doc.openSlots.map((slot, i) => ({ ...slot, ...spanOf(slot), field: `openSlots[${i}]` }))
  const problems: Problem[] = []
  const shared = (key: 'practitioner' | 'room' | 'patient', words: string): void => {
    for (const [name, group] of grouped(visits, (visit) => visit[key])) {
      const pair = firstOverlap(group)
      if (pair)
        problems.push({
          field: `${pair[1].field}.start`,
          mend: `visit ${pair[1].id} overlaps visit ${pair[0].id}: ${words} ${name} is double-booked`,
        })
    }
  }
  shared('practitioner', 'practitioner')
  shared('room', 'room')
  shared('patient', 'patient')
  for (const [name, open] of grouped(slots, (slot) => slot.practitioner)) {
    const booked = visits.filter((visit) => visit.practitioner === name)
    for (const slot of open) {
      const visit = booked.find((one) => one.from < slot.to && slot.from < one.to)
      if (visit)
        problems.push({
          field: `${slot.field}.start`,
          mend: `slot ${slot.id} overlaps visit ${visit.id} of ${name}: it is not open`,
        })
    }
  }
  const limit = typeof doc.rooms === 'number' ? doc.rooms : (doc.rooms?.length ?? Number.POSITIVE_INFINITY)
  const over = firstOverload(visits, limit)
  if (over)
    problems.push({ field: `${over.field}.start`, mend: `more visits at once than the ${limit} rooms` })
  for (const [i, { id, maxVisitsPerDay = Number.POSITIVE_INFINITY }] of (doc.practitioners ?? []).entries()) {
    const mine = visits.filter((visit) => visit.practitioner === id)
    for (const [day, group] of grouped(mine, (visit) => dayOf(visit.from, doc.zone)))
      if (group.length > maxVisitsPerDay)
        problems.push({
          field: `practitioners[${i}].maxVisitsPerDay`,
          mend: `is ${maxVisitsPerDay}, but ${id} has ${group.length} ${group.length === 1 ? 'visit' : 'visits'} on ${day}: mend one`,
        })
  }
  return problems
}

/** Shape first, then lengths and names, then what needs all of them. @throws MovesInputError naming the field */
export function checkInput(raw: unknown): MovesDocument {
  const doc = checkShape(raw)
  const stop = (problems: Problem[]): void => {
    if (problems.length > 0) throw new MovesInputError(problems)
  }
  if (doc.visits.length * (doc.visits.length + doc.openSlots.length) > MOST_PAIRS)
    stop([{ field: 'visits', mend: 'is too long to plan at once: plan a shorter span of days' }])
  stop([
    ...repeated(doc.visits, 'visits'),
    ...repeated(doc.openSlots, 'openSlots'),
    ...repeated(doc.practitioners ?? [], 'practitioners'),
    ...(Array.isArray(doc.rooms) ? repeated(doc.rooms, 'rooms') : []),
    ...lengthProblems(doc.visits, 'visits'),
    ...lengthProblems(doc.openSlots, 'openSlots'),
    ...practitionerProblems(doc),
    ...roomProblems(doc),
    ...readinessProblems(doc),
    ...windowProblems(doc),
  ])
  stop(bookingProblems(doc))
  return doc
}
