/** What the front desk does to one visit. */
import type { Context } from 'hono'
import { z } from 'zod'
import type { StaffEnv } from '../../access/env.ts'
import { cancelVisit } from '../../flow/booking.ts'
import { endWaiting } from '../../flow/chains.ts'
import { changeKind } from '../../flow/change-kind.ts'
import type { Flow } from '../../flow/context.ts'
import { moveNow, proposeMove } from '../../flow/moves.ts'
import { withdrawMove } from '../../flow/visits.ts'
import { answersFor, loadWeek } from '../../flow/week.ts'
import { reasonFor } from '../../flow/week-acts.ts'
import { Trouble } from '../../trouble.ts'
import { lockVisit } from '../../visits/store.ts'
import { idOf } from '../clinician/parts.ts'
import { readForm } from '../shared/forms.ts'
import { act } from './parts.ts'
import { visitPage } from './visit.ts'

type DeskContext = Context<StaffEnv>

/** Reads the form, does the work and shows the visit; a form that is wrong is said on the same page. */
async function visitAct<S extends z.ZodType>(
  c: DeskContext,
  schema: S,
  work: (flow: Flow, visitId: string, form: z.output<S>, staffId: string) => Promise<string>,
) {
  const visitId = idOf(c, 'id')
  const form = await readForm(c, schema)
  const show = (said: { refused?: string | undefined }) => visitPage(c, said)
  if (!form.ok) return await show({ refused: Object.values(form.errors)[0] })
  return await act(
    c,
    async (flow) =>
      `/reception/visits/${visitId}?done=${await work(flow, visitId, form.data, c.get('staff').staffId)}`,
    show,
  )
}

const slotId = z.uuid({ error: 'Choose one of the open times.' })
const hours = z.coerce
  .number({ error: 'Give whole hours, from 1 to 168.' })
  .int('Give whole hours, from 1 to 168.')
  .min(1, 'Give whole hours, from 1 to 168.')
  .max(168, 'Give whole hours, from 1 to 168.')
  .default(24)

const proposal = z.object({
  'slot[]': z
    .array(slotId, { error: 'Choose one to three times.' })
    .min(1)
    .max(3, 'Choose three times at most.'),
  hours,
})

export const proposeAct = (c: DeskContext) =>
  visitAct(c, proposal, async (flow, visitId, form, staffId) => {
    const week = await loadWeek(flow)
    const visit = week.visits.find((one) => one.visitId === visitId)
    const chosen = visit
      ? answersFor(week, visit).find(({ action, slot }) => action === 'move' && slot === form['slot[]'][0])
      : undefined
    const now = week.plans.get(visitId)?.readiness?.p ?? null
    await proposeMove(flow, {
      visitId,
      slotIds: [...new Set(form['slot[]'])],
      reason: reasonFor({ readiness: chosen?.readiness ?? null }, now),
      proposedBy: staffId,
      deadlineAt: flow.now.add({ hours: form.hours }),
    })
    return 'proposed'
  })

export const moveAct = (c: DeskContext) =>
  visitAct(c, z.object({ slot: slotId }), async (flow, visitId, { slot }, staffId) => {
    await moveNow(flow, visitId, slot, staffId)
    return 'moved'
  })

const minutes = z.coerce
  .number({ error: 'Give the length in whole minutes.' })
  .int('Give the length in whole minutes.')
  .min(5, 'Give 5 to 240 minutes.')
  .max(240, 'Give 5 to 240 minutes.')

export const lengthenAct = (c: DeskContext) =>
  visitAct(c, z.object({ minutes }), async (flow, visitId, form, staffId) => {
    await changeKind(flow, visitId, { kind: 'lengthen', minutes: form.minutes }, staffId)
    return 'longer'
  })

export const assessmentAct = (c: DeskContext) =>
  visitAct(c, z.object({}), async (flow, visitId, _form, staffId) => {
    await changeKind(flow, visitId, { kind: 'assessment' }, staffId)
    return 'assessment'
  })

const why = z.string({ error: 'Say why it is kept.' }).trim().min(3, 'Say why it is kept.').max(200)

export const keepAct = (c: DeskContext) =>
  visitAct(c, z.object({ why }), async (flow, visitId, form, staffId) => {
    await changeKind(flow, visitId, { kind: 'keep', why: form.why }, staffId)
    return 'kept'
  })

const cancel = z.object({
  sure: z.literal('yes', { error: 'Tick that you mean to cancel this visit.' }),
  open: z.string().optional(),
})

export const cancelAct = (c: DeskContext) =>
  visitAct(c, cancel, async (flow, visitId, form, staffId) => {
    await cancelVisit(flow, visitId, { staffId, openItsTime: form.open === 'yes' })
    return 'cancelled'
  })

export const withdrawAct = (c: DeskContext) =>
  visitAct(c, z.object({}), async (flow, visitId, _form, staffId) => {
    const visit = await lockVisit(flow, visitId)
    if (!visit) throw new Trouble('There is no such visit.')
    await withdrawMove(flow, visitId)
    await endWaiting(flow, visit)
    flow.audit({
      actor: `staff:${staffId}`,
      action: 'withdraw move',
      patientId: visit.patientId,
      subject: `visit:${visitId}`,
    })
    return 'withdrawn'
  })
