/** Reception's list: what a person at the desk must settle, each thing once. */
import { and, asc, eq, isNull } from 'drizzle-orm'
import type { Temporal } from 'temporal-polyfill'
import { deskItem } from '../database/schema.ts'
import type { Scope } from '../database/service.ts'

/** Why something lies on reception's list, in the words that reception reads. */
export const DESK_KINDS = {
  'no-history': 'No answer to the history questions: no drops are advised',
  'history-unclear': 'The history needs a person',
  'more-time': 'The history asks for a longer visit',
  'drops-withheld': 'No drops for this ear: think of length and kind of the visit',
  'delivery-failed': 'A message could not be delivered: reach the patient another way',
  'no-way-to-write': 'No working number or address: reach the patient another way',
  'stopped-messages': 'The patient has stopped our messages',
  'wishes-to-move': 'The patient wishes to move the visit',
  'wishes-a-call': 'The patient wishes to be called',
  'wrong-number': 'Somebody else has this number',
  'no-move-answer': 'No answer to the proposed times: call',
  'move-declined': 'The patient keeps the old time',
  'needs-visit': 'A further visit is to be found',
  'no-check-answer': 'No answer to the checks after the visit: reach the patient another way',
  'moved-by-clinic': 'The clinic moved a visit to which drops were planned',
  'recall-answered': 'The patient answered a recall',
  'doubtful-message': 'The database was restored: this message may or may not have gone out',
  restored: 'The database was restored: some hours are missing',
} as const
export type DeskKind = keyof typeof DESK_KINDS

export interface DeskItem {
  itemId: string
  kind: DeskKind
  patientId: string | null
  visitId: string | null
  note: string
  openedAt: Temporal.Instant
  dueAt: Temporal.Instant | null
}

export interface NewDeskItem {
  /** The same key is the same thing: it is on the list once. */
  dedupe: string
  kind: DeskKind
  patientId?: string | null
  visitId?: string | null
  note?: string
  dueAt?: Temporal.Instant | null
}

export async function putOnDesk(scope: Scope, item: NewDeskItem): Promise<void> {
  await scope.tx
    .insert(deskItem)
    .values({
      clinicId: scope.clinicId,
      dedupe: item.dedupe,
      kind: item.kind,
      patientId: item.patientId ?? null,
      visitId: item.visitId ?? null,
      noteSealed: item.note ? scope.vault.seal(item.note) : null,
      openedAt: scope.now,
      dueAt: item.dueAt ?? null,
    })
    .onConflictDoNothing()
}

/** What is open, soonest due first. */
export async function deskItems(scope: Pick<Scope, 'tx' | 'vault'>, limit = 500): Promise<DeskItem[]> {
  const rows = await scope.tx
    .select()
    .from(deskItem)
    .where(isNull(deskItem.doneAt))
    .orderBy(asc(deskItem.dueAt), asc(deskItem.openedAt))
    .limit(limit)
  return rows.map((row) => ({
    itemId: row.itemId,
    kind: row.kind as DeskKind,
    patientId: row.patientId,
    visitId: row.visitId,
    note: row.noteSealed ? scope.vault.open(row.noteSealed) : '',
    openedAt: row.openedAt,
    dueAt: row.dueAt,
  }))
}

/** @returns false when somebody settled it before */
export async function settleDeskItem(scope: Scope, itemId: string, staffId: string): Promise<boolean> {
  const rows = await scope.tx
    .update(deskItem)
    .set({ doneAt: scope.now, doneBy: staffId })
    .where(and(eq(deskItem.itemId, itemId), isNull(deskItem.doneAt)))
    .returning({ kind: deskItem.kind, patientId: deskItem.patientId })
  if (!rows[0]) return false
  scope.audit({
    actor: `staff:${staffId}`,
    action: 'settle desk item',
    patientId: rows[0].patientId ?? undefined,
    subject: `desk:${itemId}`,
    detail: { kind: rows[0].kind },
  })
  return true
}

/** Ends the open items of a visit of these kinds, because what they asked for has happened. */
export async function endDeskItems(scope: Scope, visitId: string, kinds: DeskKind[]): Promise<void> {
  for (const kind of kinds) {
    await scope.tx
      .update(deskItem)
      .set({ doneAt: scope.now })
      .where(and(eq(deskItem.visitId, visitId), eq(deskItem.kind, kind), isNull(deskItem.doneAt)))
  }
}
