/** What the sender wishes of the service: no more messages, messages again, another time, a call, another recipient. */
import { has, hits } from './answers.ts'
import { type Layout, within } from './clauses.ts'
import { START_WORDS, STOP_WORDS } from './lexicon/answers.ts'
import { setOf } from './lexicon/set-of.ts'
import type { Token } from './normalise.ts'
import { cues } from './vocabulary.ts'

const POLITE = setOf(
  'please thanks thank you now kiss all it this messages texts hi hello the sorry ok just yes texting me immediately sending everything at once dear sir madam and love foreaft',
)

/** Only these words and marks around one keyword: the whole message is the command. */
function isBareCommand(tokens: readonly Token[], keywords: ReadonlySet<string>): boolean {
  const words = tokens.filter((t) => t.kind !== 'mark')
  return (
    words.length > 0 &&
    words.length <= 6 &&
    words.some((t) => keywords.has(t.w)) &&
    words.every((t) => keywords.has(t.w) || POLITE.has(t.w))
  )
}

const NOT_MESSAGES = setOf(
  'drops drop oil bleeding pain hurting ringing it treatment medicine medicines tablets using putting taking itching leaking dripping noise buzzing',
)

const MESSAGES = setOf(
  'texts messages msgs reminders texting messaging sms list texted messaged contacted alerts notifications',
)
const ENDERS = setOf(
  'stop cease quit strike remove delete withdraw pack unsubscribe halt leave kill block ditch bin opt scrap off fill enough over end without chuck',
)

/** A word of ending and a word of messages close together, in any order: "the reminders need to stop". */
function endsMessages(tokens: readonly Token[], from: number, to: number): boolean {
  for (let i = from; i < to; i++) {
    const w = tokens[i]?.w ?? ''
    if (w !== 'never' && w !== 'not' && !ENDERS.has(w)) continue
    const next = tokens[i + 1]?.w ?? ''
    const before = [1, 2, 3].map((n) => tokens[i - n]?.w ?? '')
    if (
      (w === 'never' || (w === 'not' && /^(do|please|to)$/.test(before[0] ?? ''))) &&
      /^(message|text|contact|txt)$/.test(next) &&
      /^(me|us|this|my|again|any|anymore)$/.test(tokens[i + 2]?.w ?? '')
    )
      return true
    if (!ENDERS.has(w) || before.some((b) => /^(not|never|should|shall|can|if|did|when|without)$/.test(b)))
      continue
    if (w === 'end' && !/^(them|these|all|the|your)$/.test(next)) continue
    if (w === 'over' && before[0] !== 'give') continue
    if (w === 'off' && !/^(turn|switch|shut|me|us|number|name|details)$/.test(before[0] ?? '')) continue
    for (let j = Math.max(from, i - 6); j < Math.min(to, i + 7); j++)
      if (MESSAGES.has(tokens[j]?.w ?? '')) return true
  }
  return false
}

/** What follows is of something else: a noun that is no word of messages. */
function goesOn(tokens: readonly Token[], at: number): boolean {
  const next = tokens[at]
  return (
    next?.kind === 'word' &&
    !next.emoji &&
    !POLITE.has(next.w) &&
    !MESSAGES.has(next.w) &&
    !/^(as|i|because|so|my|we|she|he|list|number|texting|messaging|contacting|bothering|writing|your|these|them|this|any|more|anything|on|to|for|every|text|message|system|service|any|but|if|before|altogether|completely|today|straight|right|coming|off|anymore|again|will|she|mum|dad|since|until|till)$/.test(
      next.w,
    )
  )
}

const STOP = setOf('stop')

/** A sentence at its commas. */
function pieces(words: readonly Token[]): Token[][] {
  const out: Token[][] = [[]]
  for (const t of words) {
    if (t.w === ',') out.push([])
    else out.at(-1)?.push(t)
  }
  return out
}

/** A wish to get no more messages; never "it will not stop" nor "shall I stop the drops". */
export function wishesStop(tokens: readonly Token[], layout: Layout): boolean {
  if (isBareCommand(tokens, STOP_WORDS)) return true
  const keeps = hits(tokens, cues.keepTexts)
  // "I like the texts" keeps them; "I'd like the texts to stop" does not.
  if (keeps.some((m) => tokens[m.to]?.w !== 'to' || tokens[m.from]?.w === 'not')) return false
  const plain = tokens.filter((t) => t.kind !== 'mark').map((t) => t.w)
  if (
    plain.length <= 7 &&
    /^(no more( please| thanks| thank you| now)*|stop and thank you.*|wrong person stop)$/.test(
      plain.join(' '),
    )
  )
    return true
  // "Reply STOP, so stop please"
  if (/\b(so|reply) stop (please|now|thanks|thank you)$/.test(plain.slice(-4).join(' '))) return true
  if (plain.at(-1) === 'stop' && /^(mean|person|number|please)$/.test(plain.at(-2) ?? '')) return true
  const stopping = layout.sentences.filter((s) => within(tokens, s.from, s.to, STOP))
  for (const words of stopping.flatMap((s) => pieces(tokens.slice(s.from, s.to)))) {
    const strict = words.filter((t) => t.kind !== 'mark')
    // "Stop now please, all healed up"
    if (
      strict.length === 3 &&
      /^stop (now please|please now|please thanks|please stop)$/.test(strict.map((t) => t.w).join(' '))
    )
      return true
    if (
      strict.length <= 2 &&
      strict[0]?.w === 'stop' &&
      (strict.length === 1 || /^(please|stop|now|thanks|texting)$/.test(strict[1]?.w ?? ''))
    )
      return true
    if (strict.length === 2 && strict[0]?.w === 'please' && strict[1]?.w === 'stop') return true
  }
  // "S T O P"
  if (plain.length >= 4 && plain.length <= 6 && plain.join('').startsWith('stop') && plain[0] === 's')
    return true
  if (layout.sentences.some((s) => tokens[s.to - 1]?.w !== '?' && endsMessages(tokens, s.from, s.to)))
    return true
  for (const m of hits(tokens, cues.stop)) {
    // "Take me off this ward", "please end these headaches": of something else than messages.
    const end = tokens[m.to - 1]?.w ?? ''
    const named = /^(it|these|this|them|that|those|the|my)$/.test(tokens[m.to]?.w ?? '') ? m.to + 1 : m.to
    if (/^(these|them|this|it|those|me)$/.test(end) && goesOn(tokens, m.to)) continue
    if ((end === 'off' || (end === 'stop' && tokens[m.from]?.w === 'please')) && goesOn(tokens, named))
      continue
    // "Don't bother with my ear"
    const bothers = tokens.slice(m.from, m.to + 1).map((t) => t.w)
    if (bothers.includes('bother') && (bothers.includes('with') || bothers.includes('about'))) continue
    const before = [1, 2, 3].map((n) => tokens[m.from - n]?.w ?? '')
    const w = tokens[m.from]?.w ?? ''
    if (w === 'stop' || w === 'end' || w === 'cancel' || w === 'quit') {
      if (
        before[0] === 'not' ||
        before[0] === 'never' ||
        (before[0] === 'to' && before[1] === 'want' && before[2] === 'not') ||
        before[0] === 'my' ||
        before[0] === 'bus' ||
        before[0] === 'the'
      )
        continue
      if (
        before[0] === 'i' ||
        (/^(it|bleeding|pain|ringing)$/.test(before[1] ?? '') && /^(will|does|to|did)$/.test(before[0] ?? ''))
      )
        continue
      if (before.includes('should') || before.includes('shall')) continue
      const last = tokens[m.to - 1]?.w ?? ''
      if (/^(it|this|now|them|these|please|thanks|thank|that)$/.test(last) && m.size === 2) {
        // "stop it", "stop this": the whole sentence, or it is about something else.
        const s = layout.sentences[layout.sentence[m.from] ?? 0]
        const around = tokens.slice(s?.from ?? 0, s?.to ?? 0).filter((t) => t.kind !== 'mark')
        if (around.length > 4) continue
      }
      if (
        [m.to, m.to + 1].some((i) => NOT_MESSAGES.has(tokens[i]?.w ?? '')) &&
        !/^(texting|messaging|sending|contacting)$/.test(tokens[m.from + 1]?.w ?? '')
      )
        continue
    }
    if (
      /^(not|will|would|do|does)$/.test(w) &&
      before[0] === 'i' &&
      !/^(want)$/.test(tokens[m.from + 2]?.w ?? '')
    ) {
      // "I do not text much" is chat; "do not text me" is a wish.
      if (!tokens.slice(m.from, m.to).some((t) => /^(me|my|again|receive|any|us)$/.test(t.w))) continue
    }
    return true
  }
  return false
}

export function wishesStart(tokens: readonly Token[]): boolean {
  if (isBareCommand(tokens, START_WORDS)) return true
  return has(tokens, cues.start)
}

const ABOUT_DROPS = /^(oil|peroxide|bicarb|drops|drop|almond|olive|spray|sodium|eye|lie|sit|lying)$/

const VISIT =
  /^(appointment|appointments|visit|slot|booking|monday|tuesday|wednesday|thursday|friday|saturday|mon|tue|tues|wed|weds|thu|thur|thurs|fri|sat|tomorrow|ordinal|week|date|clinic|reschedule|rebook|rearrange|postpone|cancel)$/
const PARTS =
  /^(face|mouth|eyelid|eyelids|eye|cheek|lip|lips|smile|grin|words|speech|soreness|pain|scab|tablet|tablets|arm|leg|tongue|blood|swelling|drops|itch|itches|itchy|itching|rash|perforated|burst|drum|eardrum|hole)$/

/** "Couldn't make it up", "can't make my mind up", "can't make head or tail of it": sayings. */
const NO_ACTION =
  /\b(put|puts|putting) (it|that|this) down to\b|\b(make|made|making) (it|this|that|my|your|me|up|sense|head) (up|mind|my|me|of|or|nor|not)\b/
const CLOCKS = /^(phone|clock|clocks|watch|telly|alarm|oven|cooker|boiler|heating)$/

/** "The eyelid won't come down", "no tablet will shift it", "phone my daughter instead": no visit is spoken of. */
function movesNoVisit(
  tokens: readonly Token[],
  s: { from: number; to: number },
  from: number,
  to: number,
): boolean {
  const near = tokens.slice(s.from, s.to).map((t) => t.w)
  if (near.some((w) => VISIT.test(w))) return false
  const span = tokens.slice(from, to + 1).map((t) => t.w)
  const said = span.join(' ')
  return (
    near.some((w) => PARTS.test(w)) ||
    // "Can't do it myself", "couldn't manage the second time"
    (/\bnot (do|manage)\b/.test(said) &&
      tokens.slice(from, to + 5).some((t) => /^(myself|meself|own|second|ordinal|time|alone)$/.test(t.w))) ||
    /\b(make out|cancel me off|manage (these|the|your) (texts|messages))\b/.test(said) ||
    (span.some((w) => /^(make|manage)$/.test(w)) &&
      tokens.slice(to, to + 3).some((t) => /^(out|texts|texting)$/.test(t.w))) ||
    NO_ACTION.test(
      tokens
        .slice(from, to + 3)
        .map((t) => t.w)
        .join(' '),
    ) ||
    tokens.slice(to, to + 4).some((t) => CLOCKS.test(t.w)) ||
    (span.includes('instead') &&
      near.some((w) => /^(phone|ring|call|text|of)$/.test(w)) &&
      !span.some((w) => /^(anything|morning|afternoon|evening)$/.test(w)))
  )
}

/** A wish to move, cancel or miss the visit. */
export function wishesMove(tokens: readonly Token[], layout: Layout, asked: boolean): boolean {
  for (const m of hits(tokens, cues.move)) {
    const before = [1, 2, 3, 4].map((n) => tokens[m.from - n]?.w ?? '')
    const w = tokens[m.from]?.w ?? ''
    const wish = !/^(can|could|will|would|do|does|unable|not|no)$/.test(w)
    if (
      wish &&
      before.slice(0, 3).includes('not') &&
      !before.includes('can') &&
      !before.includes('could') &&
      (before.includes('need') ||
        before.includes('want') ||
        before.includes('do') ||
        before.includes('please'))
    )
      continue
    if (wish && before.includes('no') && before.includes('need')) continue
    const span = tokens.slice(m.from, m.to).map((t) => t.w)
    if (/^(miss)$/.test(w) && before.includes('not')) continue
    // "the lid will not come down", "could not shift the wax", "peroxide instead" move no visit.
    const come = tokens.slice(m.from, m.to).findLastIndex((t) => t.w === 'come')
    if (
      come >= 0 &&
      /^(down|up|off|out|away|back|undone|loose|open|shut)$/.test(tokens[m.from + come + 1]?.w ?? '')
    )
      continue
    if (/^(shift|move|change|budge)$/.test(w) && /^(not|no|any|same)$/.test(before[0] ?? '')) continue
    // "Aching something terrible since this afternoon"
    if (
      /^(something|anything)$/.test(w) &&
      !before.some((x) => /^(have|got|there|any|is|you|want|prefer|like)$/.test(x))
    )
      continue
    if ((span.includes('instead') || span.includes('put')) && tokens.some((t) => ABOUT_DROPS.test(t.w)))
      continue
    if (
      /^(change|swap|moved|move)$/.test(w) &&
      (span.some((x) => /^(head|neck|jaw|bed|house|home|drops|batteries|battery|pillow)$/.test(x)) ||
        tokens
          .slice(Math.max(0, m.from - 14), m.to + 4)
          .some((t) => /^(pad|pads|cotton|dressing|dressings|plaster|wool|gauze|pillowcase)$/.test(t.w)))
    )
      continue
    if ((w === 'will' || w === 'would' || w === 'could') && before[0] === 'not') continue
    // "Deaf for a week after his", "I have put it off long enough", "fainted clean away on Monday".
    if (w === 'week' && before[0] === 'a' && before[1] === 'for') continue
    // "A week after yous did it"
    if (span.at(-1) === 'after' && /^(you|yous|ye|it|the|my|he|she|they)$/.test(tokens[m.to]?.w ?? ''))
      continue
    if (
      /^(put|putting)$/.test(w) &&
      span.length <= 3 &&
      /^(have|had|has|been|keep|kept)$/.test(before[0] ?? '')
    )
      continue
    // "No different from any other day"
    if (span.includes('other') && /^(from|like|than|to|as)$/.test(before[0] ?? '')) continue
    if (w === 'away' && /^(clean|dead)$/.test(before[0] ?? '')) continue
    // "Never had anything like that before"
    if (/^(anything|owt|something)$/.test(w) && before.some((x) => /^(never|not)$/.test(x))) continue
    if (w === 'different' && /^(nothing|no|any|much|feels|feel)$/.test(before[0] ?? '')) continue
    if (span.includes('coming') && /^(back|out|off|down|from|through|round)$/.test(tokens[m.to]?.w ?? ''))
      continue
    const c = layout.clauses[layout.clause[m.from] ?? 0] ?? { from: 0, to: 0 }
    if (movesNoVisit(tokens, c, m.from, m.to)) continue
    return true
  }
  if (asked) return tokens.some((t) => t.w === 'instead') || (tokens[0]?.w === 'no' && tokens.length <= 3)
  return false
}

/** Said of another person, these are the reason for a move and no matter for a clinician: "my brother has been taken poorly". */
export const REASONS_TO_MOVE = /^(unwell|injury|fever|vomiting)$/
