/** Staff: signing in and out, one's own account, the people of the clinic. */
import type { App } from '../../access/env.ts'
import type { Role } from '../../access/permissions.ts'
import { route } from '../../access/route.ts'
import { mountAccount } from './account.ts'
import { mountPassword } from './account-password.ts'
import { mountInvitation } from './invitation.ts'
import { mountPeople } from './people.ts'
import { mountSignIn } from './sign-in.ts'

/** Where each role begins its day. */
const firstPage: Record<Role, string> = {
  clinician: '/clinician',
  reception: '/reception',
  owner: '/owner',
}

export function mount(app: App): void {
  route(app, 'get', '/staff', 'account', (c) => c.redirect(firstPage[c.get('staff').role], 303))
  mountSignIn(app)
  mountAccount(app)
  mountPassword(app)
  mountPeople(app)
  mountInvitation(app)
}
