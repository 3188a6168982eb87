/** The questions that are open, read liberally: a kind, a whole English question, an object, or a list of these. */
import {
  type FindingKind,
  HISTORY_KINDS,
  type HistoryKind,
  type Question,
  type QuestionKind,
  type ReplyContext,
} from './types.ts'

const ABOUT_FINDINGS: [FindingKind, RegExp][] = [
  ['pain', /\bpain|\bsore|\bhurt|\bach(e|ing)|\bcomfort/],
  [
    'discharge',
    /discharg|\bpus\b|\bsmell|\bleak|\bfluid|\brunny|\bweep|\booz|\b(come|coming|run|runs|running) out\b/,
  ],
  ['bleeding', /\bbleed|\bblood(?! thin)/],
  ['hearing-loss', /\bhearing\b(?! ear)|\bhear\b/],
  ['dizziness', /\bdizz|\bbalance|\bgiddy|\bvertigo/],
  ['fever', /\bfever|\btemperature/],
  ['swelling', /\bswell|\bswollen|\blump/],
  ['facial-weakness', /\bface\b|\bfacial/],
  ['ringing', /\bringing|\btinnitus/],
]

const ABOUT_HISTORY: [HistoryKind, RegExp][] = [
  ['perforation', /perforat|\bhole\b|burst|ear ?drum/],
  ['surgery', /surger|operation|\bop\b|operated/],
  ['grommets', /grommet/],
  ['infection', /infect/],
  ['discharge', /discharg|runny|weeping/],
  ['allergy', /allerg/],
  ['drops-reaction', /reaction|reacted|upset|disagree/],
  ['only-hearing-ear', /only.*(hear|ear)|one (good|hearing|working) ear|one ear/],
  ['immunocompromised', /immun|chemo|steroid|transplant|methotrexate/],
  ['anticoagulant', /\bthin(?!g|k)|anticoag|warfarin|apixaban|clot|rivaroxaban|edoxaban/],
  ['diabetes', /diabet|insulin|\bsugar/],
]

const QUESTION_KINDS: Record<string, QuestionKind> = {
  dose: 'doses',
  doses: 'doses',
  drops: 'doses',
  adherence: 'doses',
  softened: 'softened',
  softness: 'softened',
  soft: 'softened',
  pain: 'pain',
  discharge: 'discharge',
  bleeding: 'bleeding',
  hearing: 'hearing',
  'hearing-loss': 'hearing',
  dizziness: 'dizziness',
  dizzy: 'dizziness',
  balance: 'dizziness',
  'facial-weakness': 'facial-weakness',
  fever: 'fever',
  swelling: 'swelling',
  other: 'anything-else',
  anything: 'anything-else',
  'anything-else': 'anything-else',
  anything_else: 'anything-else',
  side: 'side',
  ear: 'side',
  move: 'move',
  reschedule: 'move',
  screening: 'screening',
  history: 'screening',
}

const FINDING_OF: Partial<Record<QuestionKind, FindingKind[]>> = {
  pain: ['pain'],
  discharge: ['discharge'],
  bleeding: ['bleeding'],
  hearing: ['hearing-loss'],
  dizziness: ['dizziness'],
  'facial-weakness': ['facial-weakness'],
  fever: ['fever'],
  swelling: ['swelling'],
}

const question = (kind: QuestionKind, words: string, more: Partial<Question> = {}): Question => ({
  kind,
  asksProblem: kind !== 'doses' && kind !== 'softened' && kind !== 'hearing',
  asked: FINDING_OF[kind] ?? [],
  about: [],
  words,
  ...more,
})

/** The questions that are open, in order. */
export function questionsOf(raw: unknown, context: ReplyContext): Question[] {
  if (raw === undefined || raw === null || raw === '') return []
  if (Array.isArray(raw)) return raw.slice(0, 20).flatMap((q) => questionsOf(q, context))
  if (typeof raw === 'object') {
    const o = raw as Record<string, unknown>
    const from = [o.kind, o.type, o.about, o.question, o.text, o.words, o.id].filter(
      (x) => typeof x === 'string' || Array.isArray(x),
    )
    for (const candidate of from) {
      const found = questionsOf(candidate, context)
      if (found.some((q) => q.kind !== 'unknown')) return found
    }
    return [question('unknown', '')]
  }
  if (typeof raw !== 'string') return [question('unknown', '')]
  const text = raw.trim().slice(0, 1000)
  const key = text
    .toLowerCase()
    .replace(/[\s_]+/g, '-')
    .replace(/[?.!]+$/, '')
  const kind = QUESTION_KINDS[key]
  if (kind) return [question(kind, text)]
  const item = HISTORY_KINDS.find((h) => h === key)
  if (item) return [question('screening', text, { about: [item] })]
  const pieces = text
    .split(/(?<=[?])|\n/)
    .map((p) => p.trim())
    .filter((p) => /[a-z]/i.test(p))
  const asked = pieces.filter((p) => p.endsWith('?'))
  const list = (asked.length > 0 ? asked : [text]).flatMap((p) => twoInOne(p, context))
  const known = list.filter((q) => q.kind !== 'unknown')
  const beside = asked.length > known.length
  return known.length > 0
    ? asOne(known, context).map((x) => (beside ? { ...x, beside } : x))
    : list.slice(0, 1)
}

/** "Did you use the drops today, and does the wax feel softer?" asks two things that no one word answers. */
function twoInOne(piece: string, context: ReplyContext): Question[] {
  const parts = piece
    .split(/[,;]?\s+(?:and|also)\s+(?=(?:does|do|did|is|are|has|have|how|any|can|was|were)\b)/i)
    .map((p) => fromEnglish(p, context))
  const apart =
    parts.length === 2 &&
    parts.every((q) => q.kind !== 'unknown') &&
    parts[0]?.kind !== parts[1]?.kind &&
    (parts.some((q) => q.kind === 'doses' || q.kind === 'softened') ||
      // "Any pain, and can you hear better?": one "no" would be good news of the one and bad of the other.
      (parts.every((q) => q.asked.length > 0) && parts[0]?.asksProblem !== parts[1]?.asksProblem))
  return apart ? parts : [fromEnglish(piece, context)]
}

/** One message that asks the same thing twice asks once: "Do nuts make you ill? Are you allergic to almonds?" */
function asOne(list: Question[], context: ReplyContext): Question[] {
  const out: Question[] = []
  for (const q of list) {
    const same = context === 'screening' ? out[0] : out.find((x) => x.kind === q.kind)
    if (!same) out.push({ ...q })
    else {
      if (q.about.length > 0 && same.kind !== 'screening') Object.assign(same, { kind: q.kind, asked: [] })
      same.about = [...new Set([...same.about, ...q.about])]
      same.asked = same.kind === 'screening' ? same.asked : [...new Set([...same.asked, ...q.asked])]
      same.words = `${same.words} ${q.words}`
    }
  }
  return out
}

function fromEnglish(piece: string, context: ReplyContext): Question {
  const t = piece.toLowerCase()
  const items = ABOUT_HISTORY.filter(([, p]) => p.test(t)).map(([kind]) => kind)
  if (context === 'screening' && items.length > 0)
    return question('screening', piece, { about: items, asksProblem: true })
  if (
    /\b(drops?|oil|doses?|spray)\b/.test(t) &&
    /\b(put|use[d]?|how (many|often)|did|have|times|today|taken?|done|manage[d]?|going|gone|get(ting)? on)\b/.test(
      t,
    )
  )
    return question('doses', piece)
  if (context === 'softening' && /\bhow (many (times|doses|goes)|often)\b/.test(t))
    return question('doses', piece)
  if (/\bsoft|\bloosen/.test(t)) return question('softened', piece)
  const findings = ABOUT_FINDINGS.filter(([, p]) => p.test(t)).map(([kind]) => kind)
  // "Which ear hurts?" supposes that one does.
  if (/which (ear|side)|left or right|right or left/.test(t))
    return question('side', piece, { asked: findings })
  if (findings.length === 1) {
    const kind = (Object.entries(FINDING_OF).find(([, f]) => f?.[0] === findings[0])?.[0] ??
      'anything-else') as QuestionKind
    const good =
      /\b(back|better|normal|ok|okay|fine|all right|alright|improv\w*|as good as|gone|stopped|settled|can you hear|well)\b/.test(
        t,
      )
    return question(kind, piece, { asked: findings, asksProblem: !good })
  }
  if (findings.length > 1) return question('anything-else', piece, { asked: findings })
  if (
    /\b(move|suit|offer|slot|accept|rearrange|reschedule|instead|new time|come on|come at|keep your (appointment|visit)|still (able|ok) to come)\b/.test(
      t,
    )
  )
    return question('move', piece)
  if (/anything else|any other|any (problems|worries|concerns)|how are you|how is|how's/.test(t))
    return question('anything-else', piece, { asksProblem: !/how (are|is)|how's/.test(t) })
  if (items.length > 0) return question('screening', piece, { about: items })
  return question(context === 'screening' ? 'screening' : 'unknown', piece)
}
