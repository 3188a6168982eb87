/** `npm run simulate -- --patients N --days D --seed S`: one JSON line at the end; exit status 1 where an invariant broke. */
import { parseArgs } from 'node:util'
import { simulate } from './run.ts'

const USAGE = 'Usage: npm run simulate -- [--patients N] [--days D] [--seed S]'

function numbers(): { patients: number; days: number; seed: number } | null {
  try {
    const option = { type: 'string' } as const
    const { values } = parseArgs({ options: { patients: option, days: option, seed: option } })
    const read = (text: string | undefined, otherwise: number) =>
      text === undefined ? otherwise : Number(text)
    const found = {
      patients: read(values.patients, 40),
      days: read(values.days, 14),
      seed: read(values.seed, 1),
    }
    const whole = Object.values(found).every((value) => Number.isSafeInteger(value) && value >= 0)
    return whole && found.patients >= 1 && found.patients <= 1000 && found.days >= 1 && found.days <= 365
      ? found
      : null
  } catch {
    return null
  }
}

const asked = numbers()
if (!asked) {
  process.stderr.write(
    `${USAGE}\nPatients 1 to 1000 (the telephone numbers kept for fiction), days 1 to 365, whole numbers.\n`,
  )
  process.exitCode = 2
} else {
  const { result, details, effect } = await simulate(asked)
  for (const detail of details) process.stderr.write(`broken: ${detail}\n`)
  const untried = Object.entries(result.invariants).filter(([, count]) => count.checked === 0)
  for (const [name] of untried) process.stderr.write(`never tried in this run: ${name}\n`)
  process.stderr.write(`${effect}\n`)
  process.stdout.write(`${JSON.stringify(result)}\n`)
  if (Object.values(result.invariants).some((count) => count.broken > 0)) process.exitCode = 1
}
