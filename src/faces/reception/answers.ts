/** The possible answers to a visit that will not be soft enough, each with its button. */
import type { Context } from 'hono'
import { html } from 'hono/html'
import { Temporal } from 'temporal-polyfill'
import type { StaffEnv } from '../../access/env.ts'
import { MOST_CHOICES } from '../../flow/moves.ts'
import { whenWords } from '../../messages/words.ts'
import { percent } from '../../softening/day-sheet.ts'
import type { VisitAnswer } from '../../softening/moves/choices.ts'
import type { Visit } from '../../visits/store.ts'
import { csrfField } from '../shared/forms.ts'
import type { Html } from '../shared/layout.ts'

/** The optimiser names an open slot by its key, which says nothing to a person. */
export const withoutKeys = (reason: string): string =>
  reason.replace(/, open slot [0-9a-f]{8}(-[0-9a-f]{4}){3}-[0-9a-f]{12}/g, ', an open time')

const gain = ({ saving }: VisitAnswer): string => {
  const whole = Math.round(Math.abs(saving) * 10) / 10
  if (whole === 0) return 'costs the same as keeping it'
  return saving > 0 ? `saves ${whole} against keeping it` : `costs ${whole} more than keeping it`
}

/** At most this many other times are listed: the best ones. */
const MOST_TIMES = 4

const moves = (answers: readonly VisitAnswer[]): VisitAnswer[] =>
  answers.filter(({ action, slot }) => action === 'move' && slot !== null)

/** Moves that are worth offering: each saves something. */
export const goodMoves = (answers: readonly VisitAnswer[]): VisitAnswer[] =>
  moves(answers)
    .filter(({ saving }) => saving > 0)
    .slice(0, MOST_CHOICES)

export function answersPart(
  c: Context<StaffEnv>,
  visit: Visit,
  answers: readonly VisitAnswer[],
  zone: string,
): Html {
  const times = new Set(moves(answers).slice(0, MOST_TIMES))
  const shown = answers.filter(({ action }) => action !== 'move' && action !== 'swap')
  const ranked = answers.filter((answer) => times.has(answer) || shown.includes(answer))
  const offer = goodMoves(answers)
  if (ranked.length === 0) return html`<p>No other answer is known for this visit.</p>`
  return html`${
    offer.length > 1
      ? html`<form method="post" action="/reception/visits/${visit.visitId}/propose" class="act">${csrfField(c)}
${offer.map(({ slot }) => html`<input type="hidden" name="slot[]" value="${slot}">`)}
<button>Offer the patient the best ${offer.length} times</button></form>`
      : ''
  }
<ol>${ranked.map((answer) => html`<li>${oneAnswer(c, visit, answer, zone)}</li>`)}</ol>`
}

function oneAnswer(c: Context<StaffEnv>, visit: Visit, answer: VisitAnswer, zone: string): Html {
  const ready = answer.readiness === null ? '' : `, ${percent(answer.readiness)} likely to be soft enough`
  const to = `/reception/visits/${visit.visitId}`
  const when = whenWords(Temporal.Instant.from(answer.start), zone)
  switch (answer.action) {
    case 'move':
      return html`<p><strong>Move to ${when}</strong> with ${answer.practitioner}${ready} (${gain(answer)}).</p>
<form method="post" action="${to}/propose" class="act">${csrfField(c)}<input type="hidden" name="slot[]" value="${answer.slot}">
<button class="plain">Offer ${when}</button></form>`
    case 'lengthen':
      return html`<p><strong>Make it ${answer.minutes} minutes</strong>, with softening in the chair (${gain(answer)}).</p>
<form method="post" action="${to}/lengthen" class="act">${csrfField(c)}<input type="hidden" name="minutes" value="${answer.minutes}">
<button class="plain">Make it ${answer.minutes} minutes</button></form>`
    case 'assessment':
      return html`<p><strong>Turn it into an assessment</strong>: look at the ears and plan, clear them another day (${gain(answer)}).</p>
<form method="post" action="${to}/assessment" class="act">${csrfField(c)}<button class="plain">Turn into an assessment</button></form>`
    default:
      return html`<p><strong>Keep it</strong> because it is urgent or no other answer suits${ready}.</p>
<form method="post" action="${to}/keep" class="row act">${csrfField(c)}
<label class="field">Why it is kept <input name="why" maxlength="200" required></label> <button class="plain">Keep it</button></form>`
  }
}
