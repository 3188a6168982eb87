/** `npm run rotate`: a new data key, everything sealed anew, data keys wrapped by the first key of FOREAFT_KEYS. */
import { rotate } from '../database/rotation.ts'
import { command, eachClinic, readArguments } from './open.ts'

const USAGE = 'npm run rotate -- [--clinic NAME] [--wrap-only]'

await command(async () => {
  const { values } = readArguments(
    { options: { clinic: { type: 'string' }, 'wrap-only': { type: 'boolean' } } },
    USAGE,
  )
  await eachClinic(values.clinic, async ({ service, clinicId, slug }) => {
    const done = await rotate(service, clinicId, values['wrap-only'] ? {} : { newKeyAfterDays: 0 })
    const { keyId, fresh, rewrapped, resealed, left, retired } = done
    process.stdout.write(
      `${slug}: data key ${keyId} ${fresh ? 'made now' : 'in use'}; ${resealed} values sealed anew, ${rewrapped} keys wrapped by "${service.masters.current}", ${retired} old keys retired.\n`,
    )
    if (left > 0)
      process.stdout.write(
        `${slug}: ${left} values were in use; the nightly job takes them, or run it again.\n`,
      )
  })
})
