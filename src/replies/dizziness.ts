/** How bad a dizziness is, wherever in the reply that is said. */
import type { Case } from './assemble.ts'
import type { Finding } from './types.ts'

const FALLEN =
  /\b(can|could) not (\w+ )?(get|stay|sit) (\w+ )?(up|upright|feet)\b|\b(can|could) not (\w+ )?get (up )?off (the |my )?(\w+ )?(floor|bed|sofa|settee|chair)\b|\bcan not get to (my|her|his) feet\b|\b(can|could) not (even |really |hardly )?stand\b(?! (the|this|that|it|him|her|how))|\b(went|go|goes|going) (straight |right )?down\b(?! (to|the|for|hill))|\b(on|to) (the|my) (\w+ )?floor (and )?(can|could) not\b/
const CROOKED = /\bwalk(ed|ing)? (a |in a |very |too |quite )*(straight|far|properly|steady|line)\b/
const FALLS = /\b(stand|stood|standing|upright|crawl\w*|floor|fell|fall|falling)\b/
const LASTS = /\b(constant\w*|all day|all the time|days|week|weeks|still|not (go|gone|stop\w*))\b/

/**
 * Spinning floors one who is "on the bathroom floor and cannot get up". "Cannot walk straight" is unsteady, not unable
 * to stand; "light headed on and off" does not last.
 */
export function applyDegreesOfDizziness(c: Case, findings: Finding[]) {
  const dizzy = findings.filter((f) => f.kind === 'dizziness' && f.polarity === 'affirmed')
  if (dizzy.length === 0) return
  const w = c.tokens.map((t) => t.w).join(' ')
  const spinning = dizzy.filter((f) => f.tags.some((t) => t === 'spinning' || t === 'unsteady'))
  if (spinning.length > 0 && FALLEN.test(w))
    for (const f of spinning) if (!f.tags.includes('cannot-stand')) f.tags.push('cannot-stand')
  const standless = dizzy.filter((f) => f.tags.includes('cannot-stand'))
  if (standless.length > 0 && CROOKED.test(w) && !FALLS.test(w))
    for (const f of standless)
      f.tags = [
        ...new Set<Finding['tags'][number]>([...f.tags.filter((t) => t !== 'cannot-stand'), 'unsteady']),
      ]
  const slight = dizzy.filter(
    (f) =>
      /light.?head|floaty|faint/i.test(f.words) &&
      !f.tags.some((t) => t === 'spinning' || t === 'unsteady' || t === 'cannot-stand'),
  )
  if (slight.length > 0 && !LASTS.test(w))
    for (const f of slight) f.tags = f.tags.filter((t) => t !== 'lasting')
}
