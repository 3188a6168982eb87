/** What the pages of one's own sign-in share. */
import type { Context } from 'hono'
import type { StaffEnv } from '../../access/env.ts'
import { inClinic, type Scope } from '../../database/service.ts'

export const HOME = '/staff/account'

export const within = <T>(c: Context<StaffEnv>, work: (scope: Scope) => Promise<T>): Promise<T> =>
  inClinic(c.get('service'), c.get('clinicId'), work)

export function audit(c: Context<StaffEnv>, scope: Scope, action: string): void {
  const subject = `staff:${c.get('staff').staffId}`
  scope.audit({ actor: subject, action, subject })
}
