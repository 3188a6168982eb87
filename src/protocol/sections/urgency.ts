/**
 * How urgent a reply is: the protocol's section of additive points, red-flag floors and doubts.
 * Every rule is a row of data with its source; src/replies/score.ts only evaluates rows.
 */
import { z } from 'zod'
import {
  clinicSetting as clinic,
  commonPractice as practice,
  published,
  ruleSchema,
  type Source,
  urgencySchema,
} from '../rule.ts'

export const FINDING_KINDS = [
  'pain',
  'discharge',
  'bleeding',
  'hearing-loss',
  'dizziness',
  'facial-weakness',
  'stroke-sign',
  'fever',
  'swelling',
  'airway',
  'chest',
  'collapse',
  'ringing',
  'blocked',
  'itch',
  'nausea',
  'vomiting',
  'headache',
  'stiff-neck',
  'light-hurts',
  'rash',
  'unwell',
  'sepsis-sign',
  'distress',
  'self-harm',
  'contraindicated-drops',
  'injury',
  'other',
] as const
export type FindingKind = (typeof FINDING_KINDS)[number]

/** What the words, the numbers or the days say of one finding. The second half is worked out by the scorer. */
export const FINDING_TAGS = [
  'coloured',
  'smelly',
  'clear',
  'old-blood',
  'heavy',
  'will-not-stop',
  'spinning',
  'light-headed',
  'unsteady',
  'cannot-stand',
  'lasting',
  'brief',
  'behind-ear',
  'high',
  'very',
  'marked',
  'slight',
  'chronic',
  'expected',
  'elsewhere',
  'sudden',
  'worse',
  'new',
  'gone',
  // worked out
  'mild',
  'moderate',
  'severe',
  'no-strength',
  'in-usual-days',
  'outlasts-usual-days',
  'sudden-within-30-days',
  'sudden-over-30-days-ago',
  'rapid-4-to-90-days',
  'long-standing',
] as const
export type FindingTag = (typeof FINDING_TAGS)[number]

/** Screening items, as the plan and the command name them. */
export const HISTORY_KINDS = [
  'perforation',
  'recent-perforation',
  'surgery',
  'grommets',
  'infection',
  'discharge',
  'allergy',
  'drops-reaction',
  'only-hearing-ear',
  'immunocompromised',
  'anticoagulant',
  'diabetes',
] as const
export type HistoryKind = (typeof HISTORY_KINDS)[number]

export const RISK_KINDS = [
  'immunocompromised',
  'only-hearing-ear',
  'anticoagulant',
  'diabetes',
  'recent-perforation-or-surgery',
  'hard-procedure',
  'elderly',
] as const
export type RiskKind = (typeof RISK_KINDS)[number]

const tag = z.enum(FINDING_TAGS)

/** A row matches a finding of one of `kinds` that has all of `all`, one of `any` (if given), none of `not`. */
const conditionSchema = z.object({
  kinds: z.array(z.enum(FINDING_KINDS)).min(1),
  all: z.array(tag).default([]),
  any: z.array(tag).default([]),
  not: z.array(tag).default([]),
  /** Also needed: another affirmed finding of one of these kinds (and with one of these tags, if given). */
  with: z.array(z.enum(FINDING_KINDS)).default([]),
  withAny: z.array(tag).default([]),
  risks: z.array(z.enum(RISK_KINDS)).default([]),
  contexts: z.array(z.enum(['softening', 'aftercare', 'screening'])).default([]),
  /** Also matches a sign that has passed. */
  evenIfPast: z.boolean().default(false),
})
export type Condition = z.infer<typeof conditionSchema>

const pointRowSchema = ruleSchema.extend({ points: z.number().int().min(1).max(50), when: conditionSchema })
const riskRowSchema = ruleSchema.extend({ points: z.number().int().min(1).max(50), risk: z.enum(RISK_KINDS) })
const floorRowSchema = ruleSchema.extend({ urgency: urgencySchema, when: conditionSchema })
const trendRowSchema = ruleSchema.extend({
  urgency: urgencySchema,
  signal: z.enum([
    'pain-rising',
    'pain-risen-to-severe',
    'newly-present',
    'worse-than-before',
    'hearing-not-back',
    'urgent-unresolved',
  ]),
  kinds: z.array(z.enum(FINDING_KINDS)).default([]),
})
const doubtRowSchema = ruleSchema.extend({ urgency: urgencySchema })
const historyRowSchema = ruleSchema.extend({
  urgency: urgencySchema,
  history: z.array(z.enum(HISTORY_KINDS)).min(1),
  when: z.enum(['present', 'past']),
  /** Only where the reply also names one of these. */
  naming: z.array(z.string()).default([]),
})

export const urgencyRulesSchema = z.object({
  /** Score from which a reply is `soon`, and `today`. `now` comes from floors only. */
  bands: z.object({ soon: z.number().int().min(1), today: z.number().int().min(1) }),
  /** Pain 1..mildUpTo is mild, ..moderateUpTo moderate, above severe. */
  pain: z.object({ mildUpTo: z.number().int(), moderateUpTo: z.number().int(), source: z.string() }),
  /** Days after the procedure during which mild soreness is usual. */
  usualSorenessDays: z.object({ ordinary: z.number().int().min(0), hard: z.number().int().min(0) }),
  /** NICE NG98 1.1.2: all bounds inclusive. */
  onset: z.object({
    suddenOverDays: z.number(),
    recentWithinDays: z.number(),
    rapidFromDays: z.number(),
    rapidToDays: z.number(),
  }),
  /** A rise of at least this many points of pain between two checks is a rise. */
  painRise: z.number().min(0.5),
  points: z.array(pointRowSchema),
  riskPoints: z.array(riskRowSchema),
  floors: z.array(floorRowSchema),
  trends: z.array(trendRowSchema),
  history: z.array(historyRowSchema),
  doubts: z.array(doubtRowSchema),
})
export type UrgencyRules = z.infer<typeof urgencyRulesSchema>

const NG98_SUDDEN = published('NICE NG98 1.1.2')
const NG98_FACE = published('NICE NG98 1.1.3')
const NG98_IMMUNE = published('NICE NG98 1.1.4')
const NG98_REFER = published('NICE NG98 section 1.1')
const NG127_FOCAL = published('NICE NG127 1.2.1')
const NG127_VESTIBULAR = published('NICE NG127 1.2.4')
const NG127_BENIGN = published('NICE NG127 section 1.2')
const FAST = published('NHS Act FAST')
const SEPSIS = published('NHS "Sepsis"')
const SEPSIS_TRUST = published('UK Sepsis Trust')
const MASTOID = published('NHS "Mastoiditis"')
const CKS_OE = published('NICE CKS Otitis externa')
const NRS = published('Serlin et al., Pain 1995;61:277-84')
const MICROSUCTION = published('J Laryngol Otol 2014, aural microsuction for wax impaction')
const TAYSIDE = published('NHS Tayside leaflet LN0311')
const EARWAX = published('NHS "Earwax build-up"')
const MSD = published('MSD Manual Professional, "How to remove cerumen" (2023)')
const TAYSIDE_GUIDE = published('NHS Tayside referral guide, Ear Wax')

type When = Partial<Condition> & Pick<Condition, 'kinds'>
const point = (id: string, text: string, points: number, source: Source, when: When) => ({
  id,
  text,
  source,
  points,
  when,
})
const floor = (
  id: string,
  text: string,
  urgency: z.infer<typeof urgencySchema>,
  source: Source,
  when: When,
) => ({ id, text, source, urgency, when })

/** The rules that a clinic starts from; a named clinician signs them before any real patient is written to. */
export const defaultUrgencyRules: UrgencyRules = urgencyRulesSchema.parse({
  bands: { soon: 4, today: 10 },
  pain: {
    mildUpTo: 3,
    moderateUpTo: 6,
    source: 'Serlin et al. 1995 for severe from 7; clinic setting for 4',
  },
  usualSorenessDays: { ordinary: 3, hard: 5 },
  onset: { suddenOverDays: 3, recentWithinDays: 30, rapidFromDays: 4, rapidToDays: 90 },
  painRise: 2,

  points: [
    point('p-pain-mild', 'Mild pain, 1 to 3', 1, NRS, { kinds: ['pain'], all: ['mild'] }),
    point('p-pain-moderate', 'Moderate pain, 4 to 6', 4, NRS, { kinds: ['pain'], all: ['moderate'] }),
    point('p-pain-severe', 'Severe pain, 7 to 10', 10, NRS, { kinds: ['pain'], all: ['severe'] }),
    point('p-pain-no-strength', 'Pain with no strength given', 4, clinic, {
      kinds: ['pain'],
      all: ['no-strength'],
      not: ['in-usual-days'],
    }),
    point('p-pain-outlasts', 'Mild pain that outlasts its usual days', 4, MICROSUCTION, {
      kinds: ['pain'],
      all: ['outlasts-usual-days'],
    }),
    point('p-bleeding', 'Blood', 10, clinic, { kinds: ['bleeding'], not: ['old-blood'] }),
    point('p-old-blood', 'Old or dried blood', 4, TAYSIDE, { kinds: ['bleeding'], all: ['old-blood'] }),
    point('p-discharge-coloured', 'Coloured or smelling discharge', 10, CKS_OE, {
      kinds: ['discharge'],
      any: ['coloured', 'smelly'],
    }),
    point('p-discharge', 'Discharge, clear or not described', 4, MSD, { kinds: ['discharge'] }),
    point('p-hearing', 'Hearing loss', 4, NG98_REFER, { kinds: ['hearing-loss'], not: ['long-standing'] }),
    point('p-dizziness', 'Dizziness', 4, NG127_BENIGN, {
      kinds: ['dizziness'],
      not: ['brief', 'long-standing'],
    }),
    point(
      'p-dizziness-brief',
      'A brief dizzy moment that has passed',
      1,
      published('patient-information pages: minutes'),
      {
        kinds: ['dizziness'],
        all: ['brief'],
      },
    ),
    point('p-ringing', 'Ringing', 4, NG98_REFER, { kinds: ['ringing'], not: ['long-standing'] }),
    point('p-blocked', 'A blocked feeling', 2, practice, { kinds: ['blocked'], not: ['long-standing'] }),
    point('p-blocked-after', 'A blocked feeling after the procedure', 2, practice, {
      kinds: ['blocked'],
      not: ['long-standing'],
      contexts: ['aftercare'],
    }),
    point('p-itch', 'Itch', 2, practice, { kinds: ['itch'], not: ['long-standing'] }),
    point('p-nausea', 'Nausea or vomiting', 4, clinic, { kinds: ['nausea', 'vomiting'] }),
    point('p-headache', 'Headache', 4, clinic, { kinds: ['headache'], not: ['long-standing'] }),
    point('p-swelling', 'Swelling', 10, CKS_OE, { kinds: ['swelling'], not: ['long-standing'] }),
    point('p-fever', 'Fever', 10, MASTOID, { kinds: ['fever'] }),
    point('p-rash', 'Rash or reaction', 4, clinic, { kinds: ['rash'] }),
    point('p-unwell', 'Feels unwell', 4, clinic, { kinds: ['unwell'] }),
    point('p-distress', 'Distress', 4, clinic, { kinds: ['distress'] }),
    point('p-other', 'Another symptom', 4, clinic, {
      kinds: ['other', 'injury', 'light-hurts', 'stiff-neck'],
    }),
  ],

  riskPoints: [
    { id: 'r-immune', text: 'Weak immune system', points: 3, risk: 'immunocompromised', source: NG98_IMMUNE },
    { id: 'r-diabetes', text: 'Diabetes', points: 2, risk: 'diabetes', source: CKS_OE },
    {
      id: 'r-only-ear',
      text: 'Only hearing ear',
      points: 2,
      risk: 'only-hearing-ear',
      source: TAYSIDE_GUIDE,
    },
    { id: 'r-thinners', text: 'Blood thinners', points: 2, risk: 'anticoagulant', source: MSD },
    {
      id: 'r-recent-hole',
      text: 'Recent perforation or ear surgery',
      points: 2,
      risk: 'recent-perforation-or-surgery',
      source: MSD,
    },
    {
      id: 'r-hard',
      text: 'Difficult or traumatic procedure',
      points: 1,
      risk: 'hard-procedure',
      source: practice,
    },
  ],

  floors: [
    floor('f-face', 'Facial weakness, droop or altered feeling, even if it passed', 'now', NG98_FACE, {
      kinds: ['facial-weakness'],
      evenIfPast: true,
    }),
    floor('f-stroke', 'A sign of stroke, even if it passed', 'now', FAST, {
      kinds: ['stroke-sign'],
      evenIfPast: true,
    }),
    floor('f-vertigo-vomiting', 'Spinning or dizziness with vomiting', 'now', NG127_VESTIBULAR, {
      kinds: ['dizziness'],
      with: ['vomiting'],
    }),
    floor('f-vertigo-cannot-stand', 'Dizziness and cannot stand or walk', 'now', NG127_VESTIBULAR, {
      kinds: ['dizziness'],
      any: ['cannot-stand'],
    }),
    floor('f-vertigo-nausea', 'Spinning with nausea', 'today', NG127_VESTIBULAR, {
      kinds: ['dizziness'],
      any: ['spinning', 'unsteady', 'very'],
      with: ['nausea'],
    }),
    floor('f-dizzy-deaf-sudden', 'Dizziness with sudden or marked deafness', 'now', NG127_FOCAL, {
      kinds: ['dizziness'],
      with: ['hearing-loss'],
      withAny: ['sudden', 'sudden-within-30-days', 'marked'],
      not: ['brief', 'long-standing'],
    }),
    floor('f-dizzy-deaf', 'Dizziness with new deafness', 'today', NG127_FOCAL, {
      kinds: ['dizziness'],
      with: ['hearing-loss'],
      withAny: ['new', 'sudden', 'worse', 'marked', 'sudden-within-30-days', 'rapid-4-to-90-days'],
      not: ['brief', 'long-standing'],
    }),
    floor('f-dizzy-sudden-unsteady', 'Sudden dizziness with unsteadiness', 'now', NG127_FOCAL, {
      kinds: ['dizziness'],
      all: ['sudden', 'unsteady'],
    }),
    floor('f-dizzy-unsteady', 'Dizziness with unsteadiness', 'today', NG127_FOCAL, {
      kinds: ['dizziness'],
      any: ['unsteady'],
      not: ['brief', 'long-standing'],
    }),
    floor('f-bleeding-heavy', 'Heavy bleeding or bleeding that will not stop', 'now', clinic, {
      kinds: ['bleeding'],
      any: ['heavy', 'will-not-stop'],
    }),
    floor('f-collapse', 'Collapse, faint or fit, even if it passed', 'now', FAST, {
      kinds: ['collapse'],
      evenIfPast: true,
    }),
    floor('f-behind-ear-fever', 'Swelling behind the ear with fever or feeling ill', 'now', MASTOID, {
      kinds: ['swelling'],
      all: ['behind-ear'],
      with: ['fever', 'unwell', 'sepsis-sign'],
    }),
    floor('f-meningitis', 'Stiff neck with headache, fever or light that hurts', 'now', SEPSIS, {
      kinds: ['stiff-neck'],
      with: ['headache', 'fever', 'light-hurts', 'rash', 'vomiting', 'unwell'],
    }),
    floor('f-meningitis-light', 'Light hurts the eyes, with headache, fever or rash', 'now', SEPSIS, {
      kinds: ['light-hurts'],
      with: ['headache', 'fever', 'rash', 'vomiting', 'unwell'],
    }),
    floor('f-thunderclap', 'Sudden worst headache', 'now', FAST, {
      kinds: ['headache'],
      any: ['sudden', 'very'],
      not: ['long-standing'],
    }),
    floor('f-airway', 'Throat, tongue or lips swelling, or trouble breathing', 'now', SEPSIS, {
      kinds: ['airway'],
      evenIfPast: true,
    }),
    floor('f-chest', 'Chest pain', 'now', clinic, { kinds: ['chest'], evenIfPast: true }),
    floor('f-sepsis', 'A sign of sepsis', 'now', SEPSIS, { kinds: ['sepsis-sign'] }),
    floor('f-very-unwell-fever', 'Very unwell with fever', 'now', SEPSIS_TRUST, {
      kinds: ['unwell'],
      any: ['very'],
      with: ['fever'],
    }),
    floor('f-very-unwell', 'Very unwell', 'today', SEPSIS_TRUST, { kinds: ['unwell'], any: ['very'] }),
    floor('f-self-harm', 'Thoughts of self-harm', 'now', clinic, { kinds: ['self-harm'], evenIfPast: true }),
    floor('f-distress', 'Distress', 'soon', clinic, { kinds: ['distress'] }),
    floor('f-distress-very', 'Great distress', 'today', clinic, { kinds: ['distress'], any: ['very'] }),
    floor('f-hearing-sudden', 'New hearing loss over 3 days or less, within 30 days', 'today', NG98_SUDDEN, {
      kinds: ['hearing-loss'],
      any: ['sudden-within-30-days'],
    }),
    floor('f-hearing-sudden-older', 'Sudden hearing loss more than 30 days ago', 'soon', NG98_SUDDEN, {
      kinds: ['hearing-loss'],
      any: ['sudden-over-30-days-ago'],
    }),
    floor('f-hearing-rapid', 'Hearing worse over 4 to 90 days', 'soon', NG98_SUDDEN, {
      kinds: ['hearing-loss'],
      any: ['rapid-4-to-90-days'],
    }),
    floor(
      'f-hearing-marked',
      'Marked hearing loss, or new or worse since the procedure',
      'today',
      NG98_SUDDEN,
      {
        kinds: ['hearing-loss'],
        any: ['marked', 'worse', 'new'],
        not: ['long-standing', 'slight', 'rapid-4-to-90-days', 'sudden-over-30-days-ago'],
      },
    ),
    floor('f-hearing', 'Hearing loss', 'soon', NG98_REFER, {
      kinds: ['hearing-loss'],
      not: ['long-standing'],
    }),
    floor('f-pain-severe', 'Severe pain', 'today', NRS, { kinds: ['pain'], all: ['severe'] }),
    floor('f-pain-worse', 'Pain that grows', 'today', CKS_OE, { kinds: ['pain'], any: ['worse'] }),
    floor('f-pain-immune', 'Pain in a weak immune system', 'today', NG98_IMMUNE, {
      kinds: ['pain'],
      risks: ['immunocompromised'],
    }),
    floor('f-discharge-immune', 'Discharge in a weak immune system', 'today', NG98_IMMUNE, {
      kinds: ['discharge'],
      risks: ['immunocompromised'],
    }),
    floor('f-pain-fever', 'Fever with ear pain', 'today', MASTOID, { kinds: ['pain'], with: ['fever'] }),
    floor('f-fever', 'Fever', 'today', MASTOID, { kinds: ['fever'] }),
    floor('f-bleeding', 'Fresh blood', 'today', clinic, { kinds: ['bleeding'], not: ['old-blood'] }),
    floor('f-old-blood', 'Old or dried blood', 'soon', TAYSIDE, { kinds: ['bleeding'], all: ['old-blood'] }),
    floor('f-old-blood-thinners', 'Any blood on blood thinners', 'today', MSD, {
      kinds: ['bleeding'],
      risks: ['anticoagulant'],
    }),
    floor('f-discharge-coloured', 'Pus, coloured or smelling discharge', 'today', CKS_OE, {
      kinds: ['discharge'],
      any: ['coloured', 'smelly'],
    }),
    floor('f-discharge', 'Discharge', 'soon', MSD, { kinds: ['discharge'] }),
    floor('f-behind-ear', 'Swelling behind the ear', 'today', MASTOID, {
      kinds: ['swelling'],
      any: ['behind-ear'],
    }),
    floor('f-swelling', 'Swelling of the ear', 'today', CKS_OE, {
      kinds: ['swelling'],
      not: ['long-standing'],
    }),
    floor('f-dizzy-lasting', 'Dizziness that lasts, spins or is strong', 'today', NG127_FOCAL, {
      kinds: ['dizziness'],
      any: ['lasting', 'spinning', 'very', 'worse', 'sudden'],
      not: ['brief', 'long-standing'],
    }),
    floor('f-dizzy', 'Dizziness or light-headedness', 'soon', NG127_BENIGN, {
      kinds: ['dizziness'],
      not: ['brief', 'long-standing'],
    }),
    floor('f-rash', 'Rash or reaction to drops', 'today', clinic, { kinds: ['rash'], not: ['slight'] }),
    floor('f-rash-slight', 'A slight rash', 'soon', clinic, { kinds: ['rash'] }),
    floor('f-contraindicated', 'Drops in an ear that must not have them', 'soon', EARWAX, {
      kinds: ['contraindicated-drops'],
      evenIfPast: true,
    }),
    floor('f-vomiting', 'Vomiting', 'soon', clinic, { kinds: ['vomiting', 'nausea'] }),
    floor('f-light-hurts', 'Light hurts the eyes, or a stiff neck', 'today', SEPSIS, {
      kinds: ['light-hurts', 'stiff-neck'],
      not: ['long-standing'],
    }),
    floor('f-ringing', 'New or changed ringing', 'soon', NG98_REFER, {
      kinds: ['ringing'],
      not: ['long-standing'],
    }),
    floor('f-other-worse', 'Something unnamed that gets worse', 'today', CKS_OE, {
      kinds: ['other'],
      all: ['worse'],
      not: ['elsewhere'],
    }),
    floor('f-injury', 'An injury to the ear or head', 'today', CKS_OE, { kinds: ['injury'] }),
    floor('f-other', 'Another symptom', 'soon', clinic, {
      kinds: ['other', 'unwell', 'headache', 'itch'],
      not: ['long-standing'],
    }),
  ],

  trends: [
    {
      id: 't-pain-rising',
      text: 'Pain higher than at the check before, by 2 points or more',
      urgency: 'today',
      signal: 'pain-rising',
      source: CKS_OE,
    },
    {
      id: 't-pain-creeping',
      text: 'Pain rising over three checks',
      urgency: 'today',
      signal: 'pain-risen-to-severe',
      source: CKS_OE,
    },
    {
      id: 't-newly-present',
      text: 'Denied at the check before and there now',
      urgency: 'today',
      signal: 'newly-present',
      kinds: ['discharge', 'bleeding', 'hearing-loss', 'dizziness', 'fever', 'swelling'],
      source: clinic,
    },
    {
      id: 't-worse-than-before',
      text: 'Said to be worse than before',
      urgency: 'today',
      signal: 'worse-than-before',
      source: CKS_OE,
    },
    {
      id: 't-hearing-not-back',
      text: 'Hearing lost at earlier checks has not come back',
      urgency: 'today',
      signal: 'hearing-not-back',
      source: NG98_SUDDEN,
    },
    {
      id: 't-unresolved',
      text: 'An urgent sign of an earlier check is still there',
      urgency: 'today',
      signal: 'urgent-unresolved',
      source: clinic,
    },
  ],

  history: [
    {
      id: 'h-changes-plan',
      text: 'A present or recent history that changes the plan',
      urgency: 'soon',
      history: [
        'perforation',
        'recent-perforation',
        'surgery',
        'grommets',
        'infection',
        'discharge',
        'drops-reaction',
      ],
      when: 'present',
      source: MSD,
    },
    {
      id: 'h-allergy-to-agent',
      text: 'An allergy that touches a softening agent',
      urgency: 'soon',
      history: ['allergy'],
      when: 'present',
      naming: [
        'almond',
        'olive',
        'oil',
        'bicarb',
        'drops',
        'nuts',
        'peanut',
        'nut allerg',
        'allergic to nut',
      ],
      source: EARWAX,
    },
    {
      id: 'h-recent-hole',
      text: 'A perforation within the last months, even if healed',
      urgency: 'soon',
      history: ['recent-perforation'],
      when: 'past',
      source: practice,
    },
  ],

  doubts: [
    ['u-unaccounted', 'Words that the reader could not account for'],
    ['u-language', 'Another language'],
    ['u-other-person', "Somebody else's symptom"],
    ['u-contradiction', 'The reply contradicts itself or its question'],
    ['u-bare', 'A bare word without an open question'],
    ['u-two-questions', 'A bare answer with two questions open'],
    ['u-asked', 'A question for the clinic'],
    ['u-hypothetical', 'Something that might happen'],
    ['u-call-me', 'Wants to be called'],
    ['u-wrong-number', 'Wrong number'],
    ['u-second-reader', 'The second reader saw a word of alarm'],
    ['u-third-reader', 'The third reader weighed the words like those of replies that needed a clinician'],
    ['u-sounds-urgent', 'The words weigh like those of replies that could not wait for tomorrow'],
    ['u-empty', 'Nothing to read'],
    ['u-unreadable', 'The input could not be read'],
    ['u-vague', 'Something is wrong, but not what'],
    ['u-instructs', 'The reply tells the service what to conclude'],
    ['u-unanswered', 'The open question is not answered'],
    ['u-unsure', 'Not sure'],
    ['u-complaint', 'A complaint that a person should read'],
  ].map(([id, text]) => ({
    id,
    text,
    urgency: id === 'u-sounds-urgent' ? 'today' : 'unclear',
    source: clinic,
  })),
})
