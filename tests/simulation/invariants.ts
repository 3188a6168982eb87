/** What must hold after every run, counted: how often it was tried, and how often it broke. */
import { Temporal } from 'temporal-polyfill'
import { verifyAudit } from '../../src/access/audit.ts'
import { inClinic } from '../../src/database/service.ts'
import { demoSettings } from '../../src/demo/people.ts'
import { AFTER_STOP } from '../../src/messages/kinds.ts'
import { isQuiet } from '../../src/messages/quiet-hours.ts'
import type { TemplateId } from '../../src/messages/render.ts'
import type { SimulatedPatient } from './patients.ts'
import { type World, ZONE } from './world.ts'

export interface Count {
  checked: number
  broken: number
}

export interface WrittenReply {
  replyId: string
  mobile: string
  urgent: boolean
  at: Temporal.Instant
}

/** Longest that a stored reply may wait for its reading, and a deadline for its escalation, minutes. */
const READ_WITHIN = 20
const TOLD_WITHIN = 1

export async function checkInvariants(
  world: World,
  patients: readonly SimulatedPatient[],
  written: readonly WrittenReply[],
): Promise<{ invariants: Record<string, Count>; details: string[] }> {
  const details: string[] = []
  const invariants: Record<string, Count> = {}
  const expectThat = (name: string, holds: boolean, detail: () => string): void => {
    invariants[name] ??= { checked: 0, broken: 0 }
    const count = invariants[name]
    count.checked += 1
    if (holds) return
    count.broken += 1
    if (details.length < 50) details.push(`${name}: ${detail()}`)
  }
  const now = world.clock.now()
  await inClinic(world.service, world.clinicId, async (scope) => {
    const { tx, vault } = scope
    const messages = new Map((await tx.query.message.findMany()).map((one) => [one.messageId, one]))
    const byMobile = new Map(patients.map((one) => [one.mobile, one]))
    const times = new Map<string, number>()
    for (const sent of world.sent) {
      const message = messages.get(sent.id)
      if (!message) continue
      times.set(sent.id, (times.get(sent.id) ?? 0) + 1)
      const patient = byMobile.get(sent.to)
      if (!message.urgent) {
        expectThat(
          'no message in quiet hours',
          !isQuiet(sent.at, ZONE, demoSettings.quietHours),
          () => `${message.kind} at ${sent.at}`,
        )
      }
      if (patient?.toldAt && Temporal.Instant.compare(sent.at, patient.toldAt) > 0) {
        expectThat(
          'none that advises drops where withheld',
          !message.advisesDrops,
          () => `${message.kind} to ${patient.reference}`,
        )
      }
    }
    for (const patient of patients) {
      const { stoppedAt } = patient
      if (!stoppedAt) continue
      const after = world.sent
        .filter((one) => one.to === patient.mobile && Temporal.Instant.compare(one.at, stoppedAt) > 0)
        .map((one) => messages.get(one.id)?.kind as TemplateId)
        .filter((kind) => !AFTER_STOP.has(kind))
      expectThat('none after STOP', after.length === 0, () => `${after[0]} to ${patient.reference}`)
    }
    for (const [id, count] of times)
      expectThat('none twice', count === 1, () => `${messages.get(id)?.kind} sent ${count} times`)
    const kinds = new Map<string, number>()
    for (const one of messages.values()) {
      if (!one.planId || !one.day || !['sent', 'delivered'].includes(one.status)) continue
      const key = `${one.planId}/${one.day}/${one.kind}`
      kinds.set(key, (kinds.get(key) ?? 0) + 1)
    }
    for (const [key, count] of kinds) expectThat('one a plan, day and kind', count === 1, () => key)

    const replies = new Map((await tx.query.reply.findMany()).map((one) => [one.replyId, one]))
    const concerns = await tx.query.concern.findMany()
    const byReply = new Map(concerns.map((one) => [one.replyId, one]))
    for (const one of written) {
      const row = replies.get(one.replyId)
      const waited = row?.readAt
        ? one.at.until(row.readAt).total('minutes')
        : one.at.until(now).total('minutes')
      expectThat(
        'every reply read',
        row !== undefined && waited <= READ_WITHIN,
        () => `${one.replyId} waited ${waited} min`,
      )
      if (!one.urgent) continue
      const concern = byReply.get(one.replyId)
      const words = () => (row ? `"${vault.open(row.bodySealed)}" read ${row.urgency}` : 'not stored')
      expectThat(
        'every urgent finding in the queue',
        concern?.urgency === 'now' || concern?.urgency === 'today',
        words,
      )
    }
    for (const one of concerns) {
      if (Temporal.Instant.compare(one.deadlineAt, now) > 0) continue
      const closedInTime = one.closedAt && Temporal.Instant.compare(one.closedAt, one.deadlineAt) <= 0
      const toldInTime =
        one.escalatedAt && one.deadlineAt.until(one.escalatedAt).total('minutes') <= TOLD_WITHIN
      expectThat(
        'every deadline met or escalated',
        Boolean(closedInTime || toldInTime),
        () => `${one.urgency} due ${one.deadlineAt}, ${one.status}`,
      )
    }
    const visits = (await tx.query.visit.findMany()).filter(
      (one) => one.status !== 'cancelled' && one.movedCount > 0,
    )
    const all = await tx.query.visit.findMany()
    for (const one of visits) {
      const end = one.startAt.add({ minutes: one.minutes })
      const clash = all.some(
        (other) =>
          other.visitId !== one.visitId &&
          other.status !== 'cancelled' &&
          other.practitionerId === one.practitionerId &&
          Temporal.Instant.compare(other.startAt, end) < 0 &&
          Temporal.Instant.compare(one.startAt, other.startAt.add({ minutes: other.minutes })) < 0,
      )
      expectThat('no moved visit double-booked', !clash, () => one.reference)
    }
    const desk = await tx.query.deskItem.findMany()
    for (const one of messages.values()) {
      if (one.status !== 'failed') continue
      expectThat(
        'every failed message on the desk',
        desk.some((item) => item.dedupe === `delivery-failed:${one.messageId}`),
        () => one.kind,
      )
    }
    const audit = await verifyAudit(scope)
    expectThat('the audit chain is whole', audit.broken === null, () => JSON.stringify(audit.broken))
  })
  return { invariants, details }
}

/** Named here so that one that was never tried shows as 0, not as missing. */
export const INVARIANTS = [
  'no message in quiet hours',
  'none after STOP',
  'none that advises drops where withheld',
  'none twice',
  'one a plan, day and kind',
  'every reply read',
  'every urgent finding in the queue',
  'every deadline met or escalated',
  'no moved visit double-booked',
  'every failed message on the desk',
  'the audit chain is whole',
] as const
