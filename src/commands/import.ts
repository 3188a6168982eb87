/** `npm run import -- FILE.csv`: visits from a file, with progress, and each bad row with what to mend. */
import { createReadStream, statSync } from 'node:fs'
import { importVisits } from '../flow/visits.ts'
import { Trouble } from '../trouble.ts'
import { command, readArguments, withClinic } from './open.ts'

const USAGE = 'npm run import -- FILE.csv [--clinic NAME]'

await command(async () => {
  const { positionals, values } = readArguments(
    { allowPositionals: true, options: { clinic: { type: 'string' } } },
    USAGE,
  )
  const [file, ...more] = positionals
  if (!file || more.length > 0) throw new Trouble(`Usage: ${USAGE}`)
  if (!statSync(file, { throwIfNoEntry: false })?.isFile()) throw new Trouble(`There is no file ${file}.`)
  await withClinic(values.clinic, async ({ service, clinicId, slug }) => {
    process.stdout.write(`Importing ${file} into ${slug}...\n`)
    let shown = 0
    const report = await importVisits(service, clinicId, createReadStream(file), (done) => {
      if (done - shown < 1000 && !process.stdout.isTTY) return
      shown = done
      process.stdout.write(process.stdout.isTTY ? `\r  ${done} rows` : `  ${done} rows\n`)
    })
    if (process.stdout.isTTY) process.stdout.write('\n')
    for (const { line, field, message } of report.problems)
      process.stdout.write(`line ${line}, ${field}: ${message}\n`)
    const { rows, booked, changed, cancelled, same, problems } = report
    const bad = new Set(problems.map((problem) => problem.line)).size
    process.stdout.write(
      `${rows} rows: ${booked} booked, ${changed} changed, ${cancelled} cancelled, ${same} as before, ${bad} to mend.\n`,
    )
    if (bad > 0) process.exitCode = 2
  })
})
