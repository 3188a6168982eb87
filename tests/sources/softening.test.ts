/** The softening rules against published sources; each check names the source that it was read in. */
import { Temporal } from 'temporal-polyfill'
import { describe, expect, test } from 'vitest'
import { softeningDefaults as rules } from '../../src/protocol/sections/softening.ts'
import { seededRandom } from '../../src/random.ts'
import { meanTheta, posterior, predictTotal, termsOf } from '../../src/softening/adherence.ts'
import { minimise } from '../../src/softening/minimise.ts'
import { drawOutcome, INVENTED_PATIENTS } from '../../src/softening/model.ts'
import { planSoftening } from '../../src/softening/plan.ts'
import { fitPrior, logLikelihood } from '../../src/softening/prior.ts'
import { instantOutsideQuiet, remindersFor } from '../../src/softening/reminders.ts'
import { noToAll, screen } from '../../src/softening/screening.ts'
import { betaBinomial, choose } from '../../src/softening/special-functions.ts'
import type { AdherenceModel, DoseHistory, Drops, ScreeningAnswer } from '../../src/softening/types.ts'

const zone = 'Europe/London'
const fine = screen(noToAll(rules), rules)
const agentOf = (id: Drops) => rules.agents.find((agent) => agent.id === id)
const effectsOf = (question: string) =>
  rules.screening.effects.filter((effect) => effect.question === question)
const plan = (visitStart: string, now: string, change = {}) =>
  planSoftening(
    {
      outcome: fine,
      visitStart,
      zone,
      now,
      purpose: 'removal',
      ears: ['left'],
      urgent: false,
      previousDoses: [],
      recurrentDeadSkin: false,
      ...change,
    },
    rules,
  )
/** No to all but one question. */
const screened = (question: string, own = rules) => {
  const answers: ScreeningAnswer[] = noToAll(own).map((one) =>
    one.question === question ? { ...one, answer: 'yes' } : one,
  )
  return screen(answers, own)
}
/** Every child question of a yes answered no, so that the outcome is settled. */
const settled = (question: string, children: string[]) =>
  screen(
    [
      ...noToAll(rules).map(
        (one): ScreeningAnswer => (one.question === question ? { ...one, answer: 'yes' } : one),
      ),
      ...children.map((id): ScreeningAnswer => ({ question: id, answer: 'no', asked: 1 })),
    ],
    rules,
  )

describe('agents and courses', () => {
  test('2-3 drops; lie on the side 5 to 10 minutes (NHS website, "Earwax build-up", on a GP page)', () => {
    for (const agent of rules.agents) {
      expect(agent.dropsADose).toBeGreaterThanOrEqual(2)
      expect(agent.dropsADose).toBeLessThanOrEqual(3)
    }
    expect(rules.plan.howToUse.lines.join(' ')).toMatch(/side.*5 to 10 minutes/)
  })
  test('olive oil twice daily for 3-5 days (NHS Tayside referral guide, Ear Wax)', () => {
    const oil = agentOf('olive-oil')
    expect(oil?.dosesADay).toBe(2)
    expect(oil?.days).toBeGreaterThanOrEqual(3)
    expect(oil?.days).toBeLessThanOrEqual(5)
  })
  test('sodium bicarbonate 2-3 times daily, at most 5 days, even for a longer plan (NHS Devon formulary 12.1.3)', () => {
    const bicarbonate = agentOf('sodium-bicarbonate')
    expect([2, 3]).toContain(bicarbonate?.dosesADay)
    expect(bicarbonate?.maxDays).toBe(5)
    const outcome = { ...fine, agent: 'sodium-bicarbonate' as const }
    const longest = plan('2026-06-20T09:00Z', '2026-06-01T09:00Z', { outcome, recurrentDeadSkin: true })
    expect(longest.days).toHaveLength(5)
  })
  test('published courses run from 2 x 3 = 6 to 4 x 5 = 20 doses; the shipped course and setting lie inside (NHS website; NHS Tayside)', () => {
    for (const { advised, dosesADay, days } of rules.agents)
      if (advised) {
        expect(dosesADay * days).toBeGreaterThanOrEqual(2 * 3)
        expect(dosesADay * days).toBeLessThanOrEqual(4 * 5)
      }
    expect(rules.readiness.enoughDoses.value).toBe(2 * 3)
    expect(rules.readiness.enoughDoses.source.kind).toBe('clinic')
  })
  test('water and saline are options (AAO-HNSF cerumen guideline 2017, p S16)', () => {
    for (const id of ['water', 'saline'] as const)
      expect(agentOf(id)?.source).toMatchObject({
        kind: 'published',
        cite: expect.stringMatching(/2017;156\(1S\):S16/),
      })
  })
  test('up to 5 days and no minimum: one day before is still a plan, none is no error (NICE NG98 section 1.2)', () => {
    expect(plan('2026-06-20T09:00Z', '2026-06-19T09:00Z')).toMatchObject({
      days: ['2026-06-19'],
      fit: 'short',
    })
    expect(plan('2026-06-20T09:00Z', '2026-06-20T08:00Z')).toMatchObject({ days: [], fit: 'nothing-fits' })
    expect(rules.plan.shortNotice.source).toMatchObject({ cite: expect.stringMatching(/NG98/) })
  })
  test('a same-day visit names 15 to 30 minutes before irrigation, and says that suction has no such source (BMJ 2018;361:k2219)', () => {
    const reason = plan('2026-06-20T09:00Z', '2026-06-20T08:00Z').reasons.find(
      ({ rule }) => rule === 'plan-same-day',
    )
    expect(reason?.text).toMatch(
      /15 to 30 minutes before an irrigation; nothing published says the same of suction/,
    )
    expect(reason?.source).toMatch(/BMJ 2018;361:k2219/)
  })
  test('softened wax falls out over about 2 weeks: so long do doses count (NHS website, "Earwax build-up")', () => {
    expect(rules.plan.keepDoseDays.value).toBe(14)
  })
})

describe('who must not have drops', () => {
  test('no drops with a hole in the eardrum (NHS website, "Earwax build-up")', () => {
    expect(settled('perforation-ever', ['perforation-recent', 'perforation-healed']).decision).toBe(
      'withheld',
    )
    expect(effectsOf('perforation-healed')[0]?.excludes).toBe('all')
  })
  test('a drum that may not be whole: ear surgery, tubes, drainage; pain from drops (MSD Manual Professional 2023)', () => {
    expect(settled('ear-surgery', ['mastoid-cavity']).decision).toBe('withheld')
    expect(screened('grommets').decision).toBe('withheld')
    expect(settled('discharge-year', ['discharge-now']).decision).toBe('withheld')
    expect(screened('drops-reaction').decision).toBe('withheld')
  })
  test('never an agent that the patient is allergic to (MSD Manual Professional 2023)', () => {
    expect(screened('allergy-olive').allowed).not.toContain('olive-oil')
    expect(screened('allergy-olive').agent).not.toBe('olive-oil')
  })
  test('almond oil not with an allergy to almonds (NHS website, "Earwax build-up")', () => {
    const own = structuredClone(rules)
    for (const agent of own.agents) agent.advised = true
    expect(screen(noToAll(own), own).allowed).toContain('almond-oil')
    expect(screened('allergy-nuts', own).allowed).not.toContain('almond-oil')
  })
  test('no irrigation with grommets to 18 months back, discharge in 12 months, infection in 6 weeks, one hearing ear, surgery (NHS Tayside)', () => {
    const question = (id: string) => rules.screening.questions.find((one) => one.id === id)?.text
    expect(question('grommets')).toMatch(/18 months/)
    expect(question('discharge-year')).toMatch(/12 months/)
    expect(question('infection-six-weeks')).toMatch(/6 weeks/)
    for (const id of ['grommets', 'discharge-year', 'infection-six-weeks', 'only-hearing-ear', 'ear-surgery'])
      for (const effect of effectsOf(id)) expect(effect.note).toMatch(/No irrigation/)
  })
  test('blood thinners, weak immune system and diabetes call for care and are noted (MSD Manual Professional 2023)', () => {
    const cases = [
      ['blood-thinners', 'anticoagulant'],
      ['immune', 'immunocompromised'],
      ['diabetes', 'diabetes'],
    ] as const
    for (const [question, risk] of cases) {
      const outcome = screened(question)
      expect(outcome.risks).toEqual([risk])
      expect(outcome.clinicianNotes).toHaveLength(1)
      expect(outcome.decision).toBe('as-planned')
    }
  })
  test('a mastoid cavity goes with more dizziness from suction (J Laryngol Otol 2014, n=159)', () => {
    expect(effectsOf('mastoid-cavity')[0]?.note).toMatch(/more dizziness from suction/i)
    expect(effectsOf('mastoid-cavity')[0]?.source).toMatchObject({
      cite: expect.stringMatching(/J Laryngol Otol 2014/),
    })
  })
})

test('91 % of ears were cleared by suction (J Laryngol Otol 2014, n=159): the model clears as many soft ears', () => {
  const random = seededRandom('clearance')
  const { firmIfSoftEnough } = INVENTED_PATIENTS
  let cleared = 0
  for (let i = 0; i < 20_000; i++)
    if (
      drawOutcome(random, random.chance(firmIfSoftEnough) ? 'firm' : 'soft', INVENTED_PATIENTS) === 'cleared'
    )
      cleared++
  expect(Math.abs(cleared / 20_000 - 0.91)).toBeLessThan(0.01)
  expect(rules.readiness.costs.failIfSoft.value).toBeCloseTo(1 - 0.91, 12)
})

describe('the beta-binomial', () => {
  const plain = (a: number, b: number): AdherenceModel => ({
    a,
    b,
    silentNone: 0,
    silentAll: 0,
    overclaim: 0,
    patients: 0,
  })
  test('n=10, a=b=1: every count has chance 1/11 (exact fractions)', () => {
    const total = predictTotal(posterior([], plain(1, 1)), 10)
    for (const p of total) expect(p).toBeCloseTo(1 / 11, 12)
  })
  test('n=5, a=2, b=3: 1/6, 5/21, 5/21, 4/21, 5/42, 1/21 (exact fractions)', () => {
    const exact = [1 / 6, 5 / 21, 5 / 21, 4 / 21, 5 / 42, 1 / 21]
    predictTotal(posterior([], plain(2, 3)), 5).forEach((p, k) => {
      expect(p).toBeCloseTo(exact[k] as number, 12)
      expect(betaBinomial(k, 5, 2, 3)).toBeCloseTo(exact[k] as number, 12)
    })
  })
  test('a flat prior and 9 of 10 doses: mean 10/12 (conjugacy)', () => {
    const ten = [{ day: '2026-01-01', planned: 10, answer: { kind: 'exact' as const, doses: 9 } }]
    expect(meanTheta(posterior(ten, plain(1, 1)))).toBeCloseTo(10 / 12, 12)
  })

  // Boys in 6,115 families of 12 children, Saxony, 19th century (records via a GenStat e-text).
  const FAMILIES = [3, 24, 104, 286, 670, 1033, 1343, 1112, 829, 478, 181, 45, 7]
  const boys = FAMILIES.flatMap((families, k) =>
    Array.from(
      { length: families },
      (): DoseHistory => ({
        days: [{ day: '1885-01-01', planned: 12, answer: { kind: 'exact', doses: k } }],
      }),
    ),
  )
  test('Saxony families: 6,115, binomial share 0.5192, model variance 2.996, sample variance 3.490', () => {
    const n = FAMILIES.reduce((sum, f) => sum + f, 0)
    const mean = FAMILIES.reduce((sum, f, k) => sum + f * k, 0) / n
    const variance = FAMILIES.reduce((sum, f, k) => sum + f * (k - mean) ** 2, 0) / (n - 1)
    expect(n).toBe(6115)
    expect(mean / 12).toBeCloseTo(0.5192, 4)
    expect(12 * (mean / 12) * (1 - mean / 12)).toBeCloseTo(2.996, 3)
    expect(variance).toBeCloseTo(3.49, 2)
  })
  test('Saxony families: log-likelihood -12492.871360 at the tabulated a = 34.09558, b = 31.5715, with the tabulated counts', () => {
    const tabulated = plain(34.09558, 31.5715)
    expect(logLikelihood(boys, tabulated)).toBeCloseTo(-12492.87136, 4)
    const expected = [2.3, 22.6, 104.8, 310.9, 655.7, 1036.2, 1257.9, 1182.1, 853.6, 461.9, 177.9, 43.8, 5.2]
    expected.forEach((count, k) => {
      expect(6115 * betaBinomial(k, 12, tabulated.a, tabulated.b)).toBeCloseTo(count, 0)
    })
  })
  test('Saxony families: our search reaches that top, AIC 24989.74, and the binomial stays at 25070.34', () => {
    const silence = { ...rules.adherence.defaultSilence, none: 0, all: 0 }
    const fitted = fitPrior(boys, { ...rules.adherence, defaultSilence: silence })
    const top = logLikelihood(boys, { ...fitted, silentNone: 0, silentAll: 0 })
    expect(top).toBeCloseTo(-12492.87136, 3)
    expect(4 - 2 * top).toBeCloseTo(24989.74, 2)
    const p = FAMILIES.reduce((sum, f, k) => sum + f * k, 0) / (12 * 6115)
    const binomial = FAMILIES.reduce(
      (sum, f, k) => sum + f * Math.log(choose(12, k) * p ** k * (1 - p) ** (12 - k)),
      0,
    )
    expect(2 - 2 * binomial).toBeCloseTo(25070.34, 2)
  })
  test('the search itself, on the two parameters alone', () => {
    const { x, value } = minimise(
      ([a, b]) =>
        -FAMILIES.reduce(
          (sum, f, k) =>
            sum + f * Math.log(betaBinomial(k, 12, Math.exp(a as number), Math.exp(b as number))),
          0,
        ),
      [2, 2],
    )
    expect(-value).toBeCloseTo(-12492.87136, 5)
    expect(Math.exp(x[0] as number)).toBeCloseTo(34.1, 0)
    expect(termsOf([], plain(1, 1)).due).toBe(0)
  })
})

describe('clock changes in London (last Sunday of March and October, 01:00 UTC: nidirect.gov.uk; dates from tzdata)', () => {
  const open = { from: '23:59', to: '00:00' }
  test.each([
    ['2026-03-29', '2026-03-29T01:30:00Z'],
    ['2027-03-28', '2027-03-28T01:30:00Z'],
    ['2028-03-26', '2028-03-26T01:30:00Z'],
  ])('%s: 01:30 does not exist, and the text goes an hour later by the wall', (day, at) => {
    expect(instantOutsideQuiet(day, '01:30', zone, open)?.toString()).toBe(at)
  })
  test.each([
    ['2026-10-25', '2026-10-25T00:30:00Z'],
    ['2027-10-31', '2027-10-31T00:30:00Z'],
    ['2028-10-29', '2028-10-29T00:30:00Z'],
  ])('%s: 01:30 comes twice, and the text goes once, the first time', (day, at) => {
    expect(instantOutsideQuiet(day, '01:30', zone, open)?.toString()).toBe(at)
  })
  test('a day later at noon is 25 hours later over the autumn change, and so are the texts', () => {
    const before = instantOutsideQuiet('2026-10-24', '12:00', zone, open) as Temporal.Instant
    const after = instantOutsideQuiet('2026-10-25', '12:00', zone, open) as Temporal.Instant
    expect(before.until(after).total('hours')).toBe(25)
    expect(before.add({ hours: 24 }).toZonedDateTimeISO(zone).toPlainTime().toString()).toBe('11:00:00')
  })
  test('plans across both changes hold one day each, with two texts', () => {
    for (const [visit, now] of [
      ['2026-03-31T09:00Z', '2026-03-20T09:00Z'],
      ['2026-10-27T09:00Z', '2026-10-10T09:00Z'],
    ] as const) {
      const one = plan(visit, now)
      expect(one.days).toHaveLength(5)
      const texts = remindersFor(one, { zone, quiet: { from: '21:00', to: '08:00' }, now }, rules)
      expect(texts).toHaveLength(10)
      for (const { at, kind } of texts)
        expect(Temporal.Instant.from(at).toZonedDateTimeISO(zone).toPlainTime().toString()).toBe(
          `${kind === 'dose-reminder' ? rules.reminders.doseReminderAt.value : rules.reminders.doseQuestionAt.value}:00`,
        )
    }
  })
})
