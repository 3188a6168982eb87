/** Open times: what patients can be offered. */
import type { Context } from 'hono'
import { html } from 'hono/html'
import { Temporal } from 'temporal-polyfill'
import { z } from 'zod'
import type { StaffEnv } from '../../access/env.ts'
import { importSlots, openTime, SLOT_TROUBLE, type SlotReport } from '../../flow/slots.ts'
import { dayWords, timeWords } from '../../messages/words.ts'
import { freeSlots, heldOrOpenSlots, type Slot, withdrawSlot } from '../../softening/moves/store.ts'
import { Trouble } from '../../trouble.ts'
import { checkSlotRow, SLOT_COLUMNS, type SlotRow } from '../../visits/slot-columns.ts'
import { listPractitioners } from '../../visits/store.ts'
import { idOf, inClinicOf } from '../clinician/parts.ts'
import { csrfField, errorSummary, type FormErrors, field, readForm, textArea } from '../shared/forms.ts'
import { type Html, page } from '../shared/layout.ts'
import { columnTable, fileForm, fileSchema, fileStream, problemTable } from './import.ts'
import { act, deskLinks, type Said, saidLines } from './parts.ts'

const DONE: Record<string, string> = {
  opened: 'Opened.',
  withdrawn: 'Taken away. Nobody is offered this time.',
}

interface Showing extends Said {
  report?: SlotReport
  errors?: FormErrors
  values?: Record<string, string>
}

const FAR_DAYS = 400

export async function slotsPage(c: Context<StaffEnv>, said: Showing = {}) {
  const { zone } = c.get('clinic')
  const { slots, free, names } = await inClinicOf(c, async (flow) => ({
    slots: await heldOrOpenSlots(flow, flow.now, flow.now.add({ hours: 24 * FAR_DAYS })),
    free: await freeSlots(flow, flow.now, flow.now.add({ hours: 24 * FAR_DAYS })),
    names: await listPractitioners(flow),
  }))
  const { report, errors = {}, values = {} } = said
  const wrong = said.refused !== undefined || Object.keys(errors).length > 0
  return page(c, {
    title: 'Open times',
    face: 'staff',
    status: wrong ? 422 : 200,
    body: html`${deskLinks(c)}${saidLines({ done: DONE[c.req.query('done') ?? ''], ...said })}${errorSummary(errors)}
${report ? html`<section class="keel ${report.problems.length > 0 ? 'strong' : ''}" role="status"><p><strong>${report.rows} ${report.rows === 1 ? 'row' : 'rows'}: ${report.opened} opened, ${report.same} there already, ${new Set(report.problems.map(({ line }) => line)).size} to mend.</strong></p>${problemTable(report.problems)}</section>` : ''}
${slotList(c, { slots, free: new Set(free.map(({ slotId }) => slotId)), names: new Map(names.map((one) => [one.practitionerId, one.name])) }, zone)}
<h2>Open more times</h2>
<form method="post" action="/reception/slots" class="act">${csrfField(c)}
${field({ name: 'day', label: 'Day', type: 'date', value: values.day, error: errors.day })}
${textArea({ name: 'times', label: 'Times of day', hint: 'One or several, such as 09:00, 09:40, 10:20', value: values.times, error: errors.times, rows: 2 })}
${field({ name: 'minutes', label: 'Minutes each', type: 'number', value: values.minutes ?? '30', error: errors.minutes })}
<div class="field ${errors.practitioner ? 'wrong' : ''}"><label for="practitioner">Practitioner</label>${errors.practitioner ? html`<p class="error">${errors.practitioner}</p>` : ''}
<input id="practitioner" name="practitioner" list="practitioners" value="${values.practitioner ?? names[0]?.name ?? ''}" maxlength="200" required>
<datalist id="practitioners">${names.map(({ name }) => html`<option value="${name}"></option>`)}</datalist></div>
${field({ name: 'room', label: 'Room', hint: 'Where rooms are shared; else leave it empty', required: false, value: values.room, error: errors.room })}
<button>Open these times</button></form>
<h2>Open times from a file</h2><p>A CSV file with a header line and these columns.</p>${columnTable(SLOT_COLUMNS)}
${fileForm(c, '/reception/slots/import', 'Import open times')}`,
  })
}

interface Listed {
  slots: readonly Slot[]
  /** Those over which no visit is booked. */
  free: ReadonlySet<string>
  names: ReadonlyMap<string, string>
}

function slotList(c: Context<StaffEnv>, { slots, free, names }: Listed, zone: string): Html {
  if (slots.length === 0) return html`<p>No time is open. Patients can be offered nothing until one is.</p>`
  const byDay = Map.groupBy(slots, ({ startAt }) => startAt.toZonedDateTimeISO(zone).toPlainDate().toString())
  const held = slots.filter(({ status }) => status === 'held').length
  const covered = slots.length - held - free.size
  return html`<p>${free.size} open, ${held} held for patients who have been asked${covered > 0 ? `, ${covered} with a visit booked over it` : ''}.</p>
${[...byDay].map(
  ([day, own]) =>
    html`<h2>${dayWords(Temporal.PlainDate.from(day))} ${day.slice(0, 4)}</h2><ul class="list">${own.map(
      (slot) => {
        const at = timeWords(slot.startAt.toZonedDateTimeISO(zone).toPlainTime())
        return html`<li><form method="post" action="/reception/slots/${slot.slotId}/withdraw" class="row act">${csrfField(c)}<span>${at}, ${slot.minutes} minutes, ${names.get(slot.practitionerId) ?? ''}${slot.room ? `, room ${slot.room}` : ''}${slot.status === 'held' ? html`: <strong>held for a patient</strong>` : free.has(slot.slotId) ? '' : html`: <strong>a visit is booked then, so nobody is offered it</strong>`}</span>
${slot.status === 'open' ? html`<button class="quiet">Take away<span class="out-of-sight"> ${dayWords(Temporal.PlainDate.from(day))}, ${at}, ${names.get(slot.practitionerId) ?? ''}</span></button>` : ''}</form></li>`
      },
    )}</ul>`,
)}`
}

const TIME = /^([01]?\d|2[0-3]):[0-5]\d$/
const split = (text: string): string[] => text.split(/[\s,;]+/).filter(Boolean)

const newSlots = z.object({
  day: z.iso.date({ error: 'Give the day.' }),
  times: z
    .string({ error: 'Give at least one time.' })
    .refine((text) => split(text).length > 0, { error: 'Give at least one time.' })
    .refine((text) => split(text).length <= 60, { error: 'Give 60 times at most.' })
    .refine((text) => split(text).every((time) => TIME.test(time)), {
      error: 'Write each time as 09:30, with commas or spaces between them.',
    }),
  minutes: z.string({ error: 'Give the minutes.' }),
  practitioner: z.string({ error: 'Name the practitioner.' }),
  room: z.string().default(''),
})

const fieldOf: Record<string, string> = { start: 'times' }

export async function addSlotsAct(c: Context<StaffEnv>) {
  const form = await readForm(c, newSlots)
  if (!form.ok) return await slotsPage(c, { errors: form.errors, values: form.values })
  const { day, times, minutes, practitioner, room } = form.data
  const { zone } = c.get('clinic')
  const rows: SlotRow[] = []
  const errors: FormErrors = {}
  for (const time of new Set(split(times))) {
    const start = `${day}T${time.padStart(5, '0')}`
    const checked = checkSlotRow({ start, minutes, practitioner, room }, 0, zone)
    if ('row' in checked) rows.push(checked.row)
    else for (const one of checked.problems) errors[fieldOf[one.field] ?? one.field] ??= one.message
  }
  const values = { day, times, minutes, practitioner, room }
  if (Object.keys(errors).length > 0) return await slotsPage(c, { errors, values })
  return await act(
    c,
    async (flow) => {
      let opened = 0
      for (const row of rows) {
        const outcome = await openTime(flow, row)
        if (outcome === 'opened') opened += 1
        else if (outcome !== 'there-already')
          throw new Trouble(
            `Nothing was opened: ${timeWords(row.start.toZonedDateTimeISO(zone).toPlainTime())} ${SLOT_TROUBLE[outcome]}.`,
          )
      }
      flow.audit({ actor: `staff:${c.get('staff').staffId}`, action: 'open times', detail: { opened } })
      return '/reception/slots?done=opened'
    },
    (said) => slotsPage(c, { ...said, values }),
  )
}

export const withdrawSlotAct = (c: Context<StaffEnv>) =>
  act(
    c,
    async (flow) => {
      const slotId = idOf(c, 'id')
      if (!(await withdrawSlot(flow, slotId)))
        throw new Trouble('This time is not open any more: it is held for a patient, taken, or gone.')
      flow.audit({
        actor: `staff:${c.get('staff').staffId}`,
        action: 'withdraw open time',
        subject: `slot:${slotId}`,
      })
      return '/reception/slots?done=withdrawn'
    },
    (said) => slotsPage(c, said),
  )

export async function importSlotsAct(c: Context<StaffEnv>) {
  const form = await readForm(c, fileSchema)
  if (!form.ok) return await slotsPage(c, { refused: Object.values(form.errors)[0] })
  const { staffId } = c.get('staff')
  const input = await fileStream(form.data.file)
  return await slotsPage(c, {
    report: await importSlots(c.get('service'), c.get('clinicId'), input, staffId),
  })
}
