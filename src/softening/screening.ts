/** From the answers of the history questions to what may be advised. Pure; the rules are the protocol's. */
import { type Rule, sourceWords } from '../protocol/rule.ts'
import type { ScreeningEffect, ScreeningQuestion, SofteningRules } from '../protocol/sections/softening.ts'
import type {
  Drops,
  HistoryKind,
  Reason,
  ScreeningAnswer,
  ScreeningAnswerValue,
  ScreeningOutcome,
} from './types.ts'
import { DROPS, HISTORY_KINDS } from './types.ts'

export const reasonOf = (rule: Rule): Reason => ({
  rule: rule.id,
  text: rule.text,
  source: sourceWords(rule.source),
})

interface Settled {
  answer: ScreeningAnswerValue
  asked: 1 | 2
}

/**
 * What the answers to each question come to, in the order given. An answer to the second wording settles
 * what was said before it; a yes and a no from then on contradict each other and count as unclear (told
 * late, a hole in the drum still stops the drops); otherwise the last answer counts.
 */
function settledAnswers(answers: readonly ScreeningAnswer[]): Map<string, Settled> {
  const byQuestion = Map.groupBy(answers, (answer) => answer.question)
  const settled = new Map<string, Settled>()
  for (const [question, given] of byQuestion) {
    const second = given.findLastIndex((one) => one.asked === 2)
    const asked = second >= 0 ? 2 : 1
    const counted = given.slice(Math.max(0, second))
    const values = new Set(counted.map((one) => one.answer))
    const contradiction = values.has('yes') && values.has('no')
    settled.set(question, { asked, answer: contradiction ? 'unsure' : (counted.at(-1)?.answer ?? 'unsure') })
  }
  return settled
}

/** The questions that apply, given what was answered so far, in the protocol's order. */
export function questionsFor(
  answers: readonly ScreeningAnswer[],
  rules: SofteningRules,
): ScreeningQuestion[] {
  const settled = settledAnswers(answers)
  return rules.screening.questions.filter(({ askIf }) => {
    if (!askIf) return true
    const parent = settled.get(askIf.question)
    return parent !== undefined && askIf.answers.includes(parent.answer)
  })
}

const union = <T>(order: readonly T[], lists: readonly (readonly T[])[]): T[] =>
  order.filter((item) => lists.some((list) => list.includes(item)))

/**
 * Judges a history. Effects only ever add up (agents excluded, notes, minutes, risks), so that one more
 * contraindication can never turn withheld into advised. While a question is unanswered or waits for its
 * second wording, drops are withheld.
 */
export function screen(answers: readonly ScreeningAnswer[], rules: SofteningRules): ScreeningOutcome {
  const settled = settledAnswers(answers)
  const effects = rules.screening.effects.filter((effect) => {
    const given = settled.get(effect.question)
    return given !== undefined && effect.answers.includes(given.answer)
  })
  const asked = questionsFor(answers, rules).map((question) => question.id)
  const unanswered = asked.filter((id) => !settled.has(id))
  const unclear = [...settled].filter(([, given]) => given.answer === 'unsure')
  // Only a question that still applies is asked again; any other unclear answer is a person's to settle.
  const askAgain = unclear
    .filter(([question, given]) => given.asked === 1 && asked.includes(question))
    .map(([question]) => question)
  const isSettled = askAgain.length === 0 && unanswered.length === 0

  const excluded = union(
    DROPS,
    effects.map((effect) => (effect.excludes === 'all' ? DROPS : effect.excludes)),
  )
  const advised = rules.agents.filter((agent) => agent.advised).map((agent) => agent.id)
  const left = advised.filter((agent) => !excluded.includes(agent))
  const allowed = isSettled ? left : []
  const agent = allowed[0] ?? 'none'
  const decision = agent === 'none' ? 'withheld' : agent === advised[0] ? 'as-planned' : 'other-agent'

  const reasons = effects.map(reasonOf)
  if (!isSettled) reasons.push(reasonOf(rules.screening.unsettled))
  const onlyAgentsRuledOut = left.length === 0 && !effects.some((effect) => effect.excludes === 'all')
  if (onlyAgentsRuledOut) reasons.push(reasonOf(rules.screening.noAgentLeft))

  const needsPerson = (effect: ScreeningEffect): boolean =>
    effect.toPerson && !askAgain.includes(effect.question)
  const stillUnclear = unclear.length > askAgain.length
  return {
    decision,
    agent,
    allowed,
    reasons,
    clinicianNotes: effects.flatMap((effect) => effect.note ?? []),
    extraMinutes: Math.min(
      rules.screening.maxExtraMinutes.value,
      effects.reduce((sum, effect) => sum + effect.extraMinutes, 0),
    ),
    longerPlan: effects.some((effect) => effect.longerPlan),
    askAgain,
    unanswered,
    toPerson: effects.some(needsPerson) || stillUnclear || onlyAgentsRuledOut,
    risks: union(
      HISTORY_KINDS,
      effects.map((effect) => effect.risks),
    ),
    settled: isSettled,
  }
}

/**
 * The outcome when the deadline passes with questions open: no drops, and reception's list. What was
 * answered so far keeps its notes, minutes and risks.
 */
export function noAnswerOutcome(
  rules: SofteningRules,
  answers: readonly ScreeningAnswer[] = [],
): ScreeningOutcome {
  const soFar = screen(answers, rules)
  const open = rules.screening.unsettled.id
  return {
    ...soFar,
    decision: 'withheld',
    agent: 'none',
    allowed: [],
    reasons: [...soFar.reasons.filter((reason) => reason.rule !== open), reasonOf(rules.screening.noAnswer)],
    clinicianNotes: [...soFar.clinicianNotes, 'History not answered before the visit: ask in the room.'],
    askAgain: [],
    toPerson: true,
    settled: true,
  }
}

/** What a licensed clinician decided after reading the history; the notes and risks stay. */
export function clinicianDecides(
  outcome: ScreeningOutcome,
  decision: { agent: Drops | 'none'; by: string; why: string },
  rules: SofteningRules,
): ScreeningOutcome {
  const advised = rules.agents.filter((agent) => agent.advised).map((agent) => agent.id)
  const { agent } = decision
  if (agent !== 'none' && !advised.includes(agent))
    throw new RangeError(`This clinic's protocol does not advise ${agent}.`)
  return {
    ...outcome,
    decision: agent === 'none' ? 'withheld' : agent === advised[0] ? 'as-planned' : 'other-agent',
    agent,
    allowed: agent === 'none' ? [] : [agent],
    reasons: [
      ...outcome.reasons,
      { rule: 'clinician-decision', text: decision.why, source: `decided by ${decision.by}` },
    ],
    askAgain: [],
    unanswered: [],
    toPerson: false,
    settled: true,
  }
}

/** The questions that a history kind, read in the patient's own words, answers with yes. */
const QUESTIONS_OF_HISTORY: Record<HistoryKind, string[]> = {
  perforation: ['perforation-ever'],
  'recent-perforation': ['perforation-ever', 'perforation-recent'],
  surgery: ['ear-surgery'],
  grommets: ['grommets'],
  infection: ['infection-recent'],
  discharge: ['discharge-year'],
  allergy: [],
  'drops-reaction': ['drops-reaction'],
  'only-hearing-ear': ['only-hearing-ear'],
  immunocompromised: ['immune'],
  anticoagulant: ['blood-thinners'],
  diabetes: ['diabetes'],
}

/**
 * Answers from a free-text history: what was affirmed is a yes. An allergy without its name is unclear for
 * every oil, so each is asked again. Nothing is ever taken as a no: a question not answered stays open.
 */
export function answersFromHistory(
  kinds: readonly HistoryKind[],
  asked: 1 | 2 = 1,
  words?: string,
): ScreeningAnswer[] {
  const own = words === undefined ? {} : { words }
  const yes = kinds.flatMap((kind) => QUESTIONS_OF_HISTORY[kind])
  const unsure = kinds.includes('allergy') ? ['allergy-olive', 'allergy-nuts'] : []
  return [
    ...[...new Set(yes)].map((question) => ({ question, answer: 'yes' as const, asked, ...own })),
    ...unsure.map((question) => ({ question, answer: 'unsure' as const, asked, ...own })),
  ]
}

/** A plain "no to all of them": a no to every question that applies without a yes before it. */
export function noToAll(rules: SofteningRules): ScreeningAnswer[] {
  return rules.screening.questions
    .filter((question) => !question.askIf)
    .map((question) => ({ question: question.id, answer: 'no', asked: 1 }))
}
