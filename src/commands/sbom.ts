/** `npm run --silent sbom`: the software bill of materials on standard output, CycloneDX 1.6 in JSON. */
import { randomUUID } from 'node:crypto'
import { readFileSync } from 'node:fs'
import { realClock } from '../clock.ts'
import { cycloneDx, KNOWN_LICENCES, lockSchema } from '../sbom.ts'
import { command, readArguments } from './open.ts'

await command(async () => {
  readArguments({ options: {} }, 'npm run --silent sbom')
  const lock = lockSchema.parse(
    JSON.parse(readFileSync(new URL('../../package-lock.json', import.meta.url), 'utf8')),
  )
  const bom = cycloneDx(lock, {
    serial: randomUUID(),
    at: realClock.now().toString(),
    licences: KNOWN_LICENCES,
  })
  process.stdout.write(`${JSON.stringify(bom, null, 2)}\n`)
})
