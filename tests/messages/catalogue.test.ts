/** Every text of the catalogue: whole, cautious, short, in GSM characters, and easy to read. */
import { describe, expect, test } from 'vitest'
import { countReading, readingGrade } from '../../src/messages/reading-age.ts'
import { pageText, renderMessage, TEMPLATE_IDS, templateOf } from '../../src/messages/render.ts'
import { isGsm7 } from '../../src/messages/segments.ts'
import { CAUTIONS, placeholdersOf } from '../../src/messages/template.ts'
import { checkQuestions, pages } from '../../templates/pages-en.ts'
import { sampleValues } from '../../templates/samples-en.ts'

/** 9 to 11 years, the reading age asked for (NHS digital service manual), is about grades 4 to 6. */
const MOST_GRADE = 5
const MOST_SEGMENTS = 4

const strings = (value: unknown): string[] =>
  typeof value === 'string' ? [value] : Object.values(value as object).flatMap(strings)
const pageStrings = [...strings(pages), ...strings(checkQuestions)].filter((text) => text !== '')

describe.each(TEMPLATE_IDS)('%s', (id) => {
  const template = templateOf(id)
  const rendered = renderMessage(id, sampleValues)

  test('has a usual value for each placeholder, and no brace that is not one', () => {
    for (const name of placeholdersOf(template.text)) expect(Object.keys(sampleValues)).toContain(name)
    expect(template.text.replace(/\{[A-Za-z][A-Za-z0-9]*\}/g, '')).not.toMatch(/[{}]/)
    expect(rendered.text).not.toMatch(/[{}]/)
  })

  test('begins with the name of the clinic', () => {
    expect(template.text).toMatch(/^\{clinic\}[:,]/)
  })

  test('is in characters of the GSM table', () => {
    expect(isGsm7(template.text)).toBe(true)
    expect(rendered.encoding).toBe('gsm7')
  })

  test('holds the words of each caution that it names', () => {
    for (const caution of template.cautions) expect(template.text).toMatch(CAUTIONS[caution])
  })

  test('names a text relay wherever it gives a number to ring the clinic or for advice', () => {
    if (/\{(phone|urgentNumber|crisisNumber)\}/.test(template.text))
      expect(template.text).toMatch(CAUTIONS['text-relay'])
  })

  test('never says that all is well, what an illness is, or that somebody is watching', () => {
    const forbidden =
      /all is well|nothing to worry|no need to worry|don't worry|do not worry|you are fine|you are ok|perfectly normal|is normal|you have an? (infection|otitis|perforation)|monitor|watching|keep an eye|24\/7|at all times|we will (see|read|reply|answer) /i
    expect(rendered.text).not.toMatch(forbidden)
  })

  test('is short', () => {
    expect(rendered.segments).toBeLessThanOrEqual(template.oneSegment === true ? 1 : MOST_SEGMENTS)
  })

  test('carries no patient data to staff', () => {
    if (template.audience === 'staff')
      for (const name of ['ears', 'words', 'question', 'reason', 'agent', 'patient', 'name'])
        expect(placeholdersOf(template.text)).not.toContain(name)
  })

  test('says why its words are so', () => {
    expect(template.purpose.length).toBeGreaterThan(10)
    expect(template.safety.length).toBeGreaterThan(10)
  })

  test('can be read at nine to eleven years', () => {
    if (template.audience === 'patient')
      expect(rendered.readingGrade, rendered.text).toBeLessThanOrEqual(MOST_GRADE)
  })
})

test('what must never lack its caution has it', () => {
  const cautionsOf = (id: (typeof TEMPLATE_IDS)[number]): readonly string[] => templateOf(id).cautions
  for (const id of TEMPLATE_IDS.filter((each) => each.startsWith('safety-'))) {
    expect(cautionsOf(id), id).toEqual(
      expect.arrayContaining(['emergency-number', 'not-emergency', 'next-look']),
    )
  }
  for (const id of TEMPLATE_IDS.filter((each) => each.endsWith('-closed')))
    expect(templateOf(id).text, id).toMatch(/closed.*no one here will look before \{nextLook\}/i)
  for (const id of ['plan-start', 'plan-changed', 'dose-reminder', 'next-plan'] as const)
    expect(cautionsOf(id), id).toContain('stop-drops')
  for (const id of [
    'plan-withheld',
    'plan-paused',
    'no-drops-yet',
    'screening-reminder',
    'next-visit',
  ] as const)
    expect(cautionsOf(id), id).toContain('no-drops')
  expect(cautionsOf('clinician-reply')).toContain('not-emergency')
})

test('a text that advises drops asks for stopping rules, and one that withholds them advises none', () => {
  for (const id of TEMPLATE_IDS) {
    const { text, cautions } = templateOf(id)
    if (text.includes('{agent}')) expect(cautions, id).toContain('stop-drops')
    if (id.includes('withheld') || id.startsWith('no-drops')) expect(text, id).not.toContain('{agent}')
  }
})

test('the emergency number comes before any other number where it cannot wait', () => {
  for (const id of ['safety-now', 'safety-now-closed', 'safety-distress'] as const) {
    const numbers = placeholdersOf(templateOf(id).text).filter((name) => name.endsWith('Number'))
    expect(numbers[0], id).toBe('emergencyNumber')
  }
})

test('what a patient gets every day or before a visit fits one part on the longest day and for two ears', () => {
  const longest = {
    ...sampleValues,
    when: 'Wednesday 30 September, 12:30pm',
    day: 'Wednesday 30 September',
    ears: 'left and right ears',
  }
  for (const id of TEMPLATE_IDS.filter((each) => templateOf(each).audience === 'patient'))
    if (templateOf(id).oneSegment) expect(renderMessage(id, longest).segments, id).toBe(1)
  for (const id of ['dose-reminder', 'dose-question', 'visit-reminder', 'visit-moved'] as const)
    expect(templateOf(id).oneSegment, id).toBe(true)
})

test('each urgency has a text for open hours and one for closed hours', () => {
  for (const urgency of ['now', 'today', 'soon', 'unclear'])
    for (const suffix of ['', '-closed']) expect(TEMPLATE_IDS).toContain(`safety-${urgency}${suffix}`)
})

describe('page texts', () => {
  test.each(pageStrings)('%s', (text) => {
    const values: Record<string, string | number> = { ...sampleValues, tries: 2, number: 1 }
    const filled = pageText(text, values)
    expect(filled).not.toMatch(/[{}]/)
    // A grade says nothing of a button of a word or two.
    if (countReading(filled).words >= 6) expect(readingGrade(filled)).toBeLessThanOrEqual(MOST_GRADE)
    if (text.includes('{phone}')) expect(text).toMatch(CAUTIONS['text-relay'])
  })

  test('together are read at the lower end', () => {
    const prose = pageStrings
      .map((text) => pageText(text, { ...sampleValues, tries: 2, number: 1 }))
      .map((text) => (/[.?!:]$/.test(text) ? text : `${text}.`))
      .join(' ')
    expect(readingGrade(prose)).toBeLessThanOrEqual(4)
  })
})
