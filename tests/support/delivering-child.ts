/** A worker in a process of its own, to be killed: sends what is due by the spool until it is told to stop. */
import { setTimeout as sleep } from 'node:timers/promises'
import { Temporal } from 'temporal-polyfill'
import { openService } from '../../src/database/service.ts'
import { parseMasterKeys } from '../../src/database/vault.ts'
import { deliverDue, tidyOutbox } from '../../src/messages/outbox.ts'
import { spoolTransport } from '../../src/messages/transports/spool.ts'
import type { Transport } from '../../src/messages/transports/transport.ts'

const [url, keys, clinicId, spool, start] = process.argv.slice(2) as [string, string, string, string, string]
const begun = performance.now()
const service = openService({
  url,
  masters: parseMasterKeys(keys),
  publicUrl: 'http://127.0.0.1:4180',
  clock: {
    now: () => Temporal.Instant.from(start).add({ milliseconds: Math.round(performance.now() - begun) }),
  },
})
const spooled = spoolTransport(spool)
// A little slower than the file system, so that a kill falls among sends.
const slow: Transport = {
  ...spooled,
  send: async (message, signal) => {
    await sleep(2)
    const accepted = await spooled.send(message, signal)
    await sleep(2)
    return accepted
  },
}
const options = {
  isSigned: async () => true,
  onFailed: (_: unknown, { why }: { why: string }) => Promise.reject(new Error(`Given up: ${why}`)),
  batch: 10,
}
process.stdout.write('ready\n')
for (;;) {
  await tidyOutbox(service, clinicId, options)
  await deliverDue(service, clinicId, { spool: slow }, options)
  await sleep(5)
}
