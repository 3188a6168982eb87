/** Every transport by the name that a clinic's settings give. */
import { handset } from './handset.ts'
import { spoolTransport } from './spool.ts'
import type { Transports } from './transport.ts'

export const openTransports = ({ spool }: { spool: string }): Transports => ({
  handset,
  spool: spoolTransport(spool),
})
