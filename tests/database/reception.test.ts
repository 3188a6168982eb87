/** The front desk's pages on the real database: the list, offering times, open times, the import, booking. */
import { Temporal } from 'temporal-polyfill'
import { expect, test } from 'vitest'
import { deskItems, putOnDesk } from '../../src/desk/store.ts'
import { recordProcedure } from '../../src/flow/aftercare.ts'
import { inFlow } from '../../src/flow/context.ts'
import { noteDoses } from '../../src/flow/plans.ts'
import { takeAnswers } from '../../src/flow/screening.ts'
import { noToAll } from '../../src/softening/screening.ts'
import { currentPlan, getScreening } from '../../src/softening/store.ts'
import { visitByReference, visitsOfPatient } from '../../src/visits/store.ts'
import { importRows, messagesOf, openSlot, staffClinic, visitAndPatient } from '../support/clinic.ts'
import { testDatabase } from '../support/database.ts'
import { fileForm, type Person, webTest } from '../support/web.ts'

// Monday.
const { service, clock, clinicId } = await testDatabase('2026-03-02T09:00:00Z')
const staff = await staffClinic(service, clinicId)
const web = webTest(service)
const person = await web.staff('reception', clinicId, 'Wilf Orrin')

const row = (ref: string, start: string, more: Record<string, string> = {}) =>
  [
    ref,
    more.name ?? `Patient ${ref}`,
    more.mobile ?? `07700 9001${String(Number(ref.slice(1))).padStart(2, '0')}`,
    '',
    '1940-01-01',
    start,
    more.minutes ?? 30,
    more.practitioner ?? 'Ottoline Marsh',
    more.purpose ?? 'removal',
    more.ears ?? 'both',
    '',
  ].join(',')

/** Books it, settles the history, and tells of so many doses on each of these days. */
async function visitWith(ref: string, start: string, doses: Record<string, number>, more = {}) {
  await importRows(service, clinicId, [row(ref, start, more)])
  const { visit, patient } = await visitAndPatient(service, clinicId, ref)
  await inFlow(service, clinicId, (flow) =>
    takeAnswers(flow, visit, patient, noToAll(flow.rules.softening), { byText: true }),
  )
  const plan = await inFlow(service, clinicId, (flow) => currentPlan(flow, visit.visitId))
  for (const [day, done] of Object.entries(doses)) {
    await inFlow(service, clinicId, (flow) =>
      noteDoses(flow, plan?.planId as string, day, { ears: null, done, replyId: null }),
    )
  }
  return visit
}

const visitNow = async (ref: string) => (await visitAndPatient(service, clinicId, ref)).visit
const upload = async (who: Person, path: string, content: string, name = 'visits.csv') => {
  const form = fileForm({ csrf: who.csrf() }, { name, content })
  return await web.app.request(path, {
    method: 'POST',
    headers: { host: '127.0.0.1:4180', cookie: who.cookie, 'sec-fetch-site': 'same-origin' },
    body: form,
  })
}

test('a visit that will not be soft enough stands on the first page with its grounds and its answers', async () => {
  // Booked late: two days of drops are too few, a week is enough.
  const visit = await visitWith('V1', '2026-03-04T10:00', { '2026-03-02': 2 })
  const slotId = await openSlot(service, clinicId, '2026-03-10T10:00:00Z')
  const text = await (await person.get('/reception')).text()
  expect(text).toContain('Patient V1')
  expect(text).toMatch(
    /Left ear: 2 of 2 doses so far\. Right ear: 2 of 2 doses so far\. From the patient&#39;s answers on 1 day\./,
  )
  expect(text).toContain('The rest of the plan')
  expect(text).toContain('First day on which it should be ready if the drops go on')
  expect(text).toContain(`value="${slotId}"`)
  expect(text).toContain('Turn into an assessment')
  // The best answer comes first.
  expect(text.indexOf('Move to Tuesday 10 March')).toBeLessThan(text.indexOf('Turn it into an assessment'))
  const page = await (await person.get(`/reception/visits/${visit.visitId}`)).text()
  expect(page).toContain('+447700900101')
  expect(page).toContain('History questions')
  // Nothing of what was answered to the history.
  expect(page).not.toContain('eardrum')
  const asked = await person.post(`/reception/visits/${visit.visitId}/propose`, { 'slot[]': slotId })
  expect(asked.status).toBe(303)
  expect(asked.headers.get('location')).toBe(`/reception/visits/${visit.visitId}?done=proposed`)
  const texts = (await messagesOf(service, clinicId)).filter(({ kind }) => kind === 'move-proposal')
  expect(texts.at(-1)?.body).toContain('The drops need more days to work.')
  const again = await person.post(`/reception/visits/${visit.visitId}/propose`, { 'slot[]': slotId })
  expect(again.status).toBe(409)
  expect(await again.text()).toContain('waits for its answer')
  expect(await (await person.get('/reception')).text()).toContain('asked; no answer yet')
  const back = await person.post(`/reception/visits/${visit.visitId}/withdraw`)
  expect(back.headers.get('location')).toContain('done=withdrawn')
  const slots = await inFlow(service, clinicId, (flow) => flow.tx.query.slot.findMany())
  expect(slots.find((one) => one.slotId === slotId)?.status).toBe('open')
})

test('a visit is moved, lengthened, kept and turned into an assessment from its page, and the patient is told', async () => {
  const visit = await visitWith('V2', '2026-03-19T10:00', {})
  const at = `/reception/visits/${visit.visitId}`
  const slotId = await openSlot(service, clinicId, '2026-03-20T10:00:00Z', 60)
  expect((await person.post(`${at}/move`, { slot: slotId })).headers.get('location')).toContain('done=moved')
  expect((await visitNow('V2')).startAt.toString()).toBe('2026-03-20T10:00:00Z')
  expect((await person.post(`${at}/move`, { slot: slotId })).status).toBe(409)
  expect((await person.post(`${at}/lengthen`, { minutes: '20' })).status).toBe(409)
  expect((await person.post(`${at}/lengthen`, { minutes: 'long' })).status).toBe(409)
  expect((await person.post(`${at}/lengthen`, { minutes: '45' })).headers.get('location')).toContain('longer')
  expect((await visitNow('V2')).minutes).toBe(45)
  expect((await person.post(`${at}/keep`, { why: '' })).status).toBe(409)
  expect((await person.post(`${at}/keep`, { why: 'Hears nothing now' })).status).toBe(303)
  expect((await visitNow('V2')).urgent).toBe(true)
  expect((await person.post(`${at}/assessment`)).status).toBe(303)
  expect((await visitNow('V2')).purpose).toBe('assessment')
  const { patient } = await visitAndPatient(service, clinicId, 'V2')
  const own = (await messagesOf(service, clinicId)).filter((one) => one.patientId === patient.patientId)
  expect(own.filter(({ kind }) => kind === 'visit-changed').map(({ body }) => body)).toEqual([
    expect.stringContaining('It will take 45 minutes.'),
    expect.stringContaining('We will look at your ears'),
  ])
  expect(own.some(({ kind, status }) => kind === 'dose-question' && status === 'queued')).toBe(false)
})

test('lengthening uses open time after the visit and offers it to nobody else; held time is left alone', async () => {
  const visit = await visitWith('V3', '2026-03-23T10:00', {})
  const after = await openSlot(service, clinicId, '2026-03-23T10:30:00Z', 40)
  const other = await visitWith('V4', '2026-03-24T10:00', {})
  await person.post(`/reception/visits/${other.visitId}/propose`, { 'slot[]': after })
  const held = await person.post(`/reception/visits/${visit.visitId}/lengthen`, { minutes: '45' })
  expect(held.status).toBe(409)
  expect(await held.text()).toContain('is being offered to another patient')
  await person.post(`/reception/visits/${other.visitId}/withdraw`)
  expect((await person.post(`/reception/visits/${visit.visitId}/lengthen`, { minutes: '45' })).status).toBe(
    303,
  )
  const slots = await inFlow(service, clinicId, (flow) => flow.tx.query.slot.findMany())
  const left = slots.filter((one) => one.status === 'open' && one.startAt.toString().startsWith('2026-03-23'))
  expect(left.map(({ startAt, minutes }) => [startAt.toString(), minutes])).toEqual([
    ['2026-03-23T10:45:00Z', 25],
  ])
})

test('a cancelled visit ends its drops, tells the patient and opens its time', async () => {
  const visit = await visitWith('V5', '2026-03-25T10:00', {})
  const at = `/reception/visits/${visit.visitId}/cancel`
  expect((await person.post(at)).status).toBe(409)
  expect((await visitNow('V5')).status).toBe('booked')
  expect((await person.post(at, { sure: 'yes', open: 'yes' })).status).toBe(303)
  expect((await visitNow('V5')).status).toBe('cancelled')
  expect(await inFlow(service, clinicId, (flow) => currentPlan(flow, visit.visitId))).toBeNull()
  const slots = await inFlow(service, clinicId, (flow) => flow.tx.query.slot.findMany())
  expect(slots.some((one) => one.startAt.equals(visit.startAt) && one.status === 'open')).toBe(true)
  const kinds = (await messagesOf(service, clinicId)).filter((one) => one.patientId === visit.patientId)
  expect(kinds.filter(({ status }) => status === 'queued').map(({ kind }) => kind)).toEqual([
    'visit-cancelled',
  ])
  expect((await person.post(at, { sure: 'yes' })).status).toBe(409)
})

test('what is on the list is settled once', async () => {
  const { patient } = await visitAndPatient(service, clinicId, 'V3')
  await inFlow(service, clinicId, (flow) =>
    putOnDesk(flow, {
      dedupe: 'one',
      kind: 'wishes-a-call',
      patientId: patient.patientId,
      note: 'in the morning',
    }),
  )
  const page = await (await person.get('/reception')).text()
  expect(page).toContain('The patient wishes to be called')
  expect(page).toContain('Ring the patient, by text relay')
  const item = (await inFlow(service, clinicId, (flow) => deskItems(flow))).find(
    ({ kind }) => kind === 'wishes-a-call',
  )
  const path = `/reception/items/${item?.itemId}/settle`
  expect((await person.post(path)).status).toBe(303)
  expect((await person.post(path)).status).toBe(409)
  expect(await (await person.get('/reception')).text()).not.toContain('The patient wishes to be called')
})

test('open times: several at once, never over a visit or another, taken away again', async () => {
  const day = '2026-04-07'
  await visitWith('V6', `${day}T11:00`, {})
  const add = (times: string, more: Record<string, string> = {}) =>
    person.post('/reception/slots', {
      day,
      times,
      minutes: '30',
      practitioner: 'Ottoline Marsh',
      room: '',
      ...more,
    })
  expect((await add('9:00, 09:40; 10:20')).status).toBe(303)
  expect((await add('9:00')).status).toBe(303)
  const over = await add('12:00 10:45')
  expect(over.status).toBe(422)
  expect(await over.text()).toContain('10:45am lies over a booked visit')
  const twice = await add('09:20')
  expect(await twice.text()).toContain('overlaps another open time')
  for (const [times, words] of [
    ['noon', 'Write each time as 09:30'],
    ['', 'Give at least one time'],
    ['25:00', 'Write each time as 09:30'],
  ] as const) {
    const wrong = await add(times)
    expect(wrong.status).toBe(422)
    expect(await wrong.text()).toContain(words)
  }
  expect(await (await add('13:00', { minutes: '3' })).text()).toContain('write whole minutes from 5 to 480')
  expect(await (await add('13:00', { day: '2026-02-30' })).text()).toContain('Give the day.')
  expect(await (await add('13:00', { day: '2026-02-27' })).text()).toContain('has passed')
  // The hour that the clock change leaves out.
  expect(await (await add('01:30', { day: '2026-03-29' })).text()).toContain('does not exist')
  const open = (await inFlow(service, clinicId, (flow) => flow.tx.query.slot.findMany())).filter((one) =>
    one.startAt.toString().startsWith(day),
  )
  // British Summer Time by then.
  expect(open.map(({ startAt }) => startAt.toString()).sort()).toEqual([
    `${day}T08:00:00Z`,
    `${day}T08:40:00Z`,
    `${day}T09:20:00Z`,
  ])
  const gone = `/reception/slots/${open[0]?.slotId}/withdraw`
  expect((await person.post(gone)).status).toBe(303)
  const second = await person.post(gone)
  expect(second.status).toBe(422)
  expect(await second.text()).toContain('is not open any more')
})

test('open times from a file: good rows go in, bad ones are named with what to mend', async () => {
  const file = [
    'start,minutes,practitioner,room',
    '2026-04-08T09:00,30,Ottoline Marsh,1',
    '2026-04-08T09:15,30,Ottoline Marsh,1',
    '2026-04-08T10:00,abc,Ottoline Marsh,1',
    '2026-04-08T11:00,30,,1',
    '2026-02-08T11:00,30,Ottoline Marsh,1',
  ].join('\n')
  const answer = await upload(person, '/reception/slots/import', file)
  expect(answer.status).toBe(200)
  const text = await answer.text()
  expect(text).toContain('5 rows: 1 opened, 0 there already, 4 to mend.')
  expect(text).toContain('overlaps another open time')
  expect(text).toContain('&quot;abc&quot; is not a length')
  expect(text).toContain('has passed')
  expect(await (await upload(person, '/reception/slots/import', file)).text()).toContain(
    '0 opened, 1 there already',
  )
  const header = await upload(person, '/reception/slots/import', 'begin,minutes,practitioner\n')
  expect(await header.text()).toContain('the header lacks this column')
})

const HEADER = 'reference,name,mobile,start,minutes,practitioner,purpose,ears'

test('visits from a file: by the page and by another program, with the same report', async () => {
  const page = await (await person.get('/reception/import')).text()
  for (const column of ['reference', 'in_pain', 'recurrent', 'birth_date'])
    expect(page).toContain(`<code>${column}</code>`)
  const file = [
    HEADER,
    'U1,Una Fenn,07700 900401,2026-05-05T09:00,30,Ottoline Marsh,removal,left',
    'U2,"Ulric ""Ray"" Fenn, elder",07700 900402,2026-05-05T10:00,30,Ottoline Marsh,removal,left',
    'U3,Bad Time,07700 900403,2026-05-05,30,Ottoline Marsh,removal,left',
    'U4,<b>Bold</b>,07700 900404,2026-05-05T11:00,3,Ottoline Marsh,dance,left',
  ].join('\r\n')
  const answer = await upload(person, '/reception/import', file)
  expect(answer.status).toBe(200)
  const text = await answer.text()
  expect(text).toContain('4 rows: 2 booked, 0 changed, 0 cancelled, 0 as before, 2 to mend.')
  expect(text).toMatch(/<td data-label="Line">4<\/td><td data-label="Field"><code>start<\/code>/)
  expect(text).toContain('is not one of assessment, removal, recheck')
  const again = await person.json('/api/visits', {})
  expect(again.status).toBe(400)
  const send = (body: string, headers: Record<string, string> = {}) =>
    web.app.request('/api/visits', {
      method: 'POST',
      headers: {
        host: '127.0.0.1:4180',
        cookie: person.cookie,
        'x-csrf': person.csrf(),
        'content-type': 'text/csv',
        ...headers,
      },
      body,
    })
  const api = await send(file)
  expect(api.status).toBe(422)
  expect(await api.json()).toMatchObject({
    rows: 4,
    booked: 0,
    same: 2,
    problems: [{ line: 4, field: 'start' }, { line: 5 }, { line: 5 }],
  })
  const good = await send(
    `\ufeff${HEADER}\nU5,Ugo Fenn,+447700900405,2026-05-06T09:00+01:00,30,Ottoline Marsh,removal,both\n`,
  )
  expect(good.status).toBe(200)
  expect(await good.json()).toMatchObject({ booked: 1, problems: [] })
  expect((await send(file, { cookie: '' })).status).toBe(401)
  expect((await send(file, { 'x-csrf': 'wrong' })).status).toBe(403)
  const clinician = await web.staff('clinician', clinicId)
  expect((await send(file, { cookie: clinician.cookie, 'x-csrf': clinician.csrf() })).status).toBe(403)
})

test('a large file says how far it is while its rows go in', async () => {
  const rows = Array.from({ length: 1100 }, (_, i) => {
    const at = Temporal.Instant.from('2026-06-01T08:00:00Z').add({ minutes: 30 * i })
    return `L${i},Long ${i},07700 ${900000 + (i % 1000)},${at},30,Ottoline Marsh,recheck,left`
  })
  const answer = await upload(person, '/reception/import', [HEADER, ...rows].join('\n'))
  const reader = (answer.body as ReadableStream<Uint8Array>).getReader()
  const parts: string[] = []
  for (let part = await reader.read(); !part.done; part = await reader.read())
    parts.push(new TextDecoder().decode(part.value))
  const text = parts.join('')
  expect(parts.findIndex((part) => part.includes('500 rows so far.'))).toBeLessThan(
    parts.findIndex((part) => part.includes('1100 rows: 1100 booked')),
  )
  expect(text).toContain('1000 rows so far.')
  expect(text.trim().endsWith('</html>')).toBe(true)
}, 120_000)

test('files that are no files: each says what is wrong, and nothing goes in', async () => {
  const before = (await inFlow(service, clinicId, (flow) => flow.tx.query.visit.findMany())).length
  const words = async (content: string) => await (await upload(person, '/reception/import', content)).text()
  expect((await upload(person, '/reception/import', '')).status).toBe(422)
  expect(await words('\n')).toContain('the file is empty')
  expect(await words('reference;name\nA;B')).toContain('separated by semicolons')
  expect(await words('reference,name\nA,B')).toContain('the header lacks this column')
  expect(await words(`${HEADER}\nW1,"open quote,07700 900409,2026-05-05T09:00`)).toContain(
    'cannot be read from here on',
  )
  expect(await words(`${HEADER}\nW2,Short,07700 900409`)).toContain('the row has 3 fields and the header 8')
  expect(await words('\u0000\u0001\u0002PK\u0003')).toContain('to mend')
  const none = await person.post('/reception/import', {})
  expect(none.status).toBe(422)
  const large = await upload(person, '/reception/import', 'x'.repeat(17 * 1024 * 1024))
  expect(large.status).toBe(413)
  expect((await inFlow(service, clinicId, (flow) => flow.tx.query.visit.findMany())).length).toBe(before)
})

test('patients are found by the whole number, an address or a reference, and never by an address in the browser', async () => {
  const find = async (words: string) => await (await person.post('/reception/find', { words })).text()
  expect(await find('07700 900402')).toContain('Ulric &quot;Ray&quot; Fenn, elder')
  expect(await find('+44 7700 900402')).toContain('Ulric')
  expect(await find('U2')).toContain('Ulric')
  expect(await find('0770090040')).toContain('Nobody here has this number')
  expect(await find("'; drop table patient; --")).toContain('Nobody here has this number')
  expect((await person.post('/reception/find', { words: ' ' })).status).toBe(422)
  expect(await (await person.get('/reception/find?words=U2')).text()).not.toContain('Ulric')
})

test('the day list shows who comes and how to reach them', async () => {
  const text = await (await person.get('/reception/day?day=2026-05-05')).text()
  expect(text).toContain('Una Fenn')
  expect(text).toContain('+447700900401')
  expect(text).toContain('history not answered yet')
  expect((await person.get('/reception/day?day=2026-99-05')).status).toBe(200)
})

test('a part-cleared ear is booked again from the list: the running plan moves onto the new visit', async () => {
  const visit = await visitWith('V7', '2026-03-10T14:00', {}, { ears: 'left' })
  clock.set(Temporal.Instant.from('2026-03-10T14:40:00Z'))
  await inFlow(service, clinicId, (flow) =>
    recordProcedure(
      flow,
      visit.visitId,
      {
        ears: [
          {
            ear: 'left',
            found: ['hard-wax'],
            softness: 'hard-and-dry',
            methods: ['suction'],
            result: 'part-cleared',
            canal: ['normal'],
            drum: 'normal',
            felt: ['nothing'],
            advice: '',
          },
        ],
      },
      staff.first,
    ),
  )
  const desk = await web.staff('reception', clinicId)
  const early = await openSlot(service, clinicId, '2026-03-11T09:00:00Z')
  const fits = await openSlot(service, clinicId, '2026-03-18T09:00:00Z')
  const item = (await inFlow(service, clinicId, (flow) => deskItems(flow))).find(
    (one) => one.visitId === visit.visitId && one.kind === 'needs-visit',
  )
  const at = `/reception/items/${item?.itemId}/book`
  const page = await (await desk.get(at)).text()
  expect(page).toContain('not before <strong>Monday 16 March</strong>')
  expect(page).toContain(fits)
  expect(page).not.toContain(early)
  const [one, two] = await Promise.all([desk.post(at, { slot: fits }), desk.post(at, { slot: fits })])
  // Whoever is second finds it settled.
  expect([one.status, two.status].sort()).toEqual([303, 404])
  const next = (await inFlow(service, clinicId, (flow) => visitsOfPatient(flow, visit.patientId))).at(-1)
  expect(next).toMatchObject({ status: 'booked', ears: 'left' })
  expect(next?.startAt.toString()).toBe('2026-03-18T09:00:00Z')
  expect(next?.reference).toMatch(/^V7-/)
  const own = (await messagesOf(service, clinicId)).filter((m) => m.patientId === visit.patientId)
  expect(own.some(({ kind, body }) => kind === 'visit-booked' && body.includes('Wednesday 18 March'))).toBe(
    true,
  )
  const visitId = next?.visitId as string
  const after = await inFlow(service, clinicId, async (flow) => ({
    old: await currentPlan(flow, visit.visitId),
    plan: await currentPlan(flow, visitId),
    screening: await getScreening(flow, visitId),
    items: await deskItems(flow),
  }))
  if (next?.purpose === 'removal') {
    expect(after.old).toBeNull()
    expect(after.plan?.plan.visitDay).toBe('2026-03-18')
    expect(after.screening?.status).toBe('answered')
    expect(
      own.filter(({ kind, status }) => kind === 'dose-question' && status === 'queued').map(({ day }) => day),
    ).not.toContain('2026-03-18')
  }
  expect(after.items.some(({ itemId }) => itemId === item?.itemId)).toBe(false)
  expect((await desk.get(at)).status).toBe(404)
  expect(
    await inFlow(service, clinicId, (flow) => visitByReference(flow, next?.reference as string)),
  ).not.toBeNull()
})
