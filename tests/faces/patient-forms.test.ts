/** What a link's pages send, back and forth, and what the reader makes of a check's choices. */
import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { yearIn } from '../../src/faces/patient/gate.ts'
import { WISHES } from '../../src/faces/patient/visit.ts'
import {
  type CheckForm,
  checkFormSchema,
  checkSentences,
  DOSE_FORM,
  type DosesSaid,
  doseFormBody,
  HISTORY_FORM,
  LINK,
  MOVE_FORM,
  moveFormBody,
  readPageForm,
  replyWords,
} from '../../src/flow/forms.ts'
import { defaultProtocol } from '../../src/protocol/document.ts'
import { URGENCIES, type Urgency } from '../../src/protocol/rule.ts'
import { readAndJudge } from '../../src/replies/judge.ts'
import { checkQuestions } from '../../templates/pages-en.ts'

const read = (text: string, context: string, question: string[]) =>
  readAndJudge({ id: 'x', context, text, question }, defaultProtocol.urgency)

describe('stored and read again', () => {
  const count = fc.integer({ min: 0, max: 9 })
  const said: fc.Arbitrary<DosesSaid[]> = fc.oneof(
    count.map((done) => [{ ears: null, done }]),
    fc.tuple(count, count).map(([left, right]): DosesSaid[] => [
      { ears: ['left'], done: left },
      { ears: ['right'], done: right },
    ]),
  )

  test('the doses of a day, whatever words stand beside them', () => {
    fc.assert(
      fc.property(said, fc.string({ unit: 'binary' }), (doses, words) => {
        const form = readPageForm(DOSE_FORM, doseFormBody(doses, words))
        expect(form?.doses).toEqual(doses)
        expect(form?.wrote).toBe(words.trim() !== '')
        if (words.trim()) expect(form?.text.endsWith(words.trim())).toBe(true)
      }),
    )
  })

  test('a choice of a time, and the old time', () => {
    for (const choice of [1, 2, 3, 9])
      expect(readPageForm(MOVE_FORM, moveFormBody(choice))).toMatchObject({ move: choice, wrote: false })
    expect(readPageForm(MOVE_FORM, moveFormBody(null))).toMatchObject({ move: 0 })
  })

  test('anything else under these names is an error, which a human gets, and never an answer', () => {
    for (const body of [
      '',
      '2',
      'Drops put in: many times.',
      'Drops put in: 2 times. x',
      'Drops put in: left ear 2 times.',
    ])
      expect(() => readPageForm(DOSE_FORM, body)).toThrow()
    for (const body of ['', '2', 'I choose time 0.', 'I choose time 12.'])
      expect(() => readPageForm(MOVE_FORM, body)).toThrow()
    for (const body of ['', '{}', '{"answers":[{"question":"grommets","answer":"maybe","asked":1}]}'])
      expect(() => readPageForm(HISTORY_FORM, body)).toThrow()
    expect(readPageForm(LINK, '{"answers":[]}')).toBeNull()
  })

  test('a history in words that a human can read', () => {
    const body = JSON.stringify({
      answers: [{ question: 'grommets', answer: 'unsure', asked: 2 }],
      words: ' Long ago ',
    })
    expect(replyWords(HISTORY_FORM, body, (id) => `Any ${id}?`)).toBe('Any grommets? Not sure.\nLong ago')
    expect(replyWords(LINK, body, () => '')).toBe(body)
  })
})

describe('a check read like a text', () => {
  /** The least that each choice must come to: the bands and signs of the project's own ground rules. */
  const least: Record<string, Urgency> = {
    clear: 'soon',
    coloured: 'today',
    smelly: 'today',
    blood: 'today',
    worse: 'today',
    sudden: 'today',
    comes: 'soon',
    now: 'soon',
    unsteady: 'now',
  }
  const leastOf = ({ pain = 0, discharge, hearing, dizziness }: CheckForm): Urgency => {
    const all = [
      pain >= 7 ? 'today' : pain >= 4 ? 'soon' : 'none',
      ...[...discharge, hearing ?? '', dizziness ?? ''].map((choice) => least[choice] ?? 'none'),
    ] as Urgency[]
    return all.reduce((a, b) => (URGENCIES.indexOf(a) >= URGENCIES.indexOf(b) ? a : b))
  }
  const some = <T>(list: readonly T[]): (T | undefined)[] => [undefined, ...list]
  const keys = (table: object): string[] => Object.keys(table)
  const every: CheckForm[] = some([0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10]).flatMap((pain) =>
    some(keys(checkQuestions.discharge.answers)).flatMap((discharge) =>
      some(keys(checkQuestions.hearing.answers)).flatMap((hearing) =>
        some(keys(checkQuestions.dizziness.answers)).map((dizziness) =>
          checkFormSchema.parse({ pain, discharge: discharge ? [discharge] : [], hearing, dizziness }),
        ),
      ),
    ),
  )

  test('every combination of choices comes to what its worst choice asks for at least, and a harmless one to nothing', () => {
    expect(every.length).toBe(12 * 6 * 5 * 6)
    const wrong: string[] = []
    for (const form of every) {
      const text = checkSentences(form)
      if (!text) continue
      const { urgency } = read(text, 'aftercare', ['aftercare-check']).judgement
      const wanted = leastOf(form)
      const [is, should] = [URGENCIES.indexOf(urgency), URGENCIES.indexOf(wanted)]
      if (is < should || (wanted === 'none' && is > 0)) wrong.push(`${text} is ${urgency}, not ${wanted}`)
    }
    expect(wrong).toEqual([])
  })

  test('the page offers exactly the choices that are read', () => {
    const form = (name: string, value: string) =>
      checkFormSchema.safeParse({ [name]: name === 'discharge' ? [value] : value }).success
    for (const name of ['discharge', 'hearing', 'dizziness'] as const)
      for (const value of keys(checkQuestions[name].answers))
        expect(form(name, value), `${name} ${value}`).toBe(true)
    expect(form('hearing', 'good')).toBe(false)
    expect(form('pain', '11')).toBe(false)
  })

  test('nothing beside something is the something', () => {
    expect(checkSentences(checkFormSchema.parse({ discharge: ['none', 'blood'] }))).toBe(
      'Blood is coming from my ear.',
    )
  })
})

test('each wish of the visit page is read as a wish for another time, and as nothing else', () => {
  for (const wish of Object.values(WISHES))
    for (const context of ['softening', 'aftercare', 'screening'])
      for (const question of [[], ['doses'], ['screening']]) {
        const { reading, judgement } = read(wish, context, question)
        expect(reading.reschedule, `${wish} ${context} ${question}`).toBe(true)
        expect(judgement.urgency, `${wish} ${context} ${question}`).toBe('none')
        expect([reading.stop, reading.wrongNumber, reading.findings.length]).toEqual([false, false, 0])
      }
})

test('the year in what was written', () => {
  for (const [written, year] of [
    ['1941', '1941'],
    [' 1941 ', '1941'],
    ['2 June 1941', '1941'],
    ['02/06/1941', '1941'],
    ['02061941', null],
    ['１９４１', '1941'],
    ['2001', '2001'],
    ['41', null],
    ['', null],
    ['19411', null],
    ['1941 or 1942', null],
    ['9999', null],
  ] as const)
    expect(yearIn(written), written).toBe(year)
})
