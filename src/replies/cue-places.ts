/** Where a reply names a time, a length or a standing trouble, and what that makes past. */
import type { Case } from './assemble.ts'
import { cameHome, longAgoAt } from './bygone.ts'
import type { Layout } from './clauses.ts'
import type { Mention } from './concepts.ts'
import { setOf } from './lexicon/set-of.ts'
import type { Token } from './normalise.ts'
import { findAll, type Match, type PatternSet } from './patterns.ts'
import { durationsBySentence } from './time.ts'
import { type FindingKind, GRAVE_KINDS } from './types.ts'
import { cues } from './vocabulary.ts'

/** What the procedure itself may do and what then passes: "it hurt in the chair"; hearing lost there may not come back. */
const OF_THE_VISIT: ReadonlySet<FindingKind> = new Set([
  'pain',
  'dizziness',
  'nausea',
  'vomiting',
  'bleeding',
  'blocked',
  'ringing',
  'headache',
  'itch',
])

/** Told of the time before the visit, or of the visit and its like. */
export function overWithTheVisit(
  m: Mention,
  clause: number,
  at: ReturnType<typeof cuePlaces>,
  outright: boolean,
): boolean {
  if (at.beforeVisit.has(clause)) return !GRAVE_KINDS.has(m.kind)
  return (
    !outright &&
    at.atVisit.has(clause) &&
    OF_THE_VISIT.has(m.kind) &&
    !m.tags.has('cannot-stand') &&
    !m.tags.has('heavy')
  )
}

/** Which sentences (and, for `beforeVisit`, clauses) hold a cue of each kind: looked up once a reply. */
export function cuePlaces(c: Case, mentions: readonly Mention[]) {
  const { tokens, layout } = c
  const places = (set: PatternSet<true>, unit: number[], holds = (_: Match<true>) => true) =>
    new Set(
      findAll(tokens, set)
        .filter((m) => !m.fuzzy && holds(m))
        .map((m) => unit[m.from] ?? -2),
    )
  // "Not always" is no standing trouble.
  const standing = (m: Match<true>) => !/^(not|something)$/.test(tokens[m.from - 1]?.w ?? '')
  // "Had pain last year, my ear is bleeding": a clause that names its own trouble says nothing of the others.
  const told = new Set(mentions.map((m) => layout.clause[m.from]))
  const old = longAgoAt(tokens)
  return {
    chronic: places(cues.chronic, layout.sentence, standing),
    chronicClause: places(cues.chronic, layout.clause, standing),
    longAgo: new Set(old.filter((i) => !told.has(layout.clause[i])).map((i) => layout.sentence[i] ?? -2)),
    longAgoClause: new Set(old.map((i) => layout.clause[i] ?? -2)),
    sudden: places(cues.sudden, layout.sentence),
    lasting: places(cues.lasting, layout.sentence),
    brief: places(cues.brief, layout.sentence),
    beforeVisit: places(cues.beforeVisit, layout.clause, (m) => !cameHome(tokens, m) && !isNew(tokens, m)),
    atVisit: places(cues.atVisit, layout.clause),
    sinceBirth: sinceBirth(tokens, layout),
    durations: durationsBySentence(tokens, layout),
  }
}

/** "A whistling that I did not have before my appointment" */
const isNew = (tokens: readonly Token[], m: Match<true>) =>
  [1, 2, 3, 4].some((n) => /^(not|never)$/.test(tokens[m.from - n]?.w ?? ''))

const BIRTH = setOf('birth childhood born')

/** Sentences that say "deaf since birth". */
const sinceBirth = (tokens: readonly Token[], layout: Layout): Set<number> =>
  new Set(
    tokens.flatMap((t, i) =>
      BIRTH.has(t.w) && /^(since|from|was|at)$/.test(tokens[i - 1]?.w ?? '')
        ? [layout.sentence[i] ?? -2]
        : [],
    ),
  )
