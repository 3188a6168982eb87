/** Procedure records for tests: a plain one to change, and any at all. */
import fc from 'fast-check'
import {
  CANAL,
  DRUM,
  type EarRecord,
  FELT,
  FOUND,
  METHODS,
  type ProcedureRecord,
  RESULTS,
} from '../../src/aftercare/record.ts'
import { EARS, SOFTNESS } from '../../src/softening/types.ts'

const plainEar: EarRecord = {
  ear: 'left',
  found: ['soft-wax'],
  softness: 'soft',
  methods: ['suction'],
  result: 'cleared',
  canal: ['normal'],
  drum: 'normal',
  felt: ['nothing'],
  advice: '',
}

/** An easy ear with these changes. */
export const ear = (changes: Partial<EarRecord> = {}): EarRecord => ({ ...plainEar, ...changes })
export const record = (...ears: Partial<EarRecord>[]): ProcedureRecord => ({
  ears: ears.length === 0 ? [ear()] : ears.map((changes, i) => ear({ ear: EARS[i] as 'left', ...changes })),
})

const some = <T extends string>(values: readonly T[], minLength = 0) =>
  fc.uniqueArray(fc.constantFrom(...values), { minLength })
const orAlone = <T extends string>(values: readonly T[], word: T) =>
  fc.oneof(
    fc.constant<T[]>([word]),
    some(
      values.filter((value) => value !== word),
      1,
    ),
  )

export const anyEar: fc.Arbitrary<EarRecord> = fc.record({
  ear: fc.constantFrom(...EARS),
  found: some(FOUND),
  softness: fc.constantFrom(...SOFTNESS),
  methods: some(METHODS),
  result: fc.constantFrom(...RESULTS),
  canal: orAlone(CANAL, 'normal'),
  drum: fc.constantFrom(...DRUM),
  felt: orAlone(FELT, 'nothing'),
  advice: fc.constant<string>(''),
})

export const anyRecord: fc.Arbitrary<ProcedureRecord> = fc.oneof(
  anyEar.map((only) => ({ ears: [only] })),
  fc.tuple(anyEar, anyEar).map(([left, right]) => ({
    ears: [
      { ...left, ear: 'left' as const },
      { ...right, ear: 'right' as const },
    ],
  })),
)
