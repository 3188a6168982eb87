/** One step of several in a transaction: what it may not do is undone alone, and said. */
import type { AuditEntry } from '../access/audit.ts'
import { Trouble } from '../trouble.ts'
import type { Flow } from './context.ts'

/** @returns null when it was done, else why not; then nothing of it stays */
export async function attempt(flow: Flow, work: (step: Flow) => Promise<unknown>): Promise<string | null> {
  const noted: AuditEntry[] = []
  try {
    await flow.tx.transaction((tx) => work({ ...flow, tx, audit: (entry) => void noted.push(entry) }))
  } catch (error) {
    if (error instanceof Trouble) return error.message
    throw error
  }
  for (const entry of noted) flow.audit(entry)
  return null
}
