/** A clinic with its protocol, staff and visits, and the job runs, for tests of the whole way. */
import { Readable } from 'node:stream'
import { asc } from 'drizzle-orm'
import { Temporal } from 'temporal-polyfill'
import { addStaff } from '../../src/access/staff.ts'
import { message } from '../../src/database/schema.ts'
import { inClinic, type Service } from '../../src/database/service.ts'
import { inFlow } from '../../src/flow/context.ts'
import { type ImportReport, importVisits } from '../../src/flow/visits.ts'
import { type Job, type JobDeps, runJob } from '../../src/jobs.ts'
import { handset } from '../../src/messages/transports/handset.ts'
import { startProtocol } from '../../src/protocol/store.ts'
import { addSlot } from '../../src/softening/moves/store.ts'
import { getPatient, putPractitioner, visitByReference } from '../../src/visits/store.ts'

export const HEADER = 'reference,name,mobile,email,birth_date,start,minutes,practitioner,purpose,ears,status'

/** Protocol and one member of staff a role. @returns their ids */
export function staffClinic(service: Service, clinicId: string) {
  return inClinic(service, clinicId, async (scope) => {
    await startProtocol(scope)
    const add = (name: string, role: 'clinician' | 'reception' | 'owner', escalationOrder?: number) =>
      addStaff(scope, {
        name,
        email: `${name.split(' ')[0]?.toLowerCase()}@brackwater.example`,
        role,
        escalationOrder,
        registration: 'TEST-1',
      })
    return {
      first: await add('Ottoline Marsh', 'clinician', 1),
      second: await add('Fenwick Adair', 'clinician', 2),
      desk: await add('Posy Tallentire', 'reception'),
      owner: await add('Gwendal Ruck', 'owner', 3),
    }
  })
}

export const importRows = (
  service: Service,
  clinicId: string,
  rows: string[],
  header = HEADER,
): Promise<ImportReport> => importVisits(service, clinicId, Readable.from([[header, ...rows].join('\r\n')]))

export function openSlot(
  service: Service,
  clinicId: string,
  at: string,
  minutes = 30,
  practitioner = 'Ottoline Marsh',
) {
  return inClinic(service, clinicId, async (scope) => {
    const practitionerId = await putPractitioner(scope, practitioner)
    await addSlot(scope, { practitionerId, startAt: Temporal.Instant.from(at), minutes, room: null })
    const slots = await scope.tx.query.slot.findMany()
    return slots.find(
      (one) => one.startAt.equals(Temporal.Instant.from(at)) && one.practitionerId === practitionerId,
    )?.slotId as string
  })
}

export const visitAndPatient = (service: Service, clinicId: string, reference: string) =>
  inFlow(service, clinicId, async (flow) => {
    const visit = await visitByReference(flow, reference)
    if (!visit) throw new Error(`no visit ${reference}`)
    const patient = await getPatient(flow, visit.patientId)
    if (!patient) throw new Error(`no patient of ${reference}`)
    return { visit, patient }
  })

export interface Sent {
  kind: string
  status: string
  body: string
  day: string | null
  dueAt: string
  patientId: string | null
}

/** Every message of the clinic, by due time. */
export const messagesOf = (service: Service, clinicId: string): Promise<Sent[]> =>
  inClinic(service, clinicId, async ({ tx, vault }) => {
    const rows = await tx.select().from(message).orderBy(asc(message.dueAt), asc(message.messageId))
    return rows.map((row) => ({
      kind: row.kind,
      status: row.status,
      body: vault.open(row.bodySealed),
      day: row.day,
      dueAt: row.dueAt.toString(),
      patientId: row.patientId,
    }))
  })

/** Runs these jobs once, as the service would; a job's fault is the test's. */
export async function runJobs(
  service: Service,
  jobs: readonly Job[],
  deps: Partial<JobDeps> = {},
): Promise<void> {
  for (const job of jobs) {
    const results = await runJob(service, job, {
      transports: { handset },
      spool: '/nonexistent',
      random: () => 0.5,
      ...deps,
    })
    for (const { error } of results) if (error) throw error
  }
}
