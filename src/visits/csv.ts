/** RFC 4180 files of visits and open times: a stream of bytes in, checked rows and problems out, line by line. */
import type { Readable } from 'node:stream'
import { finished } from 'node:stream/promises'
import { CsvError, parse } from 'csv-parse'
import { wordsOf } from '../trouble.ts'
import {
  COLUMNS,
  type ColumnDoc,
  checkRow,
  type RowContext,
  type RowProblem,
  type VisitRow,
} from './columns.ts'
import { checkSlotRow, SLOT_COLUMNS, type SlotRow } from './slot-columns.ts'

export type CsvItem<Row> = { line: number; row: Row } | { line: number; problems: RowProblem[] }

interface Kind<Row> {
  columns: ColumnDoc[]
  check(record: Record<string, string>, line: number): { row: Row } | { problems: RowProblem[] }
  /** What may stand in the file once only, and the field that names it. */
  key(row: Row): { field: string; value: string }
}

/** Every visit of the file in order. */
export const readVisits = (input: Readable, context: RowContext): AsyncGenerator<CsvItem<VisitRow>> =>
  readRows(input, {
    columns: COLUMNS,
    check: (record, line) => checkRow(record, line, context),
    key: ({ reference }) => ({ field: 'reference', value: reference }),
  })

/** Every open time of the file in order. */
export const readSlots = (input: Readable, zone: string): AsyncGenerator<CsvItem<SlotRow>> =>
  readRows(input, {
    columns: SLOT_COLUMNS,
    check: (record, line) => checkSlotRow(record, line, zone),
    key: ({ start, practitioner }) => ({ field: 'start', value: `${start} ${practitioner}` }),
  })

interface CsvRecord {
  record: string[]
  /** Lines read by the record's end. */
  lines: number
}

/** Every record before a fault is yielded before the fault is thrown: a stream's own iterator would drop them. */
async function* recordsOf(input: Readable): AsyncGenerator<CsvRecord> {
  const read: CsvRecord[] = []
  let fault: unknown = null
  const parser = parse({
    bom: true,
    relax_column_count: true,
    skip_empty_lines: true,
    skip_records_with_empty_values: true,
    max_record_size: 100_000,
    record_delimiter: ['\r\n', '\n', '\r'],
    on_record: (record: string[], { lines }) => {
      read.push({ record, lines })
      return null
    },
  })
  parser.on('error', (error) => {
    fault = error
  })
  parser.resume()
  for await (const chunk of input) {
    await new Promise<void>((resolve) => parser.write(chunk, () => resolve()))
    yield* read.splice(0)
    if (fault) throw fault
  }
  parser.end()
  await finished(parser).catch((error) => {
    fault = error
  })
  yield* read.splice(0)
  if (fault) throw fault
}

/** Yields every record of the file in order; a file that cannot be read further ends in a problem with its line. */
async function* readRows<Row>(
  input: Readable,
  { columns, check, key }: Kind<Row>,
): AsyncGenerator<CsvItem<Row>> {
  let header: string[] | null = null
  const seen = new Map<string, number>()
  let doubled = 0
  try {
    for await (const { record, lines } of recordsOf(input)) {
      // The parser counts lines at a record's end, and a CRLF inside quotes as two.
      const within = record.flatMap((field) => field.match(/\r\n?|\n/g) ?? [])
      const line = lines - doubled - within.reduce((sum, end) => sum + end.length, 0)
      doubled += within.filter((end) => end.length === 2).length
      if (!header) {
        header = record.map((name) => name.trim().toLowerCase().replaceAll(' ', '_'))
        const problems = headerProblems(header, columns)
        if (problems.length === 0) continue
        yield { line, problems: problems.map((problem) => ({ ...problem, line })) }
        return
      }
      if (record.length !== header.length) {
        const message = `the row has ${record.length} fields and the header ${header.length}: check commas and quotes`
        yield { line, problems: [{ line, field: 'row', message }] }
        continue
      }
      const fields = Object.fromEntries(header.map((name, i) => [name, record[i] ?? '']))
      const checked = check(fields, line)
      if ('problems' in checked) {
        yield { line, ...checked }
        continue
      }
      const { field, value } = key(checked.row)
      const before = seen.get(value)
      if (before !== undefined) {
        const message = `"${value}" stands on line ${before} already: keep one of the two`
        yield { line, problems: [{ line, field, message }] }
        continue
      }
      seen.set(value, line)
      yield { line, row: checked.row }
    }
    if (!header)
      yield {
        line: 1,
        problems: [{ line: 1, field: 'row', message: 'the file is empty: it needs a header' }],
      }
  } catch (error) {
    const quotes = error instanceof CsvError
    const line = quotes && typeof error.lines === 'number' ? error.lines - doubled : 0
    const message = `the file cannot be read from here on (${wordsOf(error)}): ${quotes ? 'mend the quotes and ' : ''}import it again`
    yield { line, problems: [{ line, field: 'row', message }] }
  }
}

const SEPARATORS: Record<string, string> = { ';': 'semicolons', '\t': 'tabs', '|': 'bars' }

function headerProblems(header: string[], columns: ColumnDoc[]): RowProblem[] {
  const names = columns.map(({ name }) => name)
  const problem = (field: string, message: string): RowProblem => ({ line: 1, field, message })
  const separator = Object.keys(SEPARATORS).find((one) => header.length === 1 && header[0]?.includes(one))
  if (separator) {
    const message = `the fields are separated by ${SEPARATORS[separator]}: save the file with commas`
    return [problem('row', message)]
  }
  const missing = columns.filter((column) => column.needed && !header.includes(column.name))
  const unknown = header.filter((name) => !names.includes(name))
  const twice = header.filter((name, i) => header.indexOf(name) !== i)
  return [
    ...missing.map(({ name }) => problem(name, 'the header lacks this column: add it')),
    ...unknown.map((name) =>
      problem(name, `the header has an unknown column: the columns are ${names.join(', ')}`),
    ),
    ...twice.map((name) => problem(name, 'the header names this column twice')),
  ]
}
