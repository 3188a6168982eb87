/** `npm run audit`: walks every clinic's chain of audit entries and names the first broken link. */
import { verifyAudit } from '../access/audit.ts'
import { inClinic } from '../database/service.ts'
import { command, eachClinic, readArguments } from './open.ts'

const USAGE = 'npm run audit -- [--clinic NAME]'

await command(async () => {
  const { values } = readArguments({ options: { clinic: { type: 'string' } } }, USAGE)
  await eachClinic(values.clinic, async ({ service, clinicId, slug }) => {
    const { entries, broken } = await inClinic(service, clinicId, verifyAudit)
    if (broken) process.exitCode = 1
    process.stdout.write(
      broken
        ? `${slug}: BROKEN at entry ${broken.seq}: ${broken.why}. The ${entries} entries before it are whole.\n`
        : `${slug}: ${entries} entries, whole.\n`,
    )
  })
})
