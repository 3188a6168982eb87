/** Who holds the link, what it is for, and what may be shown to them. */
import { randomBytes } from 'node:crypto'
import type { Context } from 'hono'
import { getCookie, setCookie } from 'hono/cookie'
import type { Env } from '../../access/env.ts'
import { hasPass, type OpenLink, openLink } from '../../access/links.ts'
import { isSecure } from '../../access/origin.ts'
import { type Clinic, loadClinic } from '../../clinic.ts'
import { inClinic, listClinics, type Service } from '../../database/service.ts'
import { type Flow, inFlow } from '../../flow/context.ts'
import { type Question, questionById } from '../../messages/store.ts'
import { getPatient, type Patient } from '../../visits/store.ts'

export interface Opened {
  clinicId: string
  link: OpenLink
  /** What stands after /p/ in the address. */
  text: string
}

/** What each page is made from, inside one transaction. */
export interface Reader {
  flow: Flow
  link: OpenLink
  text: string
  patient: Patient
  /** This reader gave the birth year: the patient's own matters may be shown. */
  known: boolean
  /** There is a year to ask for, and it was not given. */
  mustGiveFact: boolean
  question: Question | null
  /** The question was taken back: its answer changes nothing any more. */
  over: boolean
}

/** @returns null where the link opens nothing, whatever the reason */
export async function open(service: Service, text: string): Promise<Opened | null> {
  const result = await openLink(service, text, { withdrawnToo: true })
  return 'gone' in result ? null : { ...result, text }
}

/** The clinic that an address names, whatever else is wrong with it. */
export async function clinicNamed(service: Service, text: string): Promise<Clinic | null> {
  const slug = text.split('.')[0]
  const named = (await listClinics(service)).find((one) => one.slug === slug)
  return named ? await inClinic(service, named.clinicId, loadClinic) : null
}

/** Runs `work` for this reader. @returns null when the patient is gone */
export function withReader<T>(
  c: Context<Env>,
  { clinicId, link, text }: Opened,
  work: (reader: Reader) => Promise<T>,
): Promise<{ clinic: Clinic; result: T } | null> {
  return inFlow(c.get('service'), clinicId, async (flow) => {
    const patient = await getPatient(flow, link.patientId)
    if (!patient) return null
    const question = link.questionId ? ((await questionById(flow, link.questionId)) ?? null) : null
    const known = hasPass(flow, link.hash, getCookie(c, passName(c)))
    const result = await work({
      flow,
      link,
      text,
      patient,
      known,
      mustGiveFact: !known && link.fact !== 'none-known',
      question,
      over: question?.withdrawnAt != null,
    })
    return { clinic: flow.clinic, result }
  })
}

/** The prefix makes browsers refuse it over plain http. */
const passName = (c: Context<Env>): string => (isSecure(c) ? '__Secure-pass' : 'pass')
const PASS_SECONDS = 30 * 60

/** Kept for this link's own pages only. */
export function givePass(c: Context<Env>, text: string, pass: string): void {
  setCookie(c, passName(c), pass, {
    path: `/p/${text}`,
    httpOnly: true,
    sameSite: 'Lax',
    secure: isSecure(c),
    maxAge: PASS_SECONDS,
  })
}

/** Goes into each form: the same form sent twice is one reply. */
export const newFormId = (): string => randomBytes(12).toString('base64url')
