/**
 * `npm run train:third-reader`: trains the third reader on tests/replies/corpus (dev-*.jsonl and plain-harmless.txt),
 * and on nothing else, and writes src/replies/{third-reader,urgent}-weights.ts. The same corpus gives the same file.
 * `-- --measure`: writes nothing; leaves out each file of the corpus in turn, then each of five folds with near
 * wordings kept together, and prints what the model does on what it has not seen.
 * Logistic regression, adaptive steps (Duchi, Hazan, Singer, JMLR 2011;12:2121-59), weights held small (L2).
 */
import { globSync, readFileSync, writeFileSync } from 'node:fs'
import type { Urgency } from '../../src/protocol/rule.ts'
import { defaultUrgencyRules } from '../../src/protocol/sections/urgency.ts'
import { caseOf, judge, readReply } from '../../src/replies/judge.ts'
import { featuresOf, thirdReading, type Weights, wordsOf } from '../../src/replies/third-reader.ts'
import type { ReplyContext } from '../../src/replies/types.ts'

export type Row = {
  id: string
  file: string
  context: ReplyContext
  text: string
  question?: unknown
  expect: { urgency: Urgency }
}
type Example = { names: Int32Array; values: Float64Array; target: 0 | 1; weight: number }

const ROUNDS = 6
const STEP = 0.1
const SHRINK = 2e-3
/** Weights are written in hundredths of log-odds; what is smaller than this is left out. */
const SMALLEST = 4
/** Pieces and pairs seen in fewer texts than this are left out. */
const RAREST = 5
const SLIPPED_WEIGHT = 0.5
const PLAIN_WEIGHT = 0.5
/** What each label teaches; null teaches nothing. */
type Lesson = Record<Urgency, { target: 0 | 1; weight: number } | null>
const yes = (weight: number) => ({ target: 1 as const, weight })
const no = (weight: number) => ({ target: 0 as const, weight })
/** Should a clinician see it? */
export const DOUBT: Lesson = { now: yes(1), today: yes(1), soon: yes(0.5), unclear: null, none: no(1) }
/** Can it not wait for tomorrow? */
export const URGENT: Lesson = { now: yes(1), today: yes(1), soon: no(1), unclear: no(1), none: no(1) }

export function corpus(): Row[] {
  return globSync('tests/replies/corpus/dev-*.jsonl')
    .sort()
    .flatMap((file) =>
      readFileSync(file, 'utf8')
        .split('\n')
        .filter((line) => line.trim() !== '')
        .map((line) => ({ ...JSON.parse(line), file })),
    )
}

/** Plain harmless sentences, among them those that the check's page writes; they are never tested upon. */
function plain(): { row: Row; target: 0; weight: number }[] {
  const sentences = readFileSync('tests/replies/corpus/plain-harmless.txt', 'utf8').trim().split('\n')
  return sentences.flatMap((text) =>
    (['aftercare', 'softening'] as const).map((context) => ({
      row: { id: 'plain', file: 'plain', context, text, expect: { urgency: 'none' as const } },
      target: 0 as const,
      weight: PLAIN_WEIGHT,
    })),
  )
}

/** A small seeded generator (Numerical Recipes' quick one), so that training repeats. */
function random(seed: number): () => number {
  let state = seed >>> 0
  return () => {
    state = (Math.imul(state, 1664525) + 1013904223) >>> 0
    return state / 2 ** 32
  }
}

/** One slip of the thumb: a letter lost, swapped, added or changed, or a space lost. */
function slip(text: string, next: () => number): string {
  const kind = next()
  const i = 1 + Math.floor(next() * Math.max(1, text.length - 2))
  const letter = 'abcdefghijklmnopqrstuvwxyz'[Math.floor(next() * 26)]
  if (kind < 0.2) return text.slice(0, i) + text.slice(i + 1)
  if (kind < 0.4) return text.slice(0, i - 1) + text.charAt(i) + text.charAt(i - 1) + text.slice(i + 1)
  if (kind < 0.55) return text.slice(0, i) + letter + text.slice(i)
  if (kind < 0.75) return text.slice(0, i) + letter + text.slice(i + 1)
  const spaces = [...text.matchAll(/ /g)].map((m) => m.index)
  const at = spaces[Math.floor(next() * spaces.length)]
  return at === undefined ? text : text.slice(0, at) + text.slice(at + 1)
}

function shape(text: string, row: Row): Map<string, number> {
  const words = wordsOf(text)
  const out = new Map<string, number>()
  for (const { name, value } of featuresOf(words, row.context, row.question !== undefined))
    out.set(name, (out.get(name) ?? 0) + value / 100)
  return out
}

export function train(rows: readonly Row[], lesson: Lesson = DOUBT): Weights {
  const labelled = rows.flatMap((row) => {
    const label = lesson[row.expect.urgency]
    return label ? [{ row, ...label }] : []
  })
  const taught = [...labelled, ...plain()]
  const mass = (target: 0 | 1) => taught.filter((t) => t.target === target).reduce((s, t) => s + t.weight, 0)
  const balance = mass(1) / mass(0)
  const next = random(3)
  const shaped: { of: Map<string, number>; target: 0 | 1; weight: number }[] = []
  for (const { row, target, weight } of taught) {
    const w = target === 1 ? weight : weight * balance
    shaped.push({ of: shape(row.text, row), target, weight: w })
    shaped.push({ of: shape(slip(row.text, next), row), target, weight: w * SLIPPED_WEIGHT })
  }
  const texts = new Map<string, number>()
  for (const { of } of shaped) for (const name of of.keys()) texts.set(name, (texts.get(name) ?? 0) + 1)
  const index = new Map<string, number>()
  for (const [name, n] of texts) if (n >= RAREST) index.set(name, index.size)
  const examples: Example[] = shaped.map(({ of, target, weight }) => {
    const known = [...of].filter(([name]) => index.has(name))
    return {
      names: Int32Array.from(known, ([name]) => index.get(name) as number),
      values: Float64Array.from(known, ([, value]) => value),
      target,
      weight,
    }
  })
  const { bias, w } = descend(examples, index.size)
  const weights = new Map<string, number>()
  for (const [name, i] of index) {
    const whole = Math.round(100 * (w[i] ?? 0))
    if (Math.abs(whole) >= SMALLEST) weights.set(name, whole)
  }
  return { bias: Math.round(100 * bias), of: weights }
}

function descend(examples: Example[], size: number): { bias: number; w: Float64Array } {
  const w = new Float64Array(size)
  const squares = new Float64Array(size).fill(1e-6)
  let bias = 0
  let biasSquares = 1e-6
  const order = examples.map((_, i) => i)
  const next = random(7)
  for (let round = 0; round < ROUNDS; round++) {
    for (let i = order.length - 1; i > 0; i--) {
      const j = Math.floor(next() * (i + 1))
      const kept = order[i] as number
      order[i] = order[j] as number
      order[j] = kept
    }
    for (const at of order) {
      const { names, values, target, weight } = examples[at] as Example
      let z = bias
      for (let k = 0; k < names.length; k++) z += (w[names[k] as number] as number) * (values[k] as number)
      const slope = (1 / (1 + Math.exp(-z)) - target) * weight
      for (let k = 0; k < names.length; k++) {
        const i = names[k] as number
        const g = slope * (values[k] as number) + SHRINK * (w[i] as number)
        squares[i] = (squares[i] as number) + g * g
        w[i] = (w[i] as number) - (STEP * g) / Math.sqrt(squares[i] as number)
      }
      biasSquares += slope * slope
      bias -= (STEP * slope) / Math.sqrt(biasSquares)
    }
  }
  return { bias, w }
}

export const scoreOf = (weights: Weights, row: Row): number =>
  thirdReading(row.text, row.context, row.question !== undefined, weights).score

/** The data file: a line for each weight, with the features that bear it. */
export function fileOf({ bias, of }: Weights): string {
  const lines = new Map<number, string[]>()
  for (const [name, weight] of of) {
    const list = lines.get(weight)
    if (list) list.push(name)
    else lines.set(weight, [name])
  }
  const body = [...lines]
    .sort((a, b) => a[0] - b[0])
    .map(([weight, names]) => [weight, ...names.sort()].join(' '))
    .join('\n')
  return `/** Written by \`npm run train:third-reader\`, never by hand: each weight (hundredths of log-odds) with its features. */
export const BIAS = ${bias}
export const WEIGHTS = \`${body}\`
`
}

const urgent = (r: Row) => r.expect.urgency === 'now' || r.expect.urgency === 'today'
const harmless = (r: Row) => r.expect.urgency === 'none'
const percent = (k: number, n: number) => (n === 0 ? '-' : `${((100 * k) / n).toFixed(1)} % (${k} of ${n})`)

/** Groups texts that share more than half of their letter triples, so that near wordings stay in one fold. */
function groupsOf(rows: readonly Row[]): number[] {
  const triples = rows.map((r) => {
    const t = r.text.toLowerCase().replace(/[^a-z0-9]+/g, ' ')
    return new Set(Array.from({ length: Math.max(1, t.length - 2) }, (_, i) => t.slice(i, i + 3)))
  })
  const parent = rows.map((_, i) => i)
  const root = (i: number): number => {
    let at = i
    while (parent[at] !== at) at = parent[at] as number
    return at
  }
  for (let i = 0; i < rows.length; i++)
    for (let j = i + 1; j < rows.length; j++) {
      const [a, b] = [triples[i] as Set<string>, triples[j] as Set<string>]
      if (a.size > 2 * b.size || b.size > 2 * a.size) continue
      const both = a.intersection(b).size
      if (both / (a.size + b.size - both) > 0.5) parent[root(j)] = root(i)
    }
  return rows.map((_, i) => root(i))
}

type Read = { urgency: Urgency; findings: number }

/** `before`, optional: a JSON file of id to `Read`, as an earlier state of the rules read each reply. */
function measure(before: string | undefined) {
  const rows = corpus()
  const known: Record<string, Read> = before ? JSON.parse(readFileSync(before, 'utf8')) : {}
  const read = new Map(rows.map((r) => [r.id, known[r.id] ?? readByRules(r)]))
  const report = (title: string, tested: readonly Row[], scores: Map<string, number>) => {
    const bad = tested.filter(urgent)
    const good = tested.filter(harmless)
    const passes = (r: Row) => read.get(r.id)?.urgency === 'none'
    const missed = bad.filter(passes)
    const passed = good.filter(passes)
    console.log(
      `\n${title}: ${bad.length} urgent (${missed.length} let pass by the rules), ${good.length} harmless (${passed.length} let pass)`,
    )
    for (const unexplained of [-50, 0, 50, 100, 150])
      for (const explained of [150, 200, 250]) {
        const over = (list: readonly Row[]) =>
          list.filter((r) => (scores.get(r.id) ?? 0) >= (read.get(r.id)?.findings ? explained : unexplained))
            .length
        console.log(
          `  bars ${unexplained}, ${explained}: of the urgent let pass, doubted ${percent(over(missed), missed.length)}; of all urgent ${percent(over(bad), bad.length)}; of the harmless, doubted anew ${percent(over(passed), good.length)}, kept out ${percent(passed.length - over(passed), good.length)}`,
        )
      }
  }
  for (const file of new Set(rows.map((r) => r.file))) {
    const tested = rows.filter((r) => r.file === file)
    const model = train(rows.filter((r) => r.file !== file))
    report(`Left out ${file}`, tested, new Map(tested.map((r) => [r.id, scoreOf(model, r)])))
  }
  const groups = groupsOf(rows)
  const scores = new Map<string, number>()
  const urgentScores = new Map<string, number>()
  for (let fold = 0; fold < 5; fold++) {
    const inFold = (i: number) => ((groups[i] as number) * 7919) % 5 === fold
    const model = train(rows.filter((_, i) => !inFold(i)))
    const alarm = train(
      rows.filter((_, i) => !inFold(i)),
      URGENT,
    )
    for (const [i, r] of rows.entries())
      if (inFold(i)) {
        scores.set(r.id, scoreOf(model, r))
        urgentScores.set(r.id, scoreOf(alarm, r))
      }
  }
  report('Five folds', rows, scores)
  reportUrgent(rows, read, urgentScores)
}

/** What the second question raises of what the rules leave below `today`, at several bars. */
function reportUrgent(rows: readonly Row[], read: Map<string, Read>, scores: Map<string, number>) {
  const left = rows.filter((r) => !/^(now|today)$/.test(read.get(r.id)?.urgency ?? ''))
  console.log(`\nSounds urgent, five folds: ${left.length} replies that the rules leave below today`)
  for (const bar of [150, 200, 250, 300, 400, 600]) {
    const over = (wanted: (r: Row) => boolean) => {
      const list = left.filter(wanted)
      return percent(list.filter((r) => (scores.get(r.id) ?? 0) >= bar).length, list.length)
    }
    const labelled = (u: Urgency) => over((r) => r.expect.urgency === u)
    console.log(
      `  bar ${bar}: raised of the urgent ${over(urgent)}; of soon ${labelled('soon')}, unclear ${labelled('unclear')}, none ${labelled('none')}`,
    )
  }
}

/** What the rules alone make of a reply, without the third reader. */
function readByRules(row: Row): Read {
  const reading = readReply(row)
  return {
    urgency: judge(reading, caseOf(row), defaultUrgencyRules).urgency,
    findings: reading.findings.length,
  }
}

if (import.meta.main) {
  const args = process.argv.slice(2)
  if (args.includes('--measure')) measure(args.find((a) => !a.startsWith('--')))
  else {
    writeFileSync('src/replies/third-reader-weights.ts', fileOf(train(corpus())))
    writeFileSync('src/replies/urgent-weights.ts', fileOf(train(corpus(), URGENT)))
  }
}
