/**
 * The third, independent reader: a small linear model over words, pairs of words, word families and pieces of words.
 * It knows nothing of concepts, scopes or mended spelling, and it only ever raises doubt about a reply that the rules
 * would let pass: its score can make `none` into `unclear`, and nothing else. Trained by
 * tests/replies/train-third-reader.ts; the weights are whole numbers, and every score is a sum of them.
 */
import { BREAK, fold, isPlain } from './plain-letters.ts'
import { FAMILIES } from './third-reader-families.ts'
import { BIAS, WEIGHTS } from './third-reader-weights.ts'
import type { Doubt, Reading, ReplyContext, Span } from './types.ts'

/**
 * A reply is doubted from this score on; the higher bars are for one in which the rules found symptoms and explained
 * them (denied, past, as expected), and for one whose every clause they know for harmless. Set on texts left out of training: `npm run train:third-reader -- --measure`.
 */
export const BAR = { unexplained: 50, explained: 150, throughout: 250 } as const

/** Longer replies are read by overlapping stretches of so many words, so that filler cannot drown a sign. */
const STRETCH = 24
const MAX_LENGTH = 10_000
const MAX_WORD = 20
/** How far apart two families of one sentence may stand to be a pair, in words. */
const REACH = 4
/** How many words after a "no" are read as denied, within the sentence. */
const DENIAL_REACH = 5
const SPANS = 3

/** What a feature of each kind counts against a whole word, in hundredths. */
const VALUE = { word: 100, pair: 70, piece: 12, family: 100, families: 70, case: 100 } as const

const NEGATORS = new Set(
  'no not none nothing never without nor nil zero dont didnt havent hasnt isnt wasnt aint doesnt nowt nae neither naw nope arent werent dinnae nay free'.split(
    ' ',
  ),
)

const familiesOf = new Map<string, string[]>()
for (const [family, words] of Object.entries(FAMILIES))
  for (const w of words.split(' ')) familiesOf.set(w, [...(familiesOf.get(w) ?? []), family])

export type Word = Span & { w: string; sentence: number; denied: boolean }

/** A feature that holds of a text: its name, its value (hundredths), and the words that show it. */
export type Feature = { name: string; value: number; at: readonly number[] }

const picture = /\p{Extended_Pictographic}/u

/** Lower case, no accents, no apostrophes, runs of a letter cut to two, numbers in bands, pictures as their code. */
export function wordsOf(text: string): Word[] {
  const out: Word[] = []
  const end = Math.min(text.length, MAX_LENGTH)
  let w = ''
  // The end of the word, beside it: to look into a word that grows is to copy it each time.
  let tail = ''
  let start = 0
  let sentence = 0
  let denial = 0
  const folded = new Map<string, string>()
  const push = (to: number) => {
    if (w === '') return
    const word = /^\d+$/.test(w) ? band(w) : w
    out.push({ w: word, start, end: to, sentence, denied: denial > 0 })
    denial = NEGATORS.has(word) ? DENIAL_REACH : denial - 1
    w = ''
    tail = ''
  }
  for (let i = 0; i < end; ) {
    const code = text.codePointAt(i) ?? 32
    const ch = String.fromCodePoint(code)
    const next = i + ch.length
    if (code === 39 || code === 0x2019 || code === 96) {
      i = next
      continue
    }
    if (code >= 0x2190 && picture.test(ch)) {
      push(i)
      w = `*${code.toString(16)}`
      start = i
      push(next)
      i = next
      continue
    }
    const low = isPlain(ch) ? ch : (folded.get(ch) ?? fold(ch))
    if (!isPlain(ch)) folded.set(ch, low)
    if (low !== BREAK) {
      if (low !== '' && w === '') start = i
      if (low !== tail.at(-1) || low !== tail.at(-2)) {
        w += low
        tail = (tail + low).slice(-2)
      }
    } else {
      push(i)
      if (ENDS.has(ch)) {
        sentence++
        denial = 0
      }
    }
    i = next
  }
  push(end)
  return out
}

const ENDS = new Set('.!?;\n')
/** Pain scores, counts and temperatures matter by band, not by digit. */
function band(digits: string): string {
  const n = Number(digits)
  if (n === 0) return '#0'
  if (n <= 3) return '#1-3'
  if (n <= 6) return '#4-6'
  if (n <= 10) return '#7-10'
  if (n <= 36) return '#11-36'
  return n <= 42 ? '#37-42' : '#more'
}

/** What the word at `at[0]` shows by itself, and with the words after it. */
type Shown = { word: string; own: readonly Feature[]; links: readonly Feature[] }

/** What a text shows, whatever it is weighed for: made once a reply. */
export type Shape = { words: readonly Word[]; shown: readonly Shown[] }

export function shapeOf(text: string): Shape {
  const words = wordsOf(text)
  return { words, shown: shownBy(words) }
}

function shownBy(words: readonly Word[]): Shown[] {
  const owns = new Map<string, Feature[]>()
  return words.map((word, i) => {
    const name = word.denied ? `!${word.w}` : word.w
    let own = owns.get(name)
    if (!own) {
      const pieces = word.denied ? [] : piecesOf(word.w)
      own = [
        { name, value: VALUE.word, at: [] },
        ...pieces.map((piece) => ({ name: piece, value: VALUE.piece, at: [] })),
      ]
      owns.set(name, own)
    }
    return { word: name, own, links: linksOf(words, i) }
  })
}

/** Pairs of words, families, and pairs of families that begin at words[i]. */
function linksOf(words: readonly Word[], i: number): Feature[] {
  const out: Feature[] = []
  const word = words[i] as Word
  const next = words[i + 1]
  if (next?.sentence === word.sentence)
    out.push({ name: `${word.w}_${next.w}`, value: VALUE.pair, at: [i, i + 1] })
  for (const family of familiesOf.get(word.w) ?? []) {
    out.push({ name: `~${word.denied ? '!' : ''}${family}`, value: VALUE.family, at: [i] })
    for (let k = i + 1; k <= i + REACH; k++) {
      const other = words[k]
      if (other?.sentence !== word.sentence) break
      for (const second of familiesOf.get(other.w) ?? []) {
        const name = family < second ? `~${family}+${second}` : `~${second}+${family}`
        out.push({ name, value: VALUE.families, at: [i, k] })
      }
    }
  }
  return out
}

/** Visits what words[from, to) show, each distinct word, pair and family once. */
function gather(
  shown: readonly Shown[],
  from: number,
  to: number,
  visit: (feature: Feature, at: readonly number[]) => void,
) {
  const seen = new Set<string>()
  for (let i = from; i < to; i++) {
    const { word, own, links } = shown[i] as Shown
    if (!seen.has(word)) {
      seen.add(word)
      for (const feature of own) visit(feature, [i])
    }
    for (const feature of links) {
      if ((feature.at.at(-1) as number) >= to || seen.has(feature.name)) continue
      seen.add(feature.name)
      visit(feature, feature.at)
    }
  }
}

/** What the case around a stretch of so many words shows. */
function caseFeatures(count: number, context: ReplyContext, asked: boolean): Feature[] {
  const length = Math.min(6, 32 - Math.clz32(count + 1))
  return [`@${context}`, asked ? '@asked' : '@unasked', `@words${length}`].map((name) => ({
    name,
    value: VALUE.case,
    at: [],
  }))
}

/** The features of a whole text, as training sees them. */
export function featuresOf(words: readonly Word[], context: ReplyContext, asked: boolean): Feature[] {
  const out = caseFeatures(words.length, context, asked)
  gather(shownBy(words), 0, words.length, (feature) => out.push(feature))
  return out
}

/** Pieces of three to five letters, with the word's ends marked: they see through slips and unseen endings. */
export function piecesOf(w: string): string[] {
  if (!/^[a-z]/.test(w)) return []
  const marked = `<${w.slice(0, MAX_WORD)}>`
  const out = new Set<string>()
  for (let n = 3; n <= 5; n++)
    for (let i = 0; i + n <= marked.length; i++) out.add(`=${marked.slice(i, i + n)}`)
  return [...out]
}

function stretchesOf(count: number): [number, number][] {
  if (count <= STRETCH) return [[0, count]]
  const out: [number, number][] = []
  for (let from = 0; from < count; from += STRETCH / 2) {
    out.push([from, Math.min(count, from + STRETCH)])
    if (from + STRETCH >= count) break
  }
  return out
}

/** Whole numbers: hundredths of log-odds for each feature that training kept. */
export type Weights = { bias: number; of: ReadonlyMap<string, number> }

/** The weights of a data file: a line for each weight, with the features that bear it. */
export const weightsOf = (bias: number, lines: string): Weights => ({
  bias,
  of: new Map(
    lines.split('\n').flatMap((line) => {
      const [weight, ...names] = line.split(' ')
      return names.map((name) => [name, Number(weight)] as const)
    }),
  ),
})

const trained = weightsOf(BIAS, WEIGHTS)

/** `score`: hundredths of log-odds that a clinician is needed; `spans`: the words that weighed most for it. */
export type ThirdReading = { score: number; spans: Span[] }

/** Reads by stretches; the stretch that weighs most counts. In time linear in the length of the text. */
export function thirdReading(
  text: string,
  context: ReplyContext,
  asked: boolean,
  weights: Weights = trained,
  { words, shown }: Shape = shapeOf(text),
): ThirdReading {
  const known = (features: readonly Feature[]): Feature[] =>
    features.flatMap(({ name, value, at }) => {
      const weight = weights.of.get(name)
      return weight === undefined ? [] : [{ name, value: weight * value, at }]
    })
  const sum = (features: readonly Feature[]) => features.reduce((all, { value }) => all + value, 0)
  const owns = new Map<string, Feature[]>()
  const weighed = shown.map(({ word, own, links }): Shown => {
    const one = owns.get(word) ?? [{ name: word, value: sum(known(own)), at: [] }]
    owns.set(word, one)
    return { word, own: one, links: known(links) }
  })
  let score = Number.NEGATIVE_INFINITY
  let heaviest: [number, number] = [0, 0]
  for (const [from, to] of stretchesOf(words.length)) {
    let all = weights.bias * 100 + sum(known(caseFeatures(to - from, context, asked)))
    gather(weighed, from, to, ({ value }) => {
      all += value
    })
    if (all <= score) continue
    score = all
    heaviest = [from, to]
  }
  const shares = new Map<number, number>()
  gather(weighed, ...heaviest, ({ value }, at) => {
    for (const i of at) shares.set(i, (shares.get(i) ?? 0) + value / at.length)
  })
  const spans = [...shares]
    .filter(([, share]) => share > 0)
    .sort((a, b) => b[1] - a[1] || a[0] - b[0])
    .slice(0, SPANS)
    .sort((a, b) => a[0] - b[0])
    .map(([i]) => ({ start: words[i]?.start ?? 0, end: words[i]?.end ?? 0 }))
  return { score: Math.round(score / 100), spans }
}

/** The doubts about a reply that the rules would let pass: none, or one for each of the words that weighed most. */
export function thirdDoubts(
  reading: Pick<Reading, 'text' | 'context' | 'questions' | 'findings' | 'explained' | 'words'>,
  shape: Shape = shapeOf(reading.text),
): Doubt[] {
  const { text, context, questions, findings, explained, words } = reading
  // A bare number under its question shows it nothing.
  if (words === 0 && questions.length === 1 && findings.length > 0) return []
  const bar = explained ? BAR.throughout : findings.length > 0 ? BAR.explained : BAR.unexplained
  const { score, spans } = thirdReading(text, context, questions.length > 0, trained, shape)
  if (score < bar) return []
  const whole = { start: 0, end: Math.min(text.length, MAX_LENGTH) }
  return (spans.length > 0 ? spans : [whole]).map((span) => ({
    rule: 'u-third-reader',
    ...span,
    words: text.slice(span.start, span.end),
  }))
}
