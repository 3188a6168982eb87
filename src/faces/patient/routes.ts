/**
 * Patients' links. A GET changes nothing, since links are opened by machines too. What is posted is stored
 * first, then read at once; a reading that fails says so and leaves the reply to its job.
 */
import type { Context } from 'hono'
import { html } from 'hono/html'
import { pages } from '../../../templates/pages-en.ts'
import type { App, Env } from '../../access/env.ts'
import { countTry } from '../../access/limits.ts'
import { giveFact } from '../../access/links.ts'
import { route } from '../../access/route.ts'
import type { Clinic } from '../../clinic.ts'
import { inClinic } from '../../database/service.ts'
import { LINK, MOST_WORDS } from '../../flow/forms.ts'
import { outcomeOf } from '../../flow/outcome.ts'
import { handleReply } from '../../flow/replies.ts'
import { loggedError } from '../../log.ts'
import { receive } from '../../messages/inbound.ts'
import { pageText } from '../../messages/render.ts'
import { clinicValues } from '../../messages/send.ts'
import type { QuestionKind } from '../../messages/store.ts'
import { recordConsent } from '../../privacy/consent.ts'
import { checkAction, checkPage } from './check.ts'
import { doseAction, dosePage, earsPage } from './dose.ts'
import { type Form, readFields } from './form.ts'
import { gone, type Sheet, show } from './frame.ts'
import { gateSheet, wrongYear, yearIn } from './gate.ts'
import { historyAction, historyPage } from './history.ts'
import { moveAction, movePage } from './move.ts'
import type { Action, Page, Posted } from './page.ts'
import { clinicNamed, givePass, newFormId, type Opened, open, type Reader, withReader } from './reader.ts'
import { recallAction, recallPage, visitAction, visitPage } from './visit.ts'
import { overSheet, stopAction, stopPage, wordsAction, wordsPage, wordsSheet } from './words.ts'

/** What each kind of question shows; `personal` ones ask for the fact before anything else. */
const kinds: Record<QuestionKind, { page: Page; personal: boolean }> = {
  dose: { page: dosePage, personal: false },
  check: { page: checkPage, personal: false },
  screening: { page: historyPage, personal: true },
  move: { page: movePage, personal: true },
  recall: { page: recallPage, personal: false },
  softened: { page: wordsPage, personal: false },
}

const actions: Record<string, Action & { personal?: boolean }> = {
  doses: doseAction,
  check: checkAction,
  history: { ...historyAction, personal: true },
  move: { ...moveAction, personal: true },
  visit: visitAction,
  recall: recallAction,
  words: wordsAction,
  stop: stopAction,
}

const firstPage: Page = async (reader) => {
  const { link, question, mustGiveFact } = reader
  if (link.purpose === 'stop') return stopPage(reader)
  if (link.purpose === 'visit') return visitPage(reader)
  if (!question) return overSheet()
  const { page, personal } = kinds[question.kind]
  return personal && mustGiveFact ? gateSheet(reader) : page(reader)
}

/** More posts than a hand can make; a machine that goes on is told so, and nothing is dropped in silence. */
const POSTS = { tries: 60, windowMinutes: 60, blockMinutes: 15 }

type Ask = Context<Env, '/p/:link'>

export function mount(app: App): void {
  for (const [path, page] of [
    ['/p/:link', firstPage],
    ['/p/:link/words', wordsPage],
    ['/p/:link/stop', stopPage],
    ['/p/:link/ears', earsPage],
  ] as const) {
    route(app, 'get', path, 'patient-link', (c) => view(c, page))
  }
  route(app, 'post', '/p/:link', 'patient-link', post)
}

async function view(c: Ask, page: Page): Promise<Response> {
  const opened = await openedBy(c)
  if (opened instanceof Response) return opened
  return await answer(c, opened, page)
}

async function openedBy(c: Ask): Promise<Opened | Response> {
  const text = c.req.param('link')
  const opened = await open(c.get('service'), text)
  return opened ?? (await gone(c, await clinicNamed(c.get('service'), text)))
}

/** Makes the sheet inside one transaction and shows it. */
async function answer(
  c: Ask,
  opened: Opened,
  make: (reader: Reader) => Sheet | Promise<Sheet>,
): Promise<Response> {
  const made = await withReader(c, opened, async (reader) => await make(reader))
  if (!made) return await gone(c, await clinicNamed(c.get('service'), opened.text))
  return await show(c, { clinic: made.clinic, text: opened.text }, made.result)
}

async function post(c: Ask): Promise<Response> {
  const opened = await openedBy(c)
  if (opened instanceof Response) return opened
  const service = c.get('service')
  const tried = await inClinic(service, opened.clinicId, (scope) =>
    countTry(scope, 'link', opened.link.hash.toString('hex'), POSTS),
  )
  if (!tried.allowed) return await answer(c, opened, tooMany)
  const fields = await readFields(c)
  const act = fields.one('do')
  if (act === 'fact') return await takeFact(c, opened, fields)
  const action = Object.hasOwn(actions, act) ? actions[act] : undefined
  if (!action) return await answer(c, opened, firstPage)
  return await take(c, opened, action, fields)
}

const tooMany = ({ flow }: Reader): Sheet => ({
  title: pages.words.heading,
  status: 429,
  body: html`<p>${pageText(pages.shared.tooMany, clinicValues(flow.clinic))}</p>`,
})

async function takeFact(c: Ask, opened: Opened, fields: Form): Promise<Response> {
  const { clinicId, link, text } = opened
  const year = yearIn(fields.one('year'))
  if (year === null) return await answer(c, opened, (reader) => gateSheet(reader, pages.gate.notYear))
  const given = await inClinic(c.get('service'), clinicId, async (scope) => {
    const given = await giveFact(scope, link, year)
    // The words of it stand on the page that was just answered.
    if (given.given) await recordConsent(scope, link.patientId, { how: 'page' })
    return given
  })
  if (!given.given) {
    return given.why === 'none-known'
      ? await answer(c, opened, firstPage)
      : await answer(c, opened, (reader) => wrongYear(reader, given.triesLeft))
  }
  givePass(c, text, given.pass)
  return c.redirect(`/p/${text}`, 303)
}

async function take(
  c: Ask,
  opened: Opened,
  action: Action & { personal?: boolean },
  fields: Form,
): Promise<Response> {
  const service = c.get('service')
  const made = await withReader(c, opened, async (reader): Promise<Posted | Sheet> => {
    if (action.personal && reader.mustGiveFact) return gateSheet(reader)
    const words = fields.one('words')
    if (words.length > MOST_WORDS) return wordsSheet(reader, pages.shared.tooLong, words)
    return await action.read(reader, fields)
  })
  if (!made) return await gone(c, await clinicNamed(service, opened.text))
  const { clinic, result: posted } = made
  if ('title' in posted) return await show(c, { clinic, text: opened.text }, posted)

  const { clinicId, link } = opened
  const frame = { clinic, text: opened.text }
  const fault = (event: string, error: unknown): void =>
    c.get('log')('error', event, { request: c.get('requestId'), error: loggedError(error) })
  let replyId: string
  try {
    const stored = await receive(service, clinicId, {
      transport: posted.transport ?? LINK,
      providerId: `${link.hash.toString('base64url').slice(0, 16)}/${formId(fields)}`,
      from: null,
      body: posted.body,
      patientId: link.patientId,
      questionId: posted.aboutQuestion ? link.questionId : null,
    })
    replyId = stored.replyId
  } catch (error) {
    fault('reply not stored', error)
    return await show(c, frame, notStored(clinic))
  }
  try {
    await handleReply(service, clinicId, replyId)
    return await answer(c, opened, async (reader) => {
      const outcome = await outcomeOf(reader.flow, replyId)
      if (!outcome) throw new Error('A reply that was stored is not there.')
      return await action.after(reader, outcome, fields)
    })
  } catch (error) {
    // It is stored: its job reads it, and a human gets it where that fails.
    fault('reply not read', error)
    return await show(c, frame, storedUnread())
  }
}

const notStored = (clinic: Clinic): Sheet => ({
  title: pages.words.heading,
  status: 500,
  body: html`<p>${pageText(pages.kept.broken, clinicValues(clinic))}</p>`,
})

const storedUnread = (): Sheet => ({
  title: pages.kept.heading,
  body: html`<p>${pages.kept.words}</p><p>${pages.kept.unread}</p>`,
})

/** The form's own id; one that was tampered with makes the reply a new one. */
function formId(fields: Form): string {
  const id = fields.one('form')
  return /^[\w-]{8,40}$/.test(id) ? id : newFormId()
}
