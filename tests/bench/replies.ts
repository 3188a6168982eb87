/** `npm run bench:replies`: median, 95th percentile and worst time to read and judge one reply, on one core. */
import { globSync, readFileSync } from 'node:fs'
import { defaultUrgencyRules } from '../../src/protocol/sections/urgency.ts'
import { readAndJudge } from '../../src/replies/judge.ts'
import type { ReadInput } from '../../src/replies/types.ts'

const inputs: ReadInput[] = globSync('tests/replies/corpus/dev-*.jsonl').flatMap((file) =>
  readFileSync(file, 'utf8')
    .split('\n')
    .filter((line) => line.trim() !== '')
    .map((line) => {
      const { expect: _, note: __, ...input } = JSON.parse(line)
      return input as ReadInput
    }),
)
const LONG = [
  ['one word without spaces', 'a'.repeat(10_000)],
  ['no, 5000 times', 'no '.repeat(3_333)],
  ['pain in ear, many times', 'pain in my ear and '.repeat(526)],
  ['commas', ','.repeat(10_000)],
  ['misspelt words', 'paiin bleedin dizzzy swolln '.repeat(357)],
  ['emoji', '🩸😵'.repeat(2_500)],
  ['letters of many scripts', 'ਕੰਨ ухо 耳 kulağım '.repeat(555)],
] as const

/** Ten thousand characters of the corpus, one reply after another. */
const replies = inputs
  .filter((_, i) => i % 11 === 0)
  .map(({ text }) => text)
  .join('. ')

const time = (input: ReadInput) => {
  const from = performance.now()
  readAndJudge(input, defaultUrgencyRules)
  return performance.now() - from
}
for (let round = 0; round < 3; round++) for (const input of inputs) time(input)
const times = Array.from({ length: 5 }, () => inputs.map(time))
  .flat()
  .sort((a, b) => a - b)
const at = (q: number) => (times[Math.floor(q * (times.length - 1))] ?? 0).toFixed(3)
console.log(
  `${inputs.length} replies, 5 rounds: median ${at(0.5)} ms, 95th percentile ${at(0.95)} ms, worst ${at(1)} ms`,
)
for (const [name, text] of [...LONG, ['replies one after another', replies] as const]) {
  const runs = Array.from({ length: 5 }, () =>
    time({ context: 'aftercare', text: text.slice(0, 10_000) }),
  ).sort((a, b) => a - b)
  console.log(`10,000 characters, ${name}: median of 5 ${(runs[2] ?? 0).toFixed(1)} ms`)
}
