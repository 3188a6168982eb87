/** What the forms of a concern do: each checks that nothing changed since its page was made. */
import type { Context } from 'hono'
import { html } from 'hono/html'
import { z } from 'zod'
import type { StaffEnv } from '../../access/env.ts'
import { refuse, safePath } from '../../access/route.ts'
import { addEvent, getConcern, seeNotices } from '../../concerns/store.ts'
import type { Flow } from '../../flow/context.ts'
import { correctReading } from '../../flow/corrections.ts'
import { decideHistory } from '../../flow/screening.ts'
import {
  type Clinician,
  closeConcern,
  type Done,
  giveBack,
  noteOn,
  OUTCOME_IDS,
  type Refused,
  senderOf,
  stateOf,
  takeConcern,
  writeToPatient,
} from '../../flow/triage.ts'
import { renderMessage } from '../../messages/render.ts'
import { urgencySchema } from '../../protocol/rule.ts'
import { currentPlan } from '../../softening/store.ts'
import { DROPS } from '../../softening/types.ts'
import { Trouble } from '../../trouble.ts'
import { getPatient, lockVisit } from '../../visits/store.ts'
import { csrfField, readForm } from '../shared/forms.ts'
import { page } from '../shared/layout.ts'
import { loadConcern } from './concern-data.ts'
import { concernPage, planState, type Shown } from './concern-page.ts'
import { idOf, inClinicOf, type NameOf, staffNames } from './parts.ts'

type Ctx = Context<StaffEnv>

const whoOf = (c: Ctx): Clinician => ({ staffId: c.get('staff').staffId, name: c.get('staff').name })

export async function showConcern(c: Ctx, shown: Shown = {}) {
  const id = idOf(c, 'id')
  const data = await inClinicOf(c, (flow) => loadConcern(flow, id, c.get('staff').staffId))
  return data ? concernPage(c, data, shown) : refuse(404, 'There is no such concern.')
}

/** Why nothing was done, naming who has it. */
function refusedWords(refused: Refused, nameOf: NameOf): string {
  switch (refused.refused) {
    case 'held':
      return `${nameOf(refused.by)} has this concern: nothing was done. Below it is as it stands now.`
    case 'closed':
      return `${refused.by ? `${nameOf(refused.by)} has closed this concern` : 'This concern is closed'}: nothing was done.`
    case 'not-held':
      return 'You do not have this concern any more: nothing was done. Take it again if it is still yours to do.'
    default:
      return 'This concern has changed since you opened it: nothing was done. Read how it is now, then do it again.'
  }
}

/** Runs an act; where it was refused, the page as it stands now says so and keeps what was typed. */
async function act(
  c: Ctx,
  work: (flow: Flow, who: Clinician) => Promise<Done | Refused>,
  done: string,
  typed: Record<string, string> = {},
) {
  const outcome = await inClinicOf(c, async (flow) => ({
    result: await work(flow, whoOf(c)),
    nameOf: await staffNames(flow),
  })).catch((error) => {
    if (error instanceof Trouble) return { trouble: error.message }
    throw error
  })
  if ('trouble' in outcome) return showConcern(c, { refused: outcome.trouble, status: 422, typed })
  const { result, nameOf } = outcome
  if ('refused' in result)
    return showConcern(c, { refused: refusedWords(result, nameOf), status: 409, typed })
  return c.redirect(`/clinician/concerns/${idOf(c, 'id')}?done=${done}`, 303)
}

export async function claimAct(c: Ctx) {
  const id = idOf(c, 'id')
  return act(
    c,
    async (flow, who) => {
      const result = await takeConcern(flow, id, who)
      if ('done' in result) await seeNotices(flow, who.staffId, id)
      return result
    },
    'claimed',
  )
}

export const releaseAct = (c: Ctx) => act(c, (flow, who) => giveBack(flow, idOf(c, 'id'), who), 'given-back')

const seen = z.string().max(200).default('')
const note = z.string().trim().max(2000).default('')

export async function noteAct(c: Ctx) {
  const form = await readForm(c, z.object({ seen, note, outcome: z.string().optional() }))
  if (!form.ok) return showConcern(c, { refused: 'This note cannot be kept.', status: 422 })
  const typed = { note: form.data.note }
  if (form.data.note.length < 3)
    return showConcern(c, {
      refused: 'Write the note first.',
      status: 422,
      typed: { ...typed, 'note-error': 'Write what was tried or seen.' },
    })
  return act(c, (flow, who) => noteOn(flow, idOf(c, 'id'), who, form.data), 'noted', typed)
}

export async function closeAct(c: Ctx) {
  const form = await readForm(
    c,
    z.object({ seen, note, outcome: z.enum(OUTCOME_IDS, { error: 'Say what came of it.' }) }),
  )
  if (!form.ok)
    return showConcern(c, {
      refused: 'It is not closed: say what came of it.',
      status: 422,
      typed: { ...form.values, 'outcome-error': form.errors.outcome ?? '' },
    })
  return act(c, (flow, who) => closeConcern(flow, idOf(c, 'id'), who, form.data), 'closed', form.data)
}

const written = z.object({
  seen,
  words: z
    .string()
    .trim()
    .min(2, { error: 'Write what the patient should read.' })
    .max(600, { error: 'At most 600 letters: say it shorter.' }),
  sure: z.string().optional(),
})

/** First shows the whole text as it will go, and to whom; sends it at the second press. */
export async function writeAct(c: Ctx) {
  const id = idOf(c, 'id')
  const form = await readForm(c, written)
  if (!form.ok) {
    const typed = { words: form.values.words ?? '', 'words-error': form.errors.words ?? '' }
    return showConcern(c, { refused: form.errors.words ?? 'This text cannot be sent.', status: 422, typed })
  }
  const { words, sure } = form.data
  if (sure === 'send') return sendWords(c, id, form.data)
  const shown = await inClinicOf(c, async (flow) => {
    const concern = await getConcern(flow, id)
    if (!concern) return null
    const { clinic } = flow
    const patient = concern.patientId ? await getPatient(flow, concern.patientId) : null
    const to = patient
      ? ((patient.numberWrongAt ? null : patient.mobile) ?? patient.email)
      : await senderOf(flow, concern)
    const { text, segments } = renderMessage(
      'clinician-reply',
      {
        clinic: clinic.name,
        clinician: whoOf(c).name,
        words,
        emergencyNumber: clinic.settings.emergencyNumber,
      },
      patient?.language ?? clinic.settings.language,
    )
    return { patient, to, text, segments, changed: (await stateOf(flow, concern)) !== form.data.seen }
  })
  if (!shown) return refuse(404, 'There is no such concern.')
  if (shown.changed)
    return showConcern(c, {
      refused: refusedWords({ refused: 'changed' }, () => ''),
      status: 409,
      typed: { words },
    })
  if (!shown.to)
    return showConcern(c, {
      refused: 'There is no working number or address to write to. Reach the patient another way.',
      status: 422,
      typed: { words },
    })
  const { patient, to, text, segments } = shown
  return page(c, {
    title: 'Send this text?',
    face: 'staff',
    body: html`<blockquote class="words">${text}</blockquote>
<p>To <strong>${patient?.name ?? 'the sender'}</strong> at <strong>${to}</strong>, at once${to.includes('@') ? '' : `, as ${segments === 1 ? '1 text' : `${segments} texts`}`}.
${patient?.stoppedAt ? html`This patient has stopped our messages; an answer to what they wrote still goes.` : ''}</p>
<form method="post" action="/clinician/concerns/${id}/write">${csrfField(c)}
<input type="hidden" name="seen" value="${form.data.seen}"><input type="hidden" name="words" value="${words}">
<p class="row"><button name="sure" value="send">Send it</button> <a class="button plain" href="/clinician/concerns/${id}">Do not send</a></p></form>`,
  })
}

const NOT_SENT = {
  stopped: 'This patient has stopped our messages: the text was not sent. Reach them another way.',
  'no-contact':
    'There is no working number or address: the text was not sent. Reach the patient another way.',
  'too-late': 'The text could not go out in time: it was not sent.',
}

function sendWords(c: Ctx, id: string, data: z.output<typeof written>) {
  const typed = { words: data.words }
  return act(
    c,
    async (flow, who) => {
      const queued = await writeToPatient(flow, id, who, data)
      if ('refused' in queued) return queued
      if ('skipped' in queued && queued.skipped !== 'already') throw new Trouble(NOT_SENT[queued.skipped])
      return { done: true }
    },
    'written',
    typed,
  )
}

/** Allows or forbids drops for a visit; the plan must be as it was on the page. */
export async function dropsAct(c: Ctx) {
  const visitId = idOf(c, 'id')
  const form = await readForm(
    c,
    z.object({
      agent: z.enum([...DROPS, 'none'], { error: 'Choose the drops, or none.' }),
      why: z.string().trim().min(3, { error: 'Give the reason.' }).max(500),
      plan: z.string().max(80),
      concern: z.uuid().optional(),
    }),
  )
  if (!form.ok) return refuse(422, Object.values(form.errors)[0] ?? 'This decision cannot be read.')
  const { agent, why, plan, concern } = form.data
  const who = whoOf(c)
  const patientId = await inClinicOf(c, async (flow) => {
    const visit = await lockVisit(flow, visitId)
    const patient = visit && (await getPatient(flow, visit.patientId))
    if (!visit || !patient) throw new Trouble('There is no such visit.')
    if (visit.status !== 'booked' || visit.startAt.epochMilliseconds <= flow.now.epochMilliseconds)
      throw new Trouble('This visit is over or cancelled: no drops can be planned for it.')
    if (planState(await currentPlan(flow, visitId)) !== plan)
      throw new Trouble('The plan has changed since you opened the page: nothing was done. Look at it again.')
    if (agent !== 'none' && !flow.rules.softening.agents.some((row) => row.id === agent && row.advised))
      throw new Trouble("The clinic's rules do not advise these drops.")
    await decideHistory(flow, visit, patient, { agent, staffId: who.staffId, by: who.name, why })
    const about = concern ? await getConcern(flow, concern) : null
    if (about && about.patientId === patient.patientId)
      await addEvent(
        flow,
        about.concernId,
        who.staffId,
        agent === 'none' ? 'forbade drops' : `allowed ${agent.replaceAll('-', ' ')}`,
        why,
      )
    return patient.patientId
  }).catch((error) => {
    if (error instanceof Trouble) return refuse(409, error.message)
    throw error
  })
  return c.redirect(
    concern ? `/clinician/concerns/${concern}?done=drops` : `/clinician/patients/${patientId}?done=drops`,
    303,
  )
}

/** "Read wrongly": kept at one press. */
export async function wrongAct(c: Ctx) {
  const replyId = idOf(c, 'id')
  const form = await readForm(
    c,
    z.object({
      right: urgencySchema,
      note: z.string().trim().max(500).default(''),
      back: z.string().max(200).default(''),
    }),
  )
  if (!form.ok) return refuse(422, 'Press what it should have been.')
  await inClinicOf(c, (flow) => correctReading(flow, replyId, whoOf(c), form.data)).catch((error) => {
    if (error instanceof Trouble) return refuse(404, error.message)
    throw error
  })
  return c.redirect(`${safePath(form.data.back, '/clinician').split('?')[0]}?done=corrected`, 303)
}

/** Seen: what this person was told of, all or about one concern. */
export async function noticesAct(c: Ctx) {
  await inClinicOf(c, (flow) => seeNotices(flow, c.get('staff').staffId, null))
  return c.redirect('/clinician', 303)
}
