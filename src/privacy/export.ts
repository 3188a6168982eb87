/** A patient's own copy of everything that is held of them: as data, and in plain lines to read. */
import { Temporal } from 'temporal-polyfill'
import type { Clinic } from '../clinic.ts'
import type { Scope } from '../database/service.ts'
import { CONSENT_WORDS } from './consent.ts'
import { PLACES } from './places.ts'
import { type Row, rowsOf } from './store.ts'

export interface PatientCopy {
  format: 'foreaft-patient-copy/1'
  clinic: string
  madeAt: string
  /** Numbered words that `consent` of the patient points at. */
  consentWords: typeof CONSENT_WORDS
  sections: { table: string; title: string; rows: Row[] }[]
}

/** @returns null where there is no such patient. The clinic looks through it before it is handed over. */
export async function copyOfPatient(
  scope: Scope,
  clinic: Pick<Clinic, 'name'>,
  patientId: string,
): Promise<PatientCopy | null> {
  const sections: PatientCopy['sections'] = []
  for (const place of PLACES.filter(({ exported }) => exported)) {
    const rows = await rowsOf(scope, place, patientId)
    sections.push({
      table: place.table,
      title: place.title,
      rows: place.table === 'audit' ? rows.map(withoutWho) : rows,
    })
  }
  const person = sections.find(({ table }) => table === 'patient')
  if (!person || person.rows.length === 0) return null
  return {
    format: 'foreaft-patient-copy/1',
    clinic: clinic.name,
    madeAt: scope.now.toString(),
    consentWords: CONSENT_WORDS,
    sections: [person, ...sections.filter((one) => one !== person)],
  }
}

// Who of the staff it was is theirs; the patient asks the clinic for it.
const withoutWho = (row: Row): Row => ({
  at: row.at,
  who: String(row.actor).split(':')[0],
  what: row.action,
})

const HIDDEN = /(^|_)(id|seq|dedupe|version|key|ref|by|staff)$|[a-z]Ids?$/

/** Plain text: one block a row, times in the clinic's zone; ids and empty fields are left out (the data has them). */
export function copyAsText(copy: PatientCopy, zone: string): string {
  const lines = [
    `What ${copy.clinic} holds about you in its messaging service`,
    `Made on ${timeOf(copy.madeAt, zone)}`,
    '',
  ]
  for (const { title, rows } of copy.sections) {
    if (rows.length === 0) continue
    lines.push(title.toUpperCase(), '')
    for (const row of rows) lines.push(...linesOf(row, zone, ''), '')
  }
  lines.push('THE WORDS YOU AGREED TO, BY NUMBER', '')
  for (const { version, words } of copy.consentWords) lines.push(`${version}: ${words}`)
  lines.push('')
  return lines.join('\n')
}

function linesOf(row: Row, zone: string, indent: string): string[] {
  return Object.entries(row).flatMap(([key, value]) => {
    if (value === null || value === '' || value === false || HIDDEN.test(key)) return []
    const label = `${indent}${key.replaceAll('_', ' ')}`
    if (Array.isArray(value)) {
      if (value.length === 0) return []
      if (value.every((one) => typeof one !== 'object')) return [`${label}: ${value.join(', ')}`]
      return [`${label}:`, ...value.flatMap((one) => linesOf(one as Row, zone, `${indent}  `))]
    }
    if (typeof value === 'object') return [`${label}:`, ...linesOf(value as Row, zone, `${indent}  `)]
    return [`${label}: ${typeof value === 'string' ? timeOf(value, zone) : String(value)}`]
  })
}

function timeOf(text: string, zone: string): string {
  if (!/^\d{4}-\d\d-\d\dT[\d:.]+(Z|[+-]\d\d:\d\d)$/.test(text)) return text.replaceAll('\n', ' / ')
  const local = Temporal.Instant.from(text).toZonedDateTimeISO(zone)
  return `${local.toPlainDate()} ${local.toPlainTime().toString({ smallestUnit: 'minute' })}`
}
