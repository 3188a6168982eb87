/** The history before any drops: what applies and is still open, unclear ones once more in other words. */
import { html } from 'hono/html'
import { Temporal } from 'temporal-polyfill'
import { pages } from '../../../templates/pages-en.ts'
import { HISTORY_FORM, type HistoryForm } from '../../flow/forms.ts'
import type { Outcome } from '../../flow/outcome.ts'
import { pageText } from '../../messages/render.ts'
import { clinicValues } from '../../messages/send.ts'
import { questionsFor, screen } from '../../softening/screening.ts'
import { type Screening, screeningsOf } from '../../softening/store.ts'
import { ANSWERS, type ScreeningAnswerValue } from '../../softening/types.ts'
import { getVisit, type Visit } from '../../visits/store.ts'
import type { Html } from '../shared/layout.ts'
import { keptTitle, whatNow } from './after.ts'
import { type Form, form, mend, optionsField, wordsField } from './form.ts'
import type { Sheet } from './frame.ts'
import type { Action, Page } from './page.ts'
import type { Reader } from './reader.ts'
import { overSheet } from './words.ts'

const texts = pages.screening

interface History {
  visit: Visit
  screening: Screening
}

interface Item {
  id: string
  asked: 1 | 2
  words: string
  /** Stands on its own: that it is asked tells nothing of an answer given before. */
  isFirst: boolean
}

async function historyOf({ flow, question }: Reader): Promise<History | null> {
  const visit = question?.visitId ? await getVisit(flow, question.visitId) : null
  const screening = visit && (await screeningsOf(flow, [visit.visitId])).get(visit.visitId)
  const isToCome = visit && Temporal.Instant.compare(visit.startAt, flow.now) > 0
  return visit?.status === 'booked' && isToCome && screening && screening.status !== 'cancelled'
    ? { visit, screening }
    : null
}

/** What is to be asked now, in the protocol's order. */
function itemsOf({ flow }: Reader, { screening }: History): Item[] {
  const rules = flow.rules.softening
  const { unanswered, askAgain } = screen(screening.answers, rules)
  return questionsFor(screening.answers, rules)
    .filter(({ id }) => unanswered.includes(id) || askAgain.includes(id))
    .map(({ id, text, again, askIf }) => {
      const isAgain = askAgain.includes(id)
      return { id, asked: isAgain ? 2 : 1, words: isAgain ? again : text, isFirst: !askIf && !isAgain }
    })
}

export const historyPage: Page = async (reader) => {
  const history = await historyOf(reader)
  if (!history) return overSheet()
  if (history.screening.status === 'answered') return doneSheet()
  const all = itemsOf(reader, history)
  // Without a fact to give, what was answered before stays covered: only the first questions are shown.
  const items = reader.known ? all : all.filter(({ isFirst }) => isFirst)
  if (items.length > 0) return askSheet(reader, items, html`<p>${texts.why}</p><p>${texts.each}</p>`)
  if (all.length > 0) return finishSheet(reader)
  return { title: texts.heading, body: html`<p>${texts.toPerson}</p>` }
}

const doneSheet = (): Sheet => ({ title: texts.heading, body: html`<p>${texts.done}</p>` })

const finishSheet = ({ flow }: Reader): Sheet => ({
  title: texts.heading,
  body: html`<p>${pageText(texts.finish, clinicValues(flow.clinic))}</p>`,
})

function askSheet(reader: Reader, items: Item[], before: Html, status?: 422): Sheet {
  const options = ANSWERS.map((value) => ({ value, label: pages.shared[value] }))
  const field = (item: Item): Html =>
    optionsField({
      name: `${item.asked}.${item.id}`,
      legend: item.words,
      options,
      shape: 'row',
      ...(item.asked === 2 && { above: texts.again }),
    })
  return {
    title: texts.heading,
    ...(status && { status }),
    body: html`${before}
${form(reader.text, 'history', html`${items.map(field)}${wordsField()}<button>${pages.shared.send}</button>`)}`,
  }
}

/** The answers in the form; which wording was asked stands in each field's name, so that a form sent twice is one. */
function answersIn(fields: Form, known: ReadonlySet<string>): HistoryForm['answers'] {
  return fields.names.flatMap((name) => {
    const [, asked, question = ''] = /^([12])\.([a-z0-9-]{1,60})$/.exec(name) ?? []
    const answer = fields.one(name) as ScreeningAnswerValue
    if (!known.has(question) || !ANSWERS.includes(answer)) return []
    return [{ question, answer, asked: asked === '2' ? (2 as const) : (1 as const) }]
  })
}

export const historyAction: Action = {
  async read(reader, fields) {
    if (reader.question?.kind !== 'screening') return overSheet()
    const known = new Set(reader.flow.rules.softening.screening.questions.map(({ id }) => id))
    const answers = answersIn(fields, known)
    const words = fields.one('words').trim()
    if (answers.length > 0 || words) {
      return { transport: HISTORY_FORM, body: JSON.stringify({ answers, words }), aboutQuestion: true }
    }
    const sheet = await historyPage(reader)
    return { ...sheet, status: 422, body: html`${mend(pages.shared.required)}${sheet.body}` }
  },

  async after(reader, outcome) {
    const history = await historyOf(reader)
    const told = whatNow(reader.flow, outcome, html``)
    if (!history) return { title: keptTitle(outcome), body: html`${told}<p>${texts.over}</p>` }
    const items = outcome.read ? itemsOf(reader, history) : []
    // Who must call for help at once is asked nothing more now; the link opens the rest later.
    if (outcome.urgency === 'now' || outcome.distress) return { title: keptTitle(outcome), body: told }
    // They have just answered: what follows from it may be asked of them.
    if (items.length > 0) return askSheet(reader, items, html`${told}<p>${texts.more}</p>`)
    return settledSheet(reader, outcome, history, told)
  },
}

function settledSheet(reader: Reader, outcome: Outcome, { screening }: History, told: Html): Sheet {
  const judged = screening.outcome
  const said =
    !outcome.read || !judged?.settled
      ? texts.why
      : judged.toPerson
        ? texts.toPerson
        : judged.decision === 'withheld'
          ? texts.withheld
          : texts.planned
  const stopped = reader.patient.stoppedAt ? pageText(texts.stopped, clinicValues(reader.flow.clinic)) : ''
  return {
    title: keptTitle(outcome),
    body: html`${told}<p>${said}</p>${stopped ? html`<p>${stopped}</p>` : ''}`,
  }
}
