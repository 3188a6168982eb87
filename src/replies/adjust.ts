/** What the whole reply adds to its findings: pain scores, temperatures, lost sleep, growth, echoes. */
import type { Case, Step } from './assemble.ts'
import { within } from './clauses.ts'
import type { Mention } from './concepts.ts'
import { setOf } from './lexicon/set-of.ts'
import { painNumbers } from './severity.ts'
import type { Course, Finding, FindingKind, Polarity } from './types.ts'

const SCALES = setOf('scale score level')

/** Gives pain its score; returns a new finding where only the number tells of the pain. */
export function applyNumbers(c: Case, trail: Step[]): Finding | null {
  const { tokens, layout } = c
  const pains = trail.filter((x) => x.finding.kind === 'pain')
  const only = c.openQuestions.length === 1 ? c.openQuestions[0] : undefined
  const asked = only?.kind === 'pain'
  const painful = new Set(pains.map((x) => layout.sentence[x.mention.from]))
  for (const [i, t] of tokens.entries()) if (SCALES.has(t.w)) painful.add(layout.sentence[i])
  const inSentence = (s: number) => painful.has(s)
  const loose =
    !c.softening &&
    c.openQuestions.length <= 1 &&
    c.openQuestions.every((q) => /^(anything-else|unknown|pain)$/.test(q.kind))
  const numbers = painNumbers(tokens, layout, asked, loose, inSentence, only?.kind === 'doses')
  if (numbers.now === null && numbers.before !== null) {
    // A score of the past only: it stays with what is said now.
    const f = pains.find((x) => x.finding.polarity === 'affirmed')?.finding
    if (f && f.course === 'worse' && !f.severity) f.severity = { value: numbers.before, how: 'said' }
    return null
  }
  if (numbers.now === null || !numbers.span) return null
  // "10 out of 10 for service", and ten out of ten when asked about the hearing, are no pain.
  if (
    pains.length === 0 &&
    (only?.kind === 'hearing' || (numbers.now === 10 && tokens[numbers.span.to]?.w === 'for'))
  )
    return null
  const start = tokens[numbers.span.from]?.start ?? 0
  const end = tokens[numbers.span.to - 1]?.end ?? start
  const target =
    pains.find((x) => x.finding.polarity === 'affirmed') ??
    pains.find((x) => x.finding.polarity !== 'someone-else' && x.finding.polarity !== 'hypothetical')
  const course: Course | null =
    numbers.before === null
      ? null
      : numbers.now > numbers.before
        ? 'worse'
        : numbers.now < numbers.before
          ? 'better'
          : 'same'
  if (target) {
    const f = target.finding
    // "All 4 done, no pain": the number is of the drops.
    if (c.softening && !asked && f.polarity === 'denied') return null
    if (numbers.now === 0) {
      if (f.polarity === 'affirmed') f.polarity = numbers.before ? 'past' : 'denied'
      return null
    }
    // "I've got terrible earache, 1. No 2. No": the 1 may be the number of the line.
    if (target.outright && (f.severity?.value ?? 0) >= SEVERE && numbers.now < SEVERE) return null
    f.severity = { value: numbers.now, how: 'said' }
    if (f.polarity === 'past' && f.course === 'gone') return null
    if (f.polarity === 'denied' || f.polarity === 'past') f.polarity = 'affirmed'
    if (course) f.course = course
    if (course === 'worse' && !f.tags.includes('worse')) f.tags.push('worse')
    return null
  }
  const polarity: Polarity = numbers.now === 0 ? 'denied' : 'affirmed'
  const finding: Finding = {
    kind: 'pain',
    flag: 'pain',
    start,
    end,
    words: c.text.slice(start, end),
    side: null,
    severity: { value: numbers.now, how: 'said' },
    onset: { sudden: false, days: null, overDays: null, relative: null, words: null },
    course,
    polarity,
    tags: course === 'worse' ? ['worse'] : [],
  }
  return finding
}

/** From which score on pain is severe. */
const SEVERE = 7

const HOT = 37.8
const VERY_HOT = 39

/** "temp 38.6", "38 point 9 on the thermometer", "101 fahrenheit": fever or the denial of it. */
export function applyTemperature(c: Case, findings: Finding[]) {
  const { tokens } = c
  for (const [i, t] of tokens.entries()) {
    if (t.kind !== 'number') continue
    let value = t.value
    let to = i + 1
    if (tokens[to]?.w === 'point' && tokens[to + 1]?.kind === 'number') {
      value += (tokens[to + 1]?.value ?? 0) / 10
      to += 2
    }
    if (value >= 98 && value <= 107) value = ((value - 32) * 5) / 9
    if (value < 35 || value > 43 || tokens[to]?.w === 'out') continue
    const named = tokens
      .slice(Math.max(0, i - 5), to + 5)
      .some((x) =>
        /^(temp|temperature|thermometer|fever|degrees|degree|c|celsius|hot|burning|shivering|shivery)$/.test(
          x.w,
        ),
      )
    if (!named && Number.isInteger(t.value)) continue
    const start = t.start
    const end = tokens[to - 1]?.end ?? t.end
    const hot = value >= HOT
    for (const f of findings.filter(
      (x) => x.kind === 'fever' && (x.polarity === 'affirmed' || x.polarity === 'denied'),
    )) {
      if (!hot && /temp|thermo/i.test(f.words)) f.polarity = 'denied'
      if (hot && value >= VERY_HOT && !f.tags.includes('high')) f.tags.push('high')
      if (hot && f.polarity === 'denied') f.polarity = 'affirmed'
    }
    if (findings.some((x) => x.kind === 'fever')) return
    findings.push({
      kind: 'fever',
      flag: 'fever',
      start,
      end,
      words: c.text.slice(start, end),
      side: null,
      severity: null,
      onset: { sudden: false, days: null, overDays: null, relative: null, words: null },
      course: null,
      polarity: hot ? 'affirmed' : 'denied',
      tags: value >= VERY_HOT ? ['high'] : [],
    })
    return
  }
}

const OF_NIGHTS = setOf('sleep sleeping slept wink awake up woke')

/** Pain that robs of sleep is strong, wherever in the reply that is said. */
export function applyLostSleep(c: Case, findings: Finding[]) {
  if (!within(c.tokens, 0, c.tokens.length, OF_NIGHTS)) return
  const w = c.tokens.map((t) => t.w)
  const lost = w.some(
    (v, i) =>
      (/^(sleep|sleeping|slept|wink)$/.test(v) &&
        w
          .slice(Math.max(0, i - 4), i)
          .some((x) => /^(not|no|never|hardly|barely|without|little)$/.test(x))) ||
      (v === 'awake' && w.slice(i + 1, i + 4).includes('night')) ||
      (v === 'up' && w[i + 1] === 'all' && w[i + 2] === 'night') ||
      (v === 'woke' && w[i + 1] === 'me'),
  )
  if (!lost) return
  for (const f of findings)
    if (
      f.kind === 'pain' &&
      f.polarity === 'affirmed' &&
      (f.severity === null || (f.severity.how === 'implied' && f.severity.value < 7))
    )
      f.severity = { value: 7, how: 'implied' }
}

/** What only belongs to a graver sign of the same sentence is no finding of its own: sweat with chest pain, tears of pain. */
export function withoutEchoes(c: Case, trail: Step[], findings: Finding[]): Finding[] {
  const kept = new Set(findings)
  const placed = trail.filter((x) => kept.has(x.finding))
  const sentenceOf = (x: { mention: Mention }) => c.layout.sentence[x.mention.from] ?? -9
  const affirmed = (kind: FindingKind) =>
    placed.filter((x) => x.finding.kind === kind && x.finding.polarity === 'affirmed')
  const drop = new Set<Finding>()
  // "Bad as toothache", "like toothache in my ear": what it is like.
  const likened = affirmed('pain').length > 0 && /\b(like|as|than) (a |any |the )?toothache\b/i.test(c.text)
  for (const x of affirmed('other')) if (likened && /toothache/i.test(x.finding.words)) drop.add(x.finding)
  // "Oozing blood", "yes, red": what leaks is the blood.
  const blood = affirmed('bleeding').map((x) => x.finding)
  for (const x of affirmed('discharge')) {
    const { finding, mention } = x
    const leaks = [...mention.used].every((u) =>
      /^(ooz|weep|leak|drip|run|com|seep)/.test(c.tokens[u]?.w ?? ''),
    )
    const next = c.tokens.slice(mention.from, mention.to + 3).map((t) => t.w)
    if (
      leaks &&
      finding.tags.length === 0 &&
      next.includes('blood') &&
      !next.includes('and') &&
      blood.length > 0
    )
      drop.add(finding)
  }
  // "Greenish, changed the pad twice": what fills the pad is the discharge.
  const coloured = affirmed('discharge').some((x) => x.finding.tags.includes('coloured'))
  const ofBlood = blood.some((f) => BLOODY.test(f.words))
  if (coloured && !ofBlood) for (const f of blood) if (!f.tags.includes('will-not-stop')) drop.add(f)
  for (const [kind, graver, words, except] of ECHOES) {
    const signs = new Set(affirmed(graver).map(sentenceOf))
    if (signs.size === 0) continue
    for (const x of affirmed(kind)) {
      const at = sentenceOf(x)
      const there = [at - 1, at, at + 1].some((n) => signs.has(n))
      const named = x.finding.tags.some((t) => t === 'coloured' || t === 'smelly' || t === 'high')
      if (there && !named && words.test(x.finding.words) && !except.test(x.finding.words)) drop.add(x.finding)
    }
  }
  // "Not great, got pain": the pain says it; with a fever, how one feels counts.
  const named = findings.some(
    (f) =>
      f.polarity === 'affirmed' && !/^(unwell|other|distress|headache|nausea)$/.test(f.kind) && !drop.has(f),
  )
  const feverish = findings.some((f) => /^(fever|sepsis-sign)$/.test(f.kind) && f.polarity === 'affirmed')
  if (named && !feverish)
    for (const f of findings)
      if (f.kind === 'unwell' && f.polarity === 'affirmed' && MILD_WORDS.test(f.words)) drop.add(f)
  const out = findings.filter((f) => !drop.has(f))
  // "weeping pink", "ooze with streaks of red": blood in a discharge is both.
  for (const f of out.filter((x) => x.kind === 'bleeding' && x.polarity === 'affirmed'))
    if (/weep|ooz|discharg|fluid|gunk/i.test(f.words) && !out.some((x) => x.kind === 'discharge'))
      return [...out, { ...f, kind: 'discharge', flag: 'discharge', tags: [] }]
  return out
}

/** Said of the ear as soon as of oneself. */
const MILD_WORDS =
  /^(not|isn.?t|aint|ain.?t|never|wasn.?t)?[ \w]{0,12}(great|good|right|clever|grand|brilliant|too|special)$|^(infect\w*|antibiotics?|weak|rotten|rough|grim|bad|glasses wont sit right|immune)/i

const BLOODY = /bl(e|o)+d|streak|rust|\bred|claret|scarlet|crimson|pink|gush|pour/i

const NEVER = /(?!)/
const ECHOES: [FindingKind, FindingKind, RegExp, RegExp][] = [
  ['fever', 'chest', /sweat|clammy|hot/i, NEVER],
  ['pain', 'chest', /jaw|arm|ach|pain|burn|stab|hurt/i, /\b(ear|lug|drum)/i],
  ['stroke-sign', 'chest', /arm/i, NEVER],
  ['blocked', 'chest', /./, /ear/i],
  ['distress', 'pain', /cry|tear|weep|sob/i, NEVER],
  [
    'discharge',
    'bleeding',
    /pour|run|soak|pillow|com(e|ing)|drip|trickl|spot|leak|stain|wet/i,
    /weep|ooz|discharg|fluid|gunk|pus|water|stuff|clear/i,
  ],
  ['discharge', 'facial-weakness', /run|water|drip|dribbl|drool|leak|coming/i, /ear/i],
  ['hearing-loss', 'facial-weakness', /./, /hear|ear\b|ears|deaf|sound|lug/i],
  ['hearing-loss', 'stroke-sign', /./, /hear|ear\b|ears|deaf|sound|lug/i],
  ['injury', 'bleeding', /./, NEVER],
  ['ringing', 'airway', /whistl/i, NEVER],
  // "The rash is getting bigger"
  ['swelling', 'rash', /big|come up|came up|spread/i, /swel|swol|puff|lump/i],
]

/** "More the second day, more again the third". */
const grows = (w: readonly string[], i: number) =>
  /^(the|again)$/.test(w[i + 1] ?? '') &&
  w.slice(i + 2, i + 5).some((x) => /^(second|third|fourth|ordinal|next|today|now)$/.test(x)) &&
  !w.slice(i + 1, i + 6).some((x) => /^(drops|oil|wax|of|came|out)$/.test(x))

const GROWTH = setOf('more sorer achier')

/** "hurts more today than yesterday", "much sorer": growth said by comparison. */
export function applyMoreThan(c: Case, findings: Finding[]) {
  if (!within(c.tokens, 0, c.tokens.length, GROWTH)) return
  const w = c.tokens.map((t) => t.w)
  const more = w.some(
    (v, i) =>
      v === 'more' &&
      (grows(w, i) || w.slice(i + 1, i + 5).includes('than') || /^(each|every)$/.test(w[i + 1] ?? '')) &&
      !w.slice(Math.max(0, i - 2), i).some((x) => /^(no|not)$/.test(x)) &&
      w
        .slice(i + 1, i + 8)
        .some((x) =>
          /^(second|third|fourth|ordinal|next|today|now|yesterday|before|was|morning|last|did|it|day|hour|time)$/.test(
            x,
          ),
        ),
  )
  const grown = w.some(
    (v, i) =>
      /^(sorer|achier)$/.test(v) && !/^(no|not)$/.test(w[i - 1] ?? '') && !/^(no|not)$/.test(w[i - 2] ?? ''),
  )
  // "Less the first day, more the second, more again the third"
  const daily = w.some(
    (v, i) =>
      v === 'more' &&
      !/^(no|not|any)$/.test(w[i - 1] ?? '') &&
      w.slice(i + 1, i + 5).some((x) => /^(second|third|fourth|next|ordinal)$/.test(x)) &&
      w.slice(0, i).some((x) => /^(first|less|little|bit)$/.test(x)),
  )
  if (!more && !grown && !daily) return
  for (const f of findings) {
    if (f.polarity !== 'affirmed' || f.kind !== 'pain') continue
    f.course = 'worse'
    if (!f.tags.includes('worse')) f.tags.push('worse')
  }
}
