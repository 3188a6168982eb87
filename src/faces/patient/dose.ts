/** A day's drops: a number to tap, each ear for itself where they differ, and how to mend it. */
import { html } from 'hono/html'
import { Temporal } from 'temporal-polyfill'
import { pages } from '../../../templates/pages-en.ts'
import { dayOf } from '../../flow/context.ts'
import { DOSE_FORM, type DosesSaid, doseFormBody } from '../../flow/forms.ts'
import { pageText } from '../../messages/render.ts'
import { dayWords, timesWords } from '../../messages/words.ts'
import { doseDayRows, planById } from '../../softening/store.ts'
import type { Html } from '../shared/layout.ts'
import { keptTitle, whatNow } from './after.ts'
import { type Form, form, mend, optionsField, wordsField } from './form.ts'
import type { Sheet } from './frame.ts'
import type { Action, Page } from './page.ts'
import type { Reader } from './reader.ts'
import { overSheet } from './words.ts'

const texts = pages.dose

/** Doses that the question asked about: the numbers to choose from end there. */
const dosesOf = ({ question }: Reader): number => {
  const { doses = 2 } = (question?.detail ?? {}) as { doses?: number }
  return Math.min(9, Math.max(1, doses))
}
const numbersOf = (reader: Reader): number[] => Array.from({ length: dosesOf(reader) + 1 }, (_, i) => i)

const dayNamed = ({ question }: Reader): string =>
  dayWords(Temporal.PlainDate.from((question?.day as string | null) ?? '2000-01-01'))

export const dosePage: Page = async (reader) => {
  if (reader.over || !reader.question?.day) return overSheet()
  // What was said before is shown to whoever gave the year; anybody may answer.
  const noted = reader.known ? await notedOf(reader) : null
  return doseSheet(reader, noted ? html`<p>${noted}</p>` : html``)
}

async function doseSheet(reader: Reader, before: Html, status?: 422): Promise<Sheet> {
  const day = dayNamed(reader)
  const isToday = reader.question?.day === dayOf(reader.flow, reader.flow.now).toString()
  return {
    title: pageText(texts.heading, { day }),
    ...(status && { status }),
    body: html`${before}
${isToday ? '' : html`<p>${pageText(texts.notToday, { day })}</p>`}
${await numbersForm(reader, texts.tap)}`,
  }
}

async function numbersForm(reader: Reader, hint: string, { again = false } = {}): Promise<Html> {
  const { text } = reader
  return html`${form(
    text,
    'doses',
    html`<div role="group" aria-labelledby="how-many"><p class="ask" id="how-many">${texts.ask}</p>
<p class="hint">${hint}</p>
<div class="numbers">
${numbersOf(reader).map((count) => html`<button name="done" value="${count}" ${again ? html`class="plain"` : ''} aria-label="${timesWordsPlain(count)}">${count}</button>`)}
</div></div>
${(await hasBothEars(reader)) ? html`<p><a class="wide" href="/p/${text}/ears">${texts.eachEar}</a></p>` : ''}
${wordsField({ label: texts.trouble, rows: 3 })}
<button class="plain" name="done" value="">${pages.shared.sendWords}</button>`,
  )}`
}

const timesWordsPlain = (count: number): string => `${count} ${count === 1 ? 'time' : 'times'}`

async function hasBothEars({ flow, question }: Reader): Promise<boolean> {
  const plan = question?.planId ? await planById(flow, question.planId) : null
  return (plan?.plan.ears.length ?? 0) > 1
}

export const earsPage: Page = async (reader) => {
  if (reader.over || reader.question?.kind !== 'dose') return overSheet()
  return earsSheet(reader)
}

function earsSheet(reader: Reader, error = '', given?: Form): Sheet {
  const day = dayNamed(reader)
  const options = numbersOf(reader).map((count) => ({ value: String(count), label: String(count) }))
  const field = (name: 'left' | 'right'): Html =>
    optionsField({
      name,
      legend: pageText(texts.ear, { ears: `${name} ear` }),
      options,
      chosen: given?.all(name) ?? [],
      shape: 'numbers',
    })
  return {
    title: texts.eachEarHeading,
    ...(error && { status: 422 as const }),
    body: html`${error ? mend(error) : ''}<p>${pageText(texts.heading, { day })}.</p>
${form(
  reader.text,
  'doses',
  html`${field('left')}${field('right')}
${wordsField({ label: texts.trouble, rows: 3, value: given?.one('words') ?? '' })}
<button>${texts.sendBoth}</button>`,
)}`,
  }
}

/** What stands in the plan for this day now, in words; null where nothing does. */
async function notedOf({ flow, question }: Reader): Promise<string | null> {
  if (!question?.planId || !question.day) return null
  const rows = (await doseDayRows(flow, [question.planId])).filter(({ day }) => day === question.day)
  const said = rows.filter((row) => row.done !== null || row.some)
  if (said.length === 0) return null
  const words = (done: number | null): string =>
    done === null ? texts.some : done === 0 ? texts.none : pageText(texts.times, { doses: timesWords(done) })
  const [left, right] = (['left', 'right'] as const).map((ear) => rows.find((row) => row.ear === ear))
  const differ = left && right && (left.done !== right.done || left.some !== right.some)
  const answer = differ
    ? pageText(texts.eachNoted, { left: words(left.done), right: words(right.done) })
    : words(said[0]?.done ?? null)
  return pageText(texts.noted, { answer, day: dayWords(Temporal.PlainDate.from(question.day)) })
}

export const doseAction: Action = {
  async read(reader, fields) {
    const words = fields.one('words').trim()
    if (reader.question?.kind !== 'dose') return overSheet()
    const most = dosesOf(reader)
    const count = (name: string): number | null => {
      const value = fields.one(name)
      return /^\d$/.test(value) && Number(value) <= most ? Number(value) : null
    }
    const asksEars = fields.names.includes('left') || fields.names.includes('right')
    const [done, left, right] = [count('done'), count('left'), count('right')]
    const said: DosesSaid[] | null =
      left !== null && right !== null
        ? [
            { ears: ['left'], done: left },
            { ears: ['right'], done: right },
          ]
        : done !== null
          ? [{ ears: null, done }]
          : null
    if (said) return { transport: DOSE_FORM, body: doseFormBody(said, words), aboutQuestion: true }
    if (words && !asksEars) return { body: words, aboutQuestion: true }
    return asksEars
      ? earsSheet(reader, pages.shared.required, fields)
      : doseSheet(reader, mend(pages.shared.required), 422)
  },

  async after(reader, outcome) {
    const noted = await notedOf(reader)
    const said = noted ? html`<p class="noted">${noted}</p>` : html`<p>${pages.kept.words}</p>`
    // What cannot wait, or was not read, stands before what was noted.
    const isPlain = outcome.read && outcome.urgency === 'none'
    const told = isPlain
      ? html`${said}<p>${pages.kept.close}</p>`
      : html`${whatNow(reader.flow, outcome, html``)}${noted ? said : ''}`
    const again = await numbersForm(reader, texts.mend, { again: true })
    return {
      title: keptTitle(outcome),
      body: html`${told}${reader.over ? '' : html`<h2>${texts.mendHeading}</h2>${again}`}`,
    }
  },
}
