/** Agents, plans and reminders, as shipped. A clinician signs them before use. */
import { clinicSetting, commonPractice, published } from '../rule.ts'

const TAYSIDE = published('NHS Tayside referral guide, Ear Wax: twice daily for 3-5 days')
const AAO = published('AAO-HNSF cerumen guideline, Otolaryngol Head Neck Surg 2017;156(1S):S16')

export const planDefaults = {
  agents: [
    {
      id: 'olive-oil',
      name: 'olive oil ear drops',
      text: 'Olive oil: 3 drops twice a day for 5 days before the visit',
      source: TAYSIDE,
      advised: true,
      dropsADose: 3,
      dosesADay: 2,
      days: 5,
      maxDays: 14,
      instructions: [],
    },
    {
      id: 'sodium-bicarbonate',
      name: 'sodium bicarbonate ear drops',
      text: 'Sodium bicarbonate ear drops: 3 drops twice a day, never longer than 5 days',
      source: published('NHS Devon formulary 12.1.3: 2-3 times daily, at most 5 days'),
      advised: true,
      dropsADose: 3,
      dosesADay: 2,
      days: 5,
      maxDays: 5,
      instructions: ['These drops can dry the skin of the ear.'],
    },
    {
      id: 'saline',
      name: 'sterile saline ear drops',
      text: 'Saline: an option where drops of oil or bicarbonate do not suit',
      source: AAO,
      advised: true,
      dropsADose: 3,
      dosesADay: 2,
      days: 5,
      maxDays: 5,
      instructions: ['Use only saline from a sealed, sterile pack.'],
    },
    {
      id: 'water',
      name: 'water',
      text: 'Water: an option in the guideline; off unless the clinic turns it on',
      source: AAO,
      advised: false,
      dropsADose: 3,
      dosesADay: 2,
      days: 5,
      maxDays: 5,
      instructions: ['Use water that was boiled and has cooled to body heat.'],
    },
    {
      id: 'almond-oil',
      name: 'almond oil ear drops',
      text: 'Almond oil: as olive oil, never with a nut allergy; off unless the clinic turns it on',
      source: published('NHS website, "Earwax build-up" (read on a GP page that reproduces it)'),
      advised: false,
      dropsADose: 3,
      dosesADay: 2,
      days: 5,
      maxDays: 14,
      instructions: [],
    },
  ],

  plan: {
    purposes: {
      id: 'plan-purposes',
      text: 'Visits that are prepared with drops',
      source: clinicSetting,
      value: ['removal'],
    },
    startTodayUntil: {
      id: 'plan-start-today-until',
      text: 'Latest time of day at which a plan still starts on the same day',
      source: clinicSetting,
      value: '18:00',
    },
    includeVisitDay: {
      id: 'plan-visit-day',
      text: 'Whether drops go in at home on the day of the visit',
      source: clinicSetting,
      value: false,
    },
    sameDay: {
      id: 'plan-same-day',
      text: 'Booked too late for drops at home: the clinician may use drops or water 15 to 30 minutes before an irrigation; nothing published says the same of suction',
      source: published('BMJ 2018;361:k2219 (summary of NICE NG98)'),
    },
    urgentVisit: {
      id: 'plan-urgent-visit',
      text: 'An urgent visit is not put off for drops: what fits before it is done',
      source: commonPractice,
    },
    shortNotice: {
      id: 'plan-short-notice',
      text: 'Booked late: the days that are left are used; no published minimum of days exists',
      source: published('NICE NG98, section 1.2: up to 5 days, no minimum stated'),
    },
    keepDoseDays: {
      id: 'plan-keep-doses',
      text: 'Days without drops after which the doses done before no longer count',
      source: published('NHS website, "Earwax build-up": softened wax falls out over about 2 weeks'),
      value: 14,
    },
    courseGapDays: {
      id: 'plan-course-gap',
      text: 'Days without drops before a new course of an agent with a limit may start',
      source: clinicSetting,
      value: 7,
    },
    deadSkinDays: {
      id: 'plan-dead-skin',
      text: 'Days of drops where dead skin is to be expected (a return visit for dead skin that keeps coming back, or an ear infection in the last months), within the limit of the agent',
      source: commonPractice,
      value: 7,
    },
    howToUse: {
      id: 'plan-how-to-use',
      text: 'How to put drops in',
      source: published(
        'NHS website, "Earwax build-up": lie on the side 5 to 10 minutes; warming is common practice',
      ),
      lines: [
        'Warm the bottle in your hand until it is as warm as your body.',
        'Lie on your side with the ear facing up.',
        'Put in {drops} drops.',
        'Stay lying down for 5 to 10 minutes.',
        'Sit up and wipe away what runs out. Do not push anything into the ear.',
      ],
    },
    stopRules: {
      id: 'plan-stop-rules',
      text: 'When to stop the drops',
      source: commonPractice,
      lines: [
        'Stop if your ear hurts more, bleeds or runs.',
        'Stop if you feel dizzy or your hearing gets much worse.',
        'Stop if you get a rash or swelling.',
        'If you stop, tell us. We will ask a clinician to read it.',
      ],
    },
  },

  reminders: {
    doseReminderAt: {
      id: 'reminder-dose',
      text: 'Local time of the text that reminds of the drops',
      source: clinicSetting,
      value: '09:00',
    },
    doseQuestionAt: {
      id: 'reminder-question',
      text: 'Local time of the text that asks how many doses were done',
      source: clinicSetting,
      value: '18:30',
    },
    answerDeadlineHours: {
      id: 'reminder-answer-deadline',
      text: 'Hours after the question until no answer counts as silence; a later answer still counts for its own day',
      source: clinicSetting,
      value: 18,
    },
  },
}
