import fc from 'fast-check'
import jstat from 'jstat'
import { describe, expect, test } from 'vitest'
import {
  adherenceWords,
  atLeast,
  countInterval,
  meanOf,
  meanTheta,
  posterior,
  predictFuture,
  predictTotal,
  silentChance,
  termsOf,
  thetaCdf,
  thetaInterval,
} from '../../src/softening/adherence.ts'
import {
  betaBinomial,
  betaCdf,
  logBeta,
  logChoose,
  logGamma,
  solveIncreasing,
} from '../../src/softening/special-functions.ts'
import type { AdherenceModel, DoseDay } from '../../src/softening/types.ts'

const flat: AdherenceModel = { a: 1, b: 1, silentNone: 0.5, silentAll: 0.5, overclaim: 0, patients: 0 }
const day = (planned: number, answer: DoseDay['answer'], n = 1): DoseDay => ({
  day: `2026-11-${String(n).padStart(2, '0')}`,
  planned,
  answer,
})
const said = (doses: number, planned = 2): DoseDay => day(planned, { kind: 'exact', doses })
const some = day(2, { kind: 'some' })
const silent = day(2, { kind: 'silent' })

const anyAnswer = (planned: number) =>
  fc.oneof(
    fc.record({ kind: fc.constant('exact' as const), doses: fc.integer({ min: 0, max: planned }) }),
    fc.constant({ kind: 'some' as const }),
    fc.constant({ kind: 'silent' as const }),
  )
const anyDay = fc
  .integer({ min: 1, max: 3 })
  .chain((planned) => anyAnswer(planned).map((answer) => day(planned, answer)))
const anyModel = fc.record({
  a: fc.double({ min: 0.2, max: 20, noNaN: true }),
  b: fc.double({ min: 0.2, max: 20, noNaN: true }),
  silentNone: fc.double({ min: 0.02, max: 0.95, noNaN: true }),
  silentAll: fc.double({ min: 0.02, max: 0.95, noNaN: true }),
  overclaim: fc.double({ min: 0, max: 0.5, noNaN: true }),
  patients: fc.constant(0),
})

/**
 * P(k doses done | answers) by writing out every way in which every single dose may have gone, and every
 * claim, with theta integrated on a fine grid. Slow, simple, and shares no line with the code under test.
 */
function enumerated(days: DoseDay[], model: AdherenceModel): number[] {
  const due = days.reduce((sum, one) => sum + one.planned, 0)
  const weights = new Array<number>(due + 1).fill(0)
  for (let bits = 0; bits < 2 ** due; bits++) {
    let at = 0
    let chance = 1
    for (const { planned, answer } of days) {
      let done = 0
      for (let i = 0; i < planned; i++) done += (bits >> at++) & 1
      const quiet = model.silentNone + (model.silentAll - model.silentNone) * (done / planned)
      if (answer.kind === 'silent') chance *= quiet
      else {
        let said = 0
        for (let claims = 0; claims < 2 ** (planned - done); claims++) {
          let claimed = 0
          let p = 1
          for (let i = 0; i < planned - done; i++) {
            const claims1 = (claims >> i) & 1
            claimed += claims1
            p *= claims1 ? model.overclaim : 1 - model.overclaim
          }
          const reported = done + claimed
          if (answer.kind === 'exact' ? reported === answer.doses : reported >= 1) said += p
        }
        chance *= (1 - quiet) * said
      }
    }
    const k = [...bits.toString(2)].filter((bit) => bit === '1').length
    weights[k] = (weights[k] as number) + chance * Math.exp(jstat.betaln(model.a + k, model.b + due - k))
  }
  const total = weights.reduce((sum, w) => sum + w, 0)
  return weights.map((w) => w / total)
}

describe('the special functions agree with an independent library', () => {
  const positive = fc.double({ min: 0.001, max: 300, noNaN: true })
  test('log gamma and log beta', () => {
    fc.assert(
      fc.property(positive, positive, (a, b) => {
        expect(logGamma(a)).toBeCloseTo(jstat.gammaln(a), 8)
        expect(logBeta(a, b)).toBeCloseTo(jstat.betaln(a, b), 8)
      }),
    )
  })
  test('the beta distribution function, and its inverse', () => {
    const shape = fc.double({ min: 0.3, max: 60, noNaN: true })
    fc.assert(
      fc.property(shape, shape, fc.double({ min: 0.001, max: 0.999, noNaN: true }), (a, b, x) => {
        // The library ends its continued fraction at 3e-7.
        expect(betaCdf(x, a, b)).toBeCloseTo(jstat.beta.cdf(x, a, b), 6)
        const at = solveIncreasing((y) => betaCdf(y, a, b), x)
        // With a shape below 1 the curve is so steep near 0 or 1 that neighbouring doubles differ by 1e-5.
        expect(betaCdf(at, a, b)).toBeCloseTo(x, Math.min(a, b) < 1 ? 4 : 9)
      }),
    )
  })
  test('the beta distribution function with whole shapes is a tail of the binomial', () => {
    for (let n = 1; n <= 20; n++)
      for (let k = 1; k <= n; k++)
        for (const x of [0.02, 0.3, 0.5, 0.77, 0.99]) {
          let tail = 0
          for (let j = k; j <= n; j++) tail += jstat.combination(n, j) * x ** j * (1 - x) ** (n - j)
          expect(betaCdf(x, k, n - k + 1)).toBeCloseTo(tail, 12)
        }
  })
  test('binomial coefficients', () => {
    for (let n = 0; n <= 30; n++)
      for (let k = 0; k <= n; k++)
        expect(Math.exp(logChoose(n, k)) / jstat.combination(n, k)).toBeCloseTo(1, 10)
  })
})

describe('the posterior of the doses done', () => {
  test('equals the enumeration of every single dose, for any answers and any model', () => {
    fc.assert(
      fc.property(fc.array(anyDay, { minLength: 1, maxLength: 4 }), anyModel, (days, model) => {
        fc.pre(days.reduce((sum, one) => sum + one.planned, 0) <= 9)
        const exact = enumerated(days, model)
        posterior(days, model).done.forEach((p, k) => {
          expect(p).toBeCloseTo(exact[k] as number, 9)
        })
      }),
      { numRuns: 150 },
    )
  })

  test('with plain answers is the plain beta posterior of the independent library', () => {
    const after = posterior([said(2), said(1), said(0)], { ...flat, a: 2.5, b: 1.5 })
    expect(after.done[3]).toBeCloseTo(1, 12)
    for (const x of [0.1, 0.4, 0.7, 0.95])
      expect(thetaCdf(after, x)).toBeCloseTo(jstat.beta.cdf(x, 5.5, 4.5), 9)
    const { low, high } = thetaInterval(after)
    expect(low).toBeCloseTo(jstat.beta.inv(0.05, 5.5, 4.5), 6)
    expect(high).toBeCloseTo(jstat.beta.inv(0.95, 5.5, 4.5), 6)
  })

  test('silence lowers the estimate when those who skip are silent oftener, and raises it when not', () => {
    const mean = (silentNone: number, silentAll: number) =>
      meanTheta(posterior([silent, silent], { ...flat, silentNone, silentAll }))
    expect(mean(0.8, 0.1)).toBeLessThan(0.5)
    expect(mean(0.5, 0.5)).toBeCloseTo(0.5, 12)
    expect(mean(0.1, 0.8)).toBeGreaterThan(0.5)
  })

  test('a bare yes lies between one dose and all of them', () => {
    const mean = (one: DoseDay) => meanOf(posterior([one], flat).done)
    expect(mean(some)).toBeGreaterThan(mean(said(1)))
    expect(mean(some)).toBeLessThan(mean(said(2)))
  })

  test('claims that are not always true count for less', () => {
    const believed = meanOf(posterior([said(2), said(2)], flat).done)
    const doubted = meanOf(posterior([said(2), said(2)], { ...flat, overclaim: 0.3 }).done)
    expect(believed).toBeCloseTo(4, 12)
    expect(doubted).toBeLessThan(3.9)
  })

  test('more doses claimed than were due count as all of them', () => {
    expect(posterior([said(5)], flat).done).toEqual(posterior([said(2)], flat).done)
  })

  test('answers that the model holds impossible are an error, not a guess', () => {
    expect(() => termsOf([said(2)], { ...flat, silentAll: 1 })).toThrow(/impossible/)
  })

  test('one more dose reported never lowers the doses believed, whatever else was said', () => {
    fc.assert(
      fc.property(
        fc.array(anyDay, { maxLength: 4 }),
        fc
          .integer({ min: 1, max: 4 })
          .chain((planned) =>
            fc.integer({ min: 0, max: planned - 1 }).map((doses) => [planned, doses] as const),
          ),
        anyModel,
        fc.integer({ min: 0, max: 6 }),
        (others, [planned, doses], model, future) => {
          const total = (n: number) => predictTotal(posterior([...others, said(n, planned)], model), future)
          const fewer = total(doses)
          const more = total(doses + 1)
          for (let k = 0; k < more.length; k++)
            expect(atLeast(more, k)).toBeGreaterThanOrEqual(atLeast(fewer, k) - 1e-9)
        },
      ),
      { numRuns: 300 },
    )
  })
})

describe('what is still to come', () => {
  test('is a distribution, and adds up', () => {
    fc.assert(
      fc.property(
        fc.array(anyDay, { maxLength: 5 }),
        anyModel,
        fc.integer({ min: 0, max: 12 }),
        (days, model, future) => {
          const after = posterior(days, model)
          const total = predictTotal(after, future)
          const ahead = predictFuture(after, future)
          expect(total.reduce((sum, p) => sum + p, 0)).toBeCloseTo(1, 8)
          expect(ahead.reduce((sum, p) => sum + p, 0)).toBeCloseTo(1, 8)
          expect(meanOf(total)).toBeCloseTo(meanOf(after.done) + future * meanTheta(after), 6)
          expect(meanOf(ahead)).toBeCloseTo(future * meanTheta(after), 6)
        },
      ),
    )
  })

  test('without any answer is the prior beta-binomial', () => {
    const ahead = predictTotal(posterior([], { ...flat, a: 2, b: 3 }), 5)
    for (const [k, p] of ahead.entries()) expect(p).toBeCloseTo(betaBinomial(k, 5, 2, 3), 12)
  })
})

describe('the 90 % interval of a count', () => {
  test('holds at least 90 %, at most 5 % on either side, and no shorter one does so', () => {
    const anyDistribution = fc
      .array(fc.double({ min: 0, max: 1, noNaN: true }), { minLength: 1, maxLength: 15 })
      .filter((raw) => raw.some((w) => w > 0.01))
      .map((raw) => {
        const sum = raw.reduce((a, b) => a + b, 0)
        return raw.map((w) => w / sum)
      })
    fc.assert(
      fc.property(anyDistribution, (distribution) => {
        const { low, high } = countInterval(distribution)
        const between = (from: number, to: number) =>
          distribution.slice(from, to).reduce((sum, p) => sum + p, 0)
        expect(low).toBeLessThanOrEqual(high)
        expect(between(0, low)).toBeLessThanOrEqual(0.05 + 1e-9)
        expect(between(high + 1, distribution.length)).toBeLessThanOrEqual(0.05 + 1e-9)
        expect(between(0, low + 1)).toBeGreaterThan(0.05 - 1e-9)
        expect(between(high, distribution.length)).toBeGreaterThan(0.05 - 1e-9)
      }),
    )
  })
})

test('a day with nothing due stays silent like a day with nothing done', () => {
  expect(silentChance({ ...flat, silentNone: 0.7 }, 0, 0)).toBe(0.7)
})

test('the words give the likely number, the range and the days without an answer', () => {
  const model: AdherenceModel = { ...flat, a: 3, b: 1, silentNone: 0.5, silentAll: 0.25 }
  expect(adherenceWords([], model)).toBe('No answer is due yet.')
  expect(adherenceWords([said(2), said(1)], model)).toBe('About 3 of the 4 doses due so far were done.')
  const words = adherenceWords([said(2), silent, said(2)], model)
  expect(words).toMatch(
    /^About 6 of the 6 doses due so far were done\. It could be from 5 to 6: 9 times in 10 it is\./,
  )
  expect(words).toMatch(/1 day has no answer\.$/)
})
