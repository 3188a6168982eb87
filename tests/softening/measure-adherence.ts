/** `npm run measure:adherence`: prints one table. Patients and seed can be given: -- 20000 some-seed. */
import { measure, SCENARIOS, table } from './calibration.ts'

const [patients = '20000', seed = '1'] = process.argv.slice(2)
const count = Number(patients)
if (!Number.isInteger(count) || count < 1) {
  process.stderr.write(`The number of patients must be a whole number from 1, not "${patients}".\n`)
  process.exit(1)
}
const rows = SCENARIOS.map((scenario) => measure(scenario, count, seed))
process.stdout.write(
  `${[
    `Adherence judged after 3 of 5 days, 2 doses a day, against a known truth: ${count} invented patients a line, seed ${seed}.`,
    'Intervals are made to hold at least 90 %: "claim" is what they hold under the model, "cover" what they held.',
    `At ${count} patients, four standard errors of a cover near 90 % are ${((400 * Math.sqrt(0.09)) / Math.sqrt(count)).toFixed(1)} points.`,
    '"soft enough": the chance said on day 3, on average, and the share found at the visit, in percent.',
    'Brier: lower is better. "yeses" counts silence as none, "answ." leaves silent days out, "last" is the last answer.',
    '',
    table(rows),
    '',
    'This is a model of patients with invented numbers. It shows that the mathematics is right, not how real patients behave.',
  ].join('\n')}\n`,
)
