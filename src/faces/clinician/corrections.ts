/** What was read wrongly, as a file for the labelled corpus: no names, no contacts. */
import type { Context } from 'hono'
import type { StaffEnv } from '../../access/env.ts'
import { listStaff } from '../../access/staff.ts'
import { exportCorrections } from '../../flow/corrections.ts'
import { listPractitioners } from '../../visits/store.ts'
import { inClinicOf } from './parts.ts'

export async function correctionsFile(c: Context<StaffEnv>) {
  const lines = await inClinicOf(c, async (flow) => {
    const people = [...(await listStaff(flow)), ...(await listPractitioners(flow))]
    const names = people.map(({ name }) => name)
    return exportCorrections(flow, names, c.get('staff').staffId)
  })
  return c.body(lines.join(''), 200, {
    'content-type': 'application/jsonl; charset=utf-8',
    'content-disposition': 'attachment; filename="corrections.jsonl"',
  })
}
