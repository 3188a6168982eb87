import fc from 'fast-check'
import { expect, test } from 'vitest'
import { markText } from '../../src/replies/mark.ts'
import { read } from './support.ts'

test('marks each finding in the words that gave it', () => {
  const text = 'No pain but my ear is bleeding'
  const { reading } = read(text)
  const marked = markText(text, reading.findings).filter((s) => s.findings.length > 0)
  expect(marked.map((s) => s.text)).toEqual(['pain', 'bleeding'])
})

test('overlapping findings share their common words', () => {
  expect(
    markText('abcdef', [
      { start: 0, end: 4 },
      { start: 2, end: 6 },
    ]),
  ).toEqual([
    { text: 'ab', start: 0, end: 2, findings: [0] },
    { text: 'cd', start: 2, end: 4, findings: [0, 1] },
    { text: 'ef', start: 4, end: 6, findings: [1] },
  ])
})

test('any spans: the segments join to the whole text', () => {
  fc.assert(
    fc.property(
      fc.string(),
      fc.array(fc.record({ start: fc.integer(), end: fc.integer() })),
      (text, spans) => {
        expect(
          markText(text, spans)
            .map((s) => s.text)
            .join(''),
        ).toBe(text)
      },
    ),
  )
})
