/** `npm run export -- --reference REF --to FOLDER`: a patient's own copy, to read and as data. */
import { existsSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { loadClinic } from '../clinic.ts'
import { inClinic } from '../database/service.ts'
import { copyAsText, copyOfPatient } from '../privacy/export.ts'
import { Trouble } from '../trouble.ts'
import { visitByReference } from '../visits/store.ts'
import { command, readArguments, withClinic } from './open.ts'

const USAGE = 'npm run export -- --reference BOOKING_REFERENCE --to FOLDER [--clinic NAME]'

await command(async () => {
  const { values } = readArguments(
    { options: { reference: { type: 'string' }, to: { type: 'string' }, clinic: { type: 'string' } } },
    USAGE,
  )
  const { reference, to } = values
  if (!reference || !to) throw new Trouble(`Usage: ${USAGE}`)
  if (!existsSync(to)) throw new Trouble(`There is no folder ${to}.`)
  await withClinic(values.clinic, async ({ service, clinicId }) => {
    const { copy, zone } = await inClinic(service, clinicId, async (scope) => {
      const visit = await visitByReference(scope, reference)
      if (!visit) throw new Trouble(`There is no visit with the reference ${reference}.`)
      const clinic = await loadClinic(scope)
      scope.audit({ actor: 'service', action: 'export patient', patientId: visit.patientId })
      return { copy: await copyOfPatient(scope, clinic, visit.patientId), zone: clinic.zone }
    })
    if (!copy) throw new Trouble('There is no such patient.')
    // A reference is the clinic's own text: it does not name the files.
    const files = [join(to, 'patient-copy.json'), join(to, 'patient-copy.txt')] as const
    for (const file of files)
      if (existsSync(file)) throw new Trouble(`${file} is there already: move it away.`)
    writeFileSync(files[0], `${JSON.stringify(copy, null, 2)}\n`, { mode: 0o600 })
    writeFileSync(files[1], copyAsText(copy, zone), { mode: 0o600 })
    process.stdout.write(`${files.join('\n')}\nLook through both before you hand them over.\n`)
  })
})
