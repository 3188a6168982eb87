/** The invented patients: when they are booked, what they really do, and what they answer. */
import { Temporal } from 'temporal-polyfill'
import type { Random } from '../../src/random.ts'
import { silentChance } from '../../src/softening/adherence.ts'
import { drawDoses, drawTheta, INVENTED_PATIENTS } from '../../src/softening/model.ts'
import { CONTRAINDICATED, doseWords, HARMLESS_CHECKS, misspell, NO_HISTORY, STOPS, URGENT } from './texts.ts'
import { ZONE } from './world.ts'

export interface SimulatedPatient {
  index: number
  reference: string
  mobile: string
  random: Random
  /** Chance of doing a dose when reminded; without reminders see effect.ts. */
  theta: number
  visitDay: number
  visitTime: string
  ears: 'left' | 'right' | 'both'
  practitioner: string
  contraindicated: boolean
  answersHistory: boolean
  /** What they really did, by plan day. */
  doses: Map<string, { done: number; planned: number }>
  worsens: boolean
  stopsOnDay: number | null
  /** From here on they have said STOP. */
  stoppedAt: Temporal.Instant | null
  /** From here on they have told of something that forbids drops. */
  toldAt: Temporal.Instant | null
  movesVisit: 'moved' | 'cancelled' | null
}

const TIMES = ['08:40', '09:20', '10:00', '10:40', '11:20', '13:20', '14:00', '14:40', '15:20', '16:00']

export function makePatients(count: number, days: number, random: Random): SimulatedPatient[] {
  return Array.from({ length: count }, (_, index) => {
    const own = random.fork(`patient/${index}`)
    const visitDay = workingDay((index % 8 === 3 ? 7 : 2) + own.below(Math.max(3, days - 2)))
    return {
      index,
      reference: `S-${index + 1}`,
      // The last three digits run through the range reserved for fiction; more patients share numbers of email form.
      mobile: `+44770090${String(index % 1000).padStart(4, '0')}`,
      random: own,
      // Every eighth forgets most doses, so that there is somebody whose visit should move.
      theta: drawTheta(own, INVENTED_PATIENTS) * (index % 8 === 3 ? 0.2 : 1),
      visitDay,
      visitTime: TIMES[index % TIMES.length] as string,
      ears: own.pick(['left', 'right', 'both'] as const),
      practitioner: index % 2 === 0 ? 'Ottoline Marsh' : 'Fenwick Adair',
      // The first few make sure that each case is tried in every run.
      contraindicated: own.chance(0.15) || index === 1,
      answersHistory: own.chance(0.9) || index < 4,
      doses: new Map(),
      worsens: own.chance(0.3),
      stopsOnDay: own.chance(0.08) || index === 2 ? 1 + own.below(days) : null,
      stoppedAt: null,
      toldAt: null,
      movesVisit: own.chance(0.1) ? 'moved' : own.chance(0.05) ? 'cancelled' : null,
    }
  })
}

// Day 0 is a Monday.
const workingDay = (day: number): number => (day % 7 === 5 ? day + 2 : day % 7 === 6 ? day + 1 : day)

/** The day of the visit once the clinic itself has moved it, which it does with or without the service. */
export const clinicsDay = (one: SimulatedPatient): number =>
  workingDay(one.visitDay + (one.movesVisit === 'moved' ? DAYS_MOVED : 0))

/** How many days later the clinic itself moves a visit. */
export const DAYS_MOVED = 2

/** The row of a visits file; `later` days on when the clinic moves it. */
export function visitRow(
  one: SimulatedPatient,
  start: Temporal.PlainDate,
  later = 0,
  status = 'booked',
): string {
  const day = start.add({ days: workingDay(one.visitDay + later) })
  const name = `Invented Patient ${one.index + 1}`
  return [
    one.reference,
    name,
    one.mobile,
    '1940-01-01',
    `${day}T${one.visitTime}`,
    30,
    one.practitioner,
    'removal',
    one.ears,
    status,
  ].join(',')
}

export const FILE_HEADER = 'reference,name,mobile,birth_date,start,minutes,practitioner,purpose,ears,status'

export interface Incoming {
  kind: string
  day: string | null
  /** Detail of the question: doses planned, choices. */
  doses: number
  choices: number
  checkNumber: number
}

export interface PatientReply {
  words: string
  /** After this long. */
  minutes: number
  /** By the ground rules this is `today` or `now`. */
  urgent: boolean
  /** From this reply on drops are forbidden. */
  forbidsDrops: boolean
  stops: boolean
}

/** What this patient writes when this text arrives, or null for silence. */
export function replyTo(one: SimulatedPatient, incoming: Incoming): PatientReply | null {
  const random = one.random.fork(`${incoming.kind}/${incoming.day}/${incoming.checkNumber}`)
  const say = (words: string, more: Partial<PatientReply> = {}): PatientReply => ({
    words,
    minutes: 3 + random.below(240),
    urgent: false,
    forbidsDrops: false,
    stops: false,
    ...more,
  })
  switch (incoming.kind) {
    case 'screening-all':
      if (!one.answersHistory) return null
      if (one.contraindicated) return say(random.pick(CONTRAINDICATED), { forbidsDrops: true })
      return say(random.pick(NO_HISTORY))
    case 'screening-question':
    case 'screening-ask-again':
      return say(one.contraindicated ? random.pick(['yes', 'not sure']) : 'no')
    case 'dose-question':
      return doseReply(one, incoming, random, say)
    case 'aftercare-check':
      if (random.chance(0.2)) return null
      if (one.worsens && random.chance(0.5)) {
        const words = random.pick(URGENT)
        return say(random.chance(0.4) ? misspell(words, random) : words, { urgent: true })
      }
      return say(random.pick(HARMLESS_CHECKS))
    case 'move-proposal':
      if (random.chance(0.2)) return null
      return say(random.chance(0.75) ? String(1 + random.below(incoming.choices)) : 'NO')
    default:
      return null
  }
}

/** What chance gives this patient on this day, whatever the chance of a dose is. */
export const doseDraws = (one: SimulatedPatient, day: string): Random => one.random.fork(`doses/${day}`)

function doseReply(
  one: SimulatedPatient,
  incoming: Incoming,
  random: Random,
  say: (words: string, more?: Partial<PatientReply>) => PatientReply,
): PatientReply | null {
  const planned = incoming.doses
  const done = drawDoses(doseDraws(one, incoming.day ?? ''), one.theta, planned)
  one.doses.set(incoming.day ?? '', { done, planned })
  if (random.chance(silentChance(INVENTED_PATIENTS.adherence, done, planned))) return null
  if (random.chance(0.02))
    return say(`${doseWords(done, planned, random)} but ${random.pick(URGENT)}`, { urgent: true })
  return say(doseWords(done, planned, random))
}

/** STOP, on the patient's day for it. */
export const stopWords = (one: SimulatedPatient): string => one.random.fork('stop').pick(STOPS)

export const visitInstant = (one: SimulatedPatient, start: Temporal.PlainDate): Temporal.Instant =>
  start
    .add({ days: one.visitDay })
    .toZonedDateTime({ timeZone: ZONE, plainTime: Temporal.PlainTime.from(one.visitTime) })
    .toInstant()
