/** One line of plain English for a finding: what, which side, since when, who must act, by which rule. */
import { type Rule, sourceWords, type Urgency } from '../protocol/rule.ts'
import type { Finding, FindingKind } from './types.ts'

const NAMES: Record<FindingKind, string> = {
  pain: 'pain',
  discharge: 'discharge',
  bleeding: 'bleeding',
  'hearing-loss': 'hearing loss',
  dizziness: 'dizziness',
  'facial-weakness': 'facial weakness or altered feeling',
  'stroke-sign': 'a possible sign of stroke',
  fever: 'fever',
  swelling: 'swelling',
  airway: 'trouble with throat, tongue or breathing',
  chest: 'chest pain or heart trouble',
  collapse: 'collapse or faint',
  ringing: 'ringing',
  blocked: 'a blocked feeling',
  itch: 'itch',
  nausea: 'feeling sick',
  vomiting: 'vomiting',
  headache: 'headache',
  'stiff-neck': 'stiff neck',
  'light-hurts': 'light hurts the eyes',
  rash: 'rash or reaction',
  unwell: 'feeling unwell',
  'sepsis-sign': 'a possible sign of sepsis',
  distress: 'distress',
  'self-harm': 'thoughts of self-harm',
  'contraindicated-drops': 'drops in an ear that must not have them',
  injury: 'injury',
  other: 'another symptom',
}

const POLARITY: Record<Finding['polarity'], string> = {
  affirmed: '',
  denied: 'denied',
  past: 'has passed',
  hypothetical: 'only supposed',
  'someone-else': "somebody else's",
  'asked-about': 'asked about',
}

const ACTION: Record<Urgency, string> = {
  now: 'a clinician at once',
  today: 'a clinician the same day',
  soon: 'a clinician within days',
  unclear: 'a person reads it',
  none: 'no action by itself',
}

export function urgencyWords(u: Urgency): string {
  return ACTION[u]
}

export function findingWords(f: Finding): string {
  const has = (tag: Finding['tags'][number]) => f.tags.includes(tag)
  const lead = [
    has('sudden') ? 'sudden' : has('new') && f.polarity === 'affirmed' ? 'new' : '',
    has('coloured') ? 'coloured' : '',
    has('smelly') ? 'smelling' : '',
    has('clear') && !has('coloured') ? 'clear' : '',
    has('heavy') ? 'heavy' : '',
  ].filter(Boolean)
  const parts = [[...lead, NAMES[f.kind]].join(' ')]
  if (f.severity)
    parts.push(`${f.severity.value} of 10${f.severity.how === 'implied' ? ' (from the words)' : ''}`)
  if (has('behind-ear')) parts.push('behind the ear')
  if (has('will-not-stop')) parts.push('will not stop')
  if (has('cannot-stand')) parts.push('cannot stand or walk')
  if (f.side) parts.push(f.side === 'both' ? 'both ears' : f.side)
  if (f.onset.words)
    parts.push(
      /^(since|for|over|about|in|on|last|the|past|after)\b/.test(f.onset.words)
        ? f.onset.words
        : `since ${f.onset.words}`,
    )
  if (f.course && f.course !== 'new')
    parts.push(
      { better: 'getting better', same: 'unchanged', worse: 'getting worse', gone: 'gone' }[f.course],
    )
  if (POLARITY[f.polarity] && f.course !== 'gone') parts.push(POLARITY[f.polarity])
  return parts.join(', ')
}

/** "new hearing loss, right, since this morning: a clinician the same day, NICE NG98 1.1.2" */
export function reasonFor(f: Finding, top: { urgency: Urgency; rule: Rule } | null): string {
  if (!top) {
    const doubt =
      f.polarity === 'someone-else' || f.polarity === 'hypothetical' || f.polarity === 'asked-about'
    return `${findingWords(f)}: ${doubt ? ACTION.unclear : ACTION.none}`
  }
  return `${findingWords(f)}: ${ACTION[top.urgency]}, ${sourceWords(top.rule.source)}`
}
