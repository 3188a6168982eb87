/** Matches of the lexicon, settled: masks hide figurative words, overlapping matches of a kind become one mention. */
import type { Concept } from './lexicon/symptoms.ts'
import type { Token } from './normalise.ts'
import { findAll, type Match } from './patterns.ts'
import type { FindingKind, FindingTag } from './types.ts'
import { concepts, constellations, hardMasks, masks } from './vocabulary.ts'

/** Token indexes, half open. `denies`: the phrase itself says that all is well. `negated`: a "not" within it. */
export type Mention = {
  kind: FindingKind
  from: number
  to: number
  tags: Set<FindingTag>
  severity: number | null
  denies: boolean
  negated: boolean
  size: number
  used: Set<number>
  /** The tokens that name the symptom by themselves. */
  core: Set<number>
}

/** A mention of the left kind inside a mention of one of the right kinds is the same thing, said better. */
const SAID_BETTER: Partial<Record<FindingKind, FindingKind[]>> = {
  pain: [
    'headache',
    'chest',
    'airway',
    'stiff-neck',
    'light-hurts',
    'self-harm',
    'rash',
    'injury',
    'stroke-sign',
    'fever',
  ],
  unwell: [
    'stroke-sign',
    'facial-weakness',
    'dizziness',
    'sepsis-sign',
    'nausea',
    'self-harm',
    'bleeding',
    'pain',
    'headache',
    'discharge',
    'hearing-loss',
  ],
  swelling: ['airway', 'rash'],
  blocked: ['airway', 'chest', 'hearing-loss'],
  nausea: ['vomiting', 'self-harm'],
  discharge: ['bleeding', 'facial-weakness', 'airway', 'ringing'],
  distress: ['self-harm'],
  injury: ['collapse', 'dizziness', 'facial-weakness', 'pain', 'swelling', 'self-harm'],
  'stroke-sign': ['facial-weakness', 'dizziness', 'airway'],
  dizziness: ['stroke-sign', 'facial-weakness', 'collapse', 'self-harm', 'fever', 'headache'],
  'hearing-loss': ['discharge', 'facial-weakness', 'bleeding', 'self-harm'],
  fever: ['bleeding', 'sepsis-sign', 'pain'],
  ringing: ['bleeding'],
  'sepsis-sign': ['self-harm', 'airway', 'headache'],
  airway: ['self-harm'],
  rash: ['sepsis-sign'],
  'facial-weakness': ['airway'],
  itch: ['airway', 'rash'],
  vomiting: ['self-harm'],
}

export type Found = { mentions: Mention[]; masked: boolean[] }

export function findConcepts(tokens: readonly Token[]): Found {
  const masked: boolean[] = new Array(tokens.length).fill(false)
  const maskAt: Set<number>[][] = tokens.map(() => [])
  for (const m of findAll(tokens, masks)) {
    if (m.fuzzy) continue
    const used = new Set(m.used)
    for (const u of m.used) {
      masked[u] = true
      maskAt[u]?.push(used)
    }
  }
  const hard = new Set<number>()
  for (const m of findAll(tokens, hardMasks)) {
    if (m.fuzzy) continue
    for (const u of m.used) {
      hard.add(u)
      masked[u] = true
    }
  }
  const matches = findAll(tokens, concepts).filter(
    (m) =>
      !m.used.some((u) => hard.has(u)) &&
      !deniesOverComma(tokens, m) &&
      !maskAt[m.from]?.some((used) => m.size <= used.size && m.used.every((u) => used.has(u))),
  )
  const mentions = settle(cluster(matches), tokens)
  return { mentions: addConstellations(tokens, mentions, masked), masked }
}

/** "Not bleeding, can hear the clock": a denial does not reach over a comma. */
const deniesOverComma = (tokens: readonly Token[], m: Match<Concept>) =>
  m.used.some((u, k) => {
    const next = m.used[k + 1]
    return tokens[u]?.w === 'not' && next !== undefined && tokens.slice(u + 1, next).some((t) => t.w === ',')
  })

const SENTENCE_END = /^[.!?;\n]$/

/** Pairs of words that tell of a sign in any order: new mentions, or tags for those that are there. */
function addConstellations(tokens: readonly Token[], mentions: Mention[], masked: boolean[]): Mention[] {
  const owners = new Map<number, Mention[]>()
  for (const m of mentions) for (const u of m.used) owners.set(u, [...(owners.get(u) ?? []), m])
  const out = [...mentions]
  for (const [i, t] of tokens.entries()) {
    if (t.kind !== 'word' || masked[i]) continue
    for (const row of constellations.get(t.w) ?? []) {
      const j = partner(tokens, masked, i, row)
      if (j < 0) continue
      const here = [...(owners.get(i) ?? []), ...(owners.get(j) ?? [])]
      const same = here.find((m) => m.kind === row.kind && !m.denies)
      if (same) for (const tag of row.tags ?? []) same.tags.add(tag)
      // What the ordered patterns explained is explained.
      if (same || row.onlyTags || here.length > 0) continue
      const mention: Mention = {
        kind: row.kind,
        from: Math.min(i, j),
        to: Math.max(i, j) + 1,
        tags: new Set(row.tags),
        severity: row.severity ?? null,
        denies: false,
        negated: false,
        size: 2,
        used: new Set([i, j]),
        core: new Set(),
      }
      for (const u of mention.used) owners.set(u, [...(owners.get(u) ?? []), mention])
      out.push(mention)
    }
  }
  return out.sort((a, b) => a.from - b.from)
}

/** The nearest word of the other family in the same sentence, or -1. */
function partner(
  tokens: readonly Token[],
  masked: boolean[],
  i: number,
  row: { other: ReadonlySet<string>; reach: number },
): number {
  let before = true
  let after = true
  for (let n = 1; n <= row.reach && (before || after); n++) {
    for (const [j, open] of [
      [i + n, after],
      [i - n, before],
    ] as const) {
      const t = tokens[j]
      if (!open || !t) continue
      // "Chest. tight.": words that stand alone belong together.
      if (t.kind === 'mark' && SENTENCE_END.test(t.w)) {
        if (n <= 1 && t.w === '.') continue
        if (j > i) after = false
        else before = false
      } else if (t.kind === 'word' && !masked[j] && row.other.has(t.w)) return j
    }
  }
  return -1
}

function cluster(matches: Match<Concept>[]): Mention[] {
  const out: Mention[] = []
  const ownerOf = new Map<FindingKind, Map<number, Mention>>()
  for (const m of matches.sort((a, b) => b.size - a.size || a.from - b.from)) {
    const owner = ownerOf.get(m.row.kind) ?? new Map<number, Mention>()
    ownerOf.set(m.row.kind, owner)
    const taken = m.used.find((u) => owner.has(u))
    const same = taken === undefined ? undefined : owner.get(taken)
    const denies = m.row.denies === true
    if (!same) {
      const mention: Mention = {
        kind: m.row.kind,
        from: m.from,
        to: m.to,
        tags: new Set(m.row.tags),
        severity: m.row.severity ?? null,
        denies,
        negated: m.negated,
        size: m.size,
        used: new Set(m.used),
        core: new Set(m.size === 1 ? m.used : []),
      }
      for (const u of m.used) owner.set(u, mention)
      out.push(mention)
    } else if (same.denies === denies) {
      same.from = Math.min(same.from, m.from)
      same.to = Math.max(same.to, m.to)
      for (const t of m.row.tags ?? []) same.tags.add(t)
      for (const u of m.used) {
        same.used.add(u)
        if (!owner.has(u)) owner.set(u, same)
      }
      if (m.size === 1) for (const u of m.used) same.core.add(u)
      if (m.row.severity !== undefined) same.severity = Math.max(same.severity ?? 0, m.row.severity)
      // A "not" counts only where every way of reading the words has it inside.
      same.negated = same.negated && m.negated
    } else if (!denies && m.size >= same.size) {
      same.denies = false
      for (const t of m.row.tags ?? []) same.tags.add(t)
    }
  }
  return out.sort((a, b) => a.from - b.from)
}

const LIMB_OR_SPEECH =
  /^(arm|arms|leg|legs|hand|hands|fingers|finger|foot|feet|speech|slur\w*|words|talk\w*|vision|see\w*|sight|double|gibberish)$/
const EAR = new Set(['ear', 'ears', 'eardrum', 'eardrums', 'drum', 'canal', 'lobe', 'earlobe'])

const TURNED =
  /^(red|scarlet|crimson|pink|purple|hot|itchy|sore|numb|crusty|green|yellow|brown|hard|puffy|swollen|stiff|bright|painful|achy|tender|smelly|itchey)$/

/** How far a mention is compared with those before and after it. */
const NEIGHBOURS = 14

function settle(mentions: Mention[], tokens: readonly Token[]): Mention[] {
  const shares = (a: Mention, b: Mention) => [...a.used].some((u) => b.used.has(u))
  // "Earache and a temperature" are two.
  const inside = (a: Mention, b: Mention) =>
    [...a.used].every(
      (u) =>
        b.used.has(u) ||
        (b.kind !== 'fever' && u > b.from && u < b.to && b.used.size > a.used.size && a.used.size === 1),
    )
  return mentions.filter((a, at) => {
    const others = mentions.slice(Math.max(0, at - NEIGHBOURS), at + NEIGHBOURS + 1).filter((b) => b !== a)
    // "The ear has gone red" tells of no deafness.
    if (
      a.kind === 'hearing-loss' &&
      /^(gone|went|going|dead)$/.test(tokens[a.to - 1]?.w ?? '') &&
      TURNED.test(tokens[/^(all|very|bright)$/.test(tokens[a.to]?.w ?? '') ? a.to + 1 : a.to]?.w ?? '')
    )
      return false
    if (a.kind === 'unwell' && others.some((b) => b.kind !== 'unwell' && b.kind !== 'other' && shares(a, b)))
      return false
    if (
      a.kind === 'stroke-sign' &&
      others.some((b) => b.kind === 'facial-weakness' && shares(a, b)) &&
      ![...a.used].some((u) => LIMB_OR_SPEECH.test(tokens[u]?.w ?? ''))
    )
      return false
    // Pain elsewhere is not a second pain, and yields to any surer reading of the same words.
    if (a.kind === 'other')
      return !others.some((b) => b.kind !== 'pain' && b.kind !== 'other' && shares(a, b))
    if (a.kind === 'pain') {
      const elsewhere = others.some(
        (b) => b.kind === 'other' && b.tags.has('elsewhere') && [...a.used].every((u) => b.used.has(u)),
      )
      if (elsewhere && !nearEar(tokens, a)) return false
    }
    // "Slurring like a drunk" is of the speech, whatever it is likened to.
    if (a.kind === 'stroke-sign' && [...a.used].some((u) => /^slur/.test(tokens[u]?.w ?? ''))) return true
    const better = SAID_BETTER[a.kind] ?? []
    return !others.some(
      (b) => better.includes(b.kind) && inside(a, b) && !(a.kind === 'discharge' && a.tags.has('coloured')),
    )
  })
}

function nearEar(tokens: readonly Token[], m: Mention): boolean {
  for (let i = Math.max(0, m.from - 6); i < Math.min(tokens.length, m.to + 6); i++)
    if (EAR.has(tokens[i]?.w ?? '')) return true
  return false
}
