/** Seeded random documents: small ones for exhaustive search, larger ones for the general solver and the bench. */
import type { MovesInput } from '../../../src/softening/moves/input.ts'

const MIN = 60_000

/** mulberry32: a small seeded generator, the same numbers on every machine. */
export function randomFrom(seed: number): () => number {
  let state = seed >>> 0
  return () => {
    state = (state + 0x6d2b79f5) >>> 0
    let t = state
    t = Math.imul(t ^ (t >>> 15), t | 1)
    t ^= t + Math.imul(t ^ (t >>> 7), t | 61)
    return ((t ^ (t >>> 14)) >>> 0) / 4294967296
  }
}

export interface Shape {
  visits: number
  slots: number
  people: number
  days: number
  /** Grid of starts and lengths, in minutes; the day runs from 09:00 for `ticks` of them. */
  tick: number
  ticks: number
  lengths: number[]
  slotLengths: number[]
  rooms?: 'none' | 'pool' | 'named' | 'any'
  limits?: boolean
  pain?: number
  moved?: number
  windows?: number
  /** How much of what is missing a day may bring at most. */
  growth?: number
  rules?: NonNullable<MovesInput['rules']>
}

const FIRST_DAY = Date.UTC(2026, 2, 9)
const iso = (ms: number): string => new Date(ms).toISOString().replace('.000Z', 'Z')
const day = (d: number): string => iso(FIRST_DAY + d * 24 * 60 * MIN).slice(0, 10)

export function randomDocument(seed: number, shape: Shape): MovesInput {
  const random = randomFrom(seed)
  const below = (n: number): number => Math.floor(random() * n)
  const pick = <T>(list: readonly T[]): T => list[below(list.length)] as T
  const chance = (p: number): boolean => random() < p
  const people = Array.from({ length: shape.people }, (_, i) => `p${i}`)
  const taken: { who: string; from: number; to: number; room: string; visit: boolean }[] = []
  const roomKind = shape.rooms === 'any' ? pick(['none', 'pool', 'named'] as const) : (shape.rooms ?? 'none')
  const roomNames = Array.from({ length: Math.max(1, shape.people) }, (_, i) => `r${i}`)
  const place = (lengths: number[], visit: boolean) => {
    for (let tries = 0; tries < 30; tries += 1) {
      const from =
        FIRST_DAY + below(shape.days) * 24 * 60 * MIN + 9 * 60 * MIN + below(shape.ticks) * shape.tick * MIN
      const minutes = pick(lengths)
      const to = from + minutes * MIN
      const who = pick(people)
      const room = pick(roomNames)
      const clash = taken.some(
        (o) => o.from < to && from < o.to && (o.who === who || (visit && o.visit && o.room === room)),
      )
      if (clash) continue
      taken.push({ who, from, to, room, visit })
      return { start: iso(from), minutes, practitioner: who, ...(roomKind === 'named' ? { room } : {}) }
    }
    return null
  }
  const patientTimes: { patient: string; from: number; to: number }[] = []
  /** A patient who has no other visit at that time. */
  const patientFor = (from: number, minutes: number) => {
    const patient = `patient ${below(1 + Math.floor(shape.visits / 2))}`
    const to = from + minutes * MIN
    if (patientTimes.some((o) => o.patient === patient && o.from < to && from < o.to)) return {}
    patientTimes.push({ patient, from, to })
    return { patient }
  }
  const visits = Array.from({ length: shape.visits }, (_, i) => {
    const where = place(shape.lengths, true)
    if (!where) return []
    let p = random()
    const readiness: Record<string, number> = {}
    for (let d = 0; d < shape.days; d += 1) {
      readiness[day(d)] = Math.round(p * 1000) / 1000
      p += (1 - p) * random() * (shape.growth ?? 0.7)
    }
    const recheck = chance(0.1)
    return [
      {
        id: `v${i}`,
        ...where,
        ...(recheck ? { purpose: 'recheck' as const } : { readiness }),
        urgency: pick(['routine', 'routine', 'soon', 'urgent'] as const),
        pain: chance(shape.pain ?? 0.15),
        moved: chance(shape.moved ?? 0.1) ? 1 : 0,
        ...(chance(shape.windows ?? 0.3)
          ? {
              possible: Array.from({ length: 1 + below(3) }, () =>
                chance(0.5)
                  ? day(below(shape.days))
                  : { day: day(below(shape.days)), from: '09:00', to: pick(['10:00', '11:00', '12:00']) },
              ),
            }
          : {}),
        ...(shape.limits && chance(0.2) ? { needs: ['suction'] } : {}),
        ...(shape.limits && chance(0.2) ? patientFor(Date.parse(where.start), where.minutes) : {}),
        ...(shape.limits && chance(0.2) ? { freeAfterMinutes: pick([15, 30]) } : {}),
        ...(shape.limits && chance(0.05) ? { fixed: true } : {}),
      },
    ]
  }).flat()
  const openSlots = Array.from({ length: shape.slots }, (_, i) => {
    const where = place(shape.slotLengths, false)
    return where ? [{ id: `s${i}`, ...where }] : []
  }).flat()
  const needed = new Set(visits.filter((v) => 'needs' in v).map((v) => v.practitioner))
  const most = (who: string): number =>
    Math.max(
      1,
      ...Array.from(
        { length: shape.days },
        (_, d) => visits.filter((v) => v.practitioner === who && v.start.startsWith(day(d))).length,
      ),
    )
  return {
    now: iso(FIRST_DAY - 60 * MIN * below(30)),
    zone: 'UTC',
    ...(shape.limits
      ? {
          practitioners: people.map((id) => ({
            id,
            skills: needed.has(id) || chance(0.5) ? ['suction'] : [],
            ...(chance(0.4) ? { maxVisitsPerDay: most(id) + below(2) } : {}),
          })),
        }
      : {}),
    ...(roomKind === 'pool' ? { rooms: Math.max(1, shape.people - 1 + below(2)) } : {}),
    visits,
    openSlots,
    ...(shape.rules ? { rules: shape.rules } : {}),
  }
}

/** A small document with a bit of everything, its rules drawn too; null when its bookings break them. */
export function smallDocument(seed: number): MovesInput {
  const random = randomFrom(seed ^ 0x5eed)
  const pick = <T>(list: readonly T[]): T => list[Math.floor(random() * list.length)] as T
  return randomDocument(seed, {
    visits: 2 + Math.floor(random() * 4),
    slots: Math.floor(random() * 6),
    people: 1 + Math.floor(random() * 2),
    days: 1 + Math.floor(random() * 4),
    tick: 15,
    ticks: pick([4, 6, 12]),
    lengths: pick([[30], [15, 30, 45], [15, 30]]),
    slotLengths: pick([[30], [15], [15, 30, 60]]),
    rooms: 'any',
    limits: random() < 0.6,
    rules: {
      costs: {
        failedVisit: pick([30, 60, 100]),
        extraVisit: pick([15, 40, 70]),
        move: pick([0, 2, 10]),
        waitPerDay: pick([0, 1, 3]),
        lengthenPerMinute: pick([0.1, 0.5, 1]),
        changePractitioner: pick([0, 5]),
      },
      noticeHours: pick([0, 12, 24]),
      maxMoves: pick([1, 1, 1, 2]),
      assessmentMinutes: pick([0, 15]),
      lengthenMinutes: pick([0, 15, 30]),
      lengthenHelps: pick([0.3, 0.5, 0.9]),
      ...(random() < 0.25 ? { startEveryMinutes: 15 } : {}),
    },
  })
}
