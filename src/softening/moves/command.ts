/** `npm run --silent moves`: one JSON document in, the best plan out; a document it cannot plan gets one sentence. */
import { text } from 'node:stream/consumers'
import type { MovesInput } from './input.ts'
import { MovesInputError } from './input.ts'
import { planMoves } from './plan.ts'

function refuse(sentence: string): never {
  process.stderr.write(`moves: ${sentence}\n`)
  process.exit(2)
}

function documentOf(given: string): MovesInput {
  if (given.trim() === '') refuse('the document is empty: give one JSON document on standard input.')
  try {
    return JSON.parse(given.replace(/^\uFEFF/, '')) as MovesInput
  } catch (error) {
    refuse(`the document is not JSON (${(error as Error).message}): mend it and try again.`)
  }
}

const input = documentOf(await text(process.stdin))
try {
  process.stdout.write(`${JSON.stringify(planMoves(input), null, 2)}\n`)
} catch (error) {
  if (error instanceof MovesInputError) refuse(error.message)
  throw error
}
