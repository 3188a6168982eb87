import { expect, test } from 'vitest'
import { route } from '../../src/access/route.ts'
import { endSessionsOf } from '../../src/access/sessions.ts'
import { deskItem } from '../../src/database/schema.ts'
import { inClinic } from '../../src/database/service.ts'
import { CHANNEL, closeLive, streamChanges } from '../../src/faces/shared/live.ts'
import { testDatabase } from '../support/database.ts'
import { type Person, webTest } from '../support/web.ts'

const { service, clinicId, owner: db, addClinic } = await testDatabase()
const web = webTest(service)
route(web.app, 'get', '/test/live', 'account', streamChanges(40))

let count = 0
const change = (clinic: string) =>
  inClinic(service, clinic, async ({ tx, now }) => {
    for (let i = 0; i < 3; i += 1) {
      count += 1
      await tx.insert(deskItem).values({ clinicId: clinic, dedupe: `d${count}`, kind: 'test', openedAt: now })
    }
  })

/** Opens the stream; `next` waits for the next event that is no ping. */
async function listen(person: Person) {
  const answer = await person.get('/test/live')
  expect(answer.headers.get('content-type')).toContain('text/event-stream')
  expect(answer.headers.get('cache-control')).toMatch(/no-store|no-cache/)
  const reader = (answer.body as ReadableStream<Uint8Array>)
    .pipeThrough(new TextDecoderStream() as ReadableWritablePair<string, Uint8Array>)
    .getReader()
  const raw: string[] = []
  let rest = ''
  const read = async (): Promise<string> => {
    for (;;) {
      const end = rest.indexOf('\n\n')
      if (end >= 0) {
        const event = rest.slice(0, end)
        rest = rest.slice(end + 2)
        raw.push(event)
        const name = /event: (\w+)/.exec(event)?.[1] ?? ''
        if (name !== 'ping') return `${name} ${/data: ?(.*)/.exec(event)?.[1] ?? ''}`.trim()
        continue
      }
      const { value, done } = await reader.read()
      if (done) return 'closed'
      rest += value
    }
  }
  const within = (ms: number) =>
    Promise.race([read(), new Promise<string>((resolve) => setTimeout(() => resolve('nothing'), ms))])
  return { next: () => within(5000), quiet: () => within(400), raw, stop: () => reader.cancel() }
}

test('a change is told once a transaction, with the name of the table alone, to its own clinic only', async () => {
  const other = await addClinic('other')
  const here = await listen(await web.staff('reception', clinicId))
  const there = await listen(await web.staff('reception', other))
  expect(await here.next()).toBe('again')
  expect(await there.next()).toBe('again')
  await change(clinicId)
  expect(await here.next()).toBe('change desk_item')
  expect(await there.quiet()).toBe('nothing')
  expect(here.raw.join('\n')).not.toMatch(/[0-9a-f]{8}-/)
  await Promise.all([here.stop(), there.stop()])
})

test('after the line to the database broke, the page is told to read again', async () => {
  const here = await listen(await web.staff('reception', clinicId))
  expect(await here.next()).toBe('again')
  const cut = await db`select pg_terminate_backend(pid) from pg_stat_activity
    where datname = current_database() and query ilike ${`%listen%${CHANNEL}%`} and pid <> pg_backend_pid()`
  expect(cut.length).toBeGreaterThan(0)
  expect(await here.next()).toBe('again')
  await change(clinicId)
  expect(await here.next()).toBe('change desk_item')
  await here.stop()
})

test('a stream ends with its session, does not keep it alive, and ends when the service stops', async () => {
  const person = await web.staff('reception', clinicId)
  const here = await listen(person)
  expect(await here.next()).toBe('again')
  await inClinic(service, clinicId, (scope) => endSessionsOf(scope, person.staffId))
  expect(await here.next()).toBe('ended')
  expect(await here.next()).toBe('closed')
  const second = await listen(await web.staff('reception', clinicId))
  expect(await second.next()).toBe('again')
  closeLive(service)
  expect(await second.next()).toBe('ended')
  expect(await second.next()).toBe('closed')
})
