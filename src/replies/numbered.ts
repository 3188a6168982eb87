/** Numbered answers to several open questions, each read against its own question. */
import { contextOf } from './context.ts'
import { questionsOf } from './questions.ts'
import type { Question, ReadInput, Reading, Span } from './types.ts'

type Part = { text: string; at: number; question: Question }

/** Letters and numbers before the answers: "1. 8 2. no", "a) 1 b) no", "Q1 3 Q2 no", "number one is 8". */
const MARKS: [RegExp, string[]][] = [
  [/(?:^|[\s,;])(?:q\s*)?([1-9])\s*[.):=-]+\s*/gi, ['1', '2', '3', '4', '5', '6', '7', '8', '9']],
  [/(?:^|[\s,;])q\s*([1-9])\s+/gi, ['1', '2', '3', '4', '5', '6', '7', '8', '9']],
  [/(?:^|[\s,;])([a-i])\s*[.):]\s*/gi, ['a', 'b', 'c', 'd', 'e', 'f', 'g', 'h', 'i']],
  [
    /(?:^|[\s,;])(?:number|no|question)\.?\s+(one|two|three|four|five|six|seven)\s*(?:is|:|-)?\s*/gi,
    ['one', 'two', 'three', 'four', 'five', 'six', 'seven'],
  ],
]

/** One word that answers a question by itself. */
const SHORT =
  /^(\d{1,2}(\/10)?|no|none|nil|nope|nowt|nothing|yes|yep|aye|y|n|ok|okay|fine|good|gud|great|grand|lovely|better|normal|same|well|zero|mild|bad|worse|clear|improved)$/i

/** A question named before its answer: "pain 2, discharge none". */
const LABELS: [RegExp, string][] = [
  [/^(pain|sore|soreness)$/, 'pain'],
  [/^(discharge|leaking|fluid)$/, 'discharge'],
  [/^(bleeding|blood)$/, 'bleeding'],
  [/^(hearing)$/, 'hearing'],
  [/^(dizziness|dizzy|balance)$/, 'dizziness'],
  [/^(fever|temperature)$/, 'fever'],
  [/^(swelling)$/, 'swelling'],
  [/^(anything|else|other)$/, 'anything-else'],
]
const LABELLED =
  /^\W*(pain|sore|soreness|discharge|leaking|fluid|bleeding|blood|hearing|dizziness|dizzy|balance|fever|temperature|swelling|anything(?:\s+else)?|other)\s*[:=?,-]*\s*(?:is\s+)?(\d{1,2}(?:\s*\/\s*10|\s+out\s+of\s+10)?|(?:very\s+|all\s+)?(?:no|none|nil|nope|nowt|nothing|yes|ok|okay|fine|good|gud|great|grand|lovely|better|normal|well|zero|improved|no change|clear))(?=$|[\s,.;!])/i

/** Answers to several open questions, each with its own question; null where they cannot be told apart. */
export function numberedAnswers(input: ReadInput): Part[] | null {
  if (typeof input.text !== 'string' || input.text.length > 2_000) return null
  const text = input.text
  const labelled = labelledAnswers(text)
  if (labelled) return labelled
  const questions = questionsOf(input.question, contextOf(input.context, input.procedure))
  if (questions.length < 2) return null
  for (const [pattern, order] of MARKS) {
    const marks = [...text.matchAll(pattern)]
    const inOrder = marks.every((m, i) => m[1]?.toLowerCase() === order[i])
    if (!inOrder || marks.length < 2 || marks.length > questions.length || marks[0]?.index !== 0) continue
    return marks.map((m, i) => {
      const at = (m.index ?? 0) + m[0].length
      return {
        text: text.slice(at, marks[i + 1]?.index ?? text.length),
        at,
        question: questions[i] as Question,
      }
    })
  }
  return inTheOrderAsked(text, questions)
}

/** "pain 2 discharge none hearing good": every word belongs to a named answer. */
function labelledAnswers(text: string): Part[] | null {
  const out: Part[] = []
  let at = 0
  while (/[\p{L}\d]/u.test(text.slice(at, at + 40)) && out.length < 12) {
    const m = LABELLED.exec(text.slice(at, at + 80))
    const kind = m && LABELS.find(([p]) => p.test((m[1] ?? '').toLowerCase().split(/\s/)[0] ?? ''))?.[1]
    if (!m || !kind) return null
    const from = at + m[0].length - (m[2] ?? '').length
    out.push({
      text: plainAnswer(m[2] ?? ''),
      at: from,
      question: questionsOf(kind, 'aftercare')[0] as Question,
    })
    at += m[0].length
  }
  return out.length >= 3 && !/[\p{L}\d]/u.test(text.slice(at)) ? out : null
}

/** "0, none, good, none, nothing": as many answers as questions, parted by marks or, if single words, by blanks. */
function inTheOrderAsked(text: string, questions: Question[]): Part[] | null {
  for (const [separator, word] of [
    [/[^,;/\n]+/g, null],
    [/[^\s,;/.]+/g, SHORT],
  ] as const) {
    const pieces = [...text.matchAll(separator)].filter((m) => /[\p{L}\d]/u.test(m[0]))
    if (pieces.length !== questions.length) continue
    if (word ? !pieces.every((m) => word.test(m[0])) : !pieces.every(startsLikeAnswer)) continue
    return pieces.map((m, i) => ({
      text: plainAnswer(m[0]),
      at: m.index ?? 0,
      question: questions[i] as Question,
    }))
  }
  return null
}

const startsLikeAnswer = (m: RegExpExecArray) => {
  const words = m[0].trim().split(/\s+/)
  return (
    SHORT.test(words[0] ?? '') ||
    (words.length <= 4 && /^(it|very|much|a|about|not|all|worse|still)$/i.test(words[0] ?? ''))
  )
}

const plainAnswer = (s: string) => s.replace(/^(\s*)n(\s*)$/i, '$1no$2').replace(/^(\s*)y(\s*)$/i, '$1yes$2')

/** The readings of the parts as one reading of the whole text. */
export function joined(input: ReadInput, parts: Part[], readOne: (input: ReadInput) => Reading): Reading {
  const readings = parts.map((p) => ({
    at: p.at,
    r: readOne({ ...input, text: p.text, question: p.question.words || p.question.kind }),
  }))
  const moved = <T extends Span>(list: T[], at: number): T[] =>
    list.map((x) => ({ ...x, start: x.start + at, end: x.end + at }))
  const first = <T>(pick: (r: Reading) => T | null): T | null =>
    readings.map(({ r }) => pick(r)).find((x) => x !== null) ?? null
  const any = (pick: (r: Reading) => boolean) => readings.some(({ r }) => pick(r))
  const sum = (pick: (r: Reading) => number) => readings.reduce((n, { r }) => n + pick(r), 0)
  return {
    text: String(input.text),
    context: contextOf(input.context, input.procedure),
    questions: parts.map((p) => p.question),
    findings: readings.flatMap(({ r, at }) => moved(r.findings, at)),
    doses: first((r) => r.doses),
    softened: first((r) => r.softened),
    history: readings.flatMap(({ r, at }) => moved(r.history, at)),
    stop: any((r) => r.stop),
    start: any((r) => r.start),
    reschedule: any((r) => r.reschedule),
    callMe: any((r) => r.callMe),
    wrongNumber: any((r) => r.wrongNumber),
    thanks: any((r) => r.thanks),
    asks: any((r) => r.asks),
    yesNo: null,
    number: null,
    sideAnswer: first((r) => r.sideAnswer),
    language: first((r) => (r.language === 'en' ? null : r.language)) ?? 'en',
    doubts: readings.flatMap(({ r, at }) => moved(r.doubts, at)),
    explained: readings.every(({ r }) => r.explained),
    unaccounted: readings.flatMap(({ r, at }) => moved(r.unaccounted, at)),
    words: sum((r) => r.words),
    accounted: sum((r) => r.accounted),
  }
}
