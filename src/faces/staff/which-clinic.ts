/** Which clinic somebody wants to come into: the only one, or the one they name. */
import type { Context } from 'hono'
import type { Env } from '../../access/env.ts'
import { hostOf, isLoopback } from '../../access/origin.ts'
import { type Clinic, loadClinic } from '../../clinic.ts'
import { inClinic, listClinics } from '../../database/service.ts'

export interface ClinicChoice {
  /** Undefined where several are here and none, or none of them, was named. */
  clinic: Clinic | undefined
  /** As it was written. */
  slug: string
  several: boolean
}

export async function chooseClinic(c: Context<Env>, written: string | undefined): Promise<ClinicChoice> {
  const service = c.get('service')
  const clinics = await listClinics(service)
  const slug = (written ?? '').trim().toLowerCase()
  const several = clinics.length > 1
  const found = several ? clinics.find((clinic) => clinic.slug === slug) : clinics[0]
  const clinic = found && (await inClinic(service, found.clinicId, loadClinic))
  return { clinic, slug, several }
}

/** A demo opens without proof, so it is only opened to this machine, asked for by one of its own names. */
export const demoIsOpen = (c: Context, clinic: Clinic) =>
  clinic.demo && isLoopback(c.get('config').host) && isLoopback(hostOf(c).hostname)
