/**
 * A sign that cannot wait, joined at random to a harmless reply of the corpus: whatever stands beside it, it is read.
 * What comes out may contradict itself, as people do; it may be `unclear` then, and never `none`.
 */
import { globSync, readFileSync } from 'node:fs'

const SIGNS = [
  'I passed out',
  'blacked out on the landing',
  'I had a fit',
  'my face has dropped',
  'cant move my face',
  'one side of my mouth has slipped',
  'my speech went slurred',
  'couldnt get my words out',
  'my arm went weak',
  'no feeling down my left arm',
  'cant breathe properly',
  'struggling for breath',
  'ive got chest pain',
  'theres a tightness across my chest',
  'my throat is swelling up',
  'tongue has swelled up',
  'it wont stop bleeding',
  'blood pouring out of it',
  'I want to die',
  'I cant go on any more',
  'the room is spinning and im being sick',
  'so dizzy I keep falling over',
  'stiff neck and the light hurts my eyes',
  'ive gone deaf in that ear',
  'I lost my hearing',
  'cant hear a thing out of it since this morning',
  'my ear is bleeding',
  'bright red blood on my pillow',
  'theres pus coming out of my ear',
  'green gunge coming out',
  'my ear smells foul',
  'stinks like rotten meat',
  'the pain is much worse',
  'ive got terrible earache',
  'pain is 9 out of 10',
  'agony all night',
  'im dizzy and cant walk straight',
  'running a temperature of 39',
  'its all swollen behind the ear',
  'the lump behind it is getting bigger',
]
const BEFORE = ['. ', ', ', ' ', ' but ', ' and ']
const AFTER = ['. ', ', ', ' ']

/** Mulberry32, so that a seed gives the same texts everywhere. */
function random(seed: number): () => number {
  let a = seed
  return () => {
    a = (a + 0x6d2b79f5) | 0
    let t = Math.imul(a ^ (a >>> 15), 1 | a)
    t = (t + Math.imul(t ^ (t >>> 7), 61 | t)) ^ t
    return ((t ^ (t >>> 14)) >>> 0) / 4_294_967_296
  }
}

const MAX_LENGTH = 140

/** What patients wrote after the visit that needs nobody, without what was asked. */
const harmless = (): string[] =>
  globSync('tests/replies/corpus/dev-*.jsonl')
    .sort()
    .flatMap((file) => readFileSync(file, 'utf8').split('\n'))
    .filter((line) => line.trim() !== '')
    .map((line) => JSON.parse(line))
    .filter((c) => c.context === 'aftercare' && c.expect.urgency === 'none' && c.expect.history.length === 0)
    .map((c) => String(c.text))
    .filter((text) => text.length < MAX_LENGTH)

/** `count` texts, the sign in front in every second. */
export function crossed(seed: number, count: number): string[] {
  const next = random(seed)
  const texts = harmless()
  const one = <T>(list: readonly T[]) => list[Math.floor(next() * list.length)] as T
  return Array.from({ length: count }, (_, i) => {
    const [reply, sign] = [one(texts), one(SIGNS)]
    return i % 2 === 0 ? reply.replace(/[.!]+$/, '') + one(BEFORE) + sign : sign + one(AFTER) + reply
  })
}
