/**
 * The record of processing and the summary for a data-protection assessment: a draft that the clinic completes
 * and its own adviser checks. What is in [brackets] only the clinic knows. Facts of the law are from memory:
 * UK GDPR Art 5, 6, 9(2)(h), 12(3), 15-21, 28, 30, 32, 33, 35; DPA 2018 Sch 1 para 2.
 */

export interface RecordLine {
  question: string
  answer: string
}

/** Asked of every controller by UK GDPR Art 30(1). */
export const PROCESSING_RECORD: readonly RecordLine[] = [
  { question: 'Controller', answer: '[the clinic, its address, its data-protection contact]' },
  {
    question: 'Purposes',
    answer:
      'Softening of ear wax before a visit, the visit itself and its aftercare: asking a history, advising drops, reminding, asking what was done, moving visits, reading replies for signs that need a clinician, keeping a record of it.',
  },
  {
    question: 'Lawful basis',
    answer:
      'Art 6(1)(e) or (f), [the clinic to decide], and for health data Art 9(2)(h) with DPA 2018 Sch 1 para 2: provision of health care by or under a professional who owes confidence. Consent is recorded for writing by text or email, in fairness; the care does not rest on it.',
  },
  {
    question: 'Whose data',
    answer: 'Patients of the clinic; its staff; senders of texts whom nobody knows.',
  },
  {
    question: 'What data',
    answer:
      'Name, date of birth, mobile number, email, language; visits; medical history as answered; plans and doses; texts both ways; concerns and what was done; procedure records. Of staff: name, email, mobile, role, registration, ways to sign in (as hashes or public keys).',
  },
  {
    question: 'Who receives it',
    answer:
      '[the sending service: name, contract under Art 28, country]; [whoever runs the machine]; nobody else by this service.',
  },
  { question: 'Other countries', answer: '[none, unless the sending service or the machine is abroad]' },
  {
    question: 'How long',
    answer: 'The table of kinds on this page; each period is for the clinic to confirm.',
  },
  {
    question: 'How it is kept safe',
    answer:
      'Names, contacts and words encrypted by the service (AES-256-GCM, a key for each clinic), row-level security between clinics, passkeys or password and code, roles, an audit chain, encrypted backups. A table in DEVELOPERS.md says where each is held and what is open.',
  },
]

/** What an assessment asks (UK GDPR Art 35(7)), with what the makers know. */
export const ASSESSMENT: readonly RecordLine[] = [
  {
    question: 'Is an assessment needed?',
    answer:
      'Health data of many older people, judged by rules: yes, in the makers’ view. [The clinic and its adviser decide.]',
  },
  {
    question: 'Are decisions made by a machine?',
    answer:
      'Rules order the list and choose among texts that a clinician signed. Drops are advised by such rules from the patient’s own answers. No rule closes a concern or refuses care; whatever is in doubt goes to a person (Art 22).',
  },
  {
    question: 'Is each kind of data needed?',
    answer:
      'Each column of the database has a decision and a reason (src/database/columns.ts). No address and no picture is taken.',
  },
  {
    question: 'What could harm people?',
    answer:
      'See the hazard log. For their data: a wrong number, a forwarded link, a lost key, a clinic seeing another’s patients.',
  },
  {
    question: 'What of rights?',
    answer:
      'Access: a copy to read and as data, within one month (Art 12(3)). Correction: in the booking system, then imported. Erasure: on request, keeping the record of care, with a list of what stays and why. Objection to texts: STOP.',
  },
  {
    question: 'What of a breach?',
    answer:
      'To the regulator within 72 hours of knowing of it (Art 33). [Who decides, who writes, at what number.] The audit shows whose records were seen.',
  },
  {
    question: 'What stays open?',
    answer:
      '[the clinic’s adviser]: contract with the sending service; who may see the machine; notice to patients.',
  },
]
