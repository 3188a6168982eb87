/** A draft tried on the stored replies: each whose urgency would change, before anyone signs. */
import type { Context } from 'hono'
import { html } from 'hono/html'
import type { StaffEnv } from '../../access/env.ts'
import { refuse } from '../../access/route.ts'
import { auditViews } from '../../access/views.ts'
import { isMore, type ReplayBatch, replayBatch } from '../../flow/replay.ts'
import { whenWords } from '../../messages/words.ts'
import { currentProtocol, protocolVersion } from '../../protocol/store.ts'
import { type Html, page } from '../shared/layout.ts'
import { urgencyMark } from '../shared/urgency.ts'
import { inClinicOf } from './parts.ts'
import { capital } from './words.ts'

/** Replies on one page: more are a press away, and all of them a command. */
const A_PAGE = 300

const cursor = /^\d{4}-\d\d-\d\dT[\d:.]+Z_[0-9a-f-]{36}$/

export async function replayPage(c: Context<StaffEnv>) {
  const version = Number(c.req.param('version'))
  const after = c.req.query('after')
  if (!Number.isInteger(version) || (after !== undefined && !cursor.test(after)))
    return refuse(404, 'There is no such page.')
  const zone = c.get('clinic').zone
  const data = await inClinicOf(c, async (flow) => {
    const draft = await protocolVersion(flow, version)
    if (!draft) return null
    const batch = await replayBatch(flow, draft.document.urgency, { after: after ?? null, limit: A_PAGE })
    const { staffId } = c.get('staff')
    await auditViews(
      flow,
      staffId,
      batch.changed.map(({ patientId }) => patientId),
      `replay:${version}`,
    )
    flow.audit({ actor: `staff:${staffId}`, action: 'replay rules', subject: `protocol:${version}` })
    return { batch, inForce: (await currentProtocol(flow)).version }
  })
  if (!data) return refuse(404, 'There is no such version of the rules.')
  const { batch, inForce } = data
  return page(c, {
    title: `Version ${version} on the stored replies`,
    face: 'staff',
    body: html`<p>Each stored reply is read again and judged by version ${inForce}, in use now, and by version ${version}. Nothing is changed by this.</p>
<p class="lead"><strong>${countWords(batch)}</strong></p>
${batch.unread > 0 ? html`<p>${batch.unread} could never be read by the service and are left out.</p>` : ''}
${batch.driftedFromStored > 0 ? html`<p class="small">${batch.driftedFromStored} would be judged otherwise today than when they came, by the same rules in use: the reading or what is known of the patient has changed since.</p>` : ''}
${batch.changed.length > 0 ? table(batch, version, zone) : ''}
${batch.next ? html`<p><a class="button" href="/protocol/${version}/replay?after=${encodeURIComponent(batch.next)}">Go on with older replies</a></p>` : html`<p>These were all.</p>`}
<p><a href="/protocol/${version}">Back to version ${version}</a></p>`,
  })
}

function countWords({ judged, changed }: ReplayBatch): string {
  const up = changed.filter((one) => isMore(one.draft, one.inForce)).length
  return `${judged} ${judged === 1 ? 'reply' : 'replies'} judged: ${changed.length} would change, ${up} to more urgent, ${changed.length - up} to less urgent.`
}

/** The lowered ones first: they are the ones to fear. */
function table({ changed }: ReplayBatch, version: number, zone: string): Html {
  const order = changed.toSorted(
    (a, b) => Number(isMore(a.draft, a.inForce)) - Number(isMore(b.draft, b.inForce)),
  )
  return html`<div class="scroll"><table class="stack"><thead><tr><th scope="col">Words</th><th scope="col">In use</th><th scope="col">Version ${version}</th><th scope="col">Came</th></tr></thead><tbody>
${order.map(
  (one) => html`<tr><td data-label="Words"><blockquote class="words">${one.words}</blockquote></td>
<td data-label="In use">${urgencyMark(one.inForce)}<br><span class="small">${capital(one.reasons.inForce)}</span></td>
<td data-label="Version ${version}">${urgencyMark(one.draft)}<br><span class="small">${capital(one.reasons.draft)}</span>${isMore(one.draft, one.inForce) ? '' : html`<br><strong>LESS URGENT</strong>`}</td>
<td data-label="Came">${whenWords(one.receivedAt, zone)}</td></tr>`,
)}</tbody></table></div>`
}
