/** Ordinary wordings of how often the drops went in and whether the wax is softer; `?` is neither. */
import { readFileSync } from 'node:fs'
import { describe, expect, test } from 'vitest'
import { read } from './support.ts'

type Row = { field: 'doses' | 'softened'; asked: boolean; text: string; value: number | boolean | null }

const rows: Row[] = []
let head: Pick<Row, 'field' | 'asked'> = { field: 'doses', asked: true }
for (const line of readFileSync(new URL('tables/doses-softness.txt', import.meta.url), 'utf8').split('\n')) {
  const [, field, how] = /^# (doses|softened) (asked|told)$/.exec(line) ?? []
  if (field !== undefined) head = { field: field === 'doses' ? 'doses' : 'softened', asked: how === 'asked' }
  else if (line !== '') {
    const [value = '', ...text] = line.split(' | ')
    rows.push({ ...head, text: text.join(' | '), value: value === '?' ? null : JSON.parse(value) })
  }
}

describe('doses and softness', () => {
  test.each(rows)('$field, asked $asked: $text', ({ field, asked, text, value }) => {
    const { reading } = read(text, { context: 'softening', ...(asked ? { question: field } : {}) })
    expect(reading[field]).toBe(value)
  })

  test('a run of times or of hedges takes no time to give up on', () => {
    const from = performance.now()
    for (const unit of ['9.30 ', 'half 8 ', 'did it ', 'then i '])
      read(`${unit.repeat(25)}z`, { context: 'softening', question: 'doses' })
    for (const unit of ['perhaps ', 'it is ', 'to me ', 'sort of ', 'i do think '])
      read(`${unit.repeat(7)}z`, { context: 'softening', question: 'softened' })
    expect(performance.now() - from).toBeLessThan(1_500)
  })
})
