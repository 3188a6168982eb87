/** `npm run clinic -- FILE.json`: makes a real clinic from its settings, and invites its owner. */
import { existsSync, readFileSync } from 'node:fs'
import { z } from 'zod'
import { invitationAddress, inviteStaff } from '../access/invitations.ts'
import { createClinic, settingsSchema } from '../clinic.ts'
import { realClock } from '../clock.ts'
import { readConfig } from '../config.ts'
import { openDatabase } from '../database/open.ts'
import { inClinic } from '../database/service.ts'
import { startProtocol } from '../protocol/store.ts'
import { Trouble, wordsOf } from '../trouble.ts'
import { command, publicAddress, readArguments } from './open.ts'

const USAGE = 'npm run clinic -- FILE.json (see the README for what it holds)'

const clinicFile = z.object({
  slug: z.string().regex(/^[a-z0-9]+(-[a-z0-9]+)*$/, { error: 'Small letters, digits and hyphens.' }),
  name: z.string().min(2),
  zone: z.string().min(3),
  owner: z.object({ name: z.string().min(3), email: z.email() }),
  settings: settingsSchema,
})

await command(async () => {
  const { positionals } = readArguments({ allowPositionals: true, options: {} }, USAGE)
  const [file] = positionals
  if (!file || !existsSync(file)) throw new Trouble(`Usage: ${USAGE}`)
  const made = readClinic(file)
  const config = readConfig(process.env)
  const database = await openDatabase(config, realClock, publicAddress(config), { beside: true })
  try {
    const { owner, service } = database
    const clinicId = await createClinic(owner, service.masters, realClock.now(), made)
    const invited = await inClinic(service, clinicId, async (scope) => {
      await startProtocol(scope)
      return await inviteStaff(scope, { ...made.owner, role: 'owner' })
    })
    if ('taken' in invited) throw new Trouble('The owner is invited already.')
    process.stdout.write(`${made.name} is made. The owner's invitation, good for a few days and once:\n`)
    process.stdout.write(`${invitationAddress(publicAddress(config), invited.token)}\n`)
  } finally {
    await database.close()
  }
})

function readClinic(file: string): z.infer<typeof clinicFile> {
  let content: unknown
  try {
    content = JSON.parse(readFileSync(file, 'utf8'))
  } catch (error) {
    throw new Trouble(`${file} is not JSON: ${wordsOf(error)}`)
  }
  const checked = clinicFile.safeParse(content)
  if (checked.success) return checked.data
  throw new Trouble(
    checked.error.issues.map((issue) => `${file}: ${issue.path.join('.')}: ${issue.message}`).join('\n'),
  )
}
