/** Urgency as staff see it: a word, and a stair that climbs with it. */
import { html } from 'hono/html'
import type { Html } from './layout.ts'

export type Urgency = 'none' | 'unclear' | 'soon' | 'today' | 'now'

/** `none` is no promise that all is well: only that nothing to act on was found. */
export const urgencyWords: Record<Urgency, string> = {
  now: 'Now',
  today: 'Today',
  soon: 'Soon',
  unclear: 'Unclear: read it yourself',
  none: 'Nothing found to act on',
}

const steps: Record<Urgency, number> = { none: 0, unclear: 0, soon: 1, today: 2, now: 3 }

export function urgencyMark(urgency: Urgency): Html {
  const bars = [0, 1, 2].map((i) => {
    const height = 6 + i * 6
    const filled = i < steps[urgency]
    return html`<rect x="${i * 9 + 1}" y="${20 - height}" width="7" height="${height - 1}" fill="${filled ? 'currentColor' : 'none'}" stroke="currentColor" stroke-width="1.5"/>`
  })
  const shape =
    urgency === 'unclear'
      ? html`<text x="14" y="17" text-anchor="middle" font-size="18" font-weight="700" fill="currentColor">?</text>`
      : bars
  return html`<span class="urgency ${urgency}"><svg viewBox="0 0 28 20" width="28" height="20" aria-hidden="true">${shape}</svg> ${urgencyWords[urgency]}</span>`
}
