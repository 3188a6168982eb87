/** What the clinician found and did at a removal, ear by ear. */
import { z } from 'zod'
import { EARS, SOFTNESS } from '../softening/types.ts'

/** `dark-specks` may be fungal; `hollowed-face` is a smooth hollow that tells of something pushed in. */
export const FOUND = [
  'soft-wax',
  'hard-wax',
  'skin-plug',
  'foreign-body',
  'discharge',
  'dark-specks',
  'hollowed-face',
] as const
/** `instrument` is a hook or any other hand instrument. */
export const METHODS = ['suction', 'instrument', 'irrigation'] as const
export const RESULTS = ['cleared', 'part-cleared', 'not-cleared'] as const
export const CANAL = ['normal', 'sore', 'grazed', 'bleeding'] as const
export const DRUM = [
  'normal',
  'inflamed',
  'skin-adherent',
  'perforated',
  'healed-perforation',
  'not-seen',
] as const
export const FELT = ['nothing', 'discomfort', 'pain', 'dizzy', 'coughed', 'faint'] as const

const several = <T extends readonly [string, ...string[]]>(values: T) =>
  z
    .array(z.enum(values))
    .refine((chosen) => new Set(chosen).size === chosen.length, { error: 'Each is said once.' })

/** A word such as `normal` says that there is nothing else to say, so it stands alone. */
const alone =
  (word: string) =>
  (chosen: readonly string[]): boolean =>
    chosen.length === 1 || !chosen.includes(word)

export const earRecordSchema = z.object({
  ear: z.enum(EARS),
  found: several(FOUND),
  softness: z.enum(SOFTNESS),
  methods: several(METHODS),
  result: z.enum(RESULTS),
  canal: several(CANAL)
    .min(1, { error: 'Say how the canal looked.' })
    .refine(alone('normal'), { error: 'A canal is either normal or sore, grazed or bleeding.' }),
  drum: z.enum(DRUM),
  felt: several(FELT)
    .min(1, { error: 'Say what the patient felt.' })
    .refine(alone('nothing'), { error: 'The patient felt either nothing or something.' }),
  advice: z.string().trim().max(2000).default(''),
})
export type EarRecord = z.infer<typeof earRecordSchema>

export const procedureRecordSchema = z.object({
  ears: z
    .array(earRecordSchema)
    .min(1, { error: 'Record at least one ear.' })
    .max(2)
    .refine((ears) => new Set(ears.map(({ ear }) => ear)).size === ears.length, {
      error: 'Record each ear once.',
    }),
})
export type ProcedureRecord = z.infer<typeof procedureRecordSchema>
