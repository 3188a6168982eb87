/** What the pages of a patient's link send: turned into words that a clinician can read, or into answers. */
import { z } from 'zod'
import { ANSWERS, type ScreeningAnswer } from '../softening/types.ts'

/** Transport of the history's page: answers by question, and the patient's own words. */
export const HISTORY_FORM = 'link-history'

export const historyFormSchema = z.object({
  answers: z
    .array(
      z.object({
        question: z.string().max(60),
        answer: z.enum(ANSWERS),
        asked: z.union([z.literal(1), z.literal(2)]),
      }),
    )
    .max(60),
  words: z.string().max(4000).default(''),
})
export type HistoryForm = z.infer<typeof historyFormSchema>

/** The stored reply of a history page: its answers, its own words, and the text that a human reads. */
export function readHistoryForm(body: string): { answers: ScreeningAnswer[]; words: string } {
  return historyFormSchema.parse(JSON.parse(body))
}

export const checkFormSchema = z.object({
  pain: z.coerce.number().int().min(0).max(10).optional(),
  discharge: z.enum(['none', 'clear', 'coloured', 'blood', 'smell']).optional(),
  hearing: z.enum(['better', 'same', 'worse']).optional(),
  dizziness: z.enum(['none', 'passed', 'now']).optional(),
  words: z.string().max(4000).default(''),
})
export type CheckForm = z.infer<typeof checkFormSchema>

const DISCHARGE = {
  none: 'No discharge.',
  clear: 'Clear fluid is coming from my ear.',
  coloured: 'Yellow or green discharge is coming from my ear.',
  blood: 'Blood is coming from my ear.',
  smell: 'Smelly discharge is coming from my ear.',
} as const
const HEARING = {
  better: 'My hearing is better.',
  same: 'My hearing is the same.',
  worse: 'My hearing is worse since the procedure.',
} as const
const DIZZINESS = {
  none: 'No dizziness.',
  passed: 'I was dizzy for a short time and it has passed.',
  now: 'I am dizzy now.',
} as const

/** The choices of a check as plain sentences, then the patient's own words: read like any other reply. */
export function checkSentences(form: CheckForm): string {
  return [
    form.pain === undefined ? '' : form.pain === 0 ? 'No pain.' : `Pain ${form.pain} out of 10.`,
    form.discharge ? DISCHARGE[form.discharge] : '',
    form.hearing ? HEARING[form.hearing] : '',
    form.dizziness ? DIZZINESS[form.dizziness] : '',
    form.words.trim(),
  ]
    .filter(Boolean)
    .join(' ')
}
