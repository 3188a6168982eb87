/** What no rule explains: a part of the body, something that cannot be done, a word that something is amiss. */
import type { Layout } from './clauses.ts'
import type { Mention } from './concepts.ts'
import { BACKGROUND, PRAISE } from './lexicon/plain.ts'
import { setOf } from './lexicon/set-of.ts'
import type { Token } from './normalise.ts'
import { findAll } from './patterns.ts'
import { isLogistic } from './practical.ts'
import type { HistoryMention } from './screening.ts'
import type { Reading, Span } from './types.ts'
import { cues } from './vocabulary.ts'

const FELT_NOTHING =
  /\bfeel (a|any|anything|any (softer|different|pain|change)|it|much|softer|different|them|a thing)\b/
const FINE_BEFORE = /^(no|not|any|without|never|nothing|nae|non|if|aint|hardly)$/

/** "no problems", "not bad", "if any problems": vague words that tell of nothing. */
export function vagueButFine(
  tokens: readonly Token[],
  layout: Layout,
  from: number,
  to: number,
  r: Reading,
): boolean {
  const w = tokens[from]?.w ?? ''
  const span = tokens.slice(from, to).map((t) => t.w)
  const next = tokens[to]?.w ?? ''
  if (span.some((x) => /^(till|until)$/.test(x)))
    return (
      span.some((x) => /^(text|texts|message|messages)$/.test(x)) ||
      /^(see|seen|read|notice)$/.test(tokens[from + 1]?.w ?? '')
    )
  // "The dog is fine, my ear is not", but not "the ear is not bleeding".
  if (/^(ear|ears|mine|face|mouth|eye|balance|speech|hearing)$/.test(w) && span.at(-1) === 'not')
    return tokens[to]?.kind === 'word'
  // "Two, but only in the bad ear"
  if (w === 'bad' && /^(ear|side|one|lug)$/.test(tokens[from + 1]?.w ?? '') && r.doses !== null) return true
  // "Did not get the lid off", "did not feel a thing", "no worse, no better".
  if (w === 'not' && span.at(-1) === 'get' && !/^(it|this|that|what|how|why|you|these|any|which)$/.test(next))
    return true
  if (
    w === 'not' &&
    span.includes('feel') &&
    FELT_NOTHING.test(
      tokens
        .slice(from, to + 2)
        .map((t) => t.w)
        .join(' '),
    )
  )
    return true
  if (/^not (any )?worse (and |nor |or )?not (any )?better$/.test(span.join(' '))) return true
  if (w === 'wrong' && next === 'about') return true
  if (r.stop && span.at(-1) === 'get') return true
  if (span.includes('hospital') && r.reschedule) return true
  if (w === 'not' && tokens[from - 1]?.w === 'could' && tokens[from + 1]?.w === 'be') return true
  for (let i = from - 1, n = 0; i >= 0 && n < 4; i--, n++) {
    if (layout.sentence[i] !== layout.sentence[from]) break
    const before = tokens[i]?.w ?? ''
    // "Not bad, it is horrendous": a new subject, which no "not" reaches.
    if (/^(it|i|he|she|they|there)$/.test(before) && n > 0) {
      if (!/^(think|sure|that|if|say|suppose|believe|like|of)$/.test(tokens[i - 1]?.w ?? '')) break
    }
    if (FINE_BEFORE.test(before)) return true
  }
  // Words that are vague only when nothing else explains them.
  if (
    /^(bad|rubbish|terrible|awful|shocking|nightmare|funny|odd|strange|weird|wrong|trouble|doctor|doctors|gp|hospital|hurt|hurts|useless|dreadful|urgent|appalling|emoji-fire|lump|bump|problem|problems|issue|issues|not)$/.test(
      w,
    )
  ) {
    const s = layout.sentences[layout.sentence[from] ?? 0]
    const words = tokens.slice(s?.from ?? 0, s?.to ?? 0).map((t) => t.w)
    if (
      words.some((x) =>
        /^(weather|traffic|bus|phone|signal|telly|tv|memory|handwriting|spelling|eyesight|cat|dog|line|reception|husband|wife|taste|match|football|parking|news|programme|texting|writing|joke|hands|arthritis|knee|knees|feet|back|hip|legs|ankles|chiropodist|garden|food|bingo|driving|singing|cooking|price|service|appointment|wifi)$/.test(
          x,
        ),
      )
    )
      return true
  }
  return false
}

const BODY = setOf(
  'ear ears lug eardrum mouth face faces lip lips smile grin eye eyelid eyelids lid brow eyebrow forehead chin neck throat gullet tongue chest ribs heart hearing speech words voice cheek jaw skull lobe earlobe arm arms hand hands fingers leg legs foot feet head balance walk walking walked stand standing stood breath breathe breathing skin temperature sleep sleeping slept sick sight vision eyes swallow swallowing canal drum blood pain',
)

/** A part of the body, or what it does. */
export const isBody = (w: string): boolean => BODY.has(w)

const GOOD_CAN_NOT = setOf(
  'complain wait thank believe fault praise grumble make come attend find see get say beat think do go be stop remember do have fly swim pay hurry walk-the-dog fit help use open reach manage afford drive text work imagine recommend speak ask tell read stay put keep move rearrange answer talk',
)

const EXPLAINS = setOf(
  'drop drops oil olive bicarb wax done did put putting fine ok good great grand better lovely clean cleaned clear cleared dry aid aids wonderful brilliant perfect normal soft softer softened syringed hoovered suction microsuction appointment cotton shower hat which lie lay laid lying champion well test happy comfortable working works improved excellent super smashing spot marvellous amazing fantastic busy dirty waxy wash washed washing hair seen done checked bless thanks thank hurrah heaven new mask cream book smile smiling big open peeled',
)

/** Said of an ear after the visit, these are good news or plainly harmless. */
const FINE_STATE = setOf(
  'drops oil wax fine ok good great grand better lovely clean cleaned clear cleared dry aid aids wonderful brilliant perfect normal soft syringed hoovered cotton hat champion well happy comfortable improved excellent super smashing spot marvellous amazing fantastic checked bless thank hurrah heaven new mask cream book smile smiling peeled done test aided working works everything clock birds',
)

/** Clauses about the ear, face or throat, or about something that cannot be done, that no rule understood. */
export function unexplained(
  tokens: readonly Token[],
  layout: Layout,
  mentions: Mention[],
  history: HistoryMention[],
  masked: boolean[],
  r: Reading,
): Span[] {
  const aftercare = r.context === 'aftercare'
  // "Twice in each ear" names where the drops went.
  const dosed = r.doses !== null || r.softened !== null
  const out: Span[] = []
  const owned = new Set<number>()
  for (const m of [...mentions, ...history]) for (const u of m.used) owned.add(u)
  const sets = [
    cues.well,
    cues.softYes,
    cues.softNo,
    cues.move,
    cues.stop,
    cues.callMe,
    cues.forgot,
    cues.done,
  ]
  const settled = sets.flatMap((set) => findAll(tokens, set)).filter((m) => !m.fuzzy)
  const settledIn = new Set(settled.map((m) => layout.sentence[m.from]))
  const settledAt = new Set(settled.flatMap((m) => m.used))
  for (const s of layout.sentences) {
    let body = -1
    let cannot = -1
    for (let i = s.from; i < s.to; i++) {
      const w = tokens[i]?.w ?? ''
      const named = dosed && DROPPED_ON.has(w)
      const background = r.context === 'screening' && BACKGROUND.has(w)
      if (BODY.has(w) && !masked[i] && !owned.has(i) && !named && !background) body = i
      if (w === 'not' && /^(can|could)$/.test(tokens[i - 1]?.w ?? '') && !owned.has(i) && !masked[i]) {
        const verb = tokens[i + 1]?.w ?? ''
        const next = /^(really|even|just|quite|always|ever|seem|possibly)$/.test(verb)
          ? (tokens[i + 2]?.w ?? '')
          : verb
        if (!GOOD_CAN_NOT.has(next)) cannot = i
      }
    }
    if (body < 0 && cannot < 0) continue
    const span = { start: tokens[s.from]?.start ?? 0, end: tokens[s.to - 1]?.end ?? 0 }
    let explained =
      settledIn.has(layout.sentence[s.from]) ||
      r.findings.some((f) => f.start >= span.start && f.end <= span.end) ||
      isLogistic(tokens, s)
    let lost = false
    for (let i = s.from; i < s.to; i++) {
      const w = tokens[i]?.w ?? ''
      const fine = (aftercare ? FINE_STATE : EXPLAINS).has(w) || praise.has(w)
      if (owned.has(i) || (fine && !NEGATORS.has(tokens[i - 1]?.w ?? ''))) explained = true
      if (LOST.has(w) && !owned.has(i) && !masked[i]) lost = true
    }
    // Good news of one day does not explain what was lost on another.
    if (lost) explained = false
    if (r.context === 'screening' && deniesEars(tokens.slice(s.from, s.to).map((t) => t.w))) explained = true
    const at = body >= 0 && !explained ? body : cannot
    const t = tokens[at]
    if (t && (at !== cannot || !explained)) out.push({ start: t.start, end: t.end })
  }
  for (const c of layout.clauses) {
    const turn = turnIn(tokens, c)
    if (turn < 0) continue
    const rest = { from: turn + 1, to: c.to }
    const span = { start: tokens[rest.from]?.start ?? 0, end: tokens[c.to - 1]?.end ?? 0 }
    if (r.findings.some((f) => f.start < span.end && f.end > span.start)) continue
    let body = -1
    let known = false
    for (let i = rest.from; i < rest.to; i++) {
      const w = tokens[i]?.w ?? ''
      if (owned.has(i) || masked[i] || settledAt.has(i) || GOOD.has(w) || praise.has(w)) known = true
      if (r.context === 'screening' && BACKGROUND.has(w)) known = true
      if (BODY.has(w) && !(dosed && /^(ear|ears)$/.test(w))) body = i
    }
    const t = tokens[body]
    if (t && !known) out.push({ start: t.start, end: t.end })
  }
  return out
}

const LOST = setOf('vanish vanished disappeared abruptly abrupt sudden suddenly lost faded failed deserted')
const praise = new Set(PRAISE)
const DROPPED_ON = setOf('ear ears lid hand hands wax neck')
const NEGATORS = setOf('not no never')
const GOOD = setOf(
  'fine ok good great grand better lovely clear clean dry wonderful brilliant perfect normal well happy comfortable excellent super smashing marvellous amazing fantastic none nothing no not never drops oil wax done did put twice once both appointment waxy soft softer original untouched own',
)

const CONTRASTS = setOf('but only though although however yet')
const TURNS = setOf('bar barring except excepting till until')

/** Where the clause turns: "but ...", "bar ...", "apart from ..."; -1 if it does not. */
function turnIn(tokens: readonly Token[], c: { from: number; to: number }): number {
  for (let i = c.from; i < c.to; i++) {
    const w = tokens[i]?.w ?? ''
    const next = tokens[i + 1]?.w ?? ''
    if (TURNS.has(w) || (i === c.from && CONTRASTS.has(w))) return i
    if ((w === 'apart' || w === 'aside') && next === 'from') return i + 1
    if (w === 'other' && next === 'than') return i + 1
  }
  return -1
}

/** "Ears never been touched", "nothing to do with the ears": in an answer to the screening, no history of them. */
function deniesEars(w: readonly string[]): boolean {
  return (
    w.some((x) => /^(ear|ears|lug|lugs|eardrum|eardrums|drum|drums)$/.test(x)) &&
    w.some((x) => /^(no|not|never|none|nothing|neither|nor|nil|without|untouched|fine|ok)$/.test(x)) &&
    !/\b(no|not|never) (been |ever |really |quite |so |as |much |very )*(good|use|hearing|right|same|well|great|clear|stop|stopped|better|settled|healed|closed|dried|work|works|working|gone|sure|certain|know|remember|like)\b/.test(
      w.join(' '),
    )
  )
}
