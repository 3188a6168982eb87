/** Other times for a visit: up to three to choose from, or the old one. */
import { html } from 'hono/html'
import { Temporal } from 'temporal-polyfill'
import { pages } from '../../../templates/pages-en.ts'
import { MOVE_FORM, moveFormBody } from '../../flow/forms.ts'
import { pageText } from '../../messages/render.ts'
import { soonWords, whenWords } from '../../messages/words.ts'
import { type Move, movesOf } from '../../softening/moves/store.ts'
import { getVisit, type Visit } from '../../visits/store.ts'
import { keptTitle, whatNow } from './after.ts'
import { form } from './form.ts'
import type { Sheet } from './frame.ts'
import type { Action, Page } from './page.ts'
import type { Reader } from './reader.ts'
import { overSheet } from './words.ts'

const texts = pages.move

async function moveOf({ flow, question }: Reader): Promise<{ move: Move; visit: Visit } | null> {
  if (!question?.visitId || !question.moveId) return null
  const visit = await getVisit(flow, question.visitId)
  const move = (await movesOf(flow, [question.visitId])).find(({ moveId }) => moveId === question.moveId)
  return visit && move ? { move, visit } : null
}

export const movePage: Page = async (reader) => {
  const found = await moveOf(reader)
  if (!found) return overSheet()
  const { move, visit } = found
  const isOpen = move.status === 'proposed' && Temporal.Instant.compare(move.deadlineAt, reader.flow.now) > 0
  return isOpen ? chooseSheet(reader, move, visit) : settledSheet(reader, move, visit)
}

function chooseSheet({ flow, text, known }: Reader, move: Move, visit: Visit): Sheet {
  const { zone } = flow.clinic
  const answerBy = soonWords(move.deadlineAt, flow.now, zone)
  return {
    title: texts.heading,
    body: html`${known ? html`<p>${pageText(texts.now, { when: whenWords(visit.startAt, zone) })}</p>` : ''}
<p class="ask">${texts.ask}</p>
${form(
  text,
  'move',
  html`${move.choices.map(
    ({ startAt }, i) =>
      html`<button name="choice" value="${i + 1}">${pageText(texts.choose, { when: whenWords(Temporal.Instant.from(startAt), zone) })}</button>`,
  )}
<button class="plain" name="choice" value="keep">${texts.keep}</button>`,
)}
<p>${pageText(texts.by, { answerBy })}</p>`,
  }
}

/** `own`: they have just chosen it themselves. Without the fact, the visit's time is not told. */
function settledSheet({ flow, known }: Reader, { status }: Move, visit: Visit): Sheet {
  const when = whenWords(visit.startAt, flow.clinic.zone)
  const words =
    status === 'accepted'
      ? [texts.moved, texts.movedPlain]
      : status === 'declined'
        ? [texts.kept, texts.keptPlain]
        : [texts.late, texts.latePlain]
  const isHeld = visit.status === 'booked'
  return isHeld
    ? {
        title: texts.heading,
        body: html`<p class="noted">${known ? pageText(words[0] as string, { when }) : words[1]}</p>`,
      }
    : overSheet()
}

export const moveAction: Action = {
  async read(reader, fields) {
    const found = reader.question?.kind === 'move' ? await moveOf(reader) : null
    if (!found) return overSheet()
    const choice = fields.one('choice')
    if (choice === 'keep') return { transport: MOVE_FORM, body: moveFormBody(null), aboutQuestion: true }
    const isOffered = /^[1-9]$/.test(choice) && Number(choice) <= found.move.choices.length
    return isOffered
      ? { transport: MOVE_FORM, body: moveFormBody(Number(choice)), aboutQuestion: true }
      : movePage(reader)
  },
  async after(reader, outcome) {
    const found = await moveOf(reader)
    if (!found) return overSheet()
    if (outcome.read && found.move.status !== 'proposed') return settledSheet(reader, found.move, found.visit)
    return {
      title: keptTitle(outcome),
      body: whatNow(reader.flow, outcome, html`<p>${pages.kept.words}</p>`),
    }
  },
}
