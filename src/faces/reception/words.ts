/** Readiness, desk items, messages and moves in the plain words of the front desk. */
import { Temporal } from 'temporal-polyfill'
import type { DeskItem, DeskKind } from '../../desk/store.ts'
import { dayWords, whenWords } from '../../messages/words.ts'
import { percent } from '../../softening/day-sheet.ts'
import type { Move } from '../../softening/moves/store.ts'
import type { DoseDayRow, Screening, StoredPlan } from '../../softening/store.ts'
import type { Readiness } from '../../softening/types.ts'
import type { Visit } from '../../visits/store.ts'

/** Whether a visit is soft enough in time, as far as is known. */
export type State = 'not-ready' | 'ready' | 'open' | 'not-needed'

/** `open`: the history is not answered yet, so nothing is planned and nothing can be said. */
export function stateOf(
  visit: Pick<Visit, 'purpose'>,
  plan: StoredPlan | undefined,
  screening: Screening | undefined,
): State {
  if (visit.purpose !== 'removal' || plan?.readiness?.basis === 'not-needed') return 'not-needed'
  if (screening?.status === 'asked' || screening?.status === 'asked-again') return 'open'
  if (!plan || plan.status === 'withheld' || !plan.readiness) return 'not-ready'
  return plan.readiness.ready ? 'ready' : 'not-ready'
}

const range = (low: number, high: number): string => (low === high ? `${low}` : `${low} to ${high}`)
const count = (n: number, one: string): string => (n === 1 ? `1 ${one}` : `${n} ${one}s`)

/** "Left ear: 6 to 9 of 12 doses so far." */
const dosesWords = ({ ears }: Readiness): string =>
  ears
    .map(({ ear, doses }) =>
      doses.outOf === 0
        ? `${ear === 'left' ? 'Left' : 'Right'} ear: no dose is due yet.`
        : `${ear === 'left' ? 'Left' : 'Right'} ear: ${range(doses.low, doses.high)} of ${count(doses.outOf, 'dose')} so far.`,
    )
    .join(' ')

/** What the number of doses rests on. */
function knownWords(days: readonly DoseDayRow[], today: string): string {
  const due = Map.groupBy(
    days.filter(({ day }) => day <= today),
    ({ day }) => day,
  )
  const said = [...due.values()].filter((rows) => rows.some(({ done, some }) => done !== null || some)).length
  const silent = due.size - said
  if (due.size === 0) return 'The days with drops are still to come.'
  const answers = `From the patient's answers on ${count(said, 'day')}`
  return silent === 0
    ? `${answers}.`
    : `${answers}; no answer on ${count(silent, 'day')}, which counts as doubt.`
}

/** One line a thing that is known: how soft, from what, and what could still change it. */
export function readinessLines(
  plan: StoredPlan | undefined,
  screening: Screening | undefined,
  days: readonly DoseDayRow[],
  today: string,
): string[] {
  if (screening?.status === 'asked' || screening?.status === 'asked-again')
    return ['The history is not answered yet. Until it is, no drops are advised.']
  if (screening?.status === 'to-person' || plan?.status === 'withheld')
    return [
      'No drops for this patient, or not until a clinician has decided.',
      'Drops cannot make this ear ready: think of a longer visit, an assessment, or ask the clinician.',
    ]
  if (screening?.status === 'overdue')
    return [
      'The history was not answered in time, so no drops are advised.',
      'Reach the patient: with the answers, drops can still begin.',
    ]
  const readiness = plan?.readiness
  if (!plan || !readiness) return ['There is no plan of drops for this visit.']
  if (readiness.basis === 'not-needed') return ['This visit needs no softening.']
  if (readiness.basis === 'no-drops')
    return ['No drops fit before this visit, so they cannot make the ear ready in time.']
  return [
    `Likely to be soft enough: ${percent(readiness.p)}. The clinic asks for ${percent(readiness.threshold)}.`,
    `${dosesWords(readiness)} ${knownWords(days, today)}`,
    ...(readiness.ready ? [] : [aheadWords(readiness)]),
  ]
}

function aheadWords(readiness: Readiness): string {
  const { stillNeeded, canStillGetThere, firstReadyDay, ears } = readiness
  const left = Math.max(0, ...ears.map(({ dosesLeft }) => dosesLeft))
  const still =
    canStillGetThere && stillNeeded
      ? `The rest of the plan can still get it there: ${count(stillNeeded.doses, 'dose')} of the ${left} left must really be done.`
      : left === 0
        ? 'No dose is left before the visit.'
        : `The rest of the plan (${count(left, 'dose')}) is not enough to get it there.`
  const first = firstReadyDay
    ? `First day on which it should be ready if the drops go on: ${dayWords(Temporal.PlainDate.from(firstReadyDay))}.`
    : 'As the patient does the drops so far, no day in the coming weeks would make it ready.'
  return `${still} ${first}`
}

export const moveStatusWords: Record<Move['status'], string> = {
  waiting: 'waits for the place of another visit; the patient has not been asked yet',
  proposed: 'asked; no answer yet',
  accepted: 'taken by the patient',
  declined: 'the patient keeps the old time',
  expired: 'no answer in time',
  withdrawn: 'taken back',
  done: 'done',
}

export function moveLine(move: Move, zone: string): string {
  const times = move.choices
    .map(({ startAt }) => whenWords(Temporal.Instant.from(startAt), zone))
    .join('; or ')
  const what = {
    move: times ? `Offered: ${times}` : 'Moved by agreement',
    lengthen: 'Made longer',
    assessment: 'Turned into an assessment',
    keep: `Kept as it is: ${move.reason}`,
  }[move.kind]
  return `${what} (${moveStatusWords[move.status]})`
}

/** What the person at the desk is to do about each kind of item. */
export const WHAT_TO_DO: Record<DeskKind, string> = {
  'no-history':
    'Ring or write, ask the history questions, or ask the patient to use the link. Until then no drops.',
  'history-unclear': 'Ask a clinician to look at the answers.',
  'more-time': 'Open the visit and make it longer, or find a longer time.',
  'drops-withheld': 'Look at the visit: would more time or an assessment serve this patient better?',
  'delivery-failed': 'Check the number or address and reach the patient by telephone, relay or letter.',
  'no-way-to-write': 'Find a working number or address, and put it into the next import.',
  'stopped-messages': 'Agree with the patient how they are to be reached about this visit.',
  'wishes-to-move': 'Offer other times, or ring.',
  'wishes-a-call': 'Ring the patient, by text relay where they cannot hear.',
  'wrong-number': 'Find the right number. Nothing more is sent to this one.',
  'no-move-answer': 'Ring the patient about another time.',
  'move-declined': 'Look at the visit: lengthen it, turn it into an assessment, or keep it.',
  'needs-visit': 'Book the next visit: the first times that fit are offered here.',
  'no-check-answer': 'Ring the patient. If something is wrong, tell a clinician at once.',
  'moved-by-clinic': 'Look whether the drops still fit the new time.',
  'recall-answered': 'Book a visit for this patient.',
  'doubtful-message':
    'Ask the sending service, or the patient, whether it came. Send it again only when it did not.',
  restored: 'Do what the note says, with a clinician, before anything else.',
}

const WHY_NOT: Record<string, string> = { expired: 'too late to be sent' }

/** The note of a desk item, with days and kinds of message in words. */
export function noteWords({ kind, note }: Pick<DeskItem, 'kind' | 'note'>): string {
  const undelivered = kind === 'delivery-failed' ? /^([a-z-]+): (.*)$/s.exec(note) : null
  const words = undelivered
    ? `${messageKindWords(undelivered[1] ?? '')}: ${WHY_NOT[undelivered[2] ?? ''] ?? undelivered[2]}`
    : note
  return words.replace(/\b\d{4}-\d{2}-\d{2}\b/g, (day) => dayWords(Temporal.PlainDate.from(day)))
}

/** Messages by kind, without a word of what is in them. */
const MESSAGE_KINDS: [start: string, words: string][] = [
  ['screening', 'history questions'],
  ['no-drops', 'no drops yet'],
  ['plan', 'plan of drops'],
  ['dose-question', "question of the day's doses"],
  ['dose', 'reminder of drops'],
  ['visit-reminder', 'reminder of the visit'],
  ['visit', 'about the visit'],
  ['move', 'about another time'],
  ['aftercare', 'check after the visit'],
  ['next', 'what comes next'],
  ['recall', 'invitation to come again'],
  ['stop', 'answer to STOP'],
  ['start', 'answer to START'],
  ['link', 'new link'],
]

export const messageKindWords = (kind: string): string =>
  MESSAGE_KINDS.find(([start]) => kind.startsWith(start))?.[1] ?? 'answer to what the patient wrote'
