/** The web app in process, and people who use it: each with a cookie of their own, like a browser. */

import type { App } from '../../src/access/env.ts'
import type { Role } from '../../src/access/permissions.ts'
import { csrfOf } from '../../src/access/sessions.ts'
import { enter } from '../../src/access/sign-in.ts'
import { addStaff } from '../../src/access/staff.ts'
import { type AppOptions, createApp } from '../../src/app.ts'
import { readConfig } from '../../src/config.ts'
import { inClinic, type Service } from '../../src/database/service.ts'
import type { LogFields } from '../../src/log.ts'

export interface Person {
  staffId: string
  cookie: string
  /** A GET as a browser sends it. */
  get(path: string, headers?: Record<string, string>): Promise<Response>
  /** A form from one of our own pages, with its token. */
  post(path: string, form?: Record<string, string>, headers?: Record<string, string>): Promise<Response>
  json(path: string, body: unknown, headers?: Record<string, string>): Promise<Response>
  csrf(): string
  /** Keeps or drops the cookie as this answer says. */
  take(response: Response): void
}

export interface WebTest {
  app: App
  /** Every line that the service logged. */
  logged: { level: string; event: string; fields: LogFields | undefined }[]
  nobody(): Person
  /** Somebody of this role, just signed in. */
  staff(role: Role, clinicId: string, name?: string): Promise<Person>
}

let count = 0

export function webTest(service: Service, options: Partial<AppOptions> = {}): WebTest {
  const logged: WebTest['logged'] = []
  const app = createApp({
    service,
    config: readConfig({}),
    log: (level, event, fields) => void logged.push({ level, event, fields }),
    ...options,
  })
  const person = (staffId: string, cookie: string): Person => {
    const self: Person = {
      staffId,
      cookie,
      take: (response) => {
        const given = response.headers.getSetCookie().find((line) => /^(__Host-)?foreaft=/.test(line))
        if (given) self.cookie = /Max-Age=0/.test(given) ? '' : (given.split(';')[0] ?? '')
      },
      csrf: () => csrfOf(self.cookie.split('.').at(-1) ?? ''),
      get: (path, headers = {}) => send('GET', path, { 'sec-fetch-site': 'none', ...headers }),
      post: (path, form = {}, headers = {}) =>
        send(
          'POST',
          path,
          {
            'sec-fetch-site': 'same-origin',
            'content-type': 'application/x-www-form-urlencoded',
            ...headers,
          },
          new URLSearchParams({ csrf: self.csrf(), ...form }).toString(),
        ),
      json: (path, body, headers = {}) =>
        send(
          'POST',
          path,
          { 'sec-fetch-site': 'same-origin', 'content-type': 'application/json', ...headers },
          JSON.stringify(body),
        ),
    }
    async function send(method: string, path: string, headers: Record<string, string>, body?: string) {
      const url = new URL(path, 'http://127.0.0.1:4180')
      const response = await app.request(url.pathname + url.search, {
        method,
        headers: { host: '127.0.0.1:4180', ...(self.cookie && { cookie: self.cookie }), ...headers },
        ...(body !== undefined && { body }),
      })
      self.take(response)
      return response
    }
    return self
  }
  return {
    app,
    logged,
    nobody: () => person('', ''),
    staff: async (role, clinicId, name = `Person ${++count}`) => {
      const { staffId, token } = await inClinic(service, clinicId, async (scope) => {
        count += 1
        const staffId = await addStaff(scope, { name, email: `person${count}@clinic.example`, role })
        return { staffId, token: await enter(scope, staffId, 'test', 'Firefox on Linux') }
      })
      const secure = service.publicUrl.startsWith('https:')
      return person(staffId, `${secure ? '__Host-' : ''}foreaft=${clinicId}.${token}`)
    },
  }
}

/** A form as multipart with one file. */
export function fileForm(fields: Record<string, string>, file: { name: string; content: string }): FormData {
  const form = new FormData()
  for (const [key, value] of Object.entries(fields)) form.set(key, value)
  form.set('file', new File([file.content], file.name, { type: 'text/csv' }))
  return form
}
