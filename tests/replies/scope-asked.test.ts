import { describe, expect, test } from 'vitest'
import { hasCome, questions, suppositions } from '../../src/replies/asking.ts'
import { layOut } from '../../src/replies/clauses.ts'
import { parse, scopesOf } from './marked-words.ts'

describe('what is supposed or asked, and what a question takes for granted', () => {
  test.each([
    ['in case it [bleeds] i will ring', 'if'],
    ['was half expecting [agony]', 'if'],
    ['the one thing to add is that there is [ringing]', 'yes'],
    ['the one thing to add is this [ringing]', 'told'],
    ['is that the [ringing]', 'told'],
    ['my news is that it has [bled]', 'yes'],
    ['if I chew hard there is [pain]', 'yes'],
    ['you said there might be [pain]', 'if'],
    ['as you said there might be [pain]', 'yes'],
    ['just like you all said there might be [pain]', 'yes'],
    ['as she said it would be [sore]', 'yes'],
    ['thought it could be [sore]', 'yes'],
    ['thought that would be [agony]', 'yes'],
    ['is a bit of [blood] normal.', 'asked'],
    ['is a bit of [blood] normal after.', 'asked'],
    ['how long should my ear feel [sore]', 'told'],
    ['been expecting [agony]', 'if'],
    ['she keeps expecting [agony] was it', 'yes'],
    ['thought I would be in [agony]', 'if'],
    ['thought it would [hurt]', 'if'],
    ['thought I would mention the [pain]', 'yes'],
    ['thought I had [pain]', 'yes'],
    ["can't say if it is soft, [watery] though", 'yes'],
    ['ring if it is hot, [watery] or red', 'if'],
    ['if I am honest it is [sore]', 'yes'],
    ['is [fizzing] normal with these', 'asked'],
    ['is [fizzing] safe with these', 'asked'],
    ['is normal, [sore] though', 'yes'],
    ['is my ear meant to be so very [sore] normal', 'told'],
    ['sore like you said, it would be, [bleeding]', 'yes'],
    ['my neck is that stiff I have [pain]', 'yes'],
    ['my ear is that sore and [painful]', 'yes'],
    ['my ear is this sore to do with the [pain]', 'told'],
    ['if I get [dizzy] do I ring you', 'if'],
    ['if I get up I am [dizzy]', 'yes'],
    ['if I get out of bed I am [dizzy]', 'yes'],
    ['is a bit of [blood] normal after', 'asked'],
    ['is a bit of [blood] normal afterwards', 'asked'],
    ['is a bit of [blood] normal then', 'asked'],
    ['is a bit of [blood] normal', 'asked'],
    ['is it normal that mine is [weeping]', 'told'],
    ['a case of [bleeding]', 'yes'],
    ['scared that it could get [infected]', 'if'],
    ['frightened of it getting [infected]', 'if'],
    ['anxious they will [bleed]', 'if'],
    ['hoping it does not [bleed]', 'no+if'],
    ['hope there is no [infection]', 'no+if'],
    ['I hope you are well, [sore] today', 'yes'],
    ['nurse warned there could be [bleeding]', 'if'],
    ['the leaflet told me to expect [pain]', 'if'],
    ['I was told it was [infected]', 'yes'],
    ['expecting [pain] as normal', 'if'],
    ['if I press it there is [pain]', 'yes'],
    ['if it gets [sore] I will ring', 'if'],
    ['if there is [pain] I will ring', 'if'],
    ['if anything it is more [sore]', 'before:worse'],
    ['if you ask me it is [infected]', 'yes'],
    ['as if it was [bleeding]', 'yes'],
    ['unless it [bleeds] I am fine', 'if'],
    ['if it [bleeds] but it is [sore]', 'if, yes'],
    ['if it [bleeds], my ear is [sore]', 'if, yes'],
    ['if it [bleeds], the [pain] is bad', 'if, yes'],
    ['if it [bleeds], im [dizzy]', 'if, yes'],
    ['if it [bleeds] or [swells] I will ring', 'if, if'],
    ['if it [bleeds]. it is [sore]', 'if, yes'],
    ['did it twice and it [hurts]', 'yes'],
    ['have this [pain] still', 'yes'],
    ['what is coming out is [pus]', 'yes'],
    ['what is [pus]?', 'asked'],
    ['wondering if [bleeding] is normal', 'if+asked'],
    ['wonder whether the [pain] is right', 'told'],
    ['asking about [ringing]', 'asked'],
    ['asking nicely, [pain] is bad', 'yes'],
    ['which ear has the [pain]', 'told'],
    ['what time can I come about the [pain]', 'told'],
    ['how long does [pain] last', 'told'],
    ['how long should [pain] last', 'asked'],
    ['how long should my [pain] last', 'told'],
    ['how long will [pain] last', 'told'],
    ['should I know how long [pain] will last', 'asked'],
    ['how many with [pain]', 'asked'],
    ['how much [blood] is normal', 'asked'],
    ['what happens if it [bleeds]', 'if+asked'],
    ['what about [ringing]', 'asked'],
    ['hello is it ok to have [bleeding]', 'asked'],
    ['so should I be [dizzy]', 'asked'],
    ['thanks is there meant to be [pain]', 'asked'],
    ['my ear is it [infected]?', 'asked'],
    ['the ear might it be [infected]?', 'asked'],
    ['ear could that be [infection]', 'asked'],
    ['[bleeding] normal?', 'asked'],
    ['[bleeding]?', 'asked'],
    ['it is [sore] today and yesterday, ok?', 'yes'],
    ['suppose it gets [infected]', 'asked'],
    ['how soon will the [ringing] go', 'told'],
    ['can microsuction cause [deafness]', 'asked'],
    ['does wax give you [pain]', 'asked'],
    ['can swimming make it [hurt]', 'asked'],
    ['is [ringing] normal', 'asked'],
    ['are [headaches] a side effect', 'asked'],
    ['is [ringing] bad today', 'yes'],
    ['can I come sooner, [smelly] goo has started', 'yes'],
    ['can I come sooner, or is [pain] ok', 'asked'],
    ['can you move me to friday and its [bleeding]', 'yes'],
    ['can you see me and is [bleeding] ok', 'asked'],
    ['can I swim because my ear is [sore]', 'yes'],
    ['can I swim as there is [pain]', 'yes'],
    ['can I swim but it is [sore]', 'yes'],
    ['can I swim, should it [hurt]', 'asked'],
    ['can I swim, it could [hurt]', 'asked'],
    ['can I fly, she has [earache]', 'yes'],
    ['why is it [bleeding]', 'told'],
    ['is that why it is [bleeding]', 'told'],
    ['should it still be [sore]', 'told'],
    ['could this be [infection]', 'told'],
    ['should these be [sore]', 'told'],
    ['will this [pain] go', 'told'],
    ['is the [pain] normal', 'told'],
    ['are the drops meant to cause my [pain]', 'yes'],
    ['how long will my [pain] last', 'told'],
    ['when will the [ringing] stop', 'told'],
    ['when does [pain] start', 'asked'],
    ['when do I take tablets for [pain]', 'asked'],
    ['what can I take for [pain]', 'told'],
    ['what do I do about [bleeding]', 'told'],
    ['should my ear be [bleeding]', 'yes'],
    ['is my ear [infected]', 'yes'],
    ['is it ok that i have [bleeding]', 'told'],
    ['is it normal that there is [blood]', 'told'],
    ['is it normal to have [blood]', 'asked'],
    ['is this much [blood] ok', 'told'],
    ['is much [blood] ok', 'asked'],
  ])('%s', (sentence, want) => {
    expect(scopesOf(sentence)).toBe(want)
  })
})

describe('where a question begins and ends', () => {
  test('each sentence asks once, and one that tells asks and supposes nothing', () => {
    const ranges = (text: string) => {
      const { tokens } = parse(text)
      return [questions(tokens, layOut(tokens)), suppositions(tokens, layOut(tokens))]
    }
    expect(ranges('it is sore today')).toEqual([[], []])
    expect(ranges('it is sore and bad today. is it normal')).toEqual([[{ from: 7, to: 10 }], []])
  })
  test.each([
    // Up to three words and the mark ask, wherever they stand.
    ['[sore] and [dizzy]?', 'asked, asked'],
    ['but the [pain]?', 'told'],
    ['I am well today. [bleeding] normal?', 'asked'],
    // What is coming out is told of without the mark only.
    ['what is causing the [pain]?', 'told'],
    ['what is normal for [pain]', 'asked'],
    ['my ear is ringing, is it ok to have [pain]', 'asked'],
    ['guess what the [pain] is back', 'yes'],
    ['well how long does [pain] last', 'told'],
    ['how soon can [pain] return', 'asked'],
    ['why [pain]?', 'told'],
    ['ear could this really be [infection]', 'asked'],
    ['is [ringing] normal. it is loud', 'asked'],
    ['is [ringing] bad. it is normal', 'yes'],
    // A wish for the desk counts where it stands in the question before its comma or "and".
    ['I was seen today. is it ok to shower, [sore] or not?', 'asked'],
    ['I was seen friday. will it bleed and my ear [hurt]?', 'asked'],
    ['can I be seen before it [bleeds]', 'asked'],
    ['can I be seen about the ear and does [bleeding] matter', 'asked'],
    ['can I be seen about the ear and any [bleeding] checked', 'asked'],
    ['can you see me friday and is it ok to [bleed]', 'asked'],
    ['can you see me friday and now it is [bleeding]', 'yes'],
  ])('%s', (sentence, want) => {
    expect(scopesOf(sentence)).toBe(want)
  })
})

describe('what a question takes for granted', () => {
  test.each([
    ['is [pain] going from 1 to 6 normal?', 'told'],
    ['is [pain] at 2 from the drops normal?', 'asked'],
    ['is [pain] of 1 or 2 normal?', 'asked'],
    ['is [pain] from wax or dry skin normal?', 'asked'],
    ['I had 2 drops. is [pain] at 2 from them normal?', 'asked'],
    ['from 2 to 3 I slept. is [pain] at 2 or 3 normal?', 'asked'],
    ['should this ear be so [sore]', 'told'],
    ['could this perhaps be an [infection]', 'asked'],
    ['what about this? [pain]?', 'asked'],
    ['my [pain] normal?', 'told'],
    ['should the ear [hurt]', 'asked'],
    ['is the [contraindicated-drops=oil] normal', 'asked'],
    ['is long [deafness] usual', 'asked'],
    ['when will [ringing] stop', 'told'],
    ['will [ringing] stop', 'asked'],
    ['what do I take for [pain] if I get it', 'asked'],
    ['what do I take for [pain] now', 'told'],
    // My ear, and that it is or should be so: the words of somebody who has it.
    ['should my ear be [bleeding] like that?', 'told'],
    ['is my rather badly [swollen] ear ok?', 'told'],
    ['will my ear [be sore] after?', 'told'],
    ['is [my ear hurting] ok?', 'told'],
    ['will my drops cause me [pain]?', 'asked'],
    ['will my drops be likely to cause [pain]?', 'asked'],
    ['will my earlier visit be [painful]?', 'asked'],
  ])('%s', (sentence, want) => {
    expect(scopesOf(sentence)).toBe(want)
  })
})

describe('what was foretold and is told in the past tense has come', () => {
  test.each([
    ['you said it might be sore and I [hearing-loss=lost my hearing]', true],
    ['you said it might hurt and I have [passed out]', true],
    ['you said there might be [pain]', false],
    ['you said it might be [sore I think]', false],
    ['if it gets worse and I [hearing-loss=lost my hearing]', false],
  ])('%s', (marked, want) => {
    const { tokens, mentions } = parse(marked)
    const [supposed] = suppositions(tokens, layOut(tokens))
    const [m] = mentions
    expect(supposed && m && hasCome(tokens, supposed, m)).toBe(want)
  })
})
