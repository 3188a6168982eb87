/** The visit that a desk item asks for: the first times that fit, and booking one of them. */
import type { Context } from 'hono'
import { html } from 'hono/html'
import { Temporal } from 'temporal-polyfill'
import { z } from 'zod'
import type { StaffEnv } from '../../access/env.ts'
import { refuse } from '../../access/route.ts'
import { DESK_KINDS, type DeskItem, deskItems } from '../../desk/store.ts'
import { bookNeeded, type NeededVisit, neededVisit } from '../../flow/booking.ts'
import type { Flow } from '../../flow/context.ts'
import { dayWords } from '../../messages/words.ts'
import { freeSlots, type Slot } from '../../softening/moves/store.ts'
import { VISIT_PURPOSES } from '../../softening/types.ts'
import { Trouble } from '../../trouble.ts'
import { getPatient, listPractitioners, type Patient } from '../../visits/store.ts'
import { auditViews, idOf, inClinicOf } from '../clinician/parts.ts'
import { capital, earsWords } from '../clinician/words.ts'
import { csrfField, readForm } from '../shared/forms.ts'
import { page } from '../shared/layout.ts'
import { act, deskLinks, type Said, saidLines } from './parts.ts'
import { slotChoice } from './visit.ts'
import { noteWords } from './words.ts'

const FAR_DAYS = 120
const MOST_TIMES = 12

interface Needed {
  item: DeskItem
  patient: Patient
  needed: NeededVisit
}

async function loadNeeded(flow: Flow, itemId: string): Promise<Needed | null> {
  const item = (await deskItems(flow)).find((one) => one.itemId === itemId)
  const patient = item?.patientId ? await getPatient(flow, item.patientId) : null
  const needed = item ? await neededVisit(flow, item) : null
  return item && patient && needed ? { item, patient, needed } : null
}

/** Open times from that day on that are long enough. */
async function fitting(flow: Flow, { from, minutes }: NeededVisit): Promise<Slot[]> {
  const start = Temporal.PlainDate.from(from).toZonedDateTime(flow.clinic.zone).toInstant()
  const first = Temporal.Instant.compare(start, flow.now) > 0 ? start.subtract({ seconds: 1 }) : flow.now
  const slots = await freeSlots(flow, first, flow.now.add({ hours: 24 * FAR_DAYS }))
  return slots.filter((slot) => slot.minutes >= minutes)
}

export async function bookPage(c: Context<StaffEnv>, said: Said = {}) {
  const id = idOf(c, 'id')
  const data = await inClinicOf(c, async (flow) => {
    const found = await loadNeeded(flow, id)
    if (!found) return null
    await auditViews(flow, c.get('staff').staffId, [found.patient.patientId], 'book visit')
    const names = await listPractitioners(flow)
    return {
      ...found,
      slots: await fitting(flow, found.needed),
      practitioners: new Map(names.map((one) => [one.practitionerId, one.name])),
    }
  })
  if (!data) return refuse(404, 'This is not on the list any more, or it has no patient.')
  const { item, patient, needed, slots } = data
  const { zone } = c.get('clinic')
  return page(c, {
    title: 'Book a visit',
    face: 'staff',
    status: said.refused ? 409 : 200,
    body: html`${deskLinks(c)}${saidLines(said)}
<p class="lead"><strong>${patient.name}</strong>. ${[patient.mobile, patient.email].filter(Boolean).join(', ') || 'No number or address.'}</p>
<p>${DESK_KINDS[item.kind]}. ${noteWords(item)}</p>
<p>${capital(needed.purpose)}, ${earsWords(needed.ears)}, ${needed.minutes} minutes, not before <strong>${dayWords(Temporal.PlainDate.from(needed.from))}</strong>.</p>
${
  slots.length === 0
    ? html`<p class="keel">No open time fits. <a href="/reception/slots">Open more times</a></p>`
    : html`<form method="post" action="/reception/items/${item.itemId}/book" class="act">${csrfField(c)}
<fieldset class="field"><legend>The first times that fit</legend>${slots.slice(0, MOST_TIMES).map((slot) => slotChoice(slot, data, zone, 'radio'))}</fieldset>
<details><summary>Change what it is for</summary>
<div class="field"><label for="purpose">Purpose</label><select id="purpose" name="purpose">${VISIT_PURPOSES.map((one) => html`<option value="${one}" ${one === needed.purpose ? html`selected` : ''}>${capital(one)}</option>`)}</select></div>
<div class="field"><label for="ears">Ears</label><select id="ears" name="ears">${(['left', 'right', 'both'] as const).map((one) => html`<option value="${one}" ${one === needed.ears ? html`selected` : ''}>${capital(earsWords(one))}</option>`)}</select></div>
</details>
<p>The patient is told at once. Where drops go on after the last visit, their days move onto this visit.</p>
<button>Book this time</button></form>`
}`,
  })
}

const booking = z.object({
  slot: z.uuid({ error: 'Choose one of the times.' }),
  purpose: z.enum(VISIT_PURPOSES).optional(),
  ears: z.enum(['left', 'right', 'both']).optional(),
})

export async function bookAct(c: Context<StaffEnv>) {
  const id = idOf(c, 'id')
  const form = await readForm(c, booking)
  if (!form.ok) return await bookPage(c, { refused: Object.values(form.errors)[0] })
  const { slot, purpose, ears } = form.data
  return await act(
    c,
    async (flow) => {
      const found = await loadNeeded(flow, id)
      if (!found) throw new Trouble('This was settled by somebody else just now.')
      const needed = {
        ...found.needed,
        purpose: purpose ?? found.needed.purpose,
        ears: ears ?? found.needed.ears,
      }
      const visit = await bookNeeded(flow, {
        needed,
        slotId: slot,
        item: found.item,
        staffId: c.get('staff').staffId,
      })
      return `/reception/visits/${visit.visitId}?done=booked`
    },
    (said) => bookPage(c, said),
  )
}
