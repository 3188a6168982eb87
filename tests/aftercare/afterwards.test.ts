import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { afterwards, nextVisit, nextVisitPurpose } from '../../src/aftercare/afterwards.ts'
import type { EarRecord } from '../../src/aftercare/record.ts'
import { DROPS_ADVICE, defaultAftercare } from '../../src/protocol/sections/aftercare.ts'
import { anyEar, anyRecord, record } from './records.ts'

const rules = defaultAftercare

describe('one ear', () => {
  test.each<[string, Partial<EarRecord>, string, string | null]>([
    ['cleared and easy: nothing follows', {}, 'not-needed', null],
    ['part-cleared: more softening, and removal again', { result: 'part-cleared' }, 'start', 'removal'],
    ['not cleared: the same', { result: 'not-cleared' }, 'start', 'removal'],
    [
      'part-cleared with a hole in the drum: no drops, and an assessment',
      { result: 'part-cleared', drum: 'perforated' },
      'withheld',
      'assessment',
    ],
    ['cleared, with a hole in the drum', { drum: 'perforated' }, 'not-needed', 'assessment'],
    ['draining and part-cleared', { result: 'part-cleared', found: ['discharge'] }, 'withheld', 'assessment'],
    [
      'a foreign body still there',
      { result: 'not-cleared', found: ['foreign-body'] },
      'withheld',
      'assessment',
    ],
    ['a foreign body taken out', { found: ['foreign-body'] }, 'not-needed', null],
    [
      'a healed hole: the clinician decides about drops',
      { result: 'part-cleared', drum: 'healed-perforation' },
      'ask-clinician',
      'removal',
    ],
    ['a reddened drum: the same', { result: 'part-cleared', drum: 'inflamed' }, 'ask-clinician', 'removal'],
    [
      'a graze: the softening plan lets it rest first',
      { result: 'part-cleared', canal: ['grazed'] },
      'start',
      'removal',
    ],
    ['dark specks: the same', { result: 'part-cleared', found: ['dark-specks'] }, 'ask-clinician', 'removal'],
    ['cleared, with dark specks', { found: ['dark-specks'] }, 'not-needed', 'recheck'],
    ['cleared, but it bled', { canal: ['bleeding'] }, 'not-needed', 'recheck'],
    ['cleared, drum not seen', { drum: 'not-seen' }, 'not-needed', 'recheck'],
    ['sore, nothing else', { canal: ['sore'] }, 'not-needed', null],
  ])('%s', (_, changes, softening, purpose) => {
    const given = record(changes)
    expect(afterwards(given, rules).ears.map((ear) => ear.softening)).toEqual([softening])
    expect(nextVisitPurpose(given, rules)).toBe(purpose)
  })
})

test('each ear has its own drops; one visit serves both', () => {
  const given = record({ result: 'part-cleared' }, { drum: 'perforated' })
  const { ears, visit, notes } = afterwards(given, rules)
  expect(ears.map(({ ear, drops, softening }) => [ear, drops, softening])).toEqual([
    ['left', 'allowed', 'start'],
    ['right', 'withheld', 'not-needed'],
  ])
  expect(visit).toMatchObject({ purpose: 'assessment', ears: ['left', 'right'] })
  expect(notes.map(({ id, ear }) => [id, ear])).toEqual([['note-perforation', 'right']])
})

test('an ear that needs no visit is not named in it', () => {
  expect(nextVisit(record({}, { result: 'part-cleared' }), rules)?.ears).toEqual(['right'])
})

test('notes tell the next clinician what was seen', () => {
  const given = record({
    found: ['skin-plug', 'hollowed-face', 'dark-specks'],
    softness: 'hard-and-dry',
    drum: 'healed-perforation',
    canal: ['sore'],
  })
  expect(afterwards(given, rules).notes.map(({ id }) => id)).toEqual([
    'note-healed-perforation',
    'note-skin-plug',
    'note-pushed-in',
    'note-fungal',
    'note-dry',
    'note-expected-soreness',
  ])
})

test('whatever else was found, a hole seen in the drum or a draining ear gets no drops', () => {
  fc.assert(
    fc.property(anyEar, fc.boolean(), (ear, hole) => {
      const given: EarRecord = hole
        ? { ...ear, drum: 'perforated' }
        : { ...ear, found: [...new Set([...ear.found, 'discharge' as const])] }
      const [after] = afterwards({ ears: [given] }, rules).ears
      expect(after?.drops).toBe('withheld')
      expect(after?.softening).not.toBe('start')
      expect(nextVisitPurpose({ ears: [given] }, rules)).toBe('assessment')
    }),
  )
})

test('an ear that is not clear always leads to a visit, and to softening unless a rule says otherwise', () => {
  fc.assert(
    fc.property(anyRecord, (given) => {
      const { ears, visit } = afterwards(given, rules)
      for (const [i, { result, ear }] of given.ears.entries()) {
        const after = ears[i]
        if (result === 'cleared') expect(after?.softening).toBe('not-needed')
        else {
          expect(visit?.ears).toContain(ear)
          expect(after?.softening === 'start').toBe(after?.drops === 'allowed')
          if (after?.drops !== 'allowed') expect(after?.reasons.length).toBeGreaterThan(0)
        }
      }
    }),
  )
})

test('one more finding never frees drops that were withheld', () => {
  fc.assert(
    fc.property(
      anyEar,
      fc.constantFrom(...(['discharge', 'dark-specks', 'foreign-body', 'skin-plug'] as const)),
      (ear, more) => {
        const strictness = (given: EarRecord): number =>
          DROPS_ADVICE.indexOf(afterwards({ ears: [given] }, rules).ears[0]?.drops ?? 'allowed')
        expect(strictness({ ...ear, found: [...new Set([...ear.found, more])] })).toBeGreaterThanOrEqual(
          strictness(ear),
        )
      },
    ),
  )
})
