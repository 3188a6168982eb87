/**
 * How fast the outbox drains beside a plain loop in the same minute on the same server: durable commits, a
 * transport that does nothing, two workers. The plain loop records one constant outcome and knows no
 * patients, plans, encryption, audit, row security or retries: it is a ceiling. Read the ratios; on a shared
 * machine the figures themselves move by tens of per cent.
 *
 *   npm run bench:outbox -- [--messages 20000] [--rounds 5] [--history 200000]
 */
import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { parseArgs } from 'node:util'
import postgres, { type Sql } from 'postgres'
import { type ClinicSettings, createClinic } from '../../src/clinic.ts'
import { drivenClock } from '../../src/clock.ts'
import { startEmbedded } from '../../src/database/embedded.ts'
import { migrate } from '../../src/database/migrate.ts'
import { inClinic, openOwner, openService, type Service } from '../../src/database/service.ts'
import { parseMasterKeys } from '../../src/database/vault.ts'
import { deliverDue } from '../../src/messages/outbox.ts'
import { claimDue } from '../../src/messages/outbox-store.ts'
import { queueMessage } from '../../src/messages/store.ts'
import type { Transport } from '../../src/messages/transports/transport.ts'

const { values } = parseArgs({
  options: {
    messages: { type: 'string', default: '20000' },
    rounds: { type: 'string', default: '5' },
    history: { type: 'string', default: '200000' },
  },
})
const MESSAGES = Number(values.messages)
const ROUNDS = Number(values.rounds)
const HISTORY = Number(values.history)

const NOON = '2026-03-02T12:00:00Z'
const open = [{ from: '09:00', to: '17:00' }]
const settings: ClinicSettings = {
  phone: '01632 960123',
  textRelay: '18001 01632 960123',
  emergencyNumber: '999',
  urgentAdvice: '111',
  crisisNumber: '01632 960199',
  openingHours: {
    zone: 'Europe/London',
    week: { monday: open, tuesday: [], wednesday: [], thursday: [], friday: [], saturday: [], sunday: [] },
    closed: [],
  },
  quietHours: { from: '20:00', to: '08:00' },
  transport: 'handset',
  region: 'GB',
  language: 'en',
}

const noop: Transport = {
  name: 'handset',
  requiresSignature: false,
  send: async ({ id }) => ({ ref: id }),
}

const median = (numbers: number[]): number =>
  [...numbers].sort((x, y) => x - y)[Math.floor(numbers.length / 2)] as number

async function timed(work: () => Promise<unknown>): Promise<number> {
  const begun = performance.now()
  await work()
  return (performance.now() - begun) / 1000
}

// The plain loop.

async function fillPlain(owner: Sql): Promise<void> {
  await owner.unsafe(`
    drop table if exists plain_message;
    create table plain_message (
      clinic_id uuid not null, id uuid primary key default uuidv7(), patient_id uuid not null, body text not null,
      due_at timestamptz not null, status text not null default 'queued', attempts int not null default 0,
      provider_ref text, claimed_at timestamptz, sent_at timestamptz, last_error text,
      created_at timestamptz not null default now());
    create index plain_message_due on plain_message (due_at) where status = 'queued';
    insert into plain_message (clinic_id, patient_id, body, due_at)
      select uuidv7(), uuidv7(), repeat('x', 160), now() - n * interval '1 ms' from generate_series(1, ${MESSAGES}) n`)
  await settle(owner, 'plain_message')
}

async function settle(owner: Sql, table: string): Promise<void> {
  await owner.unsafe(`vacuum analyze ${table}`)
  await owner.unsafe('checkpoint')
}

async function drainPlain(url: string, form: 'in' | 'any', batch: number): Promise<void> {
  const pick = `select id from plain_message where status = 'queued' and due_at <= now()
    order by due_at limit ${batch} for update skip locked`
  const chosen = form === 'in' ? `in (${pick})` : `= any(array(${pick}))`
  const worker = async () => {
    const sql = postgres(url, { max: 1, onnotice: () => {} })
    for (;;) {
      const rows = await sql.unsafe<{ id: string }[]>(
        `update plain_message set status = 'sending', attempts = attempts + 1, claimed_at = now()
         where id ${chosen} returning id, clinic_id, patient_id, body`,
        [],
        { prepare: true },
      )
      if (rows.length === 0) break
      const ids = rows.map(({ id }) => id)
      await sql`update plain_message set status = 'sent', provider_ref = 'ref', sent_at = now()
        where id = any(${ids}::uuid[])`
    }
    await sql.end()
  }
  await Promise.all([worker(), worker()])
}

// The outbox.

async function fillOutbox(owner: Sql, service: Service, clinicId: string, sent = 0): Promise<void> {
  await owner.unsafe('truncate message, patient cascade')
  const { to, body, blind } = await inClinic(service, clinicId, async ({ vault }) => ({
    to: vault.seal('+447700900123'),
    body: vault.seal('x'.repeat(160)),
    blind: vault.blind('+447700900123'),
  }))
  await owner`
    insert into patient (clinic_id, identity_blind, name_sealed, mobile_sealed, mobile_blind, created_at, updated_at)
    select ${clinicId}::uuid, int4send(n), ${to}, ${to}, ${blind}, ${NOON}::timestamptz, ${NOON}::timestamptz
    from generate_series(1, 1000) n`
  for (const [status, count] of [
    ['sent', sent],
    ['queued', MESSAGES],
  ] as const) {
    await owner`
      with p as (select array_agg(patient_id) as ids from patient)
      insert into message (clinic_id, dedupe, patient_id, kind, channel, to_sealed, body_sealed, segments, due_at,
        expires_at, status, created_at)
      select ${clinicId}::uuid, ${status}::text || n, p.ids[1 + n % 1000], 'visit-reminder', 'text', ${to}, ${body}, 1,
        ${NOON}::timestamptz - n * interval '1 ms', ${NOON}::timestamptz + interval '1 day', ${status},
        ${NOON}::timestamptz
      from p, generate_series(1, ${count}) n`
  }
  await settle(owner, 'message')
}

async function drainOutbox(service: Service, clinicId: string, batch: number, workers = 2): Promise<void> {
  const { sent } = await deliverDue(
    service,
    clinicId,
    { handset: noop },
    { isSigned: async () => false, onFailed: async () => {}, batch, workers, concurrency: batch },
  )
  if (sent !== MESSAGES) throw new Error(`${sent} of ${MESSAGES} were sent.`)
}

async function claimTimes(service: Service, clinicId: string): Promise<number[]> {
  const times: number[] = []
  for (let i = 0; i < 60; i += 1) {
    const seconds = await timed(() =>
      inClinic(service, clinicId, (scope) =>
        claimDue(scope, {
          transport: 'handset',
          limit: 100,
          leaseUntil: scope.now.add({ seconds: 60 }),
          urgentOnly: false,
        }),
      ),
    )
    times.push(seconds * 1000)
  }
  return times
}

async function enqueue(service: Service, clinicId: string): Promise<number> {
  const count = 2000
  const patientId = clinicId
  const seconds = await timed(async () => {
    for (let i = 0; i < count; i += 1000) {
      await inClinic(service, clinicId, async (scope) => {
        for (let n = i; n < i + 1000; n += 1) {
          await queueMessage(scope, {
            dedupe: `enqueue-${performance.now()}-${n}`,
            patientId,
            kind: 'visit-reminder',
            channel: 'text',
            to: '+447700900123',
            body: 'x'.repeat(160),
            segments: 1,
            dueAt: scope.now,
            expiresAt: scope.now.add({ hours: 24 }),
          })
        }
      })
    }
  })
  return count / seconds
}

const folder = mkdtempSync(join(tmpdir(), 'foreaft-bench-'))
const server = await startEmbedded({ folder })
try {
  const url = server.url()
  const owner = openOwner(url)
  await migrate(owner)
  const masters = parseMasterKeys(`b1:${Buffer.alloc(32, 9).toString('base64')}`)
  const service = openService({ url, clock: drivenClock(NOON), masters, publicUrl: 'http://127.0.0.1:4180' })
  const clinicId = await createClinic(owner, masters, service.clock.now(), {
    slug: 'bench',
    name: 'Brackwater Ear Rooms',
    zone: 'Europe/London',
    settings,
  })

  interface Contender {
    name: string
    fill(): Promise<void>
    drain(): Promise<void>
  }
  const plain = (form: 'in' | 'any', batch: number): Contender => ({
    name: `plain "${form}" ${batch}`,
    fill: () => fillPlain(owner),
    drain: () => drainPlain(url, form, batch),
  })
  const ours = (batch: number, workers = 2): Contender => ({
    name: `outbox ${batch}${workers === 2 ? '' : ` x${workers}`}`,
    fill: () => fillOutbox(owner, service, clinicId),
    drain: () => drainOutbox(service, clinicId, batch, workers),
  })
  const contenders = [plain('in', 100), plain('any', 500), ours(50), ours(100), ours(500), ours(100, 4)]
  const rates = new Map<string, number[]>(contenders.map(({ name }) => [name, []]))
  for (let round = -1; round < ROUNDS; round += 1) {
    const order = contenders.map((_, i) => contenders[(i + round + 1) % contenders.length] as Contender)
    for (const { name, fill, drain } of order) {
      await fill()
      const seconds = await timed(drain)
      // The first round warms up.
      if (round >= 0) rates.get(name)?.push(MESSAGES / seconds)
    }
  }
  const rate = (name: string) => median(rates.get(name) ?? [])
  console.log(`${MESSAGES} messages, ${ROUNDS} rounds, 2 workers where nothing else is said`)
  for (const [name, all] of rates) {
    const [low, high] = [Math.min(...all), Math.max(...all)].map(Math.round)
    console.log(`${name.padEnd(16)} ${String(Math.round(median(all))).padStart(7)}/s  [${low} to ${high}]`)
  }
  const ratio = (of: string, to: string, aim: string) =>
    console.log(`${of} : ${to}  ${(rate(of) / rate(to)).toFixed(2)}  (aim ${aim})`)
  ratio('outbox 100', 'plain "in" 100', '0.70 or more')
  ratio('outbox 500', 'plain "any" 500', '0.55 or more')
  ratio('outbox 100 x4', 'outbox 100', '1.00 or more')

  await fillOutbox(owner, service, clinicId, 0)
  const fresh = median(await claimTimes(service, clinicId))
  await fillOutbox(owner, service, clinicId, HISTORY)
  const aged = median(await claimTimes(service, clinicId))
  console.log(
    `claim of 100: ${fresh.toFixed(2)} ms; with ${HISTORY} sent ones kept ${aged.toFixed(2)} ms: ${(aged / fresh).toFixed(2)}  (aim 1.25 or less)`,
  )
  console.log(`queued one by one, 1,000 a transaction: ${Math.round(await enqueue(service, clinicId))}/s`)
  await service.close()
  await owner.end()
} finally {
  await server.stop()
  rmSync(folder, { recursive: true, force: true })
}
