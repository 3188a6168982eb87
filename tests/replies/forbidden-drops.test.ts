import { describe, expect, test } from 'vitest'
import { read, urgencyOf } from './support.ts'

const flags = (text: string, history?: unknown) =>
  read(text, { context: 'softening', question: 'doses', history }).judgement.flags

describe('drops in an ear that must not have any', () => {
  test.each([['perforation'], ['recent-perforation'], ['grommets'], ['infection'], ['recent surgery']])(
    'known of the patient (%s), and drops told',
    (kind) => {
      expect(flags('twice', [kind])).toEqual(['other'])
      expect(urgencyOf('twice', { context: 'softening', question: 'doses', history: [kind] })).toBe('soon')
    },
  )

  test('told with the drops', () => {
    expect(flags('I have a hole in that drum and put the drops in anyway')).toEqual(['other'])
    expect(flags('ive been pouring the oil in all week but i had a hole in my drum this summer')).toEqual([
      'other',
    ])
  })

  test('not when none went in, when it is over, or when nothing forbids them', () => {
    expect(flags('none today', ['perforation'])).toEqual([])
    expect(flags('forgot', ['grommets'])).toEqual([])
    expect(flags('twice', ['perforation healed years ago'])).toEqual([])
    expect(flags('twice', ['diabetes', 'anticoagulant'])).toEqual([])
    expect(flags('twice')).toEqual([])
  })
})
