/** Screening history: what the patient has, had, or denies. */

import { has } from './answers.ts'
import { OLD_BEFORE } from './bygone.ts'
import type { Layout } from './clauses.ts'
import type { Mention } from './concepts.ts'
import { isOldYear, namedInAnswer } from './named-history.ts'
import type { Token } from './normalise.ts'
import { findAll } from './patterns.ts'
import { denials, takenBy } from './scope.ts'
import { ownWordings } from './screening-items.ts'
import { durations } from './time.ts'
import type { Finding, HistoryItem, HistoryKind, Question, Side } from './types.ts'
import { cues, history } from './vocabulary.ts'

export type HistoryMention = {
  kind: HistoryKind
  from: number
  to: number
  used: Set<number>
  polarity: HistoryItem['polarity']
}

const SETTLED =
  /^(healed|out|sorted|removed|cleared|recovered|resolved|gone|settled|successful|childhood|ago|mended|closed|discharged)$/
const PRESENT =
  /^(now|still|currently|recent|recently|moment|today|yesterday|week|weeks|ongoing|present|just|month|months)$/
/** Conditions that do not pass: time words about them do not make them old. */
const LASTING = new Set<HistoryKind>([
  'allergy',
  'drops-reaction',
  'only-hearing-ear',
  'anticoagulant',
  'diabetes',
  'immunocompromised',
])
const RECENT_DAYS = 365
/** A reply that names more items than this repeats itself. */
const MAX_ITEMS = 60
const MONTHS =
  /^(january|february|march|april|june|july|august|september|october|november|december|summer|spring|autumn|winter|easter|whitsun)$/

export function findHistory(
  tokens: readonly Token[],
  layout: Layout,
  mentions: readonly Mention[],
): HistoryMention[] {
  const out: HistoryMention[] = []
  for (const m of findAll(tokens, history).toSorted((a, b) => b.size - a.size || a.from - b.from)) {
    if (m.fuzzy && m.size < 3) continue
    if (out.length >= MAX_ITEMS) break
    const same = out.find((x) => x.kind === m.row && m.used.some((u) => x.used.has(u)))
    if (same) {
      for (const u of m.used) same.used.add(u)
      same.from = Math.min(same.from, m.from)
      same.to = Math.max(same.to, m.to)
    } else out.push({ kind: m.row, from: m.from, to: m.to, used: new Set(m.used), polarity: 'present' })
  }
  const kept = ownWordings(tokens, layout, out)
  const asMentions = kept.map((m) => ({
    ...m,
    tags: new Set(),
    severity: null,
    denies: false,
    negated: false,
    size: m.used.size,
  })) as unknown as Mention[]
  const ranges = denials(tokens, takenBy([...mentions, ...asMentions]))
  for (const m of kept) {
    const first = Math.min(...m.used)
    const denied =
      noneKnown(tokens, first) ||
      ranges.filter((r) => first >= r.from && first < r.to).length % 2 === 1 ||
      answeredNo(tokens, m) ||
      neverHappened(tokens, m)
    m.polarity = denied ? 'denied' : when(tokens, layout, m)
    if (m.kind === 'perforation' && !denied && recentTime(tokens, layout, m)) m.kind = 'recent-perforation'
  }
  // A kind told present anywhere is not denied elsewhere by a list that names it again.
  return kept
}

/** "No known allergies", "I do not take any blood thinners" */
const noneKnown = (tokens: readonly Token[], at: number) =>
  NONE_BEFORE.test(
    tokens
      .slice(Math.max(0, at - 5), at)
      .map((t) => t.w)
      .join(' '),
  )
const NONE_BEFORE =
  /\b(?:(?:no|nil|not|any) (?:known|such|other|particular|serious|real|actual|medicine|medication|medicines|drug|drugs|food)|(?<!can )(?:not|never) (?:take|taking|taken|on) ?(?:any|the|no|those|these)?(?: (?:of those|of these|such|sort of))?)$/

/** "My drum has never been perforated" */
const neverHappened = (tokens: readonly Token[], m: HistoryMention): boolean =>
  /\b(?:no|without|never (?:a|any|had a)) (?:bad |real )?(?:reaction|reactions)\b|\b(?:never|not) (?:ever )?(?:been |had )?(?:perforated|burst|ruptured|torn|punctured|infected|operated)\b/.test(
    tokens
      .slice(m.from, m.to)
      .map((t) => t.w)
      .join(' '),
  )

/** "surgery no. grommets no." */
function answeredNo(tokens: readonly Token[], m: HistoryMention): boolean {
  const at = tokens[m.to]?.kind === 'mark' && /^[:\-=]$/.test(tokens[m.to]?.w ?? '') ? m.to + 1 : m.to
  const next = tokens[at + 1]
  // "Allergic to nothing"
  if (tokens[at]?.w === 'to' && /^(nothing|nowt|none)$/.test(next?.w ?? '')) return true
  return /^(no|none|never|nil)$/.test(tokens[at]?.w ?? '') && (next === undefined || next.kind === 'mark')
}

function sentenceOf(layout: Layout, at: number): { from: number; to: number } {
  return layout.sentences[layout.sentence[at] ?? 0] ?? { from: 0, to: 0 }
}

function recentTime(tokens: readonly Token[], layout: Layout, m: HistoryMention): boolean {
  const s = sentenceOf(layout, m.from)
  const told = durations(tokens).filter(
    (d) =>
      d.from >= s.from &&
      d.to <= s.to &&
      d.unit !== 'short' &&
      !/^(never|not|no)$/.test(tokens[d.from - 1]?.w ?? ''),
  )
  const words = tokens.slice(s.from, s.to)
  // "I've got a hole now, the doctor saw it last month": the month of the look.
  if (
    words.some((t) => /^(saw|seen|looked|peeked|checked|spotted|noticed)$/.test(t.w)) &&
    words.some((t) => /^(now|still|childhood|always)$/.test(t.w))
  )
    return false
  // "The ear with the hole, I put the drops in last night": the night of the drops.
  const ofDrops = words.some((t) => /^(drops|oil|them)$/.test(t.w)) && told.every((d) => d.days <= 3)
  if (told.length > 0) return !ofDrops && Math.min(...told.map((d) => d.days)) < RECENT_DAYS
  if (words.some((t) => t.kind === 'number' && t.value >= 1900) || words.some((t) => t.w === 'still'))
    return false
  return words.some(
    (t, i) =>
      /^(recent|recently|lately)$/.test(t.w) ||
      MONTHS.test(t.w) ||
      (t.w === 'this' && words[i + 1]?.w === 'year') ||
      (t.w === 'months' && /^(few|last|couple)$/.test(words[i - 1]?.w ?? '')),
  )
}

/** "Some op, couldn't tell you what or when": for all that is known it may matter. */
function ofUnknownKind(tokens: readonly Token[], m: HistoryMention): boolean {
  const words = tokens
    .slice(Math.max(0, m.from - 14), m.to + 22)
    .map((t) => t.w)
    .join(' ')
  return UNKNOWN_KIND.test(words)
}
const UNKNOWN_KIND =
  /\b(tell|know|say|remember|recall|idea|ask|clue|sure|certain|told|forget|forgotten)( \w+)? (what|which|when|why)\b(?! to )|\b(can|do|could) not (remember|recall|know)( (it|the) (was|name|date|year))?$|\bnever (said|told me) what\b/

/** "When I was 7" */
const CHILD = /\b(?:when|since) i was (?:about |only |just )?(?:[1-9]|[1-3][0-9])\b/

/** A cue of long ago among the tokens [from, to), from the one search of the whole reply. */
const saysLongAgo = (tokens: readonly Token[], s: { from: number; to: number }) =>
  findAll(tokens, cues.longAgo).some((m) => !m.fuzzy && m.from >= s.from && m.to <= s.to)

function when(tokens: readonly Token[], layout: Layout, m: HistoryMention): 'present' | 'past' {
  const s = sentenceOf(layout, m.from)
  if (LASTING.has(m.kind) || (m.kind === 'surgery' && ofUnknownKind(tokens, m))) return 'present'
  const told = durations(tokens).filter(
    (d) =>
      d.from >= s.from &&
      d.to <= s.to &&
      d.unit !== 'short' &&
      !/^(never|not|no)$/.test(tokens[d.from - 1]?.w ?? ''),
  )
  const words = tokens.slice(s.from, s.to)
  const stillThere =
    words.some(
      (t, i) =>
        /^(still|now|currently|moment|keeps|again)$/.test(t.w) ||
        // "Theyre in yet"
        (t.w === 'yet' && /^(in|there)$/.test(words[i - 1]?.w ?? '')),
    ) && !words.some((t) => SETTLED.test(t.w))
  const asChild = saysLongAgo(tokens, s) || CHILD.test(words.map((t) => t.w).join(' '))
  if (asChild && !stillThere) return 'past'
  if (told.length > 0)
    return Math.min(...told.map((d) => d.days)) < RECENT_DAYS || stillThere ? 'present' : 'past'
  if (stillThere) return 'present'
  if (asChild) return 'past'
  const year = words.find(
    (t) => t.kind === 'number' && t.value >= 1900 && t.value <= 2100 && t.end - t.start === 4,
  )
  if (year) return year.value >= OLD_BEFORE ? 'present' : 'past'
  const spokenYear = words.some(
    (t, i) => t.w === 'nineteen' || (t.w === 'ordinal' && words[i - 1]?.w === 'the'),
  )
  if (spokenYear) return 'past'
  const decade = words.some((t) =>
    /^(sixties|seventies|eighties|nineties|fifties|forties|childhood|teens|twenties)$/.test(t.w),
  )
  if (decade) return 'past'
  if (
    words.some(
      (t, i) =>
        SETTLED.test(t.w) &&
        // A growth that was taken out is no old matter for that.
        !(m.kind === 'surgery' && /^(out|removed|closed|gone)$/.test(t.w)) &&
        s.from + i > m.from &&
        ![1, 2].some((n) => /^(never|not)$/.test(words[i - n]?.w ?? '')),
    ) &&
    !words.some((t) => PRESENT.test(t.w))
  )
    return 'past'
  const later = layout.sentences[(layout.sentence[m.from] ?? 0) + 1]
  if (later) {
    const next = tokens.slice(later.from, later.to)
    // "Surgery this summer; it was seven weeks ago"
    const since = durations(tokens).filter(
      (d) => d.from >= later.from && d.to <= later.to && d.unit !== 'short',
    )
    if (since.length > 0 && Math.min(...since.map((d) => d.days)) < RECENT_DAYS) return 'present'
    if (saysLongAgo(tokens, later) || next.some((t) => /^(healed|ago)$/.test(t.w))) return 'past'
  }
  return 'present'
}

/** History items from explicit words and from a bare answer to the screening question. */
export function historyItems(
  text: string,
  tokens: readonly Token[],
  layout: Layout,
  found: HistoryMention[],
  questions: Question[],
  bare: 'yes' | 'no' | null,
): HistoryItem[] {
  const out: HistoryItem[] = found.map((m) => {
    const start = tokens[m.from]?.start ?? 0
    const end = tokens[m.to - 1]?.end ?? start
    return {
      kind: m.kind,
      polarity: m.polarity,
      start,
      end,
      words: text.slice(start, end),
      side: sideNear(tokens, layout, m),
    }
  })
  const asked = questions.filter((q) => q.kind === 'screening')
  const only = questions.length === 1 ? asked[0] : undefined
  const named = only && out.length === 0 ? namedInAnswer(tokens, only.about) : null
  if (named) return [{ ...named, words: text.slice(named.start, named.end), side: null }]
  const answer = tokens.find((t) => t.kind === 'word')
  if (only && bare && answer && out.length === 0) {
    const span = {
      start: answer.start,
      end: answer.end,
      words: text.slice(answer.start, answer.end),
      side: null,
    }
    for (const kind of only.about) {
      if (bare === 'no') out.push({ ...span, kind, polarity: 'denied' })
      else if (only.about.length === 1)
        out.push({
          ...span,
          kind,
          polarity:
            !LASTING.has(kind) &&
            !tokens.some((t) => /^(still|yet)$/.test(t.w)) &&
            // "Yes last year", and not a word of its healing.
            (tokens.some((t) => /^(healed|mended|childhood)$/.test(t.w) || isOldYear(t)) ||
              (has(tokens, cues.longAgo) && !durations(tokens).some((d) => d.days <= RECENT_DAYS)) ||
              durations(tokens).some((d) => d.days > RECENT_DAYS))
              ? 'past'
              : 'present',
        })
    }
  }
  return out
}

/** A discharge that is told as a symptom of today is an item of the screening too. */
export function dischargeToday(findings: readonly Finding[], known: readonly HistoryItem[]): HistoryItem[] {
  const f = findings.find((x) => x.kind === 'discharge' && x.polarity === 'affirmed')
  if (!f || known.some((h) => h.kind === 'discharge')) return []
  return [
    { kind: 'discharge', polarity: 'present', start: f.start, end: f.end, words: f.words, side: f.side },
  ]
}

function sideNear(tokens: readonly Token[], layout: Layout, m: HistoryMention): Side | null {
  const s = sentenceOf(layout, m.from)
  const words = tokens.slice(s.from, s.to).map((t) => t.w)
  const left = words.includes('left')
  const right = words.some((w, i) => w === 'right' && /^(ear|side|one)$/.test(words[i + 1] ?? ''))
  if (left && right) return 'both'
  return left ? 'left' : right ? 'right' : words.includes('both') ? 'both' : null
}
