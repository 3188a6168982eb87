/** What every step of the way knows: the scope, the clinic and the protocol in force. */

import type { Temporal } from 'temporal-polyfill'
import { type Clinic, loadClinic } from '../clinic.ts'
import { inClinic, type Scope, type Service } from '../database/service.ts'
import { putOnDesk } from '../desk/store.ts'
import type { TemplateId } from '../messages/render.ts'
import { type PatientLetter, type Queued, sendToPatient } from '../messages/send.ts'
import type { TemplateValues } from '../messages/template.ts'
import type { ProtocolDocument } from '../protocol/document.ts'
import { currentProtocol } from '../protocol/store.ts'
import type { Ear } from '../softening/types.ts'
import type { Patient, Visit } from '../visits/store.ts'

export interface Flow extends Scope {
  clinic: Clinic
  rules: ProtocolDocument
  protocolVersion: number
}

export async function flowOf(scope: Scope): Promise<Flow> {
  const { document, version } = await currentProtocol(scope)
  return { ...scope, clinic: await loadClinic(scope), rules: document, protocolVersion: version }
}

/** One transaction of the clinic, with its settings and rules at hand. */
export function inFlow<T>(service: Service, clinicId: string, work: (flow: Flow) => Promise<T>): Promise<T> {
  return inClinic(service, clinicId, async (scope) => work(await flowOf(scope)))
}

export const earsOf = (visit: Pick<Visit, 'ears'>): Ear[] =>
  visit.ears === 'both' ? ['left', 'right'] : [visit.ears]

/** The calendar day of an instant in the clinic's zone. */
export const dayOf = (flow: Pick<Flow, 'clinic'>, at: Temporal.Instant): Temporal.PlainDate =>
  at.toZonedDateTimeISO(flow.clinic.zone).toPlainDate()

export type Tell = Omit<PatientLetter, 'clinic' | 'patient' | 'template' | 'values'>

/** Queues one text to the patient; where there is no way to write, reception hears of it. */
export async function tell(
  flow: Flow,
  patient: Patient,
  template: TemplateId,
  values: TemplateValues,
  rest: Tell,
): Promise<Queued> {
  const queued = await sendToPatient(flow, { clinic: flow.clinic, patient, template, values, ...rest })
  if ('skipped' in queued && queued.skipped === 'no-contact') {
    await putOnDesk(flow, {
      dedupe: `no-way-to-write/${rest.visitId ?? patient.patientId}`,
      kind: 'no-way-to-write',
      patientId: patient.patientId,
      visitId: rest.visitId ?? null,
    })
  }
  return queued
}
