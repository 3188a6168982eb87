/** Files as clinics' programs and spreadsheets write them: every fault is told by its own line and field. */
import { Readable } from 'node:stream'
import { describe, expect, test } from 'vitest'
import type { VisitRow } from '../../src/visits/columns.ts'
import { readSlots, readVisits } from '../../src/visits/csv.ts'

const HEADER = 'reference,name,mobile,start,minutes,practitioner,purpose,ears'
const row = (reference: string, more: Partial<Record<'name' | 'mobile' | 'start', string>> = {}): string =>
  `${reference},${more.name ?? 'Winifred Oakes'},${more.mobile ?? '07700 900311'},${more.start ?? '2026-12-03T10:00'},30,Ottoline Marsh,removal,both`

async function read(content: string | Buffer, zone = 'Europe/London') {
  const rows: { line: number; row: VisitRow }[] = []
  const problems: string[] = []
  const input = Readable.from([Buffer.from(content)])
  for await (const item of readVisits(input, { zone, region: 'GB', language: 'en' })) {
    if ('row' in item) rows.push(item)
    else problems.push(...item.problems.map(({ line, field, message }) => `${line} ${field}: ${message}`))
  }
  return { rows, problems }
}

describe('RFC 4180', () => {
  test.each([
    ['CRLF', '\r\n'],
    ['LF', '\n'],
    ['CR', '\r'],
  ])('lines may end in %s, with or without a byte order mark', async (_, end) => {
    const file = [HEADER, row('A1'), row('A2')].join(end)
    for (const content of [file, `${file}${end}`, `\uFEFF${file}`]) {
      const { rows, problems } = await read(content)
      expect(problems).toEqual([])
      expect(rows.map(({ line, row: { reference } }) => `${line} ${reference}`)).toEqual(['2 A1', '3 A2'])
    }
  })

  test('quoted fields hold commas, quotes and line ends; the lines after them are still counted right', async () => {
    const file = [
      HEADER,
      row('A1', { name: '"Oakes, ""Win"""' }),
      row('A2', { name: '"Two\r\nlines"' }),
      row('A3', { name: '"Three\nmore\nlines"' }),
      row('A4', { start: 'soon' }),
      row('A5'),
    ].join('\r\n')
    const { rows, problems } = await read(file)
    expect(rows.map(({ line, row: { name } }) => `${line} ${name}`)).toEqual([
      '2 Oakes, "Win"',
      '9 Winifred Oakes',
    ])
    expect(problems.map((one) => one.split(':')[0])).toEqual(['3 name', '5 name', '8 start'])
  })

  test('empty lines and rows of nothing but commas are no rows', async () => {
    const { rows, problems } = await read([HEADER, '', row('A1'), ',,,,,,,', '', row('A2')].join('\n'))
    expect(problems).toEqual([])
    expect(rows.map(({ line }) => line)).toEqual([3, 6])
  })

  test.each([
    [';', 'semicolons'],
    ['\t', 'tabs'],
  ])('fields apart by "%s" get one clear sentence', async (separator, name) => {
    const { problems } = await read([HEADER, row('A1')].join('\n').replaceAll(',', separator))
    expect(problems).toEqual([`1 row: the fields are separated by ${name}: save the file with commas`])
  })

  test('columns that lack, are unknown or stand twice are named', async () => {
    const { problems } = await read('reference,Name,name,colour\n')
    expect(problems).toContain('1 start: the header lacks this column: add it')
    expect(problems.some((one) => one.startsWith('1 colour: the header has an unknown column'))).toBe(true)
    expect(problems).toContain('1 name: the header names this column twice')
  })

  test('a reference twice, a short row and an open quote each cost their own row alone', async () => {
    const file = [HEADER, row('A1'), row('A1'), 'A2,Short', row('A3'), 'A4,"open'].join('\n')
    const { rows, problems } = await read(file)
    expect(rows.map((one) => one.row.reference)).toEqual(['A1', 'A3'])
    expect(problems.map((one) => one.split(':')[0])).toEqual(['3 reference', '4 row', '6 row'])
  })

  test('bytes of another encoding are refused, not stored as question marks', async () => {
    const { rows, problems } = await read(
      Buffer.from([HEADER, row('A1', { name: 'Ren\u00e9e' })].join('\n'), 'latin1'),
    )
    expect(rows).toEqual([])
    expect(problems).toEqual(['2 name: holds a character that is not UTF-8: save the file as UTF-8'])
  })

  test('a file of open times is read the same way', async () => {
    const slots: unknown[] = []
    for await (const item of readSlots(
      Readable.from(['start;minutes;practitioner\n2026-12-03T10:00;30;O\n']),
      'Europe/London',
    ))
      slots.push(item)
    expect(slots).toMatchObject([{ problems: [{ field: 'row', message: /semicolons/ }] }])
  })
})

describe('times in the clinic zone', () => {
  test.each([
    ['2026-03-29T01:30', null],
    ['2026-10-25T01:30', null],
    ['2026-03-29T00:59', '2026-03-29T00:59:00Z'],
    ['2026-03-29T02:00', '2026-03-29T01:00:00Z'],
    ['2026-10-25T01:30+01:00', '2026-10-25T00:30:00Z'],
    ['2026-10-25T01:30+00:00', '2026-10-25T01:30:00Z'],
    ['2026-10-25T01:30[Europe/London]', '2026-10-25T00:30:00Z'],
    ['2026-02-29T09:30', null],
    ['03/12/2026 09:30', null],
  ])('%s is %s', async (start, instant) => {
    const { rows, problems } = await read([HEADER, row('A1', { start })].join('\n'))
    expect(rows.map((one) => one.row.start.toString())).toEqual(instant ? [instant] : [])
    expect(problems.map((one) => one.split(':')[0])).toEqual(instant ? [] : ['2 start'])
  })
})

describe('numbers', () => {
  test.each([
    ['07700 900123', '+447700900123'],
    ['+44 (0)7700 900123', '+447700900123'],
    ['0044 7700-900123', '+447700900123'],
    ['+33 6 12 34 56 78', '+33612345678'],
    // One digit short, a landline kept for fiction, one of London kept for fiction, free of charge, two at once.
    ['0770090012', null],
    ['01632 960001', null],
    ['020 7946 0991', null],
    ['0800 123 4567', null],
    ['07700 900123 / 07700 900124', null],
  ])('%s is %s', async (mobile, stored) => {
    const { rows, problems } = await read([HEADER, row('A1', { mobile })].join('\n'))
    expect(rows.map((one) => one.row.mobile)).toEqual(stored ? [stored] : [])
    expect(problems.map((one) => one.split(':')[0])).toEqual(stored ? [] : ['2 mobile'])
  })
})
