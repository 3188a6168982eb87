/** The pages behind one fact, the checks, the words and the stop, on the real database. */

import { beforeAll, describe, expect, test } from 'vitest'
import { deliver } from '../../jobs/deliver.ts'
import { readReplies } from '../../jobs/read-replies.ts'
import { queue } from '../../src/concerns/store.ts'
import { inClinic } from '../../src/database/service.ts'
import { deskItems } from '../../src/desk/store.ts'
import { recordProcedure } from '../../src/flow/aftercare.ts'
import { inFlow } from '../../src/flow/context.ts'
import { HISTORY_FORM } from '../../src/flow/forms.ts'
import { proposeMove } from '../../src/flow/moves.ts'
import { lapseHistories } from '../../src/flow/screening.ts'
import { withdrawQuestions } from '../../src/messages/store.ts'
import { currentPlan, getScreening } from '../../src/softening/store.ts'
import { messagesOf, openSlot, runJobs, staffClinic, visitAndPatient } from '../support/clinic.ts'
import { testDatabase } from '../support/database.ts'
import { webTest } from '../support/web.ts'
import { at, book, linkIn, planFor, telephone, wordsOf } from './patient-fixtures.ts'

// Monday.
const db = await testDatabase('2026-03-02T09:00:00Z')
const { service, clock, clinicId } = db
const { app, logged } = webTest(service)
let clinician = ''
beforeAll(async () => {
  clinician = (await staffClinic(service, clinicId)).first
})

const repliesOf = (patientId: string) =>
  inClinic(service, clinicId, async ({ tx, vault }) => {
    const rows = await tx.query.reply.findMany({
      where: (table, { eq }) => eq(table.patientId, patientId),
      orderBy: (table, { asc }) => [asc(table.receivedAt), asc(table.replyId)],
    })
    return rows.map((row) => ({ ...row, body: vault.open(row.bodySealed) }))
  })
const screeningOf = (visitId: string) => inClinic(service, clinicId, (scope) => getScreening(scope, visitId))
const concernsOf = async (patientId: string) =>
  (await inClinic(service, clinicId, (scope) => queue(scope))).filter((one) => one.patientId === patientId)
const deskOf = async (patientId: string) =>
  (await inClinic(service, clinicId, (scope) => deskItems(scope))).filter(
    (one) => one.patientId === patientId,
  )
const kindsSent = async (patientId: string) =>
  (await messagesOf(service, clinicId)).filter((one) => one.patientId === patientId).map(({ kind }) => kind)

async function historyLink(ref: string, more: Parameters<typeof book>[3] = {}) {
  const { visit, patient } = await book(service, clinicId, ref, more)
  const text = await linkIn(service, clinicId, patient.patientId, 'screening-invitation')
  return { visit, patient, text, phone: telephone(app, text) }
}

/** Every question on the page with this answer. */
const answersTo = (html: string, value: 'yes' | 'no' | 'unsure'): Record<string, string> =>
  Object.fromEntries([...html.matchAll(/name="([12]\.[a-z-]+)" value="yes"/g)].map((one) => [one[1], value]))
const asked = (html: string): string[] => Object.keys(answersTo(html, 'no'))

describe('one fact before anything personal', () => {
  test('the first page asks the year and shows no name, no condition, no visit', async () => {
    const { phone } = await historyLink('F1')
    const { html, status } = await phone.get()
    expect(status).toBe(200)
    expect(html).toContain('name="year"')
    expect(html).not.toMatch(/Winifred|Ottoline|eardrum|drops|olive|12 March/i)
  })

  test('a whole date serves, a year that is none costs no try, and the pass is for this link alone', async () => {
    const { phone, text } = await historyLink('F2')
    for (const year of ['', 'forty-one', '41', '19411', '1941 or 1942'])
      expect((await phone.giveYear(year)).status).toBe(422)
    const given = await phone.giveYear('2 June 1941')
    expect(given.status).toBe(200)
    expect(given.html).toContain('eardrum')
    const other = await historyLink('F2b')
    const cookie = (
      await app.request(`/p/${text}`, {
        method: 'POST',
        headers: { 'content-type': 'application/x-www-form-urlencoded', 'sec-fetch-site': 'same-origin' },
        body: 'do=fact&year=1941',
      })
    ).headers.getSetCookie()[0] as string
    expect(cookie).toMatch(/HttpOnly/)
    expect(cookie).toMatch(/SameSite=Lax/)
    expect(cookie).toContain(`Path=/p/${text}`)
    const elsewhere = await app.request(`/p/${other.text}`, {
      headers: { cookie: cookie.split(';')[0] as string },
    })
    expect(await elsewhere.text()).toContain('name="year"')
    // Without the cookie the link asks again: it may have been passed on.
    expect((await telephone(app, text).get()).html).toContain('name="year"')
  })

  test('five wrong years shut it, kindly and with a way out, also for the right one; words still reach the clinic', async () => {
    const { phone, text, patient } = await historyLink('F3')
    await phone.get()
    const tries = []
    for (const year of ['1940', '1942', '1951', '1914', '2001']) tries.push(await phone.giveYear(year))
    expect(wordsOf(tries[0]?.html ?? '')).toContain('You can try 4 more times.')
    expect(wordsOf(tries[3]?.html ?? '')).toContain('You can try once more.')
    expect(tries[4]?.status).toBe(403)
    const words = wordsOf(tries[4]?.html ?? '')
    expect(words).toContain('01632 960123')
    expect(words).toMatch(/text relay/)
    expect((await phone.giveYear('1941')).status).toBe(403)
    const { html } = await telephone(app, text).get()
    expect(html).not.toContain('name="year"')
    expect(html).not.toMatch(/Winifred|eardrum/)
    expect((await phone.post({ do: 'history', '1.perforation-ever': 'no' })).status).toBe(403)
    expect(await repliesOf(patient.patientId)).toEqual([])
    expect((await phone.post({ do: 'words', words: 'I have forgotten my own birthday' })).status).toBe(200)
    expect(await repliesOf(patient.patientId)).toHaveLength(1)
  })

  test('without a birth date on file nothing but the question is shown', async () => {
    const { phone, text, visit } = await historyLink('F4', { birthDate: '' })
    const { html } = await phone.get()
    expect(html).not.toContain('name="year"')
    expect(html).not.toMatch(/Winifred|12 March|Ottoline/)
    const next = await phone.post({ do: 'history', ...answersTo(html, 'no'), '1.perforation-ever': 'yes' })
    // What follows from their own answer is asked of them at once ...
    expect(asked(next.html)).toEqual(['1.perforation-recent', '1.perforation-healed'])
    // ... and not of whoever opens the link after them.
    const later = wordsOf((await telephone(app, text).get()).html)
    expect(later).not.toMatch(/hole|eardrum/i)
    expect(later).toContain('We still need a few answers.')
    const done = await phone.post({
      do: 'history',
      '1.perforation-recent': 'no',
      '1.perforation-healed': 'yes',
    })
    expect(wordsOf(done.html)).toContain('We will text you about your drops')
    expect((await screeningOf(visit.visitId))?.status).toBe('answered')
  })
})

describe('the history', () => {
  test('no to all of it leads to a plan; the page says that it comes by text and that none are to be used before', async () => {
    const { phone, visit, patient } = await historyLink('H1')
    const { html } = await phone.giveYear('1941')
    expect(asked(html)).toHaveLength(
      await inFlow(
        service,
        clinicId,
        async ({ rules }) => rules.softening.screening.questions.filter(({ askIf }) => !askIf).length,
      ),
    )
    for (const words of ['Yes', 'No', 'Not sure']) expect(wordsOf(html)).toContain(words)
    const done = await phone.post({ do: 'history', ...answersTo(html, 'no') })
    expect(wordsOf(done.html)).toContain('We will text you about your drops. Please use none before then.')
    expect((await screeningOf(visit.visitId))?.outcome?.decision).toBe('as-planned')
    expect(await kindsSent(patient.patientId)).toContain('plan-start')
    const [got] = await repliesOf(patient.patientId)
    expect(got).toMatchObject({ transport: HISTORY_FORM, urgency: 'none' })
    // The answered history is not asked again, and can be corrected in words.
    expect(wordsOf((await phone.get()).html)).toContain('If one was wrong, write to us.')
  })

  test('follow-ups and what was left out come on the next page, unclear ones once more in other words', async () => {
    const { phone, visit } = await historyLink('H2')
    const { html } = await phone.giveYear('1941')
    const { '1.diabetes': _, ...rest } = answersTo(html, 'no')
    const next = await phone.post({ do: 'history', ...rest, '1.ear-surgery': 'yes', '1.grommets': 'unsure' })
    expect(asked(next.html)).toEqual(['1.mastoid-cavity', '2.grommets', '1.diabetes'])
    expect(wordsOf(next.html)).toContain('could it still be there?')
    const settled = await phone.post({
      do: 'history',
      '1.mastoid-cavity': 'no',
      '2.grommets': 'unsure',
      '1.diabetes': 'no',
    })
    expect(wordsOf(settled.html)).toContain('We have asked our staff to look at your answers')
    const screening = await screeningOf(visit.visitId)
    expect(screening).toMatchObject({ status: 'to-person' })
    expect(screening?.outcome?.decision).toBe('withheld')
    expect((await currentPlanOf(visit.visitId))?.plan.days).toEqual([])
  })

  test('the first page sent twice does not count as the second wording', async () => {
    const { phone, visit } = await historyLink('H3')
    const { html } = await phone.giveYear('1941')
    const fields = {
      do: 'history',
      form: 'BBBBBBBBBBBBBBBB',
      ...answersTo(html, 'no'),
      '1.grommets': 'unsure',
    }
    await phone.post(fields)
    const again = await phone.post(fields)
    expect(asked(again.html)).toEqual(['2.grommets'])
    expect((await screeningOf(visit.visitId))?.status).toBe('asked-again')
    // The same answers under a new id (a page gone back to) do not either.
    expect(asked((await phone.post({ ...fields, form: 'CCCCCCCCCCCCCCCC' })).html)).toEqual(['2.grommets'])
  })

  test('a hole in the drum told in words against a "no" on the page is asked again, and drops wait', async () => {
    const { phone, visit } = await historyLink('H4')
    const { html } = await phone.giveYear('1941')
    const next = await phone.post({
      do: 'history',
      ...answersTo(html, 'no'),
      words: 'I had a hole in my eardrum last year',
    })
    expect(asked(next.html)).toContain('2.perforation-ever')
    expect((await screeningOf(visit.visitId))?.outcome?.settled).toBe(false)
  })

  test('urgent words beside the answers show the safety net and open a concern', async () => {
    const { phone, patient } = await historyLink('H5')
    const { html } = await phone.giveYear('1941')
    const done = await phone.post({
      do: 'history',
      ...answersTo(html, 'no'),
      words: 'my face has gone droopy on one side since this morning',
    })
    expect(wordsOf(done.html)).toContain('Call 999 now')
    expect(done.html).toContain('href="tel:999"')
    expect((await concernsOf(patient.patientId)).map(({ urgency }) => urgency)).toContain('now')
  })

  test('nothing answered is asked for again and stores nothing; unknown questions are left out', async () => {
    const { phone, patient } = await historyLink('H6')
    await phone.giveYear('1941')
    const none = await phone.post({ do: 'history' })
    expect(none.status).toBe(422)
    expect(
      (await phone.post({ do: 'history', '1.shoe-size': 'yes', '3.grommets': 'yes', '1.grommets': 'maybe' }))
        .status,
    ).toBe(422)
    expect(await repliesOf(patient.patientId)).toEqual([])
  })

  test('opens while the history is open, although its question was taken back, and after its deadline', async () => {
    const { phone, patient, visit } = await historyLink('H7')
    await inFlow(service, clinicId, (flow) =>
      withdrawQuestions(flow, { patientId: patient.patientId, kinds: ['screening'] }),
    )
    expect((await phone.giveYear('1941')).html).toContain('eardrum')
    clock.set(at('2026-03-06T09:00:00Z'))
    await inFlow(service, clinicId, (flow) => lapseHistories(flow))
    expect((await screeningOf(visit.visitId))?.status).toBe('overdue')
    const { html } = await phone.giveYear('1941')
    const done = await phone.post({ do: 'history', ...answersTo(html, 'no') })
    expect(wordsOf(done.html)).toContain('We will text you about your drops')
    expect((await screeningOf(visit.visitId))?.status).toBe('answered')
  })

  test('is over once the visit is', async () => {
    const { phone, visit } = await historyLink('H8')
    await inFlow(service, clinicId, async (flow) => {
      const { visitCancelled } = await import('../../src/flow/visits.ts')
      const { changeVisit } = await import('../../src/visits/store.ts')
      const { visit: before, patient } = await visitAndPatient(service, clinicId, 'H8')
      await visitCancelled(flow, await changeVisit(flow, before, { status: 'cancelled' }), patient)
    })
    const { html, status } = await phone.giveYear('1941')
    expect(status).toBe(200)
    expect(wordsOf(html)).toContain('If in doubt about your drops, use none and ask us.')
    expect((await screeningOf(visit.visitId))?.status).toBe('cancelled')
  })
})

const currentPlanOf = (visitId: string) => inClinic(service, clinicId, (scope) => currentPlan(scope, visitId))

describe('another time', () => {
  async function moveLink(ref: string, more: Parameters<typeof book>[3] = {}) {
    const { visit, patient } = await book(service, clinicId, ref, { start: '2026-03-19T10:00', ...more })
    const hour = 10 + (moves++ % 6)
    const slots = [
      await openSlot(service, clinicId, `2026-03-${20 + moves}T${hour}:00:00Z`),
      await openSlot(service, clinicId, `2026-03-${20 + moves}T${hour}:40:00Z`),
    ]
    const moveId = await inFlow(service, clinicId, (flow) =>
      proposeMove(flow, {
        visitId: visit.visitId,
        slotIds: slots,
        reason: 'Your drops need more days.',
        proposedBy: null,
        deadlineAt: flow.now.add({ hours: 24 }),
      }),
    )
    const text = await linkIn(service, clinicId, patient.patientId, 'move-proposal')
    return { visit, patient, moveId, slots, text, phone: telephone(app, text) }
  }
  let moves = 0
  const visitNow = (ref: string) => visitAndPatient(service, clinicId, ref).then(({ visit }) => visit)

  test('is chosen with a tap behind the fact, moves the visit once, and says so without opening a concern', async () => {
    const { phone, patient, text, visit } = await moveLink('M1')
    expect((await phone.get()).html).toContain('name="year"')
    const { html } = await phone.giveYear('1941')
    const words = wordsOf(html)
    expect(words).toContain('Your visit is on Thursday 19 March, 10:00am.')
    expect(html.match(/name="choice"/g)).toHaveLength(3)
    const taken = await phone.post({ do: 'move', choice: '2', form: 'DDDDDDDDDDDDDDDD' })
    const after = await visitNow('M1')
    expect(after.startAt.equals(visit.startAt)).toBe(false)
    expect(wordsOf(taken.html)).toMatch(/Your visit is now on \w+day \d+ March, \d+:40[ap]m\./)
    // Tapped again: the same page, no second move, no message that it is too late.
    expect(wordsOf((await phone.post({ do: 'move', choice: '2', form: 'DDDDDDDDDDDDDDDD' })).html)).toContain(
      'Your visit is now on',
    )
    expect((await visitNow('M1')).version).toBe(after.version)
    expect(await kindsSent(patient.patientId)).not.toContain('move-too-late')
    expect(await concernsOf(patient.patientId)).toEqual([])
    expect((await repliesOf(patient.patientId)).map(({ body, urgency }) => [body, urgency])).toEqual([
      ['I choose time 2.', 'none'],
    ])
    // The link stays the way to see it, behind the fact.
    const again = telephone(app, text)
    expect((await again.get()).html).toContain('name="year"')
    expect(wordsOf((await again.giveYear('1941')).html)).toContain('Your visit is now on')
  })

  test('the old time can be kept', async () => {
    const { phone, patient } = await moveLink('M2')
    await phone.giveYear('1941')
    const kept = await phone.post({ do: 'move', choice: 'keep' })
    expect(wordsOf(kept.html)).toContain('Your visit stays on Thursday 19 March, 10:00am.')
    expect((await deskOf(patient.patientId)).map(({ kind }) => kind)).toEqual(['move-declined'])
  })

  test('too late is said, and the old time stands', async () => {
    const { phone, moveId } = await moveLink('M3')
    await phone.giveYear('1941')
    await inFlow(service, clinicId, async (flow) => {
      const { settleMove, releaseSlots } = await import('../../src/softening/moves/store.ts')
      await settleMove(flow, moveId, 'expired')
      await releaseSlots(flow, moveId)
    })
    const late = await phone.post({ do: 'move', choice: '1' })
    expect(wordsOf(late.html)).toContain(
      'Sorry, it is too late to choose, or that time has gone. Your visit stays on Thursday 19 March, 10:00am.',
    )
    expect(wordsOf((await phone.get()).html)).toContain('too late to choose')
  })

  test('without a birth date only the times on offer are shown, never the visit', async () => {
    const { phone, text } = await moveLink('M4', { birthDate: '' })
    const { html } = await phone.get()
    expect(html.match(/name="choice"/g)).toHaveLength(3)
    expect(html).not.toMatch(/19 March|Winifred/)
    const taken = await phone.post({ do: 'move', choice: '1' })
    expect(wordsOf(taken.html)).toContain('Your visit has been moved. We will text you the new time.')
    expect(wordsOf((await telephone(app, text).get()).html)).not.toMatch(/\d+:\d\d[ap]m/)
  })

  test('a time that was not offered is not taken', async () => {
    const { phone, patient } = await moveLink('M5')
    await phone.giveYear('1941')
    const { html } = await phone.post({ do: 'move', choice: '3' })
    expect(html.match(/name="choice"/g)).toHaveLength(3)
    expect(await repliesOf(patient.patientId)).toEqual([])
  })
})

describe('the visit', () => {
  test('behind the fact: when it is, how to use the drops, when to stop', async () => {
    await book(service, clinicId, 'V1', { start: '2026-03-19T11:00' })
    const { patient } = await planFor(service, clinicId, 'V1')
    const phone = telephone(app, await linkIn(service, clinicId, patient.patientId, 'visit-reminder'))
    const first = await phone.get()
    expect(first.html).toContain('name="year"')
    expect(first.html).not.toMatch(/19 March|olive|drops|Winifred/i)
    // Saying that one cannot come needs no fact.
    expect(first.html).toContain('value="cannot"')
    const words = wordsOf((await phone.giveYear('1941')).html)
    expect(words).toContain('Your visit is on Thursday 19 March, 11:00am.')
    expect(words).toContain('olive oil')
    expect(words).toContain('left and right ears')
    expect(words).toContain('twice a day')
    expect(words).toContain('Start on Saturday 14 March. The last day is Wednesday 18 March.')
    expect(words).toContain('Warm the bottle in your hand')
    expect(words).toContain('Lie on your side')
    expect(words).toContain('Stop if your ear hurts more, bleeds or runs.')
  })

  test('"I cannot come" reaches the desk and opens no concern; the visit stands', async () => {
    const { patient, visit } = await book(service, clinicId, 'V2', { start: '2026-03-19T12:00' })
    const phone = telephone(app, await linkIn(service, clinicId, patient.patientId, 'visit-reminder'))
    await phone.get()
    const plain = await phone.post({ do: 'visit', wish: 'cannot' })
    expect(wordsOf(plain.html)).toContain('Your visit stays as it is until we text you.')
    expect(wordsOf(plain.html)).not.toContain('19 March')
    await phone.giveYear('1941')
    expect(wordsOf((await phone.post({ do: 'visit', wish: 'other' })).html)).toContain(
      'Your visit stays on Thursday 19 March, 12:00pm'.replace('12:00pm', 'noon'),
    )
    expect((await deskOf(patient.patientId)).map(({ kind }) => kind)).toContain('wishes-to-move')
    expect(await concernsOf(patient.patientId)).toEqual([])
    expect((await visitAndPatient(service, clinicId, 'V2')).visit.version).toBe(visit.version)
  })

  test('a wish for another time, while the history waits for its answer, is no answer to it', async () => {
    const { patient, visit } = await book(service, clinicId, 'V5', { start: '2026-03-26T12:00' })
    await runJobs(service, [deliver])
    clock.advance({ minutes: 2 })
    await runJobs(service, [deliver])
    const phone = telephone(app, await linkIn(service, clinicId, patient.patientId, 'visit-reminder'))
    await phone.get()
    await phone.post({ do: 'visit', wish: 'cannot' })
    const before = await screeningOf(visit.visitId)
    expect(before).toMatchObject({ status: 'asked', answers: [] })
    expect(await concernsOf(patient.patientId)).toEqual([])
    expect((await deskOf(patient.patientId)).map(({ kind }) => kind)).toContain('wishes-to-move')
    // A "no" about coming is not a "no" to every question about the ears.
    await phone.get('/words')
    await phone.post({ do: 'words', words: 'No, I cannot come on Thursday' })
    expect(await screeningOf(visit.visitId)).toMatchObject({ status: 'asked', answers: [] })
  })

  test('drops that are withheld are not explained; a history that is open says to use none', async () => {
    const { patient, visit, phone } = await historyLink('V3', { start: '2026-03-19T13:00' })
    const visitPhone = telephone(app, await linkIn(service, clinicId, patient.patientId, 'visit-reminder'))
    expect(wordsOf((await visitPhone.giveYear('1941')).html)).toContain(
      'Please use no ear drops until we tell you.',
    )
    const { html } = await phone.giveYear('1941')
    const next = await phone.post({ do: 'history', ...answersTo(html, 'no'), '1.ear-surgery': 'yes' })
    await phone.post({ do: 'history', ...answersTo(next.html, 'no') })
    expect((await screeningOf(visit.visitId))?.outcome?.decision).toBe('withheld')
    const words = wordsOf((await visitPhone.get()).html)
    expect(words).toContain('Please use no ear drops before your visit.')
    expect(words).not.toMatch(/olive|Warm the bottle/)
  })

  test('without a birth date it only takes what the patient wishes', async () => {
    const { patient } = await book(service, clinicId, 'V4', { start: '2026-03-19T14:00', birthDate: '' })
    const { html } = await telephone(
      app,
      await linkIn(service, clinicId, patient.patientId, 'visit-reminder'),
    ).get()
    expect(html).not.toMatch(/19 March|Winifred|drops/)
    expect(html).toContain('value="cannot"')
  })
})

describe('a check after the visit', () => {
  async function checkLink(ref: string) {
    const { visit, patient } = await book(service, clinicId, ref, {
      start: '2026-03-10T10:00',
      purpose: 'recheck',
      ears: 'right',
    })
    await inFlow(service, clinicId, (flow) =>
      recordProcedure(
        flow,
        visit.visitId,
        {
          ears: [
            {
              ear: 'right',
              found: ['skin-plug'],
              softness: 'hard-and-dry',
              methods: ['suction', 'instrument'],
              result: 'cleared',
              canal: ['sore'],
              drum: 'normal',
              felt: ['pain'],
              advice: '',
            },
          ],
        },
        clinician,
      ),
    )
    const text = await linkIn(service, clinicId, patient.patientId, 'aftercare-check')
    return { patient, visit, phone: telephone(app, text) }
  }
  const calm = { do: 'check', pain: '1', discharge: 'none', hearing: 'better', dizziness: 'none' }

  test('is read like a text; what asks for nothing more is kept without a word of comfort', async () => {
    const { phone, patient } = await checkLink('C1')
    const { html } = await phone.get()
    expect(html).not.toMatch(/Winifred|right ear|Ottoline|skin/)
    expect(html.match(/name="pain"/g)).toHaveLength(11)
    const done = await phone.post(calm)
    const words = wordsOf(done.html)
    expect(words).toContain('We have your answers. If things change or get worse, tell us.')
    expect(words.replaceAll('text relay is fine', '')).not.toMatch(/good|well|fine|normal|glad|worry/i)
    expect((await repliesOf(patient.patientId)).map(({ body, urgency }) => [body, urgency])).toEqual([
      ['Pain 1 out of 10. No discharge. My hearing is better. No dizziness.', 'none'],
    ])
    expect(await concernsOf(patient.patientId)).toEqual([])
    expect(
      await inClinic(service, clinicId, ({ tx }) =>
        tx.query.aftercareCheck.findMany({
          where: (t, { and, eq }) => and(eq(t.patientId, patient.patientId), eq(t.status, 'answered')),
        }),
      ),
    ).toHaveLength(1)
  })

  test.each([
    ['severe pain', { pain: '8' }, 'today'],
    ['moderate pain', { pain: '5' }, 'soon'],
    ['blood', { discharge: ['clear', 'blood'] }, 'today'],
    ['nothing, and yet blood: the blood counts', { discharge: ['none', 'blood'] }, 'today'],
    ['smelly discharge', { discharge: 'smelly' }, 'today'],
    ['clear fluid', { discharge: 'clear' }, 'soon'],
    ['hearing that went all at once', { hearing: 'sudden' }, 'today'],
    ['hearing worse than before', { hearing: 'worse' }, 'today'],
    ['dizzy and unable to stand (NICE NG127 1.2.1)', { dizziness: 'unsteady' }, 'now'],
    ['own words', { words: 'one side of my face has dropped' }, 'now'],
  ])('%s', async (_name, change, urgency) => {
    const { phone, patient } = await checkLink(`C${_name}`.replace(/\W/g, '').slice(0, 30))
    await phone.get()
    const { html } = await phone.post({ ...calm, ...change })
    expect((await repliesOf(patient.patientId)).map((one) => one.urgency)).toEqual([urgency])
    expect((await concernsOf(patient.patientId)).map((one) => one.urgency)).toEqual([urgency])
    const sent = (await messagesOf(service, clinicId)).find(
      (one) => one.patientId === patient.patientId && one.kind === `safety-${urgency}`,
    )
    for (const sentence of sent?.body.replace('Brackwater Ear Rooms: ', '').split(/(?<=\.) (?=[A-Z])/) ?? [
      'missing',
    ])
      expect(wordsOf(html)).toContain(sentence)
  })

  test('out of hours it says plainly that nobody looks before the clinic opens', async () => {
    const { phone } = await checkLink('C3')
    clock.set(at('2026-03-06T22:00:00Z'))
    await phone.get()
    const words = wordsOf((await phone.post({ ...calm, pain: '9' })).html)
    expect(words).toContain('We are closed. No one here will look before Monday 9 March, 9:00am.')
    expect(words).toContain('call 111 today')
    expect(wordsOf((await phone.get('/words')).html)).toContain(
      'No one here will look before Monday 9 March, 9:00am.',
    )
  })

  test('what the form does not offer takes nothing with it; an empty one is asked for again', async () => {
    const { phone, patient } = await checkLink('C4')
    await phone.get()
    expect((await phone.post({ do: 'check' })).status).toBe(422)
    expect((await phone.post({ do: 'check', pain: '11' })).status).toBe(422)
    expect(await repliesOf(patient.patientId)).toEqual([])
    await phone.post({ do: 'check', pain: '99', words: 'it hurts badly' })
    expect((await repliesOf(patient.patientId)).map(({ body }) => body)).toEqual(['it hurts badly'])
  })
})

describe('the ways out', () => {
  test('free words are stored, read, and answered with what fits them', async () => {
    const { phone, patient } = await historyLink('W1', { start: '2026-03-25T10:00' })
    expect((await phone.get('/words')).html).toContain('<textarea')
    expect((await phone.post({ do: 'words', words: '   ' })).status).toBe(422)
    const sent = await phone.post({
      do: 'words',
      words: 'Line one\r\nI am very dizzy, being sick and cannot stand up',
    })
    expect(wordsOf(sent.html)).toContain('Call 999 now')
    expect((await repliesOf(patient.patientId)).map(({ body }) => body)).toEqual([
      'Line one\nI am very dizzy, being sick and cannot stand up',
    ])
  })

  test('too many words are given back whole, to be made shorter', async () => {
    const { phone, patient } = await historyLink('W2', { start: '2026-03-25T10:40' })
    await phone.get('/words')
    const long = await phone.post({ do: 'words', words: `${'x '.repeat(2001)}the end` })
    expect(long.status).toBe(422)
    expect(long.html).toContain('the end</textarea>')
    expect(await repliesOf(patient.patientId)).toEqual([])
  })

  test('words cannot become markup', async () => {
    const { phone } = await historyLink('W3', { start: '2026-03-25T11:20' })
    await phone.get('/words')
    const { html } = await phone.post({ do: 'words', words: `<script>alert(1)</script>${'x'.repeat(4000)}` })
    expect(html).not.toContain('<script>alert')
  })

  test('STOP and START, with what STOP does not do; a stopped patient may still answer', async () => {
    const { phone, patient } = await historyLink('W4', { start: '2026-03-25T12:00' })
    const { html } = await phone.get('/stop')
    expect(wordsOf(html)).toContain('No visit is cancelled')
    const stopped = await phone.post({ do: 'stop', want: 'stop' })
    expect(wordsOf(stopped.html)).toContain('We have stopped our texts to you. No visit is cancelled.')
    expect((await visitAndPatient(service, clinicId, 'W4')).patient.stoppedAt).not.toBeNull()
    expect((await deskOf(patient.patientId)).map(({ kind }) => kind)).toContain('stopped-messages')
    const history = await phone.giveYear('1941')
    const done = await phone.post({ do: 'history', ...answersTo(history.html, 'no') })
    expect(wordsOf(done.html)).toContain('You have stopped our texts, so we cannot text you.')
    await phone.get('/stop')
    expect(wordsOf((await phone.post({ do: 'stop', want: 'start' })).html)).toContain(
      'You will get our texts again.',
    )
    expect((await visitAndPatient(service, clinicId, 'W4')).patient.stoppedAt).toBeNull()
  })

  test('an act that no page offers shows the first page and stores nothing', async () => {
    const { phone, patient } = await historyLink('W5', { start: '2026-03-25T12:40' })
    await phone.get()
    for (const fields of [
      { do: 'constructor' },
      { do: '' },
      { do: 'move', choice: '1' },
      { do: 'doses', done: '2' },
      { do: 'check', pain: '9' },
      { do: 'stop', want: 'maybe' },
      { do: 'visit', wish: 'toString' },
    ])
      expect((await phone.post(fields)).status).toBeLessThan(500)
    expect(await repliesOf(patient.patientId)).toEqual([])
  })

  test('a flood from one link is told to wait, and nothing of it is taken in silence', async () => {
    const { phone, patient } = await historyLink('W6', { start: '2026-03-25T13:20' })
    await phone.get('/words')
    let last = 200
    for (let i = 0; i < 61; i += 1) last = (await phone.post({ do: 'words', words: '' })).status
    expect(last).toBe(429)
    const { html } = await phone.post({ do: 'words', words: 'my ear is bleeding' })
    expect(wordsOf(html)).toContain('01632 960123')
    expect(await repliesOf(patient.patientId)).toEqual([])
  })

  test('a reading that fails is kept and read later; the page says so, and when a person next looks', async () => {
    const { phone, patient } = await historyLink('W7', { start: '2026-03-25T14:00' })
    await phone.get('/words')
    await db.owner.unsafe(`create function no_reading() returns trigger language plpgsql as $$ begin raise 'no reading today'; end $$;
      create trigger no_reading before update on reply for each row when (new.read_at is not null) execute function no_reading()`)
    const sent = await phone
      .post({ do: 'words', words: 'my ear is bleeding' })
      .finally(() => db.owner.unsafe('drop trigger no_reading on reply'))
    expect(sent.status).toBe(200)
    const words = wordsOf(sent.html)
    expect(words).toContain('We have what you sent.')
    expect(words).toContain('Our system could not read it yet.')
    expect(words).toContain('We are closed. No one here will look before Monday 9 March, 9:00am.')
    expect(words).not.toContain('If things change')
    expect(await repliesOf(patient.patientId)).toMatchObject([{ readAt: null, readAttempts: 1 }])
    clock.advance({ minutes: 5 })
    await runJobs(service, [readReplies])
    expect(await repliesOf(patient.patientId)).toMatchObject([{ urgency: 'today' }])
  })

  test('what could not even be stored is said to be lost', async () => {
    const { phone, patient } = await historyLink('W8', { start: '2026-03-26T10:00' })
    await phone.get('/words')
    await db.owner.unsafe(`create function no_storing() returns trigger language plpgsql as $$ begin raise 'no storing today'; end $$;
      create trigger no_storing before insert on reply for each row execute function no_storing()`)
    const sent = await phone
      .post({ do: 'words', words: 'my ear is bleeding' })
      .finally(() => db.owner.unsafe('drop trigger no_storing on reply'))
    expect(sent.status).toBe(500)
    expect(wordsOf(sent.html)).toContain(
      'We may not have what you sent. Please reply to our text, or call 01632 960123',
    )
    expect(await repliesOf(patient.patientId)).toEqual([])
  })
})

test('nothing of a patient is in the log', () => {
  const lines = JSON.stringify(logged)
  expect(lines).not.toMatch(/Winifred|bleeding|dizzy|1941|\/p\/brackwater/)
})
