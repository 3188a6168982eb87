/**
 * A second, plain reading of the documented rules, sharing no code with the optimiser: every answer of every
 * visit by direct enumeration, and the cheapest combination by exhaustive search. Zone UTC only.
 */
import type { MovesInput } from '../../../src/softening/moves/input.ts'

const MIN = 60_000
const DAY = 24 * 60 * MIN

export interface Choice {
  visit: number
  answer: 'stay' | 'move' | 'lengthen' | 'assessment'
  start: number
  end: number
  practitioner: string
  room: string | null
  cost: number
}

const DEFAULT_COSTS = {
  failedVisit: 60,
  soreEar: 20,
  extraVisit: 40,
  move: 10,
  waitPerDay: 2,
  lengthenPerMinute: 1,
  changePractitioner: 0,
}
const DEFAULT_WEIGHTS = { routine: 1, soon: 2, urgent: 4 }

type RawVisit = MovesInput['visits'][number]
type RawSlot = NonNullable<MovesInput['openSlots']>[number]

const at = (iso: string): number => Date.parse(iso)
const dayText = (ms: number): string => new Date(ms).toISOString().slice(0, 10)
const endOf = (item: RawVisit | RawSlot): number =>
  item.minutes === undefined ? at(item.end ?? '') : at(item.start) + item.minutes * MIN

function rulesOf(doc: MovesInput) {
  const rules = doc.rules ?? {}
  return {
    costs: { ...DEFAULT_COSTS, ...rules.costs } as typeof DEFAULT_COSTS,
    weights: { ...DEFAULT_WEIGHTS, ...rules.urgencyWeights } as typeof DEFAULT_WEIGHTS,
    notice: (rules.noticeHours ?? 24) * 60 * MIN,
    maxMoves: rules.maxMoves ?? 1,
    assessment: (rules.assessmentMinutes ?? 15) * MIN,
    lengthen: (rules.lengthenMinutes ?? 15) * MIN,
    helps: rules.lengthenHelps ?? 0.5,
    step: (rules.startEveryMinutes ?? 0) * MIN,
  }
}

export const practitionersOf = (
  doc: MovesInput,
): { id: string; skills?: string[] | undefined; maxVisitsPerDay?: number | undefined }[] =>
  (doc.practitioners ?? []).map((one) => (typeof one === 'string' ? { id: one } : one))

function readyOn(visit: RawVisit, ms: number): number | null {
  if ((visit.purpose ?? 'removal') !== 'removal') return 1
  if (typeof visit.readiness === 'number') return visit.readiness
  const day = dayText(ms)
  let latest: string | null = null
  for (const listed of Object.keys(visit.readiness ?? {}))
    if (listed <= day && (latest === null || listed > latest)) latest = listed
  return latest === null ? null : (visit.readiness?.[latest] ?? null)
}

/** Every 5 minutes of the span lies in some window: equal to lying in their union, on a 5-minute grid. */
function possibleAt(visit: RawVisit, from: number, to: number): boolean {
  if (visit.possible === undefined) return true
  const spans = visit.possible.map((one): [number, number] => {
    if (typeof one === 'string') return [at(`${one}T00:00Z`), at(`${one}T00:00Z`) + DAY]
    if ('day' in one) {
      const midnight = at(`${one.day}T00:00Z`)
      return [
        one.from ? at(`${one.day}T${one.from}Z`) : midnight,
        one.to ? at(`${one.day}T${one.to}Z`) : midnight + DAY,
      ]
    }
    return [at(one.from), at(one.to)]
  })
  for (let t = from; t < to; t += 5 * MIN)
    if (!spans.some(([a, b]) => a <= t && t + 5 * MIN <= b)) return false
  return true
}

/** Every tick from `from` to `to` is listed time of the practitioner. */
function listedTime(doc: MovesInput, practitioner: string, from: number, to: number): boolean {
  const spans = [...doc.visits, ...(doc.openSlots ?? [])].filter((item) => item.practitioner === practitioner)
  for (let t = from; t < to; t += 5 * MIN)
    if (!spans.some((span) => at(span.start) <= t && t + 5 * MIN <= endOf(span))) return false
  return true
}

/** Every answer that the documented rules allow each visit, whoever else wants the same time. */
export function choicesOf(doc: MovesInput): Choice[][] {
  const rules = rulesOf(doc)
  const now = at(doc.now)
  const skills = new Map(practitionersOf(doc).map((p) => [p.id, p.skills ?? []]))
  const roomHas = new Map(
    (Array.isArray(doc.rooms) ? doc.rooms : []).map((r) =>
      typeof r === 'string' ? [r, [] as string[]] : [r.id, r.has ?? []],
    ),
  )
  const starts = [...doc.visits, ...(doc.openSlots ?? [])].flatMap((item) => {
    const all = [at(item.start)]
    if (rules.step > 0)
      for (let t = at(item.start) + rules.step; t < endOf(item); t += rules.step) all.push(t)
    return all.map((start) => ({ start, practitioner: item.practitioner, room: item.room ?? null }))
  })
  return doc.visits.map((visit, index) => {
    const { costs, weights } = rules
    const start = at(visit.start)
    const end = endOf(visit)
    const removal = (visit.purpose ?? 'removal') === 'removal'
    const fail = (p: number): number => (1 - p) * (costs.failedVisit + costs.soreEar)
    const here = readyOn(visit, start) ?? Number.NaN
    const base = { visit: index, start, practitioner: visit.practitioner, room: visit.room ?? null }
    const choices: Choice[] = [{ ...base, answer: 'stay', end, cost: fail(here) }]
    const never = visit.pain === true || visit.urgency === 'urgent'
    const free = visit.fixed !== true && start > now
    if (free && removal && rules.lengthen > 0) {
      const to = end + rules.lengthen
      const after = end + (visit.freeAfterMinutes ?? 0) * MIN
      const fits = to <= after || listedTime(doc, visit.practitioner, end, to)
      if (fits && possibleAt(visit, start, to))
        choices.push({
          ...base,
          answer: 'lengthen',
          end: to,
          cost: fail(here) * (1 - rules.helps) + (costs.lengthenPerMinute * rules.lengthen) / MIN,
        })
    }
    if (free && removal && !never && rules.assessment > 0)
      choices.push({
        ...base,
        answer: 'assessment',
        end: Math.min(end, start + rules.assessment),
        cost: costs.extraVisit,
      })
    const mayMove = free && start >= now + rules.notice && (visit.moved ?? 0) < rules.maxMoves
    for (const place of mayMove ? starts : []) {
      const to = place.start + end - start
      const ready = readyOn(visit, place.start)
      const same =
        place.start === start &&
        place.practitioner === visit.practitioner &&
        place.room === (visit.room ?? null)
      const allowed =
        !same &&
        ready !== null &&
        place.start >= now + rules.notice &&
        !(never && place.start > start) &&
        (visit.practitioners ?? [place.practitioner]).includes(place.practitioner) &&
        (visit.needs ?? []).every((need) => skills.get(place.practitioner)?.includes(need)) &&
        (visit.roomNeeds ?? []).every((need) => roomHas.get(place.room ?? '')?.includes(need)) &&
        listedTime(doc, place.practitioner, place.start, to) &&
        possibleAt(visit, place.start, to)
      if (!allowed) continue
      const later = Math.max(0, (at(dayText(place.start)) - at(dayText(start))) / DAY)
      const wait = later * costs.waitPerDay * weights[visit.urgency ?? 'routine']
      const other = place.practitioner === visit.practitioner ? 0 : costs.changePractitioner
      choices.push({
        ...base,
        ...place,
        answer: 'move',
        end: to,
        cost: fail(ready) + costs.move + wait + other,
      })
    }
    return choices
  })
}

const overlap = (a: Choice, b: Choice): boolean => a.start < b.end && b.start < a.end

/** What is wrong with one choice a visit, in words; empty when every rule holds. */
export function wrongs(doc: MovesInput, chosen: Choice[]): string[] {
  const found: string[] = []
  const patients = doc.visits.map((visit, i) => visit.patient ?? `visit ${i}`)
  for (const [i, a] of chosen.entries())
    for (const b of chosen.slice(0, i)) {
      if (!overlap(a, b)) continue
      if (a.practitioner === b.practitioner) found.push(`${a.practitioner} is double-booked`)
      if (a.room !== null && a.room === b.room) found.push(`room ${a.room} is double-booked`)
      if (patients[a.visit] === patients[b.visit]) found.push(`${patients[a.visit]} is double-booked`)
    }
  const rooms = typeof doc.rooms === 'number' ? doc.rooms : (doc.rooms?.length ?? Number.POSITIVE_INFINITY)
  for (const at of chosen)
    if (chosen.filter((other) => other.start <= at.start && at.start < other.end).length > rooms)
      found.push('more visits at once than rooms')
  for (const { id, maxVisitsPerDay = Number.POSITIVE_INFINITY } of practitionersOf(doc))
    for (const day of new Set(chosen.map((c) => dayText(c.start))))
      if (chosen.filter((c) => c.practitioner === id && dayText(c.start) === day).length > maxVisitsPerDay)
        found.push(`${id} has too many visits on ${day}`)
  for (const patient of new Set(patients)) {
    const theirs = chosen.filter((c) => patients[c.visit] === patient)
    const before = theirs.reduce((sum, c) => sum + (doc.visits[c.visit]?.moved ?? 0), 0)
    const moves = theirs.filter((c) => c.answer === 'move').length
    if (theirs.length > 1 && moves > 0 && before + moves > rulesOf(doc).maxMoves)
      found.push(`${patient} is moved too often`)
  }
  return found
}

/** The least total cost over every combination, by depth-first search without any clever bound. */
export function bruteForce(doc: MovesInput): { cost: number; combinations: number } {
  const choices = choicesOf(doc).map((list) => [...list].sort((a, b) => a.cost - b.cost))
  // A whole visit's cheapest answer is the only bound used: a branch that cannot win on that is left.
  const rest = choices.map((_, i) => choices.slice(i).reduce((sum, list) => sum + (list[0]?.cost ?? 0), 0))
  let best = Number.POSITIVE_INFINITY
  let combinations = 0
  const alone = { ...doc, practitioners: undefined }
  const search = (chosen: Choice[], cost: number): void => {
    const i = chosen.length
    if (cost + (rest[i] ?? 0) >= best) return
    if (i === choices.length) {
      combinations += 1
      if (wrongs(doc, chosen).length === 0) best = cost
      return
    }
    for (const choice of choices[i] ?? []) {
      const next = [...chosen, choice]
      // Overlaps only grow with more visits, so a branch that has one is dead; the full check comes at the end.
      if (
        next.some(
          (other) => other !== choice && overlap(other, choice) && other.practitioner === choice.practitioner,
        )
      )
        continue
      if (wrongs(alone as MovesInput, next).length > 0) continue
      search(next, cost + choice.cost)
    }
  }
  search([], 0)
  return { cost: best, combinations }
}
