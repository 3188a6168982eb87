/** What a later word says is over, and what it says is there after all. */
import { describe, expect, test } from 'vitest'
import { kindsOf, read, urgencyOf } from './support.ts'

describe('signs that have passed alarm, and are not there now', () => {
  test.each([
    'my mouth drooped for five minutes, all back to normal now',
    'my face went lopsided on Sunday. It has quite gone',
    'one side of my face dropped yesterday for an hour, righted itself',
    'my lip hung down this morning, right as rain now',
  ])('%s', (text) => {
    const { judgement } = read(text)
    expect(judgement.urgency).toBe('now')
    expect(judgement.flags).toEqual([])
  })

  test.each([
    'my mouth drooped for five minutes, better but still not right',
    'my face dropped yesterday, all back now but my mouth is drooping again today',
    'my mouth has dropped on one side, the ear is fine',
  ])('but not: %s', (text) => {
    const { judgement } = read(text)
    expect(judgement.urgency).toBe('now')
    expect(judgement.flags).toContain('facial-weakness')
  })
})

describe('a dizzy minute at the visit', () => {
  test.each([
    ['dizzy for a minute in your chair, gone before I got my coat on', []],
    ['bit giddy straight after for a minute, then fine', []],
    ['dizzy for a minute every time I get up off the chair', ['dizziness']],
    ['dizzy for a minute in your chair and still am', ['dizziness']],
  ])('%s', (text, flags) => {
    expect(read(text).judgement.flags).toEqual(flags)
  })

  test('before the visit the drops may be what makes one dizzy', () => {
    expect(
      read('dizzy for a minute straight after, then fine', { context: 'softening' }).judgement.flags,
    ).toEqual(['dizziness'])
  })
})

describe('what a later clause denies was there before', () => {
  test.each([
    'it hurt on saturday, no pain at all now',
    'less sore than when I had it syringed, in fact no pain at all',
    'there was ringing the first night. no ringing since',
    'hurt for two days, finished on friday, not a twinge since',
    'it did hurt at first but that is long gone',
  ])('%s', (text) => expect(urgencyOf(text)).toBe('none'))

  test.each([
    'it was sore yesterday and no pain in the other one now but still sore',
    'pain was 8 yesterday, no pain in the jaw now',
    'no pain at all on monday, it hurt all day today',
    'it is sore, no pain in the other ear now',
  ])('but not: %s', (text) => expect(urgencyOf(text)).not.toBe('none'))

  test('blood that comes again is there, whatever stopped before', () => {
    expect(read('fresh red blood on my pillow again this morning. it had stopped').judgement.flags).toContain(
      'bleeding',
    )
    expect(read('there was blood on monday. it had stopped by teatime').judgement.flags).toEqual([])
  })
})

describe('supposed, asked about or denied, and there after all', () => {
  test.each([
    ['if it bleeds should I come in? because it has started', 'bleeding:affirmed'],
    ['is it usual to be so giddy and vomiting? i am like that', 'dizziness:affirmed'],
    ['is it usual to be so giddy and vomiting? i am like that', 'vomiting:affirmed'],
    ['has anyone else had brown discharge? mine began last night', 'discharge:affirmed'],
    ['never had ringing before in my life but have it now', 'ringing:affirmed'],
    ['if it bleeds should I come in? it has not started', 'bleeding:hypothetical'],
    ['is it usual to be giddy? i am not like that', 'dizziness:asked-about'],
    ['no ringing but the drops i have now are fine', 'ringing:denied'],
  ])('%s: %s', (text, finding) => expect(kindsOf(text)).toContain(finding))
})

describe('hearing that is fine beside something that has gone', () => {
  test.each([
    ['hearing is grand. my eyebrow on that side has dropped', 'hearing-loss:denied'],
    ['hearing excellent. nothing further', 'hearing-loss:denied'],
    ['hearing was lovely and then nothing', 'hearing-loss:affirmed'],
    ['hearing was lovely, woke up and it has gone', 'hearing-loss:affirmed'],
  ])('%s: %s', (text, finding) => expect(kindsOf(text)).toContain(finding))
})
