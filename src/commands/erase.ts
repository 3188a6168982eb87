/** `npm run erase -- --reference REF --reason WORDS --confirm REF`: erases a patient, and says what stays and why. */
import { inClinic } from '../database/service.ts'
import { erasePatient } from '../privacy/erase.ts'
import { erasureLines } from '../privacy/words.ts'
import { Trouble } from '../trouble.ts'
import { visitByReference } from '../visits/store.ts'
import { command, readArguments, withClinic } from './open.ts'

const USAGE = 'npm run erase -- --reference BOOKING_REFERENCE --confirm BOOKING_REFERENCE [--clinic NAME]'

await command(async () => {
  const text = { type: 'string' } as const
  const { values } = readArguments({ options: { reference: text, confirm: text, clinic: text } }, USAGE)
  const { reference, confirm } = values
  if (!reference) throw new Trouble(`Usage: ${USAGE}`)
  if (confirm !== reference)
    throw new Trouble('Nothing was erased: write the reference again after --confirm.')
  await withClinic(values.clinic, async ({ service, clinicId }) => {
    const result = await inClinic(service, clinicId, async (scope) => {
      const visit = await visitByReference(scope, reference)
      if (!visit) throw new Trouble(`There is no visit with the reference ${reference}.`)
      return await erasePatient(scope, visit.patientId, { actor: 'service', reason: 'request' })
    })
    if ('refused' in result) throw new Trouble(`Nothing was erased. ${result.refused}`)
    process.stdout.write(`${erasureLines(result.done).join('\n')}\n`)
  })
})
