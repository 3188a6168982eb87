/** What the pages of a patient's link send: turned into words that a clinician can read, or into answers. */
import { z } from 'zod'
import { ANSWERS, type Ear, type ScreeningAnswer } from '../softening/types.ts'

/** Transport of everything that a link's pages send as words. */
export const LINK = 'link'
/** Transport of the history's page: answers by question, and the patient's own words. */
export const HISTORY_FORM = 'link-history'
/** Transport of the page of a day's drops: how often, and the patient's own words. */
export const DOSE_FORM = 'link-doses'

/** Transport of the page of proposed times. */
export const MOVE_FORM = 'link-move'

/** More words than anybody writes on a telephone, fewer than would hide a symptom from a reader in a hurry. */
export const MOST_WORDS = 4000

export const historyFormSchema = z.object({
  answers: z
    .array(
      z.object({
        question: z.string().max(60),
        answer: z.enum(ANSWERS),
        asked: z.union([z.literal(1), z.literal(2)]),
      }),
    )
    .max(60),
  words: z.string().max(MOST_WORDS).default(''),
})
export type HistoryForm = z.infer<typeof historyFormSchema>

/** What was said of one day: of both ears alike (`ears` null), or of each. */
export interface DosesSaid {
  ears: Ear[] | null
  done: number
}

/** What a page of a link stored: its choices, and what is to be read of it. */
export interface PageForm {
  text: string
  /** Whether there are words of the patient's own beside the choices. */
  wrote: boolean
  history?: ScreeningAnswer[]
  doses?: DosesSaid[]
  /** The time chosen, from 1; 0 keeps the old one. */
  move?: number
}

/** The stored reply of a page with choices; null for any other. @throws when it is not what the page stores */
export function readPageForm(transport: string, body: string): PageForm | null {
  if (transport === HISTORY_FORM) {
    const { answers, words } = readHistoryForm(body)
    return { text: words, wrote: words.trim() !== '', history: answers }
  }
  if (transport === DOSE_FORM) {
    const { doses, words } = readDoseForm(body)
    return { text: body, wrote: words.trim() !== '', doses }
  }
  return transport === MOVE_FORM ? { text: '', wrote: false, move: readMoveForm(body) } : null
}

const KEEP_TIME = 'I keep my time.'

/** `choice` counts from 1; null keeps the old time. */
export const moveFormBody = (choice: number | null): string =>
  choice === null ? KEEP_TIME : `I choose time ${choice}.`

function readMoveForm(body: string): number {
  const chosen = /^I choose time ([1-9])\.$/.exec(body)?.[1]
  if (chosen === undefined && body !== KEEP_TIME) throw new Error('The page of times stored something else.')
  return Number(chosen ?? 0)
}

/** The stored reply of the history's page. */
export function readHistoryForm(body: string): HistoryForm {
  return historyFormSchema.parse(JSON.parse(body))
}

const times = (count: number): string => `${count} ${count === 1 ? 'time' : 'times'}`

/** One line that people and `readPageForm` read alike, then the patient's own words. */
export function doseFormBody(said: readonly DosesSaid[], words: string): string {
  const line = said
    .map(({ ears, done }) => (ears ? `${ears.join(' and ')} ear ${times(done)}` : times(done)))
    .join(', ')
  return [`Drops put in: ${line}.`, words.trim()].filter(Boolean).join('\n\n')
}

const DOSE_LINE =
  /^Drops put in: (?:(?<both>\d{1,2}) times?|left ear (?<left>\d{1,2}) times?, right ear (?<right>\d{1,2}) times?)\.(?:\n\n(?<words>[\s\S]*))?$/

function readDoseForm(body: string): { doses: DosesSaid[]; words: string } {
  const groups = DOSE_LINE.exec(body)?.groups
  if (!groups) throw new Error('The page of a day of drops stored something else.')
  const { both, left, right, words = '' } = groups
  const doses: DosesSaid[] =
    both === undefined
      ? [
          { ears: ['left'], done: Number(left) },
          { ears: ['right'], done: Number(right) },
        ]
      : [{ ears: null, done: Number(both) }]
  return { doses, words }
}

/** What a human reads of a stored reply: `ask` gives the words of a history question. */
export function replyWords(transport: string, body: string, ask: (question: string) => string): string {
  if (transport !== HISTORY_FORM) return body
  const { answers, words } = readHistoryForm(body)
  const said = { yes: 'Yes', no: 'No', unsure: 'Not sure' } as const
  return [...answers.map(({ question, answer }) => `${ask(question)} ${said[answer]}.`), words.trim()]
    .filter(Boolean)
    .join('\n')
}

const DISCHARGE = {
  none: 'No discharge.',
  clear: 'Clear fluid is coming from my ear.',
  coloured: 'Yellow or green discharge is coming from my ear.',
  smelly: 'Smelly discharge is coming from my ear.',
  blood: 'Blood is coming from my ear.',
} as const
const HEARING = {
  better: 'My hearing is better.',
  same: 'My hearing has not changed.',
  worse: 'My hearing is worse since the procedure.',
  sudden: 'My hearing suddenly got much worse.',
} as const
const DIZZINESS = {
  none: 'No dizziness.',
  gone: 'I was dizzy for a short time, but not now.',
  comes: 'I have dizzy spells that come and go.',
  now: 'I am dizzy now.',
  unsteady: 'I am dizzy now and I cannot stand or walk well.',
} as const

const keys = <K extends string>(table: Record<K, string>) => Object.keys(table) as [K, ...K[]]

export const checkFormSchema = z.object({
  pain: z.coerce.number().int().min(0).max(10).optional(),
  discharge: z.array(z.enum(keys(DISCHARGE))).default([]),
  hearing: z.enum(keys(HEARING)).optional(),
  dizziness: z.enum(keys(DIZZINESS)).optional(),
  words: z.string().max(MOST_WORDS).default(''),
})
export type CheckForm = z.infer<typeof checkFormSchema>

/** The choices of a check as plain sentences, then the patient's own words: read like any other reply. */
export function checkSentences({ pain, discharge, hearing, dizziness, words }: CheckForm): string {
  // Nothing beside something is a slip of the finger: the something counts.
  const something = discharge.filter((one) => one !== 'none')
  return [
    pain === undefined ? '' : pain === 0 ? 'No pain.' : `Pain ${pain} out of 10.`,
    ...(something.length > 0 ? something : discharge).map((one) => DISCHARGE[one]),
    hearing ? HEARING[hearing] : '',
    dizziness ? DIZZINESS[dizziness] : '',
    words.trim(),
  ]
    .filter(Boolean)
    .join(' ')
}
