/** Erasure at a patient's request: what law and safety need is kept, and the report says so. */
import { Temporal } from 'temporal-polyfill'
import type { Scope } from '../database/service.ts'
import { PLACES } from './places.ts'
import { retentionInForce } from './retention.ts'
import { countPlaces, erasePartly, eraseWhole, tracesOf } from './store.ts'

export interface ErasureLine {
  title: string
  rows: number
  why: string
}

export interface Erasure {
  /** Whole: nothing but the audit stays. */
  whole: boolean
  erased: ErasureLine[]
  kept: ErasureLine[]
  /** Day on which what is kept goes too, if nothing more happens; null where nothing is kept. */
  keptUntil: string | null
}

export type ErasureResult = { done: Erasure } | { refused: string }

/** Erases, or says in one sentence what must happen first. Nothing is changed where it is refused. */
export async function erasePatient(
  scope: Scope,
  patientId: string,
  { actor, reason }: { actor: string; reason: string },
): Promise<ErasureResult> {
  const before = await countPlaces(scope, patientId)
  if (!before.get('patient')) return { refused: 'There is no such patient.' }
  const traces = await tracesOf(scope, patientId)
  if (traces.openConcerns > 0)
    return { refused: 'A concern of this patient is open: a clinician closes it first.' }
  if (traces.nextVisit)
    return { refused: 'A visit is still to come: cancel it, or wait until it has been held.' }
  const whole = traces.care === 0
  if (whole) await eraseWhole(scope, patientId)
  else await erasePartly(scope, patientId)
  scope.audit({
    actor,
    action: 'erase patient',
    patientId,
    detail: { ground: reason, whole },
  })
  const line = ({ table, title, why }: (typeof PLACES)[number]): ErasureLine => ({
    title,
    rows: before.get(table) ?? 0,
    why,
  })
  const touched = PLACES.filter(({ table }) => (before.get(table) ?? 0) > 0)
  const isKept = (place: (typeof PLACES)[number]) =>
    whole ? place.table === 'audit' : place.onRequest !== 'erased'
  const isErased = (place: (typeof PLACES)[number]) =>
    whole ? place.table !== 'audit' : place.onRequest !== 'kept'
  return {
    done: {
      whole,
      erased: touched.filter(isErased).map((place) => ({
        ...line(place),
        ...(whole && { why: 'No care was given that must be accounted for.' }),
      })),
      kept: touched.filter(isKept).map(line),
      keptUntil: whole ? null : await untilDay(scope, traces.lastAt),
    },
  }
}

async function untilDay(scope: Scope, lastAt: string | null): Promise<string | null> {
  const days = (await retentionInForce(scope)).find(({ kind }) => kind === 'care-record')?.days
  if (!lastAt || !days) return null
  const last = Temporal.Instant.from(lastAt)
  return last
    .add({ hours: 24 * days })
    .toZonedDateTimeISO('UTC')
    .toPlainDate()
    .toString()
}
