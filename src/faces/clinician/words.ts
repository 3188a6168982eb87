/** Numbers, states and findings in the plain words of these pages. */
import type { Temporal } from 'temporal-polyfill'
import { soonWords } from '../../messages/words.ts'
import type { FindingKind } from '../../replies/types.ts'

const count = (n: number, one: string): string => (n === 1 ? `1 ${one}` : `${n} ${one}s`)

/** "less than a minute", "40 minutes", "2 hours 10 minutes", "3 days". */
export function spanWords(ms: number): string {
  const minutes = Math.floor(Math.abs(ms) / 60_000)
  if (minutes < 1) return 'less than a minute'
  if (minutes < 60) return count(minutes, 'minute')
  const hours = Math.floor(minutes / 60)
  if (hours < 6 && minutes % 60 > 0) return `${count(hours, 'hour')} ${count(minutes % 60, 'minute')}`
  return hours < 48 ? count(hours, 'hour') : count(Math.floor(hours / 24), 'day')
}

/** "by 2:30pm today, in 40 minutes", or that it is overdue, and by how much. */
export function deadlineWords(
  deadline: Temporal.Instant,
  now: Temporal.Instant,
  zone: string,
): { overdue: boolean; words: string } {
  const left = deadline.epochMilliseconds - now.epochMilliseconds
  if (left > 0)
    return { overdue: false, words: `by ${soonWords(deadline, now, zone)}, in ${spanWords(left)}` }
  return {
    overdue: true,
    words: `OVERDUE by ${spanWords(left)}: it was due ${soonWords(deadline, now, zone)}`,
  }
}

const KINDS: Record<FindingKind, string> = {
  pain: 'pain',
  discharge: 'discharge',
  bleeding: 'blood',
  'hearing-loss': 'hearing loss',
  dizziness: 'dizziness',
  'facial-weakness': 'weakness or change of the face',
  'stroke-sign': 'a sign of stroke',
  fever: 'fever',
  swelling: 'swelling',
  airway: 'throat, tongue or breathing',
  chest: 'chest pain',
  collapse: 'collapse or faint',
  ringing: 'ringing',
  blocked: 'a blocked feeling',
  itch: 'itch',
  nausea: 'feeling sick',
  vomiting: 'vomiting',
  headache: 'headache',
  'stiff-neck': 'a stiff neck',
  'light-hurts': 'light hurts the eyes',
  rash: 'rash or reaction',
  unwell: 'feels ill',
  'sepsis-sign': 'a sign of sepsis',
  distress: 'distress',
  'self-harm': 'thoughts of self-harm',
  'contraindicated-drops': 'drops in an ear that must not have them',
  injury: 'an injury',
  other: 'another symptom',
}
export const kindWords = (kind: string): string =>
  Object.hasOwn(KINDS, kind) ? KINDS[kind as FindingKind] : kind.replaceAll('-', ' ')

export const capital = (text: string): string => text.charAt(0).toUpperCase() + text.slice(1)

const HISTORY: Record<string, string> = {
  perforation: 'a hole in the eardrum, ever',
  'recent-perforation': 'a hole in the eardrum in the last months',
  surgery: 'ear surgery',
  grommets: 'grommets',
  infection: 'an ear infection',
  discharge: 'discharge',
  allergy: 'an allergy',
  'drops-reaction': 'a reaction to drops',
  'only-hearing-ear': 'hears with one ear only',
  immunocompromised: 'a weak immune system',
  anticoagulant: 'blood thinners',
  diabetes: 'diabetes',
}
export const historyWords = (kind: string): string => HISTORY[kind] ?? kind.replaceAll('-', ' ')

export const agentWords = (agent: string): string =>
  agent === 'none' ? 'no drops' : agent.replaceAll('-', ' ')

export const earsWords = (ears: 'left' | 'right' | 'both'): string =>
  ears === 'both' ? 'both ears' : `${ears} ear`

export const statusWords: Record<string, string> = {
  booked: 'booked',
  cancelled: 'cancelled',
  done: 'held',
  missed: 'missed',
}

export const planStatusWords: Record<string, string> = {
  active: 'going on',
  withheld: 'held back: no drops',
  replaced: 'replaced by a later plan',
  cancelled: 'ended with the visit',
  done: 'ended at the visit',
}

export const messageStatusWords: Record<string, string> = {
  queued: 'waiting to go out',
  sending: 'going out',
  sent: 'sent',
  delivered: 'arrived',
  failed: 'could not be delivered',
  cancelled: 'not sent: taken back',
  expired: 'not sent: too late',
}

export const sourceOfConcern: Record<string, string> = {
  reply: 'a reply',
  silence: 'checks without an answer',
  screening: 'the history before drops',
  'unknown-sender': 'a number that we do not know',
  unread: 'a reply that the service could not read',
}

export const checkStatusWords: Record<string, string> = {
  planned: 'to be asked',
  answered: 'answered',
  missed: 'no answer',
  cancelled: 'not asked',
}
