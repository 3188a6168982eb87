/** A clinic whose patients hold links, and a telephone that opens them: with its own cookies, without scripts. */
import { Temporal } from 'temporal-polyfill'
import { deliver } from '../../jobs/deliver.ts'
import type { App } from '../../src/access/env.ts'
import type { Service } from '../../src/database/service.ts'
import { inFlow } from '../../src/flow/context.ts'
import { takeAnswers } from '../../src/flow/screening.ts'
import { noToAll } from '../../src/softening/screening.ts'
import { importRows, messagesOf, runJobs, visitAndPatient } from '../support/clinic.ts'

export interface BookOptions {
  start?: string
  birthDate?: string
  ears?: string
  purpose?: string
  name?: string
}

let numbers = 100

/** Books one visit under `ref`, far enough ahead for a whole plan. */
export async function book(service: Service, clinicId: string, ref: string, more: BookOptions = {}) {
  numbers += 1
  const row = [
    ref,
    more.name ?? `Winifred Test${ref}`,
    `07700 900${numbers}`,
    '',
    more.birthDate ?? '1941-06-02',
    more.start ?? '2026-03-12T10:00',
    30,
    'Ottoline Marsh',
    more.purpose ?? 'removal',
    more.ears ?? 'both',
    '',
  ].join(',')
  const report = await importRows(service, clinicId, [row])
  if (report.booked !== 1) throw new Error(JSON.stringify(report))
  return await visitAndPatient(service, clinicId, ref)
}

/** Answers the whole history with no, so that there is a plan. */
export async function planFor(service: Service, clinicId: string, ref: string) {
  const { visit, patient } = await visitAndPatient(service, clinicId, ref)
  await inFlow(service, clinicId, (flow) =>
    takeAnswers(flow, visit, patient, noToAll(flow.rules.softening), { byText: true }),
  )
  return { visit, patient }
}

export const sendDue = (service: Service) => runJobs(service, [deliver])

/** What stands after /p/ in the newest message of this kind to the patient, sent or not. */
export async function linkIn(
  service: Service,
  clinicId: string,
  patientId: string,
  kind: string,
  day?: string,
): Promise<string> {
  const found = (await messagesOf(service, clinicId))
    .filter((one) => one.patientId === patientId && one.kind === kind && (!day || one.day === day))
    .at(-1)
  const text = /\/p\/([\w.-]+)/.exec(found?.body ?? '')?.[1]
  if (!text) throw new Error(`no link in ${kind}`)
  return text
}

export interface Telephone {
  get(path?: string): Promise<{ status: number; html: string; response: Response }>
  /** Sends the form of the page seen last (its own id with it), with these fields. */
  post(
    fields: Record<string, string | string[]>,
    headers?: Record<string, string>,
  ): Promise<{ status: number; html: string; response: Response }>
  giveYear(year: string): Promise<{ status: number; html: string; response: Response }>
}

export function telephone(app: App, text: string): Telephone {
  let cookie = ''
  let formId = ''
  const take = async (response: Response) => {
    const html = await response.text()
    for (const line of response.headers.getSetCookie()) cookie = line.split(';')[0] ?? ''
    formId = /name="form" value="([^"]+)"/.exec(html)?.[1] ?? formId
    return { status: response.status, html, response }
  }
  const self: Telephone = {
    get: async (path = '') =>
      take(await app.request(`/p/${text}${path}`, { headers: { ...(cookie && { cookie }) } })),
    post: async (fields, headers = {}) => {
      const body = new URLSearchParams({ form: formId })
      for (const [name, value] of Object.entries(fields)) {
        if (name === 'form') body.delete('form')
        for (const one of [value].flat()) body.append(name, one)
      }
      return take(
        await app.request(`/p/${text}`, {
          method: 'POST',
          headers: {
            'content-type': 'application/x-www-form-urlencoded',
            'sec-fetch-site': 'same-origin',
            ...(cookie && { cookie }),
            ...headers,
          },
          body: body.toString(),
        }),
      )
    },
    giveYear: async (year) => {
      const given = await self.post({ do: 'fact', year })
      return given.status === 303 ? await self.get() : given
    },
  }
  return self
}

export const at = (text: string): Temporal.Instant => Temporal.Instant.from(text)

/** The words of a page without its tags. */
export const wordsOf = (html: string): string =>
  html
    .replace(/<head>[\s\S]*<\/head>/, ' ')
    .replace(/<[^>]+>/g, ' ')
    .replace(/&#39;/g, "'")
    .replace(/&amp;/g, '&')
    .replace(/\s+/g, ' ')
