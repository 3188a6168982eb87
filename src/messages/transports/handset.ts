/** The demo's telephone: the stored message is what the handset page shows, and nothing leaves the house. */
import type { Transport } from './transport.ts'

export const handset: Transport = {
  name: 'handset',
  requiresSignature: false,
  send: async ({ id }) => ({ ref: `handset-${id}`, delivered: true }),
}
