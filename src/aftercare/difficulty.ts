/** How hard a removal was on the ear, judged from the record by the protocol's rows. */
import type { Rule } from '../protocol/rule.ts'
import {
  type AftercareRules,
  DIFFICULTY,
  type DifficultyLevel,
  type EarCondition,
} from '../protocol/sections/aftercare.ts'
import type { Ear } from '../softening/types.ts'
import type { EarRecord, ProcedureRecord } from './record.ts'

/** A rule that held, and the ear it held for. */
export interface EarReason extends Rule {
  ear: Ear
}

export interface Difficulty {
  level: DifficultyLevel
  reasons: EarReason[]
}

/** A row with no more than its rule, as it is shown and stored. */
export const reasonFor = ({ id, text, source }: Rule, ear: Ear): EarReason => ({ id, text, source, ear })

export const harder = (a: DifficultyLevel, b: DifficultyLevel): DifficultyLevel =>
  DIFFICULTY.indexOf(a) >= DIFFICULTY.indexOf(b) ? a : b

/** Whether every field that the condition names has, or includes, one of the values given. */
export function holds(when: EarCondition, ear: EarRecord, difficulty?: DifficultyLevel): boolean {
  const said: Record<keyof EarCondition, readonly string[]> = {
    ...listed(ear),
    difficulty: difficulty ? [difficulty] : [],
  }
  return Object.entries(when).every(([field, wanted]) =>
    said[field as keyof EarCondition].some((value) => (wanted as readonly string[]).includes(value)),
  )
}

const listed = ({ found, softness, methods, result, canal, drum, felt }: EarRecord) => ({
  found,
  softness: [softness],
  methods,
  result: [result],
  canal,
  drum: [drum],
  felt,
})

/** One ear: the hardest row that holds; enough separate hard reasons together are traumatic. */
export function earDifficulty(ear: EarRecord, rules: AftercareRules): Difficulty {
  const held = rules.difficulty.filter(({ when }) => holds(when, ear))
  const level = held.reduce<DifficultyLevel>((worst, rule) => harder(worst, rule.level), 'easy')
  const reasons = held.map((rule) => reasonFor(rule, ear.ear))
  const hard = held.filter((rule) => rule.level === 'hard').length
  if (level === 'hard' && hard >= rules.hardTogether.count)
    return { level: 'traumatic', reasons: [...reasons, reasonFor(rules.hardTogether, ear.ear)] }
  return { level, reasons }
}

/** The whole procedure is as hard as its harder ear. */
export function difficulty(record: ProcedureRecord, rules: AftercareRules): Difficulty {
  const ears = record.ears.map((ear) => earDifficulty(ear, rules))
  return {
    level: ears.reduce<DifficultyLevel>((worst, ear) => harder(worst, ear.level), 'easy'),
    reasons: ears.flatMap(({ reasons }) => reasons),
  }
}
