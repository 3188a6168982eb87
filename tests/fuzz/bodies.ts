/** Hostile bodies against what reads bodies: forms, JSON and CSV, without a database, with good ones in between. */
import { Readable } from 'node:stream'
import type { Hono } from 'hono'
import { z } from 'zod'
import type { App, Env } from '../../src/access/env.ts'
import { route } from '../../src/access/route.ts'
import { createApp } from '../../src/app.ts'
import { readConfig } from '../../src/config.ts'
import type { Service } from '../../src/database/service.ts'
import { readForm } from '../../src/faces/shared/forms.ts'
import { readJson } from '../../src/faces/shared/json.ts'
import { readVisits } from '../../src/visits/csv.ts'
import { hostileBody, hostileText, type Random, seeded } from './hostile.ts'

export interface BodyReport {
  cases: number
  seed: number
  status: Record<string, number>
  good: { sent: number; answered: number }
  faults: { case: number; path: string; status: number | string; what: string }[]
}

const schema = z.object({
  name: z.string().trim().min(1).max(100),
  email: z.email().max(254).optional(),
  when: z.iso.datetime().optional(),
  count: z.coerce.number().int().min(0).max(5).optional(),
  choice: z.enum(['left', 'right', 'both']).optional(),
})

const context = { zone: 'Europe/London', region: 'GB', language: 'en' }

/** The real app with three more pages, which answer with what they read. */
function appOf(faults: string[]): App {
  const service = { publicUrl: 'http://127.0.0.1:4180' } as Service
  const app = createApp({
    service,
    config: readConfig({}),
    log: (_level, _event, fields) => void faults.push(JSON.stringify(fields?.error)),
  }) as Hono<Env>
  route(app, 'post', '/fuzz/form', 'public', async (c) => {
    const form = await readForm(c, schema)
    return form.ok ? c.json(form.data) : c.json(form.errors, 422)
  })
  route(app, 'post', '/fuzz/json', 'public', async (c) => c.json(await readJson(c, schema)))
  route(app, 'post', '/fuzz/csv', 'public', async (c) => {
    const rows: string[] = []
    let wrong = 0
    const input = Readable.from([Buffer.from(await c.req.arrayBuffer())])
    for await (const item of readVisits(input, context)) {
      if ('row' in item) rows.push(item.row.reference)
      else wrong += 1
    }
    return c.json({ rows, wrong })
  })
  return app
}

const HEADER = 'reference,name,mobile,email,birth_date,start,minutes,practitioner,purpose,ears,status'

/** A good request and what its answer must hold. */
function goodOne(random: Random, n: number): { path: string; type: string; body: string; holds: string } {
  const name = `Good ${n} ${random.pick(['ä', "O'Dell", '"x"', '=1', '李'])}`
  const kind = random.below(3)
  if (kind === 0) {
    const body = new URLSearchParams({ name, count: '3' }).toString()
    return { path: 'form', type: 'application/x-www-form-urlencoded', body, holds: JSON.stringify(name) }
  }
  if (kind === 1) {
    return {
      path: 'json',
      type: 'application/json',
      body: JSON.stringify({ name }),
      holds: JSON.stringify(name),
    }
  }
  const quoted = `"${name.replaceAll('"', '""')}"`
  const row = `G${n},${quoted},07700 900101,,1944-05-06,2026-03-09T10:00,30,Ottoline Marsh,removal,both,`
  return { path: 'csv', type: 'text/csv', body: `${HEADER}\r\n${row}\r\n`, holds: `"G${n}"` }
}

export async function fuzzBodies(
  cases: number,
  seed: number,
  progress: (done: number) => void = () => {},
): Promise<BodyReport> {
  const random = seeded(seed)
  const logged: string[] = []
  const app = appOf(logged)
  const report: BodyReport = { cases, seed, status: {}, good: { sent: 0, answered: 0 }, faults: [] }
  const send = (path: string, type: string | undefined, body: Uint8Array<ArrayBuffer> | string) =>
    app.fetch(
      new Request(`http://127.0.0.1:4180/fuzz/${path}`, {
        method: 'POST',
        headers: {
          host: '127.0.0.1:4180',
          'sec-fetch-site': 'same-origin',
          ...(type && { 'content-type': type }),
        },
        body,
      }),
    )
  for (let n = 0; n < cases; n += 1) {
    const path = random.pick(['form', 'json', 'csv'])
    const fields = Object.keys(schema.shape).map((name): [string, string] => [name, hostileText(random)])
    const body = hostileBody(random, fields)
    // Each page mostly gets its own kind, so that more than the first check is reached.
    const type =
      path === 'csv' || body.type === undefined || random.chance(0.9)
        ? body.type
        : 'application/json; charset=utf-7'
    let status: number | string
    let what = ''
    try {
      const answer = await send(path, type, new Uint8Array(body.content))
      status = answer.status
      await answer.arrayBuffer()
    } catch (error) {
      status = error instanceof TypeError && /header/i.test(error.message) ? 'no request' : 'thrown'
      what = error instanceof Error ? (error.stack ?? '') : String(error)
    }
    report.status[status] = (report.status[status] ?? 0) + 1
    if (status === 'thrown' || (typeof status === 'number' && status >= 500)) {
      report.faults.push({ case: n, path, status, what: what || (logged.at(-1) ?? '') })
    }
    logged.length = 0
    if (n % 50 === 0) {
      const good = goodOne(random, n)
      report.good.sent += 1
      const answer = await send(good.path, good.type, good.body)
      if (answer.status === 200 && (await answer.text()).includes(good.holds)) report.good.answered += 1
    }
    if (n % 50_000 === 0) progress(n)
  }
  return report
}
