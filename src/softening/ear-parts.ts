/** An answer that tells of each ear by itself, taken apart. Pure. */
import type { Ear } from './types.ts'

const SIDE = /\b(left|right)\b/gi
const JOINTS = /[,;.\n]|\b(?:and|but)\b/i

const sidesIn = (text: string): Ear[] => [...text.matchAll(SIDE)].map(([side]) => side.toLowerCase() as Ear)

/**
 * The words for each ear where a text tells of both apart: "left 2, right 1", "two in the left and none in the
 * right", "left 2 right 1". Null where it does not, or where it cannot be said which words belong to which ear.
 */
export function partsByEar(text: string): { ear: Ear; words: string }[] | null {
  if (new Set(sidesIn(text)).size !== 2 || sidesIn(text).length !== 2) return null
  const second = [...text.matchAll(SIDE)].at(-1)?.index ?? 0
  const joined = text.split(JOINTS).filter((part) => part.trim() !== '')
  const whole = joined.every((part) => sidesIn(part).length === 1) ? joined : null
  const startsWithSide = /^\W*(in )?(the |my )?(left|right)\b/i.test(text)
  const parts = whole ?? (startsWithSide ? [text.slice(0, second), text.slice(second)] : null)
  if (parts?.length !== 2) return null
  return parts.map((words) => ({ ear: sidesIn(words)[0] as Ear, words: words.trim() }))
}
