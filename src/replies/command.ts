/**
 * `npm run --silent read`: JSON lines on standard input, one JSON line out for each, in order.
 * Streams, needs no database and no network, survives any bytes: a line that cannot be read is answered with
 * `error` (what to mend) and urgency `unclear`. The shapes accepted are described in context.ts.
 */
import { defaultUrgencyRules } from '../protocol/sections/urgency.ts'
import { readAndJudge } from './judge.ts'
import type { ReadInput } from './types.ts'

/** A line longer than this (in bytes) is not parsed. */
const MAX_LINE = 4_000_000

/** The answer to one line of input, as an object ready for JSON. */
export function answerLine(line: string): Record<string, unknown> {
  let input: unknown
  if (line.includes('\uFFFD')) {
    // Bytes that were no UTF-8: read what can be read, and say so.
    try {
      input = JSON.parse(line)
    } catch {
      return failed(
        recoverId(line),
        'the line is neither valid UTF-8 nor valid JSON: send one JSON object a line',
      )
    }
    const answer = answerInput(input)
    return {
      ...answer,
      urgency: answer.urgency === 'none' ? 'unclear' : answer.urgency,
      error: 'some bytes were not valid UTF-8: send the text as UTF-8',
    }
  }
  try {
    input = JSON.parse(line)
  } catch {
    return failed(recoverId(line), 'the line is not valid JSON: send one JSON object a line')
  }
  return answerInput(input)
}

function answerInput(input: unknown): Record<string, unknown> {
  if (input === null || typeof input !== 'object' || Array.isArray(input))
    return failed(null, 'the line is not a JSON object: send {"id","context","text"}')
  const o = input as ReadInput
  if (typeof o.text !== 'string')
    return failed(o.id ?? null, 'the field "text" is missing or is not a string')
  try {
    const { reading, judgement } = readAndJudge(o, defaultUrgencyRules)
    return {
      id: o.id ?? null,
      urgency: judgement.urgency,
      score: judgement.score,
      flags: judgement.flags,
      findings: reading.findings,
      doses: reading.doses,
      softened: reading.softened,
      history: [...new Set(reading.history.filter((h) => h.polarity !== 'denied').map((h) => h.kind))],
      stop: reading.stop,
      reschedule: reading.reschedule,
      why: judgement.why,
      reasons: judgement.reasons,
    }
  } catch (cause) {
    return failed(
      o.id ?? null,
      `the reply could not be read (${cause instanceof Error ? cause.message : 'unknown'}): a person must read it`,
    )
  }
}

function failed(id: unknown, error: string): Record<string, unknown> {
  return {
    id,
    urgency: 'unclear',
    score: 0,
    flags: [],
    findings: [],
    doses: null,
    softened: null,
    history: [],
    stop: false,
    reschedule: false,
    why: ['u-unreadable'],
    error,
  }
}

/** The id of a broken line where it stands there plainly. */
function recoverId(line: string): string | number | null {
  const found = /"id"\s*:\s*("(?:[^"\\]{0,200})"|-?\d{1,15})/.exec(line.slice(0, 100_000))
  if (!found?.[1]) return null
  try {
    return JSON.parse(found[1]) as string | number
  } catch {
    return null
  }
}

/** Reads chunks of bytes, writes an answer a line; waits when the reader of the output is slow. */
export async function run(
  input: AsyncIterable<Uint8Array>,
  write: (text: string) => Promise<void> | void,
): Promise<void> {
  const decoder = new TextDecoder('utf-8')
  let parts: string[] = []
  let held = 0
  let skipping = false
  const finish = async () => {
    const line = parts.join('').replace(/\r$/, '')
    parts = []
    held = 0
    if (skipping) {
      skipping = false
      await write(
        `${JSON.stringify(failed(recoverId(line), 'the line is too long: send one reply a line'))}\n`,
      )
      return
    }
    if (line.trim() !== '') await write(`${JSON.stringify(answerLine(line))}\n`)
  }
  const take = async (text: string) => {
    let from = 0
    for (let at = text.indexOf('\n'); at >= 0; at = text.indexOf('\n', from)) {
      keep(text.slice(from, at))
      await finish()
      from = at + 1
    }
    keep(text.slice(from))
  }
  const keep = (piece: string) => {
    if (held > MAX_LINE) {
      skipping = true
      return
    }
    parts.push(piece)
    held += piece.length
  }
  for await (const chunk of input) await take(decoder.decode(chunk, { stream: true }))
  await take(decoder.decode())
  if (held > 0) await finish()
}

if (import.meta.main) {
  process.stdout.on('error', (error: NodeJS.ErrnoException) => process.exit(error.code === 'EPIPE' ? 0 : 1))
  const write = (text: string) =>
    process.stdout.write(text)
      ? undefined
      : new Promise<void>((resolve) => process.stdout.once('drain', () => resolve()))
  await run(process.stdin, write)
}
