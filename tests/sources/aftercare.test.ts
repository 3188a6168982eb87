/** Aftercare and deadlines against published facts; the source stands beside each. */
import { Temporal } from 'temporal-polyfill'
import { describe, expect, test } from 'vitest'
import { afterwards, nextVisitPurpose } from '../../src/aftercare/afterwards.ts'
import { checkPlan } from '../../src/aftercare/checks.ts'
import { earDifficulty } from '../../src/aftercare/difficulty.ts'
import { concernDeadline, openingHoursSchema } from '../../src/concerns/deadline.ts'
import { templateOf } from '../../src/messages/render.ts'
import { defaultAftercare } from '../../src/protocol/sections/aftercare.ts'
import { defaultUrgencyRules } from '../../src/protocol/sections/urgency.ts'
import { checkQuestions } from '../../templates/pages-en.ts'
import { ear, record } from '../aftercare/records.ts'

const rules = defaultAftercare
const at = (text: string): Temporal.Instant => Temporal.Instant.from(text)
const QUIET = { from: '20:00', to: '08:00' }
const planOf = (given: ReturnType<typeof record>, doneAt: string) =>
  checkPlan(given, { doneAt: at(doneAt), zone: 'Europe/London', quietHours: QUIET }, rules)
const cite = (id: string): string => {
  const rows = [...rules.difficulty, ...rules.drops, ...rules.visits, ...rules.notes, ...rules.deadlines]
  const source = rows.find((row) => row.id === id)?.source
  return source?.kind === 'published' ? source.cite : ''
}

describe('what follows a procedure', () => {
  test('no drops with a hole in the drum (NHS website, Earwax build-up)', () => {
    const given = record({ drum: 'perforated', result: 'part-cleared' })
    expect(afterwards(given, rules).ears[0]?.softening).toBe('withheld')
    expect(cite('drops-perforation')).toContain('NHS website, Earwax build-up')
  })

  test('no drops where drainage makes an intact drum doubtful (MSD Manual Professional 2023)', () => {
    const given = record({ found: ['discharge'], result: 'part-cleared' })
    expect(afterwards(given, rules).ears[0]?.softening).toBe('withheld')
    expect(cite('drops-discharge')).toContain('MSD Manual')
  })

  test('after a failed try, softener again and then a second try (NICE NG98 section 1.2)', () => {
    for (const result of ['part-cleared', 'not-cleared'] as const) {
      expect(afterwards(record({ result }), rules).ears[0]?.softening).toBe('start')
      expect(nextVisitPurpose(record({ result }), rules)).toBe('removal')
    }
    expect(cite('visit-not-all-out')).toContain('NICE NG98')
  })

  test('small objects such as cotton buds are advised against (NICE NG98 section 1.2)', () => {
    const notes = afterwards(record({ found: ['hollowed-face'] }), rules).notes
    expect(notes.map(({ id }) => id)).toContain('note-pushed-in')
    expect(cite('note-pushed-in')).toContain('NICE NG98')
  })
})

describe('how hard it was', () => {
  test('pain is not usual: the mean after microsuction is 2.34 on 1 to 10, mild by Serlin 1995 (1 to 4 mild)', () => {
    const [mean, mildUpTo] = [2.34, 4]
    expect(mean).toBeLessThan(mildUpTo)
    expect(earDifficulty(ear({ felt: ['pain'] }), rules).level).toBe('hard')
    expect(earDifficulty(ear({ felt: ['discomfort'] }), rules).level).toBe('ordinary')
    expect(cite('difficult-pain')).toContain('J Laryngol Otol 2014')
  })

  test('recent suction is a listed trauma for outer-ear infection (Kernow CCG): a graze is asked after soonest', () => {
    expect(earDifficulty(ear({ canal: ['grazed'] }), rules).level).toBe('traumatic')
    expect(cite('difficult-grazed-canal')).toContain('Kernow CCG')
  })

  test('irrigation carries a small risk of a perforation and of infection (NHS Tayside): never called easy', () => {
    expect(earDifficulty(ear({ methods: ['irrigation'] }), rules).level).not.toBe('easy')
    expect(cite('difficult-irrigation')).toContain('NHS Tayside')
  })
})

describe('the checks', () => {
  test('dizziness and ringing may last a day or two (NHS Tayside leaflet LN0311): asked beyond the second day', () => {
    const last = planOf(record({ felt: ['dizzy'] }), '2026-01-12T11:00:00Z').at(-1)
    expect(
      at('2026-01-12T11:00:00Z')
        .until((last as { due: Temporal.Instant }).due)
        .total('hours'),
    ).toBeGreaterThan(48)
  })

  test('outer-ear infection betters in 48 to 72 h and mostly resolves in 7 to 10 days (NICE CKS): both are looked at', () => {
    const days = planOf(record({ canal: ['grazed'] }), '2026-01-12T11:00:00Z').map(
      ({ due }) => at('2026-01-12T11:00:00Z').until(due).total('hours') / 24,
    )
    expect(days.some((day) => day > 2 && day <= 3)).toBe(true)
    expect(days.some((day) => day > 6 && day <= 10)).toBe(true)
    expect(days.some((day) => day > 10)).toBe(true)
  })

  test('each asks what aftercare pages tell patients to report: pain, dizziness, discharge, hearing, anything else', () => {
    // Two UK aftercare pages, unnamed; no guideline.
    for (const { questions } of planOf(record(), '2026-01-12T11:00:00Z'))
      expect(questions.toSorted()).toEqual(['discharge', 'dizziness', 'hearing', 'other', 'pain'])
    const { text } = templateOf('aftercare-check')
    for (const word of [/pain, from 0 \(none\) to 10/i, /fluid/, /hearing/, /dizzy/, /anything else/i])
      expect(text).toMatch(word)
  })

  test('the pain scale runs from 0, no pain, to 10, the worst (numeric rating scale, Serlin et al., Pain 1995)', () => {
    expect(checkQuestions.pain.help).toBe('0 is no pain. 10 is the worst pain you can think of.')
  })

  test('dizziness is asked with how long and whether one can stand: new unsteadiness counts (NICE NG127 1.2.1)', () => {
    expect(Object.keys(checkQuestions.dizziness.answers)).toEqual(
      expect.arrayContaining(['gone', 'now', 'unsteady']),
    )
  })

  test('clock changes: +1 calendar day is 25 h on 24 October 2026 and 23 h on 28 March (tzdata, Europe/London)', () => {
    const next = (doneAt: string): number => {
      const [first] = planOf(record({ softness: 'firm' }), doneAt)
      return at(doneAt)
        .until((first as { due: Temporal.Instant }).due)
        .total('hours')
    }
    expect(next('2026-10-24T09:00:00Z')).toBe(25)
    expect(next('2026-03-28T10:00:00Z')).toBe(23)
    expect(next('2026-06-10T09:00:00Z')).toBe(24)
  })
})

describe('pain from 0 to 10: mild, moderate and severe', () => {
  /** Upper bounds of mild and of moderate, by scheme. */
  const SCHEMES = {
    'Serlin et al., Pain 1995;61:277-84': [4, 6],
    'Woo et al., Ann Palliat Med 2015 (most recommended of 27 studies)': [4, 6],
    'Boonstra et al., Front Psychol 2016;7:1466': [5, 7],
    'the same, low-catastrophizing subgroup': [3, 6],
  } as const
  const band = (pain: number, [mild, moderate]: readonly [number, number]): number =>
    pain <= mild ? 1 : pain <= moderate ? 2 : 3
  const { mildUpTo, moderateUpTo } = defaultUrgencyRules.pain
  const ours = (pain: number): number => band(pain, [mildUpTo, moderateUpTo])
  const ALL = [1, 2, 3, 4, 5, 6, 7, 8, 9, 10]

  test.each(Object.entries(SCHEMES))('ours is never milder than %s', (_, bounds) => {
    for (const pain of ALL) expect(ours(pain), `${pain}`).toBeGreaterThanOrEqual(band(pain, bounds))
  })

  test('the schemes differ only at 4, 5 and 7, and elsewhere ours is the band that all give', () => {
    for (const pain of ALL) {
      const given = new Set(Object.values(SCHEMES).map((bounds) => band(pain, bounds)))
      expect(given.size > 1, `${pain}`).toBe([4, 5, 7].includes(pain))
      if (given.size === 1) expect([...given]).toEqual([ours(pain)])
    }
  })
})

describe('deadlines', () => {
  const span = [{ from: '09:00', to: '17:30' }]
  const hours = openingHoursSchema.parse({
    zone: 'Europe/London',
    week: {
      monday: span,
      tuesday: span,
      wednesday: span,
      thursday: span,
      friday: span,
      saturday: [],
      sunday: [],
    },
  })
  const everyQuarter = Array.from({ length: 34 }, (_, i) =>
    at('2026-01-13T09:00:00Z').add({ minutes: 15 * i }),
  )

  test('sudden hearing loss is to be seen within 24 h (NICE NG98 1.1.2): read the same day whenever the clinic is open', () => {
    for (const opened of everyQuarter) {
      const { deadline } = concernDeadline('today', opened, hours, rules)
      expect(opened.until(deadline).total('hours')).toBeLessThan(24)
      expect(deadline.toZonedDateTimeISO('Europe/London').toPlainDate().toString()).toBe('2026-01-13')
    }
    expect(cite('deadline-today')).toContain('NICE NG98 rec 1.1.2')
  })

  test('where the clinic looks later than that, the patient is sent elsewhere at once', () => {
    const friday = at('2026-01-16T18:00:00Z')
    const { nextLookAt, inHours } = concernDeadline('today', friday, hours, rules)
    expect(friday.until(nextLookAt).total('hours')).toBeGreaterThan(24)
    expect(inHours).toBe(false)
    expect(templateOf('safety-today-closed').text).toMatch(/do not wait for us: call \{urgentNumber\} today/)
  })

  test('"immediately" in NICE NG127 is a few hours or faster: what cannot wait is read within the hour', () => {
    for (const opened of everyQuarter)
      expect(
        opened.until(concernDeadline('now', opened, hours, rules).deadline).total('minutes'),
      ).toBeLessThanOrEqual(60)
  })

  test('and the patient is told the emergency number before anybody reads (FAST: any single sign, call)', () => {
    for (const id of ['safety-now', 'safety-now-closed'] as const)
      expect(templateOf(id).text).toMatch(
        /^\{clinic\}: You may need help at once\. Call \{emergencyNumber\} now/,
      )
  })

  test('24 h are counted as instants: over the night of 25 October 2026 noon becomes 11:00 (tzdata)', () => {
    const day = {
      ...rules,
      deadlines: rules.deadlines.map((row) => ({
        ...row,
        minutes: 1440,
        clock: 'wall' as const,
        beforeClosing: false,
      })),
    }
    expect(concernDeadline('today', at('2026-10-24T11:00:00Z'), hours, day).deadline.toString()).toBe(
      '2026-10-25T11:00:00Z',
    )
  })
})
