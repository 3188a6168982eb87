import { existsSync, readFileSync } from 'node:fs'
import { expect, test } from 'vitest'
import { HAZARDS, LIKELIHOOD, riskOf, SEVERITY } from '../../src/safety/hazards.ts'

/** The titles of a test file as they stand there, quotes taken off. */
function titlesOf(file: string): Set<string> {
  const text = readFileSync(file, 'utf8')
  const titles = text.matchAll(
    /\b(?:test|it)(?:\.\w+\([^)]*\))?\(\s*(?:'((?:[^'\\]|\\.)*)'|"((?:[^"\\]|\\.)*)"|`([^`]*)`)/g,
  )
  return new Set(
    [...titles].map(([, one, two, three]) => (one ?? two ?? three ?? '').replaceAll(/\\(.)/g, '$1')),
  )
}

test('each hazard names tests that are there', () => {
  const missing: string[] = []
  for (const { id, shownBy } of HAZARDS) {
    expect(shownBy.length, id).toBeGreaterThan(0)
    for (const { file, title } of shownBy)
      if (!existsSync(file) || !titlesOf(file).has(title)) missing.push(`${id} ${file}: ${title}`)
  }
  expect(missing).toEqual([])
  expect(titlesOf('tests/safety/hazards.test.ts')).toContain('each hazard names tests that are there')
  expect(titlesOf('tests/safety/hazards.test.ts')).not.toContain('each hazard names')
})

test('each is whole, and no control makes it worse', () => {
  expect(HAZARDS.length).toBeGreaterThanOrEqual(20)
  expect(new Set(HAZARDS.map(({ id }) => id)).size).toBe(HAZARDS.length)
  for (const { id, hazard, cause, harm, control, clinic, before, after } of HAZARDS) {
    for (const words of [hazard, cause, harm, control]) expect(words.length, id).toBeGreaterThan(10)
    expect(clinic.length, id).toBeGreaterThan(3)
    expect(LIKELIHOOD.indexOf(after.likelihood), id).toBeLessThanOrEqual(
      LIKELIHOOD.indexOf(before.likelihood),
    )
    expect(SEVERITY.indexOf(after.severity), id).toBeLessThanOrEqual(SEVERITY.indexOf(before.severity))
    expect(riskOf(after), id).not.toBe('not to be borne')
  }
})

test('the risk rises with either of its parts', () => {
  const order = ['low', 'middling', 'high', 'not to be borne']
  for (const [i, likelihood] of LIKELIHOOD.entries()) {
    for (const [j, severity] of SEVERITY.entries()) {
      const here = order.indexOf(riskOf({ likelihood, severity }))
      const next = LIKELIHOOD[i + 1]
      const worse = SEVERITY[j + 1]
      if (next) expect(order.indexOf(riskOf({ likelihood: next, severity }))).toBeGreaterThanOrEqual(here)
      if (worse) expect(order.indexOf(riskOf({ likelihood, severity: worse }))).toBeGreaterThanOrEqual(here)
    }
  }
  expect(riskOf({ likelihood: 'rare', severity: 'slight' })).toBe('low')
  expect(riskOf({ likelihood: 'frequent', severity: 'fatal' })).toBe('not to be borne')
})
