import { spawnSync } from 'node:child_process'
import { describe, expect, test } from 'vitest'
import { answerLine, run } from '../../src/replies/command.ts'

const through = async (...chunks: (string | Uint8Array)[]) => {
  const bytes = chunks.map((c) => (typeof c === 'string' ? new TextEncoder().encode(c) : c))
  const out: string[] = []
  await run(
    (async function* () {
      yield* bytes
    })(),
    (text) => {
      out.push(text)
    },
  )
  return out
    .join('')
    .trimEnd()
    .split('\n')
    .filter(Boolean)
    .map((line) => JSON.parse(line) as Record<string, unknown>)
}

test('one line out for each line in, in order, with every field', async () => {
  const out = await through(
    '{"id":"a","context":"softening","text":"twice today"}\n{"id":2,"context":"aftercare","text":"ear is bleeding"}\n',
  )
  expect(out.map((o) => o.id)).toEqual(['a', 2])
  expect(out[0]).toMatchObject({
    urgency: 'none',
    doses: 2,
    softened: null,
    history: [],
    stop: false,
    reschedule: false,
    flags: [],
  })
  expect(out[1]).toMatchObject({ urgency: 'today', flags: ['bleeding'] })
  for (const key of [
    'id',
    'urgency',
    'score',
    'flags',
    'findings',
    'doses',
    'softened',
    'history',
    'stop',
    'reschedule',
    'why',
  ])
    expect(out[1]).toHaveProperty(key)
})

test('lines may be cut anywhere, even inside a letter, and the last needs no line end', async () => {
  const bytes = new TextEncoder().encode('{"id":1,"text":"ça va, ear hurts 👍"}\r\n{"id":2,"text":"thanks"}')
  const out = await through(...Array.from(bytes, (b) => new Uint8Array([b])))
  expect(out.map((o) => o.id)).toEqual([1, 2])
  expect(out[0]).not.toHaveProperty('error')
})

describe('what cannot be read is answered with what to mend, and unclear', () => {
  test.each([
    ['{"id":7,"text":', 7],
    ['nonsense', null],
    ['[]', null],
    ['null', null],
    ['{"id":"x"}', 'x'],
    ['{"id":"x","text":5}', 'x'],
  ])('%s', (line, id) => {
    const answer = answerLine(line)
    expect(answer).toMatchObject({ id, urgency: 'unclear' })
    expect(String(answer.error).length).toBeGreaterThan(10)
  })

  test('bytes that are no UTF-8: read as far as they go, never none', async () => {
    const head = new TextEncoder().encode('{"id":3,"text":"thank you ')
    const tail = new TextEncoder().encode('"}\n')
    const out = await through(new Uint8Array([...head, 0xff, 0xfe, ...tail]))
    expect(out[0]).toMatchObject({ id: 3, urgency: 'unclear' })
    expect(out[0]).toHaveProperty('error')
  })

  test('a line too long to be a reply', async () => {
    const out = await through(
      '{"id":1,"text":"',
      'x'.repeat(2_500_000),
      'y'.repeat(2_500_000),
      '"}\n{"id":2,"text":"thanks"}\n',
    )
    expect(out.map((o) => [o.id, o.urgency])).toEqual([
      [1, 'unclear'],
      [2, 'none'],
    ])
  })
})

test('the program itself: reads standard input, writes nothing else, ends with 0', () => {
  const node = 'node_modules/.bin/node'
  const result = spawnSync(node, ['src/replies/command.ts'], {
    input: '{"id":1,"context":"aftercare","text":"all fine"}\nbad\n',
    encoding: 'utf8',
  })
  expect(result.status).toBe(0)
  expect(result.stderr).toBe('')
  expect(result.stdout.trimEnd().split('\n')).toHaveLength(2)
})
