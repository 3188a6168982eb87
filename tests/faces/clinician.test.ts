/** The pure parts of the clinician's pages: the words with their marks, times, the forms back into records and rules. */
import fc from 'fast-check'
import { Temporal } from 'temporal-polyfill'
import { expect, test } from 'vitest'
import { patientWords } from '../../src/faces/clinician/marked.ts'
import { checkValues, emptyValues, readValues, valuesOf } from '../../src/faces/clinician/procedure-form.ts'
import { sectionFields, withFields } from '../../src/faces/clinician/protocol-form.ts'
import { partsOf, SECTION_IDS, sectionOf } from '../../src/faces/clinician/protocol-words.ts'
import { deadlineWords, spanWords } from '../../src/faces/clinician/words.ts'
import type { ReadReply } from '../../src/flow/patient-record.ts'
import { mainReason } from '../../src/flow/reply-case.ts'
import { scrub } from '../../src/flow/scrub.ts'
import { changesBetween, looseValues, mendLines } from '../../src/protocol/changes.ts'
import { defaultProtocol, protocolSchema, rulesOf } from '../../src/protocol/document.ts'
import { readAndJudge } from '../../src/replies/judge.ts'

const read = (text: string, words = text): ReadReply => ({
  replyId: '0',
  receivedAt: Temporal.Instant.from('2026-03-02T13:50:00Z'),
  words,
  ticked: [],
  urgency: null,
  score: null,
  protocolVersion: 1,
  stored: readAndJudge({ context: 'aftercare', text }, defaultProtocol.urgency),
})
const shown = async (reply: ReadReply) => String(await patientWords(reply))
const plain = (page: string) => page.replace(/<sup>.*?<\/sup>/gs, '').replace(/<[^>]+>/g, '')

test('the words are shown whole; what is there and what is not are marked apart', async () => {
  const page = await shown(read('No pain. But green pus is coming out.'))
  expect(plain(page)).toBe('No pain. But green pus is coming out.')
  expect(page).toMatch(/<mark class="not-there">[^<]*pain/)
  expect(page).toMatch(/<mark>[^<]*pus/)
})

test('marks move with the words when a page put its own before them', async () => {
  const page = await shown(read('my ear hurts', 'No discharge. my ear hurts'))
  expect(plain(page)).toBe('No discharge. my ear hurts')
  expect(page).toMatch(/No discharge. [^<]*<mark>[^<]*hurts/)
})

test('hostile words stay words', async () => {
  const text = '<script>alert(1)</script> my ear hurts'
  expect(await shown(read(text))).not.toContain('<script>')
})

test('the one reason of a concern is the one that asks for its urgency', () => {
  const reasonOf = (text: string) => {
    const { judgement } = readAndJudge({ context: 'aftercare', text }, defaultProtocol.urgency)
    return { urgency: judgement.urgency, reason: mainReason(judgement, defaultProtocol.urgency) }
  }
  const pus = reasonOf('No pain. But green pus is coming out.')
  expect(pus.urgency).toBe('today')
  expect(pus.reason).toMatch(/discharge.*a clinician the same day/)
  expect(reasonOf('a bit sore, 2 out of 10, and one side of my face has dropped').reason).toMatch(
    /fac.*a clinician at once, NICE NG98 1\.1\.3/,
  )
  expect(reasonOf('qwx zzkt vrrp').reason).toMatch(/a person reads it/)
  expect(reasonOf('thank you').reason).toBeNull()
})

test('time left is said in words, and what is past is said loudly', () => {
  const now = Temporal.Instant.from('2026-03-02T13:50:00Z')
  const words = (at: string) => deadlineWords(Temporal.Instant.from(at), now, 'Europe/London').words
  expect(words('2026-03-02T14:30:00Z')).toBe('by 2:30pm today, in 40 minutes')
  expect(words('2026-03-03T09:00:00Z')).toBe('by 9:00am tomorrow, in 19 hours')
  expect(words('2026-03-02T13:50:30Z')).toBe('by 1:50pm today, in less than a minute')
  expect(words('2026-03-02T13:50:00Z')).toBe('OVERDUE by less than a minute: it was due 1:50pm today')
  expect(words('2026-03-02T12:40:00Z')).toBe('OVERDUE by 1 hour 10 minutes: it was due 12:40pm today')
  expect(words('2026-02-27T10:00:00Z')).toBe('OVERDUE by 3 days: it was due Friday 27 February, 10:00am')
  expect(spanWords(60_000)).toBe('1 minute')
  expect(spanWords(47 * 3_600_000)).toBe('47 hours')
})

const whole = {
  'left-recorded': 'yes',
  'left-softness': 'soft',
  'left-found[]': ['soft-wax', 'discharge'],
  'left-methods[]': ['suction'],
  'left-result': 'cleared',
  'left-canal[]': ['normal'],
  'left-drum': 'normal',
  'left-felt[]': ['nothing'],
  'left-advice': 'none',
}

test('the form becomes a record and a record the form again', () => {
  const values = readValues(whole)
  const checked = checkValues(values)
  if (!('record' in checked)) throw new Error(JSON.stringify(checked))
  expect(checked.record.ears).toEqual([
    {
      ear: 'left',
      softness: 'soft',
      found: ['soft-wax', 'discharge'],
      methods: ['suction'],
      result: 'cleared',
      canal: ['normal'],
      drum: 'normal',
      felt: ['nothing'],
      advice: 'none',
    },
  ])
  expect(valuesOf(checked.record.ears)).toEqual(values)
})

test('each missing or impossible field of the record is one clear sentence', () => {
  const faults = (change: Record<string, unknown>) => {
    const checked = checkValues(readValues({ ...whole, ...change }))
    return 'errors' in checked ? checked.errors : {}
  }
  expect(faults({ 'left-softness': undefined })).toEqual({
    'left-softness': 'Left ear: Say how soft it was on arrival.',
  })
  expect(faults({ 'left-result': 'gone' })).toEqual({ 'left-result': 'Left ear: Say how it ended.' })
  expect(faults({ 'left-canal[]': ['normal', 'sore'] })).toEqual({
    'left-canal': 'Left ear: A canal is either normal or sore, grazed or bleeding.',
  })
  expect(faults({ 'left-felt[]': [] })).toEqual({ 'left-felt': 'Left ear: Say what the patient felt.' })
  expect(faults({ 'right-softness': 'firm' })).toHaveProperty('right-recorded')
  expect(checkValues(emptyValues([]))).toEqual({ errors: { 'left-recorded': 'Record at least one ear.' } })
})

test('every rule and every loose value of the document has one home among the parts', () => {
  const parts = partsOf(defaultProtocol)
  const rules = [...parts.values()].flatMap((part) => part.rules.map(({ path }) => path))
  const loose = [...parts.values()].flatMap((part) => part.loose.map(({ path }) => path))
  expect(rules.toSorted()).toEqual(
    rulesOf(defaultProtocol)
      .map(({ path }) => path)
      .toSorted(),
  )
  expect(loose.toSorted()).toEqual(
    looseValues(defaultProtocol)
      .map(({ path }) => path)
      .toSorted(),
  )
  expect(parts.get('other')).toEqual({ rules: [], loose: [] })
  expect(SECTION_IDS).toContain(sectionOf('something.new'))
})

/** The fields of a rendered form, as a browser would send them back. */
function fieldsOf(form: string): Record<string, string> {
  const text = (html: string) =>
    html
      .replaceAll('&quot;', '"')
      .replaceAll('&#39;', "'")
      .replaceAll('&lt;', '<')
      .replaceAll('&gt;', '>')
      .replaceAll('&amp;', '&')
  const inputs = [...form.matchAll(/<input name="([^"]*)"[^>]*? value="([^"]*)"/g)]
  const areas = [...form.matchAll(/<textarea name="([^"]*)"[^>]*>([^<]*)</g)]
  const selects = [...form.matchAll(/<select name="([^"]*)">(.*?)<\/select>/gs)].map(([all, name, inner]) => [
    all,
    name,
    /value="([^"]*)" selected/.exec(inner ?? '')?.[1],
  ])
  return Object.fromEntries(
    [...inputs, ...areas, ...selects].map(([, name, value]) => [text(name ?? ''), text(value ?? '')]),
  )
}

test('a section sent back as it is leaves the document as it is', async () => {
  for (const [id, part] of partsOf(defaultProtocol)) {
    const fields = fieldsOf(String(await sectionFields(part, {})))
    for (const rule of part.rules) expect(fields, id).toHaveProperty([`${rule.path}.text`], rule.text)
    const { document, problems } = withFields(defaultProtocol, part, fields)
    expect(problems, id).toEqual([])
    expect(protocolSchema.parse(document), id).toEqual(defaultProtocol)
  }
})

test('conditions are changed as lists of words, numbers as numbers', () => {
  const index = defaultProtocol.urgency.floors.findIndex(({ id }) => id === 'f-dizzy')
  const part = partsOf(defaultProtocol).get('urgency.floors') ?? { rules: [], loose: [] }
  const { document } = withFields(defaultProtocol, part, {
    [`urgency.floors.${index}.when.not`]: ' brief,  slight ,',
    [`urgency.floors.${index}.urgency`]: 'today',
  })
  expect(protocolSchema.parse(document).urgency.floors[index]).toMatchObject({
    urgency: 'today',
    when: { kinds: ['dizziness'], not: ['brief', 'slight'] },
  })
})

test('a changed number that belongs to no rule is among the changes', () => {
  const after = structuredClone(defaultProtocol)
  after.urgency.bands.today += 1
  expect(changesBetween(defaultProtocol, after)).toEqual([
    {
      path: 'urgency.bands.today',
      before: String(defaultProtocol.urgency.bands.today),
      after: String(after.urgency.bands.today),
    },
  ])
  expect(changesBetween(defaultProtocol, defaultProtocol)).toEqual([])
})

test('one rule taken out, put in or moved is one change', () => {
  const out = structuredClone(defaultProtocol)
  out.urgency.floors = out.urgency.floors.filter(({ id }) => id !== 'f-ringing')
  expect(changesBetween(defaultProtocol, out)).toMatchObject([
    { path: 'urgency.floors.f-ringing', before: expect.stringContaining('ringing'), after: null },
  ])
  expect(changesBetween(out, defaultProtocol)).toMatchObject([
    { path: 'urgency.floors.f-ringing', before: null },
  ])
  const moved = structuredClone(defaultProtocol)
  moved.softening.agents.reverse()
  expect(changesBetween(defaultProtocol, moved).map(({ path }) => path)).toEqual(['softening.agents (order)'])
  const source = structuredClone(defaultProtocol)
  const face = source.urgency.floors[0]
  if (face) face.source = { kind: 'clinic' }
  expect(changesBetween(defaultProtocol, source)).toHaveLength(1)
})

test('what does not fit names its place, also inside a choice of shapes', () => {
  const broken = JSON.parse(JSON.stringify(defaultProtocol))
  broken.aftercare.schedule[0].checks[0] = { hours: 'two' }
  broken.urgency.floors[0].source = { kind: 'published' }
  const checked = protocolSchema.safeParse(broken)
  const lines = checked.success ? [] : mendLines(checked.error)
  expect(lines.some((line) => line.startsWith('aftercare.schedule.0.checks.0.hours: '))).toBe(true)
  expect(lines.some((line) => line.startsWith('urgency.floors.0.source.cite: '))).toBe(true)
})

test('what says who a patient is goes, what says how they are stays', () => {
  const names = ['Will Young', "Mary O'Dowd"]
  expect(scrub("it will be sore, signed Will. mary o'dowd", names)).toBe(
    'it will be sore, signed [name]. [name] [name]',
  )
  expect(scrub('ring 07700 900123 or +44 7700 900 124, pain 8 since 3 days, at SW1A 1AA', names)).toBe(
    'ring [number] or [number], pain 8 since 3 days, at [place]',
  )
  expect(scrub('this is Doreen, see https://x.example/p/1 or me@mail.example.', names)).toBe(
    'this is [name], see [address] or [address].',
  )
  fc.assert(
    fc.property(fc.string(), fc.string(), (before, after) => {
      expect(scrub(`${before} Pendragon ${after}`, ['Uther Pendragon'])).not.toContain('Pendragon')
    }),
  )
})
