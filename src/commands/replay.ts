/** `npm run replay -- --draft FILE.json`: which stored replies a draft of the rules would judge otherwise. */
import { readFileSync } from 'node:fs'
import { inFlow } from '../flow/context.ts'
import { addToSummary, emptySummary, type ReplayBatch, replayBatch } from '../flow/replay.ts'
import { mendLines } from '../protocol/changes.ts'
import { protocolSchema } from '../protocol/document.ts'
import { type UrgencyRules, urgencyRulesSchema } from '../protocol/sections/urgency.ts'
import { Trouble, wordsOf } from '../trouble.ts'
import { command, readArguments, withClinic } from './open.ts'

const USAGE = 'npm run replay -- --draft FILE.json [--clinic NAME]'

/** The urgency rules of a whole document, or of a file that holds that section alone. */
function readDraft(file: string): UrgencyRules {
  let json: unknown
  try {
    json = JSON.parse(readFileSync(file, 'utf8'))
  } catch (error) {
    throw new Trouble(`The draft ${file} cannot be read as JSON (${wordsOf(error)}).`)
  }
  const whole = typeof json === 'object' && json !== null && 'urgency' in json
  const checked = whole
    ? protocolSchema.transform(({ urgency }) => urgency).safeParse(json)
    : urgencyRulesSchema.safeParse(json)
  if (checked.success) return checked.data
  throw new Trouble(`The draft ${file} does not fit:\n${mendLines(checked.error).join('\n')}`)
}

await command(async () => {
  const { values } = readArguments(
    { options: { draft: { type: 'string' }, clinic: { type: 'string' } } },
    USAGE,
  )
  if (!values.draft) throw new Trouble(`Usage: ${USAGE}`)
  const draft = readDraft(values.draft)
  await withClinic(values.clinic, async ({ service, clinicId, slug }) => {
    let summary = emptySummary()
    let after: string | null = null
    process.stdout.write(`${row('received', 'now', 'draft', 'words')}\n`)
    do {
      const from: string | null = after
      const batch: ReplayBatch = await inFlow(service, clinicId, (flow) =>
        replayBatch(flow, draft, { after: from }),
      )
      for (const { receivedAt, inForce, draft: urgency, words } of batch.changed)
        process.stdout.write(`${row(receivedAt.toString().slice(0, 16), inForce, urgency, words)}\n`)
      summary = addToSummary(summary, batch)
      after = batch.next
    } while (after)
    process.stdout.write(`${JSON.stringify({ clinic: slug, ...summary })}\n`)
  })
})

function row(received: string, now: string, draft: string, words: string): string {
  const line = words.replace(/\s+/gu, ' ').trim()
  return [
    received.padEnd(16),
    now.padEnd(8),
    draft.padEnd(8),
    line.length > 90 ? `${line.slice(0, 87)}...` : line,
  ].join('  ')
}
