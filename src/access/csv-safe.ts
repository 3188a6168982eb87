/** CSV that a spreadsheet opens as text: RFC 4180, and no cell can start a formula. */

// A spreadsheet runs a cell that starts with one of these, also behind spaces or a quote (OWASP, CSV injection).
const dangerous = /^[\s\0]*[=+\-@\t\r\n\0|%＝＋－＠]/

export type Cell = string | number | boolean | null | undefined

/** One cell. Numbers are numbers; a text that would be run gets a leading apostrophe. */
export function csvCell(value: Cell): string {
  if (value === null || value === undefined) return ''
  if (typeof value !== 'string') return String(value)
  const safe = dangerous.test(value) ? `'${value}` : value
  return /[",\r\n]/.test(safe) || safe !== safe.trim() ? `"${safe.replaceAll('"', '""')}"` : safe
}

/** A whole file with its header; lines end in CRLF. */
export function csvOf(header: string[], rows: Iterable<Cell[]>): string {
  return [header, ...rows].map((cells) => `${cells.map(csvCell).join(',')}\r\n`).join('')
}
