/** `npm run bench:replies`: median, 95th percentile and worst time to read and judge one reply, on one core. */
import { defaultUrgencyRules } from '../../src/protocol/sections/urgency.ts'
import { readAndJudge } from '../../src/replies/judge.ts'
import type { ReadInput } from '../../src/replies/types.ts'
import { developed, joinedTo, runsOf } from '../replies/joined.ts'

const inputs = developed()
const LONG = [
  ['one word without spaces', 'a'.repeat(10_000)],
  ['no, 5000 times', 'no '.repeat(3_333)],
  ['pain in ear, many times', 'pain in my ear and '.repeat(526)],
  ['commas', ','.repeat(10_000)],
  ['misspelt words', 'paiin bleedin dizzzy swolln '.repeat(357)],
  ['emoji', '🩸😵'.repeat(2_500)],
  ['letters of many scripts', 'ਕੰਨ ухо 耳 kulağım '.repeat(555)],
] as const

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
for (const [name, text] of LONG) {
  const runs = Array.from({ length: 5 }, () => time({ context: 'aftercare', text })).sort((a, b) => a - b)
  console.log(`10,000 characters, ${name}: median of 5 ${(runs[2] ?? 0).toFixed(1)} ms`)
}

/** The best of three, so that what else runs on the machine does not count. */
const best = (texts: readonly string[]) =>
  Math.min(
    ...Array.from({ length: 3 }, () =>
      texts.reduce((sum, text) => sum + time({ context: 'aftercare', text }), 0),
    ),
  )
const LENGTH = 10_000
const joined = runsOf(inputs, LENGTH).map((run) => ({
  together: best([joinedTo(run, LENGTH)]),
  alone: (best(run) * LENGTH) / run.join('. ').length,
}))
const sorted = joined.map((x) => x.together).sort((a, b) => a - b)
const share = joined.reduce((sum, x) => sum + x.together, 0) / joined.reduce((sum, x) => sum + x.alone, 0)
const ms = (q: number) => (sorted[Math.floor(q * (sorted.length - 1))] ?? 0).toFixed(1)
console.log(
  `10,000 characters, ${joined.length} texts of replies joined: median ${ms(0.5)} ms, 90th percentile ${ms(0.9)} ms, worst ${ms(1)} ms; ${share.toFixed(2)} of the same replies one by one`,
)
