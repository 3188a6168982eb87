import { describe, expect, test } from 'vitest'
import { layOut } from '../../src/replies/clauses.ts'
import { whose } from '../../src/replies/person.ts'
import { parse } from './marked-words.ts'

/** Of each bracket whether it is the patient's (`mine`) or another's (`other`); `typed:` when another types for them. */
function ownersOf(marked: string): string {
  const { tokens, mentions } = parse(marked)
  const { typedFor, someoneElse } = whose(tokens, layOut(tokens))
  return `${typedFor ? 'typed:' : ''}${mentions.map((m) => (someoneElse(m) ? 'other' : 'mine')).join(', ')}`
}

describe('whose symptom it is', () => {
  test.each([
    ['I have [pain]', 'mine'],
    ['[pain]', 'mine'],
    ['he has [pain]', 'mine'],
    ['my cousin has [pain]', 'other'],
    ['my cousin has [chest=chest pain]', 'other'],
    ['my lodger has [facial-weakness=a droop]', 'other'],
    ['the dog has [pain]', 'other'],
    ['the dog has [facial-weakness=a droop]', 'other'],
    ['my kid has [pain]', 'other'],
    // A grave sign in anybody of the house, and the ear of a parent, are taken for the patient.
    ['my kid has [facial-weakness=a droop]', 'mine'],
    ['grandma has [pain]', 'mine'],
    ['grandma has [pain] too', 'other'],
    ['grandma has [pain] also', 'other'],
    ['grandma has [pain] also now', 'other'],
    ['grandma has [pain] too, bless her', 'other'],
    ['grandma has [pain] too bad to sleep', 'mine'],
    ['grandma has [pain] as well', 'other'],
    ['grandma has [pain] as bad', 'mine'],
    ['grandma is well, has [pain]', 'mine'],
    ['well grandma has [pain]', 'mine'],
    ['I am here too. grandma has [pain]', 'mine'],
    ['grandma has [pain]. I do too', 'mine'],
    ['my late grandma had [pain]', 'other'],
    ['grandma died of [pain]', 'other'],
    ['she died. grandma has [pain]', 'mine'],
    ['grandma has [pain]. he died', 'mine'],
    ['grandma passed away with [pain]', 'other'],
    ['grandma passed out with [pain]', 'mine'],
    ['grandma was late with [pain]', 'mine'],
    ['late news, grandma has [pain]', 'mine'],
    ['the late nan had [pain]', 'other'],
    ['late nan. grandma has [pain]', 'mine'],
    // One more sign of the one whom it is about, unless the patient speaks of himself.
    ['grandma has [pain]. grandma has [dizziness=spins] too', 'mine, mine'],
    ['grandma has [pain]. I know. grandma has [dizziness=spins] too', 'mine, other'],
    ['nan is well. grandma has [pain] too', 'other'],
    ['his grandma has [pain]', 'other'],
    ['my grandma has [pain]', 'mine'],
    ['grandma has [pain]. his grandma', 'mine'],
    // The nearest person of the sentence.
    ['my kid is well. [pain]', 'mine'],
    ['my kid is well, I have [pain]', 'mine'],
    ['my kid is well and your [pain] is', 'mine'],
    ['my kid is coming but [pain] today', 'mine'],
    ['my kid is coming and [pain] today', 'other'],
    ['[!=cannot hear my kid]', 'mine'],
    ['my kid [!=cannot hear her]', 'other'],
    ['my kid has it and [!=I cannot hear]', 'mine'],
    ['a kid of mine has [pain]', 'other'],
    ['a kid is not mine has [pain]', 'mine'],
    ['as a kid had [pain]', 'mine'],
    ['when a kid I had [pain]', 'mine'],
    ['was a child with [pain]', 'mine'],
    ['there is a child with [pain]', 'other'],
    ['as the kid had [pain]', 'other'],
    ['my sister in law has [pain]', 'other'],
    ['mother in law has [pain]', 'other'],
    ['mother in law has [facial-weakness=a droop]', 'other'],
    ['my mum at law school has [pain]', 'mine'],
    ['mother in law [pain]', 'other'],
    ['mother in hospital [pain]', 'mine'],
    // What somebody says or sees is of the patient, unless an owner is named.
    ['the kid says it is [sore]', 'mine'],
    ['the kid says her ear is [sore]', 'other'],
    ['the kid says [sore]', 'other'],
    ['the kid is all [sore]', 'other'],
    ['she came. the kid says it is [sore]', 'mine'],
    ['the kid says it is [sore] for her', 'mine'],
    ['her daughter says it is [sore]', 'mine'],
    // What is done to somebody makes them no subject.
    ['I went to feed the cat and [bleeding] came', 'mine'],
    ['I fed my little old cat and [bleeding] came', 'mine'],
    ['went to feed the cat and [bleeding] came', 'mine'],
    ['went to feed the kid and [bleeding] came', 'other'],
    ['spoke to the dog and [bleeding] came', 'mine'],
    ['the dog came and [bleeding] came', 'other'],
    ['I saw the cat and [bleeding] came', 'mine'],
    ['saw that the cat had [bleeding]', 'other'],
    ['feed the cat which I love, [bleeding] came', 'mine'],
    // "My late dear wife": "my" belongs to her.
    ['my dear kid has [pain]', 'other'],
    ['my poor old kid has [pain]', 'other'],
    ['my kid [!=cannot hear my wife]', 'other'],
    ['my kid [!=cannot hear my poor old wife]', 'other'],
    ['my kid [!=cannot hear my poor old dear lovely wife]', 'other'],
    ['[!=wife is muffled] today', 'mine'],
    ['my kid knows of my [pain]', 'mine'],
    ['my kid [!=cannot hear my phone]', 'mine'],
    ['my kid [!=cannot hear my old phone]', 'mine'],
    ['my mums cousin [pain]', 'other'],
    ['my bed by the kid, [pain]', 'other'],
    ['I kid you not, [pain]', 'other'],
    // She and he are the person named before, however far.
    ['my kid came. she has [pain]', 'other'],
    ['my grandma came. she has [pain]', 'mine'],
    ['my kid came. [!=her mum is muffled]', 'other'],
    ['she has [pain]. my kid came', 'other'],
    // After the symptom only the owner of the ear.
    ['my kid came. [pain] in her ear', 'other'],
    ['my grandma came. [pain] in her ear', 'mine'],
    ['my kid came. [pain] in her left', 'other'],
    ['my kid came. [pain] in his head', 'mine'],
    ['my kid came. [pain] in an ear', 'mine'],
    ['my kid came. [pain]. her ear', 'mine'],
    ['my kid came. [pain] but her ear', 'mine'],
    ['my kid came. [pain]', 'mine'],
    // Without a word for who it is.
    ['next door has [pain]', 'other'],
    ['next door has [facial-weakness=a droop]', 'other'],
    ['next week is the visit, [pain] now', 'mine'],
    ['that [pain] of our', 'mine'],
    ['the door has [pain]', 'mine'],
    ['our Karen has [pain]', 'other'],
    ['our Karen has [facial-weakness=a droop]', 'mine'],
    ['our Karen, [pain]', 'mine'],
    ['our karen has [pain]', 'mine'],
    ['my Karen has [pain]', 'mine'],
  ])('%s', (text, want) => {
    expect(ownersOf(text)).toBe(want)
  })
})

describe('who types', () => {
  test.each([
    ['my mum has [pain], her son', 'typed:mine'],
    ['my mum has [pain] (daughter)', 'typed:mine'],
    ['my mum has [pain]. Its her daughter', 'typed:mine'],
    ['my mum has [pain]. Call my daughter please', 'mine'],
    ['my mum has [pain], tell her son now please', 'mine'],
    ['my mum has [pain], son', 'typed:mine'],
    ['my mum has [pain], all week, son', 'typed:mine'],
    ['my mum has [pain], her eldest son.', 'typed:mine'],
    ['son', ''],
    ['[pain] today, bye', 'mine'],
    ['I am writing for my kid who has [pain]', 'typed:mine'],
    ['writing for my kid, the dog has [pain]', 'typed:other'],
    // Who says that it is not them has nothing.
    ['writing for my kid who has [pain], not me', 'other'],
    ['writing for my kid who has [pain], not mine', 'other'],
    ['writing for my kid who has [pain], not you', 'typed:mine'],
    ['writing for my kid who has [pain], bless me', 'typed:mine'],
    ['writing for my kid who has [pain], ring her not me', 'typed:mine'],
    ['writing for my kid who has [pain]. call not me', 'typed:mine'],
    ['writing for my kid who has [pain], not me. call her', 'other'],
    ['my mum has [pain], not me', 'other'],
    ['writing for my kid with [pain], she is not a patient', 'other'],
    ['writing for my kid with [pain], he was not your patient', 'other'],
    ['writing for my kid with [pain], she is not patient', 'other'],
    ['writing for my kid with [pain], she is not one of yours, patient', 'typed:mine'],
    ['writing for my kid with [pain], she can not be a patient', 'typed:mine'],
    ['writing for my kid with [pain], it is not a patient', 'typed:mine'],
    ['writing for my kid with [pain], she is a patient', 'typed:mine'],
  ])('%s', (text, want) => {
    expect(ownersOf(text)).toBe(want)
  })
})

test('another person near a word: never without one, nor where one types for the patient', () => {
  const near = (marked: string) => {
    const { tokens, mentions } = parse(marked)
    const { someoneElseAt, relatives } = whose(tokens, layOut(tokens))
    return [relatives, mentions.map(someoneElseAt)]
  }
  expect(near('he has [pain]')).toEqual([false, [false]])
  expect(near('my kid has [pain]')).toEqual([true, [true]])
  // With not a word of the sender, a parent is the one whom it is about.
  expect(near('grandma has [pain]')).toEqual([true, [false]])
  expect(near('I am well. grandma has [pain]')).toEqual([true, [true]])
  expect(near('my kid came. [pain]')).toEqual([true, [false]])
  expect(near('my kid came, I have [pain]')).toEqual([true, [false]])
  expect(near('writing for my kid who has [pain]')).toEqual([true, [false]])
})
