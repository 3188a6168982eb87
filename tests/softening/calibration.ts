/**
 * Adherence against a known truth: patients are drawn from the documented model, the clinic learns its prior
 * from some of them, and the rest are judged after three of five days. A model, not a clinic.
 */
import { softeningDefaults } from '../../src/protocol/sections/softening.ts'
import { type Random, seededRandom } from '../../src/random.ts'
import {
  atLeast,
  countInterval,
  meanTheta,
  posterior,
  predictTotal,
  thetaCdf,
  thetaInterval,
} from '../../src/softening/adherence.ts'
import { drawPlan, drawSoftness, INVENTED_PATIENTS, type PatientModel } from '../../src/softening/model.ts'
import { fitPrior } from '../../src/softening/prior.ts'
import { chanceSoftOver } from '../../src/softening/softness.ts'
import type { AdherenceModel, DoseDay, DoseHistory } from '../../src/softening/types.ts'

const DAYS = ['2026-11-02', '2026-11-03', '2026-11-04', '2026-11-05', '2026-11-06']
const SEEN = 3
const A_DAY = 2
const ENOUGH = softeningDefaults.readiness.enoughDoses.value

export interface Scenario {
  name: string
  truth: PatientModel
  /** Finished plans that the clinic learned from. */
  history: number
  /** Share of silent days of which the truth was learned later. */
  revealed: number
}

const truth = (change: Partial<AdherenceModel>): PatientModel => ({
  ...INVENTED_PATIENTS,
  adherence: { ...INVENTED_PATIENTS.adherence, ...change },
})

export const SCENARIOS: Scenario[] = [
  { name: 'silence tells of skipping', truth: truth({}), history: 400, revealed: 0.3 },
  {
    name: 'silence tells nothing',
    truth: truth({ silentNone: 0.3, silentAll: 0.3 }),
    history: 400,
    revealed: 0.3,
  },
  { name: 'no silent day ever explained', truth: truth({}), history: 400, revealed: 0 },
  { name: 'poor adherence', truth: truth({ a: 1, b: 1.5 }), history: 400, revealed: 0.3 },
  { name: 'no history: the weak default', truth: truth({}), history: 0, revealed: 0 },
  { name: 'claims 1 in 10 untrue, unknown', truth: truth({ overclaim: 0.1 }), history: 400, revealed: 0.3 },
]

/** A share with how much of it is claimed. */
interface Cover {
  claimed: number
  covered: number
}

export interface Measured {
  name: string
  patients: number
  /** Doses done in the three days seen; among patients with a silent day or a bare yes. */
  done: Cover
  /** Doses by the visit. */
  total: Cover
  theta: Cover
  /** P(soft enough) on the third day, on average, and the share found soft enough at the visit. */
  soft: Cover
  /** Brier scores of "at least the clinic's number of doses by the visit". */
  enough: { model: number; yeses: number; answeredYeses: number; last: number }
  /** Brier scores of each dose of the fourth day. */
  nextDose: { model: number; yeses: number; answeredYeses: number; last: number }
}

const binomialTail = (least: number, n: number, p: number): number => {
  let tail = 0
  let ways = 1
  for (let k = 0; k <= n; k++) {
    if (k >= least) tail += ways * p ** k * (1 - p) ** (n - k)
    ways = (ways * (n - k)) / (k + 1)
  }
  return Math.min(1, tail)
}

const reported = ({ answer }: DoseDay): number =>
  answer.kind === 'exact' ? answer.doses : answer.kind === 'some' ? 1 : 0

/** The rival estimates of the chance of a dose: simple, and what a spreadsheet would do. */
function rivals(days: readonly DoseDay[]): {
  yeses: number
  answeredYeses: number
  last: number
  said: number
} {
  const answered = days.filter((day) => day.answer.kind !== 'silent')
  const said = days.reduce((sum, day) => sum + reported(day), 0)
  const lastDay = answered.at(-1)
  return {
    said,
    yeses: said / (days.length * A_DAY),
    answeredYeses: answered.length === 0 ? 0 : said / (answered.length * A_DAY),
    last: lastDay ? reported(lastDay) / A_DAY : 0,
  }
}

export function learn(scenario: Scenario, random: Random): AdherenceModel {
  const histories: DoseHistory[] = Array.from({ length: scenario.history }, (_, i) => {
    const own = random.fork(i)
    const { days, done } = drawPlan(own, DAYS, A_DAY, scenario.truth)
    return {
      days: days.map((day, j) =>
        day.answer.kind === 'silent' && own.chance(scenario.revealed)
          ? { ...day, later: done[j] as number }
          : day,
      ),
    }
  })
  return fitPrior(histories, softeningDefaults.adherence)
}

export function measure(scenario: Scenario, patients: number, seed: string): Measured {
  const random = seededRandom(`${seed} ${scenario.name}`)
  const model = learn(scenario, random.fork('history'))
  const mean = () => ({ sum: 0, n: 0 })
  const add = (to: { sum: number; n: number }, value: number): void => {
    to.sum += value
    to.n++
  }
  const covers = {
    done: [mean(), mean()],
    total: [mean(), mean()],
    theta: [mean(), mean()],
    soft: [mean(), mean()],
  }
  const cover = (name: keyof typeof covers, claimed: number, covered: boolean): void => {
    add(covers[name][0] as ReturnType<typeof mean>, claimed)
    add(covers[name][1] as ReturnType<typeof mean>, covered ? 1 : 0)
  }
  const names = ['model', 'yeses', 'answeredYeses', 'last'] as const
  const scores = { enough: names.map(mean), nextDose: names.map(mean) }
  const score = (kind: keyof typeof scores, chances: number[], happened: boolean): void =>
    chances.forEach((p, i) => {
      add(scores[kind][i] as ReturnType<typeof mean>, (p - (happened ? 1 : 0)) ** 2)
    })

  for (let i = 0; i < patients; i++) {
    const { theta, done, days } = drawPlan(random.fork(`patient ${i}`), DAYS, A_DAY, scenario.truth)
    const seen = days.slice(0, SEEN)
    const after = posterior(seen, model)
    const doneSeen = done.slice(0, SEEN).reduce((sum, n) => sum + n, 0)
    const doneAll = done.reduce((sum, n) => sum + n, 0)

    const between = (dist: readonly number[], { low, high }: { low: number; high: number }): number =>
      dist.slice(low, high + 1).reduce((sum, p) => sum + p, 0)
    const inside = ({ low, high }: { low: number; high: number }, x: number): boolean => low <= x && x <= high
    if (seen.some((day) => day.answer.kind !== 'exact')) {
      const interval = countInterval(after.done)
      cover('done', between(after.done, interval), inside(interval, doneSeen))
    }
    const left = (DAYS.length - SEEN) * A_DAY
    const total = predictTotal(after, left)
    const interval = countInterval(total)
    cover('total', between(total, interval), inside(interval, doneAll))
    const found = drawSoftness(random.fork(`visit ${i}`), doneAll, scenario.truth)
    cover('soft', chanceSoftOver(scenario.truth.link, total), found !== 'hard-and-dry')
    const chance = thetaInterval(after)
    cover('theta', thetaCdf(after, chance.high) - thetaCdf(after, chance.low), inside(chance, theta))

    const rival = rivals(seen)
    const tail = (p: number) => binomialTail(ENOUGH - rival.said, left, p)
    score(
      'enough',
      [atLeast(total, ENOUGH), tail(rival.yeses), tail(rival.answeredYeses), tail(rival.last)],
      doneAll >= ENOUGH,
    )
    for (let dose = 0; dose < A_DAY; dose++)
      score(
        'nextDose',
        [meanTheta(after), rival.yeses, rival.answeredYeses, rival.last],
        dose < (done[SEEN] as number),
      )
  }

  const value = (m: { sum: number; n: number } | undefined): number =>
    m && m.n > 0 ? m.sum / m.n : Number.NaN
  const coverOf = (name: keyof typeof covers): Cover => ({
    claimed: value(covers[name][0]),
    covered: value(covers[name][1]),
  })
  const scoresOf = (kind: keyof typeof scores) =>
    Object.fromEntries(names.map((name, i) => [name, value(scores[kind][i])])) as Measured['enough']
  return {
    name: scenario.name,
    patients,
    done: coverOf('done'),
    total: coverOf('total'),
    theta: coverOf('theta'),
    soft: coverOf('soft'),
    enough: scoresOf('enough'),
    nextDose: scoresOf('nextDose'),
  }
}

/** One table: what the 90 % intervals claim and cover, and the Brier scores beside those of simple counting. */
export function table(rows: readonly Measured[]): string {
  const pct = (x: number): string => (x * 100).toFixed(1)
  const cover = ({ claimed, covered }: Cover): string => `${pct(claimed)} ${pct(covered)}`
  const scores = (s: Measured['enough']): string =>
    [s.model, s.yeses, s.answeredYeses, s.last].map((x) => x.toFixed(3)).join(' ')
  const heads = [
    'patients drawn as',
    'done so far',
    'by the visit',
    'chance/dose',
    'soft enough',
    'Brier: enough doses',
    'Brier: next dose',
  ]
  const unders = [
    '',
    'claim  cover',
    'claim  cover',
    'claim  cover',
    'said  found',
    'model yeses answ. last',
    'model yeses answ. last',
  ]
  const cells = [
    heads,
    unders,
    ...rows.map((row) => [
      row.name,
      cover(row.done),
      cover(row.total),
      cover(row.theta),
      cover(row.soft),
      scores(row.enough),
      scores(row.nextDose),
    ]),
  ]
  const widths = heads.map((_, i) => Math.max(...cells.map((row) => (row[i] as string).length)))
  return cells
    .map((row) =>
      row
        .map((cell, i) => cell.padEnd(widths[i] as number))
        .join(' | ')
        .trimEnd(),
    )
    .join('\n')
}
