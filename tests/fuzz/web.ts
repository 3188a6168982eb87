/** Sends hostile requests through the whole web app on a real database, with good ones in between. */
import { createHash } from 'node:crypto'
import { may, ROLES, type Role } from '../../src/access/permissions.ts'
import { type RouteEntry, routesOf } from '../../src/access/route.ts'
import type { Service } from '../../src/database/service.ts'
import { type Person, webTest } from '../support/web.ts'
import {
  hostileBody,
  hostileHeaders,
  hostileSegment,
  hostileText,
  nearBody,
  type Random,
  seeded,
} from './hostile.ts'

export interface FuzzOptions {
  service: Service
  clinicId: string
  cases: number
  seed: number
  /** Makes what stands after /p/ in addresses that patients have, as often as it is asked. */
  newLinks?: () => Promise<string[]>
  progress?: (done: number) => void
}

export interface FuzzReport {
  cases: number
  seed: number
  /** How often each status was answered. */
  status: Record<string, number>
  /** Routes that a hostile request went to. */
  routes: number
  good: { sent: number; answered: number }
  slowestMs: number
  /** Milliseconds spent by route, the dearest first. */
  dearest: [string, number, number][]
  faults: { case: number; route: string; status: number | string; what: string }[]
}

interface Form {
  entry: RouteEntry
  path: string
  fields: [string, string[]][]
}

/** Somebody who may go there; undefined where everybody may. */
const roleFor = ({ gate }: RouteEntry): Role | undefined =>
  gate === 'public' || gate === 'patient-link' ? undefined : ROLES.find((one) => may(one, gate))

const streams = new Set(['/live'])
const uuid = /[0-9a-f]{8}(?:-[0-9a-f]{4}){3}-[0-9a-f]{12}/g

interface PageForm {
  action: string
  /** Each field with the values that the page offers for it. */
  fields: [string, string[]][]
}

const attribute = (tag: string, name: string) =>
  new RegExp(`\\s${name}="([^"]*)"`).exec(tag)?.[1]?.replaceAll('&amp;', '&').replaceAll('&quot;', '"')

/** The forms of a page: where they go and what they offer. */
export function formsOf(text: string): PageForm[] {
  return [...text.matchAll(/<form([^>]*)>([\s\S]*?)<\/form>/g)].map(([, form = '', inner = '']) => {
    const fields = new Map<string, string[]>()
    let select = ''
    for (const [tag, kind] of inner.matchAll(/<(input|textarea|select|option|button)[^>]*>/g)) {
      if (kind === 'select') select = attribute(tag, 'name') ?? ''
      const name = kind === 'option' ? select : attribute(tag, 'name')
      if (!name) continue
      const value = attribute(tag, 'value')
      fields.set(name, [...(fields.get(name) ?? []), ...(value === undefined ? [] : [value])])
    }
    return { action: attribute(form, 'action') ?? '', fields: [...fields] }
  })
}

/** What a person might write into a field that offers nothing. */
function plausible(random: Random, name: string): string {
  if (/mail/.test(name)) return `one${random.below(1000)}@clinic.example`
  if (/mobile|phone/.test(name)) return `07700900${100 + random.below(800)}`
  if (/year/.test(name)) return '1944'
  if (/day|date/.test(name)) return '2026-03-09'
  if (/time|start|at$/.test(name)) return random.pick(['10:00', '2026-03-09T10:00'])
  if (/minutes|number|order|doses|pain/i.test(name)) return String(random.below(20))
  return random.pick(['yes', 'no', 'No pain, thank you', 'my ear is bleeding', 'Hazel'])
}

/** Somebody with a telephone: keeps every cookie that a patient's page gives. */
async function readerOf(web: ReturnType<typeof webTest>): Promise<Person> {
  const person = web.nobody()
  const jar = new Map<string, string>()
  const take = person.take
  person.take = (answer) => {
    take(answer)
    for (const line of answer.headers.getSetCookie()) {
      const [name, value] = (line.split(';')[0] ?? '').split('=') as [string, string]
      if (!/foreaft$/.test(name)) jar.set(name, value)
    }
    person.cookie = [...jar].map(([name, value]) => `${name}=${value}`).join('; ')
  }
  return person
}

export async function fuzzWeb(options: FuzzOptions): Promise<FuzzReport> {
  const { service, clinicId, cases, seed, newLinks = async () => [], progress = () => {} } = options
  const random = seeded(seed)
  const web = webTest(service)
  const routes = routesOf(web.app).filter((entry) => !streams.has(entry.path))
  const spent = new Map<string, [ms: number, times: number]>()
  const report: FuzzReport = {
    cases: 0,
    seed,
    status: {},
    routes: 0,
    good: { sent: 0, answered: 0 },
    slowestMs: 0,
    dearest: [],
    faults: [],
  }
  const people = new Map<string, Person>()
  const known: string[] = []
  let patientLinks: string[] = []
  let telephone = await readerOf(web)
  let forms: Form[] = []

  // Some cases end sessions or remove people: everybody comes in anew from time to time.
  const renew = async () => {
    for (const role of ROLES)
      people.set(role, await web.staff(role, clinicId, hostileText(random).slice(0, 60) || 'x'))
    patientLinks = await newLinks()
    telephone = await readerOf(web)
    forms = await findForms()
  }
  const matching = (path: string) =>
    routes.find(
      (entry) =>
        entry.method === 'post' &&
        new RegExp(`^${entry.path.replaceAll(/:\w+/g, '[^/]+')}$`).test(path.split('?')[0] as string),
    )
  async function findForms(): Promise<Form[]> {
    const found = new Map<string, Form>()
    const look = async (person: Person, path: string) => {
      const text = await (await person.get(path)).text()
      for (const id of text.match(uuid) ?? []) if (known.length < 400 && !known.includes(id)) known.push(id)
      for (const { action, fields } of formsOf(text)) {
        const path = action.startsWith('/') ? action : ''
        const entry = matching(path)
        const key = createHash('sha1')
          .update(`${entry?.path} ${fields.map(([name]) => name)}`)
          .digest('hex')
        if (entry && !found.has(key)) found.set(key, { entry, path, fields })
      }
    }
    for (const entry of routes.filter((one) => one.method === 'get')) {
      const role = roleFor(entry)
      const person = role ? (people.get(role) as Person) : telephone
      const ids = entry.path.includes(':')
        ? (entry.gate === 'patient-link' ? patientLinks : known).slice(0, 25)
        : ['']
      for (const id of ids) await look(person, entry.path.replaceAll(/:\w+/g, id))
    }
    for (const link of patientLinks) await look(telephone, `/p/${link}`)
    return [...found.values()]
  }

  const personFor = (entry: RouteEntry): Person => {
    const role = roleFor(entry)
    if (!role) return entry.gate === 'patient-link' ? telephone : web.nobody()
    return random.chance(0.05) ? web.nobody() : (people.get(role) as Person)
  }

  await renew()
  for (let n = 0; n < cases; n += 1) {
    if (n > 0 && n % 2000 === 0) await renew()
    const form = random.chance(0.6) && forms.length > 0 ? random.pick(forms) : undefined
    const entry = form?.entry ?? random.pick(routes)
    const person = personFor(entry)
    const path =
      form && random.chance(0.8)
        ? form.path
        : entry.path.replaceAll(/:\w+/g, () => hostileSegment(random, known))
    const query =
      random.chance(0.2) && entry.method === 'get'
        ? `?${random.pick(['day', 'next', 'clinic', 'id', 'q', 'v', '__proto__'])}=${encodeURIComponent(hostileText(random).toWellFormed()).slice(0, 2000)}`
        : ''
    const fields: [string, string][] = (form?.fields ?? []).map(([name, offered]) => [
      name,
      name === 'csrf'
        ? person.csrf()
        : (offered.length > 0 && random.pick(offered)) || plausible(random, name),
    ])
    if (!form && random.chance(0.8)) fields.push(['csrf', person.csrf()])
    // Half of the forms are right but for one field or two, so that they get as far as what acts on them.
    const near = form && random.chance(0.6)
    const body = near ? nearBody(random, fields, known) : hostileBody(random, fields)
    const headers: Record<string, string> = {
      host: '127.0.0.1:4180',
      'sec-fetch-site': random.chance(0.95) ? 'same-origin' : random.pick(['cross-site', 'none', '']),
      ...(person.cookie && { cookie: person.cookie }),
      ...(body.type !== undefined && entry.method === 'post' && { 'content-type': body.type }),
      ...(random.chance(0.3) && person.cookie && { 'x-csrf': person.csrf() }),
      ...hostileHeaders(random),
    }
    const began = performance.now()
    const logged = web.logged.length
    let status: number | string
    let what = ''
    try {
      const request = new Request(`http://127.0.0.1:4180${path}${query}`, {
        method: entry.method.toUpperCase(),
        headers,
        ...(entry.method === 'post' && { body: new Uint8Array(body.content) }),
      })
      const answer = await web.app.fetch(request)
      status = answer.status
      person.take(answer)
      await answer.arrayBuffer()
    } catch (error) {
      // What the platform itself refuses to make a request of never reaches the service.
      if (error instanceof TypeError && /header|URL|ByteString|parse/i.test(error.message))
        status = 'no request'
      else {
        status = 'thrown'
        what = error instanceof Error ? (error.stack ?? error.message) : String(error)
      }
    }
    const ms = performance.now() - began
    report.slowestMs = Math.max(report.slowestMs, ms)
    const name = `${entry.method} ${entry.path}`
    const [total, times] = spent.get(name) ?? [0, 0]
    spent.set(name, [total + ms, times + 1])
    report.status[status] = (report.status[status] ?? 0) + 1
    const failed = typeof status === 'number' ? status >= 500 : status === 'thrown'
    if (failed || ms > 10_000) {
      const line = web.logged.slice(logged).find((one) => one.event === 'request failed')
      what ||= JSON.stringify(line?.fields?.error ?? `${ms} ms`)
      report.faults.push({ case: n, route: name, status, what })
    }
    web.logged.length = 0
    report.cases += 1
    // Some cases end a session: whoever it was comes in again.
    for (const role of ROLES)
      if (people.get(role)?.cookie === '') people.set(role, await web.staff(role, clinicId))
    if (n % 200 === 0) {
      report.good.sent += 1
      const answer = await (await web.staff('owner', clinicId)).get('/staff/people')
      if (answer.status === 200) report.good.answered += 1
    }
    if (n % 5000 === 0) progress(n)
  }
  report.routes = spent.size
  report.dearest = [...spent]
    .map(([name, [ms, times]]): [string, number, number] => [name, Math.round(ms), times])
    .sort((a, b) => b[1] - a[1])
    .slice(0, 8)
  return report
}
