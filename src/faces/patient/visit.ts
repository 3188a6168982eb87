/** A visit's link: when it is, what to do with drops, and how to say that it does not suit. */
import { html } from 'hono/html'
import { Temporal } from 'temporal-polyfill'
import { pages } from '../../../templates/pages-en.ts'
import { pageText } from '../../messages/render.ts'
import { dayWords, earWords, timesWords, whenWords } from '../../messages/words.ts'
import { plansOf, type StoredPlan, screeningsOf } from '../../softening/store.ts'
import { type Visit, visitsOfPatient } from '../../visits/store.ts'
import type { Html } from '../shared/layout.ts'
import { keptTitle, whatNow } from './after.ts'
import { form } from './form.ts'
import type { Sheet } from './frame.ts'
import { gateSheet } from './gate.ts'
import type { Action, Page } from './page.ts'
import type { Reader } from './reader.ts'

const texts = pages.visit

/** The next visit, and the plan that is going on: before it, or after the last one that was held. */
async function matters({ flow, patient }: Reader): Promise<{ visit: Visit | null; plan: StoredPlan | null }> {
  const visits = await visitsOfPatient(flow, patient.patientId)
  const visit =
    visits.find((one) => one.status === 'booked' && Temporal.Instant.compare(one.startAt, flow.now) > 0) ??
    null
  const held = visits.filter((one) => one.status === 'done').at(-1)
  const plans = await plansOf(
    flow,
    [visit, held].flatMap((one) => (one ? [one.visitId] : [])),
  )
  const going = [visit, held].map((one) => one && plans.get(one.visitId))
  return { visit, plan: going.find((plan) => plan && plan.status !== 'done') ?? null }
}

export const visitPage: Page = async (reader) => {
  if (reader.mustGiveFact) {
    const gate = gateSheet(reader)
    return { ...gate, body: html`${gate.body}${cannotForm(reader)}` }
  }
  if (!reader.known) return { title: texts.heading, body: cannotForm(reader) }
  const { visit, plan } = await matters(reader)
  const { zone } = reader.flow.clinic
  return {
    title: texts.heading,
    body: html`${
      visit
        ? html`<p class="noted">${pageText(texts.when, { when: whenWords(visit.startAt, zone) })}</p>
<p>${pageText(texts.howLong, { minutes: visit.minutes })}</p>`
        : html`<p>${texts.none}</p>`
    }
${await dropsPart(reader, visit, plan)}
${visit ? cannotForm(reader) : freshForm(reader)}`,
  }
}

async function dropsPart(reader: Reader, visit: Visit | null, stored: StoredPlan | null): Promise<Html> {
  const { flow } = reader
  if (!stored) {
    const screening = visit && (await screeningsOf(flow, [visit.visitId])).get(visit.visitId)
    return screening ? html`<p>${pages.plan.open}</p>` : html``
  }
  const { plan } = stored
  const [first, last] = [plan.days[0], plan.days.at(-1)]
  if (stored.status === 'withheld') return html`<p>${pages.plan.withheld}</p>`
  if (!first || !last) return html`<p>${pages.plan.none}</p>`
  const agent = flow.rules.softening.agents.find(({ id }) => id === plan.agent)?.name ?? plan.agent
  const day = (iso: string): string => dayWords(Temporal.PlainDate.from(iso))
  const often = pageText(pages.plan.often, {
    ears: earWords(plan.ears.map(({ ear }) => ear)),
    doses: timesWords(plan.dosesADay),
    firstDay: day(first),
    lastDay: day(last),
  })
  return html`<h2>${pages.plan.heading}</h2>
<p>${pageText(pages.plan.agent, { agent })} ${often}</p>
<ol class="steps">${plan.instructions.map((line) => html`<li>${line}</li>`)}</ol>
<p>${pages.plan.mayBlock}</p>
<div class="keel strong"><h3>${pages.plan.stopHeading}</h3>
${plan.stopRules.map((line) => html`<p>${line}</p>`)}</div>`
}

const cannotForm = ({ text }: Reader): Html => html`<h2>${texts.cannot}</h2>
${form(
  text,
  'visit',
  html`<button class="plain" name="wish" value="cannot">${texts.cannotCome}</button>
<button class="plain" name="wish" value="other">${texts.otherTime}</button>`,
)}`

const freshForm = ({ text }: Reader): Html =>
  form(text, 'visit', html`<button class="plain" name="wish" value="fresh">${texts.fresh}</button>`)

/** As a patient would text it; the reader knows both for a wish to move the visit. */
export const WISHES = {
  cannot: 'I cannot come to my visit. Please can I have another time?',
  other: 'I would like another time for my visit. Please can you move it?',
  fresh: 'I would like to arrange a new time for a visit.',
} as const

export const visitAction: Action = {
  read(reader, fields) {
    const wish = fields.one('wish')
    return Object.hasOwn(WISHES, wish)
      ? { body: WISHES[wish as keyof typeof WISHES], aboutQuestion: false }
      : visitPage(reader)
  },
  async after(reader, outcome, fields) {
    const { visit } = await matters(reader)
    const { zone } = reader.flow.clinic
    const noted =
      reader.known && visit
        ? pageText(texts.noted, { when: whenWords(visit.startAt, zone) })
        : fields.one('wish') === 'fresh'
          ? texts.notedFresh
          : texts.notedPlain
    const words = outcome.reading?.reschedule ? noted : texts.unsure
    return {
      title: keptTitle(outcome),
      body: whatNow(reader.flow, outcome, html`<p class="noted">${words}</p>`),
    }
  },
}

/** An invitation to come again. */
export const recallPage: Page = ({ text, over }): Sheet => ({
  title: pages.recall.heading,
  body: over
    ? html`<p>${pages.over.gone}</p>`
    : form(
        text,
        'recall',
        html`<button name="wish" value="yes">${pages.recall.yes}</button>
<button class="plain" name="wish" value="no">${pages.recall.no}</button>`,
      ),
})

const RECALL_ANSWERS = { yes: WISHES.fresh, no: 'No' } as const

export const recallAction: Action = {
  read(reader, fields) {
    const wish = fields.one('wish')
    if (wish !== 'yes' && wish !== 'no') return recallPage(reader)
    return { body: RECALL_ANSWERS[wish], aboutQuestion: true }
  },
  after: ({ flow }, outcome) => ({
    title: keptTitle(outcome),
    body: whatNow(flow, outcome, html`<p>${pages.recall.noted}</p>`),
  }),
}
