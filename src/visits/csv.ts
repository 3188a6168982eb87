/** RFC 4180 files of visits and open times: a stream of bytes in, checked rows and problems out, line by line. */
import type { Readable } from 'node:stream'
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

/** Yields every record of the file in order; a file that cannot be read further ends in a problem with its line. */
async function* readRows<Row>(
  input: Readable,
  { columns, check, key }: Kind<Row>,
): AsyncGenerator<CsvItem<Row>> {
  const parser = parse({
    bom: true,
    relax_column_count: true,
    skip_empty_lines: true,
    info: true,
    max_record_size: 100_000,
    record_delimiter: ['\r\n', '\n', '\r'],
  })
  input.on('error', (error) => parser.destroy(error))
  input.pipe(parser)
  let header: string[] | null = null
  const seen = new Map<string, number>()
  try {
    for await (const { record, info } of parser as AsyncIterable<{
      record: string[]
      info: { lines: number }
    }>) {
      const line = info.lines
      if (!header) {
        header = record.map((name) => name.trim().toLowerCase().replaceAll(' ', '_'))
        const problems = headerProblems(header, columns)
        if (problems.length === 0) continue
        yield { line, problems }
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
    const line = error instanceof CsvError && typeof error.lines === 'number' ? error.lines : 0
    const message = `the file cannot be read from here on (${wordsOf(error)}): mend the quotes and import it again`
    yield { line, problems: [{ line, field: 'row', message }] }
  }
}

function headerProblems(header: string[], columns: ColumnDoc[]): RowProblem[] {
  const names = columns.map(({ name }) => name)
  const problem = (field: string, message: string): RowProblem => ({ line: 1, field, message })
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
