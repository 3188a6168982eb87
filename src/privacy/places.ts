/**
 * Where a patient's data lies: every table that holds or points at some. Export and erasure walk this list; a
 * test fails on a table with a patient, visit, plan, reply or concern in it that is not here.
 */

/** How the rows of a patient are found: a column of their own, or by way of another place. */
export type Reach = 'patient_id' | { column: string; of: string }

export interface Place {
  table: string
  title: string
  reach: Reach
  /** Goes into the patient's copy. */
  exported: boolean
  /** At a patient's request, while the record of their care must be kept. */
  onRequest: 'erased' | 'kept' | 'partly'
  why: string
}

const CARE =
  'Part of the record of care, which the clinic must be able to show (health care and legal claims).'

/** In the order in which rows may be deleted. */
export const PLACES: readonly Place[] = [
  {
    table: 'link',
    title: 'Links to our pages',
    reach: 'patient_id',
    exported: true,
    onRequest: 'erased',
    why: 'Only needed while you answer.',
  },
  {
    table: 'notice',
    title: 'Notices to staff',
    reach: { column: 'concern_id', of: 'concern' },
    exported: false,
    onRequest: 'kept',
    why: 'Who was told of a concern. It says nothing more of the patient.',
  },
  {
    table: 'concern_event',
    title: 'What was done about your concerns',
    reach: { column: 'concern_id', of: 'concern' },
    exported: true,
    onRequest: 'kept',
    why: CARE,
  },
  {
    table: 'message',
    title: 'Messages to you',
    reach: 'patient_id',
    exported: true,
    onRequest: 'partly',
    why: 'Number and words are erased; the words of safety advice and of a clinician’s answer are kept.',
  },
  {
    table: 'correction',
    title: 'Where a clinician corrected how we understood you',
    reach: { column: 'reply_id', of: 'reply' },
    exported: true,
    onRequest: 'kept',
    why: CARE,
  },
  { table: 'concern', title: 'Concerns', reach: 'patient_id', exported: true, onRequest: 'kept', why: CARE },
  {
    table: 'dose_day',
    title: 'Your drops by day',
    reach: { column: 'plan_id', of: 'plan' },
    exported: true,
    onRequest: 'kept',
    why: CARE,
  },
  {
    table: 'reply',
    title: 'What you wrote to us',
    reach: 'patient_id',
    exported: true,
    onRequest: 'partly',
    why: 'Your number is erased; words are kept only where a clinician had to act on them or they carry a history.',
  },
  {
    table: 'question',
    title: 'Questions we asked',
    reach: 'patient_id',
    exported: true,
    onRequest: 'kept',
    why: CARE,
  },
  {
    table: 'move',
    title: 'Other times for a visit',
    reach: 'patient_id',
    exported: true,
    onRequest: 'erased',
    why: 'Only needed to agree on a time.',
  },
  {
    table: 'aftercare_check',
    title: 'Checks after a visit',
    reach: 'patient_id',
    exported: true,
    onRequest: 'kept',
    why: CARE,
  },
  {
    table: 'procedure_record',
    title: 'What was done and found',
    reach: 'patient_id',
    exported: true,
    onRequest: 'kept',
    why: CARE,
  },
  {
    table: 'plan',
    title: 'Plans of drops',
    reach: 'patient_id',
    exported: true,
    onRequest: 'kept',
    why: CARE,
  },
  {
    table: 'screening',
    title: 'Your medical history',
    reach: 'patient_id',
    exported: true,
    onRequest: 'kept',
    why: CARE,
  },
  {
    table: 'desk_item',
    title: 'Tasks of the front desk',
    reach: 'patient_id',
    exported: true,
    onRequest: 'erased',
    why: 'Only needed to settle the task.',
  },
  {
    table: 'slot',
    title: 'Places in the diary',
    reach: { column: 'visit_id', of: 'visit' },
    exported: false,
    onRequest: 'kept',
    why: 'The diary’s time. It says nothing of the patient once the visit is gone.',
  },
  { table: 'visit', title: 'Visits', reach: 'patient_id', exported: true, onRequest: 'kept', why: CARE },
  {
    table: 'patient',
    title: 'You',
    reach: 'patient_id',
    exported: true,
    onRequest: 'partly',
    why: 'Number and address are erased and we write no more; name and date of birth stay on the record of care.',
  },
  {
    table: 'audit',
    title: 'Who saw or changed your record',
    reach: 'patient_id',
    exported: true,
    onRequest: 'kept',
    why: 'Shows who saw the record: ids and times only, no name, contact or words of yours.',
  },
]
