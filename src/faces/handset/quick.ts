/** Answers at hand for the question that is open, so that the demo can be played with one finger. */
import type { Question } from '../../messages/store.ts'

const CHECK = [
  'A bit sore, 2 out of 10. No fluid. Hearing is better. Not dizzy.',
  'It hurts a lot now, 8, and something yellow is coming out.',
]

export function quickAnswers(question: Question | undefined): string[] {
  if (!question) return []
  const {
    doses = 2,
    choices = 1,
    asks,
  } = question.detail as {
    doses?: number
    choices?: number
    asks?: string
  }
  const upTo = (from: number, to: number): string[] =>
    Array.from({ length: Math.max(0, to - from + 1) }, (_, i) => String(from + i))
  switch (question.kind) {
    case 'dose':
      return upTo(0, doses)
    case 'move':
      return [...upTo(1, choices), 'NO']
    case 'screening':
      return asks ? ['YES', 'NO', 'NOT SURE'] : ['NONE']
    case 'check':
      return CHECK
    default:
      return ['YES', 'NO']
  }
}
