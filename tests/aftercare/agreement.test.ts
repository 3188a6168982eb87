/** Two rooms judge the ears after a removal: neither may allow drops that the other forbids. */
import fc from 'fast-check'
import { expect, test } from 'vitest'
import { afterwards } from '../../src/aftercare/afterwards.ts'
import { defaultAftercare } from '../../src/protocol/sections/aftercare.ts'
import { softeningDefaults } from '../../src/protocol/sections/softening.ts'
import { nextPlan } from '../../src/softening/afterwards.ts'
import { anyRecord } from './records.ts'

const WORST_FIRST = ['bleeding', 'grazed', 'sore', 'normal'] as const

test('an ear that the softening room withholds drops from is not started here, and both name the same ears', () => {
  fc.assert(
    fc.property(anyRecord, (record) => {
      const next = nextPlan(
        {
          day: '2026-01-12',
          ears: record.ears.map(({ ear, result, canal, drum, found }) => ({
            ear,
            result,
            canal: WORST_FIRST.find((word) => canal.includes(word)) ?? 'normal',
            drum,
            deadSkinPlug: found.includes('skin-plug'),
          })),
          deadSkinBefore: false,
        },
        softeningDefaults,
      )
      const { ears, visit } = afterwards(record, defaultAftercare)
      const open = ears.filter(({ softening }) => softening !== 'not-needed').map(({ ear }) => ear)
      expect(next?.ears ?? []).toEqual(open)
      const started = ears.filter(({ softening }) => softening === 'start').map(({ ear }) => ear)
      for (const ear of started) expect(next?.withheldEars).not.toContain(ear)
      if (next) expect(visit).not.toBeNull()
    }),
  )
})
