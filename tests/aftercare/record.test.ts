import fc from 'fast-check'
import { expect, test } from 'vitest'
import { earRecordSchema, procedureRecordSchema } from '../../src/aftercare/record.ts'
import { anyRecord, ear, record } from './records.ts'

test('any record that can be written down is accepted as it is', () => {
  fc.assert(
    fc.property(anyRecord, (any) => {
      expect(procedureRecordSchema.parse(any)).toEqual(any)
    }),
  )
})

test.each([
  ['no ear', { ears: [] }],
  ['the same ear twice', record({ ear: 'left' }, { ear: 'left' })],
  ['three ears', { ears: [ear(), ear({ ear: 'right' }), ear()] }],
  ['a canal both normal and grazed', record({ canal: ['normal', 'grazed'] })],
  ['nothing felt, and pain', record({ felt: ['nothing', 'pain'] })],
  ['a canal of which nothing is said', record({ canal: [] })],
  ['the same finding twice', record({ found: ['hard-wax', 'hard-wax'] })],
  ['a word that is not in the list', record({ drum: 'shiny' as 'normal' })],
])('%s is refused', (_, wrong) => {
  expect(procedureRecordSchema.safeParse(wrong).success).toBe(false)
})

test('advice may be left out and is trimmed', () => {
  const { advice: _, ...without } = ear()
  expect(earRecordSchema.parse(without).advice).toBe('')
  expect(earRecordSchema.parse(ear({ advice: '  Keep it dry. ' })).advice).toBe('Keep it dry.')
})
