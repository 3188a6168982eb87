/** `npm run invite -- EMAIL`: a new way in for somebody who works here and has lost theirs, from the keyboard. */
import { invitationAddress, inviteAgain, inviteUnused } from '../access/invitations.ts'
import { listStaff, plainEmail } from '../access/staff.ts'
import { inClinic } from '../database/service.ts'
import { Trouble } from '../trouble.ts'
import { command, publicAddress, readArguments, withClinic } from './open.ts'

const USAGE = 'npm run invite -- EMAIL [--clinic NAME]'

await command(async () => {
  const { positionals, values } = readArguments(
    { allowPositionals: true, options: { clinic: { type: 'string' } } },
    USAGE,
  )
  const [email, ...more] = positionals
  if (!email || more.length > 0) throw new Trouble(`Usage: ${USAGE}`)
  await withClinic(values.clinic, async ({ service, clinicId, config }) => {
    const token = await inClinic(service, clinicId, async (scope) => {
      const person = (await listStaff(scope)).find((one) => one.email === plainEmail(email))
      if (!person) {
        const unused = await inviteUnused(scope, email)
        if (unused) return unused
        throw new Trouble(`Nobody with the address ${email} works at this clinic or was invited to it.`)
      }
      scope.audit({
        actor: 'service',
        action: 'invite from the keyboard',
        subject: `staff:${person.staffId}`,
      })
      return await inviteAgain(scope, person.staffId, undefined)
    })
    process.stdout.write(
      `Good for a few days and once:\n${invitationAddress(publicAddress(config), token ?? '')}\n`,
    )
  })
})
