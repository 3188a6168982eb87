/** The clinic's aftercare and concern rules: one row a rule, each with its source. */
import { z } from 'zod'
import { CANAL, DRUM, FELT, FOUND, METHODS, RESULTS } from '../../aftercare/record.ts'
import { SOFTNESS, VISIT_PURPOSES } from '../../softening/types.ts'
import { clinicSetting, commonPractice, published, ruleSchema } from '../rule.ts'

/** Least to most difficult. */
export const DIFFICULTY = ['easy', 'ordinary', 'hard', 'traumatic'] as const
export type DifficultyLevel = (typeof DIFFICULTY)[number]
const levelSchema = z.enum(DIFFICULTY)

export const CHECK_QUESTIONS = ['pain', 'discharge', 'hearing', 'dizziness', 'other'] as const
export type CheckQuestion = (typeof CHECK_QUESTIONS)[number]

const timeSchema = z.string().regex(/^([01]\d|2[0-3]):[0-5]\d$/, { error: 'A time of day is HH:MM.' })

/** Holds for an ear when every field named has (or, for a list, includes) one of the values given. */
export const earConditionSchema = z
  .object({
    found: z.array(z.enum(FOUND)).min(1),
    softness: z.array(z.enum(SOFTNESS)).min(1),
    methods: z.array(z.enum(METHODS)).min(1),
    result: z.array(z.enum(RESULTS)).min(1),
    canal: z.array(z.enum(CANAL)).min(1),
    drum: z.array(z.enum(DRUM)).min(1),
    felt: z.array(z.enum(FELT)).min(1),
    difficulty: z.array(levelSchema).min(1),
  })
  .partial()
  .refine((when) => Object.keys(when).length > 0, { error: 'A rule must say when it holds.' })
export type EarCondition = z.infer<typeof earConditionSchema>

const difficultyRuleSchema = ruleSchema.extend({
  when: earConditionSchema.refine((when) => when.difficulty === undefined, {
    error: 'A rule for difficulty cannot depend on difficulty.',
  }),
  level: levelSchema,
})

/** A check comes some hours after the procedure, or some calendar days after it at a local time. */
const checkTimeSchema = z.union([
  z.object({ hours: z.number().int().min(1).max(72) }),
  z.object({ days: z.number().int().min(1).max(60), at: timeSchema }),
])
export type CheckTime = z.infer<typeof checkTimeSchema>

const scheduleRuleSchema = ruleSchema.extend({ level: levelSchema, checks: z.array(checkTimeSchema).min(1) })

const silenceRuleSchema = ruleSchema.extend({
  level: levelSchema,
  unanswered: z.number().int().min(1),
  reaches: z.enum(['clinician', 'reception']),
})
export type SilenceRule = z.infer<typeof silenceRuleSchema>

/** What drops may do in an ear afterwards, mildest first. */
export const DROPS_ADVICE = ['allowed', 'ask-clinician', 'withheld'] as const
export type DropsAdvice = (typeof DROPS_ADVICE)[number]
const dropsRuleSchema = ruleSchema.extend({ when: earConditionSchema, drops: z.enum(DROPS_ADVICE) })

const visitRuleSchema = ruleSchema.extend({ when: earConditionSchema, purpose: z.enum(VISIT_PURPOSES) })

const noteRuleSchema = ruleSchema.extend({ when: earConditionSchema })

const deadlineRuleSchema = ruleSchema.extend({
  urgency: z.enum(['unclear', 'soon', 'today', 'now']),
  minutes: z.number().int().min(1).max(10_080),
  /** `open` counts only the clinic's open minutes; `wall` counts every minute. */
  clock: z.enum(['open', 'wall']),
  /** What arrives in open hours must be seen before the clinic next closes. */
  beforeClosing: z.boolean(),
})
export type DeadlineRule = z.infer<typeof deadlineRuleSchema>

export const ESCALATION_STAGES = ['opened', 'near', 'past'] as const
export type EscalationStage = (typeof ESCALATION_STAGES)[number]
const escalationRuleSchema = ruleSchema.extend({
  stage: z.enum(ESCALATION_STAGES),
  tell: z.enum(['first', 'next', 'everyone']),
  markForOwner: z.boolean(),
})

const oncePer = <Row, Key extends keyof Row>(key: Key, wanted: readonly Row[Key][]) => ({
  check: (rows: readonly Row[]): boolean =>
    rows.length === wanted.length && wanted.every((value) => rows.some((row) => row[key] === value)),
  error: `There must be exactly one rule for each of: ${wanted.join(', ')}.`,
})
const onePerLevel = oncePer<{ level: DifficultyLevel }, 'level'>('level', DIFFICULTY)
const onePerUrgency = oncePer<DeadlineRule, 'urgency'>('urgency', ['unclear', 'soon', 'today', 'now'])
const onePerStage = oncePer<{ stage: EscalationStage }, 'stage'>('stage', ESCALATION_STAGES)

export const aftercareSchema = z.object({
  difficulty: z.array(difficultyRuleSchema).min(1),
  /** This many separate reasons at `hard` make an ear `traumatic`. */
  hardTogether: ruleSchema.extend({ count: z.number().int().min(2) }),
  schedule: z.array(scheduleRuleSchema).refine(onePerLevel.check, { error: onePerLevel.error }),
  /** A check that would come sooner than this after the one before is left out. */
  checkGap: ruleSchema.extend({ hours: z.number().int().min(1).max(24) }),
  /** A check counts as unanswered this long after it was due. */
  answerWithin: ruleSchema.extend({ hours: z.number().int().min(1).max(72) }),
  silence: z.array(silenceRuleSchema).refine(onePerLevel.check, { error: onePerLevel.error }),
  silenceUrgency: z.enum(['soon', 'today', 'unclear']),
  drops: z.array(dropsRuleSchema).min(1),
  visits: z.array(visitRuleSchema).min(1),
  notes: z.array(noteRuleSchema),
  deadlines: z.array(deadlineRuleSchema).refine(onePerUrgency.check, { error: onePerUrgency.error }),
  /** The share of the time to the deadline after which an unclaimed concern is near it. */
  warnFraction: ruleSchema.extend({ fraction: z.number().gt(0).lt(1) }),
  escalation: z.array(escalationRuleSchema).refine(onePerStage.check, { error: onePerStage.error }),
})
export type AftercareRules = z.infer<typeof aftercareSchema>

const morning = '10:00'

export const defaultAftercare: AftercareRules = aftercareSchema.parse({
  difficulty: [
    {
      id: 'difficult-firm',
      text: 'Wax that was firm on arrival takes more work than soft wax.',
      source: commonPractice,
      when: { softness: ['firm'] },
      level: 'ordinary',
    },
    {
      id: 'difficult-hard-and-dry',
      text: 'A dry unsoftened plug sticks and gives the probe no seal.',
      source: commonPractice,
      when: { softness: ['hard-and-dry'] },
      level: 'hard',
    },
    {
      id: 'difficult-hard-wax',
      text: 'Hard wax takes more work than soft wax.',
      source: commonPractice,
      when: { found: ['hard-wax'] },
      level: 'ordinary',
    },
    {
      id: 'difficult-skin-plug',
      text: 'A plug of dead skin clings to the canal and is peeled away.',
      source: commonPractice,
      when: { found: ['skin-plug'] },
      level: 'ordinary',
    },
    {
      id: 'difficult-pushed-in',
      text: 'A smooth hollowed face tells of something pushed in, which packs wax deeper.',
      source: commonPractice,
      when: { found: ['hollowed-face'] },
      level: 'ordinary',
    },
    {
      id: 'difficult-foreign-body',
      text: 'A foreign body can graze the canal as it comes out.',
      source: commonPractice,
      when: { found: ['foreign-body'] },
      level: 'hard',
    },
    {
      id: 'difficult-discharge',
      text: 'Discharge in the ear is asked after early.',
      source: commonPractice,
      when: { found: ['discharge'] },
      level: 'hard',
    },
    {
      id: 'difficult-dark-specks',
      text: 'Dark specks may be fungal and are asked after early.',
      source: commonPractice,
      when: { found: ['dark-specks'] },
      level: 'hard',
    },
    {
      id: 'difficult-instrument',
      text: 'A hook or other instrument touches the canal more than suction alone.',
      source: commonPractice,
      when: { methods: ['instrument'] },
      level: 'ordinary',
    },
    {
      id: 'difficult-irrigation',
      text: 'Irrigation carries a small risk of a perforation and of an outer-ear infection.',
      source: published('NHS Tayside referral guide, Ear Wax'),
      when: { methods: ['irrigation'] },
      level: 'ordinary',
    },
    {
      id: 'difficult-part-cleared',
      text: 'Wax or skin that would not all come out has been worked at for long.',
      source: commonPractice,
      when: { result: ['part-cleared', 'not-cleared'] },
      level: 'hard',
    },
    {
      id: 'difficult-sore-canal',
      text: 'A sore canal is expected right after a hard removal.',
      source: commonPractice,
      when: { canal: ['sore'] },
      level: 'hard',
    },
    {
      id: 'difficult-grazed-canal',
      text: 'A grazed canal can become infected: recent suction is listed as a cause of outer-ear infection.',
      source: published('Kernow CCG referral guidance, Otitis externa'),
      when: { canal: ['grazed'] },
      level: 'traumatic',
    },
    {
      id: 'difficult-bleeding-canal',
      text: 'A canal that bled is asked after soonest.',
      source: commonPractice,
      when: { canal: ['bleeding'] },
      level: 'traumatic',
    },
    {
      id: 'difficult-inflamed-drum',
      text: 'A reddened drum is expected right after a hard removal.',
      source: commonPractice,
      when: { drum: ['inflamed'] },
      level: 'hard',
    },
    {
      id: 'difficult-skin-on-drum',
      text: 'Skin that clings to the drum pulls on it as it comes away.',
      source: commonPractice,
      when: { drum: ['skin-adherent'] },
      level: 'hard',
    },
    {
      id: 'difficult-healed-perforation',
      text: 'A perforation healed within the last few months can reopen under suction.',
      source: commonPractice,
      when: { drum: ['healed-perforation'] },
      level: 'hard',
    },
    {
      id: 'difficult-perforated-drum',
      text: 'A hole seen in the drum is treated as new until a clinician says otherwise.',
      source: clinicSetting,
      when: { drum: ['perforated'] },
      level: 'traumatic',
    },
    {
      id: 'difficult-drum-not-seen',
      text: 'A drum that was not seen may hide what nobody has looked at.',
      source: commonPractice,
      when: { drum: ['not-seen'] },
      level: 'ordinary',
    },
    {
      id: 'difficult-discomfort',
      text: 'Discomfort during the procedure.',
      source: commonPractice,
      when: { felt: ['discomfort', 'coughed'] },
      level: 'ordinary',
    },
    {
      id: 'difficult-pain',
      text: 'Pain during the procedure: the mean after suction is 2.34 on a scale of 1 to 10, so pain is not usual.',
      source: published('J Laryngol Otol 2014, Aural microsuction for wax impaction'),
      when: { felt: ['pain'] },
      level: 'hard',
    },
    {
      id: 'difficult-dizzy',
      text: 'Dizziness or faintness during the procedure: it is expected to pass, so it is asked after early.',
      source: commonPractice,
      when: { felt: ['dizzy', 'faint'] },
      level: 'hard',
    },
  ],
  hardTogether: {
    id: 'difficult-many-reasons',
    text: 'An ear with this many separate reasons to be hard is asked after as a traumatic one.',
    source: clinicSetting,
    count: 3,
  },
  schedule: [
    {
      id: 'checks-easy',
      text: 'After an easy removal: one check, two days later.',
      source: clinicSetting,
      level: 'easy',
      checks: [{ days: 2, at: morning }],
    },
    {
      id: 'checks-ordinary',
      text: 'After an ordinary removal: the next day, and three days after it.',
      source: clinicSetting,
      level: 'ordinary',
      checks: [
        { days: 1, at: morning },
        { days: 4, at: morning },
      ],
    },
    {
      id: 'checks-hard',
      text: 'After a hard removal: the same day, the next day, and on days 3 and 7.',
      source: clinicSetting,
      level: 'hard',
      checks: [{ hours: 5 }, { days: 1, at: morning }, { days: 3, at: morning }, { days: 7, at: morning }],
    },
    {
      id: 'checks-traumatic',
      text: 'After a traumatic removal: within hours, each of the next three days, and on days 5, 7 and 14.',
      source: clinicSetting,
      level: 'traumatic',
      checks: [
        { hours: 3 },
        { days: 1, at: morning },
        { days: 2, at: morning },
        { days: 3, at: morning },
        { days: 5, at: morning },
        { days: 7, at: morning },
        { days: 14, at: morning },
      ],
    },
  ],
  checkGap: {
    id: 'check-gap',
    text: 'Two checks are never closer than this: the later one is left out.',
    source: clinicSetting,
    hours: 6,
  },
  answerWithin: {
    id: 'check-answer-within',
    text: 'A check that has no answer this long after it was due counts as unanswered.',
    source: clinicSetting,
    hours: 24,
  },
  silence: [
    {
      id: 'silence-easy',
      text: 'One unanswered check after an easy removal goes to the reception list.',
      source: clinicSetting,
      level: 'easy',
      unanswered: 1,
      reaches: 'reception',
    },
    {
      id: 'silence-ordinary',
      text: 'Two unanswered checks after an ordinary removal go to the reception list.',
      source: clinicSetting,
      level: 'ordinary',
      unanswered: 2,
      reaches: 'reception',
    },
    {
      id: 'silence-hard',
      text: 'Two unanswered checks after a hard removal open a concern.',
      source: clinicSetting,
      level: 'hard',
      unanswered: 2,
      reaches: 'clinician',
    },
    {
      id: 'silence-traumatic',
      text: 'Two unanswered checks after a traumatic removal open a concern.',
      source: clinicSetting,
      level: 'traumatic',
      unanswered: 2,
      reaches: 'clinician',
    },
  ],
  silenceUrgency: 'soon',
  drops: [
    {
      id: 'drops-perforation',
      text: 'No drops into an ear with a hole in its drum.',
      source: published(
        'NHS website, Earwax build-up; MSD Manual Professional, How to remove cerumen (2023)',
      ),
      when: { drum: ['perforated'] },
      drops: 'withheld',
    },
    {
      id: 'drops-discharge',
      text: 'No drops into a draining ear: drainage makes an intact drum doubtful.',
      source: published('MSD Manual Professional, How to remove cerumen (2023)'),
      when: { found: ['discharge'] },
      drops: 'withheld',
    },
    {
      id: 'drops-foreign-body',
      text: 'No drops onto a foreign body that may still be in the ear: some swell or leak when wet.',
      source: commonPractice,
      when: { found: ['foreign-body'], result: ['part-cleared', 'not-cleared'] },
      drops: 'withheld',
    },
    {
      id: 'drops-healed-perforation',
      text: 'A healed hole may not be sound: the clinician decides about drops.',
      source: commonPractice,
      when: { drum: ['healed-perforation'] },
      drops: 'ask-clinician',
    },
    {
      id: 'drops-inflamed-drum',
      text: 'A reddened drum may be sore from the removal or infected: the clinician decides about drops.',
      source: commonPractice,
      when: { drum: ['inflamed'] },
      drops: 'ask-clinician',
    },
    {
      id: 'drops-fungal',
      text: 'Where dark specks may be fungal the clinician decides about drops.',
      source: commonPractice,
      when: { found: ['dark-specks'] },
      drops: 'ask-clinician',
    },
  ],
  visits: [
    {
      id: 'visit-perforation',
      text: 'A hole in the drum is looked at again.',
      source: commonPractice,
      when: { drum: ['perforated'] },
      purpose: 'assessment',
    },
    {
      id: 'visit-discharge',
      text: 'A draining ear is looked at again before anything more is removed.',
      source: commonPractice,
      when: { found: ['discharge'] },
      purpose: 'assessment',
    },
    {
      id: 'visit-foreign-body',
      text: 'A foreign body that is still there is looked at before it is tried again.',
      source: commonPractice,
      when: { found: ['foreign-body'], result: ['part-cleared', 'not-cleared'] },
      purpose: 'assessment',
    },
    {
      id: 'visit-not-all-out',
      text: 'Softener is used again before a second try.',
      source: published('NICE NG98 section 1.2 (for irrigation; common practice for suction)'),
      when: { result: ['part-cleared', 'not-cleared'] },
      purpose: 'removal',
    },
    {
      id: 'visit-fungal',
      text: 'An ear with dark specks that may be fungal is looked at again.',
      source: commonPractice,
      when: { found: ['dark-specks'] },
      purpose: 'recheck',
    },
    {
      id: 'visit-traumatic',
      text: 'An ear that had a traumatic removal is looked at again.',
      source: clinicSetting,
      when: { difficulty: ['traumatic'] },
      purpose: 'recheck',
    },
    {
      id: 'visit-drum-not-seen',
      text: 'A drum that was not seen is looked at once the ear has settled.',
      source: commonPractice,
      when: { drum: ['not-seen'] },
      purpose: 'recheck',
    },
  ],
  notes: [
    {
      id: 'note-perforation',
      text: 'Hole seen in the drum: no drops, no irrigation.',
      source: published(
        'NHS website, Earwax build-up; MSD Manual Professional, How to remove cerumen (2023)',
      ),
      when: { drum: ['perforated'] },
    },
    {
      id: 'note-healed-perforation',
      text: 'Healed hole seen in the drum: it can reopen under strong suction.',
      source: commonPractice,
      when: { drum: ['healed-perforation'] },
    },
    {
      id: 'note-skin-plug',
      text: 'Dead-skin plug: it tends to come back, so the next softening plan is a longer one.',
      source: commonPractice,
      when: { found: ['skin-plug'] },
    },
    {
      id: 'note-pushed-in',
      text: 'Smooth hollowed face: ask what is put into the ear. NICE advises against small objects in the ear.',
      source: published('NICE NG98 section 1.2'),
      when: { found: ['hollowed-face'] },
    },
    {
      id: 'note-fungal',
      text: 'Dark specks that may be fungal: look for them at the next visit.',
      source: commonPractice,
      when: { found: ['dark-specks'] },
    },
    {
      id: 'note-dry',
      text: 'Hard and dry on arrival: look at how the drops were used.',
      source: commonPractice,
      when: { softness: ['hard-and-dry'] },
    },
    {
      id: 'note-expected-soreness',
      text: 'A sore canal or a reddened drum is expected right after a hard removal; soreness that grows is not.',
      source: commonPractice,
      when: { canal: ['sore'] },
    },
    {
      id: 'note-expected-redness',
      text: 'A reddened drum is expected right after a hard removal; pain that grows is not.',
      source: commonPractice,
      when: { drum: ['inflamed'] },
    },
  ],
  deadlines: [
    {
      id: 'deadline-now',
      text: 'What cannot wait is read within a quarter of an hour while the clinic is open.',
      source: clinicSetting,
      urgency: 'now',
      minutes: 15,
      clock: 'open',
      beforeClosing: true,
    },
    {
      id: 'deadline-today',
      text: 'The same day: sudden hearing loss is to be seen within 24 hours, so the reading leaves time for it.',
      source: published('NICE NG98 rec 1.1.2; the minutes are the clinic setting'),
      urgency: 'today',
      minutes: 120,
      clock: 'open',
      beforeClosing: true,
    },
    {
      id: 'deadline-unclear',
      text: 'What could not be read may be anything, so a person reads it before the clinic closes.',
      source: clinicSetting,
      urgency: 'unclear',
      minutes: 120,
      clock: 'open',
      beforeClosing: true,
    },
    {
      id: 'deadline-soon',
      text: 'Within about a working day.',
      source: clinicSetting,
      urgency: 'soon',
      minutes: 480,
      clock: 'open',
      beforeClosing: false,
    },
  ],
  warnFraction: {
    id: 'deadline-warning',
    text: 'An unclaimed concern is near its deadline when this share of the time has passed.',
    source: clinicSetting,
    fraction: 0.5,
  },
  escalation: [
    {
      id: 'escalate-opened',
      text: 'A new concern is told to the first person on the list.',
      source: clinicSetting,
      stage: 'opened',
      tell: 'first',
      markForOwner: false,
    },
    {
      id: 'escalate-near',
      text: 'Near its deadline and unclaimed: the next person on the list is told.',
      source: clinicSetting,
      stage: 'near',
      tell: 'next',
      markForOwner: false,
    },
    {
      id: 'escalate-past',
      text: 'Past its deadline and unclaimed: everyone on the list is told and it is marked for the owner.',
      source: clinicSetting,
      stage: 'past',
      tell: 'everyone',
      markForOwner: true,
    },
  ],
})
