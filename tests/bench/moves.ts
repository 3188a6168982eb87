/**
 * `npm run bench:moves`: 300 visits against 600 open slots, beside a bare assignment of the same size in the same
 * run, so that the ratio means something on any machine. Prints processor time, the least of several runs.
 */
import { assign } from '../../src/softening/moves/assignment.ts'
import { planMoves } from '../../src/softening/moves/plan.ts'
import { randomDocument, randomFrom, type Shape } from '../softening/moves/cases.ts'

const RUNS = 5
const LIMIT_MS = 1000

const day: Shape = {
  visits: 300,
  slots: 600,
  people: 8,
  days: 15,
  tick: 30,
  ticks: 16,
  lengths: [30],
  slotLengths: [30],
  growth: 0.3,
}
const SHAPES: Record<string, Shape> = {
  'equal lengths, moves only': { ...day, rules: { assessmentMinutes: 0, lengthenMinutes: 0 } },
  'equal lengths, every answer': day,
  'mixed lengths': { ...day, tick: 10, ticks: 48, lengths: [20, 30, 40], slotLengths: [20, 30] },
  'long visits over two slots': { ...day, tick: 20, ticks: 24, lengths: [20, 40], slotLengths: [20] },
  'named rooms, limits, mixed': {
    ...day,
    tick: 10,
    ticks: 48,
    lengths: [20, 30, 40],
    slotLengths: [20, 30],
    rooms: 'named',
    limits: true,
  },
  'cheap moves, scarce rooms': {
    ...day,
    people: 10,
    tick: 20,
    ticks: 24,
    lengths: [20, 40],
    slotLengths: [20],
    rooms: 'pool',
    growth: 0.15,
    rules: { assessmentMinutes: 0, costs: { move: 2, waitPerDay: 0.5 } },
  },
}

function least(work: () => void): number {
  let best = Number.POSITIVE_INFINITY
  for (let run = 0; run < RUNS; run += 1) {
    const before = process.cpuUsage()
    work()
    const { user, system } = process.cpuUsage(before)
    best = Math.min(best, (user + system) / 1000)
  }
  return best
}

const random = randomFrom(1)
const cost = Float64Array.from({ length: 300 * 900 }, () => Math.floor(random() * 1e8))
const bare = least(() => assign(cost, 300, 900))
process.stdout.write(`bare assignment of 300 x 900: ${bare.toFixed(1)} ms\n`)
let slow = 0
for (const [name, shape] of Object.entries(SHAPES))
  for (const seed of [1, 2, 3]) {
    const doc = randomDocument(seed, shape)
    let line = ''
    const ms = least(() => {
      const plan = planMoves(doc)
      const changed = plan.visits.filter((visit) => visit.action !== 'stay').length
      line = `${doc.visits.length} x ${doc.openSlots?.length}, ${changed} changed, ${plan.method}, ${plan.proved ? 'proved' : 'NOT PROVED'}`
    })
    if (ms > LIMIT_MS) slow += 1
    process.stdout.write(
      `${name} (seed ${seed}): ${ms.toFixed(0)} ms, ${(ms / bare).toFixed(1)} times the bare one; ${line}\n`,
    )
  }
process.stdout.write(`${slow} of ${Object.keys(SHAPES).length * 3} took more than ${LIMIT_MS} ms\n`)
process.exitCode = slow > 0 ? 1 : 0
