import { expect, test } from 'vitest'
import {
  acceptInvitation,
  inviteStaff,
  inviteUnused,
  readInvitationToken,
} from '../../src/access/invitations.ts'
import { listStaff } from '../../src/access/staff.ts'
import { inClinic } from '../../src/database/service.ts'
import { testDatabase } from '../support/database.ts'

const { service, clock, clinicId } = await testDatabase()
const secretOf = (token: string | undefined) => readInvitationToken(token ?? '')?.secret as string

test('a first owner who let the link run out is invited again from the keyboard; the old link stays dead', async () => {
  const person = { name: 'Gwendal Ruck', email: 'gwendal@brackwater.example', role: 'owner' as const }
  const first = await inClinic(service, clinicId, (scope) => inviteStaff(scope, person))
  clock.advance({ hours: 24 * 30 })
  const accepted = await inClinic(service, clinicId, async (scope) => {
    expect(await inviteUnused(scope, 'nobody@brackwater.example')).toBeUndefined()
    const again = await inviteUnused(scope, 'Gwendal@Brackwater.example')
    expect(await acceptInvitation(scope, secretOf('token' in first ? first.token : ''))).toBeUndefined()
    return await acceptInvitation(scope, secretOf(again))
  })
  const staff = await inClinic(service, clinicId, listStaff)
  expect(staff.map(({ staffId, role }) => ({ staffId, role }))).toEqual([
    { staffId: accepted, role: 'owner' },
  ])
  const after = await inClinic(service, clinicId, (scope) => inviteUnused(scope, 'nobody@brackwater.example'))
  expect(after).toBeUndefined()
})
