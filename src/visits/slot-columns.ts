/** The columns of a file of open times and how one row is checked: pure, every problem named by field. */
import type { Temporal } from 'temporal-polyfill'
import {
  type ColumnDoc,
  fieldReader,
  needed,
  type RowProblem,
  startInstant,
  wholeMinutes,
} from './columns.ts'

export interface SlotRow {
  start: Temporal.Instant
  minutes: number
  practitioner: string
  room: string | null
}

/** A slot may hold several visits, so it may be longer than one. */
export const MOST_SLOT_MINUTES = 480

export const SLOT_COLUMNS: ColumnDoc[] = [
  {
    name: 'start',
    needed: true,
    says: '2026-03-04T09:30, clinic-local, or with zone: 2026-03-04T09:30+00:00',
  },
  { name: 'minutes', needed: true, says: `length, 5 to ${MOST_SLOT_MINUTES}` },
  { name: 'practitioner', needed: true, says: 'name of the practitioner' },
  { name: 'room', needed: false, says: 'room, where rooms are shared' },
]

/** Checks one record. @returns the row, or all its problems */
export function checkSlotRow(
  record: Record<string, string>,
  line: number,
  zone: string,
): { row: SlotRow } | { problems: RowProblem[] } {
  const problems: RowProblem[] = []
  const read = fieldReader(record, line, problems)
  const row = {
    start: read('start', (text) => startInstant(needed(text, 40), zone)),
    minutes: read('minutes', (text) => wholeMinutes(text, MOST_SLOT_MINUTES)),
    practitioner: read('practitioner', (text) => needed(text, 200)),
    room: read('room', (text) => (text === '' ? null : needed(text, 100))),
  }
  return problems.length > 0 ? { problems } : { row: row as SlotRow }
}
