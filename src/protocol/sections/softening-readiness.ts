/** Adherence, readiness, recall and the next plan, as shipped: mostly numbers that each clinic sets. */
import { clinicSetting, commonPractice, published } from '../rule.ts'

const cost = (id: string, text: string, value: number) => ({
  id: `cost-${id}`,
  text,
  source: clinicSetting,
  value,
})

export const readinessDefaults = {
  adherence: {
    defaultPrior: {
      id: 'adherence-default-prior',
      text: 'Until the clinic has history of its own: a weak guess that 3 of 4 doses are done, worth 2 doses of evidence',
      source: clinicSetting,
      a: 1.5,
      b: 0.5,
    },
    defaultSilence: {
      id: 'adherence-default-silence',
      text: 'Until learned: chance of no answer on a day without any dose, and on a day with all doses',
      source: clinicSetting,
      none: 0.5,
      all: 0.25,
    },
    overclaim: {
      id: 'adherence-overclaim',
      text: 'Chance that a dose not done is reported as done',
      source: clinicSetting,
      value: 0,
    },
    minimumPatients: {
      id: 'adherence-minimum-patients',
      text: 'Finished plans that the clinic needs before its own history replaces the weak guess',
      source: clinicSetting,
      value: 20,
    },
  },

  readiness: {
    enoughDoses: {
      id: 'readiness-enough-doses',
      text: "Doses held to be enough: the clinic's setting. No guideline sets a minimum for suction; published courses run from 6 to 20 doses over 3 to 5 days",
      source: clinicSetting,
      value: 6,
    },
    softEnough: {
      id: 'readiness-soft-enough',
      text: 'What the clinician finds at the visit that counts as soft enough',
      source: clinicSetting,
      value: ['soft', 'firm'],
    },
    defaultLink: {
      id: 'readiness-default-link',
      text: 'Until the clinic has outcomes of its own: a weak guess of the chance of a soft ear (27 % with no dose, 71 % with 6, 90 % with 10)',
      source: clinicSetting,
      intercept: -1,
      slope: 0.32,
    },
    minimumOutcomes: {
      id: 'readiness-minimum-outcomes',
      text: "Visits with the clinician's tap that the clinic needs before the link is refitted",
      source: clinicSetting,
      value: 30,
    },
    horizonDays: {
      id: 'readiness-horizon',
      text: 'Days ahead that are searched for the first day on which the ear would be ready',
      source: clinicSetting,
      value: 28,
    },
    costs: {
      failedVisit: cost(
        'failed-visit',
        'A visit at which the ear could not be cleared (all costs in one unit of your own)',
        80,
      ),
      extraVisit: cost('extra-visit', 'The visit that must follow a failed one', 60),
      soreEar: cost('sore-ear', 'An ear left sore by a hard removal', 40),
      moving: cost('moving', 'The trouble of moving a visit, for patient and clinic', 10),
      waitPerDay: cost('wait-per-day', 'Each day that a patient waits longer', 1),
      failIfHard: cost('fail-if-hard', 'Chance that a visit fails when the ear is not soft enough', 0.6),
      failIfSoft: {
        id: 'cost-fail-if-soft',
        text: 'Chance that a visit fails although the ear is soft enough (91 % of ears were cleared by suction)',
        source: published('J Laryngol Otol 2014, "Aural microsuction for wax impaction" (n=159)'),
        value: 0.09,
      },
      soreIfHard: cost(
        'sore-if-hard',
        'Chance of a sore ear when it is not soft enough (people who had used a softener in the week before suction reported less pain: J Laryngol Otol 2014; it gives no such chance)',
        0.4,
      ),
      soreIfSoft: cost('sore-if-soft', 'Chance of a sore ear when it is soft enough', 0.1),
      usualWaitDays: cost('usual-wait', 'Days later that a moved visit usually falls', 5),
    },
  },

  recall: {
    defaultDays: {
      id: 'recall-default',
      text: 'Days from one removal to the invitation for the next when nothing is known',
      source: clinicSetting,
      value: 365,
    },
    shortestDays: { id: 'recall-shortest', text: 'Shortest interval', source: clinicSetting, value: 90 },
    longestDays: { id: 'recall-longest', text: 'Longest interval', source: clinicSetting, value: 730 },
    defaultWeight: {
      id: 'recall-default-weight',
      text: 'How many of their own intervals the usual one is worth',
      source: clinicSetting,
      value: 1,
    },
    inviteDaysBefore: {
      id: 'recall-invite-before',
      text: 'Days before the visit that the invitation is sent',
      source: clinicSetting,
      value: 21,
    },
  },

  nextPlan: {
    partCleared: {
      id: 'next-part-cleared',
      text: 'An ear cleared in part: more softening, then another visit',
      source: published(
        'NICE NG98, section 1.2: repeat the softener when removal failed (said of irrigation)',
      ),
    },
    notCleared: {
      id: 'next-not-cleared',
      text: 'An ear not cleared: more softening, then another visit',
      source: published(
        'NICE NG98, section 1.2: repeat the softener when removal failed (said of irrigation)',
      ),
    },
    drumWithholds: {
      id: 'next-drum-withholds',
      text: 'A drum seen open, seen healed from a hole, or inflamed: no drops until a clinician has agreed',
      source: published('MSD Manual Professional, "How to remove cerumen" (2023)'),
    },
    restDays: {
      sore: {
        id: 'next-rest-sore',
        text: 'Days of rest before drops in a sore canal',
        source: commonPractice,
        value: 2,
      },
      grazed: {
        id: 'next-rest-grazed',
        text: 'Days of rest before drops in a grazed canal',
        source: commonPractice,
        value: 5,
      },
      bleeding: {
        id: 'next-rest-bleeding',
        text: 'Days of rest before drops in a canal that bled',
        source: commonPractice,
        value: 7,
      },
    },
    wholePlanWait: {
      id: 'next-whole-plan-wait',
      text: 'Days from the first drops that the next visit should leave room for',
      source: clinicSetting,
      value: 5,
    },
  },
}
