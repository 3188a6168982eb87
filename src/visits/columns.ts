/** The columns of a visits file and how one row is checked: pure, every problem named by field. */
import { parsePhoneNumberFromString } from 'libphonenumber-js/max'
import { Temporal } from 'temporal-polyfill'
import { z } from 'zod'

export interface VisitRow {
  reference: string
  name: string
  /** E.164. */
  mobile: string | null
  email: string | null
  language: string
  /** YYYY-MM-DD */
  birthDate: string | null
  start: Temporal.Instant
  minutes: number
  practitioner: string
  purpose: 'assessment' | 'removal' | 'recheck'
  ears: 'left' | 'right' | 'both'
  status: 'booked' | 'cancelled'
  room: string | null
  urgent: boolean
  inPain: boolean
  recurrent: boolean
}

export interface RowProblem {
  /** Line of the file, counted from 1, the header being line 1. */
  line: number
  field: string
  /** What to mend. */
  message: string
}

export interface ColumnDoc {
  name: string
  needed: boolean
  says: string
}

/** As documented in the README. */
export const COLUMNS: ColumnDoc[] = [
  {
    name: 'reference',
    needed: true,
    says: "the clinic's own number for the visit; the same reference is the same visit",
  },
  { name: 'name', needed: true, says: "the patient's name" },
  {
    name: 'mobile',
    needed: false,
    says: 'mobile number, with or without country code; mobile or email must be there',
  },
  { name: 'email', needed: false, says: 'email address' },
  { name: 'language', needed: false, says: "BCP 47 code such as en or cy; empty means the clinic's own" },
  { name: 'birth_date', needed: false, says: 'YYYY-MM-DD' },
  {
    name: 'start',
    needed: true,
    says: '2026-03-04T09:30, clinic-local, or with zone: 2026-03-04T09:30+00:00',
  },
  { name: 'minutes', needed: true, says: 'length, 5 to 240' },
  { name: 'practitioner', needed: true, says: 'name of the practitioner' },
  { name: 'purpose', needed: true, says: 'assessment, removal or recheck' },
  { name: 'ears', needed: true, says: 'left, right or both' },
  { name: 'status', needed: false, says: 'booked (or empty) or cancelled' },
  { name: 'room', needed: false, says: 'room, where rooms are shared' },
  { name: 'urgent', needed: false, says: 'yes or no (or empty): must not be pushed back' },
  { name: 'in_pain', needed: false, says: 'yes or no (or empty): never moved later' },
  { name: 'recurrent', needed: false, says: 'yes or no (or empty): dead skin that keeps coming back' },
]

export interface RowContext {
  zone: string
  region: string
  language: string
}

/** A field that is wrong: its message says what to mend. */
export class Bad extends Error {}

const emailSchema = z.email()

/** Checks one record. @returns the row, or all its problems */
export function checkRow(
  record: Record<string, string>,
  line: number,
  context: RowContext,
): { row: VisitRow } | { problems: RowProblem[] } {
  const problems: RowProblem[] = []
  const read = fieldReader(record, line, problems)
  const row = {
    reference: read('reference', (text) => needed(text, 100)),
    name: read('name', (text) => needed(text, 200)),
    mobile: read('mobile', (text) => mobileNumber(text, context.region)),
    email: read('email', emailAddress),
    language: read('language', (text) => languageTag(text || context.language)),
    birthDate: read('birth_date', birthDay),
    start: read('start', (text) => startInstant(needed(text, 40), context.zone)),
    minutes: read('minutes', (text) => wholeMinutes(text, 240)),
    practitioner: read('practitioner', (text) => needed(text, 200)),
    purpose: read('purpose', oneOf(['assessment', 'removal', 'recheck'])),
    ears: read('ears', oneOf(['left', 'right', 'both'])),
    status: read('status', (text) => oneOf(['booked', 'cancelled'])(text || 'booked')),
    room: read('room', (text) => (text === '' ? null : needed(text, 100))),
    urgent: read('urgent', yesNo),
    inPain: read('in_pain', yesNo),
    recurrent: read('recurrent', yesNo),
  }
  if (row.mobile === null && row.email === null && row.status !== 'cancelled') {
    problems.push({
      line,
      field: 'mobile',
      message: 'give a mobile number or an email address: there is no way to write to the patient',
    })
  }
  return problems.length > 0 ? { problems } : { row: row as VisitRow }
}

/** Reads one field after another of a record; what is wrong goes to `problems` and reads as undefined. */
export function fieldReader(
  record: Record<string, string>,
  line: number,
  problems: RowProblem[],
): <T>(field: string, parse: (text: string) => T) => T | undefined {
  return (field, parse) => {
    try {
      return parse(clean(record[field]))
    } catch (error) {
      if (!(error instanceof Bad)) throw error
      problems.push({ line, field, message: error.message })
      return undefined
    }
  }
}

const clean = (text: string | undefined): string => (text ?? '').normalize('NFC').trim()

export function needed(text: string, longest: number): string {
  if (text === '') throw new Bad('is empty: fill it in')
  if (text.length > longest) throw new Bad(`is longer than ${longest} characters: shorten it`)
  if (/[\p{Cc}]/u.test(text)) throw new Bad('holds a control character: take it out')
  if (text.includes('\uFFFD')) throw new Bad('holds a character that is not UTF-8: save the file as UTF-8')
  return text
}

/** Kinds of number that get no texts, by the library's plan of numbers. */
const NO_TEXTS = ['FIXED_LINE', 'TOLL_FREE', 'PREMIUM_RATE', 'SHARED_COST', 'UAN', 'VOICEMAIL', 'PAGER']

/** Ofcom, National Telephone Numbering Plan: mobile numbers are 07 and nine more digits. */
const BRITISH_MOBILE = /^7\d{9}$/

function mobileNumber(text: string, region: string): string | null {
  if (text === '') return null
  const number = parsePhoneNumberFromString(text, region as 'GB')
  // Numbers reserved for fiction are well-formed but belong to nobody, so only the form is asked for.
  const british = number?.countryCallingCode === '44'
  const digits = String(number?.nationalNumber ?? '')
  if (!number?.isPossible() || (british && digits.startsWith('7') && !BRITISH_MOBILE.test(digits)))
    throw new Bad(`"${text}" is not a telephone number: write it in full, such as 07700 900123`)
  if (NO_TEXTS.includes(number.getType() ?? '') || (british && !digits.startsWith('7')))
    throw new Bad(`"${text}" is a landline or service number, which gets no texts: give a mobile number`)
  return number.number
}

function emailAddress(text: string): string | null {
  if (text === '') return null
  if (!emailSchema.safeParse(text).success) throw new Bad(`"${text}" is not an email address`)
  return text.toLowerCase()
}

function languageTag(text: string): string {
  try {
    return Intl.getCanonicalLocales(text)[0] as string
  } catch {
    throw new Bad(`"${text}" is not a language code: write one such as en`)
  }
}

function birthDay(text: string): string | null {
  if (text === '') return null
  try {
    const day = Temporal.PlainDate.from(text, { overflow: 'reject' })
    if (!/^\d{4}-\d\d-\d\d$/.test(text) || day.year < 1880) throw new RangeError()
    return day.toString()
  } catch {
    throw new Bad(`"${text}" is not a date: write YYYY-MM-DD`)
  }
}

/** With an offset or zone as it says; without one in the clinic's zone, where a time that a clock change skips or doubles is refused. */
export function startInstant(text: string, zone: string): Temporal.Instant {
  const written = text.replace(' ', 'T')
  if (!/^\d{4}-\d\d-\d\dT\d\d:\d\d/.test(written)) {
    throw new Bad(`"${text}" is not a time: write 2026-03-04T09:30, or with its zone 2026-03-04T09:30+00:00`)
  }
  try {
    if (/(Z|[+-]\d\d:?\d\d)$/i.test(written)) return Temporal.Instant.from(written)
    if (written.endsWith(']')) return Temporal.ZonedDateTime.from(written, { offset: 'reject' }).toInstant()
    return Temporal.PlainDateTime.from(written, { overflow: 'reject' })
      .toZonedDateTime(zone, { disambiguation: 'reject' })
      .toInstant()
  } catch {
    throw new Bad(`"${text}" does not exist, or exists twice, in ${zone}: mend the time or write its offset`)
  }
}

export function wholeMinutes(text: string, most: number): number {
  const minutes = Number(text)
  if (!/^\d+$/.test(text) || minutes < 5 || minutes > most) {
    throw new Bad(`"${text}" is not a length: write whole minutes from 5 to ${most}`)
  }
  return minutes
}

function oneOf<const T extends string>(values: readonly T[]): (text: string) => T {
  return (text) => {
    const found = values.find((value) => value === text.toLowerCase())
    if (!found) throw new Bad(`"${text}" is not one of ${values.join(', ')}`)
    return found
  }
}

const yesNo = (text: string): boolean => oneOf(['yes', 'no'])(text || 'no') === 'yes'
