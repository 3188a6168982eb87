import { expect, test } from 'vitest'
import { moreUrgent, URGENCIES } from '../../src/protocol/rule.ts'

test('the more urgent of two wins whichever comes first', () => {
  for (const [i, a] of URGENCIES.entries())
    for (const [j, b] of URGENCIES.entries()) expect(moreUrgent(a, b)).toBe(URGENCIES[Math.max(i, j)])
})
