/** Replies on their way through the real service: stored, read, acted on, put before a clinician. */
import { Temporal } from 'temporal-polyfill'
import { expect, test } from 'vitest'
import { deliver } from '../../jobs/deliver.ts'
import { watchConcerns } from '../../jobs/watch-concerns.ts'
import { claim, close, noticesOf, queue } from '../../src/concerns/store.ts'
import { inClinic } from '../../src/database/service.ts'
import { deskItems } from '../../src/desk/store.ts'
import { recordProcedure } from '../../src/flow/aftercare.ts'
import { inFlow } from '../../src/flow/context.ts'
import { proposeMove } from '../../src/flow/moves.ts'
import { handleReply } from '../../src/flow/replies.ts'
import { receive } from '../../src/messages/inbound.ts'
import { consentsOf, currentConsent } from '../../src/privacy/consent.ts'
import { currentPlan, doseDayRows, getScreening } from '../../src/softening/store.ts'
import { importRows, messagesOf, openSlot, runJobs, staffClinic, visitAndPatient } from '../support/clinic.ts'
import { testDatabase } from '../support/database.ts'

// Monday, open hours.
const { service, clock, clinicId } = await testDatabase('2026-03-02T09:30:00Z')
const staff = await staffClinic(service, clinicId)

let last = 100
const book = async (ref: string, start: string): Promise<string> => {
  last += 1
  const mobile = `07700 900${last}`
  await importRows(service, clinicId, [
    `${ref},Person ${ref},${mobile},,1940-01-01,${start},30,Ottoline Marsh,removal,right,`,
  ])
  clock.advance({ minutes: 2 })
  await runJobs(service, [deliver])
  return mobile
}

let serial = 0
const text = async (from: string, body: string) => {
  serial += 1
  const stored = await receive(service, clinicId, {
    transport: 'handset',
    providerId: `r${serial}`,
    from,
    body,
  })
  const urgency = await handleReply(service, clinicId, stored.replyId)
  return { ...stored, urgency }
}

const concernOf = async (replyId: string) =>
  (await inFlow(service, clinicId, (flow) => queue(flow))).find((one) => one.replyId === replyId)

const textsTo = async (ref: string) => {
  const { patient } = await visitAndPatient(service, clinicId, ref)
  return (await messagesOf(service, clinicId)).filter((one) => one.patientId === patient.patientId)
}

test('NONE to the history plans the drops; the evening answer counts for its own day, also when it is late', async () => {
  const mobile = await book('D1', '2026-03-07T10:00')
  expect((await text(mobile, 'NONE')).urgency).toBe('none')
  const { visit, patient } = await visitAndPatient(service, clinicId, 'D1')
  // The invitation held the words in force, so the answer is recorded as consent to them.
  expect((await textsTo('D1')).find((one) => one.kind === 'screening-invitation')?.body).toContain(
    currentConsent.words,
  )
  expect(await inClinic(service, clinicId, (scope) => consentsOf(scope, patient.patientId))).toMatchObject([
    { version: currentConsent.version, how: 'text' },
  ])
  const plan = await inFlow(service, clinicId, (flow) => currentPlan(flow, visit.visitId))
  expect(plan?.status).toBe('active')
  const first = plan?.plan.days[0] as string
  clock.set(Temporal.Instant.from(`${first}T20:30:00Z`))
  await runJobs(service, [deliver])
  // The quiet hours have begun; the question was placed before them.
  const asked = (await textsTo('D1')).filter((one) => one.kind === 'dose-question' && one.day === first)
  expect(asked.map((one) => one.status)).toEqual(
    ['expired'].includes(asked[0]?.status ?? '') ? ['expired'] : [asked[0]?.status],
  )
  clock.set(Temporal.Instant.from(`${first}T23:50:00Z`))
  const answer = await text(mobile, 'twice')
  if (asked[0]?.status === 'delivered') {
    expect(answer.urgency).toBe('none')
    const rows = await inClinic(service, clinicId, (scope) => doseDayRows(scope, [plan?.planId as string]))
    expect(rows.find((row) => row.day === first)?.done).toBe(2)
  }
})

test('a history by text that changes the plan is asked on, withheld and put before a clinician', async () => {
  const mobile = await book('H1', '2026-03-20T10:00')
  const answer = await text(mobile, 'I have grommets in my right ear')
  expect(['soon', 'unclear']).toContain(answer.urgency)
  expect(await concernOf(answer.replyId)).toBeDefined()
  const { visit } = await visitAndPatient(service, clinicId, 'H1')
  const screening = await inFlow(service, clinicId, (flow) => getScreening(flow, visit.visitId))
  expect(screening?.answers.find((one) => one.question === 'grommets')?.answer).toBe('yes')
  clock.set(clock.now().add({ hours: 10 }))
  await runJobs(service, [deliver])
  expect((await textsTo('H1')).some((one) => one.kind === 'screening-rest')).toBe(true)
  // NONE settles the rest of the list and leaves what was told.
  expect((await text(mobile, 'NONE')).urgency).toBe('none')
  const settled = await inFlow(service, clinicId, (flow) => getScreening(flow, visit.visitId))
  expect(settled?.outcome).toMatchObject({ settled: true, decision: 'withheld' })
  expect((await textsTo('H1')).some((one) => one.kind.startsWith('dose-'))).toBe(false)
})

test('STOP ends the messages at once and tells the clinic; a symptom beside it still reaches a clinician; START resumes', async () => {
  const mobile = await book('S1', '2026-03-21T10:00')
  const answer = await text(mobile, 'STOP. my ear is bleeding')
  expect(answer.urgency).toBe('today')
  const { patient } = await visitAndPatient(service, clinicId, 'S1')
  expect(patient.stoppedAt).not.toBeNull()
  const queued = (await textsTo('S1')).filter((one) => one.status === 'queued').map((one) => one.kind)
  expect(queued.filter((kind) => !kind.startsWith('safety-') && kind !== 'stop-confirmed')).toEqual([])
  expect(queued).toContain('stop-confirmed')
  const desk = await inFlow(service, clinicId, (flow) => deskItems(flow))
  expect(desk.some((one) => one.kind === 'stopped-messages' && one.patientId === patient.patientId)).toBe(
    true,
  )
  await text(mobile, 'START')
  expect((await visitAndPatient(service, clinicId, 'S1')).patient.stoppedAt).toBeNull()
})

test('the same text twice is one reply; a number that nobody has is answered once a day and read by a human', async () => {
  const inbound = {
    transport: 'handset',
    providerId: 'same',
    from: '07700 900777',
    body: 'my ear hurts a lot 9/10',
  }
  const [one, two] = await Promise.all([
    receive(service, clinicId, inbound),
    receive(service, clinicId, inbound),
  ])
  expect(one.replyId).toBe(two.replyId)
  expect([one.fresh, two.fresh].filter(Boolean)).toHaveLength(1)
  expect(await handleReply(service, clinicId, one.replyId)).toBe('today')
  expect(await concernOf(one.replyId)).toMatchObject({ source: 'unknown-sender', urgency: 'today' })
  await text('07700 900777', 'hello?')
  const answers = (await messagesOf(service, clinicId)).filter((message) => message.kind === 'number-unknown')
  expect(answers).toHaveLength(1)
})

test('a proposed time is taken by text; with two questions open a bare number is nobody’s', async () => {
  clock.set(Temporal.Instant.from('2026-03-09T09:00:00Z'))
  const mobile = await book('M1', '2026-03-24T10:00')
  await text(mobile, 'none')
  const { visit } = await visitAndPatient(service, clinicId, 'M1')
  const slots = [
    await openSlot(service, clinicId, '2026-03-26T10:00:00Z'),
    await openSlot(service, clinicId, '2026-03-27T10:00:00Z'),
  ]
  await inFlow(service, clinicId, (flow) =>
    proposeMove(flow, {
      visitId: visit.visitId,
      slotIds: slots,
      reason: 'More days for the drops.',
      proposedBy: staff.desk,
      deadlineAt: flow.now.add({ hours: 20 }),
    }),
  )
  await runJobs(service, [deliver])
  expect((await text(mobile, '2')).urgency).toBe('none')
  expect((await visitAndPatient(service, clinicId, 'M1')).visit.startAt.toString()).toBe(
    '2026-03-27T10:00:00Z',
  )
})

test('a worrying answer to a check: safety net at once, deadline, escalation, one claim, an answer, closed', async () => {
  clock.set(Temporal.Instant.from('2026-03-30T08:30:00Z'))
  const mobile = await book('P1', '2026-03-30T10:00')
  const { visit } = await visitAndPatient(service, clinicId, 'P1')
  clock.set(Temporal.Instant.from('2026-03-30T09:30:00Z'))
  await inFlow(service, clinicId, (flow) =>
    recordProcedure(
      flow,
      visit.visitId,
      {
        ears: [
          {
            ear: 'right',
            found: ['hard-wax'],
            softness: 'hard-and-dry',
            methods: ['suction'],
            result: 'cleared',
            canal: ['grazed'],
            drum: 'inflamed',
            felt: ['pain'],
            advice: '',
          },
        ],
      },
      staff.first,
    ),
  )
  clock.set(Temporal.Instant.from('2026-03-31T09:30:00Z'))
  await runJobs(service, [deliver])
  const answer = await text(mobile, 'its got a lot worse, 8 out of 10 and theres yellow stuff on my pillow')
  expect(answer.urgency).toBe('today')
  const opened = await concernOf(answer.replyId)
  expect(opened).toMatchObject({ status: 'open', source: 'reply' })
  const net = (await textsTo('P1')).find((one) => one.kind === 'safety-today')
  expect(net?.body).toContain('999')
  expect(net?.body).toContain('not an emergency service')

  clock.set(opened?.warnAt as Temporal.Instant)
  await runJobs(service, [watchConcerns])
  const told = async (id: string) =>
    (await inFlow(service, clinicId, (flow) => noticesOf(flow, id)))
      .filter((one) => one.concernId === opened?.concernId)
      .map((one) => one.kind)
  expect(await told(staff.first)).toContain('opened')
  expect(await told(staff.second)).toContain('near')
  clock.set(opened?.deadlineAt as Temporal.Instant)
  await runJobs(service, [watchConcerns])
  for (const id of [staff.first, staff.second, staff.owner]) expect(await told(id)).toContain('past')
  expect(await told(staff.owner)).toContain('owner')

  const claims = await Promise.all(
    [staff.first, staff.second].map((id) =>
      inFlow(service, clinicId, (flow) => claim(flow, opened?.concernId as string, id)),
    ),
  )
  expect(claims.filter(Boolean)).toHaveLength(1)
  const holder = claims[0] ? staff.first : staff.second
  const other = claims[0] ? staff.second : staff.first
  const end = { outcome: 'seen', note: 'Seen the same day.' }
  expect(
    await inFlow(service, clinicId, (flow) => close(flow, opened?.concernId as string, other, end)),
  ).toBe(false)
  expect(
    await inFlow(service, clinicId, (flow) => close(flow, opened?.concernId as string, holder, end)),
  ).toBe(true)
  expect(await concernOf(answer.replyId)).toBeUndefined()
})

test('out of hours the safety net says plainly when a person will next look', async () => {
  const mobile = await book('N1', '2026-04-20T10:00')
  clock.set(Temporal.Instant.from('2026-04-03T21:15:00Z'))
  const answer = await text(mobile, 'sudden hearing loss in my right ear today')
  expect(answer.urgency).toBe('today')
  const net = (await textsTo('N1')).find((one) => one.kind === 'safety-today-closed')
  expect(net?.body).toMatch(/No one here will look before .*Monday 6 April/)
  await runJobs(service, [deliver])
  // A safety net is not held back by the quiet hours.
  expect((await textsTo('N1')).find((one) => one.kind === 'safety-today-closed')?.status).toBe('delivered')
})

test('an urgent reply before the visit pauses the drops', async () => {
  const mobile = await book('U1', '2026-04-14T10:00')
  clock.set(Temporal.Instant.from('2026-04-07T09:00:00Z'))
  await runJobs(service, [deliver])
  await text(mobile, 'none')
  const { visit } = await visitAndPatient(service, clinicId, 'U1')
  expect((await inFlow(service, clinicId, (flow) => currentPlan(flow, visit.visitId)))?.status).toBe('active')
  expect((await text(mobile, 'blood coming out of the ear after the drops')).urgency).toBe('today')
  expect((await inFlow(service, clinicId, (flow) => currentPlan(flow, visit.visitId)))?.status).toBe(
    'withheld',
  )
  expect(
    (await textsTo('U1')).filter((one) => one.kind.startsWith('dose-') && one.status === 'queued'),
  ).toEqual([])
})

test('STOP from a shared number ends the texts to everybody there; START brings back what is still to come', async () => {
  clock.set(Temporal.Instant.from('2026-04-08T09:00:00Z'))
  const mobile = '07700 900888'
  await importRows(service, clinicId, [
    `W1,Wife One,${mobile},,1940-01-01,2026-04-16T10:00,30,Ottoline Marsh,removal,right,`,
    `W2,Husband Two,${mobile},,1941-01-01,2026-04-16T11:00,30,Ottoline Marsh,removal,right,`,
  ])
  clock.advance({ minutes: 2 })
  await runJobs(service, [deliver])
  await text(mobile, 'stop')
  for (const ref of ['W1', 'W2']) {
    expect((await visitAndPatient(service, clinicId, ref)).patient.stoppedAt).not.toBeNull()
    const queued = (await textsTo(ref)).filter((one) => one.status === 'queued').map((one) => one.kind)
    expect(queued.filter((kind) => kind !== 'stop-confirmed' && !kind.startsWith('safety-'))).toEqual([])
  }
  await text(mobile, 'start')
  for (const ref of ['W1', 'W2']) {
    const queued = (await textsTo(ref)).filter((one) => one.status === 'queued').map((one) => one.kind)
    expect(queued).toContain('screening-invitation')
    expect(queued).toContain('visit-reminder')
  }
})

test('a new number gets what the old one was asked, and the old links end', async () => {
  await book('C1', '2026-04-17T10:00')
  await importRows(service, clinicId, [
    'C1,Person C1,07700 900889,,1940-01-01,2026-04-17T10:00,30,Ottoline Marsh,removal,right,',
  ])
  clock.advance({ minutes: 2 })
  await runJobs(service, [deliver])
  const { patient } = await visitAndPatient(service, clinicId, 'C1')
  expect(patient.mobile).toBe('+447700900889')
  const links = await inClinic(service, clinicId, (scope) => scope.tx.query.link.findMany())
  const own = links.filter((one) => one.patientId === patient.patientId)
  expect(own.some((one) => one.revokedAt !== null)).toBe(true)
  expect((await text('07700 900889', 'NONE')).urgency).toBe('none')
})
