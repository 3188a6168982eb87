/** Replies of the corpus one after another: what a long text of a patient looks like at its busiest. */
import { globSync, readFileSync } from 'node:fs'
import type { ReadInput } from '../../src/replies/types.ts'

/** Every reply to develop on, without what is expected of it. */
export const developed = (): ReadInput[] =>
  globSync('tests/replies/corpus/dev-*.jsonl')
    .sort()
    .flatMap((file) => readFileSync(file, 'utf8').split('\n'))
    .filter((line) => line.trim() !== '')
    .map((line) => {
      const { expect: _, note: __, ...input } = JSON.parse(line)
      return input as ReadInput
    })

/** A prime, so that steps of it come by every reply once. */
const STEP = 7_919

/** Lists of replies in no order, each reply in one of them, which joined by ". " are at least so long. */
export function runsOf(inputs: readonly ReadInput[], length: number): string[][] {
  const runs: string[][] = [[]]
  let long = 0
  for (const i of inputs.keys()) {
    const text = String(inputs[(i * STEP) % inputs.length]?.text ?? '')
    runs.at(-1)?.push(text)
    long += text.length + 2
    if (long < length + 2) continue
    runs.push([])
    long = 0
  }
  // The last is too short.
  return runs.slice(0, -1)
}

export const joinedTo = (run: readonly string[], length: number): string => run.join('. ').slice(0, length)
