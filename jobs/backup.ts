/** Backups of the embedded database: the whole once a day, whenever the machine runs, the log every five minutes. */
import { listClinics } from '../src/database/service.ts'
import type { Job } from '../src/jobs.ts'

// The database is one for all clinics: the first clinic's run does it.
const once =
  (what: 'base' | 'log'): Job['run'] =>
  async (service, { clinicId }, { backup }) => {
    const [first] = await listClinics(service)
    return backup && first?.clinicId === clinicId ? await backup(what) : 0
  }

export const backupBase: Job = { name: 'backup', schedule: '0 40 * * * *', run: once('base') }
export const backupLog: Job = { name: 'backup-log', schedule: '20 */5 * * * *', run: once('log') }
