/**
 * The hazard log: what could go wrong, whom it would harm and how, what holds it back, and the test that shows
 * it. Data, so that a page can show it and a test can hold each named test against the tests that are there.
 *
 * In the manner of what published standards for health software ask for (DCB0129, DCB0160 and ISO 14971, from
 * memory): each hazard with cause and effect, rated before and after its controls. The ratings are the makers'
 * draft. The clinic adopts, changes and signs the log through its own licensed people; until then it proves nothing.
 */

export const LIKELIHOOD = ['rare', 'unlikely', 'possible', 'likely', 'frequent'] as const
export const SEVERITY = ['slight', 'moderate', 'serious', 'grave', 'fatal'] as const
export type Likelihood = (typeof LIKELIHOOD)[number]
export type Severity = (typeof SEVERITY)[number]

export interface Rating {
  likelihood: Likelihood
  severity: Severity
}

export type Risk = 'low' | 'middling' | 'high' | 'not to be borne'

/** Product of the places in both lists, 1 to 25. The bands are ours; the clinic to confirm. */
export function riskOf({ likelihood, severity }: Rating): Risk {
  const product = (LIKELIHOOD.indexOf(likelihood) + 1) * (SEVERITY.indexOf(severity) + 1)
  return product >= 16 ? 'not to be borne' : product >= 10 ? 'high' : product >= 5 ? 'middling' : 'low'
}

export interface Shown {
  file: string
  /** The title of a test of that file, word for word. */
  title: string
}

export interface Hazard {
  id: string
  hazard: string
  cause: string
  harm: string
  before: Rating
  /** What the service does about it. */
  control: string
  shownBy: Shown[]
  after: Rating
  /** What only the clinic can do; the rest that stays. */
  clinic: string
}

const rate = (likelihood: Likelihood, severity: Severity): Rating => ({ likelihood, severity })
const shown = (file: string, title: string): Shown => ({ file: `tests/${file}.test.ts`, title })

export const HAZARDS: readonly Hazard[] = [
  {
    id: 'H01',
    hazard: 'A red flag in a reply is read as harmless',
    cause:
      'Words that the lexicon does not know, a slip of the finger, a denial or another person read wrongly.',
    harm: 'Sudden hearing loss, spreading infection or a stroke goes untreated: lasting deafness or death.',
    before: rate('likely', 'fatal'),
    control:
      'Rules with sources; what cannot be read is “unclear” and goes to a person; one more finding never lowers the urgency; a clinician’s correction raises it and goes into the corpus.',
    shownBy: [
      shown('replies/properties', 'of unknown letters is never none'),
      shown('replies/properties', 'one more affirmed finding never lowers urgency'),
      shown('replies/score', 'every doubt is at least unclear, and never lowers'),
    ],
    after: rate('unlikely', 'fatal'),
    clinic:
      'Read a sample of what was judged harmless each week. The share that is still missed is in the measured figures of the project, and is not nought.',
  },
  {
    id: 'H02',
    hazard: 'An urgent reply is stored and nobody reads it',
    cause: 'The reading fails or its job does not run.',
    harm: 'Delay of urgent care.',
    before: rate('possible', 'fatal'),
    control:
      'Stored before it is acknowledged; read again by a job; after three failures a person gets it; a watch with a path of its own.',
    shownBy: [
      shown('database/messages-inbound', 'it is committed before anybody is told'),
      shown('database/watch', 'jobs that run and do nothing are seen by the work that lies'),
    ],
    after: rate('rare', 'fatal'),
    clinic: 'Somebody looks at the pages at the start and end of every day.',
  },
  {
    id: 'H03',
    hazard: 'A concern is on the list and no clinician sees it in time',
    cause: 'Nobody is signed in, the first on the list is away, a claim is forgotten.',
    harm: 'Delay of urgent care.',
    before: rate('likely', 'grave'),
    control:
      'Each concern has a deadline; the next person is told near it, everybody past it; a claim lapses; past its time it is said loudly, and the patient is told to turn elsewhere.',
    shownBy: [
      shown(
        'database/replies',
        'a worrying answer to a check: safety net at once, deadline, escalation, one claim, an answer, closed',
      ),
      shown('database/clinician-concerns', 'past its time a concern is said loudly to be overdue'),
      shown('concerns/deadline', 'somebody is always told, or the owner is'),
    ],
    after: rate('unlikely', 'grave'),
    clinic: 'Keep the list of whom to tell true on holidays, and their numbers in the service.',
  },
  {
    id: 'H04',
    hazard: 'The patient believes that somebody watches the texts at all hours',
    cause: 'Words of a message, or the mere habit of an answer.',
    harm: 'They wait for an answer instead of ringing for help.',
    before: rate('likely', 'fatal'),
    control:
      'Every text about a worry says when a person next looks and whom to ring now; none says that somebody is watching or that all is well.',
    shownBy: [
      shown(
        'messages/catalogue',
        'never says that all is well, what an illness is, or that somebody is watching',
      ),
      shown('database/replies', 'out of hours the safety net says plainly when a person will next look'),
    ],
    after: rate('unlikely', 'fatal'),
    clinic: 'Say the same at the desk and in leaflets.',
  },
  {
    id: 'H05',
    hazard: 'Drops are advised to an ear with a hole in the drum, a tube, drainage or an allergy to the oil',
    cause: 'The history was not asked, not answered, unclear, contradicted or told late.',
    harm: 'Pain, infection or damage of the middle or inner ear.',
    before: rate('likely', 'grave'),
    control:
      'No drops before a whole history; contraindications withhold them; what is unclear twice goes to a person; told late, they stop at once.',
    shownBy: [
      shown('database/way', 'a booked removal asks the history and advises no drops until it is answered'),
      shown(
        'database/way',
        'a contraindication withholds the drops, tells the clinician and cancels nothing else',
      ),
      shown(
        'softening/screening',
        'a contraindication told last, whatever was said before and however it was asked, advises nothing',
      ),
      shown('database/messages-outbox', 'drops are advised only while their plan is active'),
    ],
    after: rate('unlikely', 'serious'),
    clinic: 'The history is the patient’s word: look into the ear before the procedure all the same.',
  },
  {
    id: 'H06',
    hazard: 'Drops go on although the patient now reports pain or drainage',
    cause: 'A reminder that was planned before the reply.',
    harm: 'Infection made worse.',
    before: rate('likely', 'serious'),
    control:
      'An urgent reply pauses the plan; only a clinician lets it go on; each plan carries stopping rules.',
    shownBy: [
      shown('database/replies', 'an urgent reply before the visit pauses the drops'),
      shown(
        'database/clinician-concerns',
        'drops are paused by an urgent reply and go on when a clinician allows them',
      ),
    ],
    after: rate('rare', 'serious'),
    clinic: 'Decide on paused plans the same day.',
  },
  {
    id: 'H07',
    hazard: 'A message goes to the wrong person',
    cause: 'A number mistyped in the booking system, changed, or shared by two patients.',
    harm: 'Another person follows advice that is not for them; a confidence is broken; the patient hears nothing.',
    before: rate('possible', 'serious'),
    control:
      'A report of a wrong number stops it at once; a message whose number changed goes to a person; nothing personal stands in a text; a shared number belongs to the one who was asked.',
    shownBy: [
      shown(
        'database/messages-outbox',
        'a wrong number gets nothing more; a number that changed reaches a person',
      ),
      shown(
        'database/messages-inbound',
        'a number that two patients share belongs to the one who was asked, and to nobody when both or neither were',
      ),
    ],
    after: rate('unlikely', 'moderate'),
    clinic: 'Ask for the number at every visit.',
  },
  {
    id: 'H08',
    hazard: 'The telephone is old, given away or not looked at',
    cause: 'The number on file is stale; texts arrive and nobody reads them.',
    harm: 'Silence is taken for well-being; drops are not used; a complication is not told.',
    before: rate('likely', 'serious'),
    control:
      'Silence has a deadline: no history means no drops and a task for reception; two silences after a hard removal open a concern; a failed delivery lies on the desk.',
    shownBy: [
      shown('database/way', 'silence to the history ends in no drops and on the list of reception'),
      shown(
        'database/way',
        'a hard removal plans close checks, starts the next plan, and two silences open a concern',
      ),
      shown('database/messages-jobs', 'what the delivery job cannot bring there lies on the desk once'),
    ],
    after: rate('unlikely', 'serious'),
    clinic: 'Work the desk’s list down every day.',
  },
  {
    id: 'H09',
    hazard: 'After STOP a symptom comes and nobody reads it',
    cause: 'The patient ended the messages, then writes again.',
    harm: 'Delay of urgent care.',
    before: rate('possible', 'grave'),
    control: 'Every reply is read, also after and beside STOP; the safety net still goes out.',
    shownBy: [
      shown(
        'database/replies',
        'STOP ends the messages at once and tells the clinic; a symptom beside it still reaches a clinician; START resumes',
      ),
      shown(
        'database/messages-send',
        'every safety-net text is urgent and reaches a stopped patient; no other ordinary text does',
      ),
    ],
    after: rate('rare', 'grave'),
    clinic: 'Agree with the patient on another way of reaching them.',
  },
  {
    id: 'H10',
    hazard: 'A reply in another language or alphabet is taken for nothing',
    cause: 'The lexicon is English.',
    harm: 'A red flag is missed.',
    before: rate('possible', 'fatal'),
    control: 'Unknown letters and words are never “none”: a person reads them.',
    shownBy: [shown('replies/properties', 'of unknown letters is never none')],
    after: rate('unlikely', 'grave'),
    clinic: 'Have somebody to read the languages of your patients; ask for an interpreter.',
  },
  {
    id: 'H11',
    hazard: 'A reply comes from a number that nobody has',
    cause: 'A relative’s telephone, a new number.',
    harm: 'A red flag belongs to nobody and is dropped.',
    before: rate('possible', 'fatal'),
    control:
      'It is read all the same, answered with the safety net, and put before a person with the number.',
    shownBy: [
      shown(
        'database/replies',
        'the same text twice is one reply; a number that nobody has is answered once a day and read by a human',
      ),
      shown(
        'database/clinician-concerns',
        'a reply from an unknown number is shown with the number, and can be answered',
      ),
    ],
    after: rate('unlikely', 'grave'),
    clinic: 'Ring the number.',
  },
  {
    id: 'H12',
    hazard: 'The service, its database or the line is down',
    cause: 'A fault of the machine, the network, the sending service.',
    harm: 'Nothing is sent or read; nobody notices.',
    before: rate('likely', 'serious'),
    control:
      'What was stored is found again after a crash; jobs that stand still are on every staff page, in the log, in a file and go straight to the owner and the clinicians.',
    shownBy: [
      shown('database/start', 'it starts, keeps its data, comes back after kill -9, and stops within 10 s'),
      shown(
        'database/watch',
        'each job that must not stand still is watched, and a stalled one is told past the outbox, on the pages, in the log and in a file',
      ),
      shown(
        'database/watch',
        'where the database does not answer, those known from before are told all the same',
      ),
    ],
    after: rate('unlikely', 'serious'),
    clinic:
      'Where the whole machine is off, nothing of it can speak: have it watched from outside, and a paper way of working.',
  },
  {
    id: 'H13',
    hazard: 'A time is an hour or a day wrong',
    cause: 'Clocks go forward or back; a day is counted in hours; another zone.',
    harm: 'Drops on the wrong days, a text in the night, a deadline missed.',
    before: rate('possible', 'moderate'),
    control: 'Plans in calendar days of the clinic’s zone; deadlines and quiet hours by its clock.',
    shownBy: [
      shown('softening/plan', 'a plan over the autumn change has calendar days, not periods of 24 hours'),
      shown(
        'database/messages-send',
        'on the morning when the clocks go forward, quiet hours end at eight by the wall clock',
      ),
      shown('concerns/deadline', 'nine in the morning is nine by the clock on the wall'),
    ],
    after: rate('rare', 'moderate'),
    clinic: 'Keep the machine’s clock set by the network.',
  },
  {
    id: 'H14',
    hazard: 'The same message goes out twice, or a reply counts twice',
    cause: 'Two workers, a crash between sending and recording, a transport that repeats itself.',
    harm: 'Doses taken twice, trust lost, STOP out of annoyance.',
    before: rate('likely', 'moderate'),
    control: 'One key a message, a lease and a fence a try; a reply is unique by transport and id.',
    shownBy: [
      shown(
        'database/messages-crash',
        'workers killed in the middle again and again: nothing is lost and nothing goes out twice',
      ),
      shown('database/messages-inbound', 'the same reply twenty times at once is stored once'),
    ],
    after: rate('rare', 'slight'),
    clinic: 'None.',
  },
  {
    id: 'H15',
    hazard: 'A link is forwarded or read by another person',
    cause: 'A family telephone, a forwarded text.',
    harm: 'Health data seen by somebody else; answers given for the patient.',
    before: rate('possible', 'serious'),
    control:
      'A link opens one question; anything personal asks the year of birth, with few tries; it runs out.',
    shownBy: [
      shown('database/messages-links', 'a forwarded link still asks the fact of the next reader'),
      shown(
        'database/messages-links',
        'five wrong years lock the fact; a right one before that clears the count',
      ),
    ],
    after: rate('unlikely', 'moderate'),
    clinic: 'A relative who knows the year gets in: ask who answers where an answer surprises.',
  },
  {
    id: 'H16',
    hazard: 'After a restore messages go out again, or replies of the lost hours are never read',
    cause: 'The database goes back to an earlier hour; the world does not.',
    harm: 'Doses taken twice; a red flag of those hours is lost.',
    before: rate('possible', 'fatal'),
    control:
      'What was due in the lost hours waits for a person; a task says which hours are missing and that a clinician reads them at the sending service.',
    shownBy: [
      shown(
        'database/backup',
        'an instant before a deletion comes back whole, and no message goes out twice',
      ),
    ],
    after: rate('rare', 'fatal'),
    clinic: 'Do what the task says before anything else. Practise a restore once a year.',
  },
  {
    id: 'H17',
    hazard: 'The keys are lost',
    cause: 'Only one copy, on the machine that broke.',
    harm: 'Every name, number and reply is unreadable for ever: patients cannot be reached.',
    before: rate('possible', 'grave'),
    control:
      'A missing key is named in one sentence; the backup says where keys must not lie; nothing is half-sent.',
    shownBy: [
      shown(
        'database/keys',
        'data keys come under a new master key, and the old one may go; a missing key is named',
      ),
      shown('database/keys', 'a database whose keys are lost is not given new ones'),
      shown('database/messages-outbox', 'a key that is missing holds up everything and says so'),
    ],
    after: rate('unlikely', 'grave'),
    clinic: 'Keep the keys in two places, neither of them the backup.',
  },
  {
    id: 'H18',
    hazard: 'One clinic sees or changes another’s patients',
    cause: 'A query without its clinic, a guessed id.',
    harm: 'A confidence is broken; advice goes to a stranger’s patient.',
    before: rate('possible', 'grave'),
    control:
      'The database itself shows a connection one clinic’s rows only; every route is tried with foreign ids.',
    shownBy: [
      shown('database/schema', "every table's key starts with clinic_id and has forced row-level security"),
      shown(
        'database/access-routes',
        'an id of another clinic opens nothing, shows nothing and changes nothing',
      ),
      shown(
        'database/tenancy',
        'the service’s role can neither pass by row security, nor change a table, nor read what was migrated',
      ),
    ],
    after: rate('rare', 'grave'),
    clinic: 'None.',
  },
  {
    id: 'H19',
    hazard: 'A wrong rule is signed and judges every patient',
    cause: 'A number mistyped, an old draft signed, a signature without a look.',
    harm: 'Red flags are judged harmless in numbers.',
    before: rate('possible', 'fatal'),
    control:
      'Only a clinician who has just signed in signs; changes are shown one by one and tried on stored replies; an old draft is refused; unsigned, nothing goes to real patients.',
    shownBy: [
      shown(
        'database/clinician-protocol',
        'only a clinician who has just signed in signs, with name and number, and what they sign is in force',
      ),
      shown(
        'database/clinician-protocol',
        'a draft is tried on the stored replies: each that would change is shown, and nothing changes',
      ),
      shown(
        'database/messages-outbox',
        'a real transport stays shut until the protocol is signed; the demo one does not',
      ),
    ],
    after: rate('rare', 'fatal'),
    clinic: 'Two clinicians read a change before it is signed.',
  },
  {
    id: 'H20',
    hazard: 'Two patients come at one time, or one comes to a time that is gone',
    cause: 'Two accept one slot; reception books beside it.',
    harm: 'A visit is lost, an urgent one put off.',
    before: rate('likely', 'moderate'),
    control:
      'One slot goes to one; a late answer is told that it is too late; urgent visits are never pushed back.',
    shownBy: [
      shown('database/way', 'one slot goes to one of two patients and a receptionist who race for it'),
      shown(
        'softening/moves/rules',
        'double-books no practitioner, room or patient, and keeps the limits of rooms and days',
      ),
    ],
    after: rate('rare', 'slight'),
    clinic: 'The booking system stays the master: import after each change there.',
  },
  {
    id: 'H21',
    hazard: 'The forecast of readiness is trusted more than the ear',
    cause: 'A percentage looks like a measurement.',
    harm: 'Force on hard wax, pain, injury; or a needless move of the visit.',
    before: rate('possible', 'serious'),
    control:
      'It is shown with its range and grounds; withheld drops are never “ready”; the calibration against outcomes is measured and shown.',
    shownBy: [
      shown('softening/calibration', 'as many ears are soft enough as was said'),
      shown(
        'softening/readiness',
        'withheld has a rule of its own: never ready by drops, on any day, and the choices are said',
      ),
      shown('softening/day-sheet', 'what is not known is said, never left out'),
    ],
    after: rate('unlikely', 'serious'),
    clinic: 'The person who looks into the ear decides.',
  },
  {
    id: 'H22',
    hazard: 'So many alarms that the real one drowns',
    cause: 'Every doubt goes to a person.',
    harm: 'A red flag waits among thanks and questions.',
    before: rate('likely', 'grave'),
    control:
      'Urgency orders the queue; expected pain in the first days is no alarm; the share of needless ones is measured on labelled replies.',
    shownBy: [
      shown('replies/score', '1 to 3 none in the first days, 4 to 6 soon, 7 to 10 today'),
      shown(
        'database/clinician-concerns',
        'the queue shows the words first and whole, marked, with the time left and who has it',
      ),
    ],
    after: rate('possible', 'serious'),
    clinic: 'Watch the count of concerns in the evidence; change the rules where it grows.',
  },
  {
    id: 'H23',
    hazard: 'The patient cannot hear, see or read what is asked of them',
    cause: 'Age, deafness, small print, long words.',
    harm: 'Drops used wrongly; a warning not understood.',
    before: rate('likely', 'serious'),
    control: 'Text first, large and plain, read at nine to eleven years; a text relay beside every number.',
    shownBy: [
      shown('messages/catalogue', 'can be read at nine to eleven years'),
      shown(
        'messages/catalogue',
        'names a text relay wherever it gives a number to ring the clinic or for advice',
      ),
    ],
    after: rate('unlikely', 'moderate'),
    clinic: 'Ask which way suits each patient, and note it.',
  },
  {
    id: 'H24',
    hazard: 'Two clinicians act on one concern, or each thinks the other does',
    cause: 'Both open it at once.',
    harm: 'Contradicting advice, or none.',
    before: rate('possible', 'serious'),
    control: 'One holds it and the other is told who; only the holder writes and closes; a claim lapses.',
    shownBy: [
      shown(
        'database/clinician-concerns',
        'of two clinicians who take one concern at once, one has it and the other is told who',
      ),
      shown('database/clinician-concerns', 'only the holder may write, note, close or give back'),
    ],
    after: rate('rare', 'moderate'),
    clinic: 'Hand over by word at the end of a shift.',
  },
  {
    id: 'H25',
    hazard: 'A concern is closed by a machine or by a harmless later text',
    cause: '“Thank you, better now” after a red flag.',
    harm: 'The red flag is forgotten.',
    before: rate('possible', 'grave'),
    control: 'Only a clinician closes, with an outcome; a correction never lowers or closes.',
    shownBy: [
      shown(
        'database/clinician-concerns',
        '"read wrongly" is kept at one press; it never lowers or closes, and raises what was missed',
      ),
      shown(
        'database/clinician-concerns',
        'an outcome that says nothing asks for a note, and a visit outcome reaches the front desk',
      ),
    ],
    after: rate('rare', 'grave'),
    clinic: 'None.',
  },
  {
    id: 'H26',
    hazard: 'Somebody changes or erases what happened',
    cause: 'A grudge, a cover-up, a mistake at the database.',
    harm: 'The wrong lesson is drawn; a patient cannot show what was done.',
    before: rate('unlikely', 'serious'),
    control:
      'Append-only audit, hashed link by link, walked by a job; erasure keeps the record of care and says so.',
    shownBy: [
      shown('database/audit', 'the first broken link is named: changed, left out, cut off, rewritten'),
      shown(
        'database/privacy',
        'an erasure waits for open concerns and coming visits, then keeps only what the record of care needs',
      ),
    ],
    after: rate('rare', 'serious'),
    clinic: 'Keep a copy of the backups where the administrator of the machine cannot change it.',
  },
]
