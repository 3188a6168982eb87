import fc from 'fast-check'
import { Temporal } from 'temporal-polyfill'
import { describe, expect, test } from 'vitest'
import { softeningDefaults as rules } from '../../src/protocol/sections/softening.ts'
import { type EarResult, nextPlan, recallInterval } from '../../src/softening/afterwards.ts'

const ear = (change: Partial<EarResult> = {}): EarResult => ({
  ear: 'left',
  result: 'part-cleared',
  canal: 'normal',
  drum: 'normal',
  deadSkinPlug: false,
  ...change,
})
const next = (ears: EarResult[], deadSkinBefore = false) =>
  nextPlan({ day: '2026-11-20', ears, deadSkinBefore }, rules)

describe('after a removal', () => {
  test('cleared ears start nothing', () => {
    expect(next([ear({ result: 'cleared' }), ear({ ear: 'right', result: 'cleared' })])).toBeNull()
  })
  test('a part-cleared ear starts the next day, with room for a whole plan', () => {
    expect(next([ear(), ear({ ear: 'right', result: 'cleared' })])).toMatchObject({
      ears: ['left'],
      withheldEars: [],
      dropsFrom: '2026-11-21',
      visitFrom: '2026-11-26',
      recurrentDeadSkin: false,
    })
  })
  test('a damaged canal rests first, and the worst ear decides', () => {
    expect(next([ear({ canal: 'sore' })])?.dropsFrom).toBe('2026-11-22')
    expect(next([ear({ canal: 'grazed' })])?.dropsFrom).toBe('2026-11-25')
    expect(next([ear({ canal: 'sore' }), ear({ ear: 'right', canal: 'bleeding' })])?.dropsFrom).toBe(
      '2026-11-27',
    )
    expect(next([ear({ canal: 'sore' })])?.reasons.map((reason) => reason.rule)).toContain('next-rest-sore')
  })
  test.each(['perforated', 'healed-perforation', 'inflamed'] as const)(
    'a drum seen %s withholds drops',
    (drum) => {
      const one = next([ear({ drum })])
      expect(one?.withheldEars).toEqual(['left'])
      expect(one?.reasons.map((reason) => reason.rule)).toContain('next-drum-withholds')
    },
  )
  test('dead skin again asks for the longer plan and the later visit', () => {
    expect(next([ear({ deadSkinPlug: true })], true)).toMatchObject({
      recurrentDeadSkin: true,
      visitFrom: '2026-11-28',
    })
    expect(next([ear({ deadSkinPlug: true })], false)?.recurrentDeadSkin).toBe(false)
  })
})

describe('the recall', () => {
  test('nothing known: the usual interval; no removal: none', () => {
    expect(recallInterval(['2026-01-10'], rules)).toMatchObject({
      intervalDays: 365,
      ownIntervals: 0,
      visitAround: '2027-01-10',
    })
    expect(recallInterval([], rules)).toBeNull()
  })
  test('own intervals draw it, by their geometric mean with the usual one', () => {
    const own = recallInterval(['2025-01-01', '2025-07-01', '2026-01-01'], rules)
    expect(own?.ownIntervals).toBe(2)
    expect(own?.intervalDays).toBe(Math.round((365 * 181 * 184) ** (1 / 3)))
    expect(own?.words).toMatch(/learned from 2 intervals/)
  })
  test('softening starts before the visit and the invitation before the softening', () => {
    const recall = recallInterval(['2026-01-10'], rules)
    expect(recall?.softeningFrom).toBe('2027-01-05')
    const late = structuredClone(rules)
    late.recall.inviteDaysBefore.value = 2
    expect(recallInterval(['2026-01-10'], late)?.inviteOn).toBe('2027-01-05')
    expect((recall?.inviteOn as string) < (recall?.softeningFrom as string)).toBe(true)
  })
  test('a part-cleared ear seen again after two weeks is no interval', () => {
    expect(recallInterval(['2025-01-01', '2025-01-15'], rules)).toMatchObject({
      ownIntervals: 0,
      visitAround: '2026-01-15',
    })
  })
  test('always within the bounds, whatever the order, and later gaps never shorten it', () => {
    const days = fc.uniqueArray(fc.integer({ min: 0, max: 4000 }), { minLength: 1, maxLength: 8 })
    const iso = (n: number) => Temporal.PlainDate.from('2015-01-01').add({ days: n }).toString()
    fc.assert(
      fc.property(days, (list) => {
        const recall = recallInterval(list.map(iso), rules)
        expect(recall?.intervalDays).toBeGreaterThanOrEqual(rules.recall.shortestDays.value)
        expect(recall?.intervalDays).toBeLessThanOrEqual(rules.recall.longestDays.value)
        expect(recallInterval(list.toReversed().map(iso), rules)).toEqual(recall)
        const last = Math.max(...list)
        const soon = recallInterval([...list, last + 100].map(iso), rules)?.intervalDays as number
        const late = recallInterval([...list, last + 500].map(iso), rules)?.intervalDays as number
        expect(late).toBeGreaterThanOrEqual(soon)
      }),
    )
  })
})
