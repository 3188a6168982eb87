/** Who may import whom: the arrows of the house plan, held. */
import { globSync, readFileSync } from 'node:fs'
import { dirname, join, normalize } from 'node:path'
import { expect, test } from 'vitest'

const ROOMS = [
  'access',
  'aftercare',
  'concerns',
  'database',
  'desk',
  'evidence',
  'messages',
  'privacy',
  'protocol',
  'replies',
  'safety',
  'softening',
  'visits',
]
const PURE = ['replies', 'softening', 'aftercare', 'protocol']
const STORES = /(^|\/)(store|[a-z]+-store)\.ts$/

interface Import {
  from: string
  to: string
}

const files = globSync(['src/**/*.ts', 'jobs/**/*.ts', 'templates/**/*.ts']).map((file) =>
  file.replaceAll('\\', '/'),
)
const imports: Import[] = files.flatMap((from) => {
  const text = readFileSync(from, 'utf8')
  return [...text.matchAll(/(?:from|import)\s+'([^']+)'/g)].map(([, to]) => ({
    from,
    to: to?.startsWith('.') ? normalize(join(dirname(from), to)).replaceAll('\\', '/') : (to as string),
  }))
})

const roomOf = (file: string): string | undefined => /^src\/([a-z]+)\//.exec(file)?.[1]
const words = ({ from, to }: Import): string => `${from} imports ${to}`
const isStore = (file: string): boolean => STORES.test(file)

test('there is something to check', () => {
  expect(files.length).toBeGreaterThan(80)
  expect(imports.filter(({ to }) => isStore(to)).length).toBeGreaterThan(10)
})

test('the rooms import no face, no job and no web framework', () => {
  const wrong = imports.filter(({ from, to }) => {
    const room = roomOf(from)
    // The permission and session code of access is where requests enter; it may know Hono, nothing else may.
    if (!room || !ROOMS.includes(room)) return false
    return (
      to.startsWith('src/faces/') || to.startsWith('jobs/') || (/^(hono|@hono)/.test(to) && room !== 'access')
    )
  })
  expect(wrong.map(words)).toEqual([])
})

test('replies, softening, aftercare and protocol import no database but in their store', () => {
  const wrong = imports.filter(({ from, to }) => {
    const room = roomOf(from)
    if (!room || !PURE.includes(room) || isStore(from)) return false
    return to.startsWith('src/database/') || /^(drizzle-orm|postgres)/.test(to)
  })
  expect(wrong.map(words)).toEqual([])
})

test("no room imports another room's store", () => {
  const wrong = imports.filter(({ from, to }) => {
    const room = roomOf(from)
    return room && ROOMS.includes(room) && isStore(to) && roomOf(to) !== room
  })
  expect(wrong.map(words)).toEqual([])
})

test('nothing but the one clock reads the wall clock', () => {
  const wrong = files
    .filter((file) => !['src/clock.ts'].includes(file))
    .filter((file) => /Temporal\.Now|Date\.now\(|new Date\(\)/.test(readFileSync(file, 'utf8')))
  expect(wrong).toEqual([])
})
