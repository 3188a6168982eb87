/** What patients send: stored and committed before anybody is told that it came. Reading it is done elsewhere. */
import { createHash } from 'node:crypto'
import { loadClinic } from '../clinic.ts'
import { inClinic, type Service } from '../database/service.ts'
import { plainContact } from './contact.ts'
import { openQuestions, patientsWithContact, type StoredReply, storeReply } from './store.ts'

export interface InboundReply {
  /** 'handset', 'spool', 'link': with `providerId` the reply's identity. */
  transport: string
  /** The other side's id: the same id again is the same reply. */
  providerId: string
  /** Number or address that it came from; null where the patient is known by a link. */
  from: string | null
  body: string
  /** Known by a link. */
  patientId?: string | null | undefined
  /** The question that a link belongs to; else the newest one open. */
  questionId?: string | null | undefined
}

/**
 * Stores one reply in a transaction of its own: once this resolves, the other side may be told that we have
 * it. A number that several patients share is nobody's, unless just one of them was asked something.
 */
export async function receive(
  service: Service,
  clinicId: string,
  { transport, providerId, from, body, patientId, questionId }: InboundReply,
): Promise<StoredReply> {
  return await inClinic(service, clinicId, async (scope) => {
    const contact = !from?.trim() ? null : plainContact(from, (await loadClinic(scope)).settings.region)
    const candidates = patientId ? [patientId] : contact ? await patientsWithContact(scope, contact) : []
    const open = await Promise.all(
      candidates.map(async (id) => ({ id, question: (await openQuestions(scope, id, scope.now))[0] })),
    )
    const asked = open.filter(({ question }) => question !== undefined)
    const sender = open.length === 1 ? open[0] : asked.length === 1 ? asked[0] : undefined
    const got = {
      transport,
      providerId: plainId(providerId),
      from: contact,
      body,
      patientId: sender?.id ?? null,
      questionId: questionId ?? sender?.question?.questionId ?? null,
    }
    const first = await storeReply(scope, got)
    // An id that the other side used again for other words must not swallow them.
    const stored =
      first.fresh || first.same
        ? first
        : await storeReply(scope, { ...got, providerId: `${got.providerId}#${digest(body)}` })
    if (stored.fresh) {
      scope.audit({
        actor: stored.patientId ? `patient:${stored.patientId}` : 'service',
        action: 'receive reply',
        patientId: stored.patientId ?? undefined,
        subject: `reply:${stored.replyId}`,
        detail: { transport, candidates: candidates.length },
      })
    }
    return stored
  })
}

const digest = (text: string): string => createHash('sha256').update(text).digest('base64url')

/** An id of any length and any bytes, fit for an indexed column. */
function plainId(id: string): string {
  // biome-ignore lint/suspicious/noControlCharactersInRegex: the database takes no NUL in text
  return id.length > 200 || /[\u0000-\u001f]/.test(id) ? `digest:${digest(id)}` : id
}
