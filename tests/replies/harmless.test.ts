/** Ordinary harmless replies keep out of the queue; those that nearly say the same, and do not, never do. */
import { readFileSync } from 'node:fs'
import { describe, expect, test } from 'vitest'
import { read, urgencyOf } from './support.ts'

/** A table has a line "# context question" before the replies that it is for. */
function table(name: string): [string, string | undefined, string][] {
  let context = ''
  let question: string | undefined
  const out: [string, string | undefined, string][] = []
  for (const line of readFileSync(new URL(`tables/${name}.txt`, import.meta.url), 'utf8').split('\n')) {
    const head = /^# (\w+) ?(.*)$/.exec(line)
    if (head) [context, question] = [head[1] ?? '', head[2] === '' ? undefined : head[2]]
    else if (line !== '') out.push([context, question, line])
  }
  return out
}

describe('nobody need read', () => {
  test.each(table('harmless'))('%s, asked %s: %s', (context, question, text) => {
    expect(urgencyOf(text, { context, question })).toBe('none')
  })
})

describe('somebody must read', () => {
  test.each(table('near-twins'))('%s, asked %s: %s', (context, question, text) => {
    expect(urgencyOf(text, { context, question })).not.toBe('none')
  })
})

describe('wishes', () => {
  const wishes = (text: string) => {
    const { reading } = read(text, { context: 'softening' })
    return [reading.stop ? 'stop' : '', reading.reschedule ? 'move' : ''].filter(Boolean).join(' ')
  }
  test.each([
    ['take me of this please', 'stop'],
    ['never had such a service. STOP now please, all healed up', 'stop'],
    ['text says reply STOP so STOP please', 'stop'],
    ['dont bother with my ear, see to the other one', ''],
    ['how do i make the bleeding just stop please', ''],
    ['it bleeds and it just wont stop please', ''],
    ['all is well so please end them', 'stop'],
    ['do not send me these anymore', 'stop'],
    ['i dont want any more of these on my phone', 'stop'],
    ['Stop sending these, ive changed my mind about coming', 'stop move'],
    ['Can I come in the afternoon rather than morning as the carer comes till 11', 'move'],
    ['I wont be in on the 14th', 'move'],
    ['give my slot to somebody else', 'move'],
    ['Cancel me please, going into hospital for my knee that day', 'move'],
    ['Changed my mind about the time, 2 is better', 'move'],
    ['please stop it from hurting', ''],
    ['please stop these headaches', ''],
    ['get me off these tablets', ''],
    ['the eyelid wont come down', ''],
    ['no tablet will shift it', ''],
    ['can I come in my slippers', ''],
    ['please phone my daughter instead', ''],
  ])('%s: %s', (text, wish) => {
    expect(wishes(text)).toBe(wish)
  })
})

describe('history', () => {
  const history = (text: string) => [
    ...new Set(
      read(text, { context: 'screening', question: 'history' })
        .reading.history.filter((h) => h.polarity !== 'denied')
        .map((h) => h.kind),
    ),
  ]
  test.each([
    ['On apixaban and metformin. Nothing with the ears at all', 'anticoagulant diabetes'],
    ["I'm diabetic, tablets only. Ears never been touched.", 'diabetes'],
    ['they put new bone in my ear six weeks back', 'surgery'],
    ['Had the bone behind the ear operated in 1979, signed off, no trouble these 40 odd years', 'surgery'],
    ['No operations no holes no nothing', ''],
    ['I had a hole in my sock', ''],
    ['nut allergy yes, carry the pen', 'allergy'],
  ])('%s: %s', (text, kinds) => {
    expect(history(text).sort().join(' ')).toBe(kinds)
  })
})

test('a side that answers which ear hurts says that it hurts', () => {
  const { reading, judgement } = read('left', { question: 'Which ear hurts?' })
  expect(reading.findings.map((f) => `${f.kind} ${f.side}`)).toEqual(['pain left'])
  expect(judgement.urgency).toBe('soon')
})
