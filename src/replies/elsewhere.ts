/** Talk of other people, animals, things and other parts of the body, beside plain good news of the ear. */
import { type Layout, within, wordAt } from './clauses.ts'
import { PETS, RELATIVES } from './lexicon/scope.ts'
import { setOf } from './lexicon/set-of.ts'
import type { Token } from './normalise.ts'
import { findAll } from './patterns.ts'
import { cues } from './vocabulary.ts'

const THINGS = setOf(
  'weather kettle telly tv radio boiler house garden bus buses train traffic car parking phone signal football match bingo cruise holiday wedding funeral church shop shops shopping kitchen carpet oven dinner tea cuppa cake news programme film book joke bill bank computer roof lawn bins neighbour neighbours grandkids grandchildren grandson granddaughter dentist chiropodist optician knee knees hip hips back feet foot toe toes bunions bunion arthritis tooth teeth shoulder elbow thumb eyesight waistline purse wallet queue quiet scales driving everybody everyone people lady chap instructor vicar postman council government team kids',
)
const EAR = setOf('ear ears lug lugs eardrum eardrums hearing deaf face mouth eye eyelid speech balance')
/** Signs of danger are read wherever they stand. */
const OWN = setOf('i me myself')

/** The clauses that are about something else, where another clause tells that the patient is well. */
export function clausesElsewhere(tokens: readonly Token[], layout: Layout): ReadonlySet<number> {
  const news = new Set<number>()
  const looked = new Set<number>()
  for (const m of findAll(tokens, cues.well)) {
    const clause = layout.clause[m.from] ?? -1
    if (m.fuzzy || looked.has(clause)) continue
    looked.add(clause)
    if (isOfThePatient(tokens, layout, clause)) news.add(clause)
  }
  if (news.size === 0) return new Set()
  const out = new Set<number>()
  for (const [n, c] of layout.clauses.entries()) {
    if (news.has(n) && news.size === 1) continue
    let other = c.from
    while (other < c.to && !isOther(wordAt(tokens, other))) other++
    // "My wife says I am ...": the patient comes after the other.
    if (other === c.to || within(tokens, other, c.to, OWN)) continue
    if (within(tokens, c.from, c.to, EAR) && !within(tokens, c.from, c.to, PETS)) continue
    out.add(n)
  }
  return out
}

const isOther = (w: string) => THINGS.has(w) || RELATIVES.has(w)
const OF_THE_PATIENT = setOf('ear ears hearing hear i am mine my me all everything lug lugs no nothing')

/** "Ears grand", "I'm fine", "mine was gentle", "all well": not "the weather is lovely". */
function isOfThePatient(tokens: readonly Token[], layout: Layout, clause: number): boolean {
  const c = layout.clauses[clause]
  return c !== undefined && within(tokens, c.from, c.to, OF_THE_PATIENT)
}
