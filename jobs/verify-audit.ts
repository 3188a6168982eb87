/** Walks the clinic's audit chain four times a day, since a clinic's machine may be off at night; a break is told to the owners and keeps failing until it is looked into. */
import { verifyAudit } from '../src/access/audit.ts'
import { listStaff } from '../src/access/staff.ts'
import { giveNotice } from '../src/concerns/store.ts'
import { inClinic } from '../src/database/service.ts'
import type { Job } from '../src/jobs.ts'

/** Its name is what the page of jobs shows. */
class BrokenAudit extends Error {
  override name = 'The audit chain is broken'
}

export const verifyAudits: Job = {
  name: 'verify-audit',
  schedule: '0 50 */6 * * *',
  run: async (service, { clinicId }) => {
    const { entries, broken } = await inClinic(service, clinicId, async (scope) => {
      const verdict = await verifyAudit(scope)
      if (verdict.broken) {
        const owners = (await listStaff(scope)).filter(({ role }) => role === 'owner')
        await giveNotice(scope, {
          staffIds: owners.map(({ staffId }) => staffId),
          concernId: null,
          kind: 'audit-broken',
          dedupe: `audit-broken/${verdict.broken.seq}`,
        })
      }
      return verdict
    })
    if (broken) throw new BrokenAudit()
    return entries
  },
}
