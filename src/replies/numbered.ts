/** Numbered answers to several open questions, each read against its own question. */
import { contextOf, questionsOf } from './context.ts'
import type { Question, ReadInput, Reading, Span } from './types.ts'

type Part = { text: string; at: number; question: Question }

/** "1. 8 2. no 3. fine" to several open questions: each answer with its own question; null where it is not so. */
export function numberedAnswers(input: ReadInput): Part[] | null {
  if (typeof input.text !== 'string' || input.text.length > 2_000) return null
  const questions = questionsOf(input.question, contextOf(input.context, input.procedure))
  if (questions.length < 2) return null
  const marks = [...input.text.matchAll(/(?:^|[\s,;])([1-9])[.):]\s*/g)]
  const inOrder = marks.filter((m, i) => m[1] === String(i + 1))
  const from = inOrder.length === marks.length ? inOrder : []
  if (from.length < 2 || from.length > questions.length) return null
  return from.map((m, i) => {
    const at = (m.index ?? 0) + m[0].length
    const end = from[i + 1]?.index ?? (input.text as string).length
    return { text: (input.text as string).slice(at, end), at, question: questions[i] as Question }
  })
}

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
    unaccounted: readings.flatMap(({ r, at }) => moved(r.unaccounted, at)),
    words: sum((r) => r.words),
    accounted: sum((r) => r.accounted),
  }
}
