/**
 * How long each kind of data is kept, and why. Data, so that the clinic can read, change and confirm it; the
 * job `retain` follows it. The periods and grounds are a draft: the clinic confirms each with its own adviser.
 */

export interface RetentionKind {
  kind: string
  what: string
  /** From when the days are counted. */
  counted: string
  /** Days, where the clinic has not decided otherwise; null: kept as long as the clinic's database. */
  days: number | null
  /** Fewer are refused: a slip of the finger must not end every record. 1 where it is left out. */
  least?: number
  ground: string
  source: string
}

const FROM_MEMORY = 'From memory; the clinic to confirm.'
const OWN = 'Our own choice, no source; the clinic to confirm.'

export const RETENTION: readonly RetentionKind[] = [
  {
    kind: 'care-record',
    what: 'A patient with all visits, histories, plans, replies, messages, concerns and procedure records',
    counted: 'the last visit, reply or record, and not before the patient is 26',
    days: 2922,
    least: 1826,
    ground: 'A health record: continuity of care, and the defence of claims (UK GDPR Art 9(2)(h), 17(3)).',
    source: `Records Management Code of Practice, NHS England: adult health records 8 years, children's to the 25th or 26th birthday. ${FROM_MEMORY}`,
  },
  {
    kind: 'unsent-messages',
    what: 'Messages that never left: cancelled, expired or failed',
    counted: 'the time they were due',
    days: 365,
    ground: 'To answer why a patient was not written to.',
    source: OWN,
  },
  {
    kind: 'unknown-senders',
    what: 'Replies of senders who are no patient, once their concern is closed',
    counted: 'the day they came',
    days: 180,
    ground: 'Safety: somebody may have written from another number.',
    source: OWN,
  },
  {
    kind: 'links',
    what: 'Links of patients that have run out or were taken back',
    counted: 'the day they ran out',
    days: 30,
    ground: 'To tell a late reader that the link has run out.',
    source: OWN,
  },
  {
    kind: 'desk',
    what: 'Tasks of the front desk that are settled',
    counted: 'the day they were settled',
    days: 730,
    ground: 'To answer what was done about a message that did not arrive.',
    source: OWN,
  },
  {
    kind: 'notices',
    what: 'Notices to staff that they have seen',
    counted: 'the day they were seen',
    days: 365,
    ground: 'To answer who was told of a concern; the concern itself keeps it too.',
    source: OWN,
  },
  {
    kind: 'open-times',
    what: 'Open times of the diary that have passed',
    counted: 'the time itself',
    days: 365,
    ground: 'None needed after the evidence is counted; no patient is named in it.',
    source: OWN,
  },
  {
    kind: 'access',
    what: 'Ended sessions, used or old invitations, counted tries and challenges of sign-in',
    counted: 'their end (30 days, fixed in access/tidy.ts)',
    days: null,
    ground: 'Security of the service (UK GDPR Art 32).',
    source: OWN,
  },
  {
    kind: 'audit',
    what: 'Who did what: ids, times and words of fixed lists, no name, contact or words of a patient',
    counted: '',
    days: null,
    ground: 'To show who saw a record; a chain with a link taken out proves nothing.',
    source: OWN,
  },
  {
    kind: 'signed-rules',
    what: 'The clinic’s rules in every version, with who signed them',
    counted: '',
    days: null,
    ground: 'To show by which rules a patient was judged, as long as claims may come.',
    source: OWN,
  },
  {
    kind: 'backups',
    what: 'Encrypted backups of the embedded database',
    counted: 'the day they were made (14 days, fixed in database/backup.ts)',
    days: null,
    ground: 'Availability (UK GDPR Art 32(1)(c)); what was erased goes from backups when they run out.',
    source: OWN,
  },
]
