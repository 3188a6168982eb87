/** The real command, as a clinic's own script would run it. */
import { spawnSync } from 'node:child_process'
import { join } from 'node:path'
import { describe, expect, test } from 'vitest'
import { MovesInputError } from '../../../src/softening/moves/input.ts'
import { planMoves } from '../../../src/softening/moves/plan.ts'

const top = join(import.meta.dirname, '../../..')
const run = (input: string) =>
  spawnSync(process.execPath, ['src/softening/moves/command.ts'], { cwd: top, input, encoding: 'utf8' })

const visit = {
  id: 'v1',
  start: '2026-03-10T09:00:00+00:00',
  minutes: 30,
  practitioner: 'anna',
  readiness: { '2026-03-10': 0.2, '2026-03-12': 0.9 },
}
const slot = { id: 's1', start: '2026-03-12T09:00:00+00:00', minutes: 30, practitioner: 'anna' }
const document = { now: '2026-03-09T08:00:00+00:00', visits: [visit], openSlots: [slot] }
const withVisit = (more: object) => ({ ...document, visits: [{ ...visit, ...more }] })
const withSlot = (more: object) => ({ ...document, openSlots: [{ ...slot, ...more }] })
const without = (from: object, field: string) =>
  Object.fromEntries(Object.entries(from).filter(([name]) => name !== field))
const second = (more: object) => ({ ...document, visits: [visit, { ...visit, id: 'v2', ...more }] })

describe('the command', () => {
  test('prints one JSON document and nothing else', () => {
    const { status, stdout, stderr } = run(JSON.stringify(document))
    expect({ status, stderr }).toEqual({ status: 0, stderr: '' })
    const plan = JSON.parse(stdout)
    expect(plan).toEqual(planMoves(document))
    expect(plan).toMatchObject({ proved: true, cost: 22, bound: 22, baseline: 64, saving: 42 })
  })

  test('reads past a byte order mark', () => {
    expect(run(`\uFEFF${JSON.stringify(document)}`).status).toBe(0)
  })

  test('a number without end is shown as what it is', () => {
    const { status, stderr } = run(JSON.stringify(withVisit({ readiness: 0.5 })).replace('0.5', '1e999'))
    expect(status).toBe(2)
    expect(stderr).toContain('visits[0].readiness: Infinity')
  })

  test('says when no action helps', () => {
    const { status, stdout } = run(JSON.stringify(withVisit({ readiness: 0.95 })))
    expect(status).toBe(0)
    expect(JSON.parse(stdout).summary).toMatch(/^No action helps/)
  })

  test.each([
    ['nothing', '', 'the document is empty'],
    ['not JSON', '{"now": ', 'the document is not JSON'],
    ['bytes that are no text', '\u0000\ufffd', 'the document is not JSON'],
    ['a list', '[]', 'the document'],
    ['a field short', JSON.stringify(without(document, 'now')), 'now: is missing'],
    ['two visits at once', JSON.stringify(second({})), 'visits[1].start: visit v2 overlaps visit v1'],
  ])('refuses %s with one sentence and status 2', (_, input, words) => {
    const { status, stdout, stderr } = run(input)
    expect({ status, stdout }).toEqual({ status: 2, stdout: '' })
    expect(stderr.startsWith(`moves: ${words}`), stderr).toBe(true)
    expect(stderr.trimEnd().split('\n')).toHaveLength(1)
  })
})

describe('a document that cannot be planned names the field and what to mend', () => {
  const cases: [string, unknown, string, RegExp][] = [
    ['nothing', null, 'the document', /./],
    ['a number', 7, 'the document', /./],
    ['no visits', without(document, 'visits'), 'visits', /missing.*list/],
    ['visits that are no list', { ...document, visits: {} }, 'visits', /list/],
    ['now without offset', { ...document, now: '2026-03-09T08:00:00' }, 'now', /offset/],
    ['an unknown zone', { ...document, zone: 'Mars/Base' }, 'zone', /time zone/],
    ['a misspelt field', { ...document, rules: { noticeHour: 3 } }, 'rules.noticeHour', /no such field/],
    ['a misspelt cost', { ...document, rules: { costs: { mvoe: 3 } } }, 'rules.costs.mvoe', /no such field/],
    ['a negative cost', { ...document, rules: { costs: { move: -3 } } }, 'rules.costs.move', /below 0/],
    ['a negative notice', { ...document, rules: { noticeHours: -1 } }, 'rules.noticeHours', /below 0/],
    [
      'help above 1',
      { ...document, rules: { lengthenHelps: 1.5 } },
      'rules.lengthenHelps',
      /between 0 and 1/,
    ],
    ['no id', { ...document, visits: [without(visit, 'id')] }, 'visits[0].id', /missing/],
    ['an empty id', withVisit({ id: ' ' }), 'visits[0].id', /not empty/],
    ['no start', { ...document, visits: [without(visit, 'start')] }, 'visits[0].start', /missing/],
    ['a start that is no time', withVisit({ start: 'Tuesday' }), 'visits[0].start', /ISO 8601/],
    [
      'a day that does not exist',
      withVisit({ start: '2026-02-30T09:00:00Z' }),
      'visits[0].start',
      /ISO 8601/,
    ],
    ['no length', { ...document, visits: [without(visit, 'minutes')] }, 'visits[0].minutes', /missing/],
    ['a negative length', withVisit({ minutes: -30 }), 'visits[0].minutes', /not a length/],
    ['no time at all', withVisit({ minutes: 0 }), 'visits[0].minutes', /not a length/],
    ['a length in words', withVisit({ minutes: 'half an hour' }), 'visits[0].minutes', /whole minutes/],
    [
      'an end before the start',
      withSlot({ minutes: undefined, end: '2026-03-12T08:00:00Z' }),
      'openSlots[0].end',
      /not after the start/,
    ],
    ['an end that disagrees', withSlot({ end: '2026-03-12T10:00:00Z' }), 'openSlots[0].end', /agree/],
    [
      'a probability above 1',
      withVisit({ readiness: { '2026-03-10': 1.2 } }),
      'visits[0].readiness.2026-03-10',
      /between 0 and 1/,
    ],
    ['a negative probability', withVisit({ readiness: -0.1 }), 'visits[0].readiness', /between 0 and 1/],
    [
      'a readiness day that is none',
      withVisit({ readiness: { monday: 0.4 } }),
      'visits[0].readiness',
      /not a day/,
    ],
    [
      'readiness that begins too late',
      withVisit({ readiness: { '2026-03-12': 0.4 } }),
      'visits[0].readiness',
      /2026-03-10/,
    ],
    [
      'a removal without readiness',
      { ...document, visits: [without(visit, 'readiness')] },
      'visits[0].readiness',
      /missing/,
    ],
    ['an unknown purpose', withVisit({ purpose: 'haircut' }), 'visits[0].purpose', /removal/],
    ['an unknown urgency', withVisit({ urgency: 'whenever' }), 'visits[0].urgency', /routine/],
    ['a negative count', withVisit({ moved: -1 }), 'visits[0].moved', /below 0/],
    ['pain in words', withVisit({ pain: 'yes' }), 'visits[0].pain', /true or false/],
    [
      'a window backwards',
      withVisit({ possible: [{ day: '2026-03-12', from: '12:00', to: '09:00' }] }),
      'visits[0].possible[0]',
      /ends before/,
    ],
    ['a window that is none', withVisit({ possible: ['next week'] }), 'visits[0].possible[0]', /day/],
    [
      'the same id twice',
      { ...document, openSlots: [slot, { ...slot, start: '2026-03-13T09:00:00Z' }] },
      'openSlots[1].id',
      /twice/,
    ],
    [
      'an unknown practitioner',
      { ...document, practitioners: [{ id: 'ben' }] },
      'visits[0].practitioner',
      /not among/,
    ],
    [
      'one unknown practitioner accepted',
      { ...withVisit({ practitioners: ['zoe'] }), practitioners: [{ id: 'anna' }] },
      'visits[0].practitioners[0]',
      /not among/,
    ],
    [
      'a need without skills listed',
      withVisit({ needs: ['suction'] }),
      'visits[0].needs[0]',
      /list the practitioners/,
    ],
    [
      'a need its own practitioner lacks',
      { ...withVisit({ needs: ['suction'] }), practitioners: [{ id: 'anna' }] },
      'visits[0].needs[0]',
      /skills of anna/,
    ],
    ['rooms for some only', withVisit({ room: 'r1' }), 'openSlots[0].room', /missing/],
    [
      'an unknown room',
      { ...document, rooms: ['r1'], visits: [{ ...visit, room: 'r9' }], openSlots: [] },
      'visits[0].room',
      /not among the rooms/,
    ],
    [
      'a named room and a number',
      { ...document, rooms: 2, visits: [{ ...visit, room: 'r1' }], openSlots: [] },
      'visits[0].room',
      /number/,
    ],
    ['no rooms', { ...document, rooms: 0 }, 'rooms', /1/],
    [
      'a practitioner twice at once',
      second({ start: '2026-03-10T09:15:00Z' }),
      'visits[1].start',
      /anna is double-booked/,
    ],
    [
      'a room twice at once',
      {
        ...document,
        openSlots: [],
        visits: [
          { ...visit, room: 'r' },
          { ...visit, id: 'v2', practitioner: 'ben', room: 'r' },
        ],
      },
      'visits[1].start',
      /room r is double-booked/,
    ],
    [
      'a patient twice at once',
      {
        ...document,
        visits: [
          { ...visit, patient: 'p' },
          { ...visit, id: 'v2', practitioner: 'ben', patient: 'p' },
        ],
      },
      'visits[1].start',
      /patient p is double-booked/,
    ],
    ['more visits than rooms', { ...second({ practitioner: 'ben' }), rooms: 1 }, 'visits[0].start', /rooms/],
    [
      'too many visits on a day',
      { ...second({ start: '2026-03-10T11:00:00Z' }), practitioners: [{ id: 'anna', maxVisitsPerDay: 1 }] },
      'practitioners[0].maxVisitsPerDay',
      /2 visits on 2026-03-10/,
    ],
    [
      'an open slot that is not open',
      withSlot({ start: '2026-03-10T09:15:00Z' }),
      'openSlots[0].start',
      /not open/,
    ],
  ]
  test.each(cases)('%s', (_, input, field, mend) => {
    let problem: { field: string; mend: string } | undefined
    try {
      planMoves(JSON.parse(JSON.stringify(input)))
    } catch (error) {
      expect(error).toBeInstanceOf(MovesInputError)
      problem = (error as MovesInputError).problems[0]
    }
    expect(problem?.field).toBe(field)
    expect(problem?.mend).toMatch(mend)
  })

  test('a part of a day that the clock change skips is empty, and no mistake', () => {
    // 01:00 to 02:00 does not exist on 29 March.
    const possible = [{ day: '2026-03-29', from: '01:30', to: '02:00' }, '2026-03-12']
    expect(planMoves(withVisit({ possible })).visits[0]?.start).toBe('2026-03-12T09:00:00+00:00')
    expect(planMoves(withVisit({ possible: possible.slice(0, 1) })).visits[0]?.action).not.toBe('move')
  })

  test('the document above is fine', () => {
    expect(planMoves(document).proved).toBe(true)
  })
})
