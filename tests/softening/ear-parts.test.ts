/** "Left 2, right 1": which words belong to which ear. */
import { expect, test } from 'vitest'
import { partsByEar } from '../../src/softening/ear-parts.ts'

test.each([
  ['left 2 right 1', 'left: left 2 | right: right 1'],
  ['Right none. Left both', 'right: Right none | left: Left both'],
  ['two in the left and none in the right', 'left: two in the left | right: none in the right'],
  ['1 in my right ear but 2 in the left one', 'right: 1 in my right ear | left: 2 in the left one'],
])('%s', (text, parts) => {
  expect(
    partsByEar(text)
      ?.map(({ ear, words }) => `${ear}: ${words}`)
      .join(' | '),
  ).toBe(parts)
})

test.each([
  'yes both',
  '2 in the left',
  'left, right, left again 2',
  '2 left 1 right',
  'all right, 2 in the left, none in the right',
])('%s is not taken apart', (text) => {
  expect(partsByEar(text)).toBeNull()
})
