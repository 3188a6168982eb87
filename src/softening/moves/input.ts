/** What the moves optimiser reads: one JSON document, checked field by field. Times are ISO 8601 with an offset. */
import { Temporal } from 'temporal-polyfill'
import { z } from 'zod'

function parses(read: () => unknown): boolean {
  try {
    read()
    return true
  } catch {
    return false
  }
}

const id = z.string({ error: 'give a text' }).trim().min(1, 'give a text that is not empty').max(200)
const note = z.string({ error: 'give a text' })
const instant = z
  .string({ error: 'give an ISO 8601 time with its offset, such as 2026-03-10T09:00:00+00:00' })
  .refine((text) => parses(() => Temporal.Instant.from(text)), {
    error: 'is not an ISO 8601 time with its offset, such as 2026-03-10T09:00:00+00:00',
  })
export const isDay = (text: string): boolean =>
  /^\d{4}-\d\d-\d\d$/.test(text) && parses(() => Temporal.PlainDate.from(text))
const day = z
  .string({ error: 'give a day such as 2026-03-10' })
  .refine(isDay, { error: 'is not a day such as 2026-03-10' })
const timeOfDay = z
  .string({ error: 'give a time of day such as 09:30' })
  .regex(/^([01]\d|2[0-3]):[0-5]\d$/, 'is not a time of day such as 09:30')
const DAY_MINUTES = 24 * 60
const minutes = z
  .number({ error: 'give a length in whole minutes' })
  .int('is not a whole number of minutes')
  .min(1, 'is not a length: give at least 1 minute')
  .max(DAY_MINUTES, 'is longer than a day')
/** Minutes of an answer that the clinic may switch off with 0. */
const minutesOrOff = z
  .number({ error: 'give whole minutes, or 0 to switch this answer off' })
  .int('is not a whole number of minutes')
  .min(0, 'is below 0')
  .max(DAY_MINUTES, 'is longer than a day')
const cost = z
  .number({ error: 'give a cost, 0 or more' })
  .min(0, 'is below 0: a cost is 0 or more')
  .max(1e6, 'is above 1000000: use a coarser unit of cost')
const count = z
  .number({ error: 'give a whole number' })
  .int('is not a whole number')
  .min(0, 'is below 0')
  .max(1000, 'is above 1000')
const probability = z
  .number({ error: 'give a probability between 0 and 1' })
  .min(0, 'is not a probability: give a number between 0 and 1')
  .max(1, 'is not a probability: give a number between 0 and 1')

/** An object without fields that nobody knows: a misspelt one must not pass unseen. */
const object = <T extends z.ZodRawShape>(shape: T) =>
  z.strictObject(shape, { error: 'give an object, with its fields in braces' })
const ids = z.array(id, { error: 'give a list of texts' })

const possibleSchema = z.union(
  [
    day,
    object({ day, from: timeOfDay.optional(), to: timeOfDay.optional() }),
    object({ from: instant, to: instant }),
  ],
  {
    error:
      'give a day ("2026-03-12"), a part of one ({"day": "2026-03-12", "from": "09:00", "to": "12:30"}) or two times ({"from": …, "to": …}, ISO 8601 with offset)',
  },
)

const visitSchema = object({
  id,
  /** Two visits of one patient never overlap and share the limit on moves; left out, each visit is its own patient. */
  patient: id.optional(),
  start: instant,
  minutes: minutes.optional(),
  end: instant.optional(),
  practitioner: id,
  room: id.optional(),
  purpose: z
    .enum(['removal', 'assessment', 'recheck'], { error: 'is one of removal, assessment, recheck' })
    .default('removal'),
  urgency: z
    .enum(['routine', 'soon', 'urgent'], { error: 'is one of routine, soon, urgent' })
    .default('routine'),
  pain: z.boolean({ error: 'is true or false' }).default(false),
  /** What the practitioner must be able to do. */
  needs: ids.default([]),
  /** Whom the patient accepts; left out, anyone with the needs. */
  practitioners: ids.min(1, 'name at least one, or leave it out for anyone').optional(),
  roomNeeds: ids.default([]),
  /** P(soft enough) by day; a day between two listed ones has the value of the earlier. */
  readiness: z
    .union([probability, z.record(z.string(), probability)], {
      error: 'give P(soft enough), between 0 and 1, or one for each day: {"2026-03-10": 0.4}',
    })
    .optional(),
  possible: z.array(possibleSchema, { error: 'give the possible times as a list' }).optional(),
  moved: count.default(0),
  fixed: z.boolean({ error: 'is true or false' }).default(false),
  /** Minutes after the visit, outside open slots, that only its own lengthening may use. */
  freeAfterMinutes: minutesOrOff.default(0),
  note: note.optional(),
})

const slotSchema = object({
  id,
  start: instant,
  minutes: minutes.optional(),
  end: instant.optional(),
  practitioner: id,
  room: id.optional(),
  note: note.optional(),
})

const practitionerSchema = z.union(
  [
    id.transform((name) => ({ id: name, skills: [] as string[], maxVisitsPerDay: undefined })),
    object({ id, skills: ids.default([]), maxVisitsPerDay: count.optional(), note: note.optional() }),
  ],
  { error: 'give a practitioner\'s id, or {"id": …, "skills": […], "maxVisitsPerDay": …}' },
)

const roomSchema = z.union(
  [id.transform((name) => ({ id: name, has: [] as string[] })), object({ id, has: ids.default([]) })],
  { error: 'give a room\'s name, or {"id": …, "has": […]}' },
)

/** Every number here is the clinic's setting: no published source gives them. Costs are in one unit of the clinic's choice. */
const costsSchema = object({
  failedVisit: cost.default(60),
  soreEar: cost.default(20),
  extraVisit: cost.default(40),
  move: cost.default(10),
  waitPerDay: cost.default(2),
  lengthenPerMinute: cost.default(1),
  changePractitioner: cost.default(0),
})

const rulesSchema = object({
  costs: costsSchema.prefault({}),
  urgencyWeights: object({
    routine: cost.default(1),
    soon: cost.default(2),
    urgent: cost.default(4),
  }).prefault({}),
  noticeHours: z
    .number({ error: 'give hours, 0 or more' })
    .min(0, 'is below 0')
    .max(8760, 'is above 8760, a year')
    .default(24),
  maxMoves: count.default(1),
  assessmentMinutes: minutesOrOff.default(15),
  lengthenMinutes: minutesOrOff.default(15),
  /** The share of unready ears that the longer visit still clears. */
  lengthenHelps: probability.default(0.5),
  /** Starts inside a place at each so many minutes; left out, only where the place begins. */
  startEveryMinutes: minutes.optional(),
})

export const movesInputSchema = object({
  now: instant,
  zone: z
    .string({ error: 'give a time zone such as Europe/London' })
    .refine((zone) => parses(() => Temporal.Instant.fromEpochMilliseconds(0).toZonedDateTimeISO(zone)), {
      error: 'is not a time zone such as Europe/London',
    })
    .default('Europe/London'),
  practitioners: z.array(practitionerSchema, { error: 'give the practitioners as a list' }).optional(),
  rooms: z
    .union(
      [
        count.min(1, 'is below 1: leave it out for no limit'),
        z.array(roomSchema).min(1, 'name at least one, or leave it out for no limit'),
      ],
      {
        error: 'give how many rooms there are, or their names',
      },
    )
    .optional(),
  visits: z.array(visitSchema, { error: 'give the visits as a list' }),
  openSlots: z.array(slotSchema, { error: 'give the open slots as a list' }).default([]),
  rules: rulesSchema.prefault({}),
  note: note.optional(),
})

/** The document as a caller writes it, optional fields left out at will. */
export type MovesInput = z.input<typeof movesInputSchema>
/** The document with its defaults filled in. */
export type MovesDocument = z.output<typeof movesInputSchema>
export type MovesRules = MovesDocument['rules']
export type VisitInput = MovesDocument['visits'][number]
export type SlotInput = MovesDocument['openSlots'][number]

export interface Problem {
  field: string
  mend: string
}

/** The input cannot be planned; `problems` names each field and what to mend. */
export class MovesInputError extends Error {
  readonly problems: Problem[]
  constructor(problems: Problem[]) {
    const [first] = problems
    const more = problems.length > 1 ? ` (and ${problems.length - 1} more like this)` : ''
    super(`${first?.field}: ${first?.mend}${more}`)
    this.name = 'MovesInputError'
    this.problems = problems
  }
}

const fieldName = (path: readonly PropertyKey[]): string =>
  path.reduce<string>(
    (name, key) =>
      typeof key === 'number' ? `${name}[${key}]` : name ? `${name}.${String(key)}` : String(key),
    '',
  ) || 'the document'

function valueAt(raw: unknown, path: readonly PropertyKey[]): unknown {
  let value = raw
  for (const key of path)
    value = value && typeof value === 'object' ? (value as Record<PropertyKey, unknown>)[key] : undefined
  return value
}

function shown(value: unknown): string {
  // JSON has no endless number: 1e999 is read as one, and would be shown as null.
  const text = typeof value === 'number' ? String(value) : (JSON.stringify(value) ?? String(value))
  return text.length > 60 ? `${text.slice(0, 57)}…` : text
}

/** The innermost issue of a union whose branch came furthest: that is what the writer meant. */
function innermost(issue: z.core.$ZodIssue): z.core.$ZodIssue {
  if (issue.code !== 'invalid_union') return issue
  const deeper = issue.errors.flat().filter((inner) => inner.path.length > 0)
  const [best] = deeper.sort((a, b) => b.path.length - a.path.length)
  return best ? innermost({ ...best, path: [...issue.path, ...best.path] }) : issue
}

function problemOf(raw: unknown, outer: z.core.$ZodIssue): Problem {
  const issue = innermost(outer)
  const field = fieldName(issue.path)
  if (issue.code === 'unrecognized_keys') {
    const names = issue.keys.map((key) => fieldName([...issue.path, key])).join(', ')
    return { field: names, mend: 'no such field: take it out, or correct its name' }
  }
  const value = valueAt(raw, issue.path)
  if (value === undefined) return { field, mend: `is missing: ${issue.message}` }
  const colon = issue.message.startsWith('is ') ? '' : ':'
  return { field, mend: `${shown(value)}${colon} ${issue.message}` }
}

/** @throws MovesInputError naming the field */
export function checkShape(raw: unknown): MovesDocument {
  const read = movesInputSchema.safeParse(raw)
  if (read.success) return read.data
  throw new MovesInputError(read.error.issues.map((issue) => problemOf(raw, issue)))
}
