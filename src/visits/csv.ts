/** RFC 4180 visits files: a stream of bytes in, checked rows and problems out, line by line. */
import type { Readable } from 'node:stream'
import { CsvError, parse } from 'csv-parse'
import { wordsOf } from '../trouble.ts'
import { COLUMNS, checkRow, type RowContext, type RowProblem, type VisitRow } from './columns.ts'

export type CsvItem = { line: number; row: VisitRow } | { line: number; problems: RowProblem[] }

const names = COLUMNS.map((column) => column.name)

/** Yields every record of the file in order; a file that cannot be read further ends in a problem with its line. */
export async function* readVisits(input: Readable, context: RowContext): AsyncGenerator<CsvItem> {
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
        const problems = headerProblems(header)
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
      const checked = checkRow(fields, line, context)
      if ('problems' in checked) {
        yield { line, ...checked }
        continue
      }
      const before = seen.get(checked.row.reference)
      if (before !== undefined) {
        const message = `"${checked.row.reference}" stands on line ${before} already: keep one of the two`
        yield { line, problems: [{ line, field: 'reference', message }] }
        continue
      }
      seen.set(checked.row.reference, line)
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

function headerProblems(header: string[]): RowProblem[] {
  const problem = (field: string, message: string): RowProblem => ({ line: 1, field, message })
  const missing = COLUMNS.filter((column) => column.needed && !header.includes(column.name))
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
