/**
 * `npm run measure:replies [-- FILES | --held | --crossed]`: reads labelled replies (dev-*.jsonl unless told otherwise) and prints
 * how well the reader and the scorer do, with every mistake. `--held` reads held-*.jsonl, which is looked at once;
 * `--crossed` reads signs joined at random to harmless replies (crossed.ts).
 * Wilson 95 % intervals without continuity correction (Newcombe, Stat Med 1998;17:857-72, method 3).
 */
import { globSync, readFileSync } from 'node:fs'
import { URGENCIES, type Urgency } from '../../src/protocol/rule.ts'
import { answerLine } from '../../src/replies/command.ts'
import { crossed } from './crossed.ts'

type Expect = {
  urgency: Urgency
  flags: string[]
  doses: number | null
  softened: boolean | null
  history: string[]
  stop: boolean
  reschedule: boolean
}
type Case = { id: string; context: string; text: string; question?: unknown; expect: Expect; note?: string }
type Answer = Expect & { why: string[]; findings: { kind: string; polarity: string }[] }

/** Wilson score interval for k of n at 95 %. */
export function wilson(k: number, n: number): [number, number] {
  if (n === 0) return [0, 1]
  const z = 1.959964
  const p = k / n
  const middle = p + (z * z) / (2 * n)
  const half = z * Math.sqrt((p * (1 - p)) / n + (z * z) / (4 * n * n))
  const whole = 1 + (z * z) / n
  return [Math.max(0, (middle - half) / whole), Math.min(1, (middle + half) / whole)]
}

/** Exact one-sided 95 % upper bound of the miss rate when none of n was missed (Hanley & Lippman-Hand, JAMA 1983). */
export const upperBoundOfNone = (n: number): number => (n === 0 ? 1 : 1 - 0.05 ** (1 / n))

const rank = (u: Urgency) => URGENCIES.indexOf(u)
const percent = (x: number) => `${(100 * x).toFixed(1)} %`
const rate = (k: number, n: number) => {
  const [low, high] = wilson(k, n)
  return `${k} of ${n} = ${n === 0 ? '-' : percent(k / n)} (95 % ${percent(low)} to ${percent(high)})`
}
const same = (a: readonly string[], b: readonly string[]) => [...a].sort().join() === [...b].sort().join()

/** Signs that cannot wait joined at random to harmless replies: how they are read, and each that is called harmless. */
function measureCrossed() {
  const texts = SEEDS.flatMap((seed) => crossed(seed, CROSSED))
  const read = texts.map((text) => ({
    text,
    a: answerLine(JSON.stringify({ context: 'aftercare', text })) as unknown as Answer,
  }))
  console.log(`${texts.length} texts, seeds ${SEEDS.join(', ')}`)
  for (const u of URGENCIES)
    console.log(`${u.padStart(8)}: ${rate(read.filter((x) => x.a.urgency === u).length, read.length)}`)
  for (const { text } of read.filter((x) => x.a.urgency === 'none'))
    console.log(`none: ${JSON.stringify(text)}`)
}
const SEEDS = [1, 2, 3, 4, 5]
const CROSSED = 4_000

function main(args: string[]) {
  if (args.includes('--crossed')) return measureCrossed()
  const held = args.includes('--held')
  const named = args.filter((a) => !a.startsWith('--'))
  const files =
    named.length > 0 ? named : globSync(`tests/replies/corpus/${held ? 'held' : 'dev'}-*.jsonl`).sort()
  const cases = files.flatMap((file) =>
    readFileSync(file, 'utf8')
      .split('\n')
      .filter((line) => line.trim() !== '')
      .map((line) => JSON.parse(line) as Case),
  )
  const read = cases.map((c) => {
    const { expect: _, note: __, ...input } = c
    return { c, a: answerLine(JSON.stringify(input)) as unknown as Answer }
  })
  const count = (test: (x: (typeof read)[number]) => boolean) => read.filter(test).length
  console.log(`${cases.length} replies from ${files.join(', ')}\n`)

  console.log(`expected \\ read ${URGENCIES.map((u) => u.padStart(8)).join('')}`)
  for (const e of URGENCIES)
    console.log(
      e.padStart(15) +
        URGENCIES.map((u) => String(count((x) => x.c.expect.urgency === e && x.a.urgency === u)).padStart(9))
          .join('')
          .slice(1),
    )

  const urgent = read.filter((x) => rank(x.c.expect.urgency) >= rank('today'))
  const caught = urgent.filter((x) => rank(x.a.urgency) >= rank('today'))
  const missed = urgent.filter((x) => x.a.urgency === 'none')
  const harmless = read.filter((x) => x.c.expect.urgency === 'none')
  const steps = read.filter(
    (x) => x.a.urgency === x.c.expect.urgency || rank(x.a.urgency) === rank(x.c.expect.urgency) + 1,
  )
  console.log(`\nsensitivity for now and today: ${rate(caught.length, urgent.length)}`)
  console.log(`urgent read none: ${rate(missed.length, urgent.length)}`)
  console.log(`urgent read below today: ${urgent.length - caught.length}`)
  console.log(
    `now read now: ${rate(
      count((x) => x.c.expect.urgency === 'now' && x.a.urgency === 'now'),
      count((x) => x.c.expect.urgency === 'now'),
    )}`,
  )
  console.log(
    `exact: ${rate(
      count((x) => x.a.urgency === x.c.expect.urgency),
      read.length,
    )}`,
  )
  console.log(`exact or safer by one step: ${rate(steps.length, read.length)}`)
  console.log(
    `less urgent than labelled: ${rate(
      count((x) => rank(x.a.urgency) < rank(x.c.expect.urgency)),
      read.length,
    )}`,
  )
  console.log(
    `harmless kept out of today and now: ${rate(harmless.filter((x) => rank(x.a.urgency) < rank('today')).length, harmless.length)}`,
  )
  console.log(
    `harmless kept out of the queue: ${rate(harmless.filter((x) => x.a.urgency === 'none').length, harmless.length)}`,
  )
  const field = (
    name: string,
    right: (x: (typeof read)[number]) => boolean,
    where: (x: (typeof read)[number]) => boolean = () => true,
  ) => {
    const list = read.filter(where)
    console.log(`${name}: ${rate(list.filter(right).length, list.length)}`)
  }
  const asksDoses = (x: (typeof read)[number]) => x.c.question === 'doses' || x.c.expect.doses !== null
  field('doses right', (x) => x.a.doses === x.c.expect.doses)
  field('doses right where asked or told', (x) => x.a.doses === x.c.expect.doses, asksDoses)
  field('softened right', (x) => x.a.softened === x.c.expect.softened)
  field(
    'softened right where told',
    (x) => x.a.softened === x.c.expect.softened,
    (x) => x.c.expect.softened !== null,
  )
  field('STOP right', (x) => x.a.stop === x.c.expect.stop)
  field('move right', (x) => x.a.reschedule === x.c.expect.reschedule)
  field('history right', (x) => same(x.a.history, x.c.expect.history))
  field('flags right', (x) => same(x.a.flags, x.c.expect.flags))

  console.log('\nMistakes')
  const quiet = args.includes('--urgency')
  for (const { c, a } of read) {
    const wrong = [
      a.urgency !== c.expect.urgency
        ? `urgency ${a.urgency} for ${c.expect.urgency}${rank(a.urgency) < rank(c.expect.urgency) ? ' TOO LOW' : ''}`
        : '',
      a.doses !== c.expect.doses ? `doses ${a.doses} for ${c.expect.doses}` : '',
      a.softened !== c.expect.softened ? `softened ${a.softened} for ${c.expect.softened}` : '',
      a.stop !== c.expect.stop ? `stop ${a.stop}` : '',
      a.reschedule !== c.expect.reschedule ? `move ${a.reschedule}` : '',
      same(a.history, c.expect.history) ? '' : `history [${a.history}] for [${c.expect.history}]`,
      same(a.flags, c.expect.flags) ? '' : `flags [${a.flags}] for [${c.expect.flags}]`,
    ].filter(Boolean)
    if (wrong.length === 0 || (quiet && a.urgency === c.expect.urgency)) continue
    console.log(
      `${c.id} ${c.context}${c.question === undefined ? '' : ` (asked ${JSON.stringify(c.question)})`}: ${JSON.stringify(c.text)}`,
    )
    console.log(
      `    ${wrong.join('; ')} | ${a.findings.map((f) => (f.polarity === 'affirmed' ? f.kind : `${f.kind}(${f.polarity})`)).join(' ')} | ${a.why.join(' ')}`,
    )
  }

  const n = urgent.length
  console.log('\nWhat these numbers can claim')
  if (missed.length === 0) {
    console.log(
      `No miss in ${n} urgent replies: the true rate of urgent replies read none is below ${percent(upperBoundOfNone(n))} with 95 % confidence.`,
    )
    if (n < 299) console.log('At least 299 urgent replies without a miss are needed to claim at most 1 %.')
  } else
    console.log(
      `${missed.length} of ${n} urgent replies were read none: no claim of at most 1 % can be made.`,
    )
  console.log(
    'They hold for replies like these, written by the same authors; development replies were used for tuning and say nothing of unseen text.',
  )
}

if (import.meta.main) main(process.argv.slice(2))
