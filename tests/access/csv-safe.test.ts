import { parse } from 'csv-parse/sync'
import fc from 'fast-check'
import { expect, test } from 'vitest'
import { csvCell, csvOf } from '../../src/access/csv-safe.ts'

test('no text starts a formula (OWASP, CSV injection)', () => {
  const hostile = [
    '=1+1',
    '+1',
    '-1',
    '@SUM(A1)',
    '\t=1',
    '\r=1',
    '\n=1',
    ' =1',
    '＝1',
    '|calc',
    '%0A=1',
    '\0=1',
    '\0',
  ]
  for (const text of hostile) {
    const [[cell]] = parse(csvOf([], [[text]]), { relax_column_count: true }).slice(-1) as [[string]]
    expect(cell, JSON.stringify(text)).toBe(`'${text}`)
  }
  expect(csvCell(-3.5)).toBe('-3.5')
  expect(csvCell(null)).toBe('')
  expect(csvCell('Hazel')).toBe('Hazel')
})

test('whatever the cells hold, the file reads back to the same cells, none of which is run', () => {
  fc.assert(
    fc.property(
      fc.array(fc.array(fc.string({ unit: 'binary' }), { minLength: 3, maxLength: 3 }), { maxLength: 8 }),
      (rows) => {
        const read = parse(csvOf(['a', 'b', 'c'], rows), { from_line: 1, relax_quotes: false }) as string[][]
        expect(read.length).toBe(rows.length + 1)
        rows.forEach((row, i) => {
          const cells = read[i + 1] as string[]
          row.forEach((text, j) => {
            expect([text, `'${text}`]).toContain(cells[j])
            expect(cells[j]).not.toMatch(/^[\s\0]*[=+\-@|%]/)
          })
        })
      },
    ),
    { numRuns: 150 },
  )
})
