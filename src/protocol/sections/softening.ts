/** The protocol's section on softening: screening, plans, reminders, readiness, recall. Rules as data. */
import { z } from 'zod'
import { ANSWERS, DROPS, HISTORY_KINDS, SOFTNESS, VISIT_PURPOSES } from '../../softening/types.ts'
import { ruleSchema } from '../rule.ts'
import { planDefaults } from './softening-plan.ts'
import { readinessDefaults } from './softening-readiness.ts'
import { screeningDefaults } from './softening-screening.ts'

const count = z.int().min(0).max(1000)
const chance = z.number().min(0).max(1)
const localTime = z.string().regex(/^([01]\d|2[0-3]):[0-5]\d$/)

/** A rule that carries one number, or one time of day. */
const numberRule = ruleSchema.extend({ value: z.number().min(0) })
const countRule = ruleSchema.extend({ value: count })
const chanceRule = ruleSchema.extend({ value: chance })
const timeRule = ruleSchema.extend({ value: localTime })
const linesRule = ruleSchema.extend({ lines: z.array(z.string().min(3)) })

export const screeningQuestionSchema = z.object({
  id: z.string().min(3),
  text: z.string().min(10),
  /** Asked once more when the first answer is unclear. */
  again: z.string().min(10),
  /** Asked only when that other question was answered in one of these ways; always asked when absent. */
  askIf: z.object({ question: z.string(), answers: z.array(z.enum(ANSWERS)).min(1) }).optional(),
})
export type ScreeningQuestion = z.infer<typeof screeningQuestionSchema>

/** What one answer to one question changes. */
export const screeningEffectSchema = ruleSchema.extend({
  question: z.string(),
  answers: z.array(z.enum(ANSWERS)).min(1),
  excludes: z.union([z.literal('all'), z.array(z.enum(DROPS))]),
  note: z.string().nullable(),
  extraMinutes: count,
  /** Dead skin is to be expected: the longer plan. */
  longerPlan: z.boolean().default(false),
  toPerson: z.boolean(),
  risks: z.array(z.enum(HISTORY_KINDS)),
})
export type ScreeningEffect = z.infer<typeof screeningEffectSchema>

export const agentSchema = ruleSchema.extend({
  id: z.enum(DROPS),
  name: z.string().min(3),
  /** Off means that this clinic never advises it. */
  advised: z.boolean(),
  dropsADose: count.min(1).max(10),
  dosesADay: count.min(1).max(6),
  days: count.min(1).max(14),
  maxDays: count.min(1).max(21),
  instructions: z.array(z.string().min(3)),
})
export type AgentRule = z.infer<typeof agentSchema>

export const softeningSchema = z
  .object({
    screening: z.object({
      questions: z.array(screeningQuestionSchema).min(1),
      effects: z.array(screeningEffectSchema).min(1),
      noAnswer: ruleSchema,
      unsettled: ruleSchema,
      noAgentLeft: ruleSchema,
      deadlineHours: countRule,
      askAgainHours: countRule,
      maxExtraMinutes: countRule,
      /** Protocols signed before it was a rule have it as shipped. */
      lengthenFromMinutes: countRule.default(screeningDefaults.lengthenFromMinutes),
    }),
    /** Best first. */
    agents: z.array(agentSchema).min(1),
    plan: z.object({
      purposes: ruleSchema.extend({ value: z.array(z.enum(VISIT_PURPOSES)) }),
      startTodayUntil: timeRule,
      includeVisitDay: ruleSchema.extend({ value: z.boolean() }),
      sameDay: ruleSchema,
      urgentVisit: ruleSchema,
      shortNotice: ruleSchema,
      /** Doses of an earlier plan count when no gap without drops is longer than this many days. */
      keepDoseDays: countRule,
      courseGapDays: countRule,
      deadSkinDays: countRule,
      howToUse: linesRule,
      stopRules: linesRule,
    }),
    reminders: z.object({
      doseReminderAt: timeRule,
      doseQuestionAt: timeRule,
      answerDeadlineHours: countRule,
    }),
    adherence: z.object({
      defaultPrior: ruleSchema.extend({ a: z.number().positive(), b: z.number().positive() }),
      defaultSilence: ruleSchema.extend({ none: chance, all: chance }),
      overclaim: chanceRule,
      minimumPatients: countRule,
    }),
    readiness: z.object({
      enoughDoses: countRule,
      softEnough: ruleSchema.extend({ value: z.array(z.enum(SOFTNESS)).min(1) }),
      defaultLink: ruleSchema.extend({ intercept: z.number(), slope: z.number().positive() }),
      minimumOutcomes: countRule,
      horizonDays: countRule,
      costs: z.object({
        failedVisit: numberRule,
        extraVisit: numberRule,
        soreEar: numberRule,
        moving: numberRule,
        waitPerDay: numberRule,
        failIfHard: chanceRule,
        failIfSoft: chanceRule,
        soreIfHard: chanceRule,
        soreIfSoft: chanceRule,
        usualWaitDays: countRule,
      }),
    }),
    recall: z.object({
      defaultDays: countRule,
      shortestDays: countRule,
      longestDays: countRule,
      defaultWeight: numberRule,
      inviteDaysBefore: countRule,
    }),
    nextPlan: z.object({
      partCleared: ruleSchema,
      notCleared: ruleSchema,
      drumWithholds: ruleSchema,
      restDays: z.object({ sore: countRule, grazed: countRule, bleeding: countRule }),
      wholePlanWait: countRule,
    }),
  })
  .superRefine((rules, context) => {
    const questions = new Set(rules.screening.questions.map((question) => question.id))
    const missing = (id: string, path: PropertyKey[]): void =>
      context.addIssue({ code: 'custom', message: `there is no screening question "${id}"`, path })
    rules.screening.questions.forEach((question, i) => {
      if (question.askIf && !questions.has(question.askIf.question))
        missing(question.askIf.question, ['screening', 'questions', i, 'askIf'])
      if (
        !rules.screening.effects.some(
          (effect) => effect.question === question.id && effect.answers.includes('unsure'),
        )
      )
        context.addIssue({
          code: 'custom',
          message: `no effect says what an unclear answer to "${question.id}" means`,
          path: ['screening', 'questions', i],
        })
    })
    rules.screening.effects.forEach((effect, i) => {
      if (!questions.has(effect.question)) missing(effect.question, ['screening', 'effects', i, 'question'])
    })
    rules.agents.forEach((agent, i) => {
      if (agent.days > agent.maxDays)
        context.addIssue({
          code: 'custom',
          message: 'days is more than maxDays',
          path: ['agents', i, 'days'],
        })
    })
    const { recall } = rules
    if (
      recall.shortestDays.value > recall.defaultDays.value ||
      recall.defaultDays.value > recall.longestDays.value
    )
      context.addIssue({
        code: 'custom',
        message: 'the usual interval lies outside its bounds',
        path: ['recall', 'defaultDays'],
      })
  })
export type SofteningRules = z.infer<typeof softeningSchema>
export type AdherenceRules = SofteningRules['adherence']
export type ReadinessRules = SofteningRules['readiness']

export const softeningDefaults: SofteningRules = softeningSchema.parse({
  screening: screeningDefaults,
  ...planDefaults,
  ...readinessDefaults,
})
