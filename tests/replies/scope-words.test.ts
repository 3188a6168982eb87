import { describe, expect, test } from 'vitest'
import { scopesOf } from './marked-words.ts'

/** One sentence for each word of a table: the star is the word. */
describe('every word that the scope rules know', () => {
  test.each([
    // Nouns of a bare list carry a denial on.
    [
      'no [soreness], [*], [fever]',
      'no, no, no',
      'pain discharge bleeding blood dizziness swelling ringing tinnitus itching nausea headache headaches vertigo temperature redness infection infections surgery grommets allergies perforation',
    ],
    ['no [soreness], [*], [redness]', 'no, no, no', 'fever'],
    ['no [pain] * my ear or [itching]', 'no, no', 'in on from of inside into with to'],
    ['no [pain] * [bleeding]', 'no, no', '/ + &'],
    ['not * [painful]', 'yes', 'bad much too very that so really particularly as'],
    ['nor * it [sore]', 'no', 'did was had is does has'],
    ['nor * there any [bleeds]', 'no', 'are were is'],
    ['nor have * had [pain]', 'no', 'i it we'],
    ['never felt [pain] * that', 'yes', 'like'],
    ['never had [pain] * as I had last night', 'yes', 'such'],
    // What is gone is something else, or it has gone somewhere.
    ['[pain] * has gone', 'yes', 'hearing hearings wax oil appetite husband wife balance voice'],
    ['[pain] since * stopped', 'yes', 'i we you they she he nurse doctor lady man'],
    [
      '[earache] and it has gone *',
      'yes',
      'bad stone through mad septic yellow green brown pink scarlet crimson purple hot numb stiff puffy tight dead hard on red deaf to from right',
    ],
    ['[discharge] is all over *', 'yes', 'my the it me him'],
    ['the [pain] has passed * my jaw', 'yes', 'into to from through right'],
    ['the [pain] * over', 'after:gone', 'is was now'],
    ['the [pain] is * over', 'after:gone', 'all now'],
    ['[pain] and I * less busy', 'yes', 'have am feel keep'],
    ['[pain] today * gone by friday I hope', 'yes', ', -'],
    // The tail of a symptom's name before the answer.
    ['[symptom] * none', 'after:none', 'stuff fluid feeling noises noise ear ears drum spells'],
    ['[bleeding] *', 'after:none', 'no none nil zero nope 0'],
    ['[bleeding] no *', 'after:none', 'thanks x'],
    // What was stopped is no symptom.
    ['stopped * my [pain] started', 'yes', 'drops oil it them using taking doing putting'],
  ])('%s: %s', (sentence, want, list) => {
    for (const word of list.split(' ')) {
      const said = sentence.replace('*', word)
      expect([said, scopesOf(said)]).toEqual([said, want])
    }
  })
})
