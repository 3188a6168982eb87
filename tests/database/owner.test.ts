/** The owner's pages on the real database: evidence of two periods, the file, the jobs, the settings. */
import { Temporal } from 'temporal-polyfill'
import { expect, test } from 'vitest'
import { deliver } from '../../jobs/deliver.ts'
import { learn } from '../../jobs/learn.ts'
import type { EarRecord } from '../../src/aftercare/record.ts'
import { loadClinic } from '../../src/clinic.ts'
import { claim } from '../../src/concerns/store.ts'
import { inClinic } from '../../src/database/service.ts'
import { recordProcedure } from '../../src/flow/aftercare.ts'
import { raiseConcern } from '../../src/flow/concerns.ts'
import { inFlow } from '../../src/flow/context.ts'
import { evidenceOf } from '../../src/flow/evidence.ts'
import { answerMove, proposeMove } from '../../src/flow/moves.ts'
import { takeAnswers } from '../../src/flow/screening.ts'
import { noToAll } from '../../src/softening/screening.ts'
import { importRows, openSlot, runJobs, staffClinic, visitAndPatient } from '../support/clinic.ts'
import { testDatabase, testSettings } from '../support/database.ts'
import { webTest } from '../support/web.ts'

// Monday.
const { service, clock, clinicId } = await testDatabase('2026-02-02T09:00:00Z')
const staff = await staffClinic(service, clinicId)
const web = webTest(service, { jobLimits: { deliver: 120 } })

const ear = (softness: EarRecord['softness'], result: EarRecord['result']): EarRecord => ({
  ear: 'left',
  found: ['hard-wax'],
  softness,
  methods: ['suction'],
  result,
  canal: ['normal'],
  drum: 'normal',
  felt: ['nothing'],
  advice: '',
})

/** A removal held at that time, with what was found; `answered`: drops were planned before. */
async function held(
  ref: string,
  start: string,
  softness: EarRecord['softness'],
  result: EarRecord['result'],
  { practitioner = 'Ottoline Marsh', answered = true } = {},
) {
  const at = Temporal.Instant.from(`${start}Z`)
  const text = `${ref},Patient ${ref},07700 9002${ref.slice(1)},,1940-01-01,${start}Z,30,"${practitioner}",removal,left,`
  expect((await importRows(service, clinicId, [text])).problems).toEqual([])
  const { visit, patient } = await visitAndPatient(service, clinicId, ref)
  if (answered)
    await inFlow(service, clinicId, (flow) =>
      takeAnswers(flow, visit, patient, noToAll(flow.rules.softening), { byText: true }),
    )
  clock.set(at.add({ minutes: 30 }))
  await inFlow(service, clinicId, (flow) =>
    recordProcedure(flow, visit.visitId, { ears: [ear(softness, result)] }, staff.first),
  )
  return { visit, patient }
}

const periods = { from: Temporal.PlainDate.from('2026-02-16'), to: Temporal.PlainDate.from('2026-03-01') }
const evidence = () => inFlow(service, clinicId, (flow) => evidenceOf(flow, periods))

// The period before: 4 held, 3 hard, 2 of those not cleared.
await held('P10', '2026-02-03T10:00', 'hard-and-dry', 'not-cleared')
await held('P11', '2026-02-04T10:00', 'hard-and-dry', 'part-cleared')
await held('P12', '2026-02-10T10:00', 'hard-and-dry', 'cleared', { practitioner: '=Fenwick, Adair' })
await held('P13', '2026-02-15T23:00', 'soft', 'cleared')
// The period: 5 held, 1 hard and not cleared; 1 soft and not cleared; 1 without drops.
await held('P14', '2026-02-16T00:30', 'soft', 'cleared')
await held('P15', '2026-02-17T10:00', 'hard-and-dry', 'not-cleared', { answered: false })
await held('P16', '2026-02-18T10:00', 'firm', 'part-cleared')
await held('P17', '2026-02-24T10:00', 'soft', 'cleared', { practitioner: '=Fenwick, Adair' })
const { patient } = await held('P18', '2026-02-25T10:00', 'soft', 'cleared')

test('each measure counts the visits of its period, by practitioner and by agent, with the one before', async () => {
  const { measures, now, then, charts } = await evidence()
  const counts = ({ now: a, before: b }: typeof measures.lost.all) => [a.events, a.total, b.events, b.total]
  expect(counts(measures.unsoftened.all)).toEqual([1, 5, 3, 4])
  expect(counts(measures.failed.all)).toEqual([2, 5, 2, 4])
  expect(counts(measures.lost.all)).toEqual([1, 5, 2, 4])
  expect(now.minutes).toEqual({ all: 150, lost: 30 })
  expect(then.minutes).toEqual({ all: 120, lost: 60 })
  const practitioners = new Map(measures.unsoftened.byPractitioner)
  expect(counts(practitioners.get('Ottoline Marsh') as typeof measures.lost.all)).toEqual([1, 4, 2, 3])
  expect(counts(practitioners.get('=Fenwick, Adair') as typeof measures.lost.all)).toEqual([0, 1, 1, 1])
  const agents = new Map(measures.unsoftened.byAgent)
  // Without an answer there were no drops, and one visit was too near for any.
  expect(counts(agents.get('none') as typeof measures.lost.all).slice(0, 2)).toEqual([1, 2])
  expect([...agents.keys()]).toContain('olive-oil')
  // Weeks from Monday: 2, 9, 16 and 23 February.
  expect(charts.unsoftened?.weeks).toEqual(['2026-02-02', '2026-02-09', '2026-02-16', '2026-02-23'])
  expect(charts.unsoftened?.chart.points.map(({ events, total }) => [events, total])).toEqual([
    [2, 2],
    [1, 2],
    [1, 3],
    [0, 2],
  ])
  expect(measures.unsoftened.all.now.small.flag).toBe('very-few')
})

test('offers count once they have ended, and the queue by its median, its 95th percentile and what was in time', async () => {
  const offer = async (ref: string, at: string, minutes: number) => {
    await importRows(service, clinicId, [
      `${ref},Patient ${ref},07700 9003${ref.slice(1)},,1940-01-01,2026-03-20T${at},30,Ottoline Marsh,assessment,left,`,
    ])
    const { visit } = await visitAndPatient(service, clinicId, ref)
    const slotId = await openSlot(service, clinicId, `2026-03-24T${at}:00Z`)
    return await inFlow(service, clinicId, (flow) =>
      proposeMove(flow, {
        visitId: visit.visitId,
        slotIds: [slotId],
        reason: 'It helps us to fit each visit in.',
        proposedBy: staff.desk,
        deadlineAt: flow.now.add({ minutes }),
      }),
    )
  }
  const [taken, kept] = [await offer('M10', '10:00', 600), await offer('M11', '11:00', 600)]
  await offer('M12', '12:00', 600)
  await inFlow(service, clinicId, (flow) => answerMove(flow, taken, 0))
  await inFlow(service, clinicId, (flow) => answerMove(flow, kept, null))
  expect((await evidence()).measures.taken.all.now).toMatchObject({ events: 1, total: 2 })

  const raise = () =>
    inFlow(service, clinicId, (flow) =>
      raiseConcern(flow, {
        patient,
        source: 'screening',
        urgency: 'today',
        score: 5,
        reason: 'For the test.',
        safetyNet: false,
      }),
    )
  const open = [await raise(), await raise(), await raise(), await raise()]
  for (const i of [0, 1, 2]) {
    clock.advance({ minutes: 10 })
    await inClinic(service, clinicId, (scope) => claim(scope, open[i]?.concernId as string, staff.first))
  }
  const early = (await evidence()).now.delays
  expect(early).toMatchObject({ notTaken: early.opened - 3, p95: null })
  expect(early.inTime).toMatchObject({ events: 3, total: 3 })
  clock.advance({ hours: 72 })
  const { now, overdue } = await evidence()
  expect(now.delays.inTime).toMatchObject({ events: 3, total: now.delays.opened })
  expect(overdue.map(({ concernId }) => concernId)).toContain(open[3]?.concernId)
  const owner = await web.staff('owner', clinicId)
  const page = await (await owner.get('/owner?from=2026-02-16&to=2026-03-01')).text()
  expect(page).toContain(
    '3 offered: 1 taken, 1 kept their time, 0 did not answer, 1 still open, 0 taken back.',
  )
  expect(page).toContain('past the deadline and not closed. Marked for you.')
  expect(page).toContain(`/clinician/concerns/${open[3]?.concernId}`)
})

test('the page says small numbers to be small, and draws each chart with its table', async () => {
  const owner = await web.staff('owner', clinicId)
  const page = await (await owner.get('/owner?from=2026-02-16&to=2026-03-01')).text()
  expect(page).toContain('20% (1 of 5)')
  expect(page).toContain('Only 5 cases: too few to judge.')
  expect(page).toContain('These numbers show no clear change')
  expect(page).toContain('too few to judge')
  expect(page.match(/<svg class="p-chart"/g)).toHaveLength(2)
  expect(page).toContain('<td data-label="Week from">2026-02-16</td>')
  expect(page).toContain('How patients do their drops: a starting guess')
  expect(page).toContain('Brier')
  // No period that is none, and none without end.
  for (const query of ['from=2026-03-01&to=2026-02-01', 'from=x&to=y', 'from=1026-01-01&to=2026-01-01'])
    expect((await owner.get(`/owner?${query}`)).status).toBe(200)
  const clinician = await web.staff('clinician', clinicId)
  expect((await clinician.get('/owner')).status).toBe(200)
  const desk = await web.staff('reception', clinicId)
  expect((await desk.get('/owner')).status).toBe(403)
})

test('the numbers as a file: complete, safe in a spreadsheet, only after a fresh sign-in, and in the audit', async () => {
  const owner = await web.staff('owner', clinicId)
  const answer = await owner.get('/owner/evidence.csv?from=2026-02-16&to=2026-03-01')
  expect(answer.headers.get('content-type')).toBe('text/csv; charset=utf-8')
  const lines = (await answer.text()).trim().split('\r\n')
  expect(lines[0]).toBe('measure,by,name,from,to,events,total,share,low,high,note')
  expect(lines.some((line) => line.startsWith('unsoftened,all,,2026-02-16,2026-03-01,1,5,0.2,'))).toBe(true)
  expect(lines.some((line) => line.startsWith('unsoftened,all,,2026-02-02,2026-02-15,3,4,0.75,'))).toBe(true)
  expect(lines.some((line) => line.startsWith('unsoftened,practitioner,"\'=Fenwick, Adair"'))).toBe(true)
  const audit = await inFlow(service, clinicId, (flow) => flow.tx.query.audit.findMany())
  expect(audit.some(({ action }) => action === 'export evidence')).toBe(true)
  clock.advance({ minutes: 6 })
  const stale = await owner.get('/owner/evidence.csv')
  expect(stale.headers.get('location')).toMatch(/^\/staff\/again\?next=/)
  const clinician = await web.staff('clinician', clinicId)
  expect((await clinician.get('/owner/evidence.csv')).status).toBe(403)
})

test('the jobs are shown with when they ran, and one that stands still is named', async () => {
  const owner = await web.staff('owner', clinicId)
  expect(await (await owner.get('/owner/jobs')).text()).toContain('No job has run yet')
  await runJobs(service, [deliver, learn])
  const page = await (await owner.get('/owner/jobs')).text()
  expect(page).toContain('<th scope="row">learn</th>')
  expect(page).not.toContain('STANDS STILL')
  clock.advance({ minutes: 10 })
  expect(await (await owner.get('/owner/jobs')).text()).toContain(
    'STANDS STILL: nothing ended for 10 minutes',
  )
})

const settingsForm = {
  phone: '01632 960200',
  textRelay: '18001 01632 960200',
  emergencyNumber: '999',
  urgentAdvice: '111',
  crisisNumber: '01632 960199',
  monday: '8:30-12:30, 13:15-17:30',
  tuesday: '09:00-17:00',
  wednesday: '09:00 to 17:00',
  thursday: '09:00-17:00',
  friday: '',
  saturday: '',
  sunday: '',
  closed: '2026-12-25\n2026-12-26',
  quietFrom: '21:00',
  quietTo: '7:30',
  transport: 'spool',
  region: 'gb',
  language: 'en',
  idleMinutes: '15',
  absoluteHours: '10',
}

test('the settings are checked field by field, saved whole or not at all, and audited', async () => {
  const owner = await web.staff('owner', clinicId)
  const settings = async () => (await inClinic(service, clinicId, loadClinic)).settings
  for (const [field, value, words] of [
    ['monday', '17:00-09:00', 'Opening hours end after they begin'],
    ['monday', '09:00-12:00, 11:00-17:00', 'stand in order'],
    ['monday', 'all day', 'A time of day is HH:MM.'],
    ['quietFrom', '26:00', 'A time of day is HH:MM.'],
    ['closed', '25/12/2026', 'Write each day as 2026-12-25'],
    ['phone', '', 'Fill this in'],
    ['transport', 'pigeon', 'Choose how texts leave.'],
    ['region', 'Britain', 'Write the two letters'],
    ['idleMinutes', '9000', 'Give 5 to 60 minutes'],
    ['absoluteHours', '', 'Give 5 to 60 minutes'],
  ] as const) {
    const wrong = await owner.post('/owner/settings', { ...settingsForm, [field]: value })
    expect(wrong.status, `${field} ${value}`).toBe(422)
    const text = await wrong.text()
    expect(text, `${field} ${value}`).toContain(words)
    // What was typed stays.
    expect(text).toContain('01632 960200'.slice(0, field === 'phone' ? 0 : 12))
    expect(await settings()).toEqual(testSettings)
  }
  const closedAlways = { monday: '', tuesday: '', wednesday: '', thursday: '' }
  const never = await owner.post('/owner/settings', { ...settingsForm, ...closedAlways })
  expect(await never.text()).toContain('The clinic must be open at some time in the week.')
  const done = await owner.post('/owner/settings', settingsForm)
  expect(done.headers.get('location')).toBe('/owner/settings?done=saved')
  expect(await settings()).toMatchObject({
    phone: '01632 960200',
    quietHours: { from: '21:00', to: '07:30' },
    region: 'GB',
    transport: 'spool',
    sessions: { idleMinutes: 15, absoluteHours: 10 },
    openingHours: {
      zone: 'Europe/London',
      closed: ['2026-12-25', '2026-12-26'],
      week: {
        monday: [
          { from: '08:30', to: '12:30' },
          { from: '13:15', to: '17:30' },
        ],
        wednesday: [{ from: '09:00', to: '17:00' }],
        friday: [],
      },
    },
  })
  const audit = await inFlow(service, clinicId, (flow) => flow.tx.query.audit.findMany())
  const entry = audit.find(({ action }) => action === 'change settings')
  expect(entry?.actor).toBe(`staff:${owner.staffId}`)
  expect(entry?.detail).toMatchObject({ fields: expect.arrayContaining(['openingHours']) })
  expect(JSON.stringify(entry?.detail)).not.toContain('960200')
  // What the page shows again is what it would save.
  const page = await (await owner.get('/owner/settings')).text()
  expect(page).toContain('value="08:30-12:30, 13:15-17:30"')
  for (const role of ['clinician', 'reception'] as const)
    expect((await (await web.staff(role, clinicId)).post('/owner/settings', settingsForm)).status).toBe(403)
})
