import { describe, expect, test } from 'vitest'
import { readingAge } from '../../src/messages/reading-age.ts'
import { softeningDefaults, softeningSchema } from '../../src/protocol/sections/softening.ts'

/** The shipped rules with one change; what the check says of it. */
function trouble(change: (rules: typeof softeningDefaults) => void): string[] {
  const rules = structuredClone(softeningDefaults)
  change(rules)
  const result = softeningSchema.safeParse(rules)
  return result.success ? [] : result.error.issues.map((issue) => `${issue.path.join('.')}: ${issue.message}`)
}

/** Every rule in the section: an object with an id, a text and a source. */
function rulesIn(
  value: unknown,
): Array<{ id: string; text: string; source: { kind: string; cite?: string } }> {
  if (typeof value !== 'object' || value === null) return []
  const here = 'id' in value && 'text' in value && 'source' in value ? [value as never] : []
  return [...here, ...Object.values(value).flatMap(rulesIn)]
}

test('the shipped rules pass, survive JSON, and every rule has its own id and a source', () => {
  expect(trouble(() => {})).toEqual([])
  expect(softeningSchema.parse(JSON.parse(JSON.stringify(softeningDefaults)))).toEqual(softeningDefaults)
  const rules = rulesIn(softeningDefaults)
  expect(rules.length).toBeGreaterThan(70)
  expect(new Set(rules.map((rule) => rule.id)).size).toBe(rules.length)
  for (const { source } of rules)
    if (source.kind === 'published') expect(source.cite?.length).toBeGreaterThan(10)
})

describe('rules that make no sense are refused, and the place is named', () => {
  test('an effect of a question that is not asked', () => {
    expect(
      trouble((rules) => {
        ;(rules.screening.effects[0] as { question: string }).question = 'shoe-size'
      }).join(),
    ).toMatch(/screening\.effects\.0\.question: there is no screening question "shoe-size"/)
  })
  test('a question whose unclear answer nobody judges', () => {
    expect(
      trouble((rules) => {
        rules.screening.effects = rules.screening.effects.filter((effect) => effect.question !== 'grommets')
      }).join(),
    ).toMatch(/no effect says what an unclear answer to "grommets" means/)
  })
  test('more days than the agent may run', () => {
    expect(
      trouble((rules) => {
        for (const agent of rules.agents) agent.days = agent.maxDays + 1
      }).join(),
    ).toMatch(/days is more than maxDays/)
  })
  test('a usual interval outside its bounds, a time that is none, a chance above one', () => {
    expect(
      trouble((rules) => {
        rules.recall.defaultDays.value = 10
      }).join(),
    ).toMatch(/outside its bounds/)
    expect(
      trouble((rules) => {
        rules.reminders.doseReminderAt.value = '25:00'
      }),
    ).toHaveLength(1)
    expect(
      trouble((rules) => {
        rules.readiness.costs.failIfHard.value = 1.5
      }),
    ).toHaveLength(1)
    expect(
      trouble((rules) => {
        rules.readiness.defaultLink.slope = 0
      }),
    ).toHaveLength(1)
  })
})

test('every question and instruction reads at age 11 at most (NHS digital service manual: 9 to 11)', () => {
  const texts = [
    ...softeningDefaults.screening.questions.flatMap((question) => [question.text, question.again]),
    ...softeningDefaults.plan.howToUse.lines,
    ...softeningDefaults.plan.stopRules.lines,
    ...softeningDefaults.agents.flatMap((agent) => agent.instructions),
  ]
  for (const text of texts) expect(readingAge(text), text).toBeLessThanOrEqual(11)
})
