/**
 * A second question to the third reader's model: do the words sound like those of replies that could not wait for
 * tomorrow? Asked only where the rules found nothing urgent; it raises a reply to the urgency of its own row, with the
 * words that weighed most, and never lowers one. Trained by tests/replies/train-third-reader.ts.
 */
import { type Shape, shapeOf, thirdReading, weightsOf } from './third-reader.ts'
import type { Doubt, Reading } from './types.ts'
import { BIAS, WEIGHTS } from './urgent-weights.ts'

/**
 * Hundredths of log-odds. `sure`: where the rules know every clause for harmless, or take the signs for somebody
 * else's. Set on sets left out of training: `npm run train:third-reader -- --measure`.
 */
export const URGENT_BAR = { usual: 200, sure: 500 } as const

const weights = weightsOf(BIAS, WEIGHTS)

/** None, or one for each of the words that weighed most. Another language is left to whoever reads it. */
export function soundsUrgent(
  reading: Pick<Reading, 'text' | 'context' | 'questions' | 'language' | 'explained' | 'doubts'>,
  shape: Shape = shapeOf(reading.text),
): Doubt[] {
  const { text, context, questions, language, explained, doubts } = reading
  // "10/10": figures alone sound like nothing.
  if (language !== 'en' || !/\p{L}|\p{Extended_Pictographic}/u.test(text)) return []
  const others = doubts.some(({ rule }) => rule === 'u-other-person')
  const { score, spans } = thirdReading(text, context, questions.length > 0, weights, shape)
  if (score < (explained || others ? URGENT_BAR.sure : URGENT_BAR.usual)) return []
  return spans.map((span) => ({
    rule: 'u-sounds-urgent',
    ...span,
    words: text.slice(span.start, span.end),
  }))
}
