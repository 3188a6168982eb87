/** What the kind of a message lets it do. A message's kind is the id of its template. */
import { TEMPLATE_IDS, type TemplateId } from './render.ts'

const safety = TEMPLATE_IDS.filter((id) => id.startsWith('safety-'))
const aboutConcerns = TEMPLATE_IDS.filter((id) => id.startsWith('staff-concern-'))

/** Still sent to a patient who has stopped the messages: answers to what they themselves wrote. */
export const AFTER_STOP: ReadonlySet<TemplateId> = new Set([
  'stop-confirmed',
  'start-confirmed',
  'clinician-reply',
  ...safety,
])

/** Sent in quiet hours too, where the sender does not say otherwise. */
export const URGENT: ReadonlySet<TemplateId> = new Set([...safety, ...aboutConcerns])
